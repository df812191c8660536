"""From as found to as drafted: the exact quilt that the maker pieced, uncropped."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from fractions import Fraction
from math import sqrt

from seamlore.draft.block import Block
from seamlore.draft.border import Border, border
from seamlore.draft.quilt import Quilt, Sashing
from seamlore.draft.setting.setting import STRAIGHT, Cut, OnPoint
from seamlore.draft.unread import not_read_words
from seamlore.errors import MeasureError
from seamlore.lengths import Length, in_unit
from seamlore.photo.reading import Reading
from seamlore.study.adjustment import Adjustment, Explanation
from seamlore.study.left_over import left_over_words
from seamlore.study.measured import AXES, SIDES, Axis, Known, Side, What
from seamlore.study.seen_cells import drafted_cells
from seamlore.study.snapping import Snap, snap
from seamlore.study.unknowns import border_there


@dataclass(frozen=True, slots=True)
class Drafted:
    """A quilt drafted from what was found.

    Parameters
    ----------
    quilt : Quilt
        Uncropped, exact.
    snaps : tuple of Snap
        Every size and why it is what it is.
    notes : tuple of str
        What was assumed or left out on the way.
    as_found : Quilt
        The same quilt with its outer blocks cut as the explanation says; the same when nothing is cut.
    left_over : str
        What lies between the tape and the draft, and what it is put down to; empty when no size was measured.
    """

    quilt: Quilt
    snaps: tuple[Snap, ...]
    notes: tuple[str, ...]
    as_found: Quilt
    left_over: str = ""


def as_drafted(
    found: Adjustment,
    *,
    reading: Reading | None = None,
    explanation: Explanation | None = None,
    block_drawn: Block | None = None,
    name: str = "As drafted",
    told: Mapping[str, Length] | None = None,
) -> Drafted:
    """Draft the quilt that the measurements came from.

    Parameters
    ----------
    found : Adjustment
        The measurements and their explanations.
    reading : Reading, optional
        What the photograph shows: the kinds of blocks, which stands where, and how they lie.
    explanation : Explanation, optional
        Which account to follow; the likeliest when not given.
    block_drawn : Block, optional
        The block, from the catalogue or drawn by hand, instead of the commonest kind of the reading.
    name : str
        What the quilt is called.
    told : mapping of str to Length, optional
        Sizes that the user has decided: "block width", "block height", "block" for both; "sashing between
        columns", "sashing between rows", "sashing" for both; "border". They overrule what was found.

    Returns
    -------
    Drafted

    Raises
    ------
    MeasureError
        When rows, columns, the block or its size are not known, or a told size has an unknown name.

    Examples
    --------
    >>> from seamlore.draft.text.notation import read_block
    >>> from seamlore.lengths import inches
    >>> from seamlore.study.adjustment import adjust
    >>> from seamlore.study.measured import taken
    >>> from seamlore.study.measurements import measurements
    >>> said = [taken(What.OVERALL, inches(74), "across"), taken(What.BLOCK, inches(8)), taken(What.SASHING, inches(3))]
    >>> plain = read_block("block Plain\\nA light\\n\\nA")
    >>> drafted = as_drafted(adjust(measurements(said, columns=7, rows=2)), block_drawn=plain)
    >>> print(drafted.quilt)
    As drafted: 2 rows of 7 Plain, 74 in by 19 in
    >>> as_drafted(adjust(measurements(said, columns=7)), block_drawn=plain)
    Traceback (most recent call last):
        ...
    seamlore.errors.MeasureError: no count of rows: a draft needs rows and columns; ...
    """
    chosen = explanation or found.explanations[0]
    decided = dict(told or {})
    own = bool(decided)
    columns, rows = chosen.columns, chosen.rows
    if columns is None or rows is None:
        what = "columns" if columns is None else "rows"
        raise MeasureError(f"no count of {what}", "a draft needs rows and columns", f"count the {what}")
    wide, high = _pair(found, chosen, What.BLOCK, ("block width", "block height"), "block", decided)
    strips = _pair(
        found, chosen, What.SASHING, ("sashing between columns", "sashing between rows"), "sashing", decided
    )
    edges = _borders(found, chosen, decided)
    if decided:
        known = "block, block width, block height, sashing, sashing between columns, sashing between rows, border"
        raise MeasureError(f'a size for "{next(iter(decided))}"', f"sizes are told for {known}", "use one of these")
    if not wide.chosen or not high.chosen:
        raise MeasureError("no size of a block", "a draft needs it", "measure one block from seam to seam")
    notes: list[str] = []
    if block_drawn is None and (reading is None or not reading.kinds):
        if reading is not None and reading.blocks:
            raise MeasureError(
                "no block", "none of those on the photograph was read", "show how they are pieced, or name one"
            )
        raise MeasureError("no block", "a draft needs a block", "name one, draw one, or give a photograph")
    sashing = None
    if strips[0].chosen or strips[1].chosen:
        sashing = Sashing(strips[0].chosen, strips[1].chosen, outer=chosen.outer_sashing)
    setting = OnPoint() if found.measured.on_point else STRAIGHT
    kinds, cells = drafted_cells(setting, rows, columns, reading, block_drawn, notes)
    quilt = Quilt(
        name,
        kinds,
        cells,
        wide.chosen,
        high.chosen,
        sashing,
        _drafted_border(edges),
        setting=setting,
    )
    if quilt.not_read:
        notes.append(not_read_words(quilt))
    used = [wide, high, *(each for each in strips if each.found or each.chosen), *_border_snaps(edges)]
    first = left_over_words(found, chosen, quilt.finished_size, own=own)
    return Drafted(quilt, tuple(used), tuple(notes), replace(quilt, cut=_cut(chosen, quilt)), first)


def _drafted_border(edges: dict[Side, Snap]) -> tuple[Border, ...]:
    widths = {side: each.chosen for side, each in edges.items() if each.chosen}
    if not widths:
        return ()
    none = next(iter(widths.values())) * 0
    top, right, bottom, left = (widths.get(side, none) for side in ("top", "right", "bottom", "left"))
    return (border(none, top=top, right=right, bottom=bottom, left=left),)


def _cut(chosen: Explanation, quilt: Quilt) -> Cut | None:
    lost = dict(chosen.cut)
    zero = in_unit(0, quilt.unit)
    left, top, right, bottom = (max(lost.get(side, zero), zero) for side in ("left", "top", "right", "bottom"))
    # An edge that takes a whole block is a row or column that is not there; no picture can show it cut.
    fits = max(left, right) < quilt.block_width and max(top, bottom) < quilt.block_height
    straight = not isinstance(quilt.setting, OnPoint)
    return Cut(left, top, right, bottom) if straight and fits and any((left, top, right, bottom)) else None


def _pair(
    found: Adjustment,
    chosen: Explanation,
    what: What,
    names: tuple[str, str],
    both: str,
    decided: dict[str, Length],
) -> tuple[Snap, Snap]:
    """Snap a size both ways; a block that may be square is."""
    values = chosen.block if what is What.BLOCK else chosen.sashing
    word = both in decided
    told_both = decided.pop(both, None)
    made = []
    for axis, name, value in zip(AXES, names, values, strict=True):
        mean, spread = _posterior(found, chosen, found.measured.size_name(what, axis), value)
        told = decided.pop(name, told_both)
        made.append(snap(name, mean, spread, value, told=told))
    one, two = made
    if not word and one.chosen != two.chosen and one.known is two.known is Known.COMPUTED:
        common = [each for each in (one.chosen, *one.alternatives) if each in (two.chosen, *two.alternatives)]
        if common:
            reason = "one size both ways is within what was measured"
            one = replace(one, chosen=common[0], reason=reason, alternatives=_others(one, common[0]))
            two = replace(two, chosen=common[0], reason=reason, alternatives=_others(two, common[0]))
    return one, two


def _others(given: Snap, chosen: Length) -> tuple[Length, ...]:
    return tuple(each for each in (given.chosen, *given.alternatives) if each != chosen)


def _posterior(found: Adjustment, chosen: Explanation, name: str, value: Length) -> tuple[Length, Length]:
    """What the measurements come to for one unknown, and two standard uncertainties."""
    unit = found.measured.unit
    if name not in chosen.fit.names or not value:
        return value, in_unit(0, unit)
    at = chosen.fit.names.index(name)
    mean, spread = float(chosen.fit.mean[at]), sqrt(max(float(chosen.fit.spread[at, at]), 0.0))
    return Length(Fraction(mean).limit_denominator(10**6), unit), Length(
        Fraction(2 * spread).limit_denominator(10**6), unit
    )


def _borders(found: Adjustment, chosen: Explanation, decided: dict[str, Length]) -> dict[Side, Snap]:
    """How wide the border is drafted at each side: as taped, else as what is left over; the user's word overrules.

    Examples
    --------
    >>> from seamlore.lengths import inches
    >>> from seamlore.study.adjustment import adjust
    >>> from seamlore.study.measured import taken
    >>> from seamlore.study.measurements import measurements
    >>> said = [taken(What.BLOCK, inches(15)), taken(What.BORDER, inches("35/8"), "across")]
    >>> found = adjust(measurements([*said, taken(What.OVERALL, inches(88), "down")], columns=5, rows=5))
    >>> [(side, str(each.chosen)) for side, each in _borders(found, found.explanations[0], {}).items()]
    [('left', '4 3/8 in'), ('right', '4 3/8 in'), ('top', '6 1/2 in'), ('bottom', '6 1/2 in')]
    """
    m = found.measured
    zero = in_unit(0, m.unit)
    told, fitted = decided.pop("border", None), dict(chosen.border)
    made: dict[Side, Snap] = {}
    for axis in AXES:
        for side in SIDES[axis]:
            width = fitted.get(side)
            if width is None:
                if told is not None:
                    made[side] = snap("border", zero, zero, told, told=told)
                continue
            name, said = border_there(m, chosen.causes, side), m.border(side)
            taped = said is not None and said.known is not Known.PHOTO and name == m.border_name(side)
            mean, spread = _posterior(found, chosen, name, width)
            # A border is cut to what is left over; only where the photograph alone tells it, a friendlier mark will do.
            free = said is not None and not taped and m.said(What.OVERALL, axis) is None
            made[side] = snap("border", mean, spread, None if free else width, told=told)
    return made


def _border_snaps(edges: dict[Side, Snap]) -> list[Snap]:
    """The widths of the border, the same said once."""
    widths = {side: each.chosen for side, each in edges.items()}
    if len(set(widths.values())) == 1 and len(widths) == 4:
        return [edges["top"]]
    said = []
    names: tuple[tuple[Axis, str], ...] = (("across", "border at the sides"), ("down", "border at top and bottom"))
    for axis, where in names:
        sides = [side for side in SIDES[axis] if side in edges]
        if len(sides) == 2 and widths[sides[0]] == widths[sides[1]]:
            said.append(replace(edges[sides[0]], what=where))
        else:
            said += [replace(edges[side], what=f"border at the {side}") for side in sides]
    return said
