"""What is fetched of the page on assessing: its photographs, the printed map, notes and record as files, the pocket card."""

from __future__ import annotations

import json
from typing import Any

from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from seamlore.errors import PhotoError
from seamlore.steps.assess.card import pocket_card_pdf
from seamlore.steps.assess.record import notes_page, record_of
from seamlore.steps.assess.show import map_svg, photograph_jpeg
from seamlore.steps.study.sections import Photographs
from seamlore.web.pages.studies import desk_of, number_of
from seamlore.web.rendering import today, wording_for
from seamlore.web.saved import saved
from seamlore.wording import speaking


def routes() -> list[Route]:
    """Give the routes of what is fetched."""
    base = "/study/{number:int}/assess"
    return [
        Route(base + "/notes.json", save_notes),
        Route(base + "/condition.json", save_record),
        Route(base + "/pocket-card.pdf", pocket_card),
        Route(base + "/map.svg", printed_map),
        Route("/study/{number:int}/picture/photograph/{which:int}.jpg", photograph),
        Route("/study/{number:int}/picture/photograph/{which:int}/small.jpg", photograph),
    ]


async def photograph(request: Request) -> Response:
    """Give a photograph of the study, as the page shows it or small."""
    which, desk = int(request.path_params["which"]), desk_of(request)
    little = request.url.path.endswith("/small.jpg")

    def work() -> bytes:
        photographs = desk.study(number_of(request)).section(Photographs).photographs
        if which >= len(photographs):
            raise PhotoError(f"photograph {which + 1}", f"there are {len(photographs)}", "choose one of these")
        data = desk.shelf.read_photograph(photographs[which].reference)
        return photograph_jpeg(data, photographs[which].name, desk.memo, small=little)

    data = await run_in_threadpool(work)
    return Response(data, media_type="image/jpeg", headers={"cache-control": "private, max-age=86400"})


async def printed_map(request: Request) -> Response:
    """Give the map of the condition: what a printed page shows."""

    def work() -> str:
        return map_svg(desk_of(request).study(number_of(request)).job)

    text = await run_in_threadpool(work)
    return Response(text, media_type="image/svg+xml", headers={"cache-control": "private, max-age=86400"})


async def save_notes(request: Request) -> Response:
    """Give the notes as W3C Web Annotations."""
    study = await run_in_threadpool(desk_of(request).study, number_of(request))
    return _json(notes_page(study.job), "notes.json")


async def save_record(request: Request) -> Response:
    """Give the state as a record."""
    study = await run_in_threadpool(desk_of(request).study, number_of(request))
    return _json(await run_in_threadpool(lambda: record_of(study.job)), "condition.json")


def _json(record: Any, name: str) -> Response:
    return saved(json.dumps(record, ensure_ascii=False, indent=1), name)


async def pocket_card(request: Request) -> Response:
    """Print the card for a sale and for photographing."""
    study = await run_in_threadpool(desk_of(request).study, number_of(request))
    with speaking(wording_for(request)):
        data = await run_in_threadpool(lambda: pocket_card_pdf(study.job, printed=today()))
    return saved(data, "pocket-card.pdf")
