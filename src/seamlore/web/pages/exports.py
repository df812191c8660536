"""Files that leave the shelf: quilts in open formats, for one or for those that were ticked."""

from __future__ import annotations

from typing import Literal

from starlette.concurrency import run_in_threadpool
from starlette.datastructures import QueryParams
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from seamlore.limits import LINE
from seamlore.steps.shelf.catalogue import catalogue_pdf
from seamlore.steps.shelf.exporting import export
from seamlore.steps.shelf.private import PRIVATE
from seamlore.steps.shelf.web import web_folder, web_zip
from seamlore.web.finding import numbers_of
from seamlore.web.pages.studies import desk_of
from seamlore.web.rendering import today, wording_for
from seamlore.wording import speaking


def routes() -> list[Route]:
    """Give the routes of files that leave."""
    return [
        Route("/export", exported),
        Route("/export/{format}", exported),
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
        data, made = export(desk.shelf, numbers, name, _chosen(given), address=given.get("address", "")[:LINE])
        return _file(data, made.media, made.file)

    return await run_in_threadpool(work)


async def printed_catalogue(request: Request) -> Response:
    """Give a catalogue of the quilts that were ticked, of all when none was."""
    given = request.query_params

    def work() -> Response:
        desk = desk_of(request)
        numbers = numbers_of(given) or [each.number for each in desk.shelf.studies()]
        paper: Literal["letter", "a4"] = "a4" if given.get("paper") == "a4" else "letter"
        with speaking(wording_for(request)):
            data = catalogue_pdf(
                desk.shelf, numbers, printed=today(), title=given.get("title", ""), chosen=_chosen(given), paper=paper
            )
        return _file(data, "application/pdf", "catalogue.pdf")

    return await run_in_threadpool(work)


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
            chosen=_chosen(given),
            address=given.get("address", "")[:LINE],
        )
        return _file(web_zip(files), "application/zip", "web-page.zip")

    return await run_in_threadpool(work)


def _chosen(given: QueryParams) -> list[str]:
    return [word for word in given.getlist("with") if word in PRIVATE]


def _file(data: bytes, media: str, name: str) -> Response:
    headers = {"content-disposition": f'attachment; filename="{name}"'}
    return Response(data, media_type=media, headers=headers)
