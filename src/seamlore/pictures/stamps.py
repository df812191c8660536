"""A quilt drawn for a screen that draws it again after every edit: blocks that are alike share one drawing."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from functools import lru_cache

from seamlore.draft.layout import NOT_READ_KEY, PartLaid, SpotLaid, arrange, lay_bits, lay_spots
from seamlore.draft.quilt import Quilt
from seamlore.draft.where import Where
from seamlore.drawing.shapes import Area, Group, Paint, Ring, Shape, gathered, ring
from seamlore.pictures.palette import SEAM, paint_of

# Kinds as they lie and are colored, of several drafts: what an edit leaves as it was is not drawn again.
_KEPT = 2048


def stamped(
    quilt: Quilt, mm_per_inch: float, paints: Mapping[str, Paint], single: Mapping[Where, Paint], seam_mm: float
) -> tuple[list[Shape], list[Ring]]:
    """Draw the pieces of a quilt, each block as a group of its own, and give the outlines of what was not read.

    Parameters
    ----------
    quilt : Quilt
    mm_per_inch : float
    paints : mapping of str to paint
        As `palette.quilt_cloths` gives them.
    single : mapping of Where to paint
        Cloths of single patches.
    seam_mm : float
        Width of the seams.

    Returns
    -------
    shapes : list of Shape
        Groups of blocks that are alike and colored alike hold the very same shapes.
    unread : list of Ring
    """
    arranged = arrange(quilt)
    bits = [(each, ring(each.outline * mm_per_inch)) for each in lay_bits(arranged)]
    shapes: list[Shape] = list(
        gathered(((line, single.get(each.where) or paint_of(each, paints)) for each, line in bits), seam_mm=0.04)
    )
    shapes.append(Area(tuple(line for _, line in bits), None, SEAM, seam_mm))
    unread: list[Ring] = []
    cells = {(where.part, where.row, where.column) for where in single}
    usual: dict[str, dict[str, Paint]] = {}
    for laid in lay_spots(arranged.spots):
        spot = laid.spot
        if spot.kind is None:
            unread += [ring((part.outline + laid.corner) * mm_per_inch) for part in laid.parts]
            continue
        if spot.kind.name not in usual:
            usual[spot.kind.name] = {
                letter: paints[quilt.key(spot.kind, letter)] for letter in spot.kind.block.places
            }
        worn = usual[spot.kind.name]
        if spot.own:
            worn = worn | {letter: paints.get(fabric, worn[letter]) for letter, fabric in spot.own}
        alone = (spot.where.part, spot.where.row, spot.where.column) in cells
        painted = tuple(_painted(laid, worn, single)) if alone else tuple(worn[part.letter] for part in laid.parts)
        dx, dy = (laid.corner * mm_per_inch).tolist()
        shapes.append(Group(_stamp(_Same(laid.parts), painted, mm_per_inch, seam_mm), dx, dy))
    # Where nothing was read there is paper, whatever lies beside it.
    if unread:
        shapes.append(Area(tuple(unread), paints[NOT_READ_KEY]))
    return shapes, unread


def _painted(laid: SpotLaid, worn: Mapping[str, Paint], single: Mapping[Where, Paint]) -> Iterator[Paint]:
    where = laid.spot.where
    for part in laid.parts:
        at = Where(where.part, where.row, where.column, part.index, where.side)
        yield single.get(at) or worn[part.letter]


class _Same:
    """Patches by the very values that they are."""

    def __init__(self, parts: tuple[PartLaid, ...]) -> None:
        self.parts = parts

    def __eq__(self, other: object) -> bool:
        return isinstance(other, _Same) and self.parts is other.parts

    def __hash__(self) -> int:
        return id(self.parts)


@lru_cache(maxsize=_KEPT)
def _stamp(patches: _Same, painted: Sequence[Paint], mm_per_inch: float, seam_mm: float) -> tuple[Shape, ...]:
    rings = [ring(part.outline * mm_per_inch) for part in patches.parts]
    return (*gathered(zip(rings, painted, strict=True), seam_mm=0.04), Area(tuple(rings), None, SEAM, seam_mm))
