import numpy as np
from numpy.testing import assert_allclose

from seamlore.photo.triangles import by_pixel, stepped_share, triangles, without_rim
from tests.photo.patterns import SIDE, noise_of, squares, stack


def test_print_noise_is_the_variance_of_independent_pixels() -> None:
    # Closed form: independent pixels of variance s^2 in lightness make means over n pixels vary by s^2 / n.
    rng = np.random.default_rng(5)
    lab = np.zeros((16, 96, 96, 3), dtype=np.float32)
    lab += rng.normal(0, 6, lab.shape).astype(np.float32)
    # It is taken from the calmer part of the square, and so comes out a little low.
    assert_allclose(noise_of(lab), 36, rtol=0.25)


def test_triangles_gather_every_pixel_once() -> None:
    rows = np.ones((SIDE * SIDE, 3), np.float32)
    assert_allclose(triangles(rows, (3, 3), SIDE).sums.sum(axis=0), SIDE * SIDE)


def test_a_pieced_block_changes_color_more_than_a_plain_one() -> None:
    lab = np.concatenate([stack(squares(3), 3), stack(squares(1), 3)])
    share = stepped_share(by_pixel(lab), noise_of(lab), SIDE)
    assert share[:3].min() > 2 * share[3:].max() + 0.05


def test_the_rim_of_a_block_is_what_lies_just_inside_it() -> None:
    lab = np.zeros((2, SIDE, SIDE, 3), dtype=np.float32)
    lab[:, :1] = 90
    lab[:, :, -1:] = 90
    assert_allclose(without_rim(lab), 0)
    inside = np.random.default_rng(1).uniform(0, 100, lab.shape).astype(np.float32)
    assert_allclose(without_rim(inside)[:, 4:-4, 4:-4], inside[:, 4:-4, 4:-4])
