import numpy as np
from numpy.testing import assert_allclose

from seamlore.photo.extents import AxisView, Start, counted_up, lay, run, starts

# Seams are put where the tests say; what comes out is known in advance.


def a_view(lines: list[float], length: int, plain: np.ndarray | None = None) -> AxisView:
    x = np.arange(length)
    profile = np.maximum.reduce([2 * np.exp(-(((x - line) / 1.5) ** 2)) for line in lines]) - 0.2
    wide = np.maximum.reduce([np.roll(profile, shift) for shift in (-2, -1, 0, 1, 2)])
    return AxisView(profile, wide, np.ones(length) if plain is None else plain, np.maximum(profile, 0) / 2)


def following(length: int, low: int, high: int) -> np.ndarray:
    x = np.arange(length)
    return np.where((x >= low) & (x < high), 1.0, 0.0)


def test_blocks_that_follow_are_counted_and_a_border_is_not() -> None:
    seen = a_view([60, 120, 180, 240, 300], 360)
    axis = run(seen, counted_up(following(360, 60, 300)), 60.0, Start(0.0, 0.0, 1.0, 1.0))
    assert axis is not None
    assert (axis.count, axis.first, axis.last) == (4, 60.0, 300.0)


def test_a_block_that_the_edge_cuts_in_half_is_counted() -> None:
    axis = run(a_view([30, 90, 150], 210), counted_up(np.ones(210)), 60.0, Start(30.0, 0.0, 1.0, 1.0))
    assert axis is not None
    assert (axis.count, axis.first) == (4, -30.0)


def test_a_sliver_at_the_edge_is_no_block() -> None:
    axis = run(a_view([8, 68, 128, 188], 188), counted_up(np.ones(188)), 60.0, Start(8.0, 0.0, 1.0, 1.0))
    assert axis is not None
    assert (axis.count, axis.first) == (3, 8.0)


def test_where_nothing_follows_there_is_no_grid() -> None:
    assert run(a_view([50], 200), counted_up(np.zeros(200)), 50.0, Start(0.0, 0.0, 1.0, 1.0)) is None


def test_sashing_is_where_little_changes_between_two_seams() -> None:
    x = np.arange(304)
    plain = np.where(x % 76 >= 60, 0.1, 1.0)
    lines = sorted([k * 76.0 for k in range(1, 4)] + [k * 76.0 + 60 for k in range(4)])
    found = starts(a_view(lines, 304, plain), 76.0, np.ones(304))
    sashed = min((each for each in found if each.gap > 0), key=lambda each: each.strip)
    assert_allclose(sashed.gap, 16, atol=1.5)
    assert_allclose(min(sashed.at, 76 - sashed.at), 0, atol=1.0)


def test_a_pitch_a_little_off_is_stretched_onto_the_seams() -> None:
    seen = a_view([61, 122, 183, 244], 305)
    best = lay(seen, np.ones(305), 60.4)[0]
    assert_allclose(best.pitch, 61, atol=0.35)
    assert best.count == 5
