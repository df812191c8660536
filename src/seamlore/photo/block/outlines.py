"""Turn groups of triangles of a division grid into patches with exact, simple outlines, and back."""

from __future__ import annotations

from collections import defaultdict
from fractions import Fraction

import cv2
import numpy as np
from numpy.typing import NDArray

from seamlore.photo.division import Division, division
from seamlore.photo.reading import Ring

Ints = NDArray[np.intp]
Corner = tuple[int, int]


def simple_patches(labels: Ints, columns: int, rows: int) -> Ints:
    """Split patches that are not one simple piece, and number all in reading order.

    A patch that touches itself at a corner only is two patches; one that runs round another is cut along the shortest
    line of the grid, for no quilter can sew a hole into one piece of cloth.

    Parameters
    ----------
    labels : ndarray of int, shape (triangles,)
        Which patch each triangle belongs to.
    columns, rows : int
        Of the division grid.

    Returns
    -------
    ndarray of int, shape (triangles,)

    Examples
    --------
    >>> int(simple_patches(np.zeros(4, int), 1, 1).max())
    0
    >>> ring = np.zeros(36, int)
    >>> ring[16:20] = 1
    >>> int(simple_patches(ring, 3, 3).max())
    2
    """
    grid = division(columns, rows)
    found = labels.copy()
    waiting = [np.flatnonzero(labels == each) for each in np.unique(labels)]
    done: list[Ints] = []
    while waiting:
        members = waiting.pop()
        parts = _connected(members, grid)
        if len(parts) > 1:
            waiting += parts
        elif len(_loops(members, grid)) == 1:
            done.append(members)
        else:
            waiting += _cut(members, grid)
    order = sorted(done, key=lambda members: _start(_loops(members, grid)[0]))
    for number, members in enumerate(order):
        found[members] = number
    return found


def rings(labels: Ints, columns: int, rows: int) -> list[Ring]:
    """The outline of each simple patch, in 0..1 of the block, clockwise from its topmost, leftmost corner.

    Examples
    --------
    >>> rings(np.zeros(4, int), 1, 1)
    [((0.0, 0.0), (1.0, 0.0), (1.0, 1.0), (0.0, 1.0))]
    >>> rings(np.array([0, 1, 1, 0]), 1, 1)[1]
    ((1.0, 0.0), (1.0, 1.0), (0.0, 1.0))
    """
    grid = division(columns, rows)
    found = []
    for number in range(int(labels.max()) + 1):
        loop = _straightened(_loops(np.flatnonzero(labels == number), grid)[0])
        found.append(tuple((float(Fraction(x, 2 * columns)), float(Fraction(y, 2 * rows))) for x, y in loop))
    return found


def _connected(members: Ints, grid: Division) -> list[Ints]:
    inside = np.zeros(len(grid.corners), dtype=bool)
    inside[members] = True
    label = np.arange(len(grid.corners))
    pairs = grid.pairs[inside[grid.pairs].all(axis=1)]
    while len(pairs):
        lowest = label[pairs].min(axis=1)
        before = label.copy()
        np.minimum.at(label, pairs[:, 0], lowest)
        np.minimum.at(label, pairs[:, 1], lowest)
        label = label[label]
        if (label == before).all():
            break
    return [members[label[members] == each] for each in np.unique(label[members])]


def _loops(members: Ints, grid: Division) -> list[list[Corner]]:
    """All closed outlines of a connected patch, clockwise; more than one, or one through a corner twice, is not simple."""
    loose: set[tuple[Corner, Corner]] = set()
    for triangle in grid.corners[members].tolist():
        ring = [tuple(corner) for corner in triangle]
        for side in zip(ring, ring[1:] + ring[:1], strict=True):
            if side[::-1] in loose:
                loose.remove(side[::-1])
            else:
                loose.add(side)
    follow: dict[Corner, list[Corner]] = defaultdict(list)
    for start, end in sorted(loose):
        follow[start].append(end)
    loops = []
    while follow:
        first = min(follow)
        loop, corner = [first], follow[first].pop()
        while corner != first:
            loop.append(corner)
            corner = follow[corner].pop()
        follow = defaultdict(list, {key: ends for key, ends in follow.items() if ends})
        loops.append(loop)
    # A corner passed twice hides a second loop.
    if len(loops) == 1 and len(set(loops[0])) < len(loops[0]):
        loops.append([])
    return loops


def _start(loop: list[Corner]) -> tuple[int, int]:
    return min((y, x) for x, y in loop)


def _straightened(loop: list[Corner]) -> list[Corner]:
    kept = [
        corner
        for before, corner, after in zip(loop[-1:] + loop[:-1], loop, loop[1:] + loop[:1], strict=True)
        if (corner[0] - before[0]) * (after[1] - corner[1]) != (corner[1] - before[1]) * (after[0] - corner[0])
    ]
    first = min(range(len(kept)), key=lambda index: (kept[index][1], kept[index][0]))
    return kept[first:] + kept[:first]


def _cut(members: Ints, grid: Division) -> list[Ints]:
    """Cut a patch in two along the line of the grid that makes the shortest seam and leaves the fewest holes."""
    middles = grid.corners[members].mean(axis=1)
    inside = np.zeros(len(grid.corners), dtype=bool)
    inside[members] = True
    within = inside[grid.pairs].all(axis=1)
    pairs, lengths = grid.pairs[within], grid.lengths[within]
    best: tuple[float, list[Ints]] | None = None
    for along in ((1, 0), (0, 1), (1, 1), (1, -1)):
        at = middles @ np.array(along)
        for line in range(int(np.floor(at.min())) // 2 * 2, int(np.ceil(at.max())) + 1, 2):
            side = np.zeros(len(grid.corners), dtype=bool)
            side[members] = at > line
            across = side[pairs[:, 0]] != side[pairs[:, 1]]
            if not across.any():
                continue
            parts = _connected(members[at > line], grid) + _connected(members[at <= line], grid)
            holes = sum(len(_loops(part, grid)) - 1 for part in parts)
            price = float(lengths[across].sum()) + 100.0 * holes + 0.01 * len(parts)
            if best is None or price < best[0]:
                best = (price, parts)
    if best is None:
        return [np.array([each]) for each in members]
    return best[1]


def painted(outlines: list[Ring] | tuple[Ring, ...], size: int) -> Ints:
    """Which outline covers each pixel of a square, shape (size, size); later ones lie on top.

    Examples
    --------
    >>> painted([((0, 0), (1, 0), (1, 1), (0, 1)), ((0.5, 0), (1, 0), (1, 1), (0.5, 1))], 4)[0].tolist()
    [0, 0, 1, 1]
    >>> painted([], 2).tolist()
    [[0, 0], [0, 0]]
    """
    fine = 4 * size
    drawn = np.zeros((fine, fine), dtype=np.int32)
    for number, ring in enumerate(outlines):
        corners = np.rint((np.array(ring) * fine - 0.5) * 256).astype(np.int32)
        cv2.fillPoly(drawn, [corners], number, shift=8)
    return drawn[2::4, 2::4].astype(np.intp)
