"""Spans of years, written and read as Extended Date/Time Format (EDTF).

The subset in use: `1924`, `1924-05-03`, `193X`, `18XX`, `1840/1860`, `1924/..`, `../1850`, `1924/`,
`[1884,1885]`, `[1884..1886]`, `{1884,1886}`, each with `?`, `~` or `%` after a date.
Source of the syntax: Library of Congress, Extended Date/Time Format Specification, 4 February 2019.
"""

from __future__ import annotations

import datetime
import re
from dataclasses import dataclass

from seamlore.errors import DateError

_DATE = re.compile(
    r"(?P<year>[0-9]{4}|[0-9]{3}X|[0-9]{2}XX)(?:-(?P<month>[0-9]{2}|XX)(?:-(?P<day>[0-9]{2}|XX))?)?(?P<sign>[?~%]?)\Z"
)
# What one says instead, and what it is written as.
_SAID = (
    (re.compile(r"(?:the )?([0-9]{2})00s"), r"\1XX"),
    (re.compile(r"(?:the )?([0-9]{3})0s"), r"\1X"),
    (re.compile(r"(?:about|around|circa|ca\.?|c\.) ?([0-9]{4})"), r"\1~"),
    (re.compile(r"([0-9]{4}) ?(?:to|until|-|–) ?([0-9]{4})"), r"\1/\2"),
    (re.compile(r"(?:not before|since|from) ([0-9]{4})|([0-9]{4}) or later"), r"\1\2/.."),
    (re.compile(r"(?:not after|until) ([0-9]{4})|([0-9]{4}) or earlier"), r"../\1\2"),
)
# No quilt or cloth that comes onto the table is older, and a year of fewer than four digits is a slip.
LEAST_YEAR = 1000
# Longer than any list of years that a person writes.
_MOST_SIGNS = 400
_REMEDY = "write a year, or as in 1930s, about 1885, 1840 to 1860, not before 1924; or EDTF, as in 1840/1860"


@dataclass(frozen=True, slots=True)
class Span:
    """Some years, from first to last inclusive.

    Parameters
    ----------
    first, last : int or None
        None where the span is open.
    about : bool
        Whether it was said to be approximate.
    unsure : bool
        Whether it was said to be uncertain.
    years : tuple of int
        The very years, when it is a list with holes; empty otherwise.

    Examples
    --------
    >>> read_span("1924/..")
    Span(first=1924, last=None, about=False, unsure=False, years=())
    """

    first: int | None
    last: int | None
    about: bool = False
    unsure: bool = False
    years: tuple[int, ...] = ()


def read_span(text: str, *, where: str = "") -> Span:
    """Read the years that an EDTF text names, or a few plain words; months and days are left aside.

    Parameters
    ----------
    text : str
        One date, interval or list: "193X" or "1930s", "1840/1860" or "1840 to 1860", "1885~" or "about 1885",
        "1924/.." or "not before 1924", "../1850" or "not after 1850".
    where : str
        The place of the text, for messages.

    Returns
    -------
    Span

    Raises
    ------
    DateError
        When it is no EDTF date, or ends before it starts.

    Examples
    --------
    >>> read_span("193X").first, read_span("193X").last
    (1930, 1939)
    >>> read_span("the 1930s") == read_span("193X"), read_span("about 1885") == read_span("1885~")
    (True, True)
    >>> read_span("[1884,1886]").years
    (1884, 1886)
    >>> read_span("1860/1840")
    Traceback (most recent call last):
        ...
    seamlore.errors.DateError: "1860/1840": it ends before it starts; write the earlier year first: 1840/1860
    """
    plain = text.strip()
    if len(plain) > _MOST_SIGNS:
        raise DateError(f"a date of {len(plain)} signs", f"at most {_MOST_SIGNS}", _REMEDY, where=where)
    plain = _as_written(plain)
    if plain[:1] in "[{" and plain[-1:] in "]}" and len(plain) > 2:
        return _listed(plain, where)
    if "/" not in plain:
        return _date(plain, where)
    first, _, last = plain.partition("/")
    ends = [None if end in ("", "..") else _date(end, where) for end in (first, last)]
    if ends == [None, None]:
        raise DateError(f'"{text}"', "it says nothing", "leave it out, or give one end", where=where)
    low, high = ends[0].first if ends[0] else None, ends[1].last if ends[1] else None
    if low is not None and high is not None and high < low:
        remedy = f"write the earlier year first: {last}/{first}"
        raise DateError(f'"{text}"', "it ends before it starts", remedy, where=where)
    given = [end for end in ends if end]
    return Span(low, high, any(end.about for end in given), any(end.unsure for end in given))


def _as_written(said: str) -> str:
    """Plain words as EDTF; what is none of them stays."""
    words = " ".join(said.casefold().split())
    return next((found.expand(written) for way, written in _SAID if (found := way.fullmatch(words))), said)


def _date(text: str, where: str) -> Span:
    found = _DATE.match(text.strip())
    if not found:
        raise DateError(f'"{text}"', "it is not a date that can be read", _REMEDY, where=where)
    # 21 to 41 in the month's place are seasons, quarters and other parts of a year.
    allowed = {"month": {*range(1, 13), *range(21, 42)}, "day": set(range(1, 32))}
    for part in ("month", "day"):
        if found[part] and found[part] != "XX" and int(found[part]) not in allowed[part]:
            raise DateError(f'"{text}"', f"there is no {part} {found[part]}", _REMEDY, where=where)
    year, sign = found["year"], found["sign"]
    if int(year.replace("X", "0")) < LEAST_YEAR:
        raise DateError(f'"{text}"', f"years are from {LEAST_YEAR} on", _REMEDY, where=where)
    if found["day"] and "X" not in year + found["month"] + found["day"]:
        _check_day(text, int(year), int(found["month"]), int(found["day"]), where)
    return Span(int(year.replace("X", "0")), int(year.replace("X", "9")), sign in ("~", "%"), sign in ("?", "%"))


def _check_day(text: str, year: int, month: int, day: int, where: str) -> None:
    try:
        datetime.date(year, month, day)
    except ValueError:
        raise DateError(f'"{text}"', "there is no such day", "correct the month or the day", where=where) from None


def _listed(text: str, where: str) -> Span:
    if (text[0], text[-1]) not in (("[", "]"), ("{", "}")):
        raise DateError(f'"{text}"', "its brackets do not match", _REMEDY, where=where)
    spans: list[Span] = []
    for item in text[1:-1].split(","):
        first, dots, last = item.strip().partition("..")
        if not dots:
            spans.append(_date(first, where))
            continue
        low, high = (_date(end, where) if end else None for end in (first, last))
        if low and high and (high.last or 0) < (low.first or 0):
            raise DateError(
                f'"{item.strip()}"', "it ends before it starts", "write the earlier year first", where=where
            )
        spans.append(Span(low.first if low else None, high.last if high else None))
    about, unsure = any(span.about for span in spans), any(span.unsure for span in spans)
    firsts, lasts = [span.first for span in spans], [span.last for span in spans]
    low_year = None if None in firsts else min(year for year in firsts if year is not None)
    high_year = None if None in lasts else max(year for year in lasts if year is not None)
    if low_year is None or high_year is None:
        # An open end swallows whatever the list says beyond it, so the span is all that is left.
        return Span(low_year, high_year, about, unsure)
    years = {year for span in spans for year in range(span.first or 0, (span.last or 0) + 1)}
    whole = len(years) == high_year - low_year + 1
    return Span(low_year, high_year, about, unsure, () if whole else tuple(sorted(years)))


def say_span(first: int | None, last: int | None, *, about: bool = False) -> str:
    """Say a span of years in words, which `read_span` reads again.

    Examples
    --------
    >>> say_span(1930, 1939), say_span(1925, 1948), say_span(1900, 1900, about=True), say_span(1924, None)
    ('the 1930s', '1925 to 1948', 'about 1900', '1924 or later')
    >>> say_span(None, 1850), say_span(None, None)
    ('1850 or earlier', 'any year')
    """
    if first is None or last is None:
        return f"{first} or later" if first is not None else f"{last} or earlier" if last is not None else "any year"
    if first == last:
        return f"about {first}" if about else f"{first}"
    if not about and ((first % 100 == 0 and last == first + 99) or (first % 10 == 0 and last == first + 9)):
        return f"the {first}s"
    return f"{'about ' * about}{first} to {last}"


def write_span(first: int | None, last: int | None, *, about: bool = False) -> str:
    """Write a span of years as EDTF.

    Examples
    --------
    >>> write_span(1930, 1939), write_span(1925, 1948), write_span(1900, 1900, about=True), write_span(1924, None)
    ('193X', '1925/1948', '1900~', '1924/..')
    >>> write_span(None, None)
    '../..'
    """
    sign = "~" if about else ""
    if first is not None and first == last:
        return f"{first}{sign}"
    if first is not None and last is not None and not about:
        for width, masks in ((10, "X"), (100, "XX")):
            if first % width == 0 and last == first + width - 1:
                return f"{first // width}{masks}"
    return "/".join(".." if year is None else f"{year}{sign}" for year in (first, last))


def write_one_of(first: int, last: int) -> str:
    """Write "one year between" as EDTF: one of a set, where an interval would be all the years of it.

    Examples
    --------
    >>> write_one_of(1885, 1895), write_one_of(1885, 1885)
    ('[1885..1895]', '1885')
    """
    return f"{first}" if first == last else f"[{first}..{last}]"
