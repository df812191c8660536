"""Files that leave the shelf: quilts in open formats, for one or for those that were ticked."""

from __future__ import annotations

from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from seamlore.limits import LINE
from seamlore.steps.shelf.exporting import export
from seamlore.steps.shelf.private import PRIVATE
from seamlore.web.finding import numbers_of
from seamlore.web.pages.studies import desk_of


def routes() -> list[Route]:
    """Give the routes of files that leave."""
    return [Route("/export", exported), Route("/export/{format}", exported)]


async def exported(request: Request) -> Response:
    """Give quilts in an open format; what is private stays at home unless it was ticked."""
    given = request.query_params
    chosen = [word for word in given.getlist("with") if word in PRIVATE]
    name = request.path_params.get("format") or given.get("format", "")

    def work() -> Response:
        desk, numbers = desk_of(request), numbers_of(given)
        for number in numbers[:50]:
            desk.carding.now(number)
        data, made = export(desk.shelf, numbers, name, chosen, address=given.get("address", "")[:LINE])
        headers = {"content-disposition": f'attachment; filename="{made.file}"'}
        return Response(data, media_type=made.media, headers=headers)

    return await run_in_threadpool(work)
