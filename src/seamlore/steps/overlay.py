"""What is drawn over a photograph and over the quilt laid flat: corners, edges, the lines of the grid, blocks, seams."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any

import numpy as np

from seamlore.lengths import Unit, in_unit
from seamlore.photo.read import Look
from seamlore.photo.reading import Reading, SeenPatch
from seamlore.steps.study.job import Job
from seamlore.steps.study.patch_rings import BlockAt, patch_rings, quads_of

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
    on_point = reading.setting == "on point"
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
        # On point a row is no line: its blocks are outlined.
        "on_point": on_point,
        "columns": [] if on_point else lines(reading.column_spans or (), 0, "column"),
        "rows": [] if on_point else lines(reading.row_spans or (), 1, "row"),
        "cells": cells,
        "seams": seams,
    }


def _cells(
    job: Job, on_photo: Callable[[Any], list[Any]], on_flat: Callable[[Any], list[Any]]
) -> tuple[list[dict[str, Any]], list[dict[str, Any]]]:
    """Every block's outline, those between the whole rows too, and the outlines of the patches of those that were read."""
    look = job.look
    kept = [(at, each) for at, each in look.reading.everywhere.items() if _shown(look, at)]
    if not kept:
        return [], []
    corners = np.array([quads_of(look)[at[0]][at[1], at[2]] for at, _ in kept])
    patches = [(*at, number) for at, each in kept for number in range(len(_patches(look.reading, each.kind)))]
    laid = [look.flat.to_quilt(ring[:-1]) for ring in patch_rings(look, patches).values()]
    # All points at once: taken there one block at a time they are most of the page's time.
    spots = np.concatenate([corners.reshape(-1, 2), *laid])
    ends = np.cumsum([4] * len(kept) + [len(ring) for ring in laid])
    photo, flat = on_photo(spots), on_flat(spots)
    places = [
        {"photo": photo[start:end], "flat": flat[start:end]} for start, end in zip([0, *ends[:-1]], ends, strict=True)
    ]
    cells = [
        {
            "row": each.row,
            "column": each.column,
            "between": at[0],
            "read": each.kind is not None,
            "turn": each.turn,
            "mirrored": each.mirrored,
            "differs": each.differs,
            **place,
        }
        for (at, each), place in zip(kept, places[: len(kept)], strict=True)
    ]
    return cells, places[len(kept) :]


def _patches(reading: Reading, kind: int | None) -> Sequence[SeenPatch]:
    return () if kind is None or reading.kinds is None else reading.kinds[kind].patches


def _shown(look: Look, at: BlockAt) -> bool:
    """Whether a block, read or not, has a place on the photograph."""
    quads = quads_of(look)[at[0]]
    return at[1] < quads.shape[0] and at[2] < quads.shape[1] and bool(np.isfinite(quads[at[1], at[2]]).all())
