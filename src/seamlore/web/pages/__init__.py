"""The pages, one module a step."""

from __future__ import annotations

from starlette.convertors import IntegerConvertor, register_url_convertor
from starlette.routing import Route

from seamlore.limits import WHOLE_DIGITS, whole_number
from seamlore.web.pages import date, draft, draft_edit, draft_parts, fabrics, look, make, pictures, studies, tell


class _Number(IntegerConvertor):
    """A number in an address; one with more digits than any that is given out stands for none."""

    def convert(self, value: str) -> int:
        """Read it."""
        number = whole_number(value)
        return 10**WHOLE_DIGITS if number is None else number


register_url_convertor("int", _Number())


def routes() -> list[Route]:
    """Give the routes of all pages."""
    return [
        route
        for page in (studies, look, draft, draft_parts, draft_edit, fabrics, date, make, tell, pictures)
        for route in page.routes()
    ]
