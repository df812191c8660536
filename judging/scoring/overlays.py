"""What was read, drawn over the photograph, beside what is so."""

from __future__ import annotations

from pathlib import Path

import cv2
import numpy as np

from judging.rendering.piecing import Points, in_quad, moved
from judging.truth import Photo, Truth
from seamlore.photo.opening import open_photo
from seamlore.photo.reading import Reading

READ, TRUE, ODD, SEAM = (255, 40, 40), (40, 220, 60), (255, 200, 0), (40, 90, 255)
LONG_SIDE_PX = 1400


def draw_overlay(photo: Path, reading: Reading, cells_px: Points, truth: Truth, to: Path) -> None:
    """Draw a reading over its photograph: red as read, green as is so, blue the block's seams, yellow odd blocks.

    Parameters
    ----------
    photo : Path
        The photograph.
    reading : Reading
        What was read.
    cells_px : ndarray, shape (rows, columns, 4, 2)
        Corners of every block as read, in the photograph.
    truth : Truth
        What is so.
    to : Path
        The PNG to write.
    """
    pixels = open_photo(photo).pixels
    factor = min(LONG_SIDE_PX / max(pixels.shape[:2]), 1.0)
    small = cv2.resize(pixels, None, fx=factor, fy=factor, interpolation=cv2.INTER_AREA)
    picture = np.ascontiguousarray(small, dtype=np.uint8)
    if truth.corners is not None:
        _ring(picture, np.array(truth.corners) * factor, TRUE, 2)
    for each in truth.quads:
        _ring(picture, np.array(each.corners_px) * factor, TRUE, 1)
    _ring(picture, np.array(reading.corners) * factor, READ, 2)
    _draw_blocks(picture, reading, cells_px * factor)
    said = f"{reading.setting} {reading.rows} x {reading.columns}, grid {reading.confidence.grid:.2f}"
    true = f"so: {truth.setting} {truth.rows} x {truth.columns}"
    for line, text in enumerate((said, true, *reading.warnings[:2])):
        at = (8, 20 + 19 * line)
        cv2.putText(picture, text[:150], at, cv2.FONT_HERSHEY_SIMPLEX, 0.5, (0, 0, 0), 3, cv2.LINE_AA)
        cv2.putText(picture, text[:150], at, cv2.FONT_HERSHEY_SIMPLEX, 0.5, (255, 255, 255), 1, cv2.LINE_AA)
    cv2.imwrite(str(to), picture[..., ::-1])


def _ring(picture: Photo, corners: Points, color: tuple[int, int, int], wide: int) -> None:
    ring = np.rint(corners * 16).astype(np.int32).reshape(-1, 1, 2)
    cv2.polylines(picture, [ring], True, color, wide, cv2.LINE_AA, 4)


def _draw_blocks(picture: Photo, reading: Reading, cells_px: Points) -> None:
    for block in reading.blocks or ():
        quad = cells_px[block.row, block.column]
        odd = bool(block.turn or block.mirrored or block.differs)
        _ring(picture, quad, ODD if odd else READ, 2 if odd else 1)
        if reading.block is None or block.differs:
            continue
        for each in reading.block.patches:
            lying = moved(np.array(each.outline), (block.turn, block.mirrored))
            _ring(picture, in_quad(lying, quad), SEAM, 1)
