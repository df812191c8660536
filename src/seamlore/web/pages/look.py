"""The page on looking: the reading over the photograph, corrections, tape measurements and the sums."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import TYPE_CHECKING, Any

from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import JSONResponse, Response
from starlette.routing import Route

from seamlore.errors import SeamloreError
from seamlore.limits import STORY
from seamlore.pictures.blocks import block_picture
from seamlore.shelf.change import StaleChangeError
from seamlore.steps.edit.measure import corrected, following, measured_next, taped, uncorrected
from seamlore.steps.edit.typed import Slips
from seamlore.steps.look import (
    answer,
    facts,
    grid_sure,
    kinds_shown,
    other_grid,
    typed_just_now,
    unread,
    used,
    waits,
    warnings,
)
from seamlore.steps.order import step_named
from seamlore.steps.overlay import overlay
from seamlore.steps.photograph import TILE_PX, pyramid
from seamlore.steps.study.sections import Choice, Corrections
from seamlore.steps.study.tape import Tape, tape_lines
from seamlore.web.desk import OpenStudy
from seamlore.web.forms import Fields
from seamlore.web.pages.pictures import flat_address
from seamlore.web.pages.studies import desk_of, go, number_of
from seamlore.web.rendering import render

if TYPE_CHECKING:
    from seamlore.steps.study.job import Job
    from seamlore.study.adjustment import Adjustment

HERE = step_named("look")


def routes() -> list[Route]:
    """Give the routes of the page on looking."""
    base = "/study/{number:int}/look"
    return [
        Route(base, page),
        Route(base + "/progress", progress),
        Route(base + "/stop", stop, methods=["POST"]),
        Route(base + "/again", again),
        Route(base + "/again/stop", stop_again, methods=["POST"]),
        Route(base + "/corrections", correct, methods=["POST"]),
        Route(base + "/tape", set_tape, methods=["POST"]),
        Route(base + "/next", set_next, methods=["POST"]),
        Route(base + "/account", choose, methods=["POST"]),
    ]


async def page(request: Request) -> Response:
    """Show the page; while the photograph is still being read, how far that is."""
    desk, number = desk_of(request), number_of(request)
    study = await run_in_threadpool(desk.study, number)
    if study.photograph is None:
        said = "The photograph is missing." if study.kept.missing else "There is no photograph yet."
        return _state(request, study, "empty", said)
    if "again" in request.query_params:
        desk.read_again(study)
    elif "stopped" in request.query_params and not desk.memo.holds(study.job.read_key):
        return _state(request, study, "stopped", "The reading was stopped.")
    work = await run_in_threadpool(desk.reading, study)
    if not work.done:
        return _state(request, study, "working", "Reading the photograph", work=work)
    if work.fault:
        return _state(request, study, "fault", "The photograph could not be read.", status=422, fault=work.fault)
    return await run_in_threadpool(_shown, request, study, "look.html")


def _state(
    request: Request, study: OpenStudy, state: str, answer: str, *, status: int = 200, **given: Any
) -> Response:
    return render(request, "look.html", status=status, study=study, here=HERE, answer=answer, state=state, **given)


async def progress(request: Request) -> Response:
    """Say how far the reading is; once it is done, the page is loaded anew."""
    desk = desk_of(request)
    study = await run_in_threadpool(desk.study, number_of(request))
    work = desk.reading(study)
    if work.done:
        return Response(headers={"hx-refresh": "true"})
    return render(request, "part/how_far.html", study=study, work=work)


async def stop(request: Request) -> Response:
    """Stop the reading."""
    desk, number = desk_of(request), number_of(request)
    study = await run_in_threadpool(desk.study, number)
    desk.stop_reading(study)
    return go(request, f"/study/{number}/look?stopped=1")


async def again(request: Request) -> Response:
    """Say how far the reading is that a correction waits for."""
    work = desk_of(request).again(number_of(request))
    if work is None:
        return Response(status_code=204)
    return JSONResponse({"stage": work.stage[:1].upper() + work.stage[1:], "part": work.part})


async def stop_again(request: Request) -> Response:
    """Stop the reading that a correction waits for; the correction is then not made."""
    work = desk_of(request).again(number_of(request))
    if work is not None:
        work.wanted = False
    return Response(status_code=204)


def _shown(
    request: Request,
    study: OpenStudy,
    template: str,
    *,
    slips: dict[str, str] | None = None,
    typed: dict[str, str] | None = None,
    slip: str = "",
    before: Job | None = None,
) -> Response:
    job, reading = study.job, study.job.reading
    adjustment: Adjustment | None = None
    sums_fault = ""
    try:
        adjustment = job.adjustment
    except SeamloreError as fault:
        sums_fault = str(fault)
    held = job.chosen if adjustment and adjustment.sums else None
    return render(
        request,
        template,
        status=422 if slips or slip else 200,
        study=study,
        here=HERE,
        state="read",
        answer=answer(reading, job.unit, held, (study.section(Tape).rows, study.section(Tape).columns)),
        warnings=warnings(reading, held),
        lost=job.her_fabrics.lost,
        answered=typed_just_now(before, job) if before else (),
        used=used(study.section(Tape), job.unit),
        more_named=[each.name for each in tape_lines(Tape(more=study.section(Tape).more), lambda given: given)],
        reading=reading,
        other_grid=other_grid(reading),
        grid_sure=grid_sure(reading),
        known=facts(reading, job.unit),
        data=_data(study),
        tape=study.section(Tape),
        corrections=study.section(Corrections),
        adjustment=adjustment,
        chosen=job.chosen if adjustment else None,
        following=study.section(Choice).explanation,
        next_measure=job.next_measure if adjustment else None,
        sums_fault=sums_fault,
        kinds=[(each, block_picture(each.block, 40) if each.block else None) for each in kinds_shown(reading)],
        more_kinds=max(len(reading.kinds or ()) - len(kinds_shown(reading)), 0),
        unread=unread(reading),
        waits=waits(reading),
        slips=slips or {},
        typed=typed or {},
        slip=slip,
    )


def _data(study: OpenStudy) -> dict[str, Any]:
    """Give what the page's drawing needs: what is drawn over the photograph, and where its pictures are."""
    photograph, drawn = study.photograph, overlay(study.job)
    assert photograph is not None
    base = f"/study/{study.entry.number}"
    return {
        **drawn,
        "study": study.entry.number,
        "base": study.revisions["corrections"],
        "photo": {
            "width": photograph.size[0],
            "height": photograph.size[1],
            "levels": pyramid(study.job).levels,
            "tile": TILE_PX,
            "tiles": f"{base}/picture/tile",
            "key": photograph.reference[:12],
        },
        "flat": {**drawn["flat"], "url": flat_address(study)},
    }


async def correct(request: Request) -> Response:
    """Take a correction and read again what rests on it."""
    form = await request.form()
    return await run_in_threadpool(_corrected, request, Fields(form))


def _corrected(request: Request, fields: Fields) -> Response:
    desk, number = desk_of(request), number_of(request)
    study = desk.study(number)
    if fields.base() != study.revisions["corrections"]:
        raise StaleChangeError("corrections", fields.base(), desk.shelf.read(number, "corrections"))
    try:
        if fields.text("reset") == "all":
            (made, says), slips = uncorrected(study.job), Slips()
        else:
            assert study.photograph is not None
            made, says, slips = corrected(study.job, study.photograph.size, _asked(fields))
        slips |= fields.slips
        if slips:
            # Rows and columns are asked for in two places: what is wrong stands where it was typed.
            fixes = {f"fix-{name}": text for name, text in fields.typed().items()}
            wrong = {f"fix-{name}": why for name, why in slips.items()}
            return _shown(request, study, "part/reading.html", slips=wrong, typed=fixes)
        if says:
            # Read before it is kept: what cannot be read is refused, and the study stays as it was.
            desk.read_now(number, replace(study.job.inputs, corrections=made))
            desk.change(number, made, fields.base(), says)
    except StaleChangeError:
        raise
    except SeamloreError as fault:
        return _shown(request, study, "part/reading.html", slip=str(fault))
    return _shown(request, desk.study(number), "part/reading.html")


def _asked(fields: Fields) -> dict[str, Any]:
    """What the form asks to be set right: places as data, counts as typed."""
    places = {name: fields.data(name) for name in ("corners", "edge", "row_line", "column_line")}
    counts = {name: fields.text(name) for name in ("rows", "columns", "divisions", "setting") if name in fields.form}
    return {**places, **counts}


async def set_tape(request: Request) -> Response:
    """Keep the tape's measurements that can be read; what is wrong is said beside its field."""
    form = await request.form()

    def work() -> Response:
        fields = Fields(form)
        return _taped(request, fields, lambda job: taped(job, fields.words()))

    return await run_in_threadpool(work)


async def set_next(request: Request) -> Response:
    """Keep what the tape shows of the measurement that was asked for."""
    form = await request.form()

    def work() -> Response:
        fields = Fields(form)
        try:
            return _taped(request, fields, lambda job: measured_next(job, fields.text("next")))
        except StaleChangeError:
            raise
        except SeamloreError as fault:
            study = desk_of(request).study(number_of(request))
            return _shown(request, study, "part/reading.html", slip=str(fault))

    return await run_in_threadpool(work)


def _taped(request: Request, fields: Fields, read: Callable[[Job], tuple[Tape, Slips]]) -> Response:
    desk, number = desk_of(request), number_of(request)
    study = desk.study(number)
    tape, slips = read(study.job)
    if tape != study.job.inputs.tape:
        if fields.base() == study.revisions["tape"] and study.photograph is not None:
            try:
                desk.read_now(number, replace(study.job.inputs, tape=tape))
            except SeamloreError as fault:
                return _shown(request, study, "part/reading.html", slip=str(fault), typed=dict(fields.typed()))
        desk.change(number, tape, fields.base(), "entered tape measurements")
    return _shown(
        request,
        desk.study(number),
        "part/reading.html",
        slips=slips,
        typed=dict(fields.typed()) if slips else None,
        before=study.job if tape != study.job.inputs.tape else None,
    )


async def choose(request: Request) -> Response:
    """Follow one account of the sums."""
    form = await request.form()

    def work() -> Response:
        fields = Fields(form)
        desk, number = desk_of(request), number_of(request)
        study = desk.study(number)
        choice = following(study.job, fields.text("account", most=STORY))
        desk.change(number, choice, fields.base(), "chose an explanation of the sums", where="look")
        return _shown(request, desk.study(number), "part/reading.html")

    return await run_in_threadpool(work)
