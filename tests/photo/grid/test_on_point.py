import numpy as np
from numpy.testing import assert_allclose

from seamlore.photo.grid.lines import Axis
from seamlore.photo.grid.on_point import set_by_slants, slant
from seamlore.photo.grid.step_energy import gather


def stripes(falling: bool) -> np.ndarray:
    """Stripes at 45 degrees, 50 px apart along x: the seams are known by how they are drawn."""
    y, x = np.mgrid[0:500, 0:640]
    place = x - y if falling else x + y
    return np.where((place // 50) % 2 == 0, 220, 60).astype(np.uint8)[..., None].repeat(3, axis=2)


def diamonds(first: float, pitch: float, size: tuple[int, int]) -> np.ndarray:
    """Squares on point, every other one dark: corners at first, first + pitch ... both ways."""
    y, x = np.mgrid[0 : size[1], 0 : size[0]] + 0.5
    u, v = ((x - first) + (y - first)) / pitch - 0.5, ((x - first) - (y - first)) / pitch - 0.5
    return np.where((np.floor(u) + np.floor(v)) % 2 == 0, 210, 50).astype(np.uint8)[..., None].repeat(3, axis=2)


def test_seams_that_rise_to_the_right_are_seen_as_rising_alone() -> None:
    seen = slant(gather(stripes(falling=False)))
    assert seen.rising[20:-20, 20:-20].max() > 0.9
    assert np.percentile(seen.falling[20:-20, 20:-20], 99) < 0.2


def test_seams_that_fall_to_the_right_are_seen_as_falling_alone() -> None:
    seen = slant(gather(stripes(falling=True)))
    assert seen.falling[20:-20, 20:-20].max() > 0.9
    assert np.percentile(seen.rising[20:-20, 20:-20], 99) < 0.2


def test_a_grid_that_is_a_little_off_is_set_by_the_seams() -> None:
    seen = slant(gather(diamonds(0.0, 80.0, (640, 480))))
    x, y = set_by_slants(seen, Axis(3.0, 79.4, 0.0, 8), Axis(-2.5, 80.7, 0.0, 6))
    # A slanted seam is as strong for a pixel to either side.
    assert_allclose([x.first, y.first], 0.0, atol=1.1)
    assert_allclose([x.pitch, y.pitch], 80.0, atol=0.15)


def test_where_no_seam_is_seen_the_grid_stays() -> None:
    seen = slant(gather(np.full((480, 640, 3), 128, np.uint8)))
    x, _ = set_by_slants(seen, Axis(3.0, 79.4, 0.0, 8), Axis(-2.5, 80.7, 0.0, 6))
    assert_allclose([x.first, x.pitch], [3.0, 79.4], atol=1e-6)
