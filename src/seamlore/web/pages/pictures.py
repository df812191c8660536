"""Pictures that pages ask for by address: the photograph in tiles, small, and flattened."""

from __future__ import annotations

import hashlib

from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from seamlore.drawing.svg import to_svg
from seamlore.errors import PhotoError
from seamlore.steps.photograph import flat_jpeg, found_svg, kept_small, make_small, pyramid
from seamlore.steps.shelf.compare import draft_picture
from seamlore.steps.shelf.find import shown
from seamlore.steps.study.job import Job
from seamlore.web.desk import OpenStudy
from seamlore.web.pages.studies import desk_of, number_of
from seamlore.web.rendering import speaking_for

# What stands in a photograph's place on the page of all quilts.
_NONE = (
    '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 220 165"><rect width="220" height="165" fill="#d8cfc2"/>'
    '<text x="110" y="88" text-anchor="middle" font-family="sans-serif" font-size="14" fill="#3b342c">{words}</text></svg>'
)


def routes() -> list[Route]:
    """Give the routes of pictures."""
    base = "/study/{number:int}/picture"
    return [
        Route(base + "/small.jpg", small),
        Route(base + "/flat.jpg", flat),
        Route(base + "/found.svg", found),
        Route(base + "/tile/{level:int}/{column:int}/{row:int}", tile),
    ]


def flat_address(study: OpenStudy) -> str:
    """Give the address of the flattened photograph, which changes when the picture does."""
    frame = study.job.flat.frame
    assert study.photograph is not None
    rests_on = repr((study.photograph.reference, frame.corners, frame.bows, frame.size))
    return f"/study/{study.entry.number}/picture/flat.jpg?k={hashlib.sha256(rests_on.encode()).hexdigest()[:16]}"


def flat_key(study: OpenStudy) -> str:
    """Give what the address of a picture cut from the flattened photograph carries, so that it may be kept."""
    return flat_address(study).rpartition("=")[2]


def _job(request: Request) -> Job:
    study = desk_of(request).study(number_of(request))
    if study.photograph is None:
        raise PhotoError("no photograph", "this study has none", "add one")
    return study.job


def _jpeg(data: bytes) -> Response:
    # Every address carries what the picture rests on, so that it may be kept by the browser.
    return Response(data, media_type="image/jpeg", headers={"cache-control": "private, max-age=86400"})


async def small(request: Request) -> Response:
    """Give the photograph small, for the shelf."""

    def work() -> Response:
        desk, number = desk_of(request), number_of(request)
        kept = kept_small(desk.shelf, number)
        if kept is not None:
            return _jpeg(kept)
        study = desk.study(number)
        if study.photograph is None:
            drawn = draft_picture(shown(desk.shelf, [number])[0], wide_mm=80, high_mm=60)
            if drawn is not None:
                return Response(to_svg(drawn), media_type="image/svg+xml")
            words = "The photograph is missing" if study.kept.missing else "No photograph yet"
            return Response(_NONE.format(words=words), media_type="image/svg+xml")
        return _jpeg(make_small(desk.shelf, study.photograph.reference, study.job))

    return await run_in_threadpool(work)


async def tile(request: Request) -> Response:
    """Give one tile of the photograph."""
    level, column, row = (int(request.path_params[word]) for word in ("level", "column", "row"))
    return _jpeg(await run_in_threadpool(lambda: pyramid(_job(request)).tile(level, column, row)))


async def flat(request: Request) -> Response:
    """Give the flattened quilt."""
    return _jpeg(await run_in_threadpool(lambda: flat_jpeg(_job(request))))


async def found(request: Request) -> Response:
    """Give the flattened quilt with its block grid, rows and columns numbered: what a printed page shows."""

    def drawn() -> str:
        job = _job(request)
        with speaking_for(request, job):
            return found_svg(job)

    text = await run_in_threadpool(drawn)
    return Response(text, media_type="image/svg+xml", headers={"cache-control": "private, max-age=86400"})
