"""Every kind of photograph opens the same; whatever is not one is refused in one line."""

import io

import numpy as np
import pytest
from numpy.testing import assert_allclose
from PIL import Image

from seamlore.errors import PhotoError
from seamlore.photo.opening import open_photo


def scene(wide=160, tall=100):
    """Four plain quarters: what is where can be told after any turn."""
    picture = np.zeros((tall, wide, 3), np.uint8)
    picture[: tall // 2, : wide // 2] = (200, 40, 40)
    picture[: tall // 2, wide // 2 :] = (40, 160, 60)
    picture[tall // 2 :, : wide // 2] = (50, 60, 190)
    picture[tall // 2 :, wide // 2 :] = (230, 220, 200)
    return Image.fromarray(picture)


def saved(picture, kind, **how):
    file = io.BytesIO()
    picture.save(file, kind, **how)
    return file.getvalue()


@pytest.mark.parametrize("kind", ["JPEG", "PNG", "TIFF", "WEBP"])
def test_common_format_opens_with_its_colors(kind):
    how = {"JPEG": {"quality": 95, "subsampling": 0}, "WEBP": {"lossless": True}}.get(kind, {})
    assert_allclose(open_photo(saved(scene(), kind, **how)).pixels, np.asarray(scene()), atol=6)
