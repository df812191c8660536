"""Foundation piecing in words: on how few foundations a block is sewn, and in which order."""

from __future__ import annotations

from collections.abc import Sequence

from seamlore.lengths import Length, Unit, in_unit, inches, on_mark, show_seam, show_size
from seamlore.sewing.foundation import SPARE_IN, Foundations, Section, alike_sections, foundations
from seamlore.sewing.top import Made
from seamlore.sheets.pattern import BlockFoundation
from seamlore.steps.words import listed

# Of larger blocks nobody prints foundations; the search for few sections takes long there.
_PIECES = 40
# With more than so many unlike ones a block is sewn sooner from cut pieces: common practice, no source.
_SECTIONS = 8
# Rough pieces are cut by coarse marks, upward.
QUARTER_MARK = {Unit.INCH: inches("1/4"), Unit.CM: in_unit("0.5", Unit.CM)}


def block_foundation(made: Made, name: str, allowance: Length) -> BlockFoundation | None:
    """Work out foundations for one kind of spot, where they are of use.

    Parameters
    ----------
    made : Made
    name : str
        What it is called.
    allowance : Length
        In the unit that sizes are said in.

    Returns
    -------
    BlockFoundation or None
        None for fewer than three pieces, for many, and for more than eight unlike sections; and for squares and strips in
        rows, which are sewn sooner without. Of several sections those are printed that hold anything slanted.

    Examples
    --------
    >>> from seamlore.draft.catalogue import find
    >>> from seamlore.draft.repeated import repeated
    >>> from seamlore.lengths import inches
    >>> from seamlore.sewing.top import sewn_top
    >>> def made_of(name):
    ...     return sewn_top(repeated("q", find(name), inches(6), inches(6), 1, 1)).blocks[0]
    >>> block_foundation(made_of("nine patch"), "The block", inches("1/4")) is None
    True
    >>> found = block_foundation(made_of("square in a square"), "The block", inches("1/4"))
    >>> print(*found.said, sep="\\n")
    One foundation is enough, sewn in the order B1 (1), A1 (2), A1 (3), A1 (4) and A1 (5).
    Rough pieces, 1/4 in to spare all round (common practice, no source): B1 5 1/4 x 5 1/4 in and A1 5 1/4 x 3 1/4 in.
    """
    group = made.group
    if made.method != "machine" or not 3 <= len(group.parts) <= _PIECES:
        return None
    found = foundations([part.outline for part in group.parts], allowance)
    kinds = alike_sections(found.sections, group.labels)
    printed = tuple(
        alike for alike in kinds if len(alike[0].patches) > 1 and (alike[0].slanted or len(found.sections) == 1)
    )
    if not 1 <= len(printed) <= _SECTIONS or max(len(alike[0].patches) for alike in printed) < 3:
        return None
    said = _said(found, kinds, printed, group.labels)
    return BlockFoundation(name, group.labels, found, said, printed, group.part == "whole")


def _said(
    found: Foundations,
    kinds: Sequence[tuple[Section, ...]],
    printed: Sequence[tuple[Section, ...]],
    labels: Sequence[str],
) -> tuple[str, str]:
    if len(found.sections) == 1:
        said = f"One foundation is enough, sewn in the order {_order(found.sections[0], labels)}."
    else:
        fewest = ", no fewer" if found.fewest else ""
        each = " ".join(_kind(alike, alike in printed, labels) for alike in kinds)
        said = f"{len(found.sections)} sections{fewest}. {each} {_joined(found)}"
    return said, _rough([alike[0] for alike in printed], labels)


def _kind(alike: tuple[Section, ...], printed: bool, labels: Sequence[str]) -> str:
    """What sections that are alike hold, and whether they are sewn on a foundation."""
    names = listed([section.name for section in alike])
    if printed:
        both = " alike" if len(alike) > 1 else ""
        return f"{names}{both}: {_order(alike[0], labels)}."
    held = listed(list(dict.fromkeys(labels[piece] for piece in alike[0].pieces)))
    alone = len(alike[0].patches) == 1
    return f"{names}: {held}{' alone' if alone else ', sewn sooner without a foundation'}."


def _order(section: Section, labels: Sequence[str]) -> str:
    return listed([f"{labels[each.piece]} ({each.number})" for each in section.patches])


def _joined(found: Foundations) -> str:
    straight = all(step.manner == "straight" for step in found.joins)
    seams = sum(len(step.seams) * step.count for step in found.joins)
    if straight:
        return "Join them by a straight seam." if seams == 1 else f"Join them by {seams} straight seams."
    return "No seam from edge to edge divides them: the last is set in, or joined by a partial seam."


def _rough(sections: Sequence[Section], labels: Sequence[str]) -> str:
    """How large rough pieces are cut: the largest that any piece of one label needs."""
    sizes: dict[str, tuple[Length, Length]] = {}
    for section in sections:
        for each in section.patches:
            label = labels[each.piece]
            wide, high = sizes.get(label, each.rough)
            sizes[label] = max(wide, each.rough[0], key=_inches), max(high, each.rough[1], key=_inches)
    listed_sizes = listed([f"{label} {_size(size)}" for label, size in sizes.items()])
    (unit,) = {side.unit for size in sizes.values() for side in size}
    spare = show_seam(Length(SPARE_IN, unit))
    return f"Rough pieces, {spare} to spare all round (common practice, no source): {listed_sizes}."


def _size(size: tuple[Length, Length]) -> str:
    wide, high = (on_mark(side, "up", QUARTER_MARK[side.unit]) for side in size)
    return show_size(wide, high)


def _inches(size: Length) -> float:
    return size.inches_float
