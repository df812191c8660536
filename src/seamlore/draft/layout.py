"""Where every piece of a quilt's top lies, for drawing it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from itertools import product

import numpy as np

from seamlore.draft.block import Block
from seamlore.draft.pieces import Role
from seamlore.draft.quilt import Quilt, Turned
from seamlore.plane.outline import Points


@dataclass(frozen=True, slots=True, eq=False)
class Laid:
    """One piece where it lies.

    Parameters
    ----------
    role : str
        What it is in the quilt, as in `pieces`.
    key : str
        The place ("A"), "sashing", "cornerstone", or "border 1"; what its colour hangs on.
    fabric : str
        What its fabric is called.
    outline : ndarray, shape (n, 2)
        Finished corners in inches from the quilt's top left corner.
    row, column : int
        Of its block; -1 for what belongs to no block.
    patch : int
        Index of the patch in the block as drawn in the draft (unturned); -1 for what is no patch.
    """

    role: Role
    key: str
    fabric: str
    outline: Points
    row: int = -1
    column: int = -1
    patch: int = -1


def lay(quilt: Quilt) -> tuple[Laid, ...]:
    """Lay out every piece of a quilt's top.

    Parameters
    ----------
    quilt : Quilt
        As drafted.

    Returns
    -------
    tuple of Laid
        Borders first (outermost first), then sashing, then the patches of every block by row and column.

    Examples
    --------
    >>> from seamlore.draft.notation import read_block
    >>> from seamlore.lengths import length
    >>> four = read_block("block Four Patch\\nA dark\\nB light\\n\\nA B\\nB A")
    >>> len(lay(Quilt("q", four, length("8in"), length("8in"), 2, 3)))
    24
    """
    return (*_borders(quilt), *_sashing(quilt), *_blocks(quilt))


def field_corner(quilt: Quilt) -> tuple[float, float]:
    """Inches from the quilt's top left corner to the top left corner of blocks and sashing."""
    band = sum((border.width.inches_float for border in quilt.borders), 0.0)
    return band, band


def block_corner(quilt: Quilt, row: int, column: int) -> tuple[float, float]:
    """Inches from the quilt's top left corner to the top left corner of one block."""
    left, top = field_corner(quilt)
    across, down = (gap.inches_float for gap in quilt.gaps)
    outer = 1 if quilt.sashing and quilt.sashing.outer else 0
    return (
        left + outer * across + column * (quilt.block_width.inches_float + across),
        top + outer * down + row * (quilt.block_height.inches_float + down),
    )


def _blocks(quilt: Quilt) -> Iterator[Laid]:
    scale = np.array([quilt.block_width.inches_float, quilt.block_height.inches_float])

    @cache
    def moved(turned: Turned) -> tuple[tuple[int, str, Points], ...]:
        return tuple(
            (index, each.place, _moved(each.points, turned) * scale) for index, each in enumerate(quilt.block.patches)
        )

    as_drawn = Turned()
    for row, column in product(range(quilt.rows), range(quilt.columns)):
        corner = np.array(block_corner(quilt, row, column))
        for index, place, points in moved(quilt.turned.get((row, column), as_drawn)):
            yield Laid("patch", place, quilt.fabric_of(place), points + corner, row, column, index)


def _moved(points: Points, turned: Turned) -> Points:
    if turned.mirrored:
        points = points * [-1, 1] + [1, 0]
        points = points[::-1]
    for _ in range(turned.turn // 90):
        points = np.column_stack([1 - points[:, 1], points[:, 0]])
    return points


def _box(left: float, top: float, width: float, height: float) -> Points:
    return np.array([[left, top], [left + width, top], [left + width, top + height], [left, top + height]])


def _sashing(quilt: Quilt) -> Iterator[Laid]:
    sashing = quilt.sashing
    if sashing is None:
        return
    across, down = (gap.inches_float for gap in quilt.gaps)
    wide, high = quilt.block_width.inches_float, quilt.block_height.inches_float
    first = -1 if sashing.outer else 0
    fabric, corner = quilt.fabric_of("sashing"), quilt.fabric_of("cornerstone")
    standing = range(first, quilt.columns if sashing.outer else quilt.columns - 1)
    lying = range(first, quilt.rows if sashing.outer else quilt.rows - 1)
    if across:
        for row, column in product(range(quilt.rows), standing):
            left, top = block_corner(quilt, row, column)
            yield Laid("sashing", "sashing", fabric, _box(left + wide, top, across, high))
    if down:
        for row in lying:
            top = block_corner(quilt, row, 0)[1] + high
            if not sashing.cornerstones:
                left, _ = field_corner(quilt)
                yield Laid("sashing", "sashing", fabric, _box(left, top, quilt.field_size[0].inches_float, down))
                continue
            for column in range(quilt.columns):
                yield Laid("sashing", "sashing", fabric, _box(block_corner(quilt, 0, column)[0], top, wide, down))
            for column in standing if across else ():
                left = block_corner(quilt, 0, column)[0] + wide
                yield Laid("cornerstone", "cornerstone", corner, _box(left, top, across, down))


def _borders(quilt: Quilt) -> Iterator[Laid]:
    full_w, full_h = (side.inches_float for side in quilt.finished_size)
    inset = 0.0
    for number in range(len(quilt.borders), 0, -1):
        border = quilt.borders[number - 1]
        band, key = border.width.inches_float, f"border {number}"
        width, height = full_w - 2 * inset, full_h - 2 * inset
        if border.corners == "mitred":
            outside, inside = _box(0, 0, width, height), _box(band, band, width - 2 * band, height - 2 * band)
            for side in range(4):
                nxt = (side + 1) % 4
                strip = np.array([outside[side], outside[nxt], inside[nxt], inside[side]])
                yield Laid("border", key, border.fabric, strip + inset)
        else:
            squares = border.corners == "squares"
            start, long = (band, width - 2 * band) if squares else (0.0, width)
            for top in (0.0, height - band):
                yield Laid("border", key, border.fabric, _box(start, top, long, band) + inset)
                for left in (0.0, width - band) if squares else ():
                    corner = _box(left, top, band, band) + inset
                    yield Laid("border corner", "cornerstone", quilt.fabric_of("cornerstone"), corner)
            for left in (0.0, width - band):
                yield Laid("border", key, border.fabric, _box(left, band, band, height - 2 * band) + inset)
        inset += band


def lay_block(block: Block) -> tuple[tuple[str, Points], ...]:
    """Lay out the patches of a block on a square of side 1: place and outline of each."""
    return tuple((each.place, each.points) for each in block.patches)
