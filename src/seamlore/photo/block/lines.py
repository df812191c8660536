"""Straight seams drawn through what the network sees of a block, and the patches between them.

Along each of the ways that seams mostly run, ridges of log-odds become stretches of line; their ends go on to the next
line or the block's side; what they enclose are patches, and patches between which too little of a seam is seen are one.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from functools import cache

import cv2
import numpy as np
import shapely
from numpy.typing import NDArray

from seamlore.photo.block.seams import ACROSS, ANY, DOWN, FALLING, OTHER, RISING, SIDE
from seamlore.photo.reading import Ring

Floats = NDArray[np.float32]
Points = NDArray[np.float64]

WHOLE: Ring = ((0.0, 0.0), (1.0, 0.0), (1.0, 1.0), (0.0, 1.0))

# All in pixels of the map, SIDE to the block.
_RIM = 3  # that belongs to the seams around the block
_APART = 7  # within which one ridge of a way is left standing
_SHORTEST = 6
_REACH = 7.0  # by which an end goes on, or back, to a line it should meet
_ON_SIDE = 3.0  # of the block, within which a line is its side
_SEEN = 0.6  # of a stretch, at which a seam must be seen
_LEAST_AREA, _LEAST_WIDTH = 0.005 * SIDE * SIDE, 2.0  # of a patch
_ASIDE = 4  # by which each end of a slanted line may lie aside from the way it was found along
_STRAIGHT = 1.2  # by which an outline is made simpler
_BOX = np.array([[0.0, 0], [SIDE, 0], [SIDE, SIDE], [0, SIDE]])


def inner(maps: Floats) -> Floats:
    """The maps of a block with what lies a little inside its sides standing for its rim, shape (6, SIDE, SIDE)."""
    within = maps.copy()
    for planes in (within, within.swapaxes(1, 2)):
        planes[:, :_RIM] = planes[:, _RIM, None]
        planes[:, -_RIM:] = planes[:, -_RIM - 1, None]
    return np.clip(within, -3, 4)


def draw_patches(maps: Floats, *, least: float, gap: int, belief: float) -> tuple[Ring, ...]:
    """Draw the patches of a block.

    Parameters
    ----------
    maps : ndarray of float32, shape (6, SIDE, SIDE)
        Log-odds of seams, as `inner` gives them.
    least : float
        Log-odds from which a pixel belongs to a ridge.
    gap : int
        Pixels that a ridge may miss and be one stretch.
    belief : float
        Probability, seen along it in the mean, below which a seam between two patches is none.

    Returns
    -------
    tuple of rings
        Outlines in 0..1 of the block; one alone where there is no seam.

    Examples
    --------
    >>> maps = np.full((6, 64, 64), -3, np.float32)
    >>> maps[[ANY, DOWN], :, 31:33] = 3
    >>> [len(ring) for ring in draw_patches(maps, least=0, gap=4, belief=0.5)]
    [4, 4]
    >>> draw_patches(np.full((6, 64, 64), -3, np.float32), least=0, gap=4, belief=0.5) == (WHOLE,)
    True
    """
    thin = thinned(maps)
    lines = [
        line if way in (ACROSS, DOWN) else aligned(line, maps[way])
        for way in (ACROSS, DOWN, RISING, FALLING)
        for line in _lines(thin[way], way, least, gap)
        if not _on_side(line)
    ]
    lines += [line for line in _other_lines(thin[OTHER], least + 0.3) if not _on_side(line)]
    lines = _meeting(lines)
    if not lines:
        return (WHOLE,)
    return _patches(lines, maps[ANY], belief)


def _diagonal(count: int, rising: bool) -> NDArray[np.uint8]:
    eye = np.eye(count, dtype=np.uint8)
    return eye if rising else np.ascontiguousarray(eye[:, ::-1])


# Across each way: the pixels among which a ridge is the highest.
_ACROSS_WAY = {
    ACROSS: np.ones((_APART, 1), np.uint8),
    DOWN: np.ones((1, _APART), np.uint8),
    RISING: _diagonal(_APART, rising=True),
    FALLING: _diagonal(_APART, rising=False),
    OTHER: np.ones((5, 5), np.uint8),
}


def thinned(maps: Floats) -> Floats:
    """Leave of each way's map the ridges alone."""
    thin = np.full_like(maps, -4.0)
    thin[ANY] = maps[ANY]
    for way, across in _ACROSS_WAY.items():
        smooth = cv2.GaussianBlur(maps[way], (0, 0), 1.0)
        thin[way] = np.where(smooth >= cv2.dilate(smooth, across) - 1e-6, maps[way], -4.0)
    return thin


@cache
def _sheared(way: int) -> tuple[NDArray[np.intp], NDArray[np.intp]]:
    """For each pixel how far across the way it lies, and how far along."""
    y, x = np.mgrid[0:SIDE, 0:SIDE]
    return {ACROSS: (y, x), DOWN: (x, y), RISING: (x + y, x - y), FALLING: (y - x, x + y)}[way]


def _lines(ridges: Floats, way: int, least: float, gap: int) -> list[Points]:
    """Stretches of line of one way, each (2, 2): start and end."""
    across, along = _sheared(way)
    low, first = int(across.min()), int(along.min())
    slant = way in (RISING, FALLING)
    table = np.full((int(across.max()) - low + 1, int(along.max()) - first + 1), -9.0, np.float32)
    table[across - low, along - first] = ridges
    if slant:  # on a slant every other spot is empty
        up = np.pad(table, ((1, 0), (0, 0)), constant_values=-9)[:-1]
        below = np.pad(table, ((0, 1), (0, 0)), constant_values=-9)[1:]
        table = np.maximum(table, np.maximum(up, below))
    wide = cv2.dilate(table, np.ones((3, 1), np.uint8))
    shortest, gap, beside = (round(1.6 * _SHORTEST), 2 * gap, 5) if slant else (_SHORTEST, gap, 3)
    taken = np.zeros(wide.shape, bool)
    found = []
    strength = np.where(wide > -8, np.clip(wide, 0, 3), 0).sum(axis=1)
    over = wide > least
    order = np.argsort(-strength, kind="stable")
    for row in order[over.sum(axis=1)[order] >= 0.5 * shortest]:
        spots = np.flatnonzero(over[row] & ~taken[row])
        if len(spots) < 0.5 * shortest:
            continue
        for run in np.split(spots, np.flatnonzero(np.diff(spots) > gap) + 1):
            start, end = int(run[0]), int(run[-1])
            if end - start + 1 < shortest or over[row, start : end + 1].mean() < _SEEN:
                continue
            top, bottom = max(0, row - 2), min(len(table), row + 3)
            weight = np.clip(table[top:bottom, start : end + 1], 0, None).mean(axis=1) + 1e-6
            middle = float((weight * np.arange(top, bottom)).sum() / weight.sum()) + low
            taken[max(0, row - beside) : row + beside + 1, max(0, start - 1) : end + 2] = True
            found.append(_placed(way, middle, start + first - 0.5, end + first + 0.5))
    return found


def aligned(line: Points, speaks: Floats) -> Points:
    """Lay a slanted line along what speaks for it: few run at exactly half a right angle.

    Parameters
    ----------
    line : ndarray, shape (2, 2)
        Start and end in pixels of the map.
    speaks : ndarray of float32, shape (SIDE, SIDE)
        Log-odds of a seam of its way.

    Examples
    --------
    >>> maps = np.full((64, 64), -3, np.float32)
    >>> _ = cv2.line(maps, (10, 40), (50, 10), 3.0, 2)
    >>> aligned(np.array([[10.0, 44.0], [50.0, 8.0]]), maps).round().tolist()
    [[8.0, 42.0], [51.0, 9.0]]
    """
    run = line[1] - line[0]
    length = float(np.hypot(*run))
    if length < _SHORTEST:
        return line
    normal = np.array([-run[1], run[0]]) / length
    smooth = cv2.GaussianBlur(np.clip(speaks, -3, 3), (0, 0), 0.8)
    shifts = np.arange(-_ASIDE, _ASIDE + 1)
    first, last = (each[..., None, None] * normal for each in np.meshgrid(shifts, shifts, indexing="ij"))
    along = np.arange(0.5, length, 1.0)[:, None] / length
    spots = (line[0] + first) * (1 - along) + (line[1] + last) * along
    x, y = np.moveaxis(np.clip(spots.astype(np.intp), 0, SIDE - 1), -1, 0)
    far = np.abs(shifts)[:, None] + np.abs(shifts)[None]
    worth = smooth[y, x].mean(axis=-1) - 0.02 * far
    one, two = np.unravel_index(int(worth.argmax()), worth.shape)
    return np.stack([line[0] + shifts[one] * normal, line[1] + shifts[two] * normal])


def _placed(way: int, across: float, start: float, end: float) -> Points:
    ends = []
    for along in (start, end):
        x, y = {
            ACROSS: (along, across),
            DOWN: (across, along),
            RISING: ((across + along) / 2, (across - along) / 2),
            FALLING: ((along - across) / 2, (along + across) / 2),
        }[way]
        ends.append((x + 0.5, y + 0.5))
    return np.array(ends)


def _other_lines(ridges: Floats, least: float) -> list[Points]:
    """Stretches that run in none of the four ways, the longest first, no two on each other."""
    mask = (ridges > least).astype(np.uint8)
    seen = cv2.HoughLinesP(mask, 0.5, np.pi / 180, 8, minLineLength=_SHORTEST + 3, maxLineGap=4)
    if seen is None:
        return []
    ends = np.asarray(seen, np.float64).reshape(-1, 2, 2) + 0.5
    found: list[Points] = []
    for line in ends[np.argsort(-np.linalg.norm(ends[:, 1] - ends[:, 0], axis=1), kind="stable")]:
        for other in found:
            run = other[1] - other[0]
            off = np.abs((line - other[0]) @ [-run[1], run[0]]) / np.hypot(*run)
            at = (line - other[0]) @ run / (run @ run)
            if off.max() < 3.5 and at.max() > -0.2 and at.min() < 1.2:
                break
        else:
            found.append(line)
    return found


def _on_side(line: Points) -> bool:
    x, y = line.T
    return bool(min(x.max(), y.max(), (SIDE - x).max(), (SIDE - y).max()) < _ON_SIDE)


def _meeting(lines: list[Points]) -> list[Points]:
    """Let each line end where it meets another, or the block's side."""
    for last in (False, False, True):
        if not lines:
            return []
        sides = [np.stack([_BOX[k], _BOX[(k + 1) % 4]]) for k in range(4)]
        every = np.stack([*lines, *sides])
        start, run = every[:, 0], every[:, 1] - every[:, 0]
        length = np.linalg.norm(run, axis=1)
        count = len(lines)
        turn = run[:count, None, 0] * run[None, :, 1] - run[:count, None, 1] * run[None, :, 0]
        away = start[None] - start[:count, None]
        with np.errstate(divide="ignore", invalid="ignore"):
            mine = (away[..., 0] * run[None, :, 1] - away[..., 1] * run[None, :, 0]) / turn
            theirs = (away[..., 0] * run[:count, None, 1] - away[..., 1] * run[:count, None, 0]) / turn
        parallel = np.abs(turn) < 1e-3 * length[:count, None] * length[None]
        over = np.maximum(0, np.maximum(-theirs, theirs - 1)) * length[None]
        barred = parallel | (over > (3.0 if last else _REACH)) | ~np.isfinite(mine)
        ends = np.empty((count, 2))
        for end in (0, 1):
            off = np.abs(mine - end) * length[:count, None]
            cost = np.where(barred | (off > _REACH), np.inf, off + 0.7 * over)
            best = cost.argmin(axis=1)
            has = np.isfinite(cost[np.arange(count), best])
            ends[:, end] = np.where(has, mine[np.arange(count), best], end)
        lines = [
            start[k] + run[k] * ends[k][:, None] for k in range(count) if (ends[k, 1] - ends[k, 0]) * length[k] > 3
        ]
    return lines


def _patches(lines: Sequence[Points], any_way: Floats, belief: float) -> tuple[Ring, ...]:
    longer = []
    for start, end in lines:
        run = (end - start) / np.hypot(*(end - start))
        longer.append(shapely.LineString([start - 0.6 * run, end + 0.6 * run]))
    box = shapely.box(0, 0, SIDE, SIDE)
    net = shapely.union_all([*(shapely.intersection(line, box) for line in longer), box.exterior])
    faces = list(shapely.get_parts(shapely.polygonize([net])))
    faces = _believed(faces, any_way, belief)
    faces = [part for face in faces for part in _without_holes(face)]
    if len(faces) < 2:
        return (WHOLE,)
    faces = list(shapely.coverage_simplify(faces, _STRAIGHT))
    rings = []
    for face in faces:
        corners = np.clip(shapely.get_coordinates(shapely.orient_polygons(face, exterior_cw=False)) / SIDE, 0, 1)[:-1]
        first = np.lexsort((corners[:, 0].round(3), corners[:, 1].round(3)))[0]
        rings.append(tuple((float(x), float(y)) for x, y in np.roll(corners, -first, axis=0)))
    return tuple(sorted(rings, key=lambda ring: (round(ring[0][1], 2), round(ring[0][0], 2))))


def _believed(faces: list[shapely.Polygon], any_way: Floats, belief: float) -> list[shapely.Polygon]:
    """Join faces between which too little of a seam is seen, and slivers, the least first."""
    seen = cv2.dilate((1 / (1 + np.exp(-any_way))).astype(np.float32), np.ones((3, 3), np.uint8))
    sums: dict[tuple[int, int], list[float]] = {}
    tree = shapely.STRtree(faces)
    for one, two in zip(*tree.query(faces, predicate="touches"), strict=True):
        if one >= two:
            continue
        shared = shapely.intersection(faces[one], faces[two])
        points = [
            shapely.get_coordinates(shapely.line_interpolate_point(part, np.arange(0.5, max(part.length, 0.6), 1.0)))
            for part in shapely.get_parts(shared)
            if part.length > 0
        ]
        if points:
            x, y = np.clip(np.concatenate(points).astype(int), 0, SIDE - 1).T
            sums[int(one), int(two)] = [float(seen[y, x].sum()), float(len(x))]
    group = {k: [k] for k in range(len(faces))}
    area = {k: face.area for k, face in enumerate(faces)}
    around = {k: face.exterior.length for k, face in enumerate(faces)}

    def worth(pair: tuple[int, int], total: float, count: float) -> float:
        small = min(pair, key=lambda k: area[k])
        if area[small] < _LEAST_AREA or 2 * area[small] / around[small] < _LEAST_WIDTH:
            return -count
        return total / count

    while sums:
        least, pair = min((worth(each, *told), each) for each, told in sums.items())
        if least >= belief:
            break
        one, two = pair
        count = sums.pop(pair)[1]
        area[one] += area.pop(two)
        around[one] += around.pop(two) - 2 * count
        around[one] = max(around[one], 1.0)
        group[one] += group.pop(two)
        joined: dict[tuple[int, int], list[float]] = defaultdict(lambda: [0.0, 0.0])
        for (a, b), (total, count) in sums.items():
            a, b = (one if a == two else a), (one if b == two else b)
            key = (min(a, b), max(a, b))
            joined[key][0] += total
            joined[key][1] += count
        sums = dict(joined)
    whole = [shapely.union_all([faces[k] for k in members]) for members in group.values()]
    return [part for each in whole for part in shapely.get_parts(each) if part.geom_type == "Polygon"]


def _without_holes(face: shapely.Polygon) -> list[shapely.Polygon]:
    """Cut a patch that runs round another as frames are mostly sewn: top and bottom across, sides between them."""
    if not face.interiors:
        return [face]
    cuts = []
    for hole in face.interiors:
        x0, y0, x1, y1 = hole.bounds
        left, _, right, _ = face.bounds
        cuts += [shapely.LineString([(left, y), (right, y)]) for y in (y0, y1)]
        del x0, x1
    net = shapely.union_all([face.boundary, *(shapely.intersection(cut, face) for cut in cuts)])
    parts = [each for each in shapely.get_parts(shapely.polygonize([net])) if face.contains(each.point_on_surface())]
    return [part for part in parts if not part.interiors] or [face]
