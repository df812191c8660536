"""One measured length: what was measured, how surely, and how the number is known.

A tolerance is what nearly every repeat of the measurement would stay within; it is taken as two standard
uncertainties (coverage factor 2, as in the Guide to the Expression of Uncertainty in Measurement, JCGM 100:2008).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from enum import Enum
from fractions import Fraction
from functools import cached_property
from typing import Literal

from seamlore.errors import MeasureError
from seamlore.lengths import Length, Unit, centimeters, inches, on_mark, show

Axis = Literal["across", "down"]
Along = Literal["across", "down", "both"]
Side = Literal["left", "right", "top", "bottom"]
AXES: tuple[Axis, Axis] = ("across", "down")
SIDES: dict[Axis, tuple[Side, Side]] = {"across": ("left", "right"), "down": ("top", "bottom")}


class Known(Enum):
    """How a number is known."""

    TAPE = "by tape"
    PHOTO = "measured on the photograph"
    TOLD = "as told"
    COMPUTED = "computed"
    CUSTOM = "custom of the trade"

    def __str__(self) -> str:
        return self.value


class What(Enum):
    """What was measured."""

    OVERALL = "overall"  # from edge to edge of the quilt
    BLOCK = "block"  # finished, seam to seam
    SASHING = "sashing"  # finished, seam to seam
    BORDER = "border"  # from the blocks (or outer sashing) to the quilt's edge; 0 at a side that has none
    SPAN = "span"  # over several blocks and sashings
    OUTER = "outer block"  # an outermost block from its inner seam to the quilt's edge
    EDGE = "edge"  # from the quilt's edge inward to where the outermost block would begin; negative when cut


# Without slots: its floats are asked for by every explanation, and kept.
# How often a quilt is measured one way at most: in the middle and near both edges.
READINGS = 3


@dataclass(frozen=True)
class Measurement:
    """One measured length.

    Parameters
    ----------
    what : What
        What was measured.
    along : {"across", "down", "both"}
        Along the width, along the length, or said of both.
    value : Length
        Exact as read.
    tolerance : Length
        Plus or minus; two standard uncertainties.
    known : Known
        How it is known.
    blocks, sashings : int
        What a span runs over.
    side : str
        Which side an outer block, an edge or a border is on; a border without one is alike at all sides that it holds
        for.
    readings : tuple of Length
        What the value is the mean of, where it was measured several times.
    """

    what: What
    along: Along
    value: Length
    tolerance: Length
    known: Known = Known.TAPE
    blocks: int = 0
    sashings: int = 0
    side: Side | Literal[""] = ""
    readings: tuple[Length, ...] = ()

    @cached_property
    def value_in(self) -> float:
        """The value in inches."""
        return self.value.inches_float

    @cached_property
    def sigma_in(self) -> float:
        """Standard uncertainty in inches."""
        return self.tolerance.inches_float / 2

    @property
    def name(self) -> str:
        """What it is called in a sentence."""
        way = {"across": "across", "down": "from top to bottom", "both": "along a row of blocks"}[self.along]
        match self.what:
            case What.OVERALL:
                return "the width of the quilt" if self.along == "across" else "the length of the quilt"
            case What.SPAN:
                return f"{span_words(self.blocks, self.sashings)}, {way}"
            case What.OUTER:
                return f"the outermost block at the {self.side}, inner seam to edge"
            case What.EDGE:
                return f"the edge at the {self.side}"
            case What.BORDER:
                at = {"across": " at the sides", "down": " at top and bottom", "both": ""}[self.along]
                return f"the border at the {self.side}" if self.side else f"the border{at}"
        return f"the {self.what.value}" if self.along == "both" else f"the {self.what.value}, {way}"

    @property
    def read(self) -> str:
        """How the number is known, and what it is the middle of where it was measured several times."""
        if len(self.readings) < 2:
            return str(self.known)
        return f"{self.known}, the middle of {', '.join(show(each) for each in self.readings)}"

    def __str__(self) -> str:
        return f"{self.name}: {show(self.value)} ({self.read}, ± {show(self.tolerance)})"


_NUMBERS = ("no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve")


def in_words(number: int) -> str:
    """Spell a small number.

    Examples
    --------
    >>> in_words(4), in_words(13)
    ('four', '13')
    """
    return _NUMBERS[number] if 0 <= number < len(_NUMBERS) else str(number)


def span_words(blocks: int, sashings: int) -> str:
    """Say what a span runs over, in words that can be followed with a tape.

    Examples
    --------
    >>> span_words(4, 4)
    'same edge to same edge over four blocks'
    >>> span_words(1, 0)
    'seam to seam over one block'
    """
    plural = "block" + "s" * (blocks != 1)
    if sashings == blocks:
        return f"same edge to same edge over {in_words(blocks)} {plural}"
    if not sashings:
        return f"seam to seam over {in_words(blocks)} {plural}"
    return f"over {in_words(blocks)} {plural} and {in_words(sashings)} sashing{'s' * (sashings != 1)}"


# How well a tape is read on a soft old quilt, when nothing else is said: custom, no source.
_TOLERANCE = {
    Unit.INCH: (inches(Fraction(1, 4)), inches(Fraction(1, 8))),
    Unit.CM: (centimeters(Fraction(6, 10)), centimeters(Fraction(3, 10))),
}


def middle_of(
    what: What, readings: Sequence[Length], along: Along, *, tolerance: Length | None = None
) -> Measurement:
    """Take the same size where it was measured several times: the mean, and as much doubt as they differ.

    Parameters
    ----------
    what, along, tolerance
        As in `taken`.
    readings : sequence of Length
        What the tape showed, one or more.

    Examples
    --------
    >>> print(middle_of(What.OVERALL, [inches(70), inches(71), inches("70.5")], "across"))
    the width of the quilt: 70 1/2 in (by tape, the middle of 70 in, 71 in, 70 1/2 in, ± 11/16 in)
    """
    mean = sum(readings[1:], readings[0]) / len(readings)
    one = taken(what, mean, along, tolerance=tolerance)
    if len(readings) == 1:
        return one
    # Type A and type B uncertainty together (JCGM 100:2008, 4.2 and 4.3): the mean's, and the tape's own.
    scatter = sum(float((each - mean).inches) ** 2 for each in readings) / (len(readings) - 1) / len(readings)
    both = 2 * (one.sigma_in**2 + scatter) ** 0.5
    doubt = on_mark(Length(Fraction(both).limit_denominator(10**6), mean.unit), "up", one.tolerance / 4)
    return replace(one, tolerance=doubt, readings=tuple(readings))


def taken(
    what: What,
    value: Length,
    along: Along = "both",
    *,
    tolerance: Length | None = None,
    known: Known = Known.TAPE,
    blocks: int = 0,
    sashings: int = 0,
    side: Side | Literal[""] = "",
) -> Measurement:
    """Take one measurement, with a custom tolerance when none is given.

    Parameters
    ----------
    what, value, along, known, blocks, sashings, side
        As in `Measurement`.
    tolerance : Length, optional
        1/4 in (6 mm) up to an edge, which is worn and rolled, and 1/8 in (3 mm) from seam to seam when not
        given; custom, no source.

    Raises
    ------
    MeasureError
        When the value is 0 or less (an edge may be, and the border of one side may be 0), the tolerance is not more
        than 0, or a span has no block.

    Examples
    --------
    >>> print(taken(What.OVERALL, inches("70.5"), "across"))
    the width of the quilt: 70 1/2 in (by tape, ± 1/4 in)
    >>> taken(What.BLOCK, inches(0))
    Traceback (most recent call last):
        ...
    seamlore.errors.MeasureError: the block: 0 in: a measurement is more than 0; ...
    """
    whole, part = _TOLERANCE[value.unit]
    custom = whole if what in (What.OVERALL, What.OUTER) else part
    used = custom if tolerance is None else tolerance
    made = Measurement(what, along, value, used, known, blocks, sashings, side)
    none_there = what is What.BORDER and bool(side) and not value
    if value.inches <= 0 and what is not What.EDGE and not none_there:
        raise MeasureError(show(value), "a measurement is more than 0", "measure it again", where=made.name)
    if used.inches <= 0:
        raise MeasureError(
            f"a tolerance of {show(used)}", "no tape is exact", "give more than 0, such as 1/8 in", where=made.name
        )
    if what is What.SPAN and (blocks < 1 or (sashings != 0 and abs(blocks - sashings) > 1)):
        raise MeasureError(
            f"a span over {blocks} blocks and {sashings} sashings",
            "blocks and sashings take turns",
            "count the blocks and sashings that the tape ran over",
        )
    return made
