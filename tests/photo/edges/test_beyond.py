import numpy as np
import pytest
from numpy.testing import assert_allclose

from seamlore.photo.edges.beyond import border_beyond, lines_beyond
from seamlore.photo.frame import Frame

# Pictures drawn by the tests, so that their truth is exact: custom, no source.
INNER = Frame(((140, 120), (459, 120), (459, 359), (140, 359)), (1.0, 1.0))


def quilt(border: int, seed: int = 1) -> np.ndarray:
    """A quilt of checks with a plain border `border` px wide, on a rough ground; INNER is where the checks end."""
    rng = np.random.default_rng(seed)
    lab = rng.normal((55, 2, 12), (4, 1, 1), (480, 600, 3)).astype(np.float32)
    lab[120 - border : 360 + border, 140 - border : 460 + border] = (75, 10, -20)
    y, x = np.mgrid[120:360, 140:460]
    lab[120:360, 140:460] = np.where(((x // 40 + y // 40) % 2)[..., None], (80, 0, 5), (30, 20, 10))
    return (lab + rng.normal(0, 0.8, lab.shape)).astype(np.float32)


@pytest.mark.parametrize("side", range(4))
def test_a_border_taken_for_ground_is_taken_in(side: int) -> None:
    across = 240 if side % 2 == 0 else 320
    assert_allclose(border_beyond(INNER, side, quilt(16)) * across, 16, atol=2)


@pytest.mark.parametrize("side", range(4))
def test_a_quilt_whose_edges_are_its_last_is_left_as_it_is(side: int) -> None:
    assert border_beyond(INNER, side, quilt(0)) == 0.0


def test_the_gaps_of_floorboards_are_no_border() -> None:
    lab = quilt(0)
    lab[100:104] -= (25, 0, 0)
    lab[60:64] -= (25, 0, 0)
    lab[120:360, 140:460] = quilt(0)[120:360, 140:460]
    assert border_beyond(INNER, 0, lab) == 0.0


def test_lines_beyond_are_told_nearest_first_with_what_speaks_for_them() -> None:
    outward, gathered = lines_beyond(INNER, 0, quilt(16))
    assert (np.diff(outward) > 0).all()
    assert gathered.shape == (len(outward), 6)
    nearest = int(np.abs(outward - 16 / 240).argmin())
    assert_allclose(outward[nearest] * 240, 16, atol=2)
    # Clear, over its whole length, gone past the corners, and ground seen beyond it.
    clear, part, past, _, _, room = gathered[nearest]
    assert clear > 1.4
    assert part > 0.9
    assert past < clear
    assert room > 0.9


def test_nothing_is_found_where_the_ground_is_all_one() -> None:
    lab = np.full((480, 600, 3), 50, dtype=np.float32)
    outward, gathered = lines_beyond(INNER, 2, lab)
    assert len(outward) == 0
    assert gathered.shape == (0, 6)
