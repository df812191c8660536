"""Files that a page gives to be saved: what they are called, and of what kind they are."""

from __future__ import annotations

import re

from starlette.responses import Response

_MEDIA = {
    "pdf": "application/pdf",
    "txt": "text/plain; charset=utf-8",
    "html": "text/html; charset=utf-8",
    "svg": "image/svg+xml",
    "json": "application/json",
    "zip": "application/zip",
}


def plain(name: str, *, otherwise: str = "quilt") -> str:
    """Give a name as files everywhere may be called: small letters, digits and hyphens.

    Examples
    --------
    >>> plain("Aunt Em's Shoo Fly, 1885"), plain("刺繍")
    ('aunt-em-s-shoo-fly-1885', 'quilt')
    """
    return re.sub(r"[^A-Za-z0-9]+", "-", name).strip("-").lower() or otherwise


def saved(data: bytes | str, name: str, media: str = "") -> Response:
    """Give a file to be saved under a name; its ending says what it is, unless that is told.

    Examples
    --------
    >>> given = saved("A light", "set-anew.draft.txt")
    >>> given.headers["content-disposition"], given.media_type
    ('attachment; filename="set-anew.draft.txt"', 'text/plain; charset=utf-8')
    """
    headers = {"content-disposition": f'attachment; filename="{name}"'}
    return Response(data, media_type=media or _MEDIA[name.rsplit(".", 1)[-1]], headers=headers)
