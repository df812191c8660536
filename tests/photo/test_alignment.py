import numpy as np
import pytest
from numpy.testing import assert_allclose
from numpy.typing import NDArray

from seamlore.errors import MeasureError
from seamlore.photo.alignment import align, even_grid

Floats = NDArray[np.float64]

# Expected values are closed forms of the corners that each test lays down; no outside source.


def even_cells(rows: int, columns: int, side: float = 100.0, gap: float = 0.0) -> Floats:
    """Corners of even blocks."""
    row, column = np.indices((rows, columns))
    origin = np.stack([column, row], axis=-1) * (side + gap)
    square = np.array([[0, 0], [1, 0], [1, 1], [0, 1]]) * side
    return np.asarray(origin[:, :, None] + square, dtype=float)


def test_even_blocks_have_neither_shift_nor_lean_nor_miss() -> None:
    found = align(even_cells(4, 5, gap=20), px_per_unit=10)
    assert_allclose(found.shift, 0, atol=1e-9)
    assert_allclose(found.lean_deg, 0, atol=1e-9)
    assert len(found.crossings) == 12
    assert_allclose(found.typical_miss, 0, atol=1e-9)


def test_one_block_pushed_aside_is_found_and_does_not_pull_the_grid() -> None:
    cells = even_cells(6, 7)
    cells[2, 3] += [8, -4]
    found = align(cells, px_per_unit=10)
    assert_allclose(found.shift[2, 3], [0.8, -0.4], atol=0.02)
    others = np.delete(found.shift.reshape(-1, 2), 2 * 7 + 3, axis=0)
    assert_allclose(others, 0, atol=0.02)


def test_a_block_turned_by_three_degrees_leans_three_degrees_clockwise() -> None:
    cells = even_cells(5, 5)
    angle = np.radians(3)
    turn = np.array([[np.cos(angle), -np.sin(angle)], [np.sin(angle), np.cos(angle)]])
    middle = cells[2, 2].mean(axis=0)
    cells[2, 2] = (cells[2, 2] - middle) @ turn.T + middle
    lean = align(cells, px_per_unit=1).lean_deg
    # The grid's own heading is the mean of all blocks, so one of 25 gives 3/25 to the others.
    assert_allclose(lean[2, 2] - lean[0, 0], 3, atol=1e-6)
    assert lean[2, 2] > 2.8


def test_a_row_sewn_half_an_inch_over_misses_at_every_crossing() -> None:
    cells = even_cells(2, 4)
    cells[1] += [5, 0]
    found = align(cells, px_per_unit=10)
    assert_allclose([each.across for each in found.crossings], 0.5)
    assert_allclose([each.down for each in found.crossings], 0, atol=1e-12)
    assert_allclose(found.typical_miss, 0.5)


def test_blocks_on_point_get_their_even_grid_and_no_crossings() -> None:
    row, column = np.indices((3, 4))
    middles = np.stack([column, row], axis=-1) * 140.0
    diamond = np.array([[0, -70], [70, 0], [0, 70], [-70, 0.0]])
    found = align(middles[:, :, None] + diamond, px_per_unit=10)
    assert_allclose(found.shift, 0, atol=1e-9)
    assert found.crossings == ()
    assert found.typical_miss is None


def test_missing_blocks_stay_missing() -> None:
    cells = even_cells(3, 3)
    cells[1, 1] = np.nan
    found = align(cells, px_per_unit=10)
    assert np.isnan(found.shift[1, 1]).all()
    assert_allclose(found.shift[0, 0], 0, atol=1e-9)
    assert found.crossings == ()


def test_even_grid_agrees_with_plain_least_squares_when_nothing_is_off() -> None:
    # Outside check: numpy.polyfit through the middles of one row.
    cells = even_cells(3, 6, gap=13)
    slope, start = np.polyfit(np.arange(6), cells[0].mean(axis=1)[:, 0], 1)
    assert_allclose(even_grid(cells)[0, :, 0], start + slope * np.arange(6))


def test_a_unit_without_pixels_is_refused() -> None:
    with pytest.raises(MeasureError, match="more than 0"):
        align(even_cells(1, 1), px_per_unit=0)
