"""Templates: one environment, and what every page may use."""

from __future__ import annotations

import datetime
from functools import cache
from typing import Any

from jinja2 import Environment, PackageLoader, StrictUndefined
from markupsafe import Markup
from starlette.requests import Request
from starlette.responses import HTMLResponse

from seamlore.drawing.picture import Picture
from seamlore.drawing.svg import to_svg
from seamlore.lengths import Length, Unit, show, show_size
from seamlore.steps.order import STEPS


@cache
def environment() -> Environment:
    """Give the one template environment: everything from users is escaped, nothing undefined passes."""
    made = Environment(
        loader=PackageLoader("seamlore.web", "templates"),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    made.globals["steps"] = STEPS
    made.filters["drawn"] = drawn
    made.filters["tape"] = in_words
    return made


def drawn(picture: Picture, ids: str = "") -> Markup:
    """Set a picture into a page as SVG; its text was escaped when it was drawn.

    A name for its ids, given where a picture stands once on a page, spares working one out from all that it holds.
    """
    # The size on paper is kept for printing; on the page the style sheet makes it as wide as its place.
    return Markup(to_svg(picture, in_page=True, ids=ids))


def in_words(given: Length, unit: Unit | None = None) -> str:
    """Give a length in words, in the unit asked for."""
    return show(given.shown_in(unit) if unit else given)


def today() -> datetime.date:
    """Give the day that is printed on sheets."""
    return datetime.date.today()


def render(request: Request, template: str, *, status: int = 200, **given: Any) -> HTMLResponse:
    """Fill a template.

    Parameters
    ----------
    request : Request
    template : str
        Under `templates`.
    status : int
    **given
        What the template uses.
    """
    text = environment().get_template(template).render(request=request, show_size=show_size, **given)
    return HTMLResponse(text, status_code=status)
