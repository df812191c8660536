"""Reading forms: each field by itself, so that one slip leaves the rest as it was typed."""

from __future__ import annotations

import json
from collections.abc import Callable, Mapping
from typing import Any, TypeVar

from starlette.datastructures import FormData

from seamlore.errors import SeamloreError

T = TypeVar("T")


class Fields:
    """The fields of one form, and what is wrong with them.

    Parameters
    ----------
    form : FormData

    Examples
    --------
    >>> from seamlore.lengths import length
    >>> fields = Fields(FormData([("width", "74 in"), ("rows", "x")]))
    >>> fields.checked("width", length), fields.count("rows"), fields.slips
    ('74 in', None, {'rows': '"x" is not a number of rows: it is a whole number; write it in digits'})
    """

    def __init__(self, form: FormData) -> None:
        self.form = form
        self.slips: dict[str, str] = {}

    def text(self, name: str, *, most: int = 10_000) -> str:
        """Give a field's text on one line."""
        return " ".join(str(self.form.get(name, "")).split())[:most]

    def checked(self, name: str, check: Callable[[str], object]) -> str:
        """Give a field's text when `check` takes it or it is empty; else note what is wrong."""
        text = self.text(name)
        if text:
            try:
                check(text)
            except SeamloreError as fault:
                self.slips[name] = str(fault)
        return text

    def count(self, name: str, *, least: int = 1, most: int = 200) -> int | None:
        """Give a field's whole number, None when it is empty; else note what is wrong."""
        text = self.text(name)
        if not text:
            return None
        if not text.isdigit():
            self.slips[name] = f'"{text[:40]}" is not a number of {name}: it is a whole number; write it in digits'
            return None
        if not least <= int(text[:9]) <= most:
            self.slips[name] = f"{text[:9]} {name}: it is from {least} to {most}; count again"
            return None
        return int(text)

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
        text = self.text("base")
        return int(text) if text.isdigit() else -1

    def typed(self) -> Mapping[str, str]:
        """Give everything as it was typed, for showing it again."""
        return {name: str(value) for name, value in self.form.multi_items() if isinstance(value, str)}
