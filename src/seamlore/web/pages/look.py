"""The page on looking: the reading over the photograph, corrections, tape measurements and the sums."""

from __future__ import annotations

import hashlib
from typing import Any

import msgspec
import numpy as np
from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from seamlore.errors import MeasureError, SeamloreError
from seamlore.lengths import length
from seamlore.photo.encoding import TILE_PX, Pyramid
from seamlore.photo.frame import check_corners
from seamlore.pictures.blocks import block_picture
from seamlore.steps.look import answer, facts
from seamlore.steps.sections import Choice, Corrections, Tape
from seamlore.study.adjustment import Adjustment
from seamlore.study.seen_block import exact_block
from seamlore.web.desk import Sheet
from seamlore.web.forms import Fields
from seamlore.web.pages.studies import desk_of, number_of
from seamlore.web.rendering import STEPS, render

HERE = next(step for step in STEPS if step[0] == "look")
# How well a point is clicked on the flattened picture, in pixels of it.
_CLICK_PX = 1.5
# What a tape says of a flattened photograph at best: drape and puckers, from the trade's own experience.
_DRAPE = 0.005


def routes() -> list[Route]:
    """Give the routes of the page on looking."""
    base = "/study/{number:int}/look"
    return [
        Route(base, page),
        Route(base + "/progress", progress),
        Route(base + "/stop", stop, methods=["POST"]),
        Route(base + "/corrections", correct, methods=["POST"]),
        Route(base + "/tape", set_tape, methods=["POST"]),
        Route(base + "/account", choose, methods=["POST"]),
    ]


async def page(request: Request) -> Response:
    """Show the page; while the photograph is still being read, how far that is."""
    desk, number = desk_of(request), number_of(request)
    sheet = await run_in_threadpool(desk.sheet, number)
    if sheet.photograph is None:
        return render(
            request, "look.html", sheet=sheet, here=HERE, answer="There is no photograph yet.", state="empty"
        )
    work = desk.reading(sheet)
    if not work.done:
        return render(
            request, "look.html", sheet=sheet, here=HERE, answer="Reading the photograph", state="working", work=work
        )
    if work.fault:
        return render(
            request,
            "look.html",
            status=422,
            sheet=sheet,
            here=HERE,
            answer="The photograph could not be read.",
            state="fault",
            fault=work.fault,
        )
    return await run_in_threadpool(_shown, request, sheet, "look.html")


async def progress(request: Request) -> Response:
    """Say how far the reading is; once it is done, the page is loaded anew."""
    desk = desk_of(request)
    sheet = await run_in_threadpool(desk.sheet, number_of(request))
    work = desk.reading(sheet)
    if work.done:
        return Response(headers={"hx-refresh": "true"})
    return render(request, "part/working.html", sheet=sheet, work=work)


async def stop(request: Request) -> Response:
    """Stop the reading."""
    desk = desk_of(request)
    sheet = await run_in_threadpool(desk.sheet, number_of(request))
    desk.stop_reading(sheet)
    return render(request, "look.html", sheet=sheet, here=HERE, answer="The reading was stopped.", state="stopped")


def _shown(
    request: Request,
    sheet: Sheet,
    template: str,
    *,
    slips: dict[str, str] | None = None,
    typed: dict[str, str] | None = None,
    slip: str = "",
) -> Response:
    job, reading = sheet.job, sheet.job.reading
    adjustment: Adjustment | None = None
    sums_fault = ""
    try:
        adjustment = job.adjustment
    except SeamloreError as fault:
        sums_fault = str(fault)
    block = None
    if reading.block is not None:
        try:
            block = exact_block(reading.block)
        except SeamloreError:
            # Shown as not readable; the draft page says why.
            block = None
    return render(
        request,
        template,
        status=422 if slips or slip else 200,
        sheet=sheet,
        here=HERE,
        state="read",
        answer=answer(reading, job.unit),
        reading=reading,
        known=facts(reading, job.unit),
        data=look_data(sheet),
        tape=sheet.section(Tape),
        corrections=sheet.section(Corrections),
        adjustment=adjustment,
        chosen=job.chosen if adjustment else None,
        following=sheet.section(Choice).explanation,
        next_measure=job.next_measure if adjustment else None,
        sums_fault=sums_fault,
        block=block,
        block_picture=block_picture(block, 40) if block else None,
        slips=slips or {},
        typed=typed or {},
        slip=slip,
    )


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
    return {
        "study": sheet.entry.number,
        "base": sheet.revisions["corrections"],
        "unit": reading.unit,
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
            "perUnit": flat.px_per_unit,
            "sigma": _DRAPE,
            "click": _CLICK_PX / flat.px_per_unit,
        },
        "corners": np.round(frame.corners, 1).tolist(),
        "edges": edges,
        "columns": columns,
        "rows": rows,
        "cells": cells,
        "seams": seams,
    }


def _cells(sheet: Sheet, on_photo: Any, on_flat: Any) -> tuple[list[dict[str, Any]], list[dict[str, Any]]]:
    """Every block's outline, and the outlines of its patches as they lie."""
    reading, quads = sheet.job.reading, sheet.job.look.cells_quilt
    cells: list[dict[str, Any]] = []
    seams: list[dict[str, Any]] = []
    outlines = [np.array(each.outline) for each in reading.block.patches] if reading.block else []
    at = {(each.row, each.column): each for each in reading.blocks or ()}
    for (row, column), block in at.items():
        if row >= quads.shape[0] or column >= quads.shape[1] or not np.isfinite(quads[row, column]).all():
            continue
        quad = quads[row, column]
        cells.append(
            {
                "row": row,
                "column": column,
                "turn": block.turn,
                "mirrored": block.mirrored,
                "differs": block.differs,
                "photo": on_photo(quad),
                "flat": on_flat(quad),
            }
        )
        for outline in outlines:
            placed = _laid(outline, block.turn, block.mirrored)
            x, y = placed[:, :1], placed[:, 1:]
            spots = (1 - x) * (1 - y) * quad[0] + x * (1 - y) * quad[1] + x * y * quad[2] + (1 - x) * y * quad[3]
            seams.append({"photo": on_photo(spots), "flat": on_flat(spots)})
    return cells, seams


def _laid(outline: Any, turn: int, mirrored: bool) -> Any:
    points = outline * [-1, 1] + [1, 0] if mirrored else outline
    for _ in range(turn // 90):
        points = np.column_stack([1 - points[:, 1], points[:, 0]])
    return points


async def correct(request: Request) -> Response:
    """Take a correction and read again what rests on it."""
    form = await request.form()
    return await run_in_threadpool(_corrected, request, Fields(form))


def _corrected(request: Request, fields: Fields) -> Response:
    desk, number = desk_of(request), number_of(request)
    sheet = desk.sheet(number)
    now = sheet.section(Corrections)
    changes: dict[str, Any] = {}
    says = []
    reset = fields.text("reset")
    if reset == "all":
        now, says = Corrections(), ["took back all corrections of the reading"]
    if corners := fields.data("corners"):
        changes["corners"], changes["bows"] = corners, None
        says.append("moved a corner")
    for name, word in (("row", "a row's line"), ("column", "a column's line")):
        if moved := fields.data(f"{name}_line"):
            changes[f"{name}_lines"] = _with_line(getattr(now, f"{name}_lines"), moved)
            says.append(f"moved {word}")
    for name in ("rows", "columns", "divisions"):
        if name in fields.form:
            count = fields.count(name, most=16 if name == "divisions" else 60)
            if count != getattr(now, name):
                changes[name] = count
                changes |= {f"{name[:-1]}_lines": None} if name != "divisions" else {}
                says.append(f"said there are {count} {name}" if count else f"left {name} to the photograph")
    if fields.slips:
        return _shown(request, sheet, "part/reading.html", slips=fields.slips, typed=dict(fields.typed()))
    try:
        merged = {**msgspec.to_builtins(now), **changes}
        corrected = msgspec.convert(merged, Corrections)
        if corrected.corners is not None and sheet.photograph is not None:
            check_corners(corrected.corners, sheet.photograph.size)
        if says:
            desk.change(number, corrected, fields.base(), " and ".join(says))
        after = desk.sheet(number)
        after.job.look  # noqa: B018 - read now, so that what cannot be read is refused before it is kept
    except msgspec.ValidationError as fault:
        return _shown(request, sheet, "part/reading.html", slip=f"That correction cannot be used: {fault}.")
    except SeamloreError as fault:
        return _shown(request, desk.sheet(number) if not says else sheet, "part/reading.html", slip=str(fault))
    return _shown(request, after, "part/reading.html")


def _with_line(lines: tuple[float, ...] | None, moved: Any) -> list[float]:
    """Put a line that was moved from one place to another among those that were moved before."""
    if not (isinstance(moved, list) and len(moved) == 2 and all(isinstance(part, int | float) for part in moved)):
        raise MeasureError("a line that was moved", "it has a place before and after", "reload the page")
    before, after = moved
    return sorted([*(line for line in lines or () if abs(line - before) > 0.004), min(max(float(after), -0.2), 1.2)])


async def set_tape(request: Request) -> Response:
    """Keep the tape's measurements that can be read; what is wrong is said beside its field."""
    form = await request.form()

    def work() -> Response:
        fields = Fields(form)
        desk, number = desk_of(request), number_of(request)
        sheet = desk.sheet(number)
        unit = sheet.job.unit

        def with_unit(name: str) -> str:
            # A bare number is in the unit that the page is set to; the unit is then written behind it.
            text = fields.checked(name, lambda given: length(given, unit=unit))
            bare = (
                text
                and name not in fields.slips
                and text.replace("/", "").replace(" ", "").replace(".", "").isdigit()
            )
            return f"{text} {unit}" if bare else text

        names = ("width", "height", "block", "block_down", "sashing", "sashing_down", "border", "tolerance")
        now = sheet.section(Tape)
        tape = msgspec.structs.replace(
            now,
            **{name: text for name in names if (text := with_unit(name)) is not None and name not in fields.slips},
            rows=fields.count("rows"),
            columns=fields.count("columns"),
            outer_sashing=bool(fields.text("outer_sashing")),
        )
        if tape != now:
            desk.change(number, tape, fields.base(), "entered tape measurements")
        return _shown(
            request,
            desk.sheet(number),
            "part/reading.html",
            slips=fields.slips,
            typed=dict(fields.typed()) if fields.slips else None,
        )

    return await run_in_threadpool(work)


async def choose(request: Request) -> Response:
    """Follow one account of the sums."""
    form = await request.form()

    def work() -> Response:
        fields = Fields(form)
        desk, number = desk_of(request), number_of(request)
        sheet = desk.sheet(number)
        text = fields.text("account") or None
        choice = msgspec.structs.replace(sheet.section(Choice), explanation=text)
        desk.change(number, choice, fields.base(), "chose an explanation of the sums")
        return _shown(request, desk.sheet(number), "part/reading.html")

    return await run_in_threadpool(work)
