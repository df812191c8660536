"""The page on keeping: where a quilt comes from and belongs, its history, and what leaves the shelf of it."""

from __future__ import annotations

from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from seamlore.errors import SeamloreError
from seamlore.limits import STORY, WORDS
from seamlore.shelf.collection import Collection
from seamlore.steps.leaving.exporting import FORMATS
from seamlore.steps.leaving.private import PRIVATE
from seamlore.steps.leaving.sending import send
from seamlore.steps.order import STEPS, step_named
from seamlore.steps.shelf.as_it_was import as_it_was
from seamlore.steps.shelf.keeping import HOW, NAMES, children, others, parents, typed
from seamlore.steps.study.sections import Keeping
from seamlore.web.desk import OpenStudy
from seamlore.web.forms import Fields
from seamlore.web.pages.studies import desk_of, go, number_of
from seamlore.web.rendering import render
from seamlore.web.saved import plain, saved

HERE = step_named("keep")
# The history is shown from its end; what lies further back is asked for.
_LATEST = 30
_LONG = {"address": STORY, "living": STORY, "made_of": STORY, "tags": STORY}


def routes() -> list[Route]:
    """Give the routes of the page on keeping."""
    base = "/study/{number:int}"
    return [
        Route(f"{base}/keep", page),
        Route(f"{base}/keep", change, methods=["POST"]),
        Route(f"{base}/keep/study.zip", zipped),
        Route(f"{base}/was/{{step:int}}", was),
        Route(f"{base}/was/{{step:int}}", restore, methods=["POST"]),
        Route(f"{base}/duplicate", duplicate, methods=["POST"]),
        Route(f"{base}/aside", set_aside, methods=["POST"]),
        Route(f"{base}/back", take_back, methods=["POST"]),
        Route(f"{base}/delete", question),
        Route(f"{base}/delete", delete, methods=["POST"]),
    ]


async def page(request: Request) -> Response:
    """Show the page."""
    return await run_in_threadpool(_shown, request)


def _shown(request: Request, slip: str = "") -> Response:
    desk, number = desk_of(request), number_of(request)
    study, keeping = desk.study(number), desk.study(number).section(Keeping)
    shelf = desk.shelf
    history = shelf.history(number)
    whole = "all" in request.query_params
    return render(
        request,
        "keep.html",
        status=422 if slip else 200,
        study=study,
        here=HERE,
        answer=_answer(study, keeping),
        keeping=keeping,
        how=HOW,
        names=NAMES,
        private=PRIVATE,
        parents=parents(shelf, keeping),
        children=children(shelf, number),
        others=others(shelf, number),
        aside=Collection(shelf).is_aside(number),
        history=history[::-1] if whole else history[-_LATEST:][::-1],
        steps_in_all=len(history),
        formats=FORMATS,
        titles={step.name: step.title for step in STEPS},
        slip=slip,
    )


def _answer(study: OpenStudy, keeping: Keeping) -> str:
    number = f"Number {keeping.accession}" if keeping.accession else "It has no number yet"
    how = " ".join(part for part in (keeping.acquired_how, keeping.acquired) if part)
    kept = f"kept at {keeping.kept_at}" if keeping.kept_at else ""
    return ", ".join(part for part in (number, how, kept) if part) + "."


async def change(request: Request) -> Response:
    """Keep what was typed."""
    form = await request.form()

    def work() -> Response:
        fields = Fields(form)
        desk, number = desk_of(request), number_of(request)
        before = desk.study(number).section(Keeping)
        given = {
            name: fields.lines(name, most=_LONG[name]) if name in _LONG else fields.text(name, most=WORDS)
            for name in Keeping.__struct_fields__
            if name in form
        }
        try:
            fresh = typed(desk.shelf, number, before, given)
        except SeamloreError as fault:
            return _shown(request, str(fault))
        if fresh != before:
            desk.change(number, fresh, fields.base(), "changed where it comes from and is kept")
        return _shown(request)

    return await run_in_threadpool(work)


async def zipped(request: Request) -> Response:
    """Give the study as one zip; what is private stays at home unless it was ticked."""
    chosen = [word for word in request.query_params.getlist("with") if word in PRIVATE]

    def work() -> Response:
        desk, number = desk_of(request), number_of(request)
        sent = send(desk.shelf, number, chosen)
        # The quilt's name may hold a name that was taken out of what is in the zip.
        file = "study" if any("name" in each for each in sent.left_out) else plain(desk.shelf.entry(number).name)
        return saved(sent.data, f"{file}.zip")

    return await run_in_threadpool(work)


async def was(request: Request) -> Response:
    """Show the study as it was after a step of its history."""

    def work() -> Response:
        desk, number = desk_of(request), number_of(request)
        shown = as_it_was(desk.shelf, number, int(request.path_params["step"]))
        return render(request, "was.html", study=desk.study(number), here=HERE, was=shown)

    return await run_in_threadpool(work)


async def restore(request: Request) -> Response:
    """Make the study what it was then, as one more step."""

    def work() -> None:
        desk, number = desk_of(request), number_of(request)
        Collection(desk.shelf).restore(number, int(request.path_params["step"]), where="keep")
        desk.backing_up.after_change()
        desk.carding.later(number)

    await run_in_threadpool(work)
    return go(request, f"/study/{number_of(request)}/keep")


async def duplicate(request: Request) -> Response:
    """Put the study on the shelf once more and go to that one."""

    def work() -> int:
        desk = desk_of(request)
        made = Collection(desk.shelf).duplicate(number_of(request))
        desk.backing_up.after_change()
        desk.carding.later(made)
        return made

    return go(request, f"/study/{await run_in_threadpool(work)}/keep")


async def set_aside(request: Request) -> Response:
    """Take the study out of all lists."""
    await run_in_threadpool(Collection(desk_of(request).shelf).set_aside, number_of(request))
    return go(request, "/")


async def take_back(request: Request) -> Response:
    """Put the study back on the shelf."""
    await run_in_threadpool(Collection(desk_of(request).shelf).take_back, number_of(request))
    return go(request, f"/study/{number_of(request)}/keep")


async def question(request: Request) -> Response:
    """Ask plainly whether the study is to be deleted for good."""

    def work() -> Response:
        desk, number = desk_of(request), number_of(request)
        return render(
            request,
            "delete.html",
            study=desk.study(number),
            here=HERE,
            aside=Collection(desk.shelf).is_aside(number),
            steps_in_all=len(desk.shelf.history(number)),
        )

    return await run_in_threadpool(work)


async def delete(request: Request) -> Response:
    """Delete the study for good, when the question was answered for this one."""
    form = await request.form()

    def work() -> None:
        desk, number = desk_of(request), number_of(request)
        name = desk.shelf.entry(number).name
        if form.get("name") != name:
            raise SeamloreError(
                "the answer", f'it was not about "{name}"', "load the page again and answer once more"
            )
        Collection(desk.shelf).delete(number)

    await run_in_threadpool(work)
    return go(request, "/?aside=1")
