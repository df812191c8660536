"""Words that more than one step reads: a name with what it is given, a color."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING

from seamlore.errors import NotationError, UnknownNameError, nearest

if TYPE_CHECKING:
    from seamlore.drawing.shapes import Color


def pair(text: str, where: str) -> tuple[str, str]:
    """Read what is said of a place: its letter or what else it is, an equals sign, and what is said.

    Examples
    --------
    >>> pair("A = madder", "--color")
    ('A', 'madder')
    >>> pair("madder", "--color")
    Traceback (most recent call last):
        ...
    seamlore.errors.NotationError: --color: "madder": it is a place = what is said of it; write: A=...
    """
    key, equals, said = (part.strip() for part in text.partition("="))
    if not (key and equals and said):
        raise NotationError(f'"{text}"', "it is a place = what is said of it", "write: A=...", where=where)
    return key, said


def color(text: str, *, where: str = "") -> Color:
    """Read a color: #rrggbb, or a word for cloth such as "indigo" or "red".

    Examples
    --------
    >>> from seamlore.pictures.palette import CLOTHS
    >>> color("#8F443B"), color("indigo print") == CLOTHS["indigo"]
    ('#8f443b', True)
    >>> color("indgo")
    Traceback (most recent call last):
        ...
    seamlore.errors.UnknownNameError: the color "indgo": no color is called that here; did you mean "indigo"?
    """
    from seamlore.pictures.palette import CLOTHS, named_cloth  # what draws nothing needs no colors

    plain = text.strip().casefold()
    if re.fullmatch(r"#[0-9a-f]{6}", plain):
        return plain
    known = named_cloth(plain)
    if known is None:
        remedy = "write it as #rrggbb" if plain.startswith("#") else nearest(plain, CLOTHS)
        raise UnknownNameError(f'the color "{text}"', "no color is called that here", remedy, where=where)
    return known


# As many as can be read at a glance.
_FEW = 8


def few(words: Iterable[str]) -> str:
    """List words, each once, not more than can be read at a glance.

    Examples
    --------
    >>> few(["A1", "B1", "A1"]), few([])
    ('A1, B1', '')
    >>> few("abcdefghij")
    'a, b, c, d, e, f, g, h and 2 more'
    >>> few(["border 1, top and bottom, mitered", "border 1, sides, mitered", "horizontal sashing", "vertical sashing"])
    'border 1, all sides, mitered, sashing'
    >>> few(["border 1, top", "border 1, bottom", "border 1, right side"])
    'border 1, top, bottom and right side'
    """
    found = _together(list(dict.fromkeys(words)))
    return ", ".join(found) if len(found) <= _FEW else f"{', '.join(found[:_FEW])} and {len(found) - _FEW} more"


# Labels of two kinds of strip that one name says where both are meant.
_PAIRS = (
    ("sides", "top and bottom", "all sides"),
    ("vertical sashing", "horizontal sashing", "sashing"),
    ("sashing, in the rows", "sashing, between rows", "sashing"),
)


def _together(labels: list[str]) -> list[str]:
    found = list(labels)
    for one, other, both in _PAIRS:
        for label in labels:
            partner = re.sub(rf"(?:^|(?<=, )){one}", other, label)
            if one in label and partner != label and label in found and partner in found:
                found[min(found.index(label), found.index(partner))] = label.replace(one, both)
                found = [each for each in found if each not in (label, partner)]
    return _sides_together(found)


_SIDE = re.compile(r"((?:border|unit of border) ?\d*), (top|bottom|sides|top and bottom|left side|right side)")


def _sides_together(labels: list[str]) -> list[str]:
    """Sides of one border that are told one by one stand behind its name once."""
    sides: dict[str, list[str]] = {}
    for label in labels:
        name, side = match.groups() if (match := _SIDE.fullmatch(label)) else (label, "")
        sides.setdefault(name, []).append(side)
    return [f"{name}, {listed(told)}" if all(told) else name for name, told in sides.items()]


def listed(words: Sequence[str]) -> str:
    """Join words as a sentence does.

    Examples
    --------
    >>> listed(["A1"]), listed(["A1", "B1", "C1"])
    ('A1', 'A1, B1 and C1')
    """
    return words[0] if len(words) == 1 else f"{', '.join(words[:-1])} and {words[-1]}"
