"""The page on sewing: every step as a picture, opened to its seams, pressing and sizes; the booklet, and a block lesson."""

from __future__ import annotations

from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from seamlore.errors import SeamloreError
from seamlore.lengths import show
from seamlore.limits import LINE
from seamlore.steps.edit.sewing import resewn
from seamlore.steps.order import step_named
from seamlore.steps.sewing.lesson import lesson_of, lesson_page, lesson_pdf
from seamlore.steps.sewing.strip import Shown, shown
from seamlore.steps.study.sections import Sewing
from seamlore.web.desk import OpenStudy
from seamlore.web.forms import Fields
from seamlore.web.pages.studies import desk_of, number_of, once_read
from seamlore.web.rendering import render, speaking_for, today
from seamlore.web.saved import plain, saved

HERE = step_named("sew")


def routes() -> list[Route]:
    """Give the routes of the page on sewing."""
    base = "/study/{number:int}/sew"
    return [
        Route(base, page),
        Route(base, change, methods=["POST"]),
        Route(base + "/lesson.pdf", lesson_as_pdf),
        Route(base + "/lesson.html", lesson_as_page),
    ]


async def page(request: Request) -> Response:
    """Show the page; while the photograph is still being read, how far that is."""
    return await once_read(request, "sew.html", HERE, _shown)


def _shown(request: Request, study: OpenStudy) -> Response:
    found: Shown | None = None
    fault = ""
    try:
        found = shown(study.job)
    except SeamloreError as refused:
        fault = str(refused)
    return render(
        request,
        "sew.html" if not request.headers.get("hx-request") else "part/sewing.html",
        study=study,
        here=HERE,
        state="read",
        shown=found,
        fault=fault,
        answer=found.answer if found else "There is no draft to sew yet.",
        sewing=study.section(Sewing),
        kinds=study.job.quilt.kinds if found else (),
        size=_usual_size(study) if found else "",
    )


def _usual_size(study: OpenStudy) -> str:
    return show(max(study.job.quilt.block_width, study.job.quilt.block_height))


async def change(request: Request) -> Response:
    """Change how it is sewn, and show it so."""
    form = await request.form()

    def work() -> Response:
        fields = Fields(form)
        desk, number = desk_of(request), number_of(request)
        study = desk.study(number)
        now = study.section(Sewing)
        sewing = resewn(now, fields.words())
        if sewing != now:
            desk.change(number, sewing, fields.base(), "changed how it is sewn")
        return _shown(request, desk.study(number))

    return await run_in_threadpool(work)


async def lesson_as_pdf(request: Request) -> Response:
    """Give the lesson of one block as PDF."""
    return await _lesson(request, "pdf")


async def lesson_as_page(request: Request) -> Response:
    """Give the lesson of one block as a page for a site."""
    return await _lesson(request, "html")


async def _lesson(request: Request, ending: str) -> Response:
    def work() -> Response:
        study = desk_of(request).study(number_of(request))
        asked = request.query_params
        with speaking_for(request, study.job):
            content = lesson_of(
                study.job, asked.get("kind", "")[:LINE], asked.get("sizes", "")[:LINE], printed=today()
            )
            black = study.job.inputs.sewing.ink == "black"
            paper = study.job.inputs.making.paper
            data = (
                lesson_pdf(content, paper, plain=black) if ending == "pdf" else lesson_page(content).encode("utf-8")
            )
        return saved(data, f"{plain(content.block.name, otherwise='block')}-lesson.{ending}")

    return await run_in_threadpool(work)
