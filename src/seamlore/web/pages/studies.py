"""The first page: the studies on the shelf, a place to drop a photograph, the backups; what other pages share."""

from __future__ import annotations

import hashlib
from collections.abc import Callable, Sequence
from pathlib import PurePath
from typing import Any
from urllib.parse import urlsplit

from starlette.concurrency import run_in_threadpool
from starlette.datastructures import UploadFile
from starlette.requests import Request
from starlette.responses import RedirectResponse, Response
from starlette.routing import Route

from seamlore.errors import PhotoError, SeamloreError
from seamlore.limits import whole_number
from seamlore.steps.order import Step
from seamlore.steps.settings import set_wording
from seamlore.steps.shelf.find import twice
from seamlore.steps.study.sections import Photograph
from seamlore.web.desk import Desk, OpenStudy
from seamlore.web.finding import page_of
from seamlore.web.rendering import render

MOST_FILES = 50


def routes() -> list[Route]:
    """Give the routes of the shelf."""
    return [
        Route("/", shelf_page),
        Route("/studies", begin, methods=["POST"]),
        Route("/studies", shelf_page),
        Route("/by-hand", begin_by_hand, methods=["POST"]),
        Route("/arrivals", arrivals),
        Route("/backup", back_up, methods=["POST"]),
        Route("/restore", restore, methods=["POST"]),
        Route("/words", choose_words, methods=["POST"]),
        Route("/study/{number:int}", first_step),
    ]


def desk_of(request: Request) -> Desk:
    """Give the desk that the application works on."""
    found = request.app.state.desk
    assert isinstance(found, Desk)
    return found


def number_of(request: Request) -> int:
    """Give the number of the study in the address."""
    return int(request.path_params["number"])


def go(request: Request, address: str) -> Response:
    """Send the reader to a page; a form that was sent by script is told so in its own way."""
    if request.headers.get("hx-request"):
        came_from = urlsplit(request.headers.get("referer", "")).path
        # The page that she is on is loaded again, so that it keeps its place.
        told = {"hx-refresh": "true"} if came_from == address else {"hx-redirect": address}
        return Response(status_code=204, headers=told)
    return RedirectResponse(address, status_code=303)


async def shelf_page(request: Request) -> Response:
    """Show the studies, the one changed last first, or those that are looked for."""
    return await _shelf(request)


async def _shelf(request: Request, *, refused: Sequence[str] = (), begun: int = 0, said: str = "") -> Response:
    return await run_in_threadpool(lambda: shelf_answer(request, refused=refused, begun=begun, said=said))


def shelf_answer(request: Request, *, refused: Sequence[str] = (), begun: int = 0, said: str = "") -> Response:
    """Show the shelf, with what was refused, begun or said."""
    desk = desk_of(request)
    on_shelf, latest, _ = desk.shelf.counted()
    return render(
        request,
        "shelf.html",
        status=422 if refused else 200,
        on_shelf=on_shelf,
        refused=refused,
        begun=begun,
        said=said,
        twice=twice(desk.shelf),
        backups=desk.shelf.backups(),
        backup_fault=desk.backing_up.fault,
        **page_of(desk.shelf, request.query_params),
        **_arrived(desk, 0, latest),
    )


def _arrived(desk: Desk, new: int, latest: int) -> dict[str, Any]:
    left = [desk.refused[name] for name in sorted(desk.refused)]
    told = hashlib.sha256(repr((new, left)).encode()).hexdigest()[:12]
    return {"watched": desk.watched, "left": left, "new": new, "latest": latest, "told": told}


async def arrivals(request: Request) -> Response:
    """Say what came into the watched folder since the first page was shown, and what of it could not be taken."""
    desk = desk_of(request)
    after = whole_number(request.query_params.get("after", ""))
    _, last, new = await run_in_threadpool(desk.shelf.counted, min(after or 0, 2**62))
    given = _arrived(desk, 0, last) if after is None else _arrived(desk, new, after)
    if request.query_params.get("told") == given["told"]:
        # Nothing to say: what was said stays, and is not read aloud again.
        return Response(status_code=204)
    return render(request, "part/arrivals.html", **given)


async def choose_words(request: Request) -> Response:
    """Say everything in US or in British words from now on."""
    form = await request.form()
    await run_in_threadpool(set_wording, desk_of(request).shelf.folder, str(form.get("words", "")))
    return go(request, "/")


async def begin(request: Request) -> Response:
    """Begin a study for each photograph that was dropped; what is no picture is refused and the rest kept."""
    form = await request.form(max_files=MOST_FILES)
    files = [each for each in form.getlist("photograph") if isinstance(each, UploadFile) and each.filename]
    refused: list[str] = []
    begun: list[int] = []
    for file in files:
        data = await file.read()
        name = PurePath(file.filename or "photograph").name
        try:
            begun.append(await run_in_threadpool(begin_study, desk_of(request), data, name))
        except SeamloreError as fault:
            refused.append(str(fault))
    if not files:
        refused.append("No photograph came: choose a picture file, or drop one on the page.")
    if len(begun) == 1 and not refused:
        return go(request, f"/study/{begun[0]}/look")
    return await _shelf(request, refused=refused, begun=len(begun))


async def begin_by_hand(request: Request) -> Response:
    """Begin a study of which there is no photograph, and go to where its quilt is drafted by hand."""
    number = await run_in_threadpool(desk_of(request).begin, "Drafted by hand", None, "began without a photograph")
    return go(request, f"/study/{number}/draft")


def begin_study(desk: Desk, data: bytes, name: str) -> int:
    """Begin a study with a photograph and give its number.

    Raises
    ------
    PhotoError
        When the file is no photograph that can be read.
    """
    photograph = keep_photograph(desk, data, name)
    plain = PurePath(name).stem.replace("_", " ").replace("-", " ")
    return desk.begin(plain, photograph, f"added the photograph {name}")


def keep_photograph(desk: Desk, data: bytes, name: str) -> Photograph:
    """Look at a file, safely, and keep it unchanged."""
    from seamlore.steps.photograph import opened  # opens pictures: slow to import

    if not data:
        raise PhotoError(
            f"{name} is empty", "a photograph is a JPEG, PNG, TIFF, WebP or HEIC picture", "send it again"
        )
    photo = opened(data, name, desk.memo)
    suffix = PurePath(name).suffix.lower().lstrip(".")
    known = suffix if suffix in ("jpg", "jpeg", "png", "tif", "tiff", "webp", "heic", "heif", "gif") else "jpg"
    return Photograph(reference=desk.shelf.add_photograph(data, known[:4]), name=name, size=photo.size_px)


async def back_up(request: Request) -> Response:
    """Make a backup now."""
    desk = desk_of(request)
    made = await run_in_threadpool(desk.shelf.backup)
    desk.backing_up.fault = ""
    return await _shelf(request, said=f"A backup was made: {made.says}.")


async def restore(request: Request) -> Response:
    """Put a backup in the shelf's place; the shelf as it is goes into the row first."""
    form, desk = await request.form(), desk_of(request)
    name = str(form.get("backup", ""))
    wanted = next((each for each in desk.shelf.backups() if each.name == name), None)
    await run_in_threadpool(desk.shelf.restore, name)
    when = wanted.says if wanted else name
    return await _shelf(
        request,
        said=f"The shelf is as it was on {when}. As it was until now, it is the newest backup in the row.",
    )


async def first_step(request: Request) -> Response:
    """Go to the first step of a study."""
    number = number_of(request)
    desk_of(request).shelf.entry(number)
    return RedirectResponse(f"/study/{number}/look", status_code=307)


async def once_read(
    request: Request, template: str, here: Step, shown: Callable[[Request, OpenStudy], Response]
) -> Response:
    """Show a page that rests on the reading; while the photograph is still being read, how far that is.

    Parameters
    ----------
    request : Request
    template : str
        Knows the state "working".
    here : Step
        The page's step.
    shown : callable
        Shows the page itself.
    """
    desk = desk_of(request)
    study = await run_in_threadpool(desk.study, number_of(request))
    if study.photograph is not None:
        work = await run_in_threadpool(desk.reading, study)
        if not work.done:
            return render(
                request, template, study=study, here=here, answer="Reading the photograph", state="working", work=work
            )
    desk.carding.later(study.entry.number)
    return await run_in_threadpool(shown, request, study)
