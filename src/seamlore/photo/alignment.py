"""How the blocks lie: shift and lean from the even grid, seams that do not meet, drift along a row.

Everything here is plain arithmetic on block corners. `cells` is an array (rows, columns, 4, 2) of corners in pixels
of the flattened quilt, clockwise from each block's own top left; entries are NaN where there is no block.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from seamlore.errors import MeasureError

Array = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Crossing:
    """Four blocks that meet at a point, and by how much their seams miss each other there.

    Attributes
    ----------
    row, column : int
        The block above and to the left of the crossing.
    across : float
        How far right the upright seam below lies of the one above, in the record's unit.
    down : float
        How far down the level seam on the right lies of the one on the left.
    """

    row: int
    column: int
    across: float
    down: float

    @property
    def miss(self) -> float:
        """The distance by which the seams miss each other."""
        return float(np.hypot(self.across, self.down))


@dataclass(frozen=True, slots=True)
class Alignment:
    """How far every block lies from the even grid.

    Attributes
    ----------
    shift : ndarray, shape (rows, columns, 2)
        Of each block's middle from its place in the even grid, right and down, in the record's unit; NaN for no block.
    lean_deg : ndarray, shape (rows, columns)
        How far each block is turned clockwise against the even grid.
    crossings : tuple of Crossing
        Where four blocks meet, in reading order.
    typical_miss : float or None
        Half of the crossings miss by less than this; None when no four blocks meet.
    """

    shift: Array
    lean_deg: Array
    crossings: tuple[Crossing, ...]
    typical_miss: float | None


def even_grid(cells: Array) -> Array:
    """Lay the even grid that fits most blocks and give the middle of each of its places.

    Columns are evenly spaced along one direction and rows along another; where blocks stand on point, every other
    row may lie half a step along. Blocks far off the rest do not pull the grid to themselves.

    Parameters
    ----------
    cells : ndarray, shape (rows, columns, 4, 2)
        Corners of the blocks in pixels; NaN where there is none.

    Returns
    -------
    ndarray, shape (rows, columns, 2)
        Pixels.

    Examples
    --------
    >>> squares = np.array([[0, 0], [10, 0], [10, 10], [0, 10.0]]) + 12.0 * np.arange(3).reshape(1, 3, 1, 1)
    >>> even_grid(squares)[0, 2].round(6).tolist()
    [29.0, 29.0]
    >>> even_grid(np.full((1, 1, 4, 2), np.nan))
    Traceback (most recent call last):
        ...
    seamlore.errors.MeasureError: 0 blocks: an even grid needs at least 1; find the block grid first
    """
    middles = cells.mean(axis=2)
    rows, columns = middles.shape[:2]
    row, column = np.indices((rows, columns), dtype=np.float64)
    seen = np.isfinite(middles).all(axis=2)
    if not seen.any():
        raise MeasureError("0 blocks", "an even grid needs at least 1", "find the block grid first")
    terms = [np.ones_like(row), column, row]
    if _on_point(cells):
        terms.append(row % 2)
    design = np.stack(terms, axis=-1)
    weights = np.ones(int(seen.sum()))
    for _ in range(6):
        scaled = design[seen] * weights[:, None]
        model = np.linalg.lstsq(scaled, middles[seen] * weights[:, None], rcond=None)[0]
        off = np.linalg.norm(middles[seen] - design[seen] @ model, axis=1)
        scale = max(2.0 * float(np.median(off)), 1e-6)
        weights = 1.0 / np.sqrt(1.0 + (off / scale) ** 2)
    even: Array = design @ model
    return even


def _on_point(cells: Array) -> bool:
    side = cells[:, :, 1] - cells[:, :, 0]
    across, down = np.nanmedian(side[..., 0]), np.nanmedian(side[..., 1])
    return bool(abs(down) > 0.5 * abs(across))


def align(cells: Array, *, px_per_unit: float) -> Alignment:
    """Measure how far blocks and seams lie from the even grid.

    Parameters
    ----------
    cells : ndarray, shape (rows, columns, 4, 2)
        Corners of the blocks in pixels; NaN where there is none.
    px_per_unit : float
        Pixels of the flattened quilt in one of the record's units.

    Returns
    -------
    Alignment

    Raises
    ------
    MeasureError
        When there is no block, or a unit has no pixels.

    Examples
    --------
    >>> square = np.array([[0, 0], [10, 0], [10, 10], [0, 10.0]])
    >>> cells = np.array([[square, square + [10, 0]], [square + [0, 10], square + [10, 10]]])
    >>> align(cells, px_per_unit=10).typical_miss
    0.0
    >>> align(cells[:1, :1], px_per_unit=10).typical_miss is None
    True
    """
    if not px_per_unit > 0:
        raise MeasureError(f"{px_per_unit:g} pixels to a unit", "it must be more than 0", "give the quilt's size")
    shift = (cells.mean(axis=2) - even_grid(cells)) / px_per_unit
    sides = np.roll(cells, -1, axis=2) - cells
    quarter = np.exp(-0.5j * np.pi * np.arange(4))
    heading = ((sides[..., 0] + 1j * sides[..., 1]) * quarter).sum(axis=2)
    lean = np.angle(heading / np.nansum(heading), deg=True)
    crossings = _crossings(cells, px_per_unit)
    typical = float(np.median([each.miss for each in crossings])) if crossings else None
    return Alignment(shift, lean, crossings, typical)


def _crossings(cells: Array, px_per_unit: float) -> tuple[Crossing, ...]:
    if min(cells.shape[:2]) < 2 or _on_point(cells):
        return ()
    above_left, above_right = cells[:-1, :-1, 2], cells[:-1, 1:, 3]
    below_left, below_right = cells[1:, :-1, 1], cells[1:, 1:, 0]
    across = (below_left + below_right - above_left - above_right)[..., 0] / 2 / px_per_unit
    down = (above_right + below_right - above_left - below_left)[..., 1] / 2 / px_per_unit
    met = np.argwhere(np.isfinite(across) & np.isfinite(down))
    return tuple(Crossing(int(r), int(c), float(across[r, c]), float(down[r, c])) for r, c in met)
