"""The page on making: what the draft takes, everything reckoned anew as it changes."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from seamlore.errors import SeamloreError
from seamlore.lengths import show_size
from seamlore.pictures.laid import laid_picture, laid_scale
from seamlore.pictures.palette import quilt_cloths
from seamlore.pictures.quilts import quilt_picture
from seamlore.steps.booklet import booklet_content
from seamlore.steps.cutting.cut import not_used
from seamlore.steps.draft.doubtful import doubtful_words
from seamlore.steps.edit.making import remade
from seamlore.steps.making.hexagons import hexagons_pdf, hexagons_typed
from seamlore.steps.making.work import costs_of, fabrics_said, in_all, tasks
from seamlore.steps.order import step_named
from seamlore.steps.study.sections import Making
from seamlore.web.desk import OpenStudy
from seamlore.web.forms import Fields
from seamlore.web.pages.studies import desk_of, number_of, once_read
from seamlore.web.rendering import render, today, wording_for
from seamlore.web.saved import saved
from seamlore.wording import speaking

if TYPE_CHECKING:
    from seamlore.making.plan import Plan
    from seamlore.steps.cutting.of_plan import PlanCut

HERE = step_named("make")


def routes() -> list[Route]:
    """Give the routes of the page on making."""
    return [
        Route("/study/{number:int}/make", page),
        Route("/study/{number:int}/make", change, methods=["POST"]),
        Route("/study/{number:int}/make/hexagons.pdf", papers),
    ]


async def page(request: Request) -> Response:
    """Show the page; while the photograph is still being read, how far that is."""
    return await once_read(request, "make.html", HERE, _shown)


def _shown(
    request: Request, study: OpenStudy, *, slips: dict[str, str] | None = None, typed: dict[str, str] | None = None
) -> Response:
    plan: Plan | None = None
    cuts: tuple[PlanCut, ...] = ()
    fault = ""
    try:
        plan = study.job.plan
        cuts = study.job.cuts
    except SeamloreError as refused:
        # A plan whose fabrics cannot be laid out as asked is shown as strips reckoned kind by kind.
        fault = str(refused)
    content = booklet_content(plan, printed=today(), cuts=cuts, doubtful=doubtful_words(study.job)) if plan else None
    seen, single = study.job.cloths if plan else ({}, {})
    cloths = quilt_cloths(plan.quilt, seen) if plan else {}
    diagrams = {}
    for cut in content.cutting if content else ():
        scale = laid_scale(cut.laid, 170)
        paint = cloths.get(cut.key, "#efe7d7")
        diagrams[cut.fabric] = [
            laid_picture(each, scale, 170, paint, title=f"Cutting {cut.fabric}") for each in cut.laid
        ]
    return render(
        request,
        "make.html" if not request.headers.get("hx-request") else "part/plan.html",
        status=422 if slips else 200,
        study=study,
        here=HERE,
        state="read",
        plan=plan,
        content=content,
        diagrams=diagrams,
        picture=quilt_picture(plan.quilt, 120, 130, seen, dimensions=False, patch_cloths=single) if plan else None,
        making=study.section(Making),
        fault=fault,
        without=plan is not None,
        slips=slips or {},
        typed=typed or {},
        answer=_answer(plan),
        example=_example(cuts),
        idle=not_used([each.cut for each in cuts], cuts[0].cut.wishes.stash) if cuts else [],
        tasks=(done := tasks(plan, cuts) if plan else ()),
        hours=in_all(done),
        costs=costs_of(plan, cuts) if plan else (),
    )


def _example(cuts: Sequence[PlanCut]) -> str:
    name = cuts[0].cut.name if cuts else "Fabric A"
    ways = (
        "2 fat quarters",
        "1 1/2 yd of 42 in",
        "3 scraps of 9 x 14 in",
        "20 squares of 5 in",
        "buy at 12.50 a yard",
        "one-way",
        f"motif 8 x 6 in for {_piece_of(cuts)}",
    )
    return ", ".join(f'"{name}: {way}"' for way in ways)


def _piece_of(cuts: Sequence[PlanCut]) -> str:
    """A piece of the first fabric that can be cut around a motif, or one like it."""
    labels = [cut.labels[0] for cut in cuts[0].need.cuts if cut.yields == 1 and not cut.nest] if cuts else []
    return labels[0] if labels else "A1"


def _answer(plan: Plan | None) -> str:
    if plan is None:
        return "There is no draft to make from yet."
    pieces = sum(cut.needed for cut in plan.cutting)
    return f"{show_size(*plan.finished)} finished: {pieces:,} pieces from {fabrics_said(plan)}"


async def papers(request: Request) -> Response:
    """Give the papers of hexagons, and the template that they are cut by."""

    def work() -> Response:
        study = desk_of(request).study(number_of(request))
        plan, asked = study.job.plan, request.query_params
        given = hexagons_typed(
            asked.get("side", ""), asked.get("count", ""), plan.fabric_width, plan.seam, study.job.unit
        )
        with speaking(wording_for(request)):
            return saved(hexagons_pdf(given, study.section(Making).paper, today()), "hexagons.pdf")

    return await run_in_threadpool(work)


async def change(request: Request) -> Response:
    """Change how it is made; what is wrong is said beside its field and the rest kept."""
    form = await request.form()

    def work() -> Response:
        fields = Fields(form)
        desk, number = desk_of(request), number_of(request)
        study = desk.study(number)
        given = dict(fields.words())
        given |= {"stash": fields.lines("stash")} if "stash" in given else {}
        making, slips = remade(study.job, given)
        if making != study.job.inputs.making:
            desk.change(number, making, fields.base(), "changed how it is made")
        typed = {**fields.typed(), **{name: given[name] for name in ("stash",) if name in given}} if slips else None
        return _shown(request, desk.study(number), slips=slips, typed=typed)

    return await run_in_threadpool(work)
