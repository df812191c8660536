"""The page on dating: evidence put in and taken out, each part's years with the reasons."""

from __future__ import annotations

import datetime
import re
from collections.abc import Callable
from dataclasses import replace

from starlette.concurrency import run_in_threadpool
from starlette.datastructures import FormData
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from seamlore.errors import SeamloreError
from seamlore.limits import whole_number
from seamlore.pictures.bands import bands_picture
from seamlore.shelf.change import StaleChangeError
from seamlore.steps.clues import PARTS, STRENGTH_WORDS, known_clues
from seamlore.steps.date import Dating
from seamlore.steps.evidence_text import Kind, checked, with_entry, without_entry
from seamlore.steps.order import step_named
from seamlore.steps.study.sections import Evidence
from seamlore.web.desk import Desk, OpenStudy
from seamlore.web.forms import Fields
from seamlore.web.pages.studies import desk_of, number_of
from seamlore.web.rendering import render

HERE = step_named("date")
_SHARE = re.compile(r"[0-9]{0,9}(?:[0-9]|\.[0-9]{1,9})")
_KINDS: dict[str, Kind] = {"evidence": "evidence", "order": "order", "gaps": "gaps"}


def routes() -> list[Route]:
    """Give the routes of the page on dating."""
    return [
        Route("/study/{number:int}/date", page),
        Route("/study/{number:int}/date/add", add, methods=["POST"]),
        Route("/study/{number:int}/date/remove", remove, methods=["POST"]),
        Route("/study/{number:int}/date/text", set_text, methods=["POST"]),
    ]


async def page(request: Request) -> Response:
    """Show the page."""
    study = await run_in_threadpool(desk_of(request).study, number_of(request))
    return await run_in_threadpool(_shown, request, study)


def _shown(
    request: Request, study: OpenStudy, *, slip: str = "", form: FormData | None = None, text: str | None = None
) -> Response:
    evidence = study.section(Evidence)
    dating: Dating | None = None
    fault = ""
    try:
        if checked(evidence.text, this_year=datetime.date.today().year) is not None:
            dating = study.job.dating
    except SeamloreError as refused:
        fault = str(refused)
    picture = bands_picture(dating.dates, dating.dossier.evidence, 190) if dating else None
    return render(
        request,
        "date.html",
        status=422 if slip else 200,
        study=study,
        here=HERE,
        base=study.revisions["evidence"],
        dating=dating,
        picture=picture,
        fault=fault,
        slip=slip,
        form=form or {},
        text=evidence.text if text is None else text,
        parts=PARTS,
        clues=known_clues(),
        strengths=STRENGTH_WORDS,
        answer=_answer(dating),
    )


def _answer(dating: Dating | None) -> str:
    if dating is None:
        return "Nothing speaks to it yet. Begin with one thing that you can see."
    return f"{dating.headline}, 9 in 10."


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
    fields: dict[str, str | float | int] = {"part": said("part"), "by": said("by")}
    sure = said("sure")
    trust: str | float = float(sure) if _SHARE.fullmatch(sure) else sure
    if clue := said("clue"):
        return {**fields, "clue": clue, "sure": trust}
    return {**fields, "says": said("says"), "when": said("when"), "trust": trust}


async def remove(request: Request) -> Response:
    """Take one entry out."""
    form = await request.form()
    kind = _KINDS.get(str(form.get("kind")), "evidence")
    index = Fields(form).revision("index")
    return await _changed(request, form, lambda text, _: without_entry(text, kind, index))


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
