"""What a measurement that was just typed says to the sums as they stood before it."""

from __future__ import annotations

from math import sqrt

from seamlore.lengths import Length, show
from seamlore.study.accounts import about
from seamlore.study.adjustment import Adjustment, Explanation
from seamlore.study.measured import Known, Measurement, What
from seamlore.study.next_measure import short_name
from seamlore.study.unknowns import UNEVEN_IN, row

# How many accounts of before are asked what they expected.
_ASKED = 6
_NEAR = 2.0


def answered(before: Adjustment, after: Adjustment) -> tuple[str, ...]:
    """Answer each length and count that is new, before anything else is said.

    Parameters
    ----------
    before, after : Adjustment
        The sums without what was typed, and with it.

    Examples
    --------
    >>> from seamlore.lengths import inches
    >>> from seamlore.study.adjustment import adjust
    >>> from seamlore.study.measured import What, taken
    >>> from seamlore.study.measurements import measurements
    >>> said = [taken(What.OVERALL, inches(50), "across"), taken(What.BLOCK, inches(6))]
    >>> before = adjust(measurements(said, columns=7))
    >>> after = adjust(measurements([*said, taken(What.BORDER, inches(4), "across", side="left")], columns=7))
    >>> answered(before, after)
    ('The border at the left is 4 in, as expected if there is a border.',)
    """
    lengths = [each for each in after.measured.lengths if each.known is not Known.PHOTO]
    new = [each for each in lengths if each not in before.measured.lengths]
    counts = [each for each in after.measured.counts if each.known is not Known.PHOTO]
    said = [_answer(before, each) for each in new]
    for each in counts:
        if each not in before.measured.counts:
            what = "columns" if each.along == "across" else "rows"
            seen = [
                one.number for one in after.measured.counts if one.along == each.along and one.known is Known.PHOTO
            ]
            beside = f", not the {seen[0]} of the photograph" if seen and seen[0] != each.number else ""
            said.append(f"The sums take {each.number} {what}{beside}.")
    return tuple(said)


def _answer(before: Adjustment, each: Measurement) -> str:
    value = show(each.value) if each.value else "none"
    said = f"{each.name[0].upper()}{each.name[1:]} is {value}"
    if each.what is What.OVERALL and _by_eye_alone(before, each):
        # A photograph taken aslant tells how long a quilt is for its width to a few in 100 at best: nothing to be wrong against.
        return f"{said}: taken into the sums."
    leading = before.explanations[:_ASKED]
    expected = [(one, *found) for one in leading if (found := _expected(before, one, each)) is not None]
    if not expected:
        return f"{said}: taken into the sums."
    near = [one for one, at, spread, _ in expected if abs(each.value_in - at) <= _NEAR * spread]
    if len(near) == len(leading):
        return f"{said}, as all explanations expected."
    if near:
        return f"{said}, as expected if {' or '.join(dict.fromkeys(short_name(one, before.measured) for one in near[:2]))}."
    likeliest = show(expected[0][3]) if expected[0][3] else "none"
    return f"{said}; no explanation expected that, the likeliest {likeliest}. Best measure it once more."


def _by_eye_alone(before: Adjustment, each: Measurement) -> bool:
    """Whether until now the photograph alone said how far the quilt goes this way: by tape only the other way was measured."""
    taped = [one for one in before.measured.lengths if one.known is not Known.PHOTO]
    return all(one.what is What.OVERALL and one.along != each.along for one in taped)


def _expected(before: Adjustment, one: Explanation, each: Measurement) -> tuple[float, float, Length] | None:
    """Mean and spread of what an account expected, in inches, and its likeliest value; None where it knew nothing."""
    made = row(before.measured, one.causes, each)
    if made is None or not set(made[0]) <= set(one.fit.names):
        return None
    best, mean, spread = one.fit.predict(*made)
    whole = sqrt(spread**2 + each.sigma_in**2 + max(each.blocks, 1) * UNEVEN_IN**2)
    return mean, whole, about(max(best, 0.0), before.measured.unit)
