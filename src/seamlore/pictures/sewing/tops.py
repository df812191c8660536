"""Pictures of how a top is joined: rows, sashing, triangles and borders, each step with the patches of its blocks."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from seamlore.draft.layout import lay
from seamlore.draft.quilt import Quilt
from seamlore.draft.where import Where
from seamlore.drawing.picture import Picture
from seamlore.drawing.shapes import Paint
from seamlore.lengths import Length
from seamlore.pictures.palette import paint_of
from seamlore.pictures.sewing.steps import Insides, result_picture, step_picture
from seamlore.plane.outline import Points
from seamlore.sewing.setting import TopPiece
from seamlore.sewing.steps import Step

# Of more patches than these a drawing shows blocks as plain paper: nobody sees so small ones.
_MOST_PATCHES = 500
_BARE = "#ffffff"
_NEAR = 1e-6


@dataclass(frozen=True, eq=False)
class TopSeen:
    """What a top is joined from, and what is seen of it; made by `top_seen`.

    Parameters
    ----------
    pieces : tuple of TopPiece
        What the steps number.
    insides : mapping of int to patches
        Outlines in inches and cloths of the patches of each piece.
    """

    pieces: tuple[TopPiece, ...]
    insides: Insides

    def of(self, step: Step) -> Insides:
        """Give what is drawn of the pieces of a step."""
        count = sum(len(self.insides[piece]) for piece in step.pieces)
        if count <= _MOST_PATCHES:
            return self.insides
        return {number: inside for number, inside in self.insides.items() if len(inside) == 1}


def top_seen(quilt: Quilt, pieces: Sequence[TopPiece], cloths: Mapping[str, Paint]) -> TopSeen:
    """Find what is seen of each piece of a top.

    Parameters
    ----------
    quilt : Quilt
    pieces : sequence of TopPiece
        As `sewing.top.sewn_top` numbers them.
    cloths : mapping of str to paint
        As `pictures.palette.quilt_cloths` gives them.

    Examples
    --------
    >>> from seamlore.draft.catalogue import find
    >>> from seamlore.draft.repeated import repeated
    >>> from seamlore.lengths import inches
    >>> from seamlore.pictures.palette import quilt_cloths
    >>> from seamlore.sewing.top import sewn_top
    >>> quilt = repeated("q", find("four patch"), inches(8), inches(8), 1, 2)
    >>> seen = top_seen(quilt, sewn_top(quilt).pieces, quilt_cloths(quilt))
    >>> {number: len(inside) for number, inside in seen.insides.items()}
    {0: 4, 1: 4}
    """
    patches: dict[tuple[str, int, int, str], list[tuple[Points, Paint]]] = defaultdict(list)
    for each in lay(quilt):
        patches[_spot(each.where)].append((each.outline, paint_of(each, cloths)))
    insides = {number: _within(piece, patches[_spot(piece.where)]) for number, piece in enumerate(pieces)}
    return TopSeen(tuple(pieces), insides)


def top_step_picture(seen: TopSeen, step: Step, width_mm: float, *, allowance: Length, title: str) -> Picture:
    """Draw a step of the top: what is joined a little apart at the left, and joined at the right.

    Parameters
    ----------
    seen : TopSeen
    step : Step
    width_mm : float
        The room there is; the picture takes no more.
    allowance : Length
        The allowance that is still round what is sewn.
    title : str
    """
    return step_picture(
        step,
        [piece.outline for piece in seen.pieces],
        [piece.name for piece in seen.pieces],
        [_BARE] * len(seen.pieces),
        width_mm,
        allowance=allowance,
        title=title,
        insides=seen.of(step),
    )


def top_result_picture(seen: TopSeen, step: Step, side_mm: float, *, title: str) -> Picture:
    """Draw what comes of a step of the top alone, in a square.

    Parameters
    ----------
    seen, step, title : as in `top_step_picture`
    side_mm : float
        Side of the square.
    """
    return result_picture(
        step,
        [piece.outline for piece in seen.pieces],
        [_BARE] * len(seen.pieces),
        side_mm,
        title=title,
        insides=seen.of(step),
    )


def _within(piece: TopPiece, patches: Sequence[tuple[Points, Paint]]) -> list[tuple[Points, Paint]]:
    """Those patches that lie in a piece: in columns of blocks on point triangles of several columns have one address."""
    outline = np.array([(float(x), float(y)) for x, y in piece.outline])
    low, high = outline.min(axis=0) - _NEAR, outline.max(axis=0) + _NEAR
    return [
        (each, paint)
        for each, paint in patches
        if (each.min(axis=0) >= low).all() and (each.max(axis=0) <= high).all()
    ]


def _spot(where: Where) -> tuple[str, int, int, str]:
    """The address of a block whichever of its patches is asked for; of anything else its own."""
    return where.part, where.row, where.column, where.side
