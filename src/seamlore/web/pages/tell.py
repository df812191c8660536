"""The page on telling: study sheet, pattern booklet and label, and the words for them."""

from __future__ import annotations

from collections.abc import Callable

import msgspec
from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from seamlore.errors import SeamloreError
from seamlore.limits import STORY, WORDS
from seamlore.steps.booklet import booklet_pdf
from seamlore.steps.leaving.private import names_left_out
from seamlore.steps.order import step_named
from seamlore.steps.sheet_content import measured, unknown
from seamlore.steps.shelf.across import rest_of
from seamlore.steps.study.sections import About, LabelWords
from seamlore.steps.tell import label_pdf, study_pdf, study_record
from seamlore.web.desk import OpenStudy
from seamlore.web.finding import chosen_in
from seamlore.web.forms import Fields
from seamlore.web.pages.studies import desk_of, number_of, once_read
from seamlore.web.rendering import render, today, wording_for
from seamlore.web.saved import plain, saved
from seamlore.wording import speaking

HERE = step_named("tell")


# The file, what it is called, what it holds, whether names that stay at home can be ticked to stand in it.
_SHEETS = (
    ("study-sheet.pdf", "Study sheet", "Two to six pages on all that is known: the quilt as found and as drafted, the sums and their explanations, when it was made, its condition, what was decided, what is worth noticing, what is not known.", True),
    ("booklet.pdf", "Pattern booklet", "Fabric to buy, cutting, sewing, and templates at true scale with their test squares.", False),
    ("label.pdf", "Label", "To print on cloth and sew on the back: what is known, and what is not. It says what stands under What is known, names too.", False),
    ("study.json", "Record", "All that is known of it in one file, with how each number is known: for keeping beside the photographs, and for other programs.", True),
)  # fmt: skip


def routes() -> list[Route]:
    """Give the routes of the page on telling."""
    base = "/study/{number:int}/tell"
    return [
        Route(base, page),
        Route(base, change, methods=["POST"]),
        Route(base + "/study-sheet.pdf", study_sheet),
        Route(base + "/booklet.pdf", booklet),
        Route(base + "/label.pdf", label),
        Route(base + "/study.json", record),
    ]


async def page(request: Request) -> Response:
    """Show the page; while the photograph is still being read, how far that is."""
    return await once_read(request, "tell.html", HERE, _shown)


def _shown(request: Request, study: OpenStudy) -> Response:
    fault, ready = "", "Study sheet, pattern and label are ready to print."
    try:
        study.job.quilt  # noqa: B018 - whether there is one decides what can be printed
    except SeamloreError as refused:
        fault, ready = str(refused), "Study sheet and label are ready to print; the pattern waits for a draft."
    # Of a quilt that was photographed there is something to tell without a draft too.
    sheets = [each for each in _SHEETS if not fault or each[0] != "booklet.pdf"]
    sheets = sheets if not fault or study.photograph is not None else []
    if measured(study.job) is None:
        sheets = [each for each in sheets if each[0] != "study.json"]
    answer = ready if sheets else "The draft comes first; then the sheets."
    return render(
        request,
        "tell.html",
        study=study,
        here=HERE,
        state="read",
        answer=answer,
        fault=fault,
        sheets=sheets,
        named=names_left_out(study.job),
        unknown=list(unknown(study.job)) if sheets else [],
        words=study.section(LabelWords),
        about=study.section(About),
    )


async def change(request: Request) -> Response:
    """Keep the words for the label and the story."""
    form = await request.form()

    def work() -> Response:
        fields = Fields(form)
        desk, number = desk_of(request), number_of(request)
        study = desk.study(number)
        words = LabelWords(**{name: fields.text(name, most=WORDS) for name in LabelWords.__struct_fields__})
        made: list[tuple[msgspec.Struct, int, str]] = []
        if words != study.section(LabelWords):
            made.append((words, fields.base(), "changed the words of the label"))
        about = study.section(About)
        story = fields.lines("story", most=STORY).strip() if "story" in form else about.story
        if story != about.story:
            changed = msgspec.structs.replace(about, story=story)
            made.append((changed, fields.revision("about_base"), "changed the story"))
        desk.changes(number, made)
        return _shown(request, desk.study(number))

    return await run_in_threadpool(work)


async def _file(request: Request, make: Callable[[OpenStudy], bytes], name: str) -> Response:
    def work() -> Response:
        study = desk_of(request).study(number_of(request))
        with speaking(wording_for(request)):
            return saved(make(study), f"{plain(study.entry.name)}-{name}")

    return await run_in_threadpool(work)


async def study_sheet(request: Request) -> Response:
    """Give the study sheet."""
    shelf, number = desk_of(request).shelf, number_of(request)
    return await _file(
        request,
        lambda study: study_pdf(
            study.job,
            printed=today(),
            chosen=chosen_in(request.query_params),
            others=rest_of(shelf, number),
            read_photograph=shelf.read_photograph,
        ),
        "study-sheet.pdf",
    )


async def booklet(request: Request) -> Response:
    """Give the pattern booklet."""
    return await _file(request, lambda study: booklet_pdf(study.job, study.job.plan, printed=today()), "pattern.pdf")


async def label(request: Request) -> Response:
    """Give the label."""
    return await _file(request, lambda study: label_pdf(study.job, printed=today()), "label.pdf")


async def record(request: Request) -> Response:
    """Give the record."""
    return await _file(
        request,
        lambda study: study_record(study.job, chosen_in(request.query_params)),
        "study.json",
    )
