"""What stands between the table and everything else on the machine and the net."""

from __future__ import annotations

import base64
import hashlib
import html
from urllib.parse import parse_qs, urlsplit

from starlette.datastructures import Headers, MutableHeaders
from starlette.exceptions import HTTPException
from starlette.responses import HTMLResponse, JSONResponse, PlainTextResponse, Response
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from seamlore.web.doors import Doors

# The one rule that the zooming library adds to a page (no outline on touch screens), named by its very content.
ZOOM_STYLE = "'sha256-9xTiqzfwFaL2SGb1rmr8gysEwVVjIvqWAgmZgqFqpEE='"
# A page at the door is all that a stranger gets: it carries its own style, named by its content too.
_DOOR_STYLE = "body{font:1.15rem/1.5 system-ui,sans-serif;max-width:36rem;margin:15vh auto;padding:0 1rem}"
DOOR_STYLE = f"'sha256-{base64.b64encode(hashlib.sha256(_DOOR_STYLE.encode()).digest()).decode()}'"
# Nothing is loaded from anywhere else, nothing inline is run, nobody frames the page.
POLICY = (
    f"default-src 'none'; script-src 'self'; style-src 'self' {ZOOM_STYLE}; img-src 'self' blob: data:; font-src 'self'; "
    "connect-src 'self'; form-action 'self'; base-uri 'none'; frame-ancestors 'none'; object-src 'none'"
)
DOOR_POLICY = (
    f"default-src 'none'; style-src {DOOR_STYLE}; base-uri 'none'; form-action 'none'; frame-ancestors 'none'"
)
HEADERS = {
    "content-security-policy": POLICY,
    "x-content-type-options": "nosniff",
    "referrer-policy": "same-origin",
    "cross-origin-opener-policy": "same-origin",
    "cross-origin-resource-policy": "same-origin",
}
LOOPBACK = {"127.0.0.1", "localhost", "::1"}
ENTRANCE = "/enter"
# A key is 75 letters; whoever sends more is no browser that was sent here.
_MOST_AT_THE_DOOR = 1000
OPEN_AGAIN = (
    "Open Seamlore once more, the way you always do: a double click on its launcher, or the command seamlore open. "
    "If it is running already, that only shows it; nothing that you entered is lost."
)
NOT_KNOWN = (
    "Seamlore shows your quilts only in the browser that it opened itself, and follows no link of another page. "
)


class Guard:
    """Refuse whatever does not come from the table's own pages in a browser that it knows, and limit how much comes in.

    Parameters
    ----------
    app : ASGIApp
        What is guarded.
    most_bytes : int
        Largest request body.
    doors : Doors
        Who is let in.

    Notes
    -----
    Any program and any other user of this machine can reach a port of it: so a browser is only known by the cookie
    that a key gave it. A page of another site can make the browser send requests here (and, by making a name of its
    own point here, read the answers): so the Host must be this machine by name, with this very port, and what the
    browser says of where a request comes from must be this very address, or the user herself.
    """

    def __init__(self, app: ASGIApp, *, most_bytes: int, doors: Doors) -> None:
        self.app = app
        self.most_bytes = most_bytes
        self.doors = doors

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Check one request and pass it on."""
        if scope["type"] == "websocket":
            await send({"type": "websocket.close", "code": 1008})
            return
        if scope["type"] != "http":
            await self.app(scope, receive, send)
            return
        headers, port = Headers(scope=scope), scope["server"][1]
        answer = self._stranger(headers, port)
        if answer is None and scope["path"] == ENTRANCE:
            answer = await self._enter(scope, receive, port)
        answer = answer or self._refusal(scope, headers, port)
        if answer is not None:
            await answer(scope, receive, send)
            return
        held = 0

        async def counted() -> Message:
            nonlocal held
            message = await receive()
            held += len(message.get("body", b""))
            if held > self.most_bytes:
                raise HTTPException(413, too_much(self.most_bytes))
            return message

        async def dressed(message: Message) -> None:
            if message["type"] == "http.response.start":
                told = MutableHeaders(scope=message)
                for name, value in HEADERS.items():
                    told.setdefault(name, value)
                told.setdefault("cache-control", "no-store")
            await send(message)

        await self.app(scope, counted, dressed)

    def _stranger(self, headers: Headers, port: int) -> Response | None:
        """Refuse a request that is meant for another place than this."""
        if _place_in(headers.get("host", "")) not in {(name, port) for name in LOOPBACK}:
            return _plain(400, "This page is only served to this computer, under the name 127.0.0.1 or localhost.\n")
        return None

    def _refusal(self, scope: Scope, headers: Headers, port: int) -> Response | None:
        looks = scope["method"] in ("GET", "HEAD")
        origin = headers.get("origin") or ("" if looks else headers.get("referer", ""))
        # What browsers say by themselves and no page can change: the same origin, or typed, a bookmark, a new tab.
        site = headers.get("sec-fetch-site", "same-origin")
        ours = _origin_in(origin) == headers["host"] if origin or not looks else True
        if looks and site in ("cross-site", "same-site") and headers.get("sec-fetch-mode") == "navigate":
            # A link to the table in her notes: the cookie did not come along, and the page at the door says what to do.
            return at_the_door(headers)
        if not ours or site not in (("same-origin", "none") if looks else ("same-origin",)):
            return _plain(403, "This request did not come from a Seamlore page. Open Seamlore and do it there.\n")
        if not self.doors.knows(headers.get("cookie", ""), port):
            return at_the_door(headers)
        length = headers.get("content-length", "0")
        if not (length.isascii() and length.isdigit()) or len(length) > 15 or int(length) > self.most_bytes:
            return _plain(413, too_much(self.most_bytes))
        return None

    async def _enter(self, scope: Scope, receive: Receive, port: int) -> Response:
        """Take a key and make the browser known, or say how to come in."""
        headers = Headers(scope=scope)
        if scope["method"] not in ("GET", "POST") or headers.get("sec-fetch-mode", "navigate") != "navigate":
            return _plain(403, "This address is opened by Seamlore itself.\n")
        given = scope["query_string"]
        while scope["method"] == "POST" and len(given) <= _MOST_AT_THE_DOOR:
            message = await receive()
            given += message.get("body", b"")
            if not message.get("more_body"):
                break
        fields = (
            parse_qs(given[:_MOST_AT_THE_DOOR].decode("latin-1"), max_num_fields=4) if given.count(b"&") < 4 else {}
        )
        if not self.doors.admits(fields.get("key", [""])[0]):
            # The key of an address that is opened a second time is used up, but she is known.
            known = self.doors.knows(headers.get("cookie", ""), port)
            return _going_in() if known else at_the_door(headers)
        answer = _going_in()
        answer.headers.append("set-cookie", self.doors.set_cookie(port))
        return answer


def _going_in() -> HTMLResponse:
    # Not a redirection: what comes from outside is led on without the cookie, and the key would stay in the history.
    # A page that refreshes itself at once takes the place of its address there (HTML standard, "shared declarative
    # refresh steps").
    return _door_page(
        200, "Seamlore", '<p><a href="/">Go to your quilts</a></p>', '<meta http-equiv="refresh" content="0; url=/">'
    )


def at_the_door(headers: Headers) -> Response:
    """Say, to a browser that is not known, how to open the table again: in the shape in which the answer is read."""
    title, status = "Please open Seamlore again", 403
    if "application/json" in headers.get("accept", ""):
        return JSONResponse({"error": title, "says": NOT_KNOWN + OPEN_AGAIN}, status_code=status)
    if headers.get("hx-request"):
        text = f'<div class="notice bad" role="alert"><p>{html.escape(title)}: {html.escape(NOT_KNOWN + OPEN_AGAIN)}</p></div>'
        return HTMLResponse(text, status, headers={"hx-retarget": "#notices", "hx-reswap": "innerHTML", **HEADERS})
    # From this page the cookie comes along, where there is one.
    ways = f'<p>{OPEN_AGAIN}</p><p>Where it is open in this browser already: <a href="/">go to your quilts</a>.</p>'
    return _door_page(status, title, f"<p>{NOT_KNOWN}</p>{ways}")


def _door_page(status: int, title: str, body: str, head: str = "") -> HTMLResponse:
    page = (
        '<!doctype html><html lang="en-US"><head><meta charset="utf-8">'
        '<meta name="viewport" content="width=device-width, initial-scale=1"><meta name="color-scheme" content="light dark">'
        f"{head}<title>{title}</title><style>{_DOOR_STYLE}</style></head><body><main><h1>{title}</h1>{body}</main></body></html>"
    )
    return HTMLResponse(
        page,
        status,
        headers={
            **HEADERS,
            "content-security-policy": DOOR_POLICY,
            "referrer-policy": "no-referrer",
            "cache-control": "no-store",
        },
    )


def _plain(status: int, sentence: str) -> Response:
    return PlainTextResponse(sentence, status, headers=HEADERS)


def _place_in(host: str) -> tuple[str | None, int] | None:
    try:
        split = urlsplit(f"//{host}")
        return split.hostname, split.port or 80
    except ValueError:
        # Not a host at all, such as an open bracket.
        return None


def _origin_in(origin: str) -> str | None:
    try:
        split = urlsplit(origin)
    except ValueError:
        return None
    return split.netloc if split.scheme == "http" else None


def too_much(most_bytes: int) -> str:
    """Say how much is taken."""
    return f"That is more than {most_bytes // 10**6} MB at once. Send fewer or smaller photographs.\n"
