"""The one error family: what was given, the limit, what to do."""

from __future__ import annotations

from collections.abc import Iterable


class SeamloreError(Exception):
    """Base of every error that a user can cause and mend.

    Parameters
    ----------
    given : str
        What was given, with its unit.
    limit : str
        What would have been accepted.
    remedy : str
        What to do now.
    where : str, optional
        The place: a file and line, a patch, a field of a form.

    Examples
    --------
    >>> print(SeamloreError("a width of 0 in", "a width must be more than 0", "measure the quilt from edge to edge"))
    a width of 0 in: a width must be more than 0; measure the quilt from edge to edge
    >>> print(SeamloreError("x", "y", "z", where="line 3"))
    line 3: x: y; z
    >>> print(SeamloreError("a name with \\x1b[31m in it", "y", "z"))
    a name with \\x1b[31m in it: y; z
    """

    def __init__(self, given: str, limit: str, remedy: str, *, where: str = "") -> None:
        self.given = given
        self.limit = limit
        self.remedy = remedy
        self.where = where
        super().__init__(given, limit, remedy, where)

    def __str__(self) -> str:
        place = f"{self.where}: " if self.where else ""
        return plain(f"{place}{self.given}: {self.limit}; {self.remedy}")


class LengthError(SeamloreError):
    """A length or size that cannot be read or used."""


class ShapeError(SeamloreError):
    """An outline, or a set of outlines, that cannot be pieced."""


class NotationError(SeamloreError):
    """A block, draft or evidence file that cannot be read; `where` is the line."""


class UnknownNameError(SeamloreError):
    """A name that nothing answers to; the remedy offers the nearest."""


class PhotoError(SeamloreError):
    """A photograph, or a place in one, that cannot be used."""


class MeasureError(SeamloreError):
    """Measurements that cannot be put together."""


class PlanError(SeamloreError):
    """A plan that cannot be carried out with the fabric and rules given."""


class PageError(SeamloreError):
    """What cannot be printed at true scale on the page that was asked for, or not at all."""


class DateError(SeamloreError):
    """A date, an order or a piece of evidence that cannot be read."""


# A word this long is no word; its beginning is enough to know it by. Longer than the path of any file in use.
_LONGEST_WORD = 300


def plain(text: str) -> str:
    """Put a message on one line that a terminal shows as it is and does not obey.

    Parameters
    ----------
    text : str
        Any text; it may quote what a user typed or what a file holds.

    Returns
    -------
    str
        With white space as single spaces, what cannot be printed as its escape, and words without end shortened.

    Examples
    --------
    >>> print(plain("red\\x1b[31m\\nand\\tblue"))
    red\\x1b[31m and blue
    >>> len(plain("9" * 5000))
    203
    """
    words = [word if len(word) <= _LONGEST_WORD else f"{word[:200]}..." for word in text.split()]
    line = " ".join(words)
    if line.isprintable():
        return line
    return "".join(sign if sign.isprintable() else sign.encode("unicode_escape").decode() for sign in line)


def nearest(word: str, known: Iterable[str]) -> str:
    """Offer the known names nearest to a misspelt one.

    Parameters
    ----------
    word : str
        The name that was not found.
    known : iterable of str
        All names that would have been.

    Returns
    -------
    str
        A remedy such as ``did you mean "shoo fly"?``, or the list of all names when nothing is near.

    Examples
    --------
    >>> nearest("shofly", ["shoo fly", "bow tie"])
    'did you mean "shoo fly"?'
    >>> nearest("zzz", ["shoo fly", "bow tie"])
    'choose one of: bow tie, shoo fly'
    """
    from difflib import get_close_matches  # slow to import, and only an error needs it

    names = sorted(set(known))
    # What is far longer than any name is near to none, and would take long to compare.
    near = (
        []
        if len(word) > _LONGEST_WORD
        else get_close_matches(word.casefold(), [name.casefold() for name in names], n=3, cutoff=0.6)
    )
    if near:
        shown = [next(name for name in names if name.casefold() == found) for found in near]
        return "did you mean " + " or ".join(f'"{name}"' for name in dict.fromkeys(shown)) + "?"
    return "choose one of: " + ", ".join(names[:40]) + (" ..." if len(names) > 40 else "")
