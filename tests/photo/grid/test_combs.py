"""Combs against strips whose lines are known."""

import numpy as np
import pytest
from numpy.testing import assert_allclose

from seamlore.photo.grid.combs import Comb, combs, not_slid, peaks
from seamlore.photo.grid.network import STRIPS, Strips


def strips_of(first: float, pitch: float, gap: float, count: int, sure: float = 0.95) -> Strips:
    """What a network that sees well would say of blocks that are known."""
    starts = np.clip(first + pitch * np.arange(count), 0, 1)
    stops = np.clip(first + pitch * np.arange(1, count + 1) - gap, 0, 1)
    middle = (np.arange(STRIPS) + 0.5) / STRIPS

    def heat(places: np.ndarray) -> np.ndarray:
        away = (middle[:, None] - places[None, :]) * STRIPS
        return sure * np.exp(-0.5 * (away / 0.75) ** 2).max(axis=1)

    field = ((middle > starts[0]) & (middle < stops[-1])).astype(float)
    return Strips(heat(starts), heat(stops), field)


@pytest.mark.parametrize("count", [2, 3, 5, 7, 12, 20, 30])
@pytest.mark.parametrize("gap_part", [0.0, 0.25])
@pytest.mark.parametrize("border", [0.0, 0.08])
def test_blocks_that_are_plainly_seen_are_counted(count: int, gap_part: float, border: float) -> None:
    pitch = (1 - 2 * border) / (count - gap_part)
    best = combs(strips_of(border, pitch, gap_part * pitch, count))[0]
    assert best.count == count
    assert_allclose([best.first, best.pitch, best.gap], [border, pitch, gap_part * pitch], atol=1.2 / STRIPS)


@pytest.mark.parametrize("cut", [0.1, 0.3])
@pytest.mark.parametrize("side", ["left", "right", "both"])
def test_blocks_that_the_edge_cuts_are_counted(cut: float, side: str) -> None:
    left, right = cut * (side != "right"), cut * (side != "left")
    pitch = 1 / (6 - left - right)
    best = combs(strips_of(-left * pitch, pitch, 0.0, 6))[0]
    assert best.count == 6
    assert_allclose([best.first, best.last], [-left * pitch, 1 + right * pitch], atol=0.01)


def test_a_line_that_is_hardly_seen_is_bridged() -> None:
    seen = strips_of(0.05, 0.1, 0.0, 9)
    begins, ends = seen.begins.copy(), seen.ends.copy()
    near = slice(int(0.45 * STRIPS) - 4, int(0.45 * STRIPS) + 5)
    begins[near] = ends[near] = 0.05
    assert combs(Strips(begins, ends, seen.field))[0].count == 9


@pytest.mark.parametrize("count", [1, 4, 5, 11])
def test_a_count_that_is_given_is_kept(count: int) -> None:
    found = combs(strips_of(0.1, 0.16, 0.0, 5), count=count)
    assert found
    assert {comb.count for comb in found} == {count}


def test_where_nothing_is_seen_nothing_is_found_unless_a_count_is_given() -> None:
    nothing = Strips(np.full(STRIPS, 0.001), np.full(STRIPS, 0.001), np.full(STRIPS, 0.2))
    assert [comb.hit / comb.count for comb in combs(nothing) if comb.hit / comb.count > -5] == []
    assert combs(nothing, count=4)[0].count == 4


def test_no_values_have_no_peaks() -> None:
    assert len(peaks(np.zeros(STRIPS))[0]) == 0


@pytest.mark.parametrize(
    ("first", "pitch", "gap", "begins"),
    [
        (0.025, 0.2, 0.0, 0.0),
        (-0.025, 0.201, 0.0, 0.0),
        (0.005, 0.2, 0.0, 0.005),
        (0.06, 0.2, 0.0, 0.06),
        (0.025, 0.18, 0.0, 0.025),
        (0.025, 0.2, 0.02, 0.025),
    ],
    ids=["slid", "slid back", "hardly", "half a block cut", "with room left over", "with sashing"],
)
def test_only_blocks_that_fill_the_quilt_and_lie_a_little_aside_are_put_to_its_edge(first, pitch, gap, begins):
    put = not_slid(Comb(first, pitch, gap, 5, 0.0, 0.0, 1.0, 1.0, 0.0))
    assert_allclose([put.first, put.pitch], [begins, 0.2 if begins == 0 else pitch])
