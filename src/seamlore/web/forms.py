"""Reading forms: each field by itself, so that one slip leaves the rest as it was typed."""

from __future__ import annotations

import json
from collections.abc import Mapping
from typing import Any

from starlette.datastructures import FormData

from seamlore.errors import SeamloreError, ShapeError
from seamlore.limits import CORRECTION, LARGEST_NUMBER, LINE, TEXT, WORDS, checked_text, whole_number


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

    def text(self, name: str, *, most: int = LINE) -> str:
        """Give a field's text on one line.

        Raises
        ------
        SeamloreError
            When it is too long to be kept, or cannot be shown.
        """
        return checked_text(" ".join(self._value(name).split()), self._called(name), most)

    def all(self, name: str) -> list[str]:
        """Give every value of a field that may stand more than once, each a few letters."""
        return [str(value)[:WORDS] for value in self.form.getlist(name)]

    def lines(self, name: str, *, most: int = TEXT) -> str:
        """Give a field's text with its lines; refused as by `text`."""
        written = self._value(name).replace("\r\n", "\n").replace("\r", "\n")
        return checked_text(written, self._called(name), most)

    def _value(self, name: str) -> str:
        value = self.form.get(name, "")
        if not isinstance(value, str):
            raise SeamloreError(f"a file as {self._called(name)}", "words are wanted there", "load the page again")
        return value

    @staticmethod
    def _called(name: str) -> str:
        return f'the text in "{name[:40].replace("_", " ")}"'

    def index(self, name: str) -> int:
        """Give the number of a patch or a fabric of the page.

        Raises
        ------
        ShapeError
            When the field holds none.
        """
        text = self.text(name)
        if (number := whole_number(text)) is None:
            raise ShapeError(f'{name} "{text[:20]}"', "a patch has a number", "choose a patch of the block")
        return number

    def data(self, name: str) -> Any:
        """Give a field's JSON, numbers or lists of them; None when there is none, else note what is wrong."""
        text = self._value(name)
        if not text:
            return None
        try:
            found = json.loads(text) if len(text) <= CORRECTION else None
        except (ValueError, RecursionError):
            found = None
        if not _are_numbers(found):
            self.slips[name] = "what was sent cannot be read; reload the page"
            return None
        return found

    def base(self) -> int:
        """Give the revision that the form was made on; -1, which fits none, when it says nothing."""
        return self.revision("base")

    def revision(self, name: str) -> int:
        """Give a revision that a field holds; -1, which fits none, when it says nothing."""
        number = whole_number(self.text(name))
        return -1 if number is None else number

    def words(self) -> dict[str, str]:
        """Give every field's text on one line."""
        return {name: self.text(name) for name in self.form if isinstance(self.form[name], str)}

    def typed(self) -> Mapping[str, str]:
        """Give everything as it was typed, for showing it again."""
        return {name: value for name, value in self.form.multi_items() if isinstance(value, str)}


def _are_numbers(found: Any, deep: int = 2) -> bool:
    """Whether something is a number that a photograph may have a place for, or a short list of them."""
    if isinstance(found, list):
        return deep > 0 and all(_are_numbers(each, deep - 1) for each in found)
    return isinstance(found, int | float) and not isinstance(found, bool) and abs(found) <= LARGEST_NUMBER
