"""What stands between the table and everything else on the machine and the net."""

from __future__ import annotations

from urllib.parse import urlsplit

from starlette.datastructures import Headers, MutableHeaders
from starlette.exceptions import HTTPException
from starlette.responses import PlainTextResponse
from starlette.types import ASGIApp, Message, Receive, Scope, Send

# The one rule that the zooming library adds to a page (no outline on touch screens), named by its very content.
ZOOM_STYLE = "'sha256-9xTiqzfwFaL2SGb1rmr8gysEwVVjIvqWAgmZgqFqpEE='"
# Nothing is loaded from anywhere else, nothing inline is run, nobody frames the page.
POLICY = (
    f"default-src 'none'; script-src 'self'; style-src 'self' {ZOOM_STYLE}; img-src 'self' blob: data:; font-src 'self'; "
    "connect-src 'self'; form-action 'self'; base-uri 'none'; frame-ancestors 'none'; object-src 'none'"
)
HEADERS = {
    "content-security-policy": POLICY,
    "x-content-type-options": "nosniff",
    "referrer-policy": "same-origin",
    "cross-origin-opener-policy": "same-origin",
    "cross-origin-resource-policy": "same-origin",
}
LOOPBACK = {"127.0.0.1", "localhost", "::1"}


class Guard:
    """Refuse whatever does not come from the table's own pages, and limit how much comes in.

    Parameters
    ----------
    app : ASGIApp
        What is guarded.
    most_bytes : int
        Largest request body.

    Notes
    -----
    A page of another site can send requests to a program on this machine (and, by making a name of its own point
    here, read the answers). The Host must therefore be this machine by name, and a request that changes anything
    must come from a page of this very address.
    """

    def __init__(self, app: ASGIApp, *, most_bytes: int) -> None:
        self.app = app
        self.most_bytes = most_bytes

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Check one request and pass it on."""
        if scope["type"] != "http":
            await self.app(scope, receive, send)
            return
        refusal = self._refusal(scope)
        if refusal:
            await PlainTextResponse(refusal[1], status_code=refusal[0])(scope, receive, send)
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
                headers = MutableHeaders(scope=message)
                for name, value in HEADERS.items():
                    headers.setdefault(name, value)
                headers.setdefault("cache-control", "no-store")
            await send(message)

        await self.app(scope, counted, dressed)

    def _refusal(self, scope: Scope) -> tuple[int, str] | None:
        headers = Headers(scope=scope)
        host = headers.get("host", "")
        if _name_in(host) not in LOOPBACK:
            return 400, "This page is only served to this computer, under the name 127.0.0.1 or localhost.\n"
        if scope["method"] not in ("GET", "HEAD"):
            origin = headers.get("origin") or headers.get("referer", "")
            if _place_of(origin) != host:
                return 403, "This request did not come from a Seamlore page. Open Seamlore and do it there.\n"
        length = headers.get("content-length", "0")
        if not length.isdigit() or int(length) > self.most_bytes:
            return 413, too_much(self.most_bytes)
        return None


def _name_in(host: str) -> str | None:
    try:
        return urlsplit(f"//{host}").hostname
    except ValueError:
        # Not a host at all, such as an open bracket.
        return None


def _place_of(origin: str) -> str | None:
    try:
        return urlsplit(origin).netloc
    except ValueError:
        return None


def too_much(most_bytes: int) -> str:
    """Say how much is taken."""
    return f"That is more than {most_bytes // 10**6} MB at once. Send fewer or smaller photographs.\n"
