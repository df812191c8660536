"""Repair: each damaged spot with its method and the size of what is laid under or over it; and how it is undone.

Nothing original is cut away, nothing is glued or fused. Methods: trade.md E3 (V: several menders' and museums' pages); which
method goes with which damage, and a margin of one inch all round: common practice, no source.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from seamlore.condition.notes import Note
from seamlore.condition.survey import Laid
from seamlore.lengths import Length, Unit, in_unit, inches, on_mark

# All round a spot, so that stitches stand in cloth that holds.
MARGIN = inches(1)
_MARK = inches("1/4")


@dataclass(frozen=True, slots=True)
class Method:
    """A way of mending.

    Parameters
    ----------
    name : str
    how : str
    undone : str
        How it is taken out again.
    order : int
        When it is done: what holds cloth together before what is laid over it.
    cloth : bool
        Whether a piece of cloth or net is cut for it.
    """

    name: str
    how: str
    undone: str
    order: int
    cloth: bool = True


NET = Method(
    "net overlay",
    "fine net dyed to the cloth, laid over and stitched down beyond the weak place with long stitches in old needle holes and seams",
    "its stitches stand in net and seams alone: snip and lift it",
    1,
)
SEAM = Method(
    "re-sewn seam",
    "ladder stitch along the old seam line, through the old holes, with one fine cotton thread",
    "pull the thread",
    2,
    False,
)
UNDERLAY = Method(
    "underlay",
    "cloth of like weight slid under through the split, the edges laid back and held with laid threads every 1/4 in",
    "snip the laid threads; the underlay slides out or stays",
    3,
)
PATCH = Method(
    "patch over",
    "cloth of like weight and print turned under and slip-stitched over the gap into the seams around it, the old edges left beneath",
    "snip the slip stitches; all of the old cloth is there",
    4,
)
EDGE = Method(
    "new binding over the old",
    "a wider binding sewn over the old one, which stays inside",
    "unpick the new binding from front and back",
    5,
)
WAIT = Method(
    "nothing by hand",
    "to be looked at by a textile conservator before anything is done",
    "nothing was done",
    0,
    False,
)


@dataclass(frozen=True, slots=True)
class Repair:
    """What is done to one spot.

    Parameters
    ----------
    number : int
        Of its note, as the page counts them from 0.
    says : str
    method : Method
    size : (width, height) or None
        Of the piece to cut, with the margin; None where none is cut or no size is known.
    stitched_in : float
        Inches of stitches by hand: once round the piece, or along the seam; 0 where no size is known.
    """

    number: int
    says: str
    method: Method
    size: tuple[Length, Length] | None
    stitched_in: float = 0.0


def method_for(note: Note) -> Method | None:
    """Choose the method that a kind of damage is usually met with; None where nothing is mended.

    Examples
    --------
    >>> method_for(Note("", "", "open seam", (), 2)).name
    're-sewn seam'
    >>> method_for(Note("", "", "tear", (), 2, of="binding")).name
    'new binding over the old'
    >>> method_for(Note("", "", "stain", (), 2)) is None
    True
    """
    if note.kind in ("mold", "insect damage", "bleeding"):
        return WAIT
    if note.about.does != "cloth":
        return None
    if any(word in note.of.casefold() for word in ("binding", "edge")):
        return EDGE
    if note.kind == "open seam":
        return SEAM
    if note.kind in ("tendered cloth", "abrasion"):
        return NET
    return UNDERLAY if note.kind == "tear" else PATCH


def repairs(notes: Sequence[Note], laid: Sequence[Laid], unit: Unit | None) -> tuple[Repair, ...]:
    """List the repairs in the order in which they are done.

    Parameters
    ----------
    notes : sequence of Note
    laid : sequence of Laid
        Those of them that lie on the quilt.
    unit : Unit or None
        Of their outlines; None where no size is known.
    """
    places = {each.number: each for each in laid}
    found = []
    for number, note in enumerate(notes):
        method = method_for(note)
        if method is None:
            continue
        size, stitched = None, 0.0
        if method is not WAIT and unit is not None and number in places:
            across, down = (float(each) for each in np.ptp(places[number].outline, axis=0))
            stitched = in_unit(max(across, down), unit).inches_float
            if method.cloth and method is not EDGE:
                size = (_cut(across, unit), _cut(down, unit))
                stitched = 2 * (size[0] + size[1]).inches_float
        found.append(Repair(number, note.of or note.kind, method, size, stitched))
    return tuple(sorted(found, key=lambda each: (each.method.order, each.number)))


def _cut(side: float, unit: Unit) -> Length:
    """The side of a piece with its margin, rounded up to a mark."""
    whole = in_unit(side, unit) + MARGIN.shown_in(unit) * 2
    return on_mark(whole, "up", _MARK if unit is Unit.INCH else in_unit("0.5", Unit.CM))
