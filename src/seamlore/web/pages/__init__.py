"""The pages, one module a step."""

from __future__ import annotations

from starlette.routing import Route

from seamlore.web.pages import date, draft, draft_edit, draft_parts, fabrics, look, make, pictures, studies, tell


def routes() -> list[Route]:
    """Give the routes of all pages."""
    return [
        route
        for page in (studies, look, draft, draft_parts, draft_edit, fabrics, date, make, tell, pictures)
        for route in page.routes()
    ]
