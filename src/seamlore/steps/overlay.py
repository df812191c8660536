"""What is drawn over a photograph and over the quilt laid flat: corners, edges, the lines of the grid, blocks, seams."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any

import numpy as np

from seamlore.lengths import Unit, in_unit
from seamlore.photo.perspective import as_it_lies, blocks_to_quilt
from seamlore.steps.study.job import Job

# How well a point is clicked on the flattened picture, in pixels of it.
_CLICK_PX = 1.5
# What a tape says of a flattened photograph at best: drape and puckers, from the trade's own experience.
_DRAPE = 0.005


def overlay(job: Job) -> dict[str, Any]:
    """Give what a drawing over the photograph needs, in pixels of the photograph and of the flattened quilt."""
    reading, flat = job.reading, job.flat
    frame = flat.frame
    width, height = frame.size

    def on_photo(points: Any) -> list[list[float]]:
        return np.round(frame.to_photo(points), 1).tolist()  # type: ignore[no-any-return]

    def on_flat(points: Any) -> list[list[float]]:
        return np.round(flat.to_flat(points), 1).tolist()  # type: ignore[no-any-return]

    def lines(spans: Sequence[tuple[float, float]], axis: int, what: str) -> list[dict[str, Any]]:
        at = np.array(spans).reshape(-1, 1)
        points = np.empty((len(at), 13, 2))
        points[..., axis], points[..., 1 - axis] = at, np.linspace(0, frame.size[1 - axis], 13)
        photo, flattened = (to(points.reshape(-1, 2)) for to in (on_photo, on_flat))
        parts = np.round(at[:, 0] / frame.size[axis], 6).tolist()
        return [
            {
                "photo": photo[13 * n : 13 * n + 13],
                "flat": flattened[13 * n : 13 * n + 13],
                "part": part,
                "says": f"{('Start', 'End')[n % 2]} of {what} {n // 2 + 1}",
            }
            for n, part in enumerate(parts)
        ]

    along = np.linspace(0, 1, 13)
    corners_of = np.array([[0, 0], [width, 0], [width, height], [0, height]])
    edges = [on_photo(corners_of[i] + along[:, None] * (corners_of[(i + 1) % 4] - corners_of[i])) for i in range(4)]
    cells, seams = _cells(job, on_photo, on_flat)
    tall, wide = flat.pixels.shape[:2]
    scale = 1.0
    if reading.unit != "width":
        scale = float(in_unit(1, Unit(reading.unit)).measured_in(job.unit))
    return {
        "unit": "width" if reading.unit == "width" else job.unit.value,
        "flat": {
            "width": wide,
            "height": tall,
            "perUnit": [each / scale for each in flat.scale],
            "sigma": _DRAPE,
            "click": _CLICK_PX * scale / flat.px_per_unit,
        },
        "corners": np.round(frame.corners, 1).tolist(),
        "edges": edges,
        "columns": lines(reading.column_spans or (), 0, "column"),
        "rows": lines(reading.row_spans or (), 1, "row"),
        "cells": cells,
        "seams": seams,
    }


def _cells(
    job: Job, on_photo: Callable[[Any], list[Any]], on_flat: Callable[[Any], list[Any]]
) -> tuple[list[dict[str, Any]], list[dict[str, Any]]]:
    """Every block's outline, and the outlines of its patches as they lie."""
    reading, quads = job.reading, job.look.cells_quilt
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
    rings: list[list[Any]] = [[] for _ in found]
    if outlines:
        whole, cuts = np.concatenate(outlines), np.cumsum([len(each) for each in outlines])[:-1]
        ways = [(each.turn, each.mirrored) for each in found]
        for way in set(ways):
            which = [at for at, each in enumerate(ways) if each == way]
            for at, points in zip(which, blocks_to_quilt(as_it_lies(whole, *way), corners[which]), strict=True):
                rings[at] = np.split(points, cuts)
    # All points at once: taken there one block at a time they are most of the page's time.
    laid = [ring for block in rings for ring in block]
    spots = np.concatenate([corners.reshape(-1, 2), *laid])
    ends = np.cumsum([4] * len(found) + [len(ring) for ring in laid])
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
