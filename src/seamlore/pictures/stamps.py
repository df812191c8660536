"""A quilt drawn for a screen that draws it again after every edit: blocks that are alike share one drawing."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from functools import lru_cache

import numpy as np

from seamlore.draft.layout import NOT_READ_KEY, TILT, PartLaid, lay_bits, lay_spots
from seamlore.draft.quilt import Quilt
from seamlore.draft.setting.arranged import arrange
from seamlore.draft.setting.parts import Spot
from seamlore.draft.where import Where
from seamlore.drawing.shapes import Area, Group, Paint, Ring, Shape, Text, gathered, ring
from seamlore.once import Very
from seamlore.pictures.palette import FAINT, QUIET, SEAM, paint_of
from seamlore.plane.outline import Points

# Kinds as they lie and are colored, of several drafts: what an edit leaves as it was is not drawn again.
_KEPT = 2048
_LEAST_PT = 3.0


def stamped(
    quilt: Quilt, mm_per_inch: float, paints: Mapping[str, Paint], single: Mapping[Where, Paint], seam_mm: float
) -> list[Shape]:
    """Draw the pieces of a quilt, each block as a group of its own, what was not read too.

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
    list of Shape
        Groups of blocks that are alike and colored alike hold the very same shapes.
    """
    arranged = arrange(quilt)
    bits = [(each, ring(each.outline * mm_per_inch)) for each in lay_bits(arranged)]
    shapes: list[Shape] = list(
        gathered(((line, single.get(each.where) or paint_of(each, paints)) for each, line in bits), seam_mm=0.04)
    )
    shapes.append(Area(tuple(line for _, line in bits), None, SEAM, seam_mm))
    cells = {(where.part, where.row, where.column) for where in single}
    usual: dict[str, dict[str, Paint]] = {}
    # What blocks that lie alike in the same cloths are drawn with, looked for once.
    drawn: dict[tuple[object, ...], tuple[Shape, ...]] = {}
    for laid in lay_spots(arranged.spots):
        spot = laid.spot
        if spot.kind is None:
            dx, dy = (laid.corner * mm_per_inch).tolist()
            lines = tuple(ring(part.outline * mm_per_inch) for part in laid.parts)
            shapes.append(Group(_unread_again(lines, paints[NOT_READ_KEY]), dx, dy))
            continue
        if spot.kind.name not in usual:
            usual[spot.kind.name] = {
                letter: paints[quilt.key(spot.kind, letter)] for letter in spot.kind.block.places
            }
        worn = usual[spot.kind.name]
        if spot.own:
            worn = worn | {letter: paints.get(fabric, worn[letter]) for letter, fabric in spot.own}
        dx, dy = (laid.corner * mm_per_inch).tolist()
        unit = laid.unit
        alone = (spot.where.part, spot.where.row, spot.where.column) in cells
        alike = (spot.kind.name, id(unit), spot.own, id(spot.width), id(spot.height))
        if unit is not None and not alone and alike in drawn:
            shapes.append(Group(drawn[alike], dx, dy))
            continue
        # A block that the edge has cut is drawn by itself.
        held = laid.parts if unit is None else unit
        painted = tuple(_painted(spot, held, worn, single) if alone else (worn[part.letter] for part in held))
        if unit is None:
            shapes.append(Group(_stamp([part.outline * mm_per_inch for part in held], painted, seam_mm), dx, dy))
            continue
        width, height = (round(float(side) * mm_per_inch, 6) for side in (spot.width, spot.height))
        stamp = _stamped_again(Very(unit), painted, width, height, spot.frame.tilted, seam_mm)
        if not alone:
            drawn[alike] = stamp
        shapes.append(Group(stamp, dx, dy))
    return shapes


def unread_marks(rings: Sequence[Ring]) -> list[Shape]:
    """Mark blocks that were not read: a dashed edge and a question mark, never cloth.

    Examples
    --------
    >>> from seamlore.drawing.shapes import box
    >>> [type(each).__name__ for each in unread_marks([box(0, 0, 9, 9)])], unread_marks([])
    (['Area', 'Text'], [])
    """
    if not rings:
        return []
    found: list[Shape] = [Area(tuple(rings), None, FAINT, 0.15, (0.9, 0.7))]
    for outline in rings:
        xs, ys = [node[0] for node in outline], [node[1] for node in outline]
        high = min(max(xs) - min(xs), max(ys) - min(ys))
        size = min(14.0, 1.1 * high)
        if size >= _LEAST_PT:
            middle = sum(xs) / len(xs), sum(ys) / len(ys)
            found.append(Text(*middle, "?", size, "middle", True, fill=QUIET))
    return found


@lru_cache(maxsize=256)
def _unread_again(rings: tuple[Ring, ...], paper: Paint) -> tuple[Shape, ...]:
    # Where nothing was read there is paper.
    return (Area(rings, paper), *unread_marks(rings))


def _painted(
    spot: Spot, held: tuple[PartLaid, ...], worn: Mapping[str, Paint], single: Mapping[Where, Paint]
) -> Iterator[Paint]:
    where = spot.where
    for part in held:
        at = Where(where.part, where.row, where.column, part.index, where.side)
        yield single.get(at) or worn[part.letter]


@lru_cache(maxsize=_KEPT)
def _stamped_again(
    patches: Very[tuple[PartLaid, ...]],
    painted: tuple[Paint, ...],
    width: float,
    height: float,
    tilted: bool,
    seam_mm: float,
) -> tuple[Shape, ...]:
    lies = np.diag([width, height]) @ (TILT if tilted else np.eye(2))
    return _stamp([part.outline @ lies for part in patches.value], painted, seam_mm)


def _stamp(outlines: Sequence[Points], painted: tuple[Paint, ...], seam_mm: float) -> tuple[Shape, ...]:
    rings = [ring(each) for each in outlines]
    return (*gathered(zip(rings, painted, strict=True), seam_mm=0.04), Area(tuple(rings), None, SEAM, seam_mm))
