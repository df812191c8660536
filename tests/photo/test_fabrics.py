import numpy as np
from numpy.testing import assert_allclose, assert_array_equal
from skimage.color import lab2rgb

from seamlore.photo.fabrics import Swatches, even_light, fabric_range, gather_fabrics, srgb_of, swatch, take_swatches

SQUARE = np.array([[0, 0], [40, 0], [40, 40], [0, 40.0]])
HALF = ((0.0, 0.0), (0.5, 0.0), (0.5, 1.0), (0.0, 1.0))


def swatches_of(lab: np.ndarray, prints: np.ndarray | None = None) -> Swatches:
    count = len(lab)
    where = np.stack([np.arange(count), np.zeros(count, int)], axis=-1)
    return Swatches(where, lab, np.zeros((count, 2)) if prints is None else prints, np.full(count, 1.0))


def test_three_fabrics_cut_many_times_are_three_the_commonest_first() -> None:
    rng = np.random.default_rng(1)
    colours = np.array([[30, 5, -30], [80, 2, 8], [50, 45, 25.0]])
    which = np.repeat([0, 1, 2], [5, 12, 8])
    label = gather_fabrics(swatches_of(colours[which] + rng.normal(0, 1, (25, 3))))
    assert_array_equal(label, np.repeat([2, 0, 1], [5, 12, 8]))


def test_two_fabrics_of_one_colour_are_told_apart_by_their_print() -> None:
    lab = np.tile([60.0, 10, 10], (10, 1))
    prints = np.repeat([[0.5, 0.5], [9.0, 6.0]], 5, axis=0)
    label = gather_fabrics(swatches_of(lab, prints))
    assert_array_equal(label, np.repeat([0, 1], 5))


def test_the_range_of_the_count_holds_the_count() -> None:
    rng = np.random.default_rng(4)
    taken = swatches_of(rng.uniform([20, -40, -40], [90, 40, 40], (60, 3)))
    least, most = fabric_range(taken)
    assert least <= int(gather_fabrics(taken).max()) + 1 <= most
    assert least < most


def test_light_that_falls_off_over_the_quilt_is_taken_out() -> None:
    rng = np.random.default_rng(2)
    places = np.indices((8, 8)).reshape(2, -1).T
    falling = 6.0 * (places[:, 1] - 3.5) / 3.5
    lab = np.tile([60.0, 0, 0], (64, 1))
    lab[:, 0] += falling + rng.normal(0, 0.5, 64)
    # A little is held back, lest scrappy fabrics be taken for light: a tenth of 6 and the noise.
    found = even_light(swatches_of(lab), places)
    assert_allclose(found[:, 0], falling, atol=0.9)
    assert_allclose(found[:, 1:], 0)


def test_swatches_are_taken_clear_of_the_seams() -> None:
    lab = np.zeros((2, 40, 40, 3), dtype=np.float32)
    lab[:, :, 20:, 0] = 80
    lab[:, :, 19:21, 0] = 40  # the seam itself, where both run into each other
    picture = np.zeros((40, 40), dtype=np.intp)
    picture[:, 20:] = 1
    taken = take_swatches(lab, np.ones((2, 40, 40), np.float32), picture, np.full(2, 4.0))
    assert_array_equal(taken.where, [[0, 0], [1, 0], [0, 1], [1, 1]])
    assert_allclose(taken.lab[:, 0], [0, 0, 80, 80], atol=1e-4)


def test_what_lies_beyond_the_edge_gives_no_swatch() -> None:
    shown = np.ones((1, 40, 40), np.float32)
    shown[:, :, 20:] = 0
    picture = np.zeros((40, 40), dtype=np.intp)
    picture[:, 20:] = 1
    taken = take_swatches(np.zeros((1, 40, 40, 3), np.float32), shown, picture, np.ones(1))
    assert_array_equal(taken.where, [[0, 0]])


def test_colour_is_written_as_a_second_library_would() -> None:
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
