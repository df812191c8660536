"""Pictures asked for by address."""

import re
from io import BytesIO

import numpy as np
import pytest
from PIL import Image

from seamlore.photo.files.encoding import TILE_PX, to_jpeg
from seamlore.web.pages.studies import begin_study


def opened(answer):
    assert answer.status_code == 200
    assert answer.headers["content-type"] == "image/jpeg"
    return Image.open(BytesIO(answer.content))


@pytest.fixture
def wide(desk):
    """A study with a photograph of 1500 by 600 pixels, dark at the left and light at the right."""
    picture = np.repeat(np.linspace(20, 230, 1500)[None, :, None], 600, axis=0).repeat(3, axis=2)
    return begin_study(desk, to_jpeg(picture.astype(np.uint8)), "wide.jpg")


def test_the_small_picture_fits_the_shelf_and_keeps_its_proportion(client, wide):
    width, height = opened(client.get(f"/study/{wide}/picture/small.jpg")).size
    assert max(width, height) <= 512
    assert width / height == pytest.approx(2.5, rel=0.02)


def test_tiles_of_the_finest_level_are_the_photograph(client, wide):
    last = opened(client.get(f"/study/{wide}/picture/tile/0/0/0"))
    assert max(last.size) <= TILE_PX
    answers = [client.get(f"/study/{wide}/picture/tile/{level}/0/0") for level in range(12)]
    sizes = [opened(each).size for each in answers if each.status_code == 200]
    assert max(max(size) for size in sizes) <= TILE_PX + 2


@pytest.mark.parametrize("tile", ["0/99/0", "99/0/0", "0/0/99"])
def test_a_tile_that_there_is_not_is_refused(client, wide, tile):
    assert client.get(f"/study/{wide}/picture/tile/{tile}").status_code == 422


def test_the_flattened_quilt_has_the_proportion_of_the_tape(client, demo):
    width, height = opened(client.get(f"/study/{demo}/picture/flat.jpg")).size
    # 74 1/2 by 89 1/2 in by tape; nearly the same proportions are flattened alike, to 1 in 100.
    assert width / height == pytest.approx(74.5 / 89.5, rel=0.01)


def test_the_picture_for_printing_shows_the_photograph_with_its_rows_and_columns_numbered(client, demo):
    answer = client.get(f"/study/{demo}/picture/found.svg")
    assert answer.headers["content-type"].startswith("image/svg+xml")
    assert "data:image/jpeg;base64," in answer.text
    # 8 rows of 7: each number once for a row and once for a column, but the 8 for a row alone.
    assert len(re.findall(r">7</text>", answer.text)) == 2
    assert len(re.findall(r">8</text>", answer.text)) == 1


def test_a_picture_may_be_kept_by_the_browser_but_by_no_one_else(client, demo):
    kept = client.get(f"/study/{demo}/picture/small.jpg").headers["cache-control"]
    assert "private" in kept


def test_a_study_without_photograph_has_no_picture(client, shelf):
    number = shelf.create("Bare")
    assert "No photograph yet" in client.get(f"/study/{number}/picture/small.jpg").text
    assert client.get(f"/study/{number}/picture/tile/0/0/0").status_code == 422
