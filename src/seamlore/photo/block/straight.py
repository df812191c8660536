"""Blocks taken apart as they were sewn: by straight seams, each right across what it parts.

Where both sides of a seam are of one cloth little of it is seen. Yet a block is pieced so that seams are straight: a seam
that is seen over most of a part goes on through the rest of it, and a patch with a corner that points into it was pieced
of two.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import cache

import cv2
import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.ops import split

from seamlore.photo.block.lines import WHOLE, aligned, thinned
from seamlore.photo.block.seams import ACROSS, ANY, DOWN, FALLING, OTHER, RISING, SIDE
from seamlore.photo.reading import Ring

Floats = NDArray[np.float32]
Points = NDArray[np.float64]

# All in pixels of the map, SIDE to the block.
_LOW, _HIGH = -2.0, 2.5  # log-odds that a pixel can speak for or against a seam
_NARROWEST = 2.5  # of a part, its area to the length of the cut
_SMALLEST = 20.0  # area of a part
_SHORTEST = 5.0
_SHARPEST = 0.974  # cosine of the sharpest corner of a part: a patch that ends in a splinter is one seam seen twice
_SAME_LINE = 1.6  # within which a cut takes the place of one in line with it
_MOST = 80  # parts
_STRAIGHT_ON = 0.12  # of a right angle's sine, by which a corner must point inward to count
_HALF = 0.67  # of a run, as far as it goes across and down, from which it is at half a right angle
_TRIED = 3  # of the cuts of one way
_SHARP = 0.3  # of what speaks for a seam right there, beside what does within a pixel
_OTHER_LEAST, _ASLANT = 0.8, 0.3  # what must speak for a line of none of the four ways, and how much less it is worth
_LONGER = 0.6  # log-odds, in the mean, that a cut e times as long is worth more
_OTHERS = 12  # lines that run in none of the four ways, that are tried


@cache
def _grid() -> tuple[Points, Points]:
    y, x = np.mgrid[0:SIDE, 0:SIDE] + 0.5
    return x, y


# Each way a line may run: what is the same along it, as weights of x and y.
_NORMALS = {ACROSS: (0.0, 1.0), DOWN: (1.0, 0.0), RISING: (1.0, 1.0), FALLING: (-1.0, 1.0)}


def cut_through(maps: Floats, *, least: float, total: float, ridges: bool) -> tuple[Ring, ...]:
    """Draw the patches of a block by cutting it again and again, always right across a part.

    Parameters
    ----------
    maps : ndarray of float32, shape (6, SIDE, SIDE)
        Log-odds of seams, as `lines.inner` gives them.
    least : float
        Log-odds, in the mean along a cut, from which it is made.
    total : float
        The same summed along it.
    ridges : bool
        Whether ridges alone speak for a seam, which keeps seams apart; all that is seen is heard where seams lie aside
        from a straight line.

    Returns
    -------
    tuple of rings
        Outlines in 0..1 of the block, convex; one alone where there is no seam.

    Examples
    --------
    >>> maps = np.full((6, 64, 64), -3, np.float32)
    >>> maps[[ANY, DOWN], :, 31:33] = 3
    >>> maps[[ANY, ACROSS], 31:33, :44] = 3  # as far as it is seen
    >>> [len(ring) for ring in cut_through(maps, least=0, total=8, ridges=True)]
    [4, 4, 4]
    """
    thin = thinned(maps)
    speaks = _prepared(thin if ridges else maps)
    box = np.array([[0.0, 0], [SIDE, 0], [SIDE, SIDE], [0, SIDE]])
    others = _other_lines(maps[OTHER]) + _other_lines(thin[[RISING, FALLING]].max(axis=0))
    waiting: list[Points] = [box]
    done: list[Points] = []
    used: dict[int, list[float]] = {way: [] for way in _NORMALS}
    while waiting:
        part = waiting.pop()
        cut = _best_cut(part, speaks, others, used, least, total) if len(waiting) + len(done) < _MOST else None
        if cut is None:
            done.append(part)
            continue
        normal, at = _turned(part, *cut, maps)
        waiting += [_side_of(part, normal, at), _side_of(part, -normal, -at)]
    if len(done) < 2:
        return (WHOLE,)
    return as_rings(done)


def _prepared(maps: Floats) -> dict[int, tuple[Floats, Floats]]:
    """For each way what speaks for a seam there, within a pixel and right there."""
    kernels = {
        ACROSS: np.ones((3, 1), np.uint8),
        DOWN: np.ones((1, 3), np.uint8),
        RISING: np.eye(3, dtype=np.uint8),
        FALLING: np.ascontiguousarray(np.eye(3, dtype=np.uint8)[:, ::-1]),
    }
    out = {}
    for way, kernel in kernels.items():
        clipped = np.clip(maps[way], _LOW, _HIGH)
        out[way] = np.asarray(cv2.dilate(clipped, kernel), np.float32), np.asarray(clipped, np.float32)
    clipped = np.clip(maps[ANY], _LOW, _HIGH)
    out[ANY] = np.asarray(cv2.dilate(clipped, np.ones((3, 3), np.uint8)), np.float32), np.asarray(clipped, np.float32)
    return out


def _other_lines(ridges: Floats) -> list[tuple[Points, float]]:
    """Lines that run aslant, but not at half a right angle: normal and distance."""
    seen = cv2.HoughLinesP((ridges > 0.3).astype(np.uint8), 0.5, np.pi / 180, 8, minLineLength=9, maxLineGap=4)
    if seen is None:
        return []
    ends = np.asarray(seen, np.float64).reshape(-1, 2, 2) + 0.5
    found: list[tuple[Points, float]] = []
    for a, b in ends[np.argsort(-np.linalg.norm(ends[:, 1] - ends[:, 0], axis=1), kind="stable")]:
        run = (b - a) / np.hypot(*(b - a))
        normal = np.array([-run[1], run[0]])
        at = float(normal @ (a + b) / 2)
        if np.abs(run).min() > _HALF:
            continue
        if all(abs(normal @ other) < 0.985 or abs(at - np.sign(normal @ other) * its) > 3 for other, its in found):
            found.append((normal, at))
        if len(found) == _OTHERS:
            break
    return found


def _best_cut(
    part: Points,
    speaks: dict[int, tuple[Floats, Floats]],
    others: Sequence[tuple[Points, float]],
    used: dict[int, list[float]],
    least: float,
    total: float,
) -> tuple[Points, float] | None:
    """The cut across a part for which most speaks, as normal and distance; None where too little does."""
    inside = np.flatnonzero(_mask(part))
    best: tuple[float, Points, float, int] | None = None
    for way, run in _NORMALS.items():
        unit = np.array(run) / float(np.hypot(*run))
        for at, worth in _cuts_of(part, inside, way, speaks[way], least, total):
            if best is not None and worth <= best[0]:
                break
            where = next((each for each in used[way] if abs(each - at) < _SAME_LINE), at)
            if _parts_fit(part, unit, where):
                best = worth, unit, where, way
                break
    for unit, where in others:
        told = _along(part, unit, where, speaks[ANY][0])
        if told is None or told[0] < max(least, _OTHER_LEAST) or told[0] * told[1] < total:
            continue
        worth_it = (1 + _SHARP) * told[0] + _LONGER * float(np.log(told[1] / SIDE)) - _ASLANT
        if (best is None or worth_it > best[0]) and _parts_fit(part, unit, where):
            best = worth_it, unit, where, OTHER
    if best is None:
        return None
    if best[3] != OTHER:
        used[best[3]].append(best[2])
    return best[1], best[2]


@cache
def _lines_of(way: int) -> tuple[NDArray[np.intp], int, float]:
    """By number from 0, on which line of one way each pixel lies; the lowest number as it is; the normal's length."""
    x, y = _grid()
    a, b = _NORMALS[way]
    scale = float(np.hypot(a, b))
    # Pixels are gathered by the line that they lie on; on a slant two lines lie in one pixel's width.
    number = np.rint(x * a + y * b - (0.0 if scale > 1 else 0.5)).astype(np.intp)
    low = int(number.min())
    return (number - low).ravel(), low, scale


def _cuts_of(
    part: Points, inside: NDArray[np.intp], way: int, speaks: tuple[Floats, Floats], least: float, total: float
) -> list[tuple[float, float]]:
    """The best cuts of one way across a part for which enough speaks: how far each lies, and what it is worth."""
    lines, low, scale = _lines_of(way)
    a, b = _NORMALS[way]
    slant = scale > 1
    reach = part @ (np.array([a, b]) / scale)
    which = lines[inside]
    count = np.bincount(which).astype(float)
    near, there = (np.bincount(which, weights=each.ravel()[inside]) for each in speaks)
    if slant:
        count, near, there = (each + np.append(each[1:], 0) for each in (count, near, there))
    length = count * (scale / 2 if slant else 1.0)
    at = (np.arange(len(count)) + low + 0.5) / scale
    mean, sharp = near / np.maximum(count, 1), there / np.maximum(count, 1)
    possible = (length >= _SHORTEST) & (mean >= least) & (mean * length >= total)
    possible &= (at - reach.min() > _NARROWEST) & (reach.max() - at > _NARROWEST)
    could = np.flatnonzero(possible)
    worth = mean[could] + _SHARP * sharp[could] + _LONGER * np.log(np.maximum(length[could], 1) / SIDE)
    best = np.argsort(-worth, kind="stable")[:_TRIED]
    return list(zip(at[could[best]].tolist(), worth[best].tolist(), strict=True))


def _turned(part: Points, normal: Points, at: float, maps: Floats) -> tuple[Points, float]:
    """A slanted cut as it lies; few run at exactly half a right angle."""
    way = next((way for way in (RISING, FALLING) if abs(abs(normal @ _NORMALS[way]) - np.sqrt(2)) < 1e-6), None)
    ends = None if way is None else _crossing(part, normal, at)
    if ends is None or way is None:
        return normal, at
    a, b = aligned(ends, maps[way])
    run = (b - a) / max(float(np.hypot(*(b - a))), 1e-9)
    turned = np.array([-run[1], run[0]])
    if turned @ normal < 0:
        turned = -turned
    there = float(turned @ (a + b) / 2)
    if abs(turned @ normal) > 0.998 or not _parts_fit(part, turned, there):
        return normal, at
    return turned, there


def _along(part: Points, normal: Points, at: float, speaks: Floats) -> tuple[float, float] | None:
    """What speaks for a cut in the mean, and how long it is; None where it does not cross the part."""
    ends = _crossing(part, normal, at)
    if ends is None:
        return None
    length = float(np.hypot(*(ends[1] - ends[0])))
    if length < _SHORTEST:
        return None
    spots = ends[0] + np.arange(0.5, length, 1.0)[:, None] / length * (ends[1] - ends[0])
    x, y = np.clip(spots.astype(np.intp), 0, SIDE - 1).T
    return float(speaks[y, x].mean()), length


def _crossing(part: Points, normal: Points, at: float) -> Points | None:
    off = (part @ normal - at).tolist()
    ends = []
    for k, a in enumerate(off):
        after = (k + 1) % len(off)
        b = off[after]
        if (a < 0) != (b < 0):
            ends.append(part[k] + (part[after] - part[k]) * (a / (a - b)))
    return np.array(ends) if len(ends) == 2 else None


def _parts_fit(part: Points, normal: Points, at: float) -> bool:
    """Whether both parts of a cut are large enough to have been sewn."""
    ends = _crossing(part, normal, at)
    if ends is None:
        return False
    length = float(np.hypot(*(ends[1] - ends[0])))
    for sign in (1.0, -1.0):
        side = _side_of(part, sign * normal, sign * at)
        area = _area(side)
        if area < _SMALLEST or area / max(length, 1e-6) < 0.5 * _NARROWEST or _sharpest(side) > _SHARPEST:
            return False
    return True


def _sharpest(part: Points) -> float:
    """The cosine of the sharpest corner of a convex outline."""
    after = _next(part) - part
    long = np.hypot(*after.T)
    after = after[long > 0.3] / long[long > 0.3, None]
    return float(-(after * np.concatenate([after[-1:], after[:-1]])).sum(axis=1).min())


def _next(part: Points) -> Points:
    """Of each corner the next one."""
    return np.concatenate([part[1:], part[:1]])


def _side_of(part: Points, normal: Points, at: float) -> Points:
    """The part of a convex outline where ``point @ normal <= at``."""
    off = (part @ normal - at).tolist()
    out = []
    for k, a in enumerate(off):
        after = (k + 1) % len(off)
        b = off[after]
        if a <= 1e-9:
            out.append(part[k])
        if (a < -1e-9 and b > 1e-9) or (a > 1e-9 and b < -1e-9):
            out.append(part[k] + (part[after] - part[k]) * (a / (a - b)))
    return np.array(out).reshape(-1, 2)


def _area(part: Points) -> float:
    (x, y), (after_x, after_y) = part.T, _next(part).T
    return 0.5 * abs(float((x * after_y - after_x * y).sum()))


def _mask(part: Points) -> NDArray[np.bool_]:
    x, y = _grid()
    across, down = x[:1], y[:, :1]
    inside = np.ones((SIDE, SIDE), bool)
    sign = _around(part)
    for a, b in zip(part, _next(part), strict=True):
        inside &= sign * ((b[0] - a[0]) * (down - a[1]) - (b[1] - a[1]) * (across - a[0])) >= 0
    return inside


def as_rings(parts: Sequence[Points]) -> tuple[Ring, ...]:
    """Outlines in 0..1 of the block, in order, from outlines in pixels of the map.

    Examples
    --------
    >>> as_rings([np.array([[64.0, 0], [0, 0], [0, 64]])])
    (((0.0, 0.0), (1.0, 0.0), (0.0, 1.0)),)
    """
    rings = []
    for part in parts:
        corners = np.clip(part / SIDE, 0, 1)
        kept = [at for at in range(len(corners)) if np.abs(corners[at] - corners[at - 1]).max() > 1e-3]
        corners = corners[kept]
        if len(corners) < 3:
            continue
        if _around(corners) < 0:
            corners = corners[::-1]
        first = np.lexsort((corners[:, 0].round(3), corners[:, 1].round(3)))[0]
        rings.append(tuple((float(x), float(y)) for x, y in np.roll(corners, -first, axis=0)))
    return tuple(sorted(rings, key=lambda ring: (round(ring[0][1], 2), round(ring[0][0], 2))))


def inward(drawing: Sequence[Ring]) -> int:
    """How many corners of its patches point into them.

    Examples
    --------
    >>> inward([((0.0, 0.0), (1.0, 0.0), (1.0, 0.5), (0.5, 0.5), (0.5, 1.0), (0.0, 1.0))])
    1
    """
    return sum(len(_inward(np.asarray(ring))) for ring in drawing)


def _inward(ring: Points) -> NDArray[np.intp]:
    after = np.concatenate([ring[1:], ring[:1]]) - ring
    before = np.concatenate([after[-1:], after[:-1]])
    turn = before[:, 0] * after[:, 1] - before[:, 1] * after[:, 0]
    size = np.hypot(after[:, 0], after[:, 1])
    size = size * np.concatenate([size[-1:], size[:-1]])
    return np.flatnonzero(_around(ring) * turn < -_STRAIGHT_ON * size)


def _around(ring: Points) -> float:
    """1 where an outline runs clockwise as it is seen, -1 where it runs the other way."""
    after = np.concatenate([ring[1:], ring[:1]])
    return float(np.sign((ring[:, 0] * after[:, 1] - after[:, 0] * ring[:, 1]).sum()))


def completed(drawing: Sequence[Ring], maps: Floats) -> tuple[Ring, ...]:
    """Part every patch with a corner that points into it, by seams that go straight on from there.

    Parameters
    ----------
    drawing : sequence of rings
        Outlines in 0..1 of the block.
    maps : ndarray of float32, shape (6, SIDE, SIDE)
        Log-odds of seams, by which the likelier way is chosen.

    Returns
    -------
    tuple of rings

    Examples
    --------
    >>> corner = ((0.0, 0.0), (1.0, 0.0), (1.0, 0.5), (0.5, 0.5), (0.5, 1.0), (0.0, 1.0))
    >>> maps = np.full((6, 64, 64), -3, np.float32)
    >>> maps[ANY, 31:33] = 0
    >>> len(completed([corner], maps)), len(completed([WHOLE], maps))
    (2, 1)
    """
    clipped = np.clip(maps[ANY], _LOW, _HIGH)
    seen = np.asarray(cv2.dilate(clipped, np.ones((3, 3), np.uint8)), np.float32)
    waiting = [np.asarray(ring, float) * SIDE for ring in drawing]
    done: list[Points] = []
    while waiting:
        part = waiting.pop()
        corners = _inward(part)
        parts = _parted(part, corners, seen) if len(corners) and len(waiting) + len(done) < 2 * _MOST else []
        if parts:
            waiting += parts
        else:
            done.append(part)
    return as_rings(done)


def _parted(part: Points, corners: NDArray[np.intp], seen: Floats) -> list[Points]:
    """The two parts of a patch along the likeliest line on from one of its inward corners."""
    face = shapely.Polygon(part)
    best: tuple[float, shapely.LineString] | None = None
    inner = face.buffer(1e-6)
    for k in corners:
        for beside in (k - 1, (k + 1) % len(part)):
            run = part[k] - part[beside]
            run = run / max(float(np.hypot(*run)), 1e-9)
            far = shapely.LineString([part[k] - 1e-3 * run, part[k] + 3 * SIDE * run])
            inside = [each for each in shapely.get_parts(shapely.intersection(far, inner)) if each.length > 0]
            ahead = [each for each in inside if each.distance(shapely.Point(part[k])) < 1e-2]
            if not ahead or ahead[0].length < 1.5:
                continue
            line = ahead[0]
            end = np.asarray(line.coords[-1])
            near = part[np.argmin(np.hypot(*(part - end).T))]
            snaps = float(np.hypot(*(near - end))) < 2
            spots = shapely.get_coordinates(shapely.line_interpolate_point(line, np.arange(0.5, line.length, 1.0)))
            x, y = np.clip(spots.astype(np.intp), 0, SIDE - 1).T
            worth = float(seen[y, x].mean()) - 0.3 * line.length / SIDE + 0.5 * snaps
            if best is None or worth > best[0]:
                stop = near if snaps else end + run
                best = worth, shapely.LineString([part[k] - 1e-6 * run, stop])
    if best is None:
        return []
    faces = [each for each in shapely.get_parts(split(face, best[1])) if each.area > 1]
    if len(faces) < 2:
        return []
    return [_tidied(shapely.get_coordinates(each)[:-1]) for each in faces]


def _tidied(ring: Points) -> Points:
    """Without corners that turn nothing."""
    plain = shapely.get_coordinates(shapely.simplify(shapely.Polygon(ring), 0.4))[:-1]
    return plain if len(plain) >= 3 else ring
