"""Reading forms: each field by itself, so that one slip leaves the rest as it was typed."""

from __future__ import annotations

import json
from collections.abc import Mapping
from typing import Any

from starlette.datastructures import FormData

from seamlore.errors import ShapeError


class Fields:
    """The fields of one form, and what is wrong with them.

    Parameters
    ----------
    form : FormData

    Examples
    --------
    >>> fields = Fields(FormData([("width", " 74  in"), ("patch", "3"), ("corners", "[[1,")]))
    >>> fields.text("width"), fields.index("patch"), fields.data("corners"), fields.slips
    ('74 in', 3, None, {'corners': 'what was sent cannot be read; reload the page'})
    """

    def __init__(self, form: FormData) -> None:
        self.form = form
        self.slips: dict[str, str] = {}

    def text(self, name: str, *, most: int = 10_000) -> str:
        """Give a field's text on one line."""
        return " ".join(str(self.form.get(name, "")).split())[:most]

    def lines(self, name: str) -> str:
        """Give a field's text with its lines."""
        return str(self.form.get(name, "")).replace("\r\n", "\n")

    def index(self, name: str) -> int:
        """Give the number of a patch or a fabric of the page.

        Raises
        ------
        ShapeError
            When the field holds none.
        """
        text = self.text(name)
        if not (text.isascii() and text.isdigit()):
            raise ShapeError(f'{name} "{text[:20]}"', "a patch has a number", "choose a patch of the block")
        return int(text[:6])

    def data(self, name: str) -> Any:
        """Give a field's JSON, None when there is none; else note what is wrong."""
        text = str(self.form.get(name, ""))
        if not text:
            return None
        try:
            return json.loads(text)
        except ValueError:
            self.slips[name] = "what was sent cannot be read; reload the page"
            return None

    def base(self) -> int:
        """Give the revision that the form was made on; -1, which fits none, when it says nothing."""
        return self.revision("base")

    def revision(self, name: str) -> int:
        """Give a revision that a field holds; -1, which fits none, when it says nothing."""
        text = self.text(name)
        return int(text) if text.isascii() and text.isdigit() else -1

    def words(self) -> dict[str, str]:
        """Give every field's text on one line."""
        return {name: self.text(name) for name in self.form if isinstance(self.form[name], str)}

    def typed(self) -> Mapping[str, str]:
        """Give everything as it was typed, for showing it again."""
        return {name: value for name, value in self.form.multi_items() if isinstance(value, str)}
