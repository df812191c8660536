"""What a photograph says of block, sashing and edges, as measurements beside those of the tape."""

from __future__ import annotations

from collections.abc import Iterable
from fractions import Fraction
from typing import Literal

from seamlore.errors import MeasureError
from seamlore.lengths import Unit, in_unit
from seamlore.photo.reading import Reading
from seamlore.study.measured import AXES, SIDES, Along, Known, Measurement, Side, What


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
