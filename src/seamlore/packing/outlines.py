"""Patches out of an odd piece of cloth with holes: as many as come out of what exists.

Old cloth is small and worn, and each patch of it is cut by itself: no cut has to run from edge to edge. Where the corner of
a patch may lie is what is left of the outline when every side of it is widened by the patch. Rows and columns of patches, put
against each edge in turn, give places worth having; which of all these are taken together is a whole-number program, so that
no layout that was looked at is better.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Any

import numpy as np
from numpy.typing import NDArray

from seamlore.packing.pieces import Kind
from seamlore.solving.program import Rows, solve

Floats = NDArray[np.float64]
# What touches may overlap by the rounding of numbers: this part of the patch, far below a thread.
_GIVE = 1e-6
# Rows looked at, and places that a program chooses among: where more would be, rows and columns come near enough to the best.
_MOST_ROWS = 300
_MOST_PLACES = 400
_NODES, _STEPS = 60, 20_000
_MANY = 250
_EDGES = ((False, False), (True, False), (False, True), (True, True))


@dataclass(frozen=True, slots=True)
class Spot:
    """Where one patch is cut: its left and top, its sides as it lies, and of which kind it is."""

    kind: int
    x: float
    y: float
    width: float
    height: float
    turned: bool = False


def may_lie(shape: Any, width: float, height: float) -> Any:
    """Say where the top left corner of a patch may lie so that all of it is on an outline.

    Parameters
    ----------
    shape : shapely Polygon or MultiPolygon
    width, height : float

    Returns
    -------
    shapely geometry

    Examples
    --------
    >>> from shapely import box
    >>> may_lie(box(0, 0, 10, 4), 5, 3).bounds, may_lie(box(0, 0, 3, 4), 4, 4).is_empty
    ((0.0, 0.0, 5.000005, 1.000003), True)
    """
    import shapely  # slow to import: only where cloth is laid out

    wide, high = width * (1 - _GIVE), height * (1 - _GIVE)
    rings = shapely.get_parts(shapely.boundary(shape))
    rings = [shapely.get_coordinates(each) for each in rings]
    if not rings:
        return shape
    starts, ends = (np.concatenate([ring[part] for ring in rings]) for part in (slice(None, -1), slice(1, None)))
    corners = np.array([[0, 0], [-wide, 0], [-wide, -high], [0, -high]])
    swept = np.concatenate([starts[:, None] + corners, ends[:, None] + corners], axis=1)
    barred = shapely.convex_hull(
        shapely.multipoints(swept.reshape(-1, 2), indices=np.repeat(np.arange(len(swept)), 8))
    )
    free = shapely.get_parts(shapely.difference(shape, shapely.union_all(barred)))
    # Rounding leaves hairs along the outline, where nothing lies.
    inside = shapely.get_coordinates(shapely.point_on_surface(free))
    return shapely.multipolygons(free[_lie(shape, inside, width, height)])


def _lie(shape: Any, at: Floats, width: float, height: float) -> NDArray[np.bool_]:
    """Whether patches lie on an outline with all of themselves but a hair."""
    import shapely  # as above

    far = at + np.array([width, height])
    off = shapely.difference(shapely.box(*at.T, *far.T), shape)
    return np.asarray(shapely.area(off) <= 4 * _GIVE * width * height, dtype=np.bool_)


def in_rows(shape: Any, kinds: Sequence[Kind]) -> tuple[Spot, ...]:
    """Cut in plain rows: the largest kind first, row under row from the top, each patch beside the one before.

    Nothing is turned and nothing is tried twice; what else is offered is never less than this.

    Examples
    --------
    >>> from shapely import box
    >>> len(in_rows(box(0, 0, 10, 9), [Kind(4, 4, 9, False)]))
    4
    """
    import shapely  # as above

    found: list[Spot] = []
    for index in sorted(range(len(kinds)), key=lambda each: -kinds[each].width * kinds[each].height):
        kind = kinds[index]
        free, left = may_lie(shape, kind.width, kind.height), kind.count
        while left and not free.is_empty:
            top = shapely.bounds(free)[1]
            row = [
                Spot(index, x, float(top), kind.width, kind.height)
                for x in _along(_spans(free, np.array([top]), shapely)[0], kind.width)
            ][:left]
            found += row
            left -= len(row)
            below = top + kind.height * (1 - _GIVE) if row else top + kind.height * 1e-3
            low = shapely.bounds(free)
            free = shapely.intersection(free, shapely.box(low[0] - 1, below, low[2] + 1, low[3] + 1))
        shape = _without(shape, [each for each in found if each.kind == index], shapely)
    return tuple(found)


def most_patches(shape: Any, kinds: Sequence[Kind]) -> tuple[Spot, ...]:
    """Cut as many patches as can be found to fit an outline; of as many, the larger ones.

    Parameters
    ----------
    shape : shapely Polygon or MultiPolygon
        Sound cloth, its holes left out, y along the grain; in parts.
    kinds : sequence of Kind
        How large, in the same parts, how many are wanted, and whether one may lie across the grain.

    Returns
    -------
    tuple of Spot
        Never fewer than `in_rows`.

    Examples
    --------
    >>> from shapely import box
    >>> len(most_patches(box(0, 0, 10, 9), [Kind(4, 3, 20, True)])), len(in_rows(box(0, 0, 10, 9), [Kind(4, 3, 20, True)]))
    (7, 6)
    """
    plain = in_rows(shape, kinds)
    fitting = [index for index, kind in enumerate(kinds) if kind.count and _fits(shape, kind)]
    if not fitting:
        return ()
    # By their areas alone no more can come out, nor more than are wanted.
    most = int(shape.area / min(kinds[index].area for index in fitting) * (1 + _GIVE))
    if len(plain) >= min(most, sum(kinds[index].count for index in fitting)):
        return plain
    if len(fitting) < len(kinds):
        found = most_patches(shape, [kinds[index] for index in fitting])
        return tuple(replace(each, kind=fitting[each.kind]) for each in found)
    # Where hundreds come out, rows against one edge are as good as against another.
    many = shape.area > _MANY * min(kind.area for kind in kinds)
    layouts = [plain, *_layouts(shape, kinds, _EDGES[:1] if many else _EDGES)]
    best = max(layouts, key=lambda each: _worth(each, kinds))
    wanted = sum(kind.count for kind in kinds)
    if len(best) >= wanted or not best:
        return best
    places = list(dict.fromkeys(spot for layout in sorted(layouts, key=lambda e: -len(e)) for spot in layout))
    if len(places) > _MOST_PLACES:
        return best
    places = list(dict.fromkeys([*places, *_more_places(shape, kinds)]))[:_MOST_PLACES]
    chosen = _chosen(places, kinds, best)
    return max(best, chosen, key=lambda each: _worth(each, kinds))


def _fits(shape: Any, kind: Kind) -> bool:
    ways = ((kind.width, kind.height), (kind.height, kind.width))[: 1 + (kind.may_turn and kind.width != kind.height)]
    left, top, right, bottom = shape.bounds
    room = [way for way in ways if way[0] <= (right - left) * (1 + _GIVE) and way[1] <= (bottom - top) * (1 + _GIVE)]
    return shape.area >= kind.area * (1 - 2 * _GIVE) and any(not may_lie(shape, *way).is_empty for way in room)


def _worth(spots: Sequence[Spot], kinds: Sequence[Kind]) -> tuple[int, float]:
    return len(spots), sum(each.width * each.height for each in spots)


def _layouts(shape: Any, kinds: Sequence[Kind], edges: Sequence[tuple[bool, bool]]) -> Iterator[tuple[Spot, ...]]:
    """Every way of laying all kinds in rows or columns, against each edge; those wanted first the largest, then the smallest."""
    order = sorted(range(len(kinds)), key=lambda each: -kinds[each].width * kinds[each].height)
    orders = [order] if len(kinds) == 1 else [order, order[::-1]]
    for first in orders:
        for turned in (False, True):
            for columns in (False, True):
                for mirrored in edges:
                    yield _one_layout(shape, kinds, first, turned=turned, columns=columns, mirrored=mirrored)


def _one_layout(
    shape: Any,
    kinds: Sequence[Kind],
    order: Iterable[int],
    *,
    turned: bool,
    columns: bool,
    mirrored: tuple[bool, bool],
) -> tuple[Spot, ...]:
    import shapely  # as above

    # Columns are rows of the outline with its axes changed; against the right or bottom edge, those of its mirror image.
    axes = np.array([[0.0, 1], [1, 0]]) if columns else np.eye(2)
    signs = np.array([-1.0 if each else 1.0 for each in mirrored])
    there = shapely.transform(shape, lambda at: (at @ axes) * signs)
    found: list[Spot] = []
    for index in order:
        kind = kinds[index]
        turns = turned and kind.may_turn and kind.width != kind.height
        sides = (kind.height, kind.width) if turns else (kind.width, kind.height)
        wide, high = sides[::-1] if columns else sides
        here = []
        for x, y in _best_rows(there, wide, high, kind.count, shapely):
            corners = (np.array([[x, y], [x + wide, y + high]]) * signs) @ axes.T
            (left, top), (right, bottom) = corners.min(axis=0), corners.max(axis=0)
            here.append(Spot(index, float(left), float(top), float(right - left), float(bottom - top), turns))
        found += here
        there = shapely.difference(
            there,
            shapely.union_all(
                [shapely.transform(_box(each, shapely), lambda at: (at @ axes) * signs) for each in here]
            ),
        )
    return tuple(found)


def _best_rows(shape: Any, width: float, height: float, count: int, shapely: Any) -> list[tuple[float, float]]:
    """The rows that hold most together: each holds what fits side by side, none overlaps another (Bellman's principle)."""
    free = may_lie(shape, width, height)
    if free.is_empty:
        return []
    tops = np.unique(np.round(shapely.get_coordinates(free)[:, 1], 9))
    low, high = tops[0], tops[-1]
    steps = np.arange(int((high - low) / height) + 1) * height
    tops = np.unique(np.round((tops[:, None] + np.concatenate([-steps, steps])).ravel(), 9))
    tops = tops[(tops >= low) & (tops <= high)]
    if len(tops) > _MOST_ROWS:
        tops = tops[np.linspace(0, len(tops) - 1, _MOST_ROWS).round().astype(int)]
    rows = [_along(spans, width) for spans in _spans(free, tops, shapely)]
    best: list[tuple[int, int]] = [(0, -1)] * (len(tops) + 1)
    listed = tops.tolist()
    after = [bisect_left(listed, top + height * (1 - _GIVE)) for top in listed]
    for at in range(len(tops) - 1, -1, -1):
        with_it = len(rows[at]) + best[after[at]][0]
        best[at] = (with_it, at) if with_it > best[at + 1][0] else best[at + 1]
    found, at = [], 0
    while at < len(tops) and (row := best[at][1]) >= 0:
        found += [(x, listed[row]) for x in rows[row]]
        at = after[row]
    held = _lie(shape, np.array(found).reshape(-1, 2), width, height)
    return [spot for spot, lies in zip(found, held.tolist(), strict=True) if lies][:count]


def _spans(free: Any, tops: Floats, shapely: Any) -> list[list[tuple[float, float]]]:
    """For each row, from where to where the left side of a patch may lie."""
    left, _, right, _ = shapely.bounds(free)
    ends = np.stack([np.full((len(tops), 2), [left - 1, right + 1]), np.repeat(tops[:, None], 2, axis=1)], axis=2)
    crossed = shapely.intersection(free, shapely.linestrings(ends))
    parts, of = shapely.get_parts(crossed, return_index=True)
    # A line that only touches gives points within a collection.
    parts, within = shapely.get_parts(parts, return_index=True)
    of = of[within]
    found: list[list[tuple[float, float]]] = [[] for _ in tops]
    for (low, _, high, _), row in zip(shapely.bounds(parts).tolist(), of.tolist(), strict=True):
        if low == low:  # nothing at all has no bounds
            found[row].append((low, high))
    return [sorted(each) for each in found]


def _along(spans: Iterable[tuple[float, float]], width: float) -> list[float]:
    found: list[float] = []
    for low, high in spans:
        at = max(low, found[-1] + width) if found else low
        while at <= high + width * _GIVE:
            found.append(at)
            at += width
    return found


def _more_places(shape: Any, kinds: Sequence[Kind]) -> Iterator[Spot]:
    """Every corner of where a patch may lie: it touches the outline there on two sides."""
    import shapely  # as above

    for index, kind in enumerate(kinds):
        for turned in (False, True) if kind.may_turn and kind.width != kind.height else (False,):
            wide, high = (kind.height, kind.width) if turned else (kind.width, kind.height)
            corners = np.unique(shapely.get_coordinates(may_lie(shape, wide, high)), axis=0)
            for x, y in corners[_lie(shape, corners, wide, high)].tolist():
                yield Spot(index, x, y, float(wide), float(high), turned)


def _chosen(places: Sequence[Spot], kinds: Sequence[Kind], start: Sequence[Spot]) -> tuple[Spot, ...]:
    """Choose the most places of which no two overlap: of all patches that cover one point, one alone."""
    at = np.array([[each.x, each.y, each.x + each.width, each.y + each.height] for each in places])
    give = _GIVE * max(max(each.width, each.height) for each in places)
    apart = at + np.array([give, give, -give, -give])
    low, high = apart[:, :2], apart[:, 2:]
    meet = ((low[:, None] < high[None]) & (low[None] < high[:, None])).all(axis=2)
    one, other = np.nonzero(np.triu(meet, 1))
    # The first corner of what two share lies in both: all that cover it are at odds with each other.
    firsts = np.unique(np.round(np.maximum(low[one], low[other]), 9), axis=0)
    rows, seen = Rows(), set()
    for point in firsts:
        held = np.flatnonzero(((low <= point + give) & (point + give < high)).all(axis=1))
        if (key := held.tobytes()) not in seen and len(held) > 1:
            seen.add(key)
            rows.add(held, np.ones(len(held)), 0, 1)
    of = np.array([each.kind for each in places])
    for index, kind in enumerate(kinds):
        rows.add(np.flatnonzero(of == index), np.ones(int((of == index).sum())), 0, kind.count)
    areas = np.array([each.width * each.height for each in places])
    worth = 1 + areas / (areas.max() * (len(places) + 1))
    taken = set(start)
    found = solve(
        rows.program(np.ones(len(places)), cost=-worth, whole=np.ones(len(places), dtype=bool)),
        nodes=_NODES,
        iterations=_STEPS,
        start=np.array([float(each in taken) for each in places]),
    )
    if found.values is None:
        return tuple(start)
    return tuple(place for place, value in zip(places, found.values.tolist(), strict=True) if value > 0.5)


def _without(shape: Any, spots: Sequence[Spot], shapely: Any) -> Any:
    return shapely.difference(shape, shapely.union_all([_box(each, shapely) for each in spots])) if spots else shape


def _box(spot: Spot, shapely: Any) -> Any:
    return shapely.box(spot.x, spot.y, spot.x + spot.width, spot.y + spot.height)
