"""What a cause does to the measurements: how each of them hangs on the unknowns if some causes hold."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np

from seamlore.study.causes import Causes, Kind, of_kind, true_count
from seamlore.study.fit import Model
from seamlore.study.measured import AXES, SIDES, Axis, Known, Measurement, Side, What
from seamlore.study.measurements import Measurements

# Blocks of one quilt differ among themselves by about this much, one standard deviation; judgement.
UNEVEN_IN = 1 / 16


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
    >>> from seamlore.study.causes import Cause
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
