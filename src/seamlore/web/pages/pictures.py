"""Pictures that pages ask for by address: the photograph in tiles, small, and flattened."""

from __future__ import annotations

from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from seamlore.drawing.shapes import ImageFile
from seamlore.drawing.svg import to_svg
from seamlore.errors import PhotoError
from seamlore.photo.encoding import Pyramid, to_jpeg
from seamlore.pictures.found import found_picture
from seamlore.web.desk import Desk
from seamlore.web.pages.studies import desk_of, number_of

_SMALL_PX = 512
_FOUND_MM = (170.0, 200.0)


def routes() -> list[Route]:
    """Give the routes of pictures."""
    base = "/study/{number:int}/picture"
    return [
        Route(base + "/small.jpg", small),
        Route(base + "/flat.jpg", flat),
        Route(base + "/found.svg", found),
        Route(base + "/tile/{level:int}/{column:int}/{row:int}", tile),
    ]


def _pyramid(desk: Desk, number: int) -> tuple[Pyramid, str]:
    study = desk.study(number)
    if study.photograph is None:
        raise PhotoError("no photograph", "this study has none", "add one")
    reference = study.photograph.reference
    return desk.memo.get(("pyramid", reference), lambda: Pyramid(study.job.photo.pixels)), reference


def _jpeg(data: bytes) -> Response:
    # Every address carries what the picture rests on, so that it may be kept by the browser.
    return Response(data, media_type="image/jpeg", headers={"cache-control": "private, max-age=86400"})


async def small(request: Request) -> Response:
    """Give the photograph small, for the shelf."""

    def work() -> bytes:
        desk = desk_of(request)
        pyramid, reference = _pyramid(desk, number_of(request))
        return desk.memo.get(("small", reference), lambda: to_jpeg(pyramid.level(0)[:_SMALL_PX, :_SMALL_PX]))

    return _jpeg(await run_in_threadpool(work))


async def tile(request: Request) -> Response:
    """Give one tile of the photograph."""
    level, column, row = (int(request.path_params[word]) for word in ("level", "column", "row"))
    pyramid, _ = await run_in_threadpool(_pyramid, desk_of(request), number_of(request))
    return _jpeg(await run_in_threadpool(pyramid.tile, level, column, row))


async def flat(request: Request) -> Response:
    """Give the flattened quilt."""

    def work() -> bytes:
        study = desk_of(request).study(number_of(request))
        return to_jpeg(study.job.flat.pixels)

    return _jpeg(await run_in_threadpool(work))


async def found(request: Request) -> Response:
    """Give the flattened quilt with its block grid, rows and columns numbered: what a printed page shows."""

    def work() -> str:
        job = desk_of(request).study(number_of(request)).job
        photo = ImageFile("as-found.jpg", "image/jpeg", to_jpeg(job.flat.pixels))
        return to_svg(found_picture(job.reading, photo, *_FOUND_MM))

    text = await run_in_threadpool(work)
    return Response(text, media_type="image/svg+xml", headers={"cache-control": "private, max-age=86400"})
