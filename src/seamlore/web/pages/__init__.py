"""The pages: one module for each step of the job, and those that they share."""

from __future__ import annotations

from importlib import import_module

from starlette.convertors import IntegerConvertor, register_url_convertor
from starlette.routing import Route

from seamlore.limits import WHOLE_DIGITS, whole_number
from seamlore.steps.order import STEPS
from seamlore.web.pages import (
    assess_files,
    collection,
    elsewhere,
    exports,
    noticing,
    pictures,
    studies,
    study_tools,
)
from seamlore.web.pages.drafting import edit, parts


class _Number(IntegerConvertor):
    """A number in an address; one with more digits than any that is given out stands for none."""

    def convert(self, value: str) -> int:
        """Read it."""
        number = whole_number(value)
        return 10**WHOLE_DIGITS if number is None else number


register_url_convertor("int", _Number())
_OTHERS = (assess_files, parts, edit, elsewhere, exports, noticing, pictures)


def routes() -> list[Route]:
    """Give the routes of all pages."""
    steps = (import_module(f"{__name__}.{step.name}") for step in STEPS)
    return [route for page in (studies, collection, study_tools, *steps, *_OTHERS) for route in page.routes()]
