"""The shelf as pictures: searched as you type, filtered, compared, looked at across; studies that are brought in."""

from __future__ import annotations

from pathlib import PurePath

from starlette.concurrency import run_in_threadpool
from starlette.datastructures import UploadFile
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from seamlore.errors import SeamloreError
from seamlore.shelf.collection import SameStudyError
from seamlore.steps.leaving.exporting import FORMATS
from seamlore.steps.leaving.sending import Taken, take
from seamlore.steps.shelf.across import across
from seamlore.steps.shelf.compare import LEAST, MOST, compare
from seamlore.web.desk import Desk
from seamlore.web.finding import chosen_of, looked_for, numbers_of, query_of
from seamlore.web.pages.studies import desk_of, shelf_answer
from seamlore.web.rendering import render

MOST_ZIPS = 20


def routes() -> list[Route]:
    """Give the routes of the shelf as a collection."""
    return [
        Route("/quilts", quilts),
        Route("/compare", side_by_side),
        Route("/across", across_shelf),
        Route("/take", bring_in, methods=["POST"]),
    ]


async def quilts(request: Request) -> Response:
    """Give the quilts that are found, as pictures; for the search as it is typed and for the next page of it."""

    def work() -> Response:
        desk, given = desk_of(request), request.query_params
        if not request.headers.get("hx-request"):
            return shelf_answer(request)
        wanted, found, slip = looked_for(desk.shelf, given)
        more = given.get("part") == "more"
        return render(
            request,
            "part/quilt_tiles.html" if more else "part/quilts.html",
            found=found,
            wanted=wanted,
            slip=slip,
            chosen=[] if more else chosen_of(desk.shelf, given, found),
            query=query_of(given),
            formats=FORMATS,
        )

    return await run_in_threadpool(work)


async def side_by_side(request: Request) -> Response:
    """Show two to four quilts side by side."""

    def work() -> Response:
        desk, numbers = desk_of(request), numbers_of(request.query_params)
        if not LEAST <= len(numbers) <= MOST:
            raise SeamloreError(
                f"{len(numbers)} quilt{'s' * (len(numbers) != 1)} to compare",
                f"{LEAST} to {MOST} stand side by side",
                "tick so many on the page of all quilts",
            )
        for number in numbers:
            desk.carding.now(number)
        return render(request, "compare.html", compared=compare(desk.shelf, numbers))

    return await run_in_threadpool(work)


async def across_shelf(request: Request) -> Response:
    """Show what the whole shelf shows, and where the quilt in hand stands."""

    def work() -> Response:
        desk, numbers = desk_of(request), numbers_of(request.query_params)
        shown = across(desk.shelf, numbers[0] if numbers else None)
        return render(request, "across.html", across=shown)

    return await run_in_threadpool(work)


async def bring_in(request: Request) -> Response:
    """Put studies from zips on the shelf, each whole or not at all; what is none is refused by name."""
    form = await request.form(max_files=MOST_ZIPS)
    files = [each for each in form.getlist("zip") if isinstance(each, UploadFile) and each.filename]
    as_copy = bool(form.get("copy"))
    refused: list[str] = []
    taken: list[Taken] = []
    for file in files:
        data, name = await file.read(), PurePath(file.filename or "zip").name
        try:
            taken.append(await run_in_threadpool(_taken, desk_of(request), data, name, as_copy))
        except SameStudyError as fault:
            refused.append(f'{name}: {fault} (tick "as a copy" to do so)')
        except SeamloreError as fault:
            refused.append(str(fault))
    if not files:
        refused.append("No zip came: choose one that Seamlore made of a study.")
    said = " ".join(each.says for each in taken)
    return await run_in_threadpool(lambda: shelf_answer(request, refused=refused, said=said))


def _taken(desk: Desk, data: bytes, name: str, as_copy: bool) -> Taken:
    found = take(desk.shelf, data, source=name, as_copy=as_copy)
    desk.backing_up.after_change()
    desk.carding.later(found.number)
    return found
