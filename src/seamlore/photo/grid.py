"""The block grid of a flattened quilt: how many blocks, how big, how they are set, where each one lies.

Everything here is in pixels of the flattened picture, x to the right and y down, from the quilt's top left.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Setting = Literal["straight", "on point", "none"]
Span = tuple[float, float]


@dataclass(frozen=True, eq=False)
class Grid:
    """Where the blocks of a quilt lie on its flattened picture.

    Attributes
    ----------
    setting
        "straight", "on point", or "none": no block grid was found. Then every other field is empty or 0.
    rows, columns
        Blocks down and across, counting those that the edge cuts. Plain alternate blocks count as blocks.
        On point: whole rows of blocks at their widest, so that between them lie (rows - 1) x (columns - 1) more.
    cells
        The four corners [x, y] of every block without the sashing round it, shape (rows, columns, 4, 2), clockwise.
        Straight: from the block's top left. On point: from its uppermost corner (top, right, bottom, left), so that
        the block is seen upright when the quilt is turned 45 degrees against the clock. Corners of a block that the
        edge cuts lie outside the picture. A block that is not there has NaN in all of its corners.
    between
        On point, the blocks between the counted ones, shape (rows - 1, columns - 1, 4, 2), in the same order
        of corners; plain setting squares or blocks like the others. Empty, shape (0, 0, 4, 2), when set straight.
    column_spans, row_spans
        Start and end of each column along x and of each row along y; the first and last reach outside the picture
        when the edge cuts them. On point: from corner to corner of the blocks.
    block
        Finished width and height of one block: the nominal size of most. On point: its sides, not its diagonals.
    sashing
        The gap between columns and between rows; 0 where blocks touch. On point: across the two sides.
    edge
        Left, top, right, bottom: signed distance inward from the quilt's edge to the nominal outer side of the
        outermost counted blocks: positive over a border or outer sashing, negative by what is cut off.
        On point: to the outermost corners of the blocks.
    block_sigma, sashing_sigma, edge_sigma
        Standard uncertainties of these, not counting how well the quilt's corners are known.
    evidence
        What the grid was judged by, each 0..1 or a ratio, by name; `confidence` is made from it.
    confidence
        The probability, 0..1, that setting, rows and columns are all exact; for "none", that there is no grid.
    """

    setting: Setting
    rows: int
    columns: int
    cells: Floats
    between: Floats
    column_spans: tuple[Span, ...]
    row_spans: tuple[Span, ...]
    block: tuple[float, float]
    sashing: tuple[float, float]
    edge: tuple[float, float, float, float]
    block_sigma: tuple[float, float]
    sashing_sigma: tuple[float, float]
    edge_sigma: float
    evidence: dict[str, float]
    confidence: float
