"""The cloth of an old quilt, fabric by fabric, as outlines with holes: what is sound of it once it is taken apart.

Sound blocks stay whole: cloth is counted from patches of blocks that are not, from strips and borders, and from the backing.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Any

import numpy as np
from numpy.typing import NDArray

from seamlore.condition.ground import Ground
from seamlore.condition.kinds import kind_named
from seamlore.condition.survey import Laid
from seamlore.packing.outlines import may_lie

Floats = NDArray[np.float64]
# A spot only to look at spoils cloth from this step on: what lies beside it is spoilt too. Our own judgement.
_SPOILT_FROM = 3
# A gap between blocks narrower than this part of a block is what the reading cannot tell from a seam.
_A_STRIP = 0.03
BACKING = "backing"


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
    weak_backing: str = "",
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
    weak_backing : str
        Why the backing is weak; empty where it is not.
    without : collection of str
        Parts that are not there.
    straight : bool
        Whether the blocks stand straight, so that strips between them are known.
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

    spoilt = [
        _union([each for each in notes if each.behind == behind and _spoils(each)], shapely)
        for behind in (False, True)
    ]
    names = [shapely.Polygon(each) if len(each) > 2 else shapely.Point(each[0]) for each in written]
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
    strips: dict[str, list[Any]] = defaultdict(list)
    if straight:
        for of, shape in _strips(ground, shapely):
            strips[of].append(shape)
    parts = {"sashing": "setting", "border": "border"}
    for of in ("sashing", "border"):
        if strips[of] and (sashed or of == "border") and parts[of] not in without:
            found.append(_cloth(of, strips[of], spoilt[0], names, allowance, "", shapely))
    if BACKING not in without:
        found.append(_cloth(BACKING, [ground.whole_shape], spoilt[1], [], 0.0, weak_backing, shapely))
    return tuple(found)


def _spoils(note: Laid) -> bool:
    does = kind_named(note.kind).does
    if len(note.outline) < 3 or note.kind == "open seam":
        return False
    return does in ("cloth", "alive", "made") or (does == "look" and note.severity >= _SPOILT_FROM)


def _union(notes: Sequence[Laid], shapely: Any) -> Any:
    return shapely.union_all(shapely.buffer([shapely.Polygon(each.outline) for each in notes], 0)) if notes else None


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


def _strips(ground: Ground, shapely: Any) -> Iterator[tuple[str, Any]]:
    """What lies between the blocks and round them: short strips, long ones from side to side, four sides of the border."""
    if not ground.block_at:
        return
    at = dict(zip(ground.block_at, ground.blocks, strict=True))
    side = float(np.sqrt(shapely.area(ground.block_shapes).max()))
    rows, columns = sorted({cell[0] for cell in at}), sorted({cell[1] for cell in at})
    for row in rows:
        for one, other in pairwise(columns):
            if (row, one) in at and (row, other) in at:
                left, right = at[row, one], at[row, other]
                yield from _strip("sashing", np.array([left[1], right[0], right[3], left[2]]), side, shapely)
    for one, other in pairwise(rows):
        both = [column for column in columns if (one, column) in at and (other, column) in at]
        if both:
            upper, lower = ([at[row, column] for column in both] for row in (one, other))
            above = [point for each in upper for point in (each[3], each[2])]
            below = [point for each in lower for point in (each[0], each[1])]
            yield from _strip("sashing", np.array([*above, *below[::-1]]), side, shapely)
    (left, top), (right, bottom) = ground.blocks.reshape(-1, 2).min(axis=0), ground.blocks.reshape(-1, 2).max(axis=0)
    width, height = ground.size
    around = ((0, 0, width, top), (0, bottom, width, height), (0, top, left, bottom), (right, top, width, bottom))
    for x0, y0, x1, y1 in around:
        if min(x1 - x0, y1 - y0) > _A_STRIP * side:
            yield "border", shapely.box(x0, y0, x1, y1)


def _strip(of: str, corners: Floats, side: float, shapely: Any) -> Iterator[tuple[str, Any]]:
    made = shapely.buffer(shapely.Polygon(corners), 0)
    # Twice its area by its way round: the width of a long strip.
    if made.area and 2 * made.area / made.length > _A_STRIP * side:
        yield of, made
