"""What was read, drawn over the photograph, beside what is so."""

from __future__ import annotations

from pathlib import Path

import cv2
import numpy as np

from judging.piecing import Points, in_quad, moved
from judging.truth import Photo, Truth
from seamlore.photo.opening import open_photo
from seamlore.photo.reading import Reading

READ, TRUE, ODD, SEAM = (255, 40, 40), (40, 220, 60), (255, 200, 0), (40, 90, 255)
LONG_SIDE_PX = 1400


def draw_overlay(photo: Path, reading: Reading, truth: Truth, to: Path) -> None:
    """Draw a reading over its photograph: red as read, green as is so, blue the block's seams, yellow odd blocks."""
    pixels = open_photo(photo).pixels
    factor = min(LONG_SIDE_PX / max(pixels.shape[:2]), 1.0)
    small = cv2.resize(pixels, None, fx=factor, fy=factor, interpolation=cv2.INTER_AREA)
    picture = np.ascontiguousarray(small, dtype=np.uint8)
    if truth.corners is not None:
        _ring(picture, np.array(truth.corners) * factor, TRUE, 2)
    for each in truth.quads:
        _ring(picture, np.array(each.corners_px) * factor, TRUE, 1)
    _ring(picture, np.array(reading.corners) * factor, READ, 2)
    _draw_blocks(picture, reading, factor)
    said = f"{reading.setting} {reading.rows} x {reading.columns}, grid {reading.confidence.grid:.2f}"
    true = f"so: {truth.setting} {truth.rows} x {truth.columns}"
    for line, text in enumerate((said, true, *reading.warnings[:2])):
        at = (8, 20 + 19 * line)
        cv2.putText(picture, text[:150], at, cv2.FONT_HERSHEY_SIMPLEX, 0.5, (0, 0, 0), 3, cv2.LINE_AA)
        cv2.putText(picture, text[:150], at, cv2.FONT_HERSHEY_SIMPLEX, 0.5, (255, 255, 255), 1, cv2.LINE_AA)
    cv2.imwrite(str(to), picture[..., ::-1])


def _ring(picture: Photo, corners: Points, colour: tuple[int, int, int], wide: int) -> None:
    ring = np.rint(corners * 16).astype(np.int32).reshape(-1, 1, 2)
    cv2.polylines(picture, [ring], True, colour, wide, cv2.LINE_AA, 4)


def _through(project: Points, points: Points) -> Points:
    return np.asarray(cv2.perspectiveTransform(points.reshape(-1, 1, 2), project), dtype=np.float64).reshape(-1, 2)


def _draw_blocks(picture: Photo, reading: Reading, factor: float) -> None:
    """Draw each block as read, its edges taken as straight from corner to corner of the quilt."""
    if not reading.row_spans or not reading.column_spans:
        return
    w, h = reading.size
    flat = np.array([[0, 0], [w, 0], [w, h], [0, h]], np.float32)
    seen_at = np.array(reading.corners, np.float32) * np.float32(factor)
    project = np.asarray(cv2.getPerspectiveTransform(flat, seen_at), dtype=np.float64)
    at = {(each.row, each.column): each for each in reading.blocks or ()}
    for row, (y0, y1) in enumerate(reading.row_spans):
        for column, (x0, x1) in enumerate(reading.column_spans):
            quad = np.array([[x0, y0], [x1, y0], [x1, y1], [x0, y1]], np.float64)
            if reading.setting == "on point":
                mx, my = (x0 + x1) / 2, (y0 + y1) / 2
                quad = np.array([[mx, y0], [x1, my], [mx, y1], [x0, my]], np.float64)
            block = at.get((row, column))
            odd = block is not None and (block.turn or block.mirrored or block.differs)
            seen = _through(project, quad)
            _ring(picture, seen, ODD if odd else READ, 2 if odd else 1)
            if reading.block is None or block is None or block.differs:
                continue
            for each in reading.block.patches:
                ring = in_quad(moved(np.array(each.outline), (block.turn, block.mirrored)), quad)
                _ring(picture, _through(project, ring), SEAM, 1)
