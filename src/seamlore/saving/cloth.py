"""The cloth of an old quilt, fabric by fabric, as outlines with holes: what is sound of it once it is taken apart.

Sound blocks stay whole: cloth is counted from patches of blocks that are not, from strips and borders, and from the backing.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from types import MappingProxyType
from typing import Any

import numpy as np
from numpy.typing import NDArray

from seamlore.condition.ground import Ground
from seamlore.condition.kinds import kind_named
from seamlore.condition.survey import Laid
from seamlore.packing.outlines import may_lie
from seamlore.saving.between import strips

Floats = NDArray[np.float64]
# A spot only to look at spoils cloth from this step on: what lies beside it is spoilt too. Our own judgement.
_SPOILT_FROM = 3
BACKING = "backing"
NOTHING: Mapping[str, str] = MappingProxyType({})


@dataclass(frozen=True, slots=True, eq=False)
class Cloth:
    """One fabric of the old quilt.

    Parameters
    ----------
    of : str
        What it is called; "sashing", "border", "backing".
    pieces : tuple of shapely Polygon
        Its sound outlines with what is left of their seam allowance, holes left out, in the quilt's unit as the front shows
        them (the backing mirrored), the largest first.
    whole : float
        Area of all its pieces before holes were left out.
    suspect : str
        Why none of it carries a load; empty where nothing was found against it.
    """

    of: str
    pieces: tuple[Any, ...]
    whole: float
    suspect: str = ""

    @property
    def sound(self) -> float:
        """Area of its sound outlines."""
        return float(sum(each.area for each in self.pieces))

    @property
    def holes(self) -> int:
        """How many holes lie within its outlines."""
        return sum(len(each.interiors) for each in self.pieces)

    def largest_square(self) -> float:
        """Side of the largest square that can be cut from one of its pieces, along the sides of the quilt."""
        return max((_largest_square(each) for each in self.pieces[:_LOOKED_AT]), default=0.0)


# The largest square need not be in the largest piece; in one of the first few it is.
_LOOKED_AT = 8


def _largest_square(piece: Any) -> float:
    left, top, right, bottom = piece.bounds
    low, high = 0.0, min(right - left, bottom - top)
    while high - low > 1e-3 * high:
        side = (low + high) / 2
        low, high = (side, high) if not may_lie(piece, side, side).is_empty else (low, side)
    return low


def cloths(
    ground: Ground,
    notes: Sequence[Laid],
    whole_blocks: Collection[tuple[int, int]],
    *,
    allowance: float = 0.0,
    suspect: Mapping[int, str] | None = None,
    weak_parts: Mapping[str, str] = NOTHING,
    without: Collection[str] = (),
    straight: bool = True,
    sashed: bool = True,
    written: Sequence[Floats] = (),
) -> tuple[Cloth, ...]:
    """List the sound cloth of a quilt.

    Parameters
    ----------
    ground : Ground
    notes : sequence of Laid
    whole_blocks : collection of (row, column)
        Blocks that are given whole, and are not cut up for their cloth.
    allowance : float
        What is left of the seam allowance round each piece, in the quilt's unit.
    suspect : mapping of int to str, optional
        Fabrics that a hand test found weak, and why: none of their patches is given.
    weak_parts : mapping of str to str
        Of "sashing", "border" and "backing" those that a hand test found weak, and why: none of their cloth is given.
    without : collection of str
        Parts that are not there.
    straight : bool
        Whether the blocks stand straight, and not on point.
    sashed : bool
        Whether there are any; where block is sewn to block a crooked seam is none.
    written : sequence of ndarray, shape (n, 2)
        Inscriptions: the piece that bears one is not cut from.

    Returns
    -------
    tuple of Cloth
        Fabrics of the patches by their sound area, then sashing, border and backing.

    Examples
    --------
    >>> corners = np.array([[[0, 0], [8, 0], [8, 8], [0, 8]]], dtype=float)
    >>> ground = Ground((20.0, 8.0), ((0, 0),), corners)
    >>> hole = Laid("hole", 4, np.array([[12, 2], [14, 2], [14, 4], [12, 4]], dtype=float), behind=True)
    >>> [(each.of, each.whole, each.sound, each.holes) for each in cloths(ground, [hole], ())]
    [('border', 96.0, 96.0, 0), ('backing', 160.0, 156.0, 1)]
    """
    import shapely  # slow to import: only where cloth is counted

    spoilt = [spoilt_places(notes, behind=behind) for behind in (False, True)]
    names = written_places(written)
    groups: dict[str, list[Any]] = defaultdict(list)
    weak: dict[str, str] = {}
    for index, shape in enumerate(ground.patch_shapes):
        fabric = int(ground.fabric[index])
        where = ground.where[index]
        if (where.row, where.column) in whole_blocks or fabric < 0:
            continue
        groups[ground.fabrics[fabric]].append(shape)
        if fabric in (suspect or {}):
            weak[ground.fabrics[fabric]] = (suspect or {})[fabric]
    found = [
        _cloth(of, shapes, spoilt[0], names, allowance, weak.get(of, ""), shapely) for of, shapes in groups.items()
    ]
    found.sort(key=lambda each: (-each.sound, each.of))
    parts = {"sashing": "setting", "border": "border"}
    around = strips(ground, on_point=not straight)
    for of in ("sashing", "border"):
        shapes = [each.shape for each in around if each.of == of]
        if shapes and (sashed or of == "border") and parts[of] not in without:
            found.append(_cloth(of, shapes, spoilt[0], names, allowance, weak_parts.get(of, ""), shapely))
    if BACKING not in without:
        found.append(_cloth(BACKING, [ground.whole_shape], spoilt[1], [], 0.0, weak_parts.get(BACKING, ""), shapely))
    return tuple(found)


def _spoils(note: Laid) -> bool:
    does = kind_named(note.kind).does
    if len(note.outline) < 3 or note.kind == "open seam":
        return False
    return does in ("cloth", "alive", "made") or (does == "look" and note.severity >= _SPOILT_FROM)


def spoilt_places(notes: Sequence[Laid], *, behind: bool) -> Any:
    """Give all that nothing is cut from on the front, or on the back, as one outline; None where there is nothing."""
    import shapely  # as above

    bad = [each for each in notes if each.behind == behind and _spoils(each)]
    return shapely.union_all(shapely.buffer([shapely.Polygon(each.outline) for each in bad], 0)) if bad else None


def written_places(written: Sequence[Floats]) -> list[Any]:
    """Give inscriptions as outlines."""
    import shapely  # as above

    return [shapely.Polygon(each) if len(each) > 2 else shapely.Point(each[0]) for each in written]


def _cloth(
    of: str, shapes: Sequence[Any], spoilt: Any, names: Sequence[Any], allowance: float, suspect: str, shapely: Any
) -> Cloth:
    taken = [each for each in shapes if not any(each.intersects(name) for name in names)]
    grown = shapely.buffer(taken, allowance, join_style="mitre") if allowance else np.array(taken, dtype=object)
    whole = float(shapely.area(grown).sum()) if len(grown) else 0.0
    sound = shapely.difference(grown, spoilt) if spoilt is not None and len(grown) else grown
    parts = [part for part in shapely.get_parts(sound) if part.geom_type == "Polygon" and part.area > 0]
    pieces = () if suspect else tuple(sorted(parts, key=lambda each: -each.area))
    return Cloth(of, pieces, whole, suspect)
