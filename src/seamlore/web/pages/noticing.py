"""What is worth noticing in a quilt, kept, edited or dropped; talk notes, and labels for what is made of it."""

from __future__ import annotations

from typing import Literal

from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from seamlore.errors import SeamloreError
from seamlore.limits import LINE, WORDS, whole_number
from seamlore.steps.leaving.made_label import FIELDS, MADE, made_label
from seamlore.steps.leaving.private import names_left_out
from seamlore.steps.leaving.talk import talk_pdf
from seamlore.steps.order import step_named
from seamlore.steps.shelf.across import rest_of
from seamlore.steps.shelf.figures import Figures
from seamlore.steps.shelf.find import shown
from seamlore.steps.shelf.noticing import changed, kept, noticed
from seamlore.steps.study.sections import Noticed
from seamlore.web.desk import OpenStudy
from seamlore.web.finding import chosen_in, numbers_of
from seamlore.web.forms import Fields
from seamlore.web.pages.studies import desk_of, number_of, once_read
from seamlore.web.rendering import render, today, wording_for
from seamlore.web.saved import plain, saved
from seamlore.wording import speaking

HERE = step_named("tell")


def routes() -> list[Route]:
    """Give the routes of what is worth noticing."""
    base = "/study/{number:int}"
    return [
        Route(f"{base}/noticing", page),
        Route(f"{base}/noticing", change, methods=["POST"]),
        Route(f"{base}/made-label.pdf", label),
        Route("/talk.pdf", talk_notes),
    ]


async def page(request: Request) -> Response:
    """Show the page; while the photograph is still being read, how far that is."""
    return await once_read(request, "noticing.html", HERE, _shown)


def _shown(request: Request, study: OpenStudy) -> Response:
    desk, number = desk_of(request), study.entry.number
    desk.carding.now(number)
    (quilt,) = shown(desk.shelf, [number])
    notices = noticed(study.job, quilt.facts.figures or Figures(rests_on=""), rest_of(desk.shelf, number))
    count = len(kept(notices))
    answer = f"{count} thing{'s' * (count != 1)} to point at" if count else "Nothing stands out that was measured"
    return render(
        request,
        "noticing.html",
        study=study,
        here=HERE,
        state="read",
        answer=answer,
        notices=notices,
        made=MADE,
        named=names_left_out(study.job),
    )


async def change(request: Request) -> Response:
    """Keep her words for one of them, drop it or take it back, or add one of hers."""
    form = await request.form()

    def work() -> Response:
        fields = Fields(form)
        desk, number = desk_of(request), number_of(request)
        before = desk.study(number).section(Noticed)
        key, act = fields.text("key", most=WORDS), fields.text("act", most=WORDS)
        if act in ("drop", "back"):
            fresh = changed(before, key, drop=act == "drop")
            says = "left something out that was worth noticing" if act == "drop" else "took it back as worth noticing"
        else:
            fresh = changed(before, key, says=fields.text("says", most=LINE))
            says = "changed what is worth noticing"
        if fresh != before:
            desk.change(number, fresh, fields.base(), says, where="tell")
        return _shown(request, desk.study(number))

    return await run_in_threadpool(work)


async def label(request: Request) -> Response:
    """Give the label of what was made of the quilt."""
    given = request.query_params

    def work() -> Response:
        study = desk_of(request).study(number_of(request))
        words = {name: given.get(name, "")[: 2 * WORDS] for name in FIELDS}
        data = made_label(
            study.job,
            given.get("made", ""),
            words,
            printed=today(),
            paper=study.job.inputs.making.paper,
            mirrored=bool(given.get("mirrored")),
        )
        return saved(data, f"{plain(study.entry.name)}-made-label.pdf")

    return await run_in_threadpool(work)


async def talk_notes(request: Request) -> Response:
    """Give talk notes for the quilts that were ticked, in the order that they were ticked in."""
    given = request.query_params

    def work() -> Response:
        desk, numbers = desk_of(request), numbers_of(given)
        people = whole_number(given.get("people", "") or "0")
        if people is None:
            raise SeamloreError(f'"{given["people"][:20]}" people', "it is a whole number", "say how many")
        for number in numbers[:50]:
            desk.carding.now(number)
        jobs = [(number, desk.study(number).job) for number in numbers]
        paper: Literal["letter", "a4"] = jobs[0][1].inputs.making.paper if jobs else "letter"
        with speaking(wording_for(request)):
            data = talk_pdf(
                jobs,
                desk.shelf,
                printed=today(),
                title=given.get("title", ""),
                people=people,
                paper=paper,
                chosen=chosen_in(given),
            )
        return saved(data, "talk-notes.pdf")

    return await run_in_threadpool(work)
