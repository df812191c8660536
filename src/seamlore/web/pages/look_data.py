"""What the page on looking draws with: everything in pixels of the photograph and of the flattened quilt."""

from __future__ import annotations

import hashlib
from collections.abc import Callable
from typing import Any

import numpy as np

from seamlore.lengths import Unit, in_unit
from seamlore.photo.encoding import TILE_PX, Pyramid
from seamlore.web.desk import Sheet

# How well a point is clicked on the flattened picture, in pixels of it.
_CLICK_PX = 1.5
# What a tape says of a flattened photograph at best: drape and puckers, from the trade's own experience.
_DRAPE = 0.005


def look_data(sheet: Sheet) -> dict[str, Any]:
    """Give what the page's drawing needs: everything in pixels of the photograph and of the flattened quilt."""
    job, reading = sheet.job, sheet.job.reading
    flat, photograph = job.flat, sheet.photograph
    assert photograph is not None
    frame = flat.frame
    width, height = frame.size

    def on_photo(points: Any) -> list[list[float]]:
        return np.round(frame.to_photo(points), 1).tolist()  # type: ignore[no-any-return]

    def on_flat(points: Any) -> list[list[float]]:
        return np.round(flat.to_flat(points), 1).tolist()  # type: ignore[no-any-return]

    def line(at: float, axis: str, says: str) -> dict[str, Any]:
        run = np.linspace(0, height if axis == "x" else width, 13)
        points = np.column_stack([np.full(13, at), run] if axis == "x" else [run, np.full(13, at)])
        part = at / (width if axis == "x" else height)
        return {"photo": on_photo(points), "flat": on_flat(points), "part": round(part, 6), "says": says}

    along = np.linspace(0, 1, 13)
    corners_of = np.array([[0, 0], [width, 0], [width, height], [0, height]])
    edges = [on_photo(corners_of[i] + along[:, None] * (corners_of[(i + 1) % 4] - corners_of[i])) for i in range(4)]
    key = hashlib.sha256(repr((photograph.reference, frame.corners, frame.bows, frame.size)).encode()).hexdigest()[
        :16
    ]
    columns: list[dict[str, Any]] = []
    rows: list[dict[str, Any]] = []
    for spans, axis, what, into in (
        (reading.column_spans, "x", "column", columns),
        (reading.row_spans, "y", "row", rows),
    ):
        for index, (start, end) in enumerate(spans or ()):
            into.append(line(start, axis, f"Start of {what} {index + 1}"))
            into.append(line(end, axis, f"End of {what} {index + 1}"))
    cells, seams = _cells(sheet, on_photo, on_flat)
    tall, wide = flat.pixels.shape[:2]
    scale = 1.0
    if reading.unit != "width":
        scale = float(in_unit(1, Unit(reading.unit)).measured_in(job.unit))
    return {
        "study": sheet.entry.number,
        "base": sheet.revisions["corrections"],
        "unit": "width" if reading.unit == "width" else job.unit.value,
        "photo": {
            "width": photograph.size[0],
            "height": photograph.size[1],
            "levels": Pyramid(job.photo.pixels).levels,
            "tile": TILE_PX,
            "tiles": f"/study/{sheet.entry.number}/picture/tile",
            "key": photograph.reference[:12],
        },
        "flat": {
            "url": f"/study/{sheet.entry.number}/picture/flat.jpg?k={key}",
            "width": wide,
            "height": tall,
            "perUnit": [each / scale for each in flat.scale],
            "sigma": _DRAPE,
            "click": _CLICK_PX * scale / flat.px_per_unit,
        },
        "corners": np.round(frame.corners, 1).tolist(),
        "edges": edges,
        "columns": columns,
        "rows": rows,
        "cells": cells,
        "seams": seams,
    }


def _cells(
    sheet: Sheet, on_photo: Callable[[Any], list[Any]], on_flat: Callable[[Any], list[Any]]
) -> tuple[list[dict[str, Any]], list[dict[str, Any]]]:
    """Every block's outline, and the outlines of its patches as they lie."""
    reading, quads = sheet.job.reading, sheet.job.look.cells_quilt
    found = [
        each
        for each in reading.blocks or ()
        if each.row < quads.shape[0]
        and each.column < quads.shape[1]
        and np.isfinite(quads[each.row, each.column]).all()
    ]
    if not found:
        return [], []
    corners = np.array([quads[each.row, each.column] for each in found])
    outlines = [np.array(each.outline) for each in reading.block.patches] if reading.block else []
    lies = {(each.turn, each.mirrored) for each in found}
    laid = {lie: [_weights(_laid(outline, *lie)) for outline in outlines] for lie in lies}
    rings = [
        weights @ quad
        for each, quad in zip(found, corners, strict=True)
        for weights in laid[each.turn, each.mirrored]
    ]
    # All points at once: taken there one block at a time they are most of the page's time.
    spots = np.concatenate([corners.reshape(-1, 2), *rings])
    ends = np.cumsum([4] * len(found) + [len(ring) for ring in rings])
    photo, flat = on_photo(spots), on_flat(spots)
    places = [
        {"photo": photo[start:end], "flat": flat[start:end]} for start, end in zip([0, *ends[:-1]], ends, strict=True)
    ]
    cells = [
        {
            "row": each.row,
            "column": each.column,
            "turn": each.turn,
            "mirrored": each.mirrored,
            "differs": each.differs,
            **place,
        }
        for each, place in zip(found, places[: len(found)], strict=True)
    ]
    return cells, places[len(found) :]


def _weights(points: Any) -> Any:
    """How points of a block hang on its four corners, shape (n, 4)."""
    x, y = points[:, 0], points[:, 1]
    return np.column_stack([(1 - x) * (1 - y), x * (1 - y), x * y, (1 - x) * y])


def _laid(outline: Any, turn: int, mirrored: bool) -> Any:
    points = outline * [-1, 1] + [1, 0] if mirrored else outline
    for _ in range(turn // 90):
        points = np.column_stack([1 - points[:, 1], points[:, 0]])
    return points
