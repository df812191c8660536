"""The photograph under a block that is being drawn."""

from __future__ import annotations

import numpy as np

from seamlore.draft.kinds import Cell
from seamlore.draft.quilt import Quilt
from seamlore.draft.setting.setting import OnPoint
from seamlore.draft.where import said
from seamlore.errors import ShapeError
from seamlore.steps.study.job import Job

_SIDE_PX = 480
# More than these in a list help nobody to choose.
_MOST = 60


def photographed(job: Job, quilt: Quilt, kind: str) -> list[tuple[str, str]]:
    """List the blocks of a kind that the photograph shows: row and column from 0 as "0,2", and as a person counts them."""
    if job.inputs.photo is None:
        return []
    return [(f"{row},{column}", said(row, column)) for row, column in quilt.spots
            if quilt.cells[row][column].kind == kind and _spot(job, quilt, row, column)][:_MOST]  # fmt: skip


def photograph_of(job: Job, row: int, column: int) -> bytes:
    """Give one block out of the photograph, laid as its kind is drawn, as a JPEG.

    Raises
    ------
    ShapeError
        When the draft has no block there, or the photograph does not show it.
    """
    from seamlore.photo.encoding import to_jpeg  # opens pictures: slow to import
    from seamlore.photo.perspective import as_it_lies, block_to_quilt

    quilt = job.quilt
    spot = _spot(job, quilt, row, column) if (row, column) in quilt.spots else None
    if spot is None:
        raise ShapeError(said(row, column), "the photograph shows no block there", "choose another block")
    between, across, down = spot
    look = job.look
    quads = look.between_quilt if between else look.cells_quilt
    if across >= quads.shape[0] or down >= quads.shape[1] or not np.isfinite(quads[across, down]).all():
        raise ShapeError(said(row, column), "the photograph shows no block there", "choose another block")
    cell: Cell = quilt.cells[row][column]
    ticks = (np.arange(_SIDE_PX) + 0.5) / _SIDE_PX
    points = np.stack(np.meshgrid(ticks, ticks), axis=-1).reshape(-1, 2)
    lies = as_it_lies(points, cell.lies.turn, cell.lies.mirrored)
    x, y = np.round(look.flat.to_flat(block_to_quilt(lies, quads[across, down]))).astype(int).T
    height, width = look.flat.pixels.shape[:2]
    seen = look.flat.pixels[np.clip(y, 0, height - 1), np.clip(x, 0, width - 1)].copy()
    # What the edge cuts off is left white.
    seen[(x < 0) | (y < 0) | (x >= width) | (y >= height)] = 255
    return to_jpeg(seen.reshape(_SIDE_PX, _SIDE_PX, 3))


def _spot(job: Job, quilt: Quilt, row: int, column: int) -> tuple[bool, int, int] | None:
    """Whether a cell is one of those between the whole rows of the reading, and its row and column there."""
    reading = job.reading
    if (reading.rows, reading.columns) != (quilt.rows, quilt.columns):
        return None
    if not isinstance(quilt.setting, OnPoint):
        return (False, row, column) if reading.setting == "straight" else None
    if reading.setting != "on point":
        return None
    # With half blocks the row that the top edge halves comes first, and is not among those read.
    at = row - (quilt.setting.edge == "half blocks")
    return (bool(at % 2), at // 2, column) if at >= 0 else None
