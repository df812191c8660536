"""The page on dating: evidence put in and taken out, each part's years with the reasons."""

from __future__ import annotations

import datetime
import re
from collections.abc import Callable, Mapping
from dataclasses import replace
from typing import Any

from starlette.concurrency import run_in_threadpool
from starlette.datastructures import FormData
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from seamlore.errors import SeamloreError
from seamlore.limits import LINE, checked_text, whole_number
from seamlore.pictures.charts.bands import bands_picture
from seamlore.pictures.clues.sheet import clue_sheet
from seamlore.shelf.change import StaleChangeError
from seamlore.steps.clues import EYE_WORDS, KNOWN_WORDS, PARTS, found_clues, known_clues
from seamlore.steps.date import Dating, usual_rows
from seamlore.steps.evidence_text import Kind, checked, with_entry, with_shares, without_entry
from seamlore.steps.fabrics.facts import called, fabric_facts
from seamlore.steps.fabrics.swatches import fabric_map
from seamlore.steps.order import step_named
from seamlore.steps.study.sections import Evidence
from seamlore.web.desk import Desk, OpenStudy
from seamlore.web.forms import Fields
from seamlore.web.pages.pictures import flat_address, flat_key
from seamlore.web.pages.studies import desk_of, number_of
from seamlore.web.rendering import render

HERE = step_named("date")
_WIDTHS_MM = (190, 100)
# How sure she is, in words: of what she sees, and of what was told.
_SEEN = {"sure": 1.0, "probably": 0.8, "perhaps": 0.5}
_TOLD = {"sure": 0.95, "probably": 0.75, "perhaps": 0.5}
_WORDS: dict[str, Any] = {"eyes": EYE_WORDS, "known": KNOWN_WORDS}
_SHARE = re.compile(r"[0-9]{0,9}(?:[0-9]|\.[0-9]{1,9})")
_KINDS: dict[str, Kind] = {"evidence": "evidence", "order": "order", "gaps": "gaps"}


def routes() -> list[Route]:
    """Give the routes of the page on dating."""
    return [
        Route("/study/{number:int}/date", page),
        Route("/study/{number:int}/date/clues", search),
        Route("/clues.svg", marks),
        Route("/study/{number:int}/date/add", add, methods=["POST"]),
        Route("/study/{number:int}/date/remove", remove, methods=["POST"]),
        Route("/study/{number:int}/date/shares", set_shares, methods=["POST"]),
        Route("/study/{number:int}/date/text", set_text, methods=["POST"]),
    ]


async def page(request: Request) -> Response:
    """Show the page."""
    study = await run_in_threadpool(desk_of(request).study, number_of(request))
    return await run_in_threadpool(_shown, request, study, form=request.query_params)


async def search(request: Request) -> Response:
    """Give the clues that a search means, as rows to choose from."""
    asked = request.query_params
    words, part = (checked_text(asked.get(name, ""), f'the text in "{name}"', LINE) for name in ("q", "part"))
    groups = found_clues(words, part)
    chosen = asked.get("clue", "")
    return render(request, "part/clue_rows.html", groups=groups, opened=bool(words.strip()), chosen=chosen, **_WORDS)


async def marks(request: Request) -> Response:
    """Give the small drawings of all clues, each under its name."""
    body = await run_in_threadpool(clue_sheet)
    return Response(body, media_type="image/svg+xml", headers={"cache-control": "private, max-age=3600"})


def _shown(
    request: Request,
    study: OpenStudy,
    *,
    slip: str = "",
    form: Mapping[str, Any] | None = None,
    text: str | None = None,
) -> Response:
    evidence = study.section(Evidence)
    dating: Dating | None = None
    fault = ""
    try:
        if checked(evidence.text, this_year=datetime.date.today().year) is not None:
            dating = study.job.dating
    except SeamloreError as refused:
        fault = str(refused)
    pictures = [bands_picture(dating.dates, dating.dossier.evidence, width) for width in _WIDTHS_MM] if dating else []
    asked = form or {}
    lights = _lights(study) if asked.get("fabrics") else None
    part = str(asked.get("part", ""))
    words = str(asked.get("q", ""))
    return render(
        request,
        "date.html",
        status=422 if slip else 200,
        study=study,
        here=HERE,
        base=study.revisions["evidence"],
        dating=dating,
        pictures=pictures,
        fault=fault,
        slip=slip,
        form=asked,
        lights=lights,
        groups=found_clues(words, part) if part or words else [],
        opened=bool(words.strip()),
        chosen=str(asked.get("clue", "")),
        **_WORDS,
        key=flat_key(study) if lights else "",
        text=evidence.text if text is None else text,
        parts=PARTS,
        count=len(known_clues()),
        usual=usual_rows(dating.dossier) if dating else (),
        answer=_answer(dating),
    )


def _answer(dating: Dating | None) -> str:
    if dating is None:
        return "Nothing speaks to it yet. Begin with one thing that you can see."
    closely = any(each.isdigit() for each in dating.headline)
    return f"{dating.headline}, 9 in 10." if closely else f"{dating.headline}."


async def add(request: Request) -> Response:
    """Add one piece of evidence, order or statement; what is wrong with it is said beside the form."""
    form = await request.form()
    kind = _KINDS.get(str(form.get("kind")), "evidence")
    return await _changed(
        request, form, lambda text, year: with_entry(text, kind, _fields(kind, form), this_year=year)
    )


def _fields(kind: Kind, form: FormData) -> dict[str, str | float | int]:
    said = Fields(form).text
    if kind == "order":
        return {"earlier": said("earlier"), "later": said("later"), "kept": said("kept")}
    if kind == "gaps":
        years = said("years")
        number = whole_number(years)
        return {"earlier": said("earlier"), "later": said("later"), "years": years if number is None else number}
    fields: dict[str, str | float | int] = {"part": said("part"), "by": said("by"), "says": said("says")}
    sure = said("sure")
    trust: str | float = float(sure) if _SHARE.fullmatch(sure) else sure
    fields["when"] = said("when")
    if not (clue := said("clue")):
        return {**fields, "trust": _TOLD.get(sure, trust)}
    fields |= {"clue": clue, "sure": _SEEN.get(sure, trust), "fabric": said("fabric")}
    for word in ("patches", "of"):
        number = whole_number(said(word))
        fields |= {word: number} if number else {}
    return fields


def _lights(study: OpenStudy) -> dict[str, Any] | None:
    """What lights fabrics up on the flattened photograph; None where none were read."""
    try:
        reading = study.job.reading
        if not reading.fabrics or reading.block is None:
            return None
        facts = fabric_facts(reading.fabrics)
        lights = fabric_map(study.job, facts)
    except SeamloreError:
        return None
    patches = [len(each["patches"]) for each in lights["fabrics"]]
    names = [
        (name, each.words, patches[index])
        for index, (name, each) in enumerate(zip(called([each.fabric for each in facts]), facts, strict=True))
    ]
    return {**lights, "flat": {**lights["flat"], "url": flat_address(study)}, "names": names, "of": sum(patches)}


async def remove(request: Request) -> Response:
    """Take one entry out."""
    form = await request.form()
    kind = _KINDS.get(str(form.get("kind")), "evidence")
    index = Fields(form).revision("index")
    return await _changed(request, form, lambda text, _: without_entry(text, kind, index))


async def set_shares(request: Request) -> Response:
    """Take what is taken for usual: how many of 100, and whether the parts pull each other along."""
    form = await request.form()
    said = Fields(form).text
    given = {name: said(name) for name in form if isinstance(name, str)}

    def change(text: str, year: int) -> str:
        return with_shares(text, given, pull="pull" in form, this_year=year)

    return await _changed(request, form, change)


async def set_text(request: Request) -> Response:
    """Take the whole evidence file as it was written."""
    form = await request.form()
    written = Fields(form).lines("text")

    def same(_: str, year: int) -> str:
        checked(written, this_year=year)
        return written

    return await _changed(request, form, same, written=written)


async def _changed(
    request: Request, form: FormData, change: Callable[[str, int], str], *, written: str | None = None
) -> Response:
    desk, number = desk_of(request), number_of(request)

    def work() -> Response:
        study = desk.study(number)
        before = study.section(Evidence).text
        try:
            after = change(before, datetime.date.today().year)
            _weighed(desk, study, after)
            desk.change(number, Evidence(text=after), Fields(form).base(), "changed the evidence")
        except StaleChangeError:
            raise
        except SeamloreError as fault:
            return _shown(request, study, slip=str(fault), form=form, text=written)
        return _shown(request, desk.study(number))

    return await run_in_threadpool(work)


def _weighed(desk: Desk, study: OpenStudy, text: str) -> None:
    """Date by changed evidence before it is kept: what cannot be dated by, such as an order in a circle, is refused."""
    if checked(text, this_year=datetime.date.today().year) is not None:
        desk.job(replace(study.job.inputs, evidence=Evidence(text=text))).dating  # noqa: B018 - kept by the memo
