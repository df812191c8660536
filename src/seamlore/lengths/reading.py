"""Lengths and pairs of lengths as people write them, read exactly or refused."""

from __future__ import annotations

import re
from dataclasses import dataclass
from fractions import Fraction

from seamlore import limits
from seamlore.errors import LengthError
from seamlore.lengths.exact import CM_PER_INCH, INCHES_PER_YARD, Length, Unit

_VULGAR = {
    "¼": "1/4", "½": "1/2", "¾": "3/4", "⅛": "1/8", "⅜": "3/8", "⅝": "5/8", "⅞": "7/8", "⅓": "1/3", "⅔": "2/3",
    "⅕": "1/5", "⅖": "2/5", "⅗": "3/5", "⅘": "4/5", "⅙": "1/6", "⅚": "5/6", "⁄": "/",
}  # fmt: skip
# Each unit's size in inches and the unit that it is shown in, by every way of writing it.
UNITS: dict[str, tuple[Fraction, Unit]] = {
    **dict.fromkeys(("in", "inch", "inches", '"', "″", "”", "''"), (Fraction(1), Unit.INCH)),
    **dict.fromkeys(("ft", "foot", "feet", "'", "′", "’"), (Fraction(12), Unit.INCH)),
    **dict.fromkeys(("yd", "yds", "yard", "yards"), (Fraction(INCHES_PER_YARD), Unit.INCH)),
    **dict.fromkeys(
        ("mm", "millimetre", "millimetres", "millimeter", "millimeters"), (1 / CM_PER_INCH / 10, Unit.CM)
    ),
    **dict.fromkeys(("cm", "centimetre", "centimetres", "centimeter", "centimeters"), (1 / CM_PER_INCH, Unit.CM)),
    **dict.fromkeys(("m", "metre", "metres", "meter", "meters"), (100 / CM_PER_INCH, Unit.CM)),
}
_MARKS = "\"″”'′’"
# The digits 0 to 9 alone: a superscript or a digit of another script is a slip of the keys.
_WHOLE = r"[0-9]+"
_NUMBER = (
    rf"(?:(?P<whole>{_WHOLE})(?:\s+|\s*-\s*))?(?P<top>{_WHOLE})\s*/\s*(?P<bottom>{_WHOLE})"
    rf"|(?P<decimal>{_WHOLE}(?:[.,][0-9]*)?|[.,]{_WHOLE})"
)
_TERM = re.compile(rf"\s*(?:{_NUMBER})\s*(?P<unit>''|[a-z]+|[{_MARKS}])?\.?\s*", re.IGNORECASE)
_MANY_DIGITS = re.compile(rf"[0-9]{{{limits.DIGITS + 1},}}")
_BY = re.compile(r"\s*(?:x|×|\*|by)\s*", re.IGNORECASE)
_ONE = "a length is a number and its unit, such as 9 1/2 in, 9.5in, 1 1/4 yd or 23 cm"
_TWO = "write it as 74x88in or 188x224cm"


@dataclass(frozen=True, slots=True)
class _Term:
    """One number of a length, and the unit behind it as it is written; nothing where none is."""

    number: Fraction
    word: str


def length(text: str, *, unit: Unit | None = None) -> Length:
    """Read one length.

    Parameters
    ----------
    text : str
        A number and its unit: ``9in``, ``9 1/2 in``, ``9½"``, ``9.5 in``, ``1 1/4 yd``, ``23 cm``,
        ``0.6 m``, ``2 yd 4 in``.
    unit : Unit, optional
        The unit of a bare number; without it a bare number is refused.

    Returns
    -------
    Length
        Exact, shown in inches or centimeters as it was written.

    Raises
    ------
    LengthError
        When the text is not a length, naming what cannot be read; or could mean two lengths.

    Examples
    --------
    >>> length('9½"'), length("0.6 m"), length("1 1/4 yd")
    (Length('9 1/2 in'), Length('60 cm'), Length('45 in'))
    >>> length("9")
    Traceback (most recent call last):
        ...
    seamlore.errors.LengthError: "9" is not a length: it has no unit; a length is ...
    """
    return _sum(text, _terms(text), unit.value if unit else "")


def is_pair(text: str) -> bool:
    """Tell whether a text is written as two lengths, with an x or "by" between.

    Examples
    --------
    >>> is_pair("9 x 12 in"), is_pair("9 in")
    (True, False)
    """
    return _BY.search(text) is not None


def pair(text: str, *, unit: Unit | None = None) -> tuple[Length, Length]:
    """Read a width and a height, or one length that serves for both.

    The one reader of pairs: a unit written once, after the second number, is the unit of both, whichever it is.

    Parameters
    ----------
    text : str
        Such as ``90 x 120 mm``, ``74 by 88 in``, ``188cm x 2.2m`` or ``9in``.
    unit : Unit, optional
        The unit where none is written at all.

    Returns
    -------
    tuple of Length
        Width, then height.

    Raises
    ------
    LengthError
        When it is neither, or the unit of the first number could be either of two.

    Examples
    --------
    >>> pair("90 x 120 mm"), pair("2 x 3 yd"), pair("9 in")
    ((Length('9 cm'), Length('12 cm')), (Length('72 in'), Length('108 in')), (Length('9 in'), Length('9 in')))
    >>> pair("6 x 7 ft 4 in")
    Traceback (most recent call last):
        ...
    seamlore.errors.LengthError: "6 x 7 ft 4 in" is not a size: the first number could be in ft or in; ...
    >>> pair("74 in x 88", unit=Unit.CM)
    Traceback (most recent call last):
        ...
    seamlore.errors.LengthError: "74 in x 88" is not a size: only the first number has a unit; ...
    """
    if not is_pair(text):
        side = length(text, unit=unit)
        return side, side
    if len(text) > limits.LINE:
        raise _refuse(text, f"a size has at most {limits.LINE} characters", _TWO, "size")
    sides = _BY.split(text.strip())
    if len(sides) != 2 or not all(sides):
        raise _refuse(text, "a size is two lengths", _TWO, "size")
    first, second = _terms(sides[0]), _terms(sides[1])
    units = list(dict.fromkeys(term.word for term in second if term.word))
    said = any(term.word for term in first)
    if said and not units:
        raise _refuse(text, "only the first number has a unit", "write the unit after the second number too", "size")
    if not said and len(units) > 1:
        could = " or ".join(units)
        raise _refuse(text, f"the first number could be in {could}", "write a unit after each number", "size")
    default = unit.value if unit and not said else ""
    return _sum(sides[0], first, (units or [default])[0] if not said else ""), _sum(sides[1], second, default)


def size(text: str, *, unit: Unit | None = None) -> tuple[Length, Length]:
    """Read a width and a length, such as ``74x88in``, ``74 by 88 in`` or ``188cm x 2.2m``.

    Parameters
    ----------
    text : str
        Two lengths; a unit after the second serves for both.
    unit : Unit, optional
        The unit where none is written at all.

    Returns
    -------
    tuple of Length
        Width, then height; both more than 0.

    Raises
    ------
    LengthError
        When there are not two lengths, or one is 0.

    Examples
    --------
    >>> size("74 x 88 1/2 in")
    (Length('74 in'), Length('88 1/2 in'))
    >>> size("0x88in")
    Traceback (most recent call last):
        ...
    seamlore.errors.LengthError: "0x88in" is not a size: both sides must be more than 0; ...
    """
    if not is_pair(text):
        raise _refuse(text, "a size is two lengths", _TWO, "size")
    first, second = pair(text, unit=unit)
    if not first or not second:
        raise _refuse(text, "both sides must be more than 0", _TWO, "size")
    return first, second


def with_unit(text: str, unit: Unit) -> str:
    """Write the unit behind a number that has none, so that it can be read by itself.

    Examples
    --------
    >>> with_unit("9 ½", Unit.INCH), with_unit('9"', Unit.CM), with_unit(" ", Unit.CM)
    ('9 ½ in', '9"', '')
    """
    plain = text.strip()
    said = not plain or any(sign in _MARKS or sign.isalpha() for sign in plain)
    return plain if said else f"{plain} {unit}"


def _refuse(text: str, why: str, remedy: str = _ONE, what: str = "length") -> LengthError:
    shown = text if len(text) <= 60 else text[:57] + "..."
    return LengthError(f'"{shown}" is not a {what}', why, remedy)


def _terms(text: str) -> list[_Term]:
    if len(text) > limits.LINE:
        raise _refuse(text, f"a length has at most {limits.LINE} characters")
    plain = text.strip().strip("=")
    for sign, spelt in _VULGAR.items():
        plain = plain.replace(sign, spelt if sign == "⁄" else f" {spelt}")
    if not plain:
        raise _refuse(text, "nothing was given")
    if plain.startswith(("-", "−")):
        raise _refuse(text, "a length cannot be less than 0")
    if _MANY_DIGITS.search(plain):
        raise _refuse(text, f"a number has at most {limits.DIGITS} digits")
    terms: list[_Term] = []
    at = 0
    while at < len(plain):
        found = _TERM.match(plain, at)
        if not found:
            raise _refuse(text, f'"{plain[at:].strip()[:40]}" cannot be read')
        word = (found["unit"] or "").lower()
        if word and word not in UNITS:
            raise _refuse(text, f'"{found["unit"][:40]}" is not a unit known here')
        terms.append(_Term(_number(text, found), word))
        at = found.end()
    return terms


def _number(text: str, found: re.Match[str]) -> Fraction:
    """Read one number; what is often written for another one is refused, since either would be a wrong length."""
    if decimal := found["decimal"]:
        if re.fullmatch(r"[0-9]{1,3},[0-9]{3}", decimal) and not decimal.startswith("0"):
            whole, point = decimal.replace(",", ""), decimal.replace(",", ".")
            raise _refuse(text, f"{decimal} could be {whole} or {point}", "write it without the comma")
        return Fraction(decimal.replace(",", ".").rstrip("."))
    top, bottom = found["top"], found["bottom"]
    if int(bottom) == 0:
        raise _refuse(text, "a fraction over 0 has no value")
    if not found["whole"] and int(top) > int(bottom) and (apart := _apart(top, int(bottom))):
        raise _refuse(
            text,
            f"{top}/{bottom} could be {apart}/{bottom}",
            f'write "{apart}/{bottom}" with its space, or a decimal',
        )
    return Fraction(int(top), int(bottom)) + int(found["whole"] or 0)


def _apart(top: str, bottom: int) -> str:
    """The whole number and the part above the line that a number may be meant for whose space was left out."""
    splits = ((top[:at], top[at:]) for at in range(len(top) - 1, 0, -1))
    return next((f"{whole} {part}" for whole, part in splits if part[0] != "0" and int(part) < bottom), "")


def _sum(text: str, terms: list[_Term], default: str) -> Length:
    """Add the terms up; the default is the unit of a single number that has none."""
    if not all(term.word for term in terms) and (len(terms) > 1 or not default):
        raise _refuse(text, "it has no unit" if len(terms) == 1 else "a number in it has no unit")
    units = [UNITS[term.word or default] for term in terms]
    total = sum((term.number * factor for term, (factor, _) in zip(terms, units, strict=True)), start=Fraction(0))
    if total > limits.LONGEST_IN:
        raise _refuse(text, f"it is more than {limits.LONGEST_IN:,} in")
    if 0 < total * limits.SHORTEST_IN_PARTS < 1:
        raise _refuse(text, f"it is less than 1/{limits.SHORTEST_IN_PARTS:,} in")
    return Length(total, units[0][1])
