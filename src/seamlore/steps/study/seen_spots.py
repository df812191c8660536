"""Where the blocks of a draft lie on the photograph, and the cloths under blocks that were drawn by hand."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

import numpy as np
from numpy.typing import NDArray

from seamlore.draft.block import Block
from seamlore.draft.exact.lookup import inner_points
from seamlore.draft.kinds import Cell
from seamlore.draft.quilt import Quilt
from seamlore.draft.setting.setting import OnPoint
from seamlore.draft.where import Where, in_block
from seamlore.photo.perspective import as_it_lies, block_to_quilt
from seamlore.photo.read import Look
from seamlore.photo.reading import Reading

Floats = NDArray[np.float64]
# From a point inside a patch so far toward each of its corners: well in from its seams.
_TOWARD = (0.15, 0.35, 0.55)


def spot_seen(reading: Reading, quilt: Quilt, row: int, column: int) -> tuple[bool, int, int] | None:
    """Whether a cell is one of those between the whole rows of a reading, and its row and column there.

    None where the draft has other rows, columns or setting than the reading, or the reading no block there.
    """
    if (reading.rows, reading.columns) != (quilt.rows, quilt.columns):
        return None
    if not isinstance(quilt.setting, OnPoint):
        return (False, row, column) if reading.setting == "straight" else None
    if reading.setting != "on point":
        return None
    # With half blocks the row that the top edge halves comes first, and is not among those read.
    at = row - (quilt.setting.edge == "half blocks")
    return (bool(at % 2), at // 2, column) if at >= 0 else None


def corners_seen(look: Look, quilt: Quilt, row: int, column: int) -> Floats | None:
    """The corners of the block in a cell, shape (4, 2), on the quilt as it was read; None where it was not seen."""
    spot = spot_seen(look.reading, quilt, row, column) if (row, column) in quilt.spots else None
    if spot is None:
        return None
    between, across, down = spot
    quads = look.between_quilt if between else look.cells_quilt
    if across >= quads.shape[0] or down >= quads.shape[1] or not np.isfinite(quads[across, down]).all():
        return None
    corners: Floats = quads[across, down]
    return corners


def cloths_under(look: Look, quilt: Quilt, kinds: Iterable[str]) -> Iterator[tuple[Where, tuple[int, int, int]]]:
    """Give the color of each patch of blocks that were drawn over the photograph, as it shows them: 0 to 255.

    Parameters
    ----------
    look : Look
    quilt : Quilt
    kinds : iterable of str
        The kinds whose blocks are looked at.
    """
    wanted = {name: _spots(quilt.kind(name).block) for name in kinds}
    for row, column in quilt.spots:
        cell: Cell = quilt.cells[row][column]
        if cell.kind not in wanted or (corners := corners_seen(look, quilt, row, column)) is None:
            continue
        points, patches = wanted[cell.kind]
        x, y = pixels_at(look, points, cell, corners)
        height, width = look.flat.pixels.shape[:2]
        there = (x >= 0) & (y >= 0) & (x < width) & (y < height)
        seen = look.flat.pixels[y[there], x[there]]
        for patch in np.unique(patches[there]).tolist():
            red, green, blue = np.median(seen[patches[there] == patch], axis=0).round().astype(int).tolist()
            yield in_block(row, column, patch), (red, green, blue)


def pixels_at(look: Look, points: Floats, cell: Cell, corners: Floats) -> tuple[NDArray[np.int_], NDArray[np.int_]]:
    """Where points of a block as drawn, shape (n, 2) in 0..1, lie on the flattened photograph: across, down."""
    lies = as_it_lies(points, cell.lies.turn, cell.lies.mirrored)
    x, y = np.round(look.flat.to_flat(block_to_quilt(lies, corners))).astype(int).T
    return x, y


def _spots(block: Block) -> tuple[Floats, NDArray[np.int_]]:
    """Points well inside the patches of a block, shape (n, 2), and the patch of each."""
    inner = inner_points(block.patches)
    found = [
        np.concatenate([middle[None], *(middle + part * (each.points - middle) for part in _TOWARD)])
        for middle, each in zip(inner, block.patches, strict=True)
    ]
    return np.concatenate(found), np.repeat(np.arange(len(found)), [len(each) for each in found])
