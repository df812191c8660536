from dataclasses import replace

import numpy as np
from numpy.testing import assert_allclose

from seamlore.photo.block.grid_by_blocks import spans_by_blocks
from seamlore.photo.grid.grid import Grid, no_grid

# Grids laid by the tests, so that their truth is exact: custom, no source.


def grid_of(block: float, gap: float, first: float, rows: int, columns: int) -> Grid:
    ends = [
        [(first + n * (block + gap), first + n * (block + gap) + block) for n in range(c)] for c in (columns, rows)
    ]
    cells = np.array(
        [[[[x0, y0], [x1, y0], [x1, y1], [x0, y1]] for x0, x1 in ends[0]] for y0, y1 in ends[1]], dtype=float
    )
    return replace(
        no_grid(0.9),
        setting="straight",
        rows=rows,
        columns=columns,
        cells=cells,
        column_spans=tuple(ends[0]),
        row_spans=tuple(ends[1]),
        block=(block, block),
        sashing=(gap, gap),
        edge=(first, first, first, first),
    )


def test_blocks_drawn_too_wide_are_put_right_against_the_sashing() -> None:
    true, read = grid_of(40, 10, 12, 4, 5), grid_of(42, 8, 11, 4, 5)
    found = spans_by_blocks(read, true.cells)
    assert_allclose(found.column_spans, true.column_spans)
    assert_allclose(found.row_spans, true.row_spans)
    assert_allclose(found.block, [40, 40])
    assert_allclose(found.sashing, [10, 10])
    assert_allclose(found.edge, [12, 12, 12, 12])


def test_one_crooked_block_does_not_move_its_row() -> None:
    true = grid_of(40, 10, 12, 4, 5)
    cells = true.cells.copy()
    cells[1, 2] += 6
    assert_allclose(spans_by_blocks(true, cells).row_spans, true.row_spans)


def test_blocks_that_touch_share_one_line() -> None:
    true = grid_of(40, 0, 12, 3, 3)
    rng = np.random.default_rng(1)
    found = spans_by_blocks(true, true.cells + rng.normal(0, 0.5, true.cells.shape))
    assert_allclose([end for _, end in found.column_spans[:-1]], [start for start, _ in found.column_spans[1:]])
    assert found.sashing == (0.0, 0.0)


def test_lines_put_in_place_by_hand_stay() -> None:
    true, read = grid_of(40, 10, 12, 4, 5), grid_of(42, 8, 11, 4, 5)
    found = spans_by_blocks(read, true.cells, rows=False)
    assert_allclose(found.row_spans, read.row_spans)
    assert_allclose(found.column_spans, true.column_spans)


def test_a_column_without_a_block_to_see_is_left_where_it_was() -> None:
    true = grid_of(40, 10, 12, 3, 3)
    cells = true.cells + 1
    cells[:, 1] = np.nan
    found = spans_by_blocks(true, cells)
    assert_allclose(found.column_spans[1], true.column_spans[1])
    assert_allclose(found.column_spans[0], np.array(true.column_spans[0]) + 1)


def test_on_point_the_pitch_follows_the_blocks() -> None:
    middles = np.stack(np.meshgrid(np.arange(4) * 60.0 + 40, np.arange(3) * 60.0 + 40), axis=-1)
    cells = middles[:, :, None] + np.array([[0, -30], [30, 0], [0, 30], [-30, 0.0]])
    spans = [
        tuple((m - 30.0, m + 30.0) for m in middles[0, :, 0]),
        tuple((m - 30.0, m + 30.0) for m in middles[:, 0, 1]),
    ]
    side = 30 * 2**0.5
    read = replace(
        no_grid(0.9), setting="on point", rows=3, columns=4, cells=cells, column_spans=spans[0], row_spans=spans[1],
        block=(side, side), edge=(10.0, 10.0, 10.0, 10.0),
    )  # fmt: skip
    found = spans_by_blocks(read, cells * 1.01)
    assert_allclose(found.block, [side * 1.01] * 2)
    assert_allclose(found.column_spans, np.array(spans[0]) * 1.01)
