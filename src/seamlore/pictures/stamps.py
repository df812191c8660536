"""A quilt drawn for a screen that draws it again after every edit: blocks that are alike share one drawing."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from functools import lru_cache

import numpy as np

from seamlore.draft.layout import NOT_READ_KEY, TILT, PartLaid, arrange, lay_bits, lay_spots
from seamlore.draft.quilt import Quilt
from seamlore.draft.setting.parts import Spot
from seamlore.draft.where import Where
from seamlore.drawing.shapes import Area, Group, Paint, Ring, Shape, gathered, ring
from seamlore.pictures.palette import SEAM, paint_of
from seamlore.plane.outline import Points

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
        dx, dy = (laid.corner * mm_per_inch).tolist()
        unit, size = laid.unit, (float(spot.width) * mm_per_inch, float(spot.height) * mm_per_inch)
        # A block that the edge has cut is drawn by itself.
        held = laid.parts if unit is None else unit
        alone = (spot.where.part, spot.where.row, spot.where.column) in cells
        painted = tuple(_painted(spot, held, worn, single) if alone else (worn[part.letter] for part in held))
        if unit is None:
            shapes.append(Group(_stamp([part.outline * mm_per_inch for part in held], painted, seam_mm), dx, dy))
            continue
        width, height = (round(side, 6) for side in size)
        shapes.append(Group(_stamped_again(_Same(unit), painted, width, height, spot.frame.tilted, seam_mm), dx, dy))
    # Where nothing was read there is paper, whatever lies beside it.
    if unread:
        shapes.append(Area(tuple(unread), paints[NOT_READ_KEY]))
    return shapes, unread


def _painted(
    spot: Spot, held: tuple[PartLaid, ...], worn: Mapping[str, Paint], single: Mapping[Where, Paint]
) -> Iterator[Paint]:
    where = spot.where
    for part in held:
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
def _stamped_again(
    patches: _Same, painted: tuple[Paint, ...], width: float, height: float, tilted: bool, seam_mm: float
) -> tuple[Shape, ...]:
    lies = np.diag([width, height]) @ (TILT if tilted else np.eye(2))
    return _stamp([part.outline @ lies for part in patches.parts], painted, seam_mm)


def _stamp(outlines: Sequence[Points], painted: tuple[Paint, ...], seam_mm: float) -> tuple[Shape, ...]:
    rings = [ring(each) for each in outlines]
    return (*gathered(zip(rings, painted, strict=True), seam_mm=0.04), Area(tuple(rings), None, SEAM, seam_mm))
