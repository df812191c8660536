"""Rows and columns as the blocks themselves show them, once each block is set by its own seams."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from seamlore.photo.grid.grid import Grid

Floats = NDArray[np.float64]

# In the order of a block's corners: which two bound it at its left, right, top and bottom; on point one corner does.
_STRAIGHT = ((0, 3), (1, 2), (0, 1), (3, 2))
_ON_POINT = ((3, 3), (1, 1), (0, 0), (2, 2))


def spans_by_blocks(grid: Grid, cells: Floats, *, rows: bool = True, columns: bool = True) -> Grid:
    """Put the spans of rows and columns, and the sizes that follow from them, where most of their blocks lie.

    A seam seen in every block of a row says more of where the row lies than one line drawn through it.

    Parameters
    ----------
    grid : Grid
        The block grid as it was found.
    cells : ndarray, shape (rows, columns, 4, 2)
        Corners of the blocks, each set by its own seams, in the grid's pixels.
    rows, columns : bool, optional
        False where the lines were put in place by hand and are to stay.

    Returns
    -------
    Grid

    Examples
    --------
    >>> from seamlore.photo.grid.grid import no_grid
    >>> spans_by_blocks(no_grid(1.0), np.zeros((0, 0, 4, 2))).rows
    0
    """
    if grid.setting == "none":
        return grid
    left, right, top, bottom = _STRAIGHT if grid.setting == "straight" else _ON_POINT
    lines = [
        (_line(cells, left, 0), _line(cells, right, 0), grid.column_spans, columns),
        (_line(cells, top, 1), _line(cells, bottom, 1), grid.row_spans, rows),
    ]
    edge, block, sashing, spans = list(grid.edge), list(grid.block), list(grid.sashing), []
    for axis, (starts, ends, old, wanted) in enumerate(lines):
        # A row none of whose blocks can be seen is left where it was.
        seen = np.isfinite(starts) & np.isfinite(ends)
        if not wanted or not seen.any():
            spans.append(old)
            continue
        before = np.array(old)
        now = np.where(seen[:, None], np.stack([starts, ends], axis=-1), before)
        touching = grid.sashing[axis] == 0 and grid.setting == "straight"
        if touching:
            now[:-1, 1] = now[1:, 0] = (now[:-1, 1] + now[1:, 0]) / 2
        spans.append(tuple((float(a), float(b)) for a, b in now))
        edge[axis] += float(now[0, 0] - before[0, 0])
        edge[axis + 2] += float(before[-1, 1] - now[-1, 1])
        pitch = _pitch(now) / _pitch(before) if len(now) > 1 else 1.0
        whole = (block[axis] + sashing[axis]) * pitch
        if sashing[axis] > 0:
            block[axis] = min(block[axis] * _length(now) / _length(before), whole)
            sashing[axis] = whole - block[axis]
        else:
            block[axis] = whole if len(now) > 1 else block[axis] * _length(now) / _length(before)
    column_spans, row_spans = (tuple(each) for each in spans)
    return replace(
        grid,
        column_spans=column_spans,
        row_spans=row_spans,
        block=(block[0], block[1]),
        sashing=(sashing[0], sashing[1]),
        edge=(edge[0], edge[1], edge[2], edge[3]),
    )


def _line(cells: Floats, corners: tuple[int, int], axis: int) -> Floats:
    """Where one side of each column (axis 0) or row (axis 1) of blocks lies, NaN where none is."""
    at = cells[:, :, list(corners), axis].mean(axis=2)
    at = at if axis else at.T
    found = np.full(len(at), np.nan)
    some = np.isfinite(at).any(axis=1)
    found[some] = np.nanmedian(at[some], axis=1)
    return found


def _inner(spans: Floats) -> Floats:
    # The outermost may be cut off by the quilt's edge.
    return spans[1:-1] if len(spans) > 2 else spans


def _length(spans: Floats) -> float:
    return float(np.median(np.diff(_inner(spans), axis=1)))


def _pitch(spans: Floats) -> float:
    middles = spans.mean(axis=1)
    order = np.arange(len(middles))
    return float(np.polyfit(order, middles, 1)[0])
