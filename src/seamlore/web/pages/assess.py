"""The page on assessing: photographs, notes drawn on them, weak cloth, what holds it, the condition record."""

from __future__ import annotations

import datetime
import json
from collections.abc import Callable
from dataclasses import replace
from typing import Any

import msgspec
from starlette.concurrency import run_in_threadpool
from starlette.datastructures import FormData, UploadFile
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from seamlore.errors import PhotoError, SeamloreError
from seamlore.limits import LINE
from seamlore.shelf.change import StaleChangeError
from seamlore.steps.assess.assess import Assessed, assess, dates, fadings, holding, parts_of, since
from seamlore.steps.assess.choices import choices
from seamlore.steps.assess.show import color_at, drawn_over, notes_shown, photographs_shown
from seamlore.steps.assess.words import answer, compared_words, held_words, inscriptions_marked, record
from seamlore.steps.edit import condition as edit
from seamlore.steps.edit import photographs as photo_edit
from seamlore.steps.edit.decision import with_fabric
from seamlore.steps.order import step_named
from seamlore.steps.study.condition import Condition, Decision
from seamlore.steps.study.sections import Photographs
from seamlore.web.desk import OpenStudy
from seamlore.web.forms import Fields
from seamlore.web.pages.studies import desk_of, go, keep_photograph, number_of, once_read
from seamlore.web.rendering import render

HERE = step_named("assess")
Made = tuple[msgspec.Struct, str]


def routes() -> list[Route]:
    """Give the routes of the page on assessing; `assess_files` has those of what is fetched of it."""
    base = "/study/{number:int}/assess"
    return [
        Route(base, page),
        Route(base + "/note", note, methods=["POST"]),
        Route(base + "/note/change", change_note, methods=["POST"]),
        Route(base + "/note/remove", remove_note, methods=["POST"]),
        Route(base + "/condition", describe, methods=["POST"]),
        Route(base + "/block", judge, methods=["POST"]),
        Route(base + "/fading", compare, methods=["POST"]),
        Route(base + "/fading/remove", uncompare, methods=["POST"]),
        Route(base + "/fabric", keep_fabric, methods=["POST"]),
        Route(base + "/photograph", add_photograph, methods=["POST"]),
        Route(base + "/photograph/change", change_photograph, methods=["POST"]),
        Route(base + "/photograph/remove", remove_photograph, methods=["POST"]),
    ]


async def page(request: Request) -> Response:
    """Show the page; while the photograph is still being read, how far that is."""
    return await once_read(request, "assess.html", HERE, _shown)


def _shown(
    request: Request,
    study: OpenStudy,
    *,
    slip: str = "",
    said: str = "",
    slips: dict[str, str] | None = None,
    typed: dict[str, str] | None = None,
) -> Response:
    job, found, fault, held, held_fault = study.job, None, "", None, ""
    try:
        found = assess(job)
    except SeamloreError as refused:
        fault = str(refused)
    if found is not None:
        try:
            held = holding(job)
        except SeamloreError as refused:
            held_fault = str(refused)
    part = bool(request.headers.get("hx-request"))
    day = request.query_params.get("since", "")
    return render(
        request,
        "part/assess.html" if part else "assess.html",
        status=422 if slip or slips else 200,
        study=study,
        here=HERE,
        state="read" if study.section(Photographs).photographs else "empty",
        answer=answer(found) if found else "There is no photograph to note on yet.",
        fault=fault,
        slip=slip,
        said=said,
        slips=slips or {},
        typed=typed or {},
        found=found,
        notes=notes_shown(job, found) if found else [],
        condition=study.section(Condition),
        photographs=photographs_shown(job, found),
        parts=parts_of(study.section(Condition)),
        inscriptions=inscriptions_marked(found) if found else (),
        held=list(held_words(job, held)) if held else [],
        held_fault=held_fault,
        fadings=fadings(job) if found else (),
        record=record(job) if found else (),
        days=dates(job) if found else (),
        since=day,
        changed=compared_words(job, since(job, day)) if found and day else (),
        data=_data(study, found, held) if found else None,
        at_hand=study.section(Decision).at_hand,
        **choices(),
    )


def _data(study: OpenStudy, found: Assessed, held: Any) -> dict[str, Any]:
    base = f"/study/{study.entry.number}"
    return {
        "study": study.entry.number,
        "base": study.revisions["notes"],
        "photographs": [
            {**each, "url": f"{base}/picture/photograph/{each['number']}.jpg?k={each['sha'][:12]}"}
            for each in photographs_shown(study.job, found)
        ],
        "notes": notes_shown(study.job, found),
        "over": drawn_over(study.job, found, held),
    }


async def note(request: Request) -> Response:
    """Keep a note that was drawn."""
    mended: list[str] = []

    def work(study: OpenStudy, fields: Fields) -> Made:
        now = datetime.datetime.now(datetime.UTC).strftime("%Y-%m-%dT%H:%M:%SZ")
        notes, says, loop = edit.noted(
            study.job, fields.text("photograph"), _note_words(fields), _outline(fields, "outline"), now
        )
        mended.append(loop)
        return notes, says

    return await _changed(request, work, "notes", lambda: mended[0] if mended else "")


def _note_words(fields: Fields) -> dict[str, str]:
    # "says" and the rest are kept as they stand in the form; what is too long is refused.
    return {name: fields.text(name) for name in ("kind", "severity", "says", "of", "result") if name in fields.form}


def _outline(fields: Fields, name: str) -> Any:
    """An outline as the page sends it: pairs of numbers; nothing where it is none."""
    text = fields.lines(name)
    try:
        found = json.loads(text) if text else None
    except (ValueError, RecursionError):
        return None
    if not isinstance(found, list) or not all(isinstance(each, list) for each in found):
        return None
    numbers = [part for each in found for part in each]
    return found if all(isinstance(part, int | float) and not isinstance(part, bool) for part in numbers) else None


async def change_note(request: Request) -> Response:
    """Change what a note says, and its outline where it was reshaped."""
    mended: list[str] = []

    def work(study: OpenStudy, fields: Fields) -> Made:
        drawn = _outline(fields, "outline") or [] if fields.lines("outline").strip() else None
        notes, says, loop = edit.renoted(study.job, fields.text("key"), _note_words(fields), drawn)
        mended.append(loop)
        return notes, says

    return await _changed(request, work, "notes", lambda: mended[0] if mended else "")


async def remove_note(request: Request) -> Response:
    """Take a note away."""
    return await _changed(request, lambda study, fields: edit.unnoted(study.job, fields.text("key")), "notes")


async def judge(request: Request) -> Response:
    """Keep what she says of a block."""

    def work(study: OpenStudy, fields: Fields) -> Made:
        words = [fields.text(name) for name in ("row", "column", "verdict", "why")]
        return edit.judged(study.job, words[0], words[1], words[2], words[3])

    return await _changed(request, work, "condition")


async def compare(request: Request) -> Response:
    """Keep the protected and the faded place of a cloth."""

    def work(study: OpenStudy, fields: Fields) -> Made:
        return edit.compared(
            study.job, fields.text("photograph"), _outline(fields, "spots"), fields.text("of", most=LINE)
        )

    return await _changed(request, work, "condition")


async def uncompare(request: Request) -> Response:
    """Take such a pair away."""
    return await _changed(
        request, lambda study, fields: edit.uncompared(study.job, fields.text("number")), "condition"
    )


async def keep_fabric(request: Request) -> Response:
    """Keep a fabric at hand by its color on a photograph."""

    def work(study: OpenStudy, fields: Fields) -> Made:
        photograph = edit.photograph_of(study.job, fields.text("photograph"))
        data = desk_of(request).shelf.read_photograph(photograph.reference)
        seen = color_at(study.job, data, photograph.sha, _outline(fields, "spots"))
        return with_fabric(study.job, fields.words(), seen)

    return await _changed(request, work, "decision")


async def add_photograph(request: Request) -> Response:
    """Add a photograph of the back, a detail, a label or a stage."""
    form, desk, number = await request.form(max_files=1), desk_of(request), number_of(request)
    file = form.get("photograph")
    if not isinstance(file, UploadFile) or not file.filename:
        raise PhotoError("no photograph", "one is needed", "choose a picture file")
    data, name = await file.read(), file.filename.replace("\\", "/").rsplit("/", 1)[-1]
    fields = Fields(form)

    def work() -> None:
        study = desk.study(number)
        new = keep_photograph(desk, data, name)
        made, says = photo_edit.added(study.job, new, fields.text("shows"), fields.text("taken"))
        desk.change(number, made, fields.base(), says, where="assess")

    await run_in_threadpool(work)
    return go(request, f"/study/{number}/assess")


async def change_photograph(request: Request) -> Response:
    """Say what a photograph shows, or lay it on the quilt."""

    def work(study: OpenStudy, fields: Fields) -> Made:
        corners = _outline(fields, "corners")
        return photo_edit.changed(study.job, fields.text("photograph"), fields.words(), corners)

    return await _changed(request, work, "photographs")


async def remove_photograph(request: Request) -> Response:
    """Take a photograph out of the study."""
    return await _changed(
        request, lambda study, fields: photo_edit.removed(study.job, fields.text("photograph")), "photographs"
    )


async def describe(request: Request) -> Response:
    """Keep what is said of the condition; what is wrong is said beside its field and the rest kept."""
    form = await request.form()

    def work() -> Response:
        fields = Fields(form)
        desk, number = desk_of(request), number_of(request)
        study = desk.study(number)
        made, slips = edit.described(study.job, fields.words())
        if made != study.job.inputs.condition:
            desk.change(number, made, fields.base(), "described its condition", where="assess")
        return _shown(request, desk.study(number), slips=slips, typed=dict(fields.typed()) if slips else None)

    return await run_in_threadpool(work)


async def _changed(
    request: Request,
    work: Callable[[OpenStudy, Fields], Made],
    section: str,
    mended: Callable[[], str] = lambda: "",
) -> Response:
    """Make a change and show the page with it; what is refused is said, and nothing is kept."""
    form: FormData = await request.form()

    def done() -> Response:
        fields = Fields(form)
        desk, number = desk_of(request), number_of(request)
        study = desk.study(number)
        try:
            made, says = work(study, fields)
            # Reckoned before it is kept: what cannot be reckoned with is refused.
            assess(desk.job(replace(study.job.inputs, **{section: made})))  # type: ignore[arg-type]
            desk.change(number, made, fields.base(), says, where="assess")
        except StaleChangeError:
            raise
        except SeamloreError as fault:
            return _shown(request, study, slip=str(fault), typed=dict(fields.typed()))
        said = f"Mended: {mended()}." if mended() else ""
        return _shown(request, desk.study(number), said=said)

    return await run_in_threadpool(done)
