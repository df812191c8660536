"""How the layers are held: quilting in lines or ties, no farther apart than the batting allows."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from math import ceil
from typing import Literal, get_args

from seamlore.errors import PlanError
from seamlore.lengths import Length, Unit, in_unit, inches, show

Kind = Literal["quilting", "ties"]
KINDS: tuple[Kind, ...] = get_args(Kind)
# Without a label: quilting every 2 in at most (assume 1 to 2, bonnysews.com 2019/03), ties 4 in apart (4 to 5, magazine
# excerpt 2019-08; never wider than a label says). Rounded to 5 and 10 cm (custom).
GAP: dict[Kind, dict[Unit, Length]] = {
    "quilting": {Unit.INCH: inches(2), Unit.CM: in_unit(5, Unit.CM)},
    "ties": {Unit.INCH: inches(4), Unit.CM: in_unit(10, Unit.CM)},
}
# The widest that a label of batting was seen to allow is 12 in (melodycrust.blogspot.com 2020/11).
WIDEST = {Unit.INCH: inches(12), Unit.CM: in_unit(30, Unit.CM)}
# Thread of one tie: a stitch of up to 1/2 in, a knot and two ends to hold, trimmed to 1/2 in or more (fabric-mill.com for stitch
# and ends; the 6 in (15 cm) is common practice without a source).
TIE = {Unit.INCH: inches(6), Unit.CM: in_unit(15, Unit.CM)}
# How much thread a line of quilting takes, by hand and by machine with its bobbin: common practice without a source.
BY_HAND, BY_MACHINE = Fraction(3, 2), Fraction(3)


@dataclass(frozen=True, slots=True)
class Holding:
    """How the layers are held.

    Parameters
    ----------
    kind : {"quilting", "ties"}
    gap : Length
        The greatest distance that is kept to.
    from_label : bool
        Whether the batting's label said it; otherwise it is assumed.
    across, down : int
        Ties: columns and rows of the grid. Quilting: lines that run up and down, and 0.
    apart : tuple of Length
        How far apart they come to lie across and down; the outermost half of that from the edge. Of lines only across.
    count : int
        How many ties, or lines.
    run : Length
        Length of all lines of quilting; 0 of ties.
    thread : tuple of Length
        Least and most thread: of ties the same twice; of quilting by hand, and by machine with its bobbin.
    """

    kind: Kind
    gap: Length
    from_label: bool
    across: int
    down: int
    apart: tuple[Length, Length]
    count: int
    run: Length
    thread: tuple[Length, Length]

    def __str__(self) -> str:
        least, most = (f"{ceil(each.yards)} yd" if each.unit is Unit.INCH else f"{ceil(each.inches * Fraction(254, 10000))} m" for each in self.thread)  # fmt: skip
        if self.kind == "ties":
            return (
                f"{self.count} ties, {self.across} across and {self.down} down, {show(self.apart[0], direction='down')} and "
                f"{show(self.apart[1], direction='down')} apart: about {least} of thread"
            )
        return (
            f"{self.count} lines up and down, {show(self.apart[0], direction='down')} apart: about {least} of thread by hand, "
            f"{most} by machine"
        )


def holding(width: Length, height: Length, kind: str = "quilting", *, gap: Length | None = None) -> Holding:
    """Lay ties or lines of quilting out, evenly and no farther apart than the batting allows.

    Parameters
    ----------
    width, height : Length
        Finished size of the top.
    kind : {"quilting", "ties"}
    gap : Length, optional
        The greatest distance that the batting's label allows; the usual without a label when not given.

    Raises
    ------
    PlanError
        When there is no such way, or the distance is none.

    Examples
    --------
    >>> print(holding(inches(60), inches(72), "ties"))
    270 ties, 15 across and 18 down, 4 in and 4 in apart: about 45 yd of thread
    >>> print(holding(inches(60), inches(72), gap=inches(8)))
    8 lines up and down, 7 1/2 in apart: about 24 yd of thread by hand, 48 yd by machine
    """
    known = next((each for each in KINDS if each == kind), None)
    if known is None:
        raise PlanError(f'layers held by "{kind}"', f"they are held by {' or '.join(KINDS)}", "choose one of these")
    unit = width.unit
    most = GAP[known][unit] if gap is None else checked_gap(gap).shown_in(unit)
    across, down = (ceil(side.inches / most.inches) for side in (width, height))
    apart = (width / across, height / down)
    none = in_unit(0, unit)
    if known == "ties":
        thread = TIE[unit] * (across * down)
        return Holding(known, most, gap is not None, across, down, apart, across * down, none, (thread, thread))
    run = height * across
    return Holding(
        known, most, gap is not None, across, 0, (apart[0], none), across, run, (run * BY_HAND, run * BY_MACHINE)
    )


def checked_gap(gap: Length) -> Length:
    """Give the greatest distance of quilting or ties back, or refuse one that no batting allows.

    Examples
    --------
    >>> checked_gap(inches(20))
    Traceback (most recent call last):
        ...
    seamlore.errors.PlanError: quilting 20 in apart: batting allows more than 0 and at most 12 in; read its label, or ...
    """
    widest = WIDEST[gap.unit]
    if not 0 < gap.inches <= widest.inches:
        raise PlanError(
            f"quilting {show(gap)} apart",
            f"batting allows more than 0 and at most {show(widest)}",
            "read its label, or leave it out",
        )
    return gap
