"""The photograph under a block that is being drawn."""

from __future__ import annotations

import numpy as np

from seamlore.draft.quilt import Quilt
from seamlore.draft.where import said
from seamlore.errors import ShapeError
from seamlore.steps.draft.unread import open_draft
from seamlore.steps.study.job import Job

_SIDE_PX = 480
# More than these in a list help nobody to choose.
_MOST = 60


def photographed(job: Job, quilt: Quilt, kind: str) -> list[tuple[str, str]]:
    """List the blocks of a kind that the photograph shows: row and column from 0 as "0,2", and as a person counts them."""
    if job.inputs.photo is None:
        return []
    from seamlore.steps.study.seen_spots import spot_seen  # opens pictures: slow to import

    reading = job.reading
    return [(f"{row},{column}", said(row, column)) for row, column in quilt.spots
            if quilt.cells[row][column].kind == kind and spot_seen(reading, quilt, row, column)][:_MOST]  # fmt: skip


def photograph_of(job: Job, row: int, column: int) -> bytes:
    """Give one block out of the photograph, laid as its kind is drawn, as a JPEG.

    Raises
    ------
    ShapeError
        When the draft has no block there, or the photograph does not show it.
    """
    from seamlore.photo.files.encoding import to_jpeg  # opens pictures: slow to import
    from seamlore.steps.study.seen_spots import corners_seen, pixels_at

    quilt, look = open_draft(job), job.look
    if quilt is None:
        raise ShapeError(said(row, column), "there is no draft yet", "measure the quilt first")
    corners = corners_seen(look, quilt, row, column)
    if corners is None:
        raise ShapeError(said(row, column), "the photograph shows no block there", "choose another block")
    ticks = (np.arange(_SIDE_PX) + 0.5) / _SIDE_PX
    points = np.stack(np.meshgrid(ticks, ticks), axis=-1).reshape(-1, 2)
    x, y = pixels_at(look, points, quilt.cells[row][column], corners)
    height, width = look.flat.pixels.shape[:2]
    seen = look.flat.pixels[np.clip(y, 0, height - 1), np.clip(x, 0, width - 1)].copy()
    # What the edge cuts off is left white.
    seen[(x < 0) | (y < 0) | (x >= width) | (y >= height)] = 255
    return to_jpeg(seen.reshape(_SIDE_PX, _SIDE_PX, 3))
