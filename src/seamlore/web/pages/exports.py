"""Files that leave the shelf: quilts in open formats, for one or for those that were ticked."""

from __future__ import annotations

from collections.abc import Callable, Hashable
from typing import Literal

from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from seamlore.limits import LINE
from seamlore.steps.leaving.catalogue import catalogue_pdf
from seamlore.steps.leaving.exporting import export
from seamlore.steps.leaving.sending import size_words
from seamlore.steps.leaving.web import web_folder, web_zip
from seamlore.web.finding import chosen_in, numbers_of
from seamlore.web.pages.studies import desk_of, go
from seamlore.web.rendering import render, today, wording_for
from seamlore.web.saved import saved
from seamlore.web.waiting import Files
from seamlore.wording import speaking


def routes() -> list[Route]:
    """Give the routes of files that leave."""
    return [
        Route("/export", exported),
        Route("/export/{format}", exported),
        Route("/catalogue", catalogue_page),
        Route("/catalogue/stop", stop_catalogue, methods=["POST"]),
        Route("/catalogue.pdf", printed_catalogue),
        Route("/web.zip", web_page),
    ]


async def exported(request: Request) -> Response:
    """Give quilts in an open format; what is private stays at home unless it was ticked."""
    given = request.query_params
    name = request.path_params.get("format") or given.get("format", "")

    def work() -> Response:
        desk, numbers = desk_of(request), numbers_of(given)
        for number in numbers[:50]:
            desk.carding.now(number)
        data, made = export(desk.shelf, numbers, name, chosen_in(given), address=given.get("address", "")[:LINE])
        return saved(data, made.file, made.media)

    return await run_in_threadpool(work)


async def printed_catalogue(request: Request) -> Response:
    """Give a catalogue of the quilts that were ticked, of all when none was; the one that was made on its page, if so."""

    def work() -> Response:
        kept = _files(request).of(_key(request))
        data = kept.data if kept and kept.data else _printed(request, lambda stage, part: None)
        return saved(data, "catalogue.pdf")

    return await run_in_threadpool(work)


async def catalogue_page(request: Request) -> Response:
    """Print a catalogue in the background, and show how far it is; then it can be saved."""

    def work() -> Response:
        waiting = _files(request).begin(_key(request), lambda tell: _printed(request, tell))
        # What is quick needs no second page.
        waiting.over.wait(0.2)
        fault = waiting.work.fault
        template = "part/catalogue_far.html" if request.headers.get("hx-request") else "catalogue.html"
        count = len(numbers_of(request.query_params))
        return render(
            request,
            template,
            status=422 if fault else 200,
            work=waiting.work,
            query=str(request.query_params),
            size=size_words(waiting.data),
            count=count or desk_of(request).shelf.counted()[0],
        )

    return await run_in_threadpool(work)


async def stop_catalogue(request: Request) -> Response:
    """Stop printing a catalogue, and go back to the quilts."""
    _files(request).stop(_key(request))
    return go(request, "/")


def _files(request: Request) -> Files:
    found = request.app.state.desk.files
    assert isinstance(found, Files)
    return found


def _key(request: Request) -> Hashable:
    """What a catalogue rests on: what was asked for, and the last change on the shelf."""
    entries = desk_of(request).shelf.studies()
    return (
        "catalogue",
        str(request.query_params),
        wording_for(request),
        entries[0].changed if entries else "",
        today(),
    )


def _printed(request: Request, tell: Callable[[str, float], None]) -> bytes:
    desk, given = desk_of(request), request.query_params
    numbers = numbers_of(given) or [each.number for each in desk.shelf.studies()]
    paper: Literal["letter", "a4"] = "a4" if given.get("paper") == "a4" else "letter"
    with speaking(wording_for(request)):
        return catalogue_pdf(
            desk.shelf,
            numbers,
            printed=today(),
            title=given.get("title", ""),
            chosen=chosen_in(given),
            paper=paper,
            tell=tell,
        )


async def web_page(request: Request) -> Response:
    """Give the web page of the quilts that were ticked, as one zip."""
    given = request.query_params

    def work() -> Response:
        desk, numbers = desk_of(request), numbers_of(given)
        for number in numbers[:50]:
            desk.carding.now(number)
        files = web_folder(
            desk.shelf,
            numbers,
            made=today(),
            title=given.get("title", ""),
            chosen=chosen_in(given),
            address=given.get("address", "")[:LINE],
        )
        return saved(web_zip(files), "web-page.zip")

    return await run_in_threadpool(work)
