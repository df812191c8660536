"""What lies between the blocks and round them, strip by strip: sashing and border, each as one piece, and what of it is sound."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Any, Literal

import numpy as np
from numpy.typing import NDArray

from seamlore.condition.ground import Ground

Floats = NDArray[np.float64]
Strips = Literal["short sashing", "long sashing", "top border", "bottom border", "left border", "right border"]
# A gap between blocks narrower than this part of a block is what the reading cannot tell from a seam.
_A_STRIP = 0.03
# What touches a strip by less than this part of its width is drawn over its seam, not on it.
_BRUSHES = 0.02


@dataclass(frozen=True, slots=True, eq=False)
class Strip:
    """A strip as it lies.

    Parameters
    ----------
    kind : str
        "short sashing" lies between two blocks of a row, "long sashing" between two rows.
    shape : shapely Polygon
        In the quilt's unit.
    sound : tuple of (begin, end)
        Along it, where its whole width is sound, in parts of its length; the longest first.
    bears : bool
        Whether it bears writing, so that it is kept whole.
    """

    kind: Strips
    shape: Any
    sound: tuple[tuple[float, float], ...]
    bears: bool = False

    @property
    def of(self) -> str:
        """What it is cloth of: "sashing" or "border"."""
        return self.kind.split()[1]

    @property
    def whole(self) -> bool:
        """Whether it is sound from end to end."""
        return self.sound == ((0.0, 1.0),)

    @property
    def long(self) -> float:
        """Its length, in the quilt's unit."""
        return _frame(self.shape)[2]


def strips(
    ground: Ground, spoilt: Any = None, written: Sequence[Any] = (), *, on_point: bool = False
) -> tuple[Strip, ...]:
    """List the strips of a quilt: short ones, long ones from side to side, four sides of the border.

    Parameters
    ----------
    ground : Ground
    spoilt : shapely geometry, optional
        Places that nothing is cut from.
    written : sequence of shapely geometries
        Inscriptions.
    on_point : bool
        Whether the blocks stand on point: then every strip between two blocks is taken for a short one.

    Examples
    --------
    Two blocks with a strip of 4 between them, and a hole across its middle.

    >>> from shapely import box
    >>> corners = np.array([[[0, 0], [8, 0], [8, 8], [0, 8]], [[12, 0], [20, 0], [20, 8], [12, 8]]], dtype=float)
    >>> ground = Ground((20.0, 8.0), ((0, 0), (0, 1)), corners)
    >>> [(each.kind, each.whole) for each in strips(ground)]
    [('short sashing', True)]
    >>> [(round(a, 3), round(b, 3)) for a, b in strips(ground, box(9, 3, 10, 4))[0].sound]
    [(0.5, 1.0), (0.0, 0.375)]
    >>> strips(Ground((20.0, 8.0)))
    ()
    """
    import shapely  # slow to import: only where cloth is counted

    found = []
    for kind, shape in _shapes(ground, on_point, shapely):
        bears = any(shape.intersects(each) for each in written)
        found.append(Strip(kind, shape, () if bears else _sound(shape, spoilt, shapely), bears))
    return tuple(found)


def _shapes(ground: Ground, on_point: bool, shapely: Any) -> Iterator[tuple[Strips, Any]]:
    if not ground.block_at:
        return
    at = dict(zip(ground.block_at, ground.blocks, strict=True))
    side = float(np.sqrt(shapely.area(ground.block_shapes).max()))
    yield from (_diagonal if on_point else _straight)(at, side, shapely)
    corners = ground.blocks.reshape(-1, 2)
    (left, top), (right, bottom) = corners.min(axis=0), corners.max(axis=0)
    width, height = ground.size
    around: tuple[tuple[Strips, tuple[float, ...]], ...] = (
        ("top border", (0, 0, width, top)),
        ("bottom border", (0, bottom, width, height)),
        ("left border", (0, top, left, bottom)),
        ("right border", (right, top, width, bottom)),
    )
    for kind, (x0, y0, x1, y1) in around:
        if min(x1 - x0, y1 - y0) > _A_STRIP * side:
            yield kind, shapely.box(x0, y0, x1, y1)


def _straight(at: dict[tuple[int, int], Floats], side: float, shapely: Any) -> Iterator[tuple[Strips, Any]]:
    rows, columns = sorted({cell[0] for cell in at}), sorted({cell[1] for cell in at})
    for row in rows:
        for one, other in pairwise(columns):
            if (row, one) in at and (row, other) in at:
                left, right = at[row, one], at[row, other]
                corners = np.array([left[1], right[0], right[3], left[2]])
                yield from _strip("short sashing", corners, side, shapely)
    for one, other in pairwise(rows):
        both = [column for column in columns if (one, column) in at and (other, column) in at]
        if both:
            upper, lower = ([at[row, column] for column in both] for row in (one, other))
            above = [point for each in upper for point in (each[3], each[2])]
            below = [point for each in lower for point in (each[0], each[1])]
            yield from _strip("long sashing", np.array([*above, *below[::-1]]), side, shapely)


def _diagonal(at: dict[tuple[int, int], Floats], side: float, shapely: Any) -> Iterator[tuple[Strips, Any]]:
    """Strips between blocks on point; every second row is one of those between the whole rows, half a block to the right."""
    for (row, column), block in at.items():
        aside = row % 2
        for neighbor, corners in (
            ((row + 1, column + aside), (1, 0, 3, 2)),
            ((row + 1, column + aside - 1), (3, 0, 1, 2)),
        ):
            if neighbor in at:
                other = at[neighbor]
                yield from _strip("short sashing", np.array([block[corners[0]], other[corners[1]], other[corners[2]], block[corners[3]]]), side, shapely)  # fmt: skip


def _strip(kind: Strips, corners: Floats, side: float, shapely: Any) -> Iterator[tuple[Strips, Any]]:
    made = shapely.buffer(shapely.Polygon(corners), 0)
    # Twice its area by its way round: the width of a long strip.
    if made.area and 2 * made.area / made.length > _A_STRIP * side:
        yield kind, made


def _frame(shape: Any) -> tuple[Floats, Floats, float, float]:
    """A strip's beginning, the way along it, its length and its width, from the smallest box round it."""
    import shapely  # as above

    box = shapely.get_coordinates(shapely.minimum_rotated_rectangle(shape))[:4]
    one, other = box[1] - box[0], box[3] - box[0]
    long, wide = (one, other) if np.hypot(*one) >= np.hypot(*other) else (other, one)
    length, begin = float(np.hypot(*long)), box[0]
    way = np.round(long / length, 9) + 0.0
    # From the left, or from the top where it stands upright.
    if tuple(way.tolist()) < (0.0, 0.0):
        begin, way = begin + long, -way
    return begin, way, length, float(np.hypot(*wide))


def _sound(shape: Any, spoilt: Any, shapely: Any) -> tuple[tuple[float, float], ...]:
    """Where the whole width of a strip is sound: what is spoilt of it bars all that lies beside it."""
    if spoilt is None:
        return ((0.0, 1.0),)
    begin, way, length, width = _frame(shape)
    barred = []
    for part in shapely.get_parts(shapely.intersection(shape, spoilt)):
        along = (shapely.get_coordinates(part) - begin) @ way / length
        across = (shapely.get_coordinates(part) - begin) @ np.array([-way[1], way[0]])
        if len(along) and np.ptp(across) > _BRUSHES * width:
            barred.append((max(float(along.min()), 0.0), min(float(along.max()), 1.0)))
    free, at = [], 0.0
    for low, high in sorted(barred):
        if low > at:
            free.append((at, low))
        at = max(at, high)
    if at < 1:
        free.append((at, 1.0))
    return tuple(sorted(free, key=lambda run: run[0] - run[1]))
