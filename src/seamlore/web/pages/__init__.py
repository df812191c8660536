"""The pages, one module a step."""

from __future__ import annotations

from starlette.routing import Route

from seamlore.web.pages import date, look, pictures, studies


def routes() -> list[Route]:
    """Give the routes of all pages."""
    return [*studies.routes(), *look.routes(), *date.routes(), *pictures.routes()]
