"""Templates: one environment, and what every page may use."""

from __future__ import annotations

import datetime
import re
from contextlib import AbstractContextManager
from functools import cache
from hashlib import blake2s
from typing import Any

from jinja2 import Environment, PackageLoader, StrictUndefined
from markupsafe import Markup
from starlette.requests import Request
from starlette.responses import HTMLResponse

from seamlore.drawing.picture import Picture
from seamlore.drawing.svg import to_svg
from seamlore.lengths import Length, Unit, show, show_size
from seamlore.steps.cautions import cautions
from seamlore.steps.order import STEPS
from seamlore.steps.settings import wording_of
from seamlore.steps.study.job import Job
from seamlore.steps.study.own_words import own_words
from seamlore.wording import Wording, reworded_page, speaking

_FRACTION = re.compile(r"(?<=\d) (?=\d{1,2}/\d)")


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
    made.globals["cautions"] = cautions
    made.filters["drawn"] = drawn
    made.filters["tape"] = in_words
    made.filters["unbroken"] = unbroken
    return made


def drawn(picture: Picture, ids: str = "") -> Markup:
    """Set a picture into a page as SVG; its text was escaped when it was drawn.

    A name for its ids, given where a picture stands once on a page, spares working one out from all that it holds.
    """
    # The size on paper is kept for printing; on the page the style sheet makes it as wide as its place.
    return Markup(to_svg(picture, in_page=True, ids=ids))


def fingerprint(*shown: object) -> str:
    """Give a short text that is the same for what is shown the same, so that a page can say what it shows already.

    Examples
    --------
    >>> fingerprint("a", 1) == fingerprint("a", 1), fingerprint("a", 1) == fingerprint("a", 2)
    (True, False)
    """
    return blake2s(repr(shown).encode(), digest_size=8).hexdigest()


def in_words(given: Length, unit: Unit | None = None) -> str:
    """Give a length in words, in the unit asked for."""
    return show(given.shown_in(unit) if unit else given)


def unbroken(words: str) -> str:
    """Keep a whole number and its fraction on one line, for narrow columns.

    Examples
    --------
    >>> unbroken("cut 6 of 2 1/2 x 86 1/2 in").split(" ")
    ['cut', '6', 'of', '2\xa01/2', 'x', '86\xa01/2', 'in']
    >>> unbroken("")
    ''
    """
    return _FRACTION.sub("\u00a0", words)


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
    wording = wording_for(request)
    if isinstance(answer := given.get("answer"), str):
        # The largest words of a page: a size broken after its whole number reads as another size.
        given["answer"] = unbroken(answer)
    text = environment().get_template(template).render(request=request, show_size=show_size, wording=wording, **given)
    if wording != "us":
        study = given.get("study")
        text = reworded_page(text, wording, own_words(study.job) if study is not None else ())
    return HTMLResponse(text, status_code=status)


def speaking_for(request: Request, job: Job) -> AbstractContextManager[None]:
    """Let what is drawn or printed of a study be in the wording that is set, its user's own words as they are."""
    return speaking(wording_for(request), keep=own_words(job))


def wording_for(request: Request) -> Wording:
    """Give the wording that is set for the shelf on the table."""
    return wording_of(request.app.state.desk.shelf.folder)
