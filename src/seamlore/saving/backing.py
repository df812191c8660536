"""Whether the old backing still serves, and for which things."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from math import ceil

from seamlore.lengths import Length, Unit, inches
from seamlore.packing.outlines import may_lie, most_patches
from seamlore.packing.pieces import Kind
from seamlore.saving.cloth import Cloth
from seamlore.saving.projects import Project

# Beyond the thing all round, so that layers may shift while they are held: 2 in for small things, 4 in from a lap quilt on.
# Common practice, no source.
BEYOND, BEYOND_LARGE = inches(2), inches(4)
_LARGE = inches(36)
# Of an inch and of a centimeter; patches are cut no finer.
_PARTS = {Unit.INCH: 64, Unit.CM: 40}


@dataclass(frozen=True, slots=True)
class Backs:
    """One thing that old backing could be the back of.

    Parameters
    ----------
    project : Project
    width, height : Length
        Of the piece to cut.
    count : int
        How many come out of it; 0 where none does.
    """

    project: Project
    width: Length
    height: Length
    count: int


def backs(cloth: Cloth, things: Iterable[Project], unit: Unit, *, ruled_out: bool = False) -> tuple[Backs, ...]:
    """Say for which things the old backing serves, each by itself.

    What touches skin, food or children comes last until hazards were ruled out, as for the front.

    Examples
    --------
    >>> from shapely import box
    >>> from seamlore.saving.projects import PROJECTS
    >>> whole = Cloth("backing", (box(0, 0, 40, 30),), 1200.0)
    >>> found = {each.project.name: (str(each.width), str(each.height), each.count) for each in backs(whole, PROJECTS, Unit.INCH)}
    >>> found["wall piece"], found["small lap quilt"]
    (('28 in', '28 in', 1), ('48 in', '56 in', 0))
    """
    found = []
    for each in things:
        beyond = BEYOND_LARGE if max(each.width.inches, each.height.inches) >= _LARGE.inches else BEYOND
        width, height = (side + beyond.shown_in(side.unit) * 2 for side in (each.width, each.height))
        found.append(Backs(each, width, height, _count(cloth, width, height, unit)))
    return tuple(sorted(found, key=lambda each: (bool(each.project.touches) and not ruled_out, each.count == 0)))


def _count(cloth: Cloth, width: Length, height: Length, unit: Unit) -> int:
    sides = [float(side.measured_in(unit)) for side in (width, height)]
    fits = [piece for piece in cloth.pieces if piece.area >= sides[0] * sides[1] and any(
        not may_lie(piece, *way).is_empty for way in (sides, sides[::-1])
    )]  # fmt: skip
    return sum(len(cut_from(piece, [(width, height, 999)], unit)) for piece in fits)


def cut_from(
    piece: object, wanted: Iterable[tuple[Length, Length, int]], unit: Unit
) -> tuple[tuple[float, float, float, float, int], ...]:
    """Cut patches from one piece of cloth: the left, top, width and height of each in the quilt's unit, and which it is.

    Patches may lie either way: warp and weft of old cloth are told by a thread, not by a photograph.
    """
    import shapely  # slow to import: only where cloth is cut

    kinds = [Kind(_up(width, unit), _up(height, unit), count, may_turn=True) for width, height, count in wanted]
    parts = _PARTS[unit]
    scaled = shapely.transform(piece, lambda at: at * parts)
    return tuple(
        (each.x / parts, each.y / parts, each.width / parts, each.height / parts, each.kind)
        for each in most_patches(scaled, kinds)
    )


def _up(side: Length, unit: Unit) -> int:
    return ceil(side.measured_in(unit) * _PARTS[unit])
