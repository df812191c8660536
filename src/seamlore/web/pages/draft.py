"""The page on drafting: the quilt as its maker pieced it beside the quilt as found, its block, its sizes."""

from __future__ import annotations

import gc
from collections.abc import Mapping
from functools import cache
from typing import TYPE_CHECKING, Any

from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from seamlore.errors import SeamloreError
from seamlore.pictures.blocks import block_picture
from seamlore.pictures.nearness import near_picture
from seamlore.pictures.palette import kind_cloths, quilt_cloths
from seamlore.steps.draft.beside import sliders, snap_lines
from seamlore.steps.draft.cells_shown import drawn_as, rows_shown
from seamlore.steps.draft.doubtful import doubtful_words
from seamlore.steps.draft.listing import catalogue_names
from seamlore.steps.draft.offered import shown_words
from seamlore.steps.draft.open_kind import open_kind
from seamlore.steps.draft.stage import (
    COLORED,
    Colored,
    cloths,
    colored,
    editor_data,
    stage,
)
from seamlore.steps.draft.under import photographed
from seamlore.steps.draft.understand import also_called, match_words, of_block
from seamlore.steps.draft.unread import open_draft
from seamlore.steps.edit.borders import CORNERS, border_fields
from seamlore.steps.edit.draft import block_text, draft_text
from seamlore.steps.edit.redraft import answer, fields_of
from seamlore.steps.fabrics.facts import fabric_facts
from seamlore.steps.order import step_named
from seamlore.steps.study.sections import Choice
from seamlore.steps.study.shown import in_unit_of
from seamlore.web.desk import OpenStudy
from seamlore.web.pages.drafting.changed import bench_print, changes, row_of, stage_shown, there_already
from seamlore.web.pages.pictures import flat_address, flat_key
from seamlore.web.pages.studies import once_read
from seamlore.web.rendering import fingerprint, render

if TYPE_CHECKING:
    from seamlore.draft.kinds import Kind
    from seamlore.draft.quilt import Quilt

HERE = step_named("draft")
_NAMES_SHOWN = 6


def routes() -> list[Route]:
    """Give the route of the page; `drafting/parts.py` has those of its parts, `drafting/edit.py` those that change the draft."""
    return [Route("/study/{number:int}/draft", page)]


async def page(request: Request) -> Response:
    """Show the page; while the photograph is still being read, how far that is."""
    return await once_read(request, "draft.html", HERE, shown)


def shown(
    request: Request,
    study: OpenStudy,
    *,
    status: int = 200,
    slip: str = "",
    slips: dict[str, str] | None = None,
    typed: dict[str, str] | None = None,
    said: str = "",
    color: str = "",
    files: dict[str, str] | None = None,
    kind: str = "",
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
    kind : str
        Which kind of block is open in the editor, when not the address says so.
    """
    part = bool(request.headers.get("hx-request"))
    how = colored(color or request.query_params.get("color", ""), study.job)
    given: dict[str, Any] = {
        "study": study,
        "here": HERE,
        "slip": slip,
        "slips": slips or {},
        "typed": typed or {},
        "base": study.revisions["choice"],
        "choice": study.section(Choice),
        "color": how,
        "colors": COLORED,
    }
    try:
        quilt = in_unit_of(study.job.quilt, study.job.unit)
        here = open_kind(quilt, kind or request.query_params.get("kind", ""))
        facts_given = _facts(study, quilt, here, how, said, part)
    except SeamloreError as fault:
        given |= {
            "open": _open(study),
            "state": "fault",
            "answer": "There is no draft yet.",
            "fault": str(fault),
            "names": catalogue_names(),
        }
        return render(request, "part/draft_begin.html" if part else "draft.html", status=status, **given)
    given |= facts_given | {"state": "drafted", "open": _open(study), "shown_by_hand": shown_words(study.job)}
    given["doubt"] = doubtful_words(study.job)
    given["bench_print"] = bench_print(given)
    given |= _borders_shown(quilt, here, given)
    counts = [(kind.name, kind.block.name, quilt.counts.get(kind.name)) for kind in quilt.kinds]
    wrong = typed if slips else None
    given["panel_print"] = fingerprint(counts, len(quilt.not_read), given["letters"], here.name, wrong)
    given["kinds_print"] = fingerprint(counts, given["drawn_as"], here.name)
    if not part:
        given |= {"names": catalogue_names(), "files": files or files_given(study, kind=here.name)}
        page_whole = render(request, "draft.html", status=status, **given)
        _settled()
        return page_whole
    there = there_already(request)
    if there:
        given |= changes(given, there)
    response = render(request, "part/draft_changed.html" if there else "part/draft.html", status=status, **given)
    response.headers["hx-trigger"] = "draft-changed"
    if there:
        # Each part that is sent says itself where it belongs.
        response.headers["hx-reswap"] = "none"
    return response


def _open(study: OpenStudy) -> int:
    """How many blocks of the draft are not read, where there is a photograph to show them by."""
    quilt = open_draft(study.job) if study.photograph else None
    return len(quilt.not_read) if quilt else 0


@cache
def _settled() -> None:
    """What was loaded for the first draft stays: later edits are not held up by looking through it for garbage."""
    gc.collect()
    gc.freeze()


def _borders_shown(quilt: Quilt, here: Kind, given: Mapping[str, Any]) -> dict[str, Any]:
    """The borders as their form shows them."""
    fields = border_fields(quilt)
    slips = {name: slip for name, slip in given["slips"].items() if name.startswith("border")}
    # What was taken stands in the draft, as what was said of all four sides does in each; what was not stays as typed.
    typed = {name: text for name, text in given["typed"].items() if slips and (name in slips or "borders" in slips)}
    shown = {"border_fields": fields, "corners": CORNERS, "border_slips": slips, "border_typed": typed}
    return shown | {"borders_print": fingerprint(fields, slips, typed, here.name, len(quilt.kinds))}


def _facts(study: OpenStudy, quilt: Quilt, here: Kind, how: Colored, said: str, part: bool) -> dict[str, Any]:
    job = study.job
    facts = of_block(here.block, job.names_of(here.block))
    by_key, _ = cloths(job, quilt, "value" if how == "value" else "place")
    whole = quilt_cloths(quilt, by_key)
    paints = kind_cloths(quilt, here, whole)
    names = [
        {
            "words": match_words(match),
            "near": match.kind == "near",
            "picture": near_picture(here.block, match, 26, paints)
            if match.kind == "near"
            else block_picture(match.block.moved(match.turn, mirrored=match.mirrored), 26),
        }
        for match in facts.matches[:_NAMES_SHOWN]
    ]
    rows = rows_shown(quilt)
    return stage_shown(stage(job, quilt, how)) | {
        "quilt": quilt,
        "cells": [row_of(each) for each in rows],
        # The small picture of a kind has an address of its own for every drawing and coloring.
        "drawn_as": drawn_as(quilt, whole),
        "tilted": rows[0].tilted,
        "letters": sorted({letter for kind in quilt.kinds for letter in kind.block.places}),
        "kind_open": here,
        "answer": answer(quilt),
        "flat": flat_address(study) if study.photograph else "",
        "fields": fields_of(quilt),
        "sliders": sliders(quilt),
        "facts": facts,
        "matches": names,
        "also_called": [
            (name, [(each.name, block_picture(each, 26)) for each in others])
            for name, others in also_called(here.block)
        ],
        # The editor draws it from its data; the picture is for a page that runs no script.
        "block_picture": None if part else block_picture(here.block, 100, paints, letters=True),
        "data": editor_data(here, facts, paints)
        | {"under": photographed(job, quilt, here.name)}
        | {"study": study.entry.number, "base": study.revisions["choice"], "said": said},
        "swatches": _swatches(study),
        "snaps": snap_lines(job),
        "notes": _notes(study),
        "left_over": _left_over(study),
        "found_too": _found_too(study),
        "kind": type(quilt.setting).__name__,
    }


def _left_over(study: OpenStudy) -> str:
    try:
        return study.job.left_over
    except SeamloreError:
        # Nothing was measured that the draft could differ from.
        return ""


def _found_too(study: OpenStudy) -> bool:
    """Whether photograph or tape make a draft of their own, to which she could go back."""
    if study.photograph is not None:
        return True
    try:
        return bool(study.job.drafted)
    except SeamloreError:
        return False


def _notes(study: OpenStudy) -> tuple[str, ...]:
    try:
        return study.job.drafted.notes
    except SeamloreError:
        # A draft of the user's own, with nothing measured behind it, has no notes on what was assumed.
        return ()


def _swatches(study: OpenStudy) -> dict[str, Any]:
    """The fabrics of the photograph to color patches with, the commonest first; none without a photograph."""
    if study.photograph is None:
        return {"fabrics": (), "key": ""}
    return {"fabrics": fabric_facts(study.job.reading.fabrics or ()), "key": flat_key(study)}


def files_given(
    study: OpenStudy, *, wrong: str = "", slip: str = "", text: str = "", kind: str = ""
) -> dict[str, str]:
    """Give the draft and the block of one kind as text; the one that was typed with a slip as it was typed."""
    return {
        "draft": text if wrong == "draft" else draft_text(study.job),
        "block": text if wrong == "block" else block_text(study.job, kind),
        "kind": kind,
        "wrong": wrong,
        "slip": slip,
    }
