"""Why the sums may not come out: each cause, and how likely it is beforehand."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from enum import Enum
from itertools import product
from math import log

from seamlore.study.measured import AXES, SIDES, Along, Axis, Known, What
from seamlore.study.measurements import Measurements


class Kind(Enum):
    """One kind of cause."""

    CUT = "the outer blocks are cut down or folded in"
    UNFINISHED = "the block was measured unfinished"
    SASHING_UNFINISHED = "the sashing was measured unfinished"
    FIGURE = "one figure is wrong"
    MISCOUNT = "a row or column was miscounted"
    SHRUNK = "the quilt has drawn in"
    WIDE_SEAMS = "the seams were taken wide"
    OUTER_SASHING = "sashing runs round the outside too"
    BORDER = "a border is not in the sums"
    STRETCHED = "the quilt is stretched or drawn in more one way than the other"
    UNTOLD = "something is not told"


# Odds of each cause against nothing being wrong, before the numbers are looked at. Judgement, no source; what
# they lead to is measured by simulation in the tests.
ODDS = {
    Kind.CUT: 0.15,
    Kind.UNFINISHED: 0.08,
    Kind.SASHING_UNFINISHED: 0.02,
    Kind.FIGURE: 0.02,
    Kind.MISCOUNT: 0.03,
    Kind.SHRUNK: 0.02,
    Kind.WIDE_SEAMS: 0.02,
    Kind.OUTER_SASHING: 0.04,
    Kind.BORDER: 0.04,
    Kind.STRETCHED: 0.02,
    Kind.UNTOLD: 0.004,
}
# A border measured at one side and taken for all four, though it is another at top and bottom.
ODDS_OF_UNLIKE_BORDERS = 0.1
# Each way, where the photograph's count is not the one counted at the quilt.
ODDS_OF_PHOTOGRAPHS_MISCOUNT = 0.15
# A quilt trimmed in width was mostly trimmed in length too; the same holds of a border, and of what is not told.
ODDS_OF_SAME_ON_OTHER_AXIS = 0.8


@dataclass(frozen=True, slots=True)
class Cause:
    """One thing that is wrong.

    Parameters
    ----------
    kind : Kind
        What.
    along : {"across", "down", "both"}
        Where.
    figure : int
        Index of the wrong measurement.
    number : int
        True number of blocks.
    """

    kind: Kind
    along: Along = "both"
    figure: int = -1
    number: int = 0

    def holds(self, axis: Axis) -> bool:
        """Whether it holds along an axis."""
        return self.along == axis or self.along == "both"


Causes = tuple[Cause, ...]


def true_count(m: Measurements, causes: Causes, axis: Axis) -> int | None:
    """How many blocks there are along an axis if `causes` hold."""
    for cause in causes:
        if cause.kind is Kind.MISCOUNT and cause.along == axis:
            return cause.number
    return m.count(axis)


def of_kind(causes: Causes, kind: Kind, axis: Axis | None = None) -> bool:
    """Whether a cause of this kind is among them, along an axis."""
    # A plain loop: this is asked fifty thousand times for one quilt.
    for each in causes:  # noqa: SIM110
        if each.kind is kind and (axis is None or each.holds(axis)):
            return True
    return False


def log_odds(m: Measurements, causes: Causes) -> float:
    """Natural logarithm of the odds of an explanation before the numbers are looked at."""
    total = 0.0
    kinds: list[Kind] = []
    for cause in causes:
        again = cause.kind in (Kind.CUT, Kind.BORDER, Kind.UNTOLD) and cause.kind in kinds
        unlike = cause.kind is Kind.BORDER and any(m.border_name(side) for axis in AXES for side in SIDES[axis])
        if cause.kind is not Kind.MISCOUNT:
            odds = ODDS_OF_UNLIKE_BORDERS if unlike else ODDS[cause.kind]
            total += log(ODDS_OF_SAME_ON_OTHER_AXIS if again else odds)
        kinds.append(cause.kind)
    for axis in AXES:
        number = true_count(m, causes, axis)
        # Each count is one too many or too few now and then, that of the photograph sooner than that by eye.
        by_eye = any(count.along == axis and count.known is not Known.PHOTO for count in m.counts)
        for count in m.counts:
            odds = ODDS_OF_PHOTOGRAPHS_MISCOUNT if by_eye and count.known is Known.PHOTO else ODDS[Kind.MISCOUNT]
            if count.along == axis and number is not None:
                total += log(1 - 2 * odds if count.number == number else odds)
    return total


def explanations(m: Measurements) -> Iterator[Causes]:
    """Every explanation worth weighing: nothing, one cause, or a few that go together.

    A cause that lies in the block or the tape (measured unfinished, drawn in) holds on both axes at once; a
    cause at the edge (cut, miscounted) may hold on one, on both, or differ.
    """
    shared: list[Causes] = [()]
    has_block = any(each.what is What.BLOCK and each.known is not Known.PHOTO for each in m.lengths)
    has_strip = any(each.what is What.SASHING and each.known is not Known.PHOTO for each in m.lengths)
    if has_block:
        shared += [(Cause(Kind.UNFINISHED),), (Cause(Kind.SHRUNK),), (Cause(Kind.WIDE_SEAMS),)]
    if has_strip:
        shared.append((Cause(Kind.SASHING_UNFINISHED),))
    across_it, down_it = (any(each.along == axis for each in m.lengths) for axis in AXES)
    if across_it and down_it and m.size_name(What.BLOCK, "down") == What.BLOCK.value:
        shared.append((Cause(Kind.STRETCHED),))
    if m.has_sashing() and not m.outer_sashing and not any(m.has_border(axis) for axis in AXES):
        shared.append((Cause(Kind.OUTER_SASHING),))
    for index, each in enumerate(m.lengths):
        if each.along == "both" and each.known is not Known.PHOTO:
            shared.append((Cause(Kind.FIGURE, "both", index),))
    across, down = (_on_axis(m, axis) for axis in AXES)
    for one, two, common in product(across, down, shared):
        causes = (*common, *one, *two)
        figures = sum(cause.kind is Kind.FIGURE for cause in causes)
        alike = len(one) == len(two) == 1 and one[0].kind is two[0].kind
        edges_twice = of_kind(common, Kind.OUTER_SASHING) and of_kind(causes, Kind.BORDER)
        # A border said to be the same all round is so at least one way.
        contrary = alike and of_kind(one, Kind.BORDER) and m.border_name("left") == m.border_name("top") == "border"
        if figures <= 1 and len(causes) <= 2 + alike and not edges_twice and not contrary:
            yield causes


def _on_axis(m: Measurements, axis: Axis) -> list[Causes]:
    """Causes that may hold on one axis alone, "nothing" first."""
    found: list[Causes] = [()]
    count = m.count(axis)
    about_edge = any(each.along == axis and each.what in (What.OVERALL, What.EDGE, What.OUTER) for each in m.lengths)
    # Where nothing tells how large a block is, it is what the count leaves: nothing can be cut, added or miscounted.
    sized = any(each.what in (What.BLOCK, What.SPAN, What.OUTER) for each in m.lengths)
    if count is not None and about_edge and sized:
        if not m.has_border(axis):
            found.append((Cause(Kind.CUT, axis),))
        if any(m.border_name(side) in ("", "border") for side in SIDES[axis]):
            found.append((Cause(Kind.BORDER, axis),))
        if m.said(What.OVERALL, axis) is not None:
            found.append((Cause(Kind.UNTOLD, axis),))
        told = {each.number for each in m.counts if each.along == axis}
        near = {number + by for number in told for by in (-1, 0, 1)} - {count}
        found += [(Cause(Kind.MISCOUNT, axis, number=number),) for number in sorted(near) if number > 0]
        # Where the photograph shows another count it may be right, and its outer blocks cut as well.
        if not m.has_border(axis):
            found += [(Cause(Kind.MISCOUNT, axis, number=n), Cause(Kind.CUT, axis)) for n in sorted(told - {count})]
    for index, each in enumerate(m.lengths):
        if (
            each.along == axis
            and each.known is not Known.PHOTO
            and (each.what is not What.OVERALL or count is not None)
        ):
            found.append((Cause(Kind.FIGURE, axis, index),))
    return found
