import numpy as np

from seamlore.photo.onpoint import slant, view_slanted
from seamlore.photo.steps_energy import gather


def stripes(falling: bool) -> np.ndarray:
    """Stripes at 45 degrees, 50 px apart along x: the seams are known by how they are drawn."""
    y, x = np.mgrid[0:500, 0:640]
    place = x - y if falling else x + y
    return np.where((place // 50) % 2 == 0, 220, 60).astype(np.uint8)[..., None].repeat(3, axis=2)


def test_seams_that_rise_to_the_right_are_seen_along_x_plus_y_alone() -> None:
    seen = slant(gather(stripes(falling=False)))
    rising, falling = (view_slanted(seen, 100, 100, (0, 0, 640, 500), rising=r)[0].raw.max() for r in (True, False))
    assert rising > 0.9
    assert falling < 0.2


def test_seams_that_fall_to_the_right_are_seen_along_x_minus_y_alone() -> None:
    seen = slant(gather(stripes(falling=True)))
    rising, falling = (view_slanted(seen, 100, 100, (0, 0, 640, 500), rising=r)[0].raw.max() for r in (True, False))
    assert falling > 0.9
    assert rising < 0.2


def test_slanted_seams_stand_at_whole_parts_of_the_diagonal() -> None:
    seen = slant(gather(stripes(falling=False)))
    view, side, low = view_slanted(seen, 100.0, 100.0, (0, 0, 640, 500), rising=True)
    tops = np.flatnonzero(view.profile > 0.9 * view.profile.max())
    # x + y is a multiple of 50 there: half a diagonal.
    off = np.abs(((tops / side + low) * 2 + 0.5) % 1 - 0.5)
    assert off.max() < 0.15


def test_an_upright_seam_is_no_slanted_one() -> None:
    picture = np.full((300, 400, 3), 60, np.uint8)
    picture[:, 200:] = 220
    seen = slant(gather(picture))
    view, _, _ = view_slanted(seen, 100.0, 100.0, (0, 0, 640, 480), rising=True)
    assert view.raw.max() < 0.2
