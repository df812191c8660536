"""What to measure next: the one tape measurement that would best tell the leading explanations apart."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from math import log2, pi, sqrt

import numpy as np

from seamlore.lengths import Length, Unit, in_unit, inches, show
from seamlore.study.accounts import about
from seamlore.study.adjustment import Adjustment, Explanation
from seamlore.study.causes import Kind, of_kind
from seamlore.study.measured import AXES, READINGS, SIDES, Axis, Measurement, What, in_words, taken
from seamlore.study.measurements import Measurements
from seamlore.study.unknowns import UNEVEN_IN, row

# What an arm and an ordinary cloth tape reach; custom, no source.
_REACH = {Unit.INCH: inches(60), Unit.CM: in_unit(150, Unit.CM)}
# How many explanations are weighed and named.
_MOST = 6


@dataclass(frozen=True, slots=True)
class NextMeasure:
    """One measurement worth taking.

    Parameters
    ----------
    measure : Measurement
        What to measure; its value is what the likeliest explanation predicts.
    predicts : tuple of (Explanation, Length)
        What each leading explanation says that the tape will show, likeliest first.
    outcomes : tuple of (Length, tuple of str)
        What the tape may show, and which causes that would speak for; each cause once.
    bits : float
        Expected information about which explanation holds, in bits.
    text : str
        The request in words.
    """

    measure: Measurement
    predicts: tuple[tuple[Explanation, Length], ...]
    outcomes: tuple[tuple[Length, tuple[str, ...]], ...]
    bits: float
    text: str

    def __str__(self) -> str:
        return self.text


def next_measure(found: Adjustment) -> NextMeasure | None:
    """Choose the tape measurement that would tell most about which explanation holds.

    Parameters
    ----------
    found : Adjustment
        Explanations and how far each is believed.

    Returns
    -------
    NextMeasure or None
        None when one explanation stands almost alone, or when no measurement on offer tells them apart.

    Examples
    --------
    >>> from seamlore.study.adjustment import adjust
    >>> from seamlore.study.measurements import measurements
    >>> said = [taken(What.OVERALL, inches("70.5"), "across"), taken(What.BLOCK, inches(8)), taken(What.SASHING, inches(3))]
    >>> print(next_measure(adjust(measurements(said, columns=7))))  # doctest: +ELLIPSIS
    Measure same edge to same edge over four blocks, across, leaving the outermost blocks out: 44 in if the outer blocks
    are cut, 42 in if the block was measured unfinished...
    >>> said[0] = taken(What.OVERALL, inches(74), "across")
    >>> next_measure(adjust(measurements(said, columns=7))) is None
    True
    """
    leading = found.explanations[:_MOST]
    if leading[0].weight >= 0.95 or len(leading) < 2:
        return None
    weighed = [(_information(found, leading, each), each) for each in _offers(found)]
    weighed = [each for each in weighed if each[0] >= 0.05]
    if not weighed:
        return None
    # Of two that tell as much, a border is laid bare before the eye.
    weighed.sort(key=lambda each: (round(each[0], 1), each[1].what is What.BORDER, each[0]), reverse=True)
    for bits, best in weighed:
        predicts = tuple((each, _shown(found, each, best)) for each in leading)
        outcomes = _outcomes(best, predicts, found.measured)
        # What would show the same whichever holds is not worth the way to the quilt.
        if len(outcomes) > 1:
            return NextMeasure(best, predicts, outcomes, bits, _text(best, outcomes))
    return None


def _offers(found: Adjustment) -> Iterator[Measurement]:
    """Every measurement that could be asked for. A block or sashing is not asked for again: whoever measured it
    unfinished would do so again."""
    m, top = found.measured, found.explanations[0]
    for axis, pitch in zip(AXES, zip(top.block, top.sashing, strict=True), strict=True):
        count = m.count(axis)
        if count is None:
            continue
        # From inner block to inner block, so that it says nothing about the edge and all about the inside.
        one = pitch[0] + pitch[1]
        blocks = min(count - 3, int(_REACH[m.unit].inches / one.inches)) if one.inches > 0 else 0
        if m.on_point and axis == "down":
            continue  # rows of blocks run aslant; one span serves for both ways
        if blocks >= 1 or count == 3:
            over = max(blocks, 1)
            yield taken(
                What.SPAN,
                one * over,
                "both" if m.on_point else axis,
                blocks=over,
                sashings=over if pitch[1] else 0,
            )
        for side in SIDES[axis] if not m.on_point else ():
            if not any(each.what is What.OUTER and each.side == side for each in m.lengths):
                yield taken(What.OUTER, pitch[0], axis, side=side)
        yield from _borders(found, axis)
        whole = m.said(What.OVERALL, axis)
        if whole is not None and len(whole.readings) < READINGS:
            yield taken(What.OVERALL, whole.value, axis)


def _borders(found: Adjustment, axis: Axis) -> Iterator[Measurement]:
    """A border that the photograph shows, or that an account speaks of, where no tape was laid on it."""
    m, side = found.measured, SIDES[axis][0]
    leading = found.explanations[:_MOST]
    # From the blocks to the edge lies sashing too where it may run round the outside.
    if any(of_kind(each.causes, Kind.OUTER_SASHING) for each in leading):
        return
    if any(line.what is What.BORDER and line.along == axis for line in m.lengths):
        return
    widths = [width for each in leading if (width := dict(each.border).get(side))]
    if widths:
        yield taken(What.BORDER, widths[0], axis, side=side)


def _predict(found: Adjustment, each: Explanation, measure: Measurement) -> tuple[float, float, float]:
    """What an explanation predicts for a measurement, in inches: likeliest value, mean, standard deviation."""
    made = row(found.measured, each.causes, measure)
    assert made is not None  # offers are made only where blocks were counted
    best, mean, spread = each.fit.predict(*made)
    blocks = max(measure.blocks, 1)
    return best, mean, sqrt(spread**2 + measure.sigma_in**2 + blocks * UNEVEN_IN**2)


def _shown(found: Adjustment, each: Explanation, measure: Measurement) -> Length:
    """What an explanation predicts, as its own sentence has it."""
    lost = dict(each.cut)
    if measure.what is What.OVERALL:
        if any(cause.kind is Kind.UNTOLD and cause.along == measure.along for cause in each.causes):
            return measure.value
        for cause in each.causes:
            wrong = found.measured.lengths[cause.figure]
            if cause.kind is Kind.FIGURE and (wrong.what, wrong.along) == (What.OVERALL, measure.along):
                return about(wrong.value_in - each.fit.best["slip"], found.measured.unit)
    if measure.what is What.BORDER and measure.side:
        return dict(each.border).get(measure.side, in_unit(0, found.measured.unit))
    if measure.what is What.OUTER and measure.side in lost and not each.outer_sashing:
        return each.block[0 if measure.along == "across" else 1] - lost[measure.side]
    return about(_predict(found, each, measure)[0], found.measured.unit)


def _information(found: Adjustment, leading: tuple[Explanation, ...], measure: Measurement) -> float:
    """Mutual information, in bits, between which explanation holds and what the tape will show."""
    weights = np.array([each.weight for each in leading])
    weights = weights / weights.sum()
    told = [_predict(found, each, measure)[1:] for each in leading]
    means, spreads = np.array([mean for mean, _ in told]), np.array([spread for _, spread in told])
    low, high = float((means - 5 * spreads).min()), float((means + 5 * spreads).max())
    at = np.linspace(low, high, 2001)
    each = np.exp(-0.5 * ((at - means[:, None]) / spreads[:, None]) ** 2) / (spreads[:, None] * sqrt(2 * pi))
    mixed = weights @ each
    safe = np.maximum(mixed, 1e-300)
    entropy = float(-(mixed * np.log2(safe)).sum() * (at[1] - at[0]))
    within = sum(w * (0.5 * log2(2 * pi * np.e) + log2(s)) for w, s in zip(weights, spreads, strict=True))
    return entropy - float(within)


def short_name(each: Explanation, measured: Measurements) -> str:
    """Name an explanation in a few words, to follow "if".

    Examples
    --------
    >>> from seamlore.study.adjustment import adjust
    >>> from seamlore.study.measurements import measurements
    >>> said = [taken(What.OVERALL, inches(74), "across"), taken(What.BLOCK, inches(8)), taken(What.SASHING, inches(3))]
    >>> m = measurements(said, columns=7)
    >>> short_name(adjust(m).explanations[0], m)
    'the sums are right as they stand'
    """
    return " and ".join(_names(each, measured))


def _names(each: Explanation, measured: Measurements) -> tuple[str, ...]:
    names: list[str] = []
    for cause in each.causes:
        match cause.kind:
            case Kind.CUT:
                both = sum(one.kind is Kind.CUT for one in each.causes) == 2
                where = "" if both or not _both_ways(measured) else _AT[cause.along]
                names.append(f"the outer blocks are cut{where}")
            case Kind.MISCOUNT:
                names.append(f"there are {in_words(cause.number)} {'columns' if cause.along == 'across' else 'rows'}")
            case Kind.FIGURE:
                names.append(f"{measured.lengths[cause.figure].name} was misread")
            case Kind.BORDER:
                both = sum(one.kind is Kind.BORDER for one in each.causes) == 2
                where = "" if both or not _both_ways(measured) else _AT[cause.along]
                axis: Axis = "down" if cause.along == "down" else "across"
                known = any(measured.border_name(side) for side in SIDES[axis])
                names.append(f"{'the border is another' if known else 'there is a border'}{where}")
            case Kind.UNTOLD:
                names.append(f"something else is behind the {'length' if cause.along == 'down' else 'width'}")
            case kind:
                names.append(kind.value)
    return tuple(dict.fromkeys(names)) or ("the sums are right as they stand",)


_AT = {"across": " at the sides", "down": " at top and bottom", "both": ""}


def _both_ways(measured: Measurements) -> bool:
    """Whether both directions were measured, so that a cause at the edge must say where."""
    return all(measured.said(What.OVERALL, axis) is not None for axis in AXES)


# How many predictions are told: more than these no one keeps in mind at the quilt.
_TOLD = 4
# And how many causes are named for one of them.
_NAMED = 2


def _outcomes(
    measure: Measurement, predicts: tuple[tuple[Explanation, Length], ...], measured: Measurements
) -> tuple[tuple[Length, tuple[str, ...]], ...]:
    """What the tape may show, and what each would mean; no cause is named twice, nor two values a tape cannot part."""
    told: dict[Length, list[str]] = {}
    offered: list[frozenset[str]] = []
    least = predicts[0][0].weight / 20
    for index, (each, value) in enumerate(predicts):
        names = frozenset(_names(each, measured))
        again = any(names >= before for before in offered)
        near = next((known for known in told if abs(known - value) <= measure.tolerance), None)
        few = index <= 1 or len(told) < 2
        if again or (not few and (each.weight < least or (near is None and len(told) >= _TOLD))):
            continue
        offered.append(names)
        means = told.setdefault(value if near is None else near, [])
        if len(means) < _NAMED:
            means.append(short_name(each, measured))
    return tuple((value, tuple(names)) for value, names in told.items())


def asked_for(measure: Measurement) -> str:
    """Say what to measure so that it can be followed with a tape."""
    match measure.what:
        case What.SPAN:
            return f"{measure.name}, leaving the outermost blocks out"
        case What.OVERALL:
            return f"{measure.name} once more"
        case What.BORDER:
            return f"{measure.name}, from the seam of the outermost blocks to the edge of the quilt"
    return measure.name


def _text(measure: Measurement, outcomes: tuple[tuple[Length, tuple[str, ...]], ...]) -> str:
    said = [f"{show(value) if value else 'none'} if {' or '.join(names)}" for value, names in outcomes]
    return f"Measure {asked_for(measure)}: {', '.join(said)}."
