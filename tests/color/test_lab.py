"""Colors against scikit-image, which takes its numbers from the same standards."""

import numpy as np
from numpy.testing import assert_allclose
from skimage import color

from seamlore.color.lab import srgb_to_lab


def test_lab_agrees_with_scikit_image_over_a_cube_of_colors():
    # Source: skimage.color.rgb2lab, D65, 2 degree observer.
    steps = np.arange(0, 256, 15, dtype=np.uint8)
    cube = np.stack(np.meshgrid(steps, steps, steps, indexing="ij"), axis=-1).reshape(-1, 3)
    assert_allclose(srgb_to_lab(cube), color.rgb2lab(cube[None])[0], atol=1e-3)


def test_whole_numbers_and_fractions_are_the_same_colors():
    bytes_ = np.array([[0, 10, 200], [255, 128, 7]], dtype=np.uint8)
    assert_allclose(srgb_to_lab(bytes_), srgb_to_lab(bytes_ / 255), atol=1e-9)


def test_white_is_100_and_neutral():
    # Source: CIE 15:2004, the white point has L* 100, a* and b* 0; sRGB's matrix is rounded, so not exactly.
    assert_allclose(srgb_to_lab([255, 255, 255]), [100, 0, 0], atol=0.01)


def test_a_picture_keeps_its_shape():
    assert srgb_to_lab(np.zeros((4, 5, 3), np.uint8)).shape == (4, 5, 3)
