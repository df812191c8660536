"""For whom a pattern is, and why: common practice, no source."""

from __future__ import annotations

from fractions import Fraction

from seamlore.draft.exact.roots import above
from seamlore.draft.pieces import pieces
from seamlore.draft.quilt import Quilt
from seamlore.lengths import Length, Unit, in_unit, inches, show
from seamlore.making.shapes import shape_of
from seamlore.sewing.top import Top

# What asks for practice: finished sides below this, and more pieces to a block than that.
_SMALL = {Unit.INCH: inches("1"), Unit.CM: in_unit("2.5", Unit.CM)}
_MANY = 40


def difficulty(quilt: Quilt, top: Top) -> str:
    """Say for whom a quilt is, with the reasons.

    Examples
    --------
    >>> from seamlore.draft.catalogue import find
    >>> from seamlore.draft.repeated import repeated
    >>> from seamlore.sewing.top import sewn_top
    >>> def told(name):
    ...     quilt = repeated("q", find(name), inches(9), inches(9), 2, 2)
    ...     return difficulty(quilt, sewn_top(quilt))
    >>> told("nine patch")
    'a first quilt: straight seams, and squares and rectangles alone'
    >>> told("shoo fly")
    'someone who has sewn a few blocks: triangles with bias edges'
    >>> told("lemoyne star")
    'a practiced hand: 8 set-in seams in a block; pieces cut by template'
    """
    hard, fair = _hard(quilt, top), _fair(quilt, top)
    if hard:
        return f"a practiced hand: {'; '.join([*hard, *fair])}"
    if fair:
        return f"someone who has sewn a few blocks: {'; '.join(fair)}"
    return "a first quilt: straight seams, and squares and rectangles alone"


def _hard(quilt: Quilt, top: Top) -> list[str]:
    found = []
    set_in = max((sum(step.set_in * step.count for step in made.steps) for made in top.blocks), default=0)
    if set_in:
        found.append(f"{set_in} set-in seam{'s' * (set_in != 1)} in a block")
    small = _smallest(quilt)
    if small is not None and small < _SMALL[quilt.unit].inches:
        found.append(f"pieces as narrow as {show(Length(small, quilt.unit))} finished")
    most = max((len(made.group.parts) for made in top.blocks), default=0)
    if most > _MANY:
        found.append(f"{most} pieces in a block")
    return found


def _fair(quilt: Quilt, top: Top) -> list[str]:
    found = []
    if any(step.manner == "partial" for made in top.blocks for step in made.steps):
        found.append("partial seams")
    if any(step.manner == "mitered" for steps in (top.steps, *(made.steps for made in top.blocks)) for step in steps):
        found.append("mitered corners")
    shapes = {shape_of(piece.outline).shape for piece in pieces(quilt) if piece.kind}
    if "template" in shapes:
        found.append("pieces cut by template")
    elif shapes & {"half-square triangle", "quarter-square triangle", "half-rectangle triangle"}:
        found.append("triangles with bias edges")
    return found


def _smallest(quilt: Quilt) -> Fraction | None:
    """The narrowest side of any piece of a block's box, finished."""
    sides = [above(min(piece.box)) for piece in pieces(quilt) if piece.kind]
    return min(sides, default=None)
