"""The first page: the studies on the shelf, and a place to drop a photograph; what every study page shares."""

from __future__ import annotations

import hashlib
from collections.abc import Callable, Sequence
from pathlib import PurePath
from typing import Any
from urllib.parse import urlsplit

import msgspec
from starlette.concurrency import run_in_threadpool
from starlette.datastructures import FormData, UploadFile
from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import RedirectResponse, Response
from starlette.routing import Route

from seamlore.errors import PhotoError, SeamloreError
from seamlore.limits import whole_number
from seamlore.shelf.shelf import Entry
from seamlore.steps.study.sections import About, Photograph
from seamlore.web.desk import Desk, OpenStudy
from seamlore.web.forms import Fields
from seamlore.web.rendering import STEPS, render

MOST_FILES = 50


def routes() -> list[Route]:
    """Give the routes of the shelf and of what every study page shares."""
    return [
        Route("/", shelf_page),
        Route("/studies", begin, methods=["POST"]),
        Route("/studies", shelf_page),
        Route("/arrivals", arrivals),
        Route("/study/{number:int}", first_step),
        Route("/study/{number:int}/photograph", add_photograph, methods=["POST"]),
        Route("/study/{number:int}/name", rename, methods=["POST"]),
        Route("/study/{number:int}/unit", set_unit, methods=["POST"]),
        Route("/study/{number:int}/undo", undo, methods=["POST"]),
        Route("/study/{number:int}/redo", redo, methods=["POST"]),
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


def _still(form: FormData, field: str, now: str | None, what: str) -> None:
    """Refuse what was meant for another state than the one that there is."""
    if field in form and str(form[field]) != (now or ""):
        raise HTTPException(409, f"{what} in another window since this page was shown; nothing was done here.")


async def shelf_page(request: Request) -> Response:
    """Show the studies, the one changed last first."""
    return await _shelf(request)


async def _shelf(request: Request, *, refused: Sequence[str] = (), begun: int = 0) -> Response:
    desk = desk_of(request)
    entries = await run_in_threadpool(desk.shelf.studies)
    return render(
        request,
        "shelf.html",
        status=422 if refused else 200,
        entries=entries,
        refused=refused,
        begun=begun,
        **_arrived(desk, 0, _latest(entries)),
    )


def _latest(entries: Sequence[Entry]) -> int:
    return max((each.number for each in entries), default=0)


def _arrived(desk: Desk, new: int, latest: int) -> dict[str, Any]:
    left = [desk.refused[name] for name in sorted(desk.refused)]
    told = hashlib.sha256(repr((new, left)).encode()).hexdigest()[:12]
    return {"watched": desk.watched, "left": left, "new": new, "latest": latest, "told": told}


async def arrivals(request: Request) -> Response:
    """Say what came into the watched folder since the first page was shown, and what of it could not be taken."""
    desk = desk_of(request)
    entries = await run_in_threadpool(desk.shelf.studies)
    text = request.query_params.get("after", "")
    after = whole_number(text)
    latest = _latest(entries) if after is None else after
    given = _arrived(desk, sum(each.number > latest for each in entries), latest)
    if request.query_params.get("told") == given["told"]:
        # Nothing to say: what was said stays, and is not read aloud again.
        return Response(status_code=204)
    return render(request, "part/arrivals.html", **given)


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


def begin_study(desk: Desk, data: bytes, name: str) -> int:
    """Begin a study with a photograph and give its number.

    Raises
    ------
    PhotoError
        When the file is no photograph that can be read.
    """
    photograph = _kept(desk, data, name)
    number = desk.shelf.create(PurePath(name).stem.replace("_", " ").replace("-", " "))
    desk.change(number, photograph, 0, f"added the photograph {name}")
    return number


def _kept(desk: Desk, data: bytes, name: str) -> Photograph:
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


async def add_photograph(request: Request) -> Response:
    """Give a study another photograph."""
    number = number_of(request)
    form = await request.form(max_files=1)
    file = form.get("photograph")
    if not isinstance(file, UploadFile) or not file.filename:
        raise PhotoError("no photograph", "one is needed", "choose a picture file")
    data, name, desk = await file.read(), PurePath(file.filename).name, desk_of(request)
    photograph = await run_in_threadpool(_kept, desk, data, name)
    base = desk.study(number).revisions["photograph"]
    await run_in_threadpool(desk.change, number, photograph, base, f"added the photograph {name}")
    return go(request, f"/study/{number}/look")


async def first_step(request: Request) -> Response:
    """Go to the first step of a study."""
    number = number_of(request)
    desk_of(request).shelf.entry(number)
    return RedirectResponse(f"/study/{number}/look", status_code=307)


def _back(request: Request) -> str:
    """The page of this study that a form was sent from; never an address from the form itself."""
    came_from = request.headers.get("referer", "").rstrip("/").rsplit("/", 1)[-1].split("?")[0]
    step = came_from if came_from in [address for address, _, _ in STEPS] else "look"
    return f"/study/{number_of(request)}/{step}"


async def rename(request: Request) -> Response:
    """Give a study another name."""
    form, shelf, number = await request.form(), desk_of(request).shelf, number_of(request)

    def work() -> None:
        _still(form, "was", shelf.entry(number).name, "This quilt was given another name")
        shelf.rename(number, Fields(form).text("name"))

    await run_in_threadpool(work)
    return go(request, _back(request))


async def set_unit(request: Request) -> Response:
    """Work in inches or in centimeters."""
    form, desk, number = await request.form(), desk_of(request), number_of(request)
    unit = "cm" if form.get("unit") == "cm" else "in"
    study = await run_in_threadpool(desk.study, number)
    about = msgspec.structs.replace(study.section(About), unit=unit)
    says = "set to centimeters" if unit == "cm" else "set to inches"
    if unit != study.section(About).unit:
        await run_in_threadpool(desk.change, number, about, study.revisions["about"], says)
    return go(request, _back(request))


async def undo(request: Request) -> Response:
    """Take the last change back."""
    form, desk, number = await request.form(), desk_of(request), number_of(request)

    def work() -> None:
        _still(form, "last", desk.study(number).can_undo, "Something else was changed")
        desk.shelf.undo(number)

    await run_in_threadpool(work)
    return go(request, _back(request))


async def redo(request: Request) -> Response:
    """Make the change again that was taken back."""
    form, desk, number = await request.form(), desk_of(request), number_of(request)

    def work() -> None:
        _still(form, "last", desk.study(number).can_redo, "Something else was changed")
        desk.shelf.redo(number)

    await run_in_threadpool(work)
    return go(request, _back(request))


async def once_read(
    request: Request, template: str, here: tuple[str, str, str], shown: Callable[[Request, OpenStudy], Response]
) -> Response:
    """Show a page that rests on the reading; while the photograph is still being read, how far that is.

    Parameters
    ----------
    request : Request
    template : str
        Knows the state "working".
    here : tuple of str
        The page's step, as in `rendering.STEPS`.
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
    return await run_in_threadpool(shown, request, study)
