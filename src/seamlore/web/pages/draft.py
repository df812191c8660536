"""The page on drafting: the quilt as its maker pieced it beside the quilt as found, its block, its sizes."""

from __future__ import annotations

import re
from typing import Any

from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from seamlore.draft.catalogue import all_blocks, find
from seamlore.draft.notation import write_block
from seamlore.draft.proportion import Proportions, proportions
from seamlore.draft.quilt import Quilt
from seamlore.draft.quilt_file import write_quilt
from seamlore.drawing.svg import to_svg
from seamlore.errors import SeamloreError
from seamlore.pictures.blocks import block_picture
from seamlore.pictures.nearness import near_picture
from seamlore.pictures.palette import quilt_cloths
from seamlore.pictures.quilts import quilt_picture
from seamlore.steps.redraft import answer, changed, fields_of, in_unit_of
from seamlore.steps.sections import Choice
from seamlore.steps.understand import match_words, of_block
from seamlore.web.desk import Sheet
from seamlore.web.pages.draft_beside import beside, sliders, snap_lines
from seamlore.web.pages.draft_data import (
    COLORED,
    Colored,
    cloths,
    colored,
    editor_data,
    stage,
    swatches,
    value_of_paint,
)
from seamlore.web.pages.studies import desk_of, number_of, once_read
from seamlore.web.rendering import STEPS, render

HERE = next(step for step in STEPS if step[0] == "draft")
_NAMES_SHOWN = 6


def routes() -> list[Route]:
    """Give the routes that show the draft; `draft_edit` has those that change it."""
    base = "/study/{number:int}/draft"
    return [
        Route(base, page),
        Route(base + "/try", tried),
        Route(base + "/stage", stage_alone),
        Route(base + "/beside", side_by_side),
        Route(base + "/proportions", measured),
        Route(base + "/files", as_text),
        Route(base + "/quilt.draft.txt", quilt_text),
        Route(base + "/quilt.svg", quilt_svg),
        Route(base + "/block.txt", block_text),
        Route(base + "/block.svg", block_svg),
    ]


async def page(request: Request) -> Response:
    """Show the page; while the photograph is still being read, how far that is."""
    return await once_read(request, "draft.html", HERE, shown)


def shown(
    request: Request,
    sheet: Sheet,
    *,
    status: int = 200,
    slip: str = "",
    slips: dict[str, str] | None = None,
    typed: dict[str, str] | None = None,
    said: str = "",
    color: str = "",
    files: dict[str, str] | None = None,
) -> Response:
    """Show the draft, whole or as the part of the page that an edit replaces.

    Parameters
    ----------
    slip : str
        What was wrong with the edit as a whole.
    slips, typed : dict of str to str
        What was wrong by field, and every field as it was typed.
    said : str
        What the edit did, for who cannot see it.
    color : str
        Which colors it is shown in, when not the address says so.
    files : dict of str to str
        Draft and block as text, when one was typed with a slip.
    """
    part = bool(request.headers.get("hx-request"))
    how = colored(color or request.query_params.get("color", ""), sheet)
    given: dict[str, Any] = {
        "sheet": sheet,
        "here": HERE,
        "slip": slip,
        "slips": slips or {},
        "typed": typed or {},
        "base": sheet.revisions["choice"],
        "choice": sheet.section(Choice),
        "color": how,
        "colors": COLORED,
    }
    try:
        quilt = in_unit_of(sheet.job.quilt, sheet.job.unit)
        facts_given = _facts(sheet, quilt, how, said, part)
    except SeamloreError as fault:
        given |= {"state": "fault", "answer": "There is no draft yet.", "fault": str(fault), "names": _catalogue()}
        return render(request, "part/draft_begin.html" if part else "draft.html", status=status, **given)
    given |= facts_given | {"state": "drafted"}
    if not part:
        given |= {"names": _catalogue(), "files": files or files_given(sheet)}
    response = render(request, "part/draft.html" if part else "draft.html", status=status, **given)
    if part:
        response.headers["hx-trigger"] = "draft-changed"
    return response


def _facts(sheet: Sheet, quilt: Quilt, how: Colored, said: str, part: bool) -> dict[str, Any]:
    job = sheet.job
    facts = of_block(quilt.block, job.names_of(quilt.block))
    by_key, _ = cloths(job, quilt, "value" if how == "value" else "place")
    paints = quilt_cloths(quilt, by_key)
    names = [
        {
            "words": match_words(match),
            "near": match.kind == "near",
            "picture": near_picture(quilt.block, match, 26, paints)
            if match.kind == "near"
            else block_picture(match.block.moved(match.turn, mirrored=match.mirrored), 26),
        }
        for match in facts.matches[:_NAMES_SHOWN]
    ]
    return {
        "quilt": quilt,
        "answer": answer(quilt),
        "stage": stage(sheet, quilt, how),
        "fields": fields_of(quilt),
        "sliders": sliders(quilt),
        "facts": facts,
        "matches": names,
        # The editor draws it from its data; the picture is for a page that runs no script.
        "block_picture": None if part else block_picture(quilt.block, 100, paints, letters=True),
        "data": editor_data(sheet.entry.number, sheet.revisions["choice"], quilt, facts, paints, said),
        "swatches": swatches(sheet),
        "snaps": snap_lines(job),
        "notes": _notes(sheet),
        "kind": type(quilt.setting).__name__,
    }


def _notes(sheet: Sheet) -> tuple[str, ...]:
    try:
        return sheet.job.drafted.notes
    except SeamloreError:
        # A draft of the user's own, with nothing measured behind it, has no notes on what was assumed.
        return ()


def _catalogue() -> list[str]:
    return sorted({name for block in all_blocks() for name in block.names}, key=str.casefold)


async def tried(request: Request) -> Response:
    """Show the stage with fields changed and nothing kept, as when a slider is dragged."""

    def work() -> Response:
        sheet = desk_of(request).sheet(number_of(request))
        quilt, slips = changed(in_unit_of(sheet.job.quilt, sheet.job.unit), dict(request.query_params))
        how = colored(request.query_params.get("color", ""), sheet)
        return render(
            request,
            "part/draft_stage.html",
            status=422 if slips else 200,
            sheet=sheet,
            stage=stage(sheet, quilt, how),
            answer=answer(quilt),
            trying=True,
        )

    return await run_in_threadpool(work)


async def stage_alone(request: Request) -> Response:
    """Show the stage in other colors."""

    def work() -> Response:
        sheet = desk_of(request).sheet(number_of(request))
        quilt = in_unit_of(sheet.job.quilt, sheet.job.unit)
        how = colored(request.query_params.get("color", ""), sheet)
        return render(
            request,
            "part/draft_stage.html",
            sheet=sheet,
            stage=stage(sheet, quilt, how),
            answer=answer(quilt),
            trying=False,
        )

    return await run_in_threadpool(work)


async def side_by_side(request: Request) -> Response:
    """Show the same quilt with other sizes, side by side."""

    def work() -> Response:
        sheet = desk_of(request).sheet(number_of(request))
        quilt = in_unit_of(sheet.job.quilt, sheet.job.unit)
        vary = request.query_params.get("vary", "sashing")
        how = colored(request.query_params.get("color", ""), sheet)
        by_key, _ = cloths(sheet.job, quilt, "value" if how == "value" else "place")
        kinds, shown_ways = beside(quilt, vary, by_key)
        return render(
            request,
            "part/draft_beside.html",
            sheet=sheet,
            base=sheet.revisions["choice"],
            vary=vary,
            kinds=kinds,
            ways=shown_ways,
        )

    return await run_in_threadpool(work)


async def measured(request: Request) -> Response:
    """Show the draft's proportions beside the customs of the trade."""

    def work() -> Response:
        sheet = desk_of(request).sheet(number_of(request))
        quilt = in_unit_of(sheet.job.quilt, sheet.job.unit)
        by_key, _ = cloths(sheet.job, quilt, "place")
        values = {
            key: value_of_paint(paint)
            for key, paint in quilt_cloths(quilt, by_key).items()
            if key not in quilt.places and isinstance(paint, str)
        }
        found: Proportions = proportions(quilt, values)
        return render(request, "part/draft_proportions.html", sheet=sheet, found=found, quilt=quilt)

    return await run_in_threadpool(work)


def files_given(sheet: Sheet, *, wrong: str = "", slip: str = "", text: str = "") -> dict[str, str]:
    """Give the draft and the block as text; the one that was typed with a slip as it was typed."""
    quilt = sheet.job.quilt
    own = sheet.section(Choice).draft
    return {
        "draft": text if wrong == "draft" else own or write_quilt(quilt, find_block=find),
        "block": text if wrong == "block" else write_block(quilt.block),
        "wrong": wrong,
        "slip": slip,
    }


async def as_text(request: Request) -> Response:
    """Show the draft and the block as text."""

    def work() -> Response:
        sheet = desk_of(request).sheet(number_of(request))
        return render(
            request,
            "part/draft_files.html",
            sheet=sheet,
            base=sheet.revisions["choice"],
            files=files_given(sheet),
        )

    return await run_in_threadpool(work)


async def _saved(request: Request, what: str, ending: str, media: str) -> Response:
    def work() -> Response:
        sheet = desk_of(request).sheet(number_of(request))
        quilt = sheet.job.quilt
        by_key, single = cloths(sheet.job, quilt, colored("", sheet))
        if ending == "svg" and what == "quilt":
            text = to_svg(quilt_picture(quilt, 400, 400, by_key, patch_cloths=single))
        elif ending == "svg":
            text = to_svg(block_picture(quilt.block, 120, quilt_cloths(quilt, by_key)))
        elif what == "quilt":
            # Whole: every block is drawn in it, so that it can be read wherever it is taken.
            text = write_quilt(quilt)
        else:
            text = write_block(quilt.block)
        plain = re.sub(r"[^A-Za-z0-9]+", "-", sheet.entry.name).strip("-").lower() or "quilt"
        headers = {"content-disposition": f'attachment; filename="{plain}-{what}.{ending}"'}
        return Response(text, media_type=media, headers=headers)

    return await run_in_threadpool(work)


async def quilt_text(request: Request) -> Response:
    """Give the draft as a text file."""
    return await _saved(request, "quilt", "draft.txt", "text/plain; charset=utf-8")


async def quilt_svg(request: Request) -> Response:
    """Give the quilt as a drawing."""
    return await _saved(request, "quilt", "svg", "image/svg+xml")


async def block_text(request: Request) -> Response:
    """Give the block as a text file."""
    return await _saved(request, "block", "block.txt", "text/plain; charset=utf-8")


async def block_svg(request: Request) -> Response:
    """Give the block as a drawing."""
    return await _saved(request, "block", "svg", "image/svg+xml")
