"""Every kind of spot of a quilt: what it is called, how many are made, and the steps in which it is sewn."""

from __future__ import annotations

from collections.abc import Iterable

from seamlore.draft.exact.roots import above
from seamlore.draft.groups import Group, ways
from seamlore.draft.quilt import Quilt
from seamlore.draft.where import said
from seamlore.lengths import Length, show, show_size
from seamlore.sewing.steps import Method
from seamlore.sewing.top import Made, Top
from seamlore.sheets.pattern import SewnBlock
from seamlore.steps.sewing.pressing import block_pressing, pressing_reached
from seamlore.steps.sewing.step_words import drawn_steps

# Blocks with fabrics of their own that are named; more are told by the drawing.
_NAMED = 12


def block_names(top: Top, quilt: Quilt) -> tuple[str, ...]:
    """Give what each kind of spot of a quilt is called, no two the same.

    Examples
    --------
    >>> from seamlore.draft.catalogue import find
    >>> from seamlore.draft.repeated import repeated
    >>> from seamlore.draft.setting.setting import OnPoint
    >>> from seamlore.lengths import inches
    >>> from seamlore.sewing.top import sewn_top
    >>> four = repeated("q", find("nine patch"), inches(8), inches(8), 4, 4, setting=OnPoint("half blocks"))
    >>> block_names(sewn_top(four), four)
    ('The block', 'Half block', 'Quarter block')
    """
    alone = len(quilt.kinds) == 1
    found = [made.group for made in top.blocks]
    return tuple(
        f"{_bare_name(group, alone)}, {number} of {count} ways" if count > 1 else _bare_name(group, alone)
        for group, (number, count) in zip(found, ways(found), strict=True)
    )


def _bare_name(group: Group, alone: bool) -> str:
    called = f"{group.kind.block.name} ({group.kind.name})"
    words = {"half": "half block", "quarter": "quarter block", "part": "part of the block"}
    if group.role == "border":
        name = f"unit of the border, {called}"
    elif group.role == "border corner":
        name = f"corner of the border, {called}"
    elif alone:
        name = words.get(group.part, "the block")
    else:
        name = f"{words[group.part]}, {called}" if group.part in words else called
    return name[0].upper() + name[1:] + ", reversed" * group.reversed


def sewn_blocks(top: Top, quilt: Quilt, allowance: Length, method: Method = "machine") -> tuple[SewnBlock, ...]:
    """Say how each kind of spot is sewn, step by step, and how many are made.

    Parameters
    ----------
    top : Top
        From `sewing.top.sewn_top`.
    quilt : Quilt
    allowance : Length
        Seam allowance, in the unit that sizes are said in.
    method : {"machine", "hand", "papers"}

    Examples
    --------
    >>> from seamlore.draft.catalogue import find
    >>> from seamlore.draft.repeated import repeated
    >>> from seamlore.lengths import inches
    >>> from seamlore.sewing.top import sewn_top
    >>> four = repeated("q", find("four patch"), inches(8), inches(8), 2, 3)
    >>> (block,) = sewn_blocks(sewn_top(four), four, inches("1/4"))
    >>> block.said[0], [step.title for step in block.steps]
    ('8 in finished. Make 6.', ['Row 1', 'The block'])
    """
    names = block_names(top, quilt)
    return tuple(
        SewnBlock(
            name,
            (
                *_made_words(made, quilt),
                *pressing_reached(made, in_the_ditch=top.in_the_ditch),
                *block_pressing(made, top),
            ),
            made.group.kind.name,
            made.group.patches,
            made.group.labels,
            tuple(part.outline for part in made.group.parts),
            tuple(drawn_steps(made, allowance, method)),
        )
        for made, name in zip(top.blocks, names, strict=True)
    )


def _made_words(made: Made, quilt: Quilt) -> Iterable[str]:
    group = made.group
    # A diagonal comes out a hair beside a tape mark; it is shown on one.
    wide, high = (Length(above(side), quilt.unit) for side in group.size)
    size = show(wide) if wide == high else show_size(wide, high)
    if not made.steps:
        (label,) = dict.fromkeys(group.labels)
        yield f"One piece of cloth, {label} of the cutting list, {size} finished. {made.count} of them."
    else:
        yield f"{size} finished. Make {made.count}."
    if group.reversed:
        cut = "pieces marked r are cut reversed" if any(label.endswith("r") for label in group.labels) else ""
        yield f"These are mirror images of the block as drawn: {cut or 'their patches go round the other way'}."
    own = [spot for spot in group.spots if spot.own]
    if own:
        listed = "; ".join(
            f"{said(spot.where.row, spot.where.column)}: {', '.join(f'{letter} {name}' for letter, name in spot.own)}"
            for spot in own[:_NAMED]
        )
        more = f"; and {len(own) - _NAMED} more, as the drawing of the quilt shows" if len(own) > _NAMED else ""
        yield f"{len(own)} of them {'has' if len(own) == 1 else 'have'} fabrics of {'its' if len(own) == 1 else 'their'} own. {listed}{more}."
