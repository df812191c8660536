"""What is left over between the quilt as found and as drafted, and what it is put down to."""

from __future__ import annotations

from dataclasses import dataclass

from seamlore.lengths import Length, in_unit, show, show_size
from seamlore.study.adjustment import Adjustment, Explanation
from seamlore.study.causes import Kind, of_kind
from seamlore.study.measured import AXES, SIDES, Axis, What

_OWN = "sizes of your own"
_CUT = "what is cut off or folded in"
_CLOTH = "quilting, washing or stretch"
_PUT_DOWN_TO = (
    (Kind.UNTOLD, "something that is not told"),
    (Kind.FIGURE, "a figure that was misread"),
    (Kind.WIDE_SEAMS, "seams taken wide"),
    (Kind.SHRUNK, "quilting and washing"),
    (Kind.STRETCHED, _CLOTH),
)


@dataclass(frozen=True, slots=True)
class LeftOver:
    """What the draft has more than the quilt, or less, along one axis.

    Parameters
    ----------
    along : {"across", "down"}
        Width or length.
    found, drafted : Length
        By tape; as drafted.
    put_down_to : tuple of (str, Length)
        What makes up the difference; empty where a tape shows none.
    """

    along: Axis
    found: Length
    drafted: Length
    put_down_to: tuple[tuple[str, Length], ...]

    @property
    def more(self) -> Length:
        """How much larger the draft is; less than 0 when it is smaller."""
        return self.drafted - self.found

    @property
    def said(self) -> str:
        """Such as "3 1/2 in more in the width"."""
        where = "width" if self.along == "across" else "length"
        return f"{show(abs(self.more))} {'more' if self.more.inches > 0 else 'less'} in the {where}"

    @property
    def reasons(self) -> str:
        """What it is put down to, each with its part where there are several."""
        if len(self.put_down_to) == 1:
            return f"put down to {self.put_down_to[0][0]}"
        parts = [
            f"{show(abs(part))} {'less ' * ((part.inches > 0) != (self.more.inches > 0))}to {reason}"
            for reason, part in self.put_down_to
        ]
        return f"put down to several things: {' and '.join(parts)}"


def left_over(
    found: Adjustment,
    chosen: Explanation,
    size: tuple[Length, Length],
    *,
    own: bool = False,
    before: tuple[Length, Length] | None = None,
) -> tuple[LeftOver, ...]:
    """Compare a draft with the tape.

    Parameters
    ----------
    found : Adjustment
        What was measured.
    chosen : Explanation
        The account that the draft follows.
    size : tuple of Length
        Width and length of the draft.
    own : bool
        Whether its sizes are the user's own, so that none of them is put down to anything else.
    before : tuple of Length, optional
        Width and length that it had before the user said some of its sizes; what lies between is put down to these.

    Returns
    -------
    tuple of LeftOver
        For each direction that was measured.
    """
    made = []
    for axis, drafted, first in zip(AXES, size, before or size, strict=True):
        whole = found.measured.said(What.OVERALL, axis)
        if whole is None:
            continue
        zero = in_unit(0, whole.value.unit)
        more = drafted - whole.value
        cut = sum((lost for side, lost in chosen.cut if side in SIDES[axis]), zero)
        why = next((said for kind, said in _PUT_DOWN_TO if of_kind(chosen.causes, kind, axis)), _CLOTH)
        parts = [(_CUT, cut), (why, more - cut - (drafted - first)), (_OWN, drafted - first)]
        parts = [(_OWN, more)] if own else parts
        shown = tuple((reason, part) for reason, part in parts if show(abs(part)) != show(zero))
        made.append(LeftOver(axis, whole.value, drafted, shown))
    return tuple(made)


def left_over_words(
    found: Adjustment,
    chosen: Explanation,
    size: tuple[Length, Length],
    *,
    own: bool = False,
    before: tuple[Length, Length] | None = None,
) -> str:
    """Say in one sentence how large the quilt is, how large its draft, and what the difference is put down to.

    Examples
    --------
    >>> from seamlore.lengths import inches
    >>> from seamlore.study.adjustment import adjust
    >>> from seamlore.study.measured import taken
    >>> from seamlore.study.measurements import measurements
    >>> said = [taken(What.OVERALL, inches(70), "across"), taken(What.OVERALL, inches(74), "down")]
    >>> found = adjust(measurements([*said, taken(What.BLOCK, inches("14.5"))], columns=5, rows=5))
    >>> print(left_over_words(found, found.explanations[0], (inches("72.5"), inches("72.5"))))
    By tape 70 x 74 in, drafted 72 1/2 x 72 1/2 in: 2 1/2 in more in the width and 1 1/2 in less in the length, put
    down to quilting, washing or stretch.
    """
    both = left_over(found, chosen, size, own=own, before=before)
    if not both:
        return ""
    by_tape = (
        show_size(both[0].found, both[1].found)
        if len(both) == 2
        else f"{show(both[0].found)} {'wide' if both[0].along == 'across' else 'long'}"
    )
    off = [each for each in both if each.put_down_to]
    if not off:
        return f"Drafted as the tape has it: {by_tape}."
    if len(off) == 2 and len(off[0].put_down_to) == 1 and off[0].reasons == off[1].reasons:
        told = f"{off[0].said} and {off[1].said}, {off[0].reasons}"
    else:
        told = "; ".join(f"{each.said}, {each.reasons}" for each in off)
    return f"By tape {by_tape}, drafted {show_size(*size)}: {told}."
