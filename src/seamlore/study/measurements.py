"""Everything measured on one quilt, by tape and on the photograph, and what its sizes are called."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from functools import cached_property

from seamlore.errors import MeasureError
from seamlore.lengths import SEAM_ALLOWANCE, Length, Unit
from seamlore.photo.reading import Reading
from seamlore.study.by_photograph import from_reading
from seamlore.study.measured import AXES, SIDES, Axis, Known, Measurement, Side, What


@dataclass(frozen=True, slots=True)
class Count:
    """How many blocks were counted in one direction."""

    along: Axis
    number: int
    known: Known = Known.TAPE


# Without slots: what is asked of the same measurements a thousand times is looked up once and kept.
@dataclass(frozen=True)
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
        return self._said[what, axis]

    @cached_property
    def _said(self) -> dict[tuple[What, Axis], Measurement | None]:
        # A stable sort: what was measured first stays first among equals.
        trusted = sorted(self.lengths, key=lambda each: each.known is Known.PHOTO)
        return {
            (what, axis): next((each for each in trusted if each.what is what and each.along in (axis, "both")), None)
            for what in What
            for axis in AXES
        }

    def count(self, axis: Axis) -> int | None:
        """How many blocks were counted along an axis: with the eye before the photograph."""
        return self._counted[axis]

    @cached_property
    def _counted(self) -> dict[Axis, int | None]:
        trusted = sorted(self.counts, key=lambda each: each.known is Known.PHOTO)
        return {axis: next((each.number for each in trusted if each.along == axis), None) for axis in AXES}

    def size_name(self, what: What, axis: Axis) -> str:
        """Name of a maker's size: one for both ways unless it was measured and differs.

        Examples
        --------
        >>> from seamlore.lengths import inches
        >>> from seamlore.study.measured import taken
        >>> measurements([taken(What.BLOCK, inches(8))]).size_name(What.BLOCK, "down")
        'block'
        """
        return self._size_names[what, axis]

    @cached_property
    def _size_names(self) -> dict[tuple[What, Axis], str]:
        return {
            (what, axis): f"{what.value} {axis}" if self._differs(what) else what.value
            for what in What
            for axis in AXES
        }

    def _differs(self, what: What) -> bool:
        """Whether a size was measured both ways and is another each way.

        A block is square until a tape says otherwise: on the photograph it is as oblong as the whole quilt has
        become.
        """
        one, two = (self.said(what, axis) for axis in AXES)
        if one is None or two is None or "both" in (one.along, two.along):
            return False
        if what is What.BLOCK and Known.PHOTO in (one.known, two.known):
            return False
        apart = abs(one.value_in - two.value_in)
        near: float = max(3 * (one.sigma_in**2 + two.sigma_in**2) ** 0.5, 0.015 * one.value_in)
        return apart > near

    def has_sashing(self, axis: Axis | None = None) -> bool:
        """Whether there is sashing, anywhere or to cross along an axis.

        Sashing measured one way holds the other way too, unless a photograph was read and shows none there.
        """
        return self._sashed[axis]

    @cached_property
    def _sashed(self) -> dict[Axis | None, bool]:
        anywhere = any(each.what is What.SASHING for each in self.lengths)
        seen = any(each.what is What.BLOCK and each.known is Known.PHOTO for each in self.lengths)
        there: dict[Axis | None, bool] = {
            axis: self.said(What.SASHING, axis) is not None or (anywhere and not seen) for axis in AXES
        }
        return {None: anywhere, **there}

    def has_border(self, axis: Axis) -> bool:
        """Whether a border was measured on an axis, or stands clearly on the photograph on both sides."""
        return any(self.border_name(side) for side in SIDES[axis])

    def border_name(self, side: Side) -> str:
        """Name of the border's width at a side, one for all that are alike; empty where there is none.

        Examples
        --------
        >>> from seamlore.lengths import inches
        >>> from seamlore.study.measured import taken
        >>> found = measurements([taken(What.BORDER, inches(8)), taken(What.BORDER, inches(3), "down", side="bottom")])
        >>> found.border_name("left"), found.border_name("top"), found.border_name("bottom")
        ('border', 'border', 'border bottom')
        """
        return self._border_names[side]

    def border(self, side: Side) -> Measurement | None:
        """What says how wide the border is at a side: the tape, or the photograph where it shows one; None without."""
        return self._borders[side]

    @cached_property
    def _border_names(self) -> dict[Side, str]:
        names: dict[Side, str] = {}
        for axis in AXES:
            uneven = self._uneven_edges(axis)
            for side in SIDES[axis]:
                said = self._borders[side]
                if said is None:
                    names[side] = ""
                elif said.what is What.EDGE:
                    names[side] = f"border {side}" if uneven else f"border {axis}"
                elif said.along == "both":
                    names[side] = "border"
                else:
                    names[side] = f"border {said.side or axis}"
        return names

    @cached_property
    def _borders(self) -> dict[Side, Measurement | None]:
        found: dict[Side, Measurement | None] = {}
        for axis in AXES:
            near, far = SIDES[axis]
            for side, opposite in ((near, far), (far, near)):
                said = self._border_said(axis, side, opposite)
                found[side] = None if said is None or not said.value else said
        return found

    def _border_said(self, axis: Axis, side: Side, opposite: Side) -> Measurement | None:
        """Of one side before of the axis, of all four sides, of the side opposite; then what the photograph shows."""
        taped = [each for each in self.lengths if each.what is What.BORDER]
        for own in (
            [each for each in taped if each.side == side],
            [each for each in taped if each.along == axis and not each.side],
            [each for each in taped if each.along == "both"],
            [each for each in taped if each.side == opposite],
        ):
            if own:
                return own[0]
        edges = self._edges(axis)
        clear = [each.value_in > max(3 * each.sigma_in, 0.25) for each in edges]
        if len(clear) == 2 and all(clear) and not self.outer_sashing:
            return next((each for each in edges if each.side == side), None)
        return None

    def _edges(self, axis: Axis) -> list[Measurement]:
        return [each for each in self.lengths if each.what is What.EDGE and each.along == axis]

    def _uneven_edges(self, axis: Axis) -> bool:
        """Whether the photograph shows clearly more border at one side than at the other."""
        edges = self._edges(axis)
        if len(edges) != 2:
            return False
        one, two = edges
        near: float = max(3 * (one.sigma_in**2 + two.sigma_in**2) ** 0.5, 0.5)
        return abs(one.value_in - two.value_in) > near


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
    >>> from seamlore.lengths import inches
    >>> from seamlore.study.measured import taken
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
        for axis, by_eye, number in zip(AXES, (columns, rows), (reading.columns, reading.rows), strict=True):
            if number is None:
                continue
            counts.append(Count(axis, number, Known.PHOTO))
            if by_eye not in (None, number):
                # Whoever counted at the quilt is believed; blocks of another grid are not the quilt's blocks.
                seen = tuple(each for each in seen if each.along != axis)
    if not tape and not seen:
        raise MeasureError("no measurement", "at least one length is needed", "measure the quilt from edge to edge")
    unit = (tape or seen)[0].value.unit
    allowance = SEAM_ALLOWANCE[unit] if seam_allowance is None else seam_allowance
    tilted = on_point or (reading is not None and reading.setting == "on point")
    return Measurements(tape + seen, tuple(counts), allowance, outer_sashing, tilted)
