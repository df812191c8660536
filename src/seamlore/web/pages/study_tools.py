"""What every page of a study can do: its name, its unit, undo and redo, and a photograph that is missing or replaced."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import PurePath
from typing import TypeVar

import msgspec
from starlette.concurrency import run_in_threadpool
from starlette.datastructures import FormData, UploadFile
from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from seamlore.errors import PhotoError
from seamlore.shelf.change import Done, StaleMoveError
from seamlore.shelf.photographs import is_of
from seamlore.steps.order import STEPS
from seamlore.steps.study.sections import About, Photographs
from seamlore.web.forms import Fields
from seamlore.web.pages.studies import desk_of, go, keep_photograph, number_of

T = TypeVar("T")


def routes() -> list[Route]:
    """Give the routes of what every page of a study can do."""
    base = "/study/{number:int}"
    return [
        Route(f"{base}/photograph", add_photograph, methods=["POST"]),
        Route(f"{base}/photograph/again", put_photograph_back, methods=["POST"]),
        Route(f"{base}/name", rename, methods=["POST"]),
        Route(f"{base}/unit", set_unit, methods=["POST"]),
        Route(f"{base}/undo", undo, methods=["POST"]),
        Route(f"{base}/redo", redo, methods=["POST"]),
    ]


def _step_of(request: Request) -> str:
    """The step whose page a form was sent from; never an address from the form itself."""
    came_from = request.headers.get("referer", "").rstrip("/").rsplit("/", 1)[-1].split("?")[0]
    return came_from if came_from in [step.name for step in STEPS] else "look"


def _go(request: Request, step: str) -> Response:
    return go(request, f"/study/{number_of(request)}/{step}")


def _unless_stale(work: Callable[[], T]) -> T:
    """Do it, unless it was meant for another state than the one that there is."""
    try:
        return work()
    except StaleMoveError as fault:
        raise HTTPException(
            409, f"{fault.limit[:1].upper()}{fault.limit[1:]} since this page was shown; nothing was done here."
        ) from None


async def _file(form: FormData) -> tuple[bytes, str]:
    file = form.get("photograph")
    if not isinstance(file, UploadFile) or not file.filename:
        raise PhotoError("no photograph", "one is needed", "choose a picture file")
    return await file.read(), PurePath(file.filename).name


async def add_photograph(request: Request) -> Response:
    """Give a study another photograph to read; those of its back, details and stages stay."""
    number, desk = number_of(request), desk_of(request)
    data, name = await _file(await request.form(max_files=1))

    def work() -> None:
        study = desk.study(number)
        photograph = keep_photograph(desk, data, name)
        photographs = study.section(Photographs).with_front(photograph)
        desk.change(number, photographs, study.revisions["photographs"], f"added the photograph {name}")

    await run_in_threadpool(work)
    return _go(request, "look")


async def put_photograph_back(request: Request) -> Response:
    """Take the photograph again that is missing or damaged: the very same file, whatever it is called now."""
    number, desk = number_of(request), desk_of(request)
    data, name = await _file(await request.form(max_files=1))

    def work() -> None:
        front = desk.study(number).front
        if front is None:
            raise PhotoError(f"{name}", "no photograph is missing here", "add it as a photograph instead")
        if not is_of(front.reference, data):
            raise PhotoError(
                f"{name}",
                f"it is not the file that is missing ({front.name or 'the photograph'}), or was changed since",
                "choose that file, or use this one as another photograph",
            )
        desk.shelf.add_photograph(data, front.reference.partition(".")[2])

    await run_in_threadpool(work)
    return _go(request, _step_of(request))


async def rename(request: Request) -> Response:
    """Give a study another name."""
    form, desk, number = await request.form(), desk_of(request), number_of(request)
    was = str(form["was"]) if "was" in form else None
    where = _step_of(request)

    def work() -> None:
        _unless_stale(lambda: desk.shelf.rename(number, Fields(form).text("name"), was=was, where=where))
        desk.backing_up.after_change()

    await run_in_threadpool(work)
    return _go(request, where)


async def set_unit(request: Request) -> Response:
    """Work in inches or in centimeters."""
    form, desk, number = await request.form(), desk_of(request), number_of(request)
    unit, where = "cm" if form.get("unit") == "cm" else "in", _step_of(request)

    def work() -> None:
        study = desk.study(number)
        about = study.section(About)
        if unit != about.unit:
            says = "set to centimeters" if unit == "cm" else "set to inches"
            changed = msgspec.structs.replace(about, unit=unit)
            desk.change(number, changed, study.revisions["about"], says, where=where)

    await run_in_threadpool(work)
    return _go(request, where)


async def undo(request: Request) -> Response:
    """Take the last step back and go to the page where it was."""
    desk, number = desk_of(request), number_of(request)
    return await _moved(request, lambda meant: desk.shelf.undo(number, meant=meant))


async def redo(request: Request) -> Response:
    """Make the step again that was taken back, and go to the page where it was."""
    desk, number = desk_of(request), number_of(request)
    return await _moved(request, lambda meant: desk.shelf.redo(number, meant=meant))


async def _moved(request: Request, move: Callable[[int | None], Done | None]) -> Response:
    form = await request.form()
    text = str(form.get("moves", ""))
    # -1, which fits no state, when it cannot be read.
    meant = None if not text else int(text) if text.isascii() and text.isdigit() and len(text) < 16 else -1
    done = await run_in_threadpool(_unless_stale, lambda: move(meant))
    desk_of(request).backing_up.after_change()
    where = done.where if done and done.where in [step.name for step in STEPS] else ""
    return _go(request, where or _step_of(request))
