"""Exact lengths: what one is, rounding it onto tape marks, printing it as a tape shows it.

Inside, every length is an exact fraction of inches; the unit is only how it is shown.
Nothing else in the project knows how many centimeters an inch has.
"""

from __future__ import annotations

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
    >>> inches("9.5") + inches("1/4")
    Length('9 3/4 in')
    >>> centimeters("2.54") == inches(1)
    True
    >>> inches(0)
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

NARROWEST_SEAM = {Unit.INCH: inches(Fraction(1, 16)), Unit.CM: centimeters(Fraction(3, 20))}
# The marks that a seam allowance is shown on, finer than the tape's.
SEAM_MARK = {Unit.INCH: inches(Fraction(1, 32)), Unit.CM: centimeters(Fraction(1, 20))}

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
    step = (RULER_MARK[given.unit] if mark is None else mark).inches
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
    rounded = on_mark(given, direction, FINEST_MARK[given.unit] if mark is None else mark)
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


def show_seam(allowance: Length) -> str:
    """Print a seam allowance to half a millimeter or a thirty-second: 0.75 cm, the usual, must not read 0.8 cm.

    Examples
    --------
    >>> show_seam(centimeters("0.75")), show_seam(inches("1/4"))
    ('0.75 cm', '1/4 in')
    """
    return show(allowance, mark=SEAM_MARK[allowance.unit])


def checked_seam(allowance: Length) -> Length:
    """Give a seam allowance back that can be sewn.

    Raises
    ------
    LengthError
        When it is so narrow that the cloth would fray out of it (common practice, no source).

    Examples
    --------
    >>> checked_seam(inches("1/4"))
    Length('1/4 in')
    >>> checked_seam(inches(0))
    Traceback (most recent call last):
        ...
    seamlore.errors.LengthError: a seam allowance of 0 in: it is at least 1/16 in, or the cloth frays out of it; ...
    """
    least = NARROWEST_SEAM[allowance.unit]
    if allowance < least:
        raise LengthError(
            f"a seam allowance of {show_seam(allowance)}",
            f"it is at least {show_seam(least)}, or the cloth frays out of it",
            "give the width of the seam",
        )
    return allowance
