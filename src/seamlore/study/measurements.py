"""What was measured on a quilt, how surely, and how each number is known.

A tolerance is what nearly every repeat of the measurement would stay within; it is taken as two standard
uncertainties (coverage factor 2, as in the Guide to the Expression of Uncertainty in Measurement, JCGM 100:2008).
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from enum import Enum
from fractions import Fraction
from typing import Literal

from seamlore.errors import MeasureError
from seamlore.lengths import SEAM_ALLOWANCE, Length, Unit, centimetres, in_unit, inches, show
from seamlore.photo.reading import Reading

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
    BORDER = "border"  # from the blocks (or outer sashing) to the quilt's edge
    SPAN = "span"  # over several blocks and sashings
    OUTER = "outer block"  # an outermost block from its inner seam to the quilt's edge
    EDGE = "edge"  # from the quilt's edge inward to where the outermost block would begin; negative when cut


@dataclass(frozen=True, slots=True)
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
        Which side an outer block or edge is on.
    """

    what: What
    along: Along
    value: Length
    tolerance: Length
    known: Known = Known.TAPE
    blocks: int = 0
    sashings: int = 0
    side: Side | Literal[""] = ""

    @property
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
        return f"the {self.what.value}" if self.along == "both" else f"the {self.what.value}, {way}"

    def __str__(self) -> str:
        return f"{self.name}: {show(self.value)} ({self.known}, ± {show(self.tolerance)})"


@dataclass(frozen=True, slots=True)
class Count:
    """How many blocks were counted in one direction."""

    along: Axis
    number: int
    known: Known = Known.TAPE


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
    Unit.CM: (centimetres(Fraction(6, 10)), centimetres(Fraction(3, 10))),
}


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
        When the value is 0 or less (an edge may be), the tolerance is not more than 0, or a span has no block.

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
    if value.inches <= 0 and what is not What.EDGE:
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


@dataclass(frozen=True, slots=True)
class Measurements:
    """Everything measured on one quilt.

    Parameters
    ----------
    lengths : tuple of Measurement
        By tape, on the photograph, or told.
    counts : tuple of Count
        Columns ("across") and rows ("down").
    seam_allowance : Length
        What a block measured unfinished has too much on each side.
    outer_sashing : bool
        Whether sashing is known to run round the outside of the blocks.
    on_point : bool
        Whether the blocks stand on their points; columns and rows are then counted where they are widest.
    """

    lengths: tuple[Measurement, ...]
    counts: tuple[Count, ...]
    seam_allowance: Length
    outer_sashing: bool = False
    on_point: bool = False

    @property
    def unit(self) -> Unit:
        """The unit of the first tape measurement."""
        return self.lengths[0].value.unit

    def said(self, what: What, axis: Axis) -> Measurement | None:
        """The measurement of `what` along an axis that is trusted most: the tape's before the photograph's."""
        found = [each for each in self.lengths if each.what is what and each.along in (axis, "both")]
        return min(found, key=lambda each: each.known is Known.PHOTO, default=None)

    def count(self, axis: Axis) -> int | None:
        """How many blocks were counted along an axis: with the eye before the photograph."""
        found = [each for each in self.counts if each.along == axis]
        return min(found, key=lambda each: each.known is Known.PHOTO).number if found else None


def measurements(
    lengths: Iterable[Measurement],
    *,
    columns: int | None = None,
    rows: int | None = None,
    reading: Reading | None = None,
    seam_allowance: Length | None = None,
    outer_sashing: bool = False,
    on_point: bool = False,
) -> Measurements:
    """Gather what was measured, by tape and on the photograph.

    Parameters
    ----------
    lengths : iterable of Measurement
        By tape.
    columns, rows : int, optional
        Blocks counted across and down.
    reading : Reading, optional
        What was measured in a photograph; its lengths are added with their uncertainty.
    seam_allowance : Length, optional
        1/4 in, or 0.75 cm when the tape was metric.
    outer_sashing : bool
        Whether sashing runs round the outside of the blocks.
    on_point : bool
        Whether the blocks stand on their points; a reading tells it too.

    Raises
    ------
    MeasureError
        When there is no length, or a count is below 1.

    Examples
    --------
    >>> found = measurements([taken(What.OVERALL, inches(74), "across"), taken(What.BLOCK, inches(8))], columns=7)
    >>> found.count("across"), found.count("down")
    (7, None)
    >>> measurements([])
    Traceback (most recent call last):
        ...
    seamlore.errors.MeasureError: no measurement: at least one length is needed; ...
    """
    tape = tuple(lengths)
    counts = [Count(axis, number) for axis, number in zip(AXES, (columns, rows), strict=True) if number is not None]
    for each in counts:
        if each.number < 1:
            what = "columns" if each.along == "across" else "rows"
            raise MeasureError(f"{each.number} {what}", "a quilt has at least one block", "count the blocks again")
    seen: tuple[Measurement, ...] = ()
    if reading is not None:
        seen = from_reading(reading, tape)
        for axis, number in zip(AXES, (reading.columns, reading.rows), strict=True):
            if number is not None:
                counts.append(Count(axis, number, Known.PHOTO))
    if not tape and not seen:
        raise MeasureError("no measurement", "at least one length is needed", "measure the quilt from edge to edge")
    unit = (tape or seen)[0].value.unit
    allowance = SEAM_ALLOWANCE[unit] if seam_allowance is None else seam_allowance
    tilted = on_point or (reading is not None and reading.setting == "on point")
    return Measurements(tape + seen, tuple(counts), allowance, outer_sashing, tilted)


def from_reading(reading: Reading, tape: Iterable[Measurement] = ()) -> tuple[Measurement, ...]:
    """Take block, sashing and edges from a reading, each with twice its standard uncertainty.

    Parameters
    ----------
    reading : Reading
        What was measured in one photograph.
    tape : iterable of Measurement
        Where the reading has no scale of its own, the tape's overall size gives it one.

    Returns
    -------
    tuple of Measurement
        Empty when the reading found no block grid. The overall size that the reading was given is not
        among them: that number is the tape's.

    Raises
    ------
    MeasureError
        When the reading is in quilt widths and no overall width was measured.

    Examples
    --------
    >>> bare = dict(photo_size=(9, 9), corners=((0, 0), (9, 0), (9, 9), (0, 9)), corners_from="given")
    >>> from_reading(Reading(**bare, unit="in", size=(70.5, 80), setting="none"))
    ()
    """
    if reading.setting == "none" or reading.block_size is None or reading.uncertainty is None:
        return ()
    unit, scale = _scale(reading, tuple(tape))
    spread = reading.uncertainty
    # Cloth on a photograph is never quite flat: one part in a hundred of a block is the best that flattening by four
    # corners has shown (about 1 in 100 of scale error in rectified photographs of buildings; cloth does no better).
    least = 0.01 * scale * max(reading.block_size)

    def seen(what: What, along: Along, value: float, sigma: float, side: Side | Literal[""] = "") -> Measurement:
        rounded = [Fraction(round(number * 1000), 1000) for number in (value * scale, max(2 * sigma * scale, least))]
        return Measurement(what, along, in_unit(rounded[0], unit), in_unit(rounded[1], unit), Known.PHOTO, side=side)

    found = [seen(What.BLOCK, axis, reading.block_size[i], spread.block_size[i]) for i, axis in enumerate(AXES)]
    if reading.sashing is not None:
        found += [
            seen(What.SASHING, axis, reading.sashing[i], spread.sashing[i])
            for i, axis in enumerate(AXES)
            # Less than this is how unevenly blocks meet, not a strip of cloth.
            if reading.sashing[i] > max(3 * spread.sashing[i], 0.02 * reading.block_size[i])
        ]
    if reading.edge is not None and reading.setting == "straight":
        found += [
            seen(What.EDGE, axis, getattr(reading.edge, side), spread.edge, side)
            for axis in AXES
            for side in SIDES[axis]
        ]
    return tuple(found)


def _scale(reading: Reading, tape: tuple[Measurement, ...]) -> tuple[Unit, float]:
    """The unit to show lengths in, and how many of it one unit of the reading is."""
    if reading.unit != "width":
        return Unit(reading.unit), 1.0
    for each in tape:
        if each.what is What.OVERALL and each.along == "across":
            return each.value.unit, each.value.number
    raise MeasureError(
        "a photograph without a size", "a length needs a scale", "measure the quilt's width and give it"
    )
