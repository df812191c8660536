"""Exact lengths: reading them, printing them, rounding them onto tape marks.

Inside, every length is an exact fraction of inches; the unit is only how it is shown.
Nothing else in the project knows how many centimeters an inch has.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from enum import Enum
from fractions import Fraction
from math import ceil, floor
from typing import Literal

from seamlore.errors import LengthError

# International yard and pound agreement of 1959: 1 yd = 0.9144 m exactly, so 1 in = 2.54 cm exactly.
CM_PER_INCH = Fraction(254, 100)
INCHES_PER_YARD = 36

Direction = Literal["up", "down", "nearest"]


class Unit(Enum):
    """The unit that a length is shown in."""

    INCH = "in"
    CM = "cm"

    def __str__(self) -> str:
        return self.value


@dataclass(frozen=True, slots=True, order=True)
class Length:
    """An exact length.

    Parameters
    ----------
    inches : Fraction
        The length in inches, exact. May be negative as a difference.
    unit : Unit
        How it is shown; two lengths that differ only in unit are equal.

    Examples
    --------
    >>> length("9 1/2 in") + length("1/4 in")
    Length('9 3/4 in')
    >>> length("2.54 cm") == length("1in")
    True
    >>> length("0in")
    Length('0 in')
    """

    inches: Fraction
    unit: Unit = field(default=Unit.INCH, compare=False)

    def __add__(self, other: Length) -> Length:
        return Length(self.inches + other.inches, self.unit)

    def __sub__(self, other: Length) -> Length:
        return Length(self.inches - other.inches, self.unit)

    def __mul__(self, times: int | Fraction) -> Length:
        return Length(self.inches * times, self.unit)

    __rmul__ = __mul__

    def __truediv__(self, parts: int | Fraction) -> Length:
        return Length(self.inches / parts, self.unit)

    def __neg__(self) -> Length:
        return Length(-self.inches, self.unit)

    def __abs__(self) -> Length:
        return Length(abs(self.inches), self.unit)

    def __bool__(self) -> bool:
        return self.inches != 0

    def __repr__(self) -> str:
        return f"Length({str(self)!r})"

    def __str__(self) -> str:
        return show(self)

    def measured_in(self, unit: Unit) -> Fraction:
        """Give the exact number of `unit` (inches or centimeters) in this length."""
        return self.inches if unit is Unit.INCH else self.inches * CM_PER_INCH

    @property
    def number(self) -> float:
        """The length as a float in its own unit, for JSON and for pictures."""
        return float(self.measured_in(self.unit))

    @property
    def inches_float(self) -> float:
        """The length as a float in inches."""
        return float(self.inches)

    @property
    def yards(self) -> Fraction:
        """The exact number of yards in this length."""
        return self.inches / INCHES_PER_YARD

    def shown_in(self, unit: Unit) -> Length:
        """Give the same length, shown in another unit."""
        return Length(self.inches, unit)


def inches(number: int | float | str | Fraction) -> Length:
    """Make a length of a number of inches.

    Examples
    --------
    >>> inches("9.5")
    Length('9 1/2 in')
    >>> inches(0)
    Length('0 in')
    """
    return Length(Fraction(number), Unit.INCH)


def centimeters(number: int | float | str | Fraction) -> Length:
    """Make a length of a number of centimeters.

    Examples
    --------
    >>> centimeters("23.5")
    Length('23.5 cm')
    """
    return Length(Fraction(number) / CM_PER_INCH, Unit.CM)


def in_unit(number: int | float | str | Fraction, unit: Unit) -> Length:
    """Make a length of a number of `unit`.

    Examples
    --------
    >>> in_unit(2, Unit.CM)
    Length('2 cm')
    """
    return inches(number) if unit is Unit.INCH else centimeters(number)


# The seam allowances in common use: 1/4 in, and 0.75 cm where one works in centimeters.
SEAM_ALLOWANCE = {Unit.INCH: inches(Fraction(1, 4)), Unit.CM: centimeters(Fraction(3, 4))}

EIGHTH = inches(Fraction(1, 8))
MILLIMETER = centimeters(Fraction(1, 10))
# The finest marks on a tape or ruler; what a length is shown on when nothing else is asked.
FINEST_MARK = {Unit.INCH: inches(Fraction(1, 16)), Unit.CM: MILLIMETER}
# The marks that cutting rulers are used on: eighths of an inch; the metric ruler's own half centimeter is
# too coarse for triangles, so millimeters.
RULER_MARK = {Unit.INCH: EIGHTH, Unit.CM: MILLIMETER}


def on_mark(given: Length, direction: Direction, mark: Length | None = None) -> Length:
    """Round a length onto a tape mark.

    Parameters
    ----------
    given : Length
        Any length.
    direction : {"up", "down", "nearest"}
        Which mark; a length half-way goes up to the larger.
    mark : Length, optional
        The distance between marks; 1/8 in or 1 mm by the length's unit when not given.

    Returns
    -------
    Length
        A whole number of marks, in the unit of `given`.

    Examples
    --------
    >>> on_mark(inches("2.8536"), "up")
    Length('2 7/8 in')
    >>> on_mark(inches("2.8536"), "down", inches("1/2"))
    Length('2 1/2 in')
    >>> on_mark(inches(0), "up")
    Length('0 in')
    """
    step = (mark or RULER_MARK[given.unit]).inches
    if step <= 0:
        raise LengthError(f"marks {step} in apart", "marks must be apart", "give a distance above 0")
    count = given.inches / step
    whole = {"up": ceil(count), "down": floor(count), "nearest": floor(count + Fraction(1, 2))}[direction]
    return Length(whole * step, given.unit)


def root2(times: Length, factor: Fraction = Fraction(1)) -> Length:
    """Multiply a length by the square root of two, to within a millionth of a millionth, rounding up.

    A diagonal is never exact; this is the one place where it is made a fraction, so that it can be
    rounded once, later, onto a tape mark.

    Examples
    --------
    >>> on_mark(root2(inches(12)), "nearest")
    Length('17 in')
    >>> root2(inches(0))
    Length('0 in')
    """
    from math import isqrt

    scale = 10**12
    root = Fraction(isqrt(2 * scale * scale) + 1, scale)
    return Length(times.inches * factor * root, times.unit)


_VULGAR = {
    "¼": "1/4", "½": "1/2", "¾": "3/4", "⅛": "1/8", "⅜": "3/8", "⅝": "5/8", "⅞": "7/8", "⅓": "1/3", "⅔": "2/3",
    "⅕": "1/5", "⅖": "2/5", "⅗": "3/5", "⅘": "4/5", "⅙": "1/6", "⅚": "5/6", "⁄": "/",
}  # fmt: skip
_UNITS: dict[str, tuple[Fraction, Unit]] = {
    **dict.fromkeys(("in", "inch", "inches", '"', "″", "”", "''"), (Fraction(1), Unit.INCH)),
    **dict.fromkeys(("ft", "foot", "feet", "'", "′", "’"), (Fraction(12), Unit.INCH)),
    **dict.fromkeys(("yd", "yds", "yard", "yards"), (Fraction(INCHES_PER_YARD), Unit.INCH)),
    **dict.fromkeys(
        ("mm", "millimetre", "millimetres", "millimeter", "millimeters"), (1 / CM_PER_INCH / 10, Unit.CM)
    ),
    **dict.fromkeys(("cm", "centimetre", "centimetres", "centimeter", "centimeters"), (1 / CM_PER_INCH, Unit.CM)),
    **dict.fromkeys(("m", "metre", "metres", "meter", "meters"), (100 / CM_PER_INCH, Unit.CM)),
}
_NUMBER = r"(?:(?P<whole>\d+)(?:\s+|\s*-\s*))?(?P<top>\d+)\s*/\s*(?P<bottom>\d+)|(?P<decimal>\d+(?:[.,]\d*)?|[.,]\d+)"
_TERM = re.compile(rf"\s*(?:{_NUMBER})\s*(?P<unit>''|[a-z]+|[\"″”'′’])?\.?", re.IGNORECASE)
_LIMIT = "a length is a number and its unit, such as 9 1/2 in, 9.5in, 1 1/4 yd or 23 cm"
# Longer than any quilt or bolt: a figure beyond it is a slip, and would only make trouble later.
_LONGEST = 100_000


def _refuse(text: str, why: str) -> LengthError:
    shown = text if len(text) <= 60 else text[:57] + "..."
    return LengthError(f'"{shown}" is not a length', why, _LIMIT)


def _terms(text: str, default: Unit | None) -> Length:
    plain = text.strip().strip("=")
    for sign, spelt in _VULGAR.items():
        plain = plain.replace(sign, spelt if sign == "⁄" else f" {spelt}")
    if not plain:
        raise _refuse(text, "nothing was given")
    if plain.startswith(("-", "−")):
        raise _refuse(text, "a length cannot be less than 0")
    total, unit, at = Fraction(0), None, 0
    while at < len(plain):
        found = _TERM.match(plain, at)
        if not found or found.end() == at:
            raise _refuse(text, f'"{plain[at:].strip()}" cannot be read')
        word = (found["unit"] or "").lower()
        if not word and (unit is not None or default is None):
            raise _refuse(text, "it has no unit")
        if word and word not in _UNITS:
            raise _refuse(text, f'"{found["unit"]}" is not a unit known here')
        if found["decimal"]:
            number = Fraction(found["decimal"].replace(",", ".").rstrip("."))
        else:
            if int(found["bottom"]) == 0:
                raise _refuse(text, "a fraction over 0 has no value")
            number = Fraction(int(found["top"]), int(found["bottom"])) + int(found["whole"] or 0)
        factor, of_term = _UNITS[word] if word else _UNITS[default.value]  # type: ignore[union-attr]
        total += number * factor
        unit = unit or of_term
        at = found.end()
        while at < len(plain) and plain[at].isspace():
            at += 1
    if total > _LONGEST:
        raise _refuse(text, f"it is more than {_LONGEST:,} in")
    return Length(total, unit or Unit.INCH)


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
        When the text is not a length, naming what cannot be read.

    Examples
    --------
    >>> length('9½"'), length("0.6 m"), length("1 1/4 yd")
    (Length('9 1/2 in'), Length('60 cm'), Length('45 in'))
    >>> length("9")
    Traceback (most recent call last):
        ...
    seamlore.errors.LengthError: "9" is not a length: it has no unit; a length is ...
    """
    return _terms(text, unit)


_BY = re.compile(r"\s*(?:x|×|\*|\bby\b)\s*", re.IGNORECASE)


def size(text: str, *, unit: Unit | None = None) -> tuple[Length, Length]:
    """Read a width and a length, such as ``74x88in``, ``74 by 88 in`` or ``188cm x 2.2m``.

    Parameters
    ----------
    text : str
        Two lengths; a unit after the second serves for both.
    unit : Unit, optional
        The unit of bare numbers.

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
    sides = _BY.split(text.strip())
    if len(sides) != 2 or not all(sides):
        raise LengthError(f'"{text}" is not a size', "a size is two lengths", "write it as 74x88in or 188x224cm")
    second = _terms(sides[1], unit)
    first = _terms(sides[0], second.unit)
    if not first or not second:
        raise LengthError(f'"{text}" is not a size', "both sides must be more than 0", "write it as 74x88in")
    return first, second


def show(given: Length, *, mark: Length | None = None, direction: Direction = "nearest", bare: bool = False) -> str:
    """Print a length the way a tape shows it.

    Parameters
    ----------
    given : Length
        Any length; inches print as tape fractions, centimeters with at most a tenth (a millimeter).
    mark : Length, optional
        The marks to round onto; the finest of the tape (1/16 in or 1 mm) when not given.
    direction : {"up", "down", "nearest"}
        How to round.
    bare : bool
        Leave the unit out.

    Returns
    -------
    str
        Such as ``9 1/2 in`` or ``23.5 cm``.

    Examples
    --------
    >>> show(inches("9.5")), show(inches("9.53"), mark=inches("1/4")), show(centimeters("23.46"))
    ('9 1/2 in', '9 1/2 in', '23.5 cm')
    >>> show(inches(0)), show(inches("-1/4"))
    ('0 in', '-1/4 in')
    """
    rounded = on_mark(given, direction, mark or FINEST_MARK[given.unit])
    value = abs(rounded.measured_in(given.unit))
    sign = "-" if rounded.inches < 0 else ""
    if given.unit is Unit.INCH:
        whole, part = divmod(value, 1)
        text = " ".join(str(piece) for piece in (whole, part) if piece) or "0"
    else:
        text = f"{float(value):.2f}".rstrip("0").rstrip(".")
    return sign + text + ("" if bare else f" {given.unit}")


def show_size(width: Length, height: Length, *, mark: Length | None = None) -> str:
    """Print a width and a height with their unit once: ``74 x 88 1/2 in``.

    Examples
    --------
    >>> show_size(inches(74), inches("88.5"))
    '74 x 88 1/2 in'
    """
    second = height.shown_in(width.unit)
    return f"{show(width, mark=mark, bare=True)} x {show(second, mark=mark)}"
