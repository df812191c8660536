"""The page on making: what the draft takes, everything reckoned anew as it changes."""

from __future__ import annotations

from typing import TYPE_CHECKING

from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from seamlore.errors import SeamloreError
from seamlore.lengths import show_size
from seamlore.pictures.cutting import strips_picture
from seamlore.pictures.palette import quilt_cloths
from seamlore.pictures.quilts import quilt_picture
from seamlore.steps.booklet import booklet_content
from seamlore.steps.edit.making import remade
from seamlore.steps.order import step_named
from seamlore.steps.study.sections import Making
from seamlore.web.desk import OpenStudy
from seamlore.web.forms import Fields
from seamlore.web.pages.studies import desk_of, number_of, once_read
from seamlore.web.rendering import render, today

if TYPE_CHECKING:
    from seamlore.making.plan import Plan

HERE = step_named("make")


def routes() -> list[Route]:
    """Give the routes of the page on making."""
    return [
        Route("/study/{number:int}/make", page),
        Route("/study/{number:int}/make", change, methods=["POST"]),
    ]


async def page(request: Request) -> Response:
    """Show the page; while the photograph is still being read, how far that is."""
    return await once_read(request, "make.html", HERE, _shown)


def _shown(
    request: Request, study: OpenStudy, *, slips: dict[str, str] | None = None, typed: dict[str, str] | None = None
) -> Response:
    plan: Plan | None = None
    fault = ""
    try:
        plan = study.job.plan
    except SeamloreError as refused:
        fault = str(refused)
    content = booklet_content(plan, printed=today()) if plan else None
    seen, single = study.job.cloths if plan else ({}, {})
    cloths = quilt_cloths(plan.quilt, seen) if plan else {}
    diagrams = {}
    for cut in content.cutting if content and plan else ():
        if cut.strips and plan:
            paint = cloths.get(cut.key, "#efe7d7")
            diagrams[cut.fabric] = strips_picture(
                cut.strips, plan.fabric_width, 170, paint, title=f"Cutting {cut.fabric}"
            )
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
        slips=slips or {},
        typed=typed or {},
        answer=_answer(plan),
    )


def _answer(plan: Plan | None) -> str:
    if plan is None:
        return "There is no draft to make from yet."
    fabrics = len(plan.fabrics)
    pieces = sum(cut.needed for cut in plan.cutting)
    return f"{show_size(*plan.finished)} finished: {pieces:,} pieces from {fabrics} fabric{'s' * (fabrics != 1)}"


async def change(request: Request) -> Response:
    """Change how it is made; what is wrong is said beside its field and the rest kept."""
    form = await request.form()

    def work() -> Response:
        fields = Fields(form)
        desk, number = desk_of(request), number_of(request)
        study = desk.study(number)
        making, slips = remade(study.job, fields.words())
        if making != study.job.inputs.making:
            desk.change(number, making, fields.base(), "changed how it is made")
        typed = dict(fields.typed()) if slips else None
        return _shown(request, desk.study(number), slips=slips, typed=typed)

    return await run_in_threadpool(work)
