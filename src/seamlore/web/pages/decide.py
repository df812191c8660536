"""The page on deciding: the ways side by side, what the quilt gives, stages, and the decision in her words."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import msgspec
from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from seamlore.errors import SeamloreError
from seamlore.limits import STORY
from seamlore.shelf.change import StaleChangeError
from seamlore.steps.decide.decide import Basis, decide
from seamlore.steps.decide.paper import taking_apart_pdf
from seamlore.steps.decide.show import cloth_svg, reset_svg, stash_text
from seamlore.steps.decide.things import draft_text, plan_text, reset_text
from seamlore.steps.decide.ways import answer, options
from seamlore.steps.decide.words import shown
from seamlore.steps.edit.decision import redecided, with_fabric, with_thing, without_fabric, without_thing
from seamlore.steps.order import step_named
from seamlore.steps.study.condition import Decision
from seamlore.web.desk import OpenStudy
from seamlore.web.forms import Fields
from seamlore.web.pages.studies import desk_of, number_of, once_read
from seamlore.web.rendering import render, today, wording_for
from seamlore.web.saved import saved
from seamlore.wording import speaking

HERE = step_named("decide")


def routes() -> list[Route]:
    """Give the routes of the page on deciding."""
    base = "/study/{number:int}/decide"
    return [
        Route(base, page),
        Route(base, change, methods=["POST"]),
        Route(base + "/thing", add_thing, methods=["POST"]),
        Route(base + "/thing/remove", remove_thing, methods=["POST"]),
        Route(base + "/fabric", add_fabric, methods=["POST"]),
        Route(base + "/fabric/remove", remove_fabric, methods=["POST"]),
        Route(base + "/cloth.svg", cloth),
        Route(base + "/backing.svg", cloth),
        Route(base + "/stash.txt", stash),
        Route(base + "/reset.svg", reset_picture),
        Route(base + "/reset.txt", reset_draft),
        Route(base + "/draft/{which:int}.txt", draft),
        Route(base + "/plan/{which:int}.txt", plan),
        Route(base + "/taking-apart.pdf", taking_apart),
    ]


async def page(request: Request) -> Response:
    """Show the page; while the photograph is still being read, how far that is."""
    return await once_read(request, "decide.html", HERE, _shown)


def _shown(
    request: Request,
    study: OpenStudy,
    *,
    slip: str = "",
    slips: dict[str, str] | None = None,
    typed: dict[str, str] | None = None,
) -> Response:
    job, basis, fault = study.job, None, ""
    try:
        basis = decide(job)
    except SeamloreError as refused:
        fault = str(refused)
    given: dict[str, Any] = shown(job, basis) if basis else {}
    return render(
        request,
        "part/decide.html" if request.headers.get("hx-request") else "decide.html",
        status=422 if slip or slips else 200,
        study=study,
        here=HERE,
        state="read" if basis else "empty",
        answer=answer(job, basis) if basis else "There is no photograph to decide by yet.",
        fault=fault,
        slip=slip,
        slips=slips or {},
        typed=typed or {},
        basis=basis,
        options=options(job, basis) if basis else (),
        decision=study.section(Decision),
        **given,
    )


async def change(request: Request) -> Response:
    """Keep what is changed; what is wrong is said beside its field and the rest kept."""
    form = await request.form()

    def work() -> Response:
        fields = Fields(form)
        desk, number = desk_of(request), number_of(request)
        study = desk.study(number)
        words = fields.words() | {name: fields.lines(name) for name in ("loose", "patches") if name in fields.form}
        for name in ("words", "asked", "ruled_out"):
            if name in fields.form:
                words[name] = fields.lines(name, most=STORY)
        made, slips = redecided(study.job, words)
        if made != study.job.inputs.decision:
            says = "wrote down a decision" if {"way", "words"} & set(words) else "changed what a decision rests on"
            desk.change(number, made, fields.base(), says)
        return _shown(request, desk.study(number), slips=slips, typed=dict(fields.typed()) if slips else None)

    return await run_in_threadpool(work)


async def add_thing(request: Request) -> Response:
    """Add a thing of hers."""
    return await _changed(request, lambda study, fields: with_thing(study.job, fields.words()))


async def remove_thing(request: Request) -> Response:
    """Take a thing of hers away."""
    return await _changed(request, lambda study, fields: without_thing(study.job, fields.text("name")))


async def add_fabric(request: Request) -> Response:
    """Add a fabric at hand."""
    return await _changed(request, lambda study, fields: with_fabric(study.job, fields.words()))


async def remove_fabric(request: Request) -> Response:
    """Take a fabric at hand away."""
    return await _changed(request, lambda study, fields: without_fabric(study.job, fields.text("name")))


async def _changed(request: Request, work: Callable[[OpenStudy, Fields], tuple[msgspec.Struct, str]]) -> Response:
    form = await request.form()

    def done() -> Response:
        fields = Fields(form)
        desk, number = desk_of(request), number_of(request)
        study = desk.study(number)
        try:
            made, says = work(study, fields)
            desk.change(number, made, fields.base(), says)
        except StaleChangeError:
            raise
        except SeamloreError as fault:
            return _shown(request, study, slip=str(fault), typed=dict(fields.typed()))
        return _shown(request, desk.study(number))

    return await run_in_threadpool(done)


async def cloth(request: Request) -> Response:
    """Draw the sound cloth of the front, or of the backing, with the patches that come out of it."""
    behind = request.url.path.endswith("/backing.svg")

    def work() -> str:
        job = desk_of(request).study(number_of(request)).job
        return cloth_svg(job, decide(job), behind=behind)

    text = await run_in_threadpool(work)
    return Response(text, media_type="image/svg+xml", headers={"cache-control": "private, max-age=86400"})


async def reset_picture(request: Request) -> Response:
    """Draw the quilt set anew."""

    def work() -> str:
        job = desk_of(request).study(number_of(request)).job
        return reset_svg(job, decide(job))

    text = await run_in_threadpool(work)
    return Response(text, media_type="image/svg+xml", headers={"cache-control": "private, max-age=86400"})


async def reset_draft(request: Request) -> Response:
    """Give the draft of the quilt set anew, as text."""
    text = await run_in_threadpool(lambda: reset_text(decide(desk_of(request).study(number_of(request)).job)))
    return saved(text, "set-anew.draft.txt")


async def stash(request: Request) -> Response:
    """Give the sound cloth as lines of a stash."""

    def work() -> str:
        job = desk_of(request).study(number_of(request)).job
        return stash_text(job, decide(job))

    text = await run_in_threadpool(work)
    return saved(text, "old-cloth.stash.txt")


async def draft(request: Request) -> Response:
    """Give the draft of the smaller quilt (0), or of a thing (1 and on), as text."""
    which = int(request.path_params["which"])

    def work() -> str:
        job = desk_of(request).study(number_of(request)).job
        return draft_text(job, decide(job), which)

    text = await run_in_threadpool(work)
    return saved(text, "smaller.draft.txt")


async def plan(request: Request) -> Response:
    """Give what the smaller quilt (0), or a thing (1 and on), takes, as text."""
    which = int(request.path_params["which"])

    def work() -> str:
        job = desk_of(request).study(number_of(request)).job
        return plan_text(job, decide(job), which)

    text = await run_in_threadpool(work)
    return saved(text, "plan.txt")


async def taking_apart(request: Request) -> Response:
    """Print the stages, the samples to keep and the labels of the bags."""
    study = await run_in_threadpool(desk_of(request).study, number_of(request))

    def work() -> bytes:
        basis: Basis = decide(study.job)
        return taking_apart_pdf(study.job, basis, printed=today())

    with speaking(wording_for(request)):
        data = await run_in_threadpool(work)
    return saved(data, "taking-apart.pdf")
