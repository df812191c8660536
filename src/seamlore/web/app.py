"""The application: routes, pages and errors, put together."""

from __future__ import annotations

from pathlib import Path
from urllib.parse import urlsplit

from starlette.applications import Starlette
from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import JSONResponse, Response
from starlette.routing import Mount
from starlette.staticfiles import StaticFiles

from seamlore.errors import SeamloreError
from seamlore.shelf.change import ShelfError, StaleChangeError
from seamlore.shelf.shelf import Shelf
from seamlore.steps.order import CALLED
from seamlore.web import pages
from seamlore.web.desk import Desk
from seamlore.web.doors import Doors
from seamlore.web.rendering import render
from seamlore.web.security import Guard

HERE = Path(__file__).parent
# A 40-megapixel JPEG has 10 to 30 MB; ten of them may come at once.
MOST_BYTES = 400 * 10**6


def make_app(shelf: Shelf, *, desk: Desk | None = None, doors: Doors | None = None) -> Guard:
    """Put the table together over an open shelf.

    Parameters
    ----------
    shelf : Shelf
        Stays open as long as the application runs.
    desk : Desk, optional
        Over the same shelf, where something else puts photographs on it too; a new one when not given.
    doors : Doors, optional
        Whom it lets in; new ones when not given.

    Returns
    -------
    Guard
        An ASGI application that answers this machine only, and there only whom its `doors` know.
    """
    fonts = HERE.parent / "printing" / "fonts"
    app = Starlette(
        routes=[
            *pages.routes(),
            Mount("/static", StaticFiles(directory=HERE / "static"), name="static"),
            Mount("/fonts", StaticFiles(directory=fonts), name="fonts"),
        ],
        exception_handlers={
            StaleChangeError: _stale,
            SeamloreError: _refused,
            HTTPException: _http,
            Exception: _broken,
        },
    )
    app.state.desk = desk or Desk(shelf)
    return Guard(app, most_bytes=MOST_BYTES, doors=doors or Doors())


async def _stale(request: Request, fault: Exception) -> Response:
    assert isinstance(fault, StaleChangeError)
    what = CALLED.get(fault.section, fault.section)
    sentence = f"Since this page was shown, {what} of this quilt changed elsewhere; this change was not made."
    return _say(request, 409, "Changed in another window", sentence[:1].upper() + sentence[1:])


async def _refused(request: Request, fault: Exception) -> Response:
    # A name that is taken is a slip; a study that is not there is a missing page.
    missing = isinstance(fault, ShelfError) and fault.given.startswith("study number")
    return _say(request, 404 if missing else 422, "That cannot be done", str(fault))


async def _http(request: Request, fault: Exception) -> Response:
    assert isinstance(fault, HTTPException)
    words = {
        404: "There is no such page",
        405: "That cannot be done here",
        409: "Changed in another window",
        413: "Too much at once",
    }
    return _say(request, fault.status_code, words.get(fault.status_code, "That cannot be done"), fault.detail)


async def _broken(request: Request, fault: Exception) -> Response:
    return _say(
        request,
        500,
        "Seamlore has made a mistake",
        "Nothing that you entered before is lost: every change is on the shelf. Go back and try another way, and "
        f"tell its makers what you did and this: {type(fault).__name__}: {str(fault)[:200]}",
    )


def _say(request: Request, status: int, title: str, sentence: str) -> Response:
    """One error shape for all: JSON for scripts, a notice for a part of a page, a page for a reader."""
    if "application/json" in request.headers.get("accept", ""):
        return JSONResponse({"error": title, "says": sentence}, status_code=status)
    part = bool(request.headers.get("hx-request"))
    again = request.headers.get("referer", "")
    answer = render(
        request,
        "part/notice.html" if part else "error.html",
        status=status,
        title=title,
        sentence=sentence,
        stale=status == 409,
        # Only ever the page that the request came from; the guard has seen that it is one of ours.
        again=urlsplit(again).path if again else "/",
    )
    if part:
        # What was refused must not take the place of the panel, with all that was typed into it.
        answer.headers.update({"hx-retarget": "#notices", "hx-reswap": "innerHTML"})
    return answer
