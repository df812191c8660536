"""Words typed into fields: each is read by itself, so that one slip leaves the rest as it was typed."""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import TypeVar

from seamlore import lengths
from seamlore.errors import MeasureError, SeamloreError
from seamlore.lengths import Unit, length
from seamlore.limits import whole_number

T = TypeVar("T")


class Slips(dict[str, str]):
    """What is wrong, by field.

    Examples
    --------
    >>> from functools import partial
    >>> slips = Slips()
    >>> slips.read("rows", "x", partial(count, what="rows", most=60), None), slips
    (None, {'rows': '"x" is not a number of rows: it is a whole number; write it in digits'})
    """

    def read(self, field: str, text: str, read: Callable[[str], T], otherwise: T) -> T:
        """Read a field's text; where it cannot be read, note why and give the other."""
        try:
            return read(text)
        except SeamloreError as fault:
            self[field] = str(fault)
            return otherwise


def count(text: str, what: str, *, most: int) -> int | None:
    """Read a whole number of at least 1; None where nothing was typed.

    Raises
    ------
    MeasureError

    Examples
    --------
    >>> count("7", "rows", most=60), count("", "rows", most=60)
    (7, None)
    >>> count("61", "rows", most=60)
    Traceback (most recent call last):
        ...
    seamlore.errors.MeasureError: 61 rows: it is from 1 to 60; count again
    """
    if not text:
        return None
    if not re.fullmatch("[0-9]+", text):
        raise MeasureError(f'"{text[:40]}" is not a number of {what}', "it is a whole number", "write it in digits")
    number = whole_number(text)
    if number is None or not 1 <= number <= most:
        raise MeasureError(f"{text[:40]} {what}", f"it is from 1 to {most}", "count again")
    return number


def with_unit(text: str, unit: Unit) -> str:
    """Give a length as it was typed, its unit written behind it where none was; empty stays empty.

    Raises
    ------
    LengthError
        When it is no length.

    Examples
    --------
    >>> with_unit("70 1/2", Unit.INCH), with_unit("23cm", Unit.INCH), with_unit("", Unit.INCH)
    ('70 1/2 in', '23cm', '')
    """
    if not text:
        return ""
    length(text, unit=unit)
    return lengths.with_unit(text, unit)
