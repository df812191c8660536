"""Why the sums may not come out: each cause, how likely it is beforehand, and what it does to the measurements."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from enum import Enum
from itertools import product
from math import log

import numpy as np

from seamlore.study.fit import Model
from seamlore.study.measured import AXES, SIDES, Along, Axis, Known, Measurement, Side, What
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

# Blocks of one quilt differ among themselves by about this much, one standard deviation; judgement.
UNEVEN_IN = 1 / 16


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


def row(m: Measurements, causes: Causes, each: Measurement) -> tuple[dict[str, float], float] | None:
    """Say how one measurement hangs on the unknowns if `causes` hold.

    Returns
    -------
    coefficients : dict of str to float
        On each unknown, by name; inches, or shares of one.
    constant : float
        Inches.
        None instead of both when the measurement says nothing (an overall size without a count).
    """
    axis = _axis(each)
    n = true_count(m, causes, axis)
    block, sashing = m.size_name(What.BLOCK, axis), m.size_name(What.SASHING, axis)
    outer = m.outer_sashing or of_kind(causes, Kind.OUTER_SASHING)
    by_hand = each.known is not Known.PHOTO
    on: dict[str, float] = {}
    constant = 0.0
    stretch = each.value_in
    match each.what:
        case What.BLOCK:
            on[block] = 1.0
            if by_hand and of_kind(causes, Kind.UNFINISHED):
                constant = 2 * m.seam_allowance.inches_float
            seams, stretch = (0, 0.0) if by_hand else (2, stretch)
        case What.SASHING:
            on[sashing] = 1.0
            if by_hand and of_kind(causes, Kind.SASHING_UNFINISHED):
                constant = 2 * m.seam_allowance.inches_float
            seams, stretch = (0, 0.0) if by_hand else (2, stretch)
        case What.SPAN:
            on[block] = float(each.blocks)
            if m.has_sashing(axis):
                on[sashing] = float(each.sashings)
            seams = 2 * each.blocks + (2 * each.sashings if m.has_sashing(axis) else 0)
        case What.OUTER:
            on[block] = 1.0
            seams = 2
            _edge(m, causes, on, axis, _side(each), sashing if outer else "")
        case What.EDGE:
            seams = 0
            _edge(m, causes, on, axis, _side(each), sashing if outer else "")
        case What.BORDER:
            side = each.side or SIDES[axis][0]
            # Told of all four sides, it is the width at those for which nothing else is said.
            name = "border" if each.along == "both" else border_there(m, causes, side)
            if name:
                on[name] = 1.0
            seams = 0
        case What.OVERALL:
            if n is None:
                return None
            gaps = (n - 1 + 2 * outer) if m.has_sashing(axis) else 0
            # On point the quilt is measured along the diagonals of its blocks.
            slant = 2**0.5 if m.on_point else 1.0
            on[block] = n * slant
            if gaps:
                on[sashing] = gaps * slant
            seams = 2 * n + 2 * gaps
            for side in SIDES[axis]:
                _edge(m, causes, on, axis, side, "")
            if of_kind(causes, Kind.UNTOLD, axis):
                on[f"rest {axis}"] = 1.0
    if of_kind(causes, Kind.STRETCHED) and each.along == axis:
        on["stretch"] = each.value_in / 2 * (1 if axis == "down" else -1)
    if of_kind(causes, Kind.WIDE_SEAMS) and seams:
        on["seam"] = -float(seams)
    if of_kind(causes, Kind.SHRUNK) and stretch:
        on["draw"] = -stretch
    return on, constant


def _side(each: Measurement) -> Side:
    return each.side or SIDES[_axis(each)][0]


def _axis(each: Measurement) -> Axis:
    """Along which axis a measurement is accounted for; one that holds both ways, across."""
    return "down" if each.along == "down" else "across"


def border_there(m: Measurements, causes: Causes, side: Side) -> str:
    """Name of the border's width at a side if `causes` hold; empty where there is no border."""
    axis: Axis = "across" if side in SIDES["across"] else "down"
    name = m.border_name(side)
    # A side with a measurement of its own is known; one that is taken to be as all others are may not be so.
    return f"border {axis}" if of_kind(causes, Kind.BORDER, axis) and name in ("", "border") else name


def _edge(m: Measurements, causes: Causes, on: dict[str, float], axis: Axis, side: Side, outer: str) -> None:
    """Add what lies beyond the outermost block at one side, or what is cut off it."""
    if outer:
        on[outer] = on.get(outer, 0.0) + 1.0
    name = border_there(m, causes, side)
    if name:
        on[name] = on.get(name, 0.0) + 1.0
    if of_kind(causes, Kind.CUT, axis):
        on[f"cut {side}"] = -1.0


def models(m: Measurements, accounts: Sequence[Causes]) -> list[Model]:
    """Put the measurements into one problem for each explanation, as its causes see them.

    Examples
    --------
    >>> from seamlore.lengths import inches
    >>> from seamlore.study.measured import taken
    >>> from seamlore.study.measurements import measurements
    >>> m = measurements([taken(What.OVERALL, inches(74), "across"), taken(What.BLOCK, inches(8))], columns=7)
    >>> [model.slips for model in models(m, [(), (Cause(Kind.CUT, "across"),)])]
    [(), ('cut left', 'cut right')]
    """
    # What a measurement hangs on is the same for all explanations with the same causes along its axis.
    known: dict[tuple[Axis, Causes], list[_Row]] = {}
    found = []
    for causes in accounts:
        rows: list[_Row] = []
        for axis in AXES:
            bearing = tuple(each for each in causes if each.kind is not Kind.FIGURE and each.holds(axis))
            if (axis, bearing) not in known:
                known[axis, bearing] = list(_rows(m, bearing, axis))
            rows += known[axis, bearing]
        found.append(_model(m, causes, sorted(rows, key=lambda each: each[0])))
    return found


# Which measurement, its coefficients, its value less all constants, and its standard uncertainty, in inches.
_Row = tuple[int, dict[str, float], float, float]


def _rows(m: Measurements, causes: Causes, axis: Axis) -> Iterator[_Row]:
    for index, each in enumerate(m.lengths):
        made = row(m, causes, each) if _axis(each) == axis else None
        if made is None:
            continue
        on, constant = made
        blocks = on.get(m.size_name(What.BLOCK, "across"), on.get(m.size_name(What.BLOCK, "down"), 0.0))
        sigma = (each.sigma_in**2 + (UNEVEN_IN**2) * max(blocks, 1.0)) ** 0.5
        yield index, on, each.value_in - constant, sigma


def _model(m: Measurements, causes: Causes, rows: list[_Row]) -> Model:
    wrong = {cause.figure for cause in causes if cause.kind is Kind.FIGURE}
    rows = [(index, on | {"slip": 1.0} if index in wrong else on, value, sigma) for index, on, value, sigma in rows]
    names = list(dict.fromkeys(name for _, on, _, _ in rows for name in on))
    sizes = tuple(name for name in names if name.split()[0] in ("block", "sashing"))
    slips = tuple(name for name in names if name not in sizes)
    spreads = [_spread(m, causes, name) for name in slips]
    return Model(
        sizes,
        slips,
        np.array([scale for scale, _ in spreads]),
        np.array([positive for _, positive in spreads], dtype=bool),
        np.array([[on.get(name, 0.0) for name in sizes] for _, on, _, _ in rows]).reshape(len(rows), len(sizes)),
        np.array([[on.get(name, 0.0) for name in slips] for _, on, _, _ in rows]).reshape(len(rows), len(slips)),
        np.array([value for _, _, value, _ in rows]),
        np.array([sigma for _, _, _, sigma in rows]),
    )


def _spread(m: Measurements, causes: Causes, name: str) -> tuple[float, bool]:
    """How large an unknown is expected to be (inches, or a share), and whether it cannot be below 0."""
    word = name.split()[0]
    if word == "cut":
        sizes = [each.value_in for each in m.lengths if each.what is What.BLOCK]
        return max(sizes, default=8.0) / 4, True
    if word == "border":
        return 6.0, True
    if word == "rest":
        # What is not told at all (strips, alternate blocks) may be a large part of the whole.
        return 0.25 * max(each.value_in for each in m.lengths if each.what is What.OVERALL), False
    if word == "stretch":
        # As much as quilting and washing draw cotton in, 3 to 5 in 100, when they do it one way only; judgement.
        return 0.03, False
    if word == "seam":
        # Four seams each 1/8 in off are half an inch (a maxim of quilting teachers); half of that is usual.
        return 1 / 16, True
    if word == "draw":
        # Quilting and washing draw cotton in by 3 to 5 in 100 (trade figures of batting makers).
        return 0.03, True
    figure = next(cause.figure for cause in causes if cause.kind is Kind.FIGURE)
    return max(1.0, 0.04 * m.lengths[figure].value_in), False


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
    for index, each in enumerate(m.lengths):
        if each.along == axis and each.known is not Known.PHOTO and row(m, (), each) is not None:
            found.append((Cause(Kind.FIGURE, axis, index),))
    return found
