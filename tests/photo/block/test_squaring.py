import numpy as np
import pytest
from numpy.testing import assert_allclose
from scipy.ndimage import gaussian_filter1d

from seamlore.photo.block.squaring import best_fit, seam_profiles, squared
from seamlore.photo.stack import cloth

SIZE, REACH = 96, 12
# Profiles and quilts drawn by the tests, so that their truth is exact: custom, no source.


def profile(at: list[float], shift: float, stretch: float) -> np.ndarray:
    """Seams at these parts of the side, of a block so shifted and stretched about its middle."""
    seams = np.zeros(SIZE + 2 * REACH)
    for each in at:
        place = (0.5 + shift + (each - 0.5) * (1 + stretch)) * SIZE + REACH - 0.5
        low = int(np.floor(place))
        seams[low] += 1 - (place - low)
        seams[low + 1] += place - low
    # Blurred by a general library, as a photograph blurs.
    return gaussian_filter1d(seams, 0.8) + 0.02


@pytest.mark.parametrize(
    "at",
    [[0, 1], [0, 0.5, 1], [1 / 3, 2 / 3], [0, 1 / 4, 3 / 4, 1], [1 / 5, 2 / 5, 3 / 5, 4 / 5], [3 / 7, 4 / 7, 1 / 7]],
)
@pytest.mark.parametrize(("shift", "stretch"), [(0.0, 0.0), (0.03, 0.0), (-0.02, 0.015)])
def test_seams_are_put_on_even_divisions_of_the_side(at: list[float], shift: float, stretch: float) -> None:
    start, end = best_fit(profile(at, shift, stretch))
    # What is between two seams alone says little of how the side is stretched.
    near = 0.012 if stretch == 0 else 0.02
    assert_allclose((start + end) / 2, 0.5 + shift, atol=near)
    assert_allclose(end - start, 1 + stretch, atol=near)


def test_blocks_without_seams_stay_where_they_are() -> None:
    assert best_fit(np.full(SIZE + 2 * REACH, 0.1)) == (0.0, 1.0)


def nine_patches(off_px: float) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    rng = np.random.default_rng(6)
    side, rows, columns = 60, 4, 5
    y, x = np.mgrid[0 : rows * side, 0 : columns * side]
    third = ((x % side) * 3 // side + (y % side) * 3 // side) % 2
    light, dark = rng.uniform(170, 230, (rows, columns)), rng.uniform(20, 90, (rows, columns))
    pixels = np.where(third == 0, dark[y // side, x // side], light[y // side, x // side])[..., None].repeat(
        3, axis=2
    )
    pixels = np.pad(pixels, ((20, 20), (20, 20), (0, 0)), constant_values=120).astype(np.uint8)
    places = np.argwhere(np.ones((rows, columns), dtype=bool))
    true = np.array([[0, 0], [1, 0], [1, 1], [0, 1.0]]) * side + places[:, None, ::-1] * side + 19.5
    return pixels, places, true + off_px


def test_a_grid_that_lies_off_as_a_whole_is_put_right() -> None:
    pixels, places, corners = nine_patches(off_px=2.5)
    source = cloth(pixels, corners[None], SIZE)
    found = squared(source, places, corners, np.ones(len(places), dtype=bool), SIZE)
    assert_allclose(found, corners - 2.5, atol=0.7)


def test_seams_along_and_across_are_told_apart() -> None:
    stripes = np.zeros((120, 120, 3), np.uint8)
    stripes[:, 60:] = 255
    corners = np.array([[[0, 0], [120, 0], [120, 120], [0, 120.0]]]) - 0.5
    source = cloth(stripes, corners[None], SIZE)
    across, down = seam_profiles(source, np.array([[0, 0]]), corners, np.ones(1, dtype=bool), SIZE)
    assert abs(int(across.argmax()) - (SIZE / 2 + REACH)) <= 1
    assert down[REACH:-REACH].max() < 0.05 * across.max()


def test_with_nothing_to_learn_from_no_block_is_moved() -> None:
    pixels, places, corners = nine_patches(off_px=2.0)
    source = cloth(pixels, corners[None], SIZE)
    assert_allclose(squared(source, places, corners, np.zeros(len(places), dtype=bool), SIZE), corners)
