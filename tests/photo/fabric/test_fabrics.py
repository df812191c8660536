import numpy as np
from numpy.testing import assert_allclose, assert_array_equal
from skimage.color import lab2rgb

from seamlore.photo.fabric.fabrics import (
    Swatches,
    gather_fabrics,
    spots,
    srgb_of,
    swatch,
    take_swatches,
)

SQUARE = np.array([[0, 0], [40, 0], [40, 40], [0, 40.0]])
HALF = ((0.0, 0.0), (0.5, 0.0), (0.5, 1.0), (0.0, 1.0))


def swatches_of(
    lab: np.ndarray, prints: np.ndarray | None = None, error: float = 1.0, pixels: float = 400
) -> Swatches:
    count = len(lab)
    where = np.stack([np.arange(count), np.zeros(count, int)], axis=-1)
    shown = np.zeros((count, 4)) if prints is None else prints
    return Swatches(where, lab, shown, np.full((count, 3), error), np.full(count, pixels))


def test_three_fabrics_cut_many_times_are_three_the_commonest_first() -> None:
    rng = np.random.default_rng(1)
    colors = np.array([[30, 5, -30], [80, 2, 8], [50, 45, 25.0]])
    which = np.repeat([0, 1, 2], [5, 12, 8])
    label = gather_fabrics(swatches_of(colors[which] + rng.normal(0, 1, (25, 3))))
    assert_array_equal(label, np.repeat([2, 0, 1], [5, 12, 8]))


def test_two_fabrics_of_one_color_are_told_apart_by_their_print() -> None:
    lab = np.tile([60.0, 10, 10], (10, 1))
    prints = np.repeat([[0.5, 0.5, 0.2, 0.2], [6.0, 9.0, 3.0, 3.0]], 5, axis=0)
    label = gather_fabrics(swatches_of(lab, prints))
    assert_array_equal(label, np.repeat([0, 1], 5))


def test_swatches_are_taken_clear_of_the_seams() -> None:
    lab = np.zeros((2, 40, 40, 3), dtype=np.float32)
    lab[:, :, 20:, 0] = 80
    lab[:, :, 19:21, 0] = 40  # the seam itself, where both run into each other
    picture = np.zeros((40, 40), dtype=np.intp)
    picture[:, 20:] = 1
    taken = take_swatches(lab, np.ones((2, 40, 40), np.float32), picture)
    assert_array_equal(taken.where, [[0, 0], [1, 0], [0, 1], [1, 1]])
    assert_allclose(taken.lab[:, 0], [0, 0, 80, 80], atol=1e-4)


def test_a_bold_print_makes_a_swatch_less_sure_than_a_plain_one() -> None:
    lab = np.full((1, 40, 40, 3), 50, dtype=np.float32)
    lab[:, :12, :20, 0] = 80
    picture = np.zeros((40, 40), dtype=np.intp)
    picture[:, 20:] = 1
    taken = take_swatches(lab, np.ones((1, 40, 40), np.float32), picture)
    assert taken.error[0, 0] > 3
    assert_allclose(taken.error[1], 0, atol=1e-3)
    assert taken.print_[0, 1] > taken.print_[1, 1]


def test_swatches_that_differ_as_much_as_their_own_quarters_are_one_fabric() -> None:
    lab = np.array([[50.0, 0, 0]] * 3 + [[58.0, 0, 0]] * 3)
    assert int(gather_fabrics(swatches_of(lab, error=0.2)).max()) == 1
    assert int(gather_fabrics(swatches_of(lab, error=4.0)).max()) == 0


def test_like_colors_measured_with_unlike_uncertainty_are_one_fabric() -> None:
    # A pale color far from 0 must not be torn apart by what it is divided by.
    lab = np.tile([88.0, 2, 8], (12, 1))
    taken = swatches_of(lab)
    taken.error[:6] = 0.2
    assert int(gather_fabrics(taken).max()) == 0


def test_a_swatch_lies_where_its_patch_lies_however_the_block_is_turned() -> None:
    picture = np.zeros((40, 40), dtype=np.intp)
    picture[:, 20:] = 1
    turned = np.roll(SQUARE, -1, axis=0)
    where = np.array([[0, 0], [0, 1], [1, 0], [1, 1]])
    assert_allclose(spots(where, picture, np.stack([SQUARE, turned])), [[10, 20], [30, 20], [20, 10], [20, 30]])


def test_what_lies_beyond_the_edge_gives_no_swatch() -> None:
    shown = np.ones((1, 40, 40), np.float32)
    shown[:, :, 20:] = 0
    picture = np.zeros((40, 40), dtype=np.intp)
    picture[:, 20:] = 1
    taken = take_swatches(np.zeros((1, 40, 40, 3), np.float32), shown, picture)
    assert_array_equal(taken.where, [[0, 0]])


def test_color_is_written_as_a_second_library_would() -> None:
    # Source: scikit-image, lab2rgb.
    lab = np.array([55.0, 30, -20])
    red, green, blue = np.rint(lab2rgb(lab[None, None])[0, 0] * 255).astype(int)
    found = srgb_of(lab)
    assert_allclose([int(found[k : k + 2], 16) for k in (1, 3, 5)], [red, green, blue], atol=1)


def test_a_swatch_is_the_picture_inside_its_patch() -> None:
    pixels = np.zeros((40, 40, 3), np.uint8)
    pixels[:, :20] = [200, 10, 10]
    cut = swatch(pixels, SQUARE[None, None], 0, 0, HALF)
    inside = cut[..., 3] > 0
    assert_allclose(inside.sum(), 800, rtol=0.06)
    assert_array_equal(np.unique(cut[:, :19][inside[:, :19]][:, :3], axis=0), [[200, 10, 10]])


def test_a_swatch_of_a_turned_block_is_cut_where_the_patch_lies() -> None:
    pixels = np.zeros((40, 40, 3), np.uint8)
    pixels[:20] = [10, 10, 200]
    # The left half, turned a quarter clockwise, lies on top.
    cut = swatch(pixels, SQUARE[None, None], 0, 0, HALF, turn=90)
    assert cut.shape[1] > 38
    assert_array_equal(cut[:19, 5:35, :3].reshape(-1, 3).min(axis=0), [10, 10, 200])
