"""Where pieces of cloth meet: their outlines joined into one net of corners and stretches of seam.

Corners keep the exact numbers they came with. Which corners are one, which lie on a side and which sides lie on one
line is told by floats, to within a millionth of the whole: pieces on point come with diagonals that are already
rounded to a millionth of a millionth.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from seamlore.draft.block import Corner
from seamlore.errors import ShapeError

# In parts of the longest side of all: the narrowest patch is a thousandth of a block, and a quilt a hundred blocks long.
_NEAR = 1e-7
_SAME_SLOPE = 1e-6
# Sides that are looked at together, so that large quilts do not fill the memory.
_AT_ONCE = 256


class Stretch(NamedTuple):
    """A stretch of a line between two neighboring corners.

    Parameters
    ----------
    start, end : int
        Its corners; `end` lies further to the right, or straight down.
    line : int
        Which line it lies on; stretches of one line have one number.
    left, right : int
        The pieces on its two sides, -1 for none: of a line that runs to the right, `right` lies below it.
    """

    start: int
    end: int
    line: int
    left: int
    right: int


@dataclass(frozen=True, eq=False)
class SeamMap:
    """Pieces of cloth in their places, and every stretch of seam between them.

    Parameters
    ----------
    rings : tuple of outlines
        Each a tuple of corner numbers, clockwise as seen; corners of its neighbors that lie on its sides are in it.
    corners : tuple of (Exact, Exact)
        By number.
    points : ndarray, shape (n, 2)
        The same as floats.
    stretches : tuple of Stretch
    slopes : ndarray
        Of each line: its angle from x, 0 to pi, clockwise as seen. Stretches run to the right, or straight down.
    """

    rings: tuple[tuple[int, ...], ...]
    corners: tuple[Corner, ...]
    points: NDArray[np.float64]
    stretches: tuple[Stretch, ...]
    slopes: NDArray[np.float64]
    of_piece: tuple[tuple[int, ...], ...]

    @property
    def everything(self) -> frozenset[int]:
        """All pieces."""
        return frozenset(range(len(self.rings)))

    @cached_property
    def beside(self) -> tuple[tuple[tuple[int, int], ...], ...]:
        """Of each piece: the number of every stretch along it, and the piece on its other side."""
        return tuple(
            tuple(
                (number, each.left if each.right == piece else each.right)
                for number in numbers
                for each in (self.stretches[number],)
            )
            for piece, numbers in enumerate(self.of_piece)
        )

    def inside(self, pieces: frozenset[int]) -> list[int]:
        """Numbers of the stretches with some of these pieces on both sides."""
        return [
            number
            for number in sorted({number for piece in pieces for number in self.of_piece[piece]})
            if self.stretches[number].left in pieces and self.stretches[number].right in pieces
        ]

    def edge(self, pieces: frozenset[int]) -> list[int]:
        """Numbers of the stretches with one of these pieces on one side only."""
        return [
            number
            for number in sorted({number for piece in pieces for number in self.of_piece[piece]})
            if (self.stretches[number].left in pieces) != (self.stretches[number].right in pieces)
        ]

    def between(self, one: frozenset[int], other: frozenset[int]) -> list[int]:
        """Numbers of the stretches with one of `one` on one side and one of `other` on the other."""
        small, large = (one, other) if len(one) <= len(other) else (other, one)
        return [
            number
            for number in sorted({number for piece in small for number in self.of_piece[piece]})
            if {self.stretches[number].left in large, self.stretches[number].right in large} == {True, False}
            and (self.stretches[number].left in small or self.stretches[number].right in small)
        ]

    def components(self, pieces: frozenset[int], without: Iterable[int]) -> list[frozenset[int]]:
        """What pieces fall into when some stretches between them are not sewn; by their smallest piece."""
        cut, left, found = set(without), set(pieces), []
        for piece in sorted(pieces):
            if piece not in left:
                continue
            left.discard(piece)
            group, waiting = {piece}, [piece]
            while waiting:
                for number, there in self.beside[waiting.pop()]:
                    if there in left and number not in cut:
                        left.discard(there)
                        group.add(there)
                        waiting.append(there)
            found.append(frozenset(group))
        return found

    def outline(self, pieces: frozenset[int]) -> tuple[Corner, ...]:
        """The outline of pieces that are sewn together: exact corners, clockwise, those on straight sides left out.

        Raises
        ------
        ShapeError
            When they do not make one piece of cloth without a hole.
        """
        return tuple(self.corners[at] for at in self.bent(pieces))

    def bent(self, pieces: frozenset[int]) -> tuple[int, ...]:
        """The numbers of the corners of an outline; as `outline`."""
        follow = {}
        for number in self.edge(pieces):
            each = self.stretches[number]
            start, end = (each.start, each.end) if each.right in pieces else (each.end, each.start)
            if start in follow:
                raise ShapeError(
                    "pieces that meet in a point only", "they are sewn along a seam", "join others first"
                )
            follow[start] = end, each.line
        first = min(follow, key=lambda at: (self.points[at][1], self.points[at][0]))
        ring, at = [first], follow[first][0]
        while at != first:
            ring.append(at)
            at = follow[at][0]
        if len(ring) != len(follow):
            raise ShapeError("pieces round a hole", "sewn pieces have one outline", "join others first")
        lines = [follow[at][1] for at in ring]
        return tuple(
            at for at, before, line in zip(ring, lines[-1:] + lines[:-1], lines, strict=True) if before != line
        )

    def path(self, numbers: Sequence[int]) -> tuple[int, ...]:
        """The corners along stretches that follow on from each other, from its left (or upper) end.

        Raises
        ------
        ShapeError
            When they are not one line from end to end.
        """
        ends: dict[int, list[int]] = defaultdict(list)
        for number in numbers:
            ends[self.stretches[number].start].append(number)
            ends[self.stretches[number].end].append(number)
        tips = [at for at, touching in ends.items() if len(touching) == 1]
        if len(tips) != 2 or any(len(touching) > 2 for touching in ends.values()):
            raise ShapeError("a seam in several bits", "a seam runs from one end to the other", "join others first")
        at = min(tips, key=lambda tip: (self.points[tip][0], self.points[tip][1]))
        found, used = [at], -1
        while True:
            onward = [number for number in ends[at] if number != used]
            if not onward:
                break
            used = onward[0]
            each = self.stretches[used]
            at = each.end if each.start == at else each.start
            found.append(at)
        if len(found) != len(numbers) + 1:
            raise ShapeError("a seam in several bits", "a seam runs from one end to the other", "join others first")
        return tuple(found)

    def bends(self, path: Sequence[int]) -> tuple[Corner, ...]:
        """The exact corners of a path: its ends and where it turns."""
        kept = [path[0]]
        for before, at, after in zip(path, path[1:], path[2:], strict=False):
            one, two = self.points[at] - self.points[before], self.points[after] - self.points[at]
            if abs(one[0] * two[1] - one[1] * two[0]) > 1e-6 * float(np.hypot(*one) * np.hypot(*two)):
                kept.append(at)
        return tuple(self.corners[at] for at in (*kept, path[-1]))


def seam_map(outlines: Sequence[Sequence[Corner]]) -> SeamMap:
    """Join outlines into one net.

    Parameters
    ----------
    outlines : sequence of outlines
        Exact corners in order, either way round; none over another.

    Returns
    -------
    SeamMap

    Examples
    --------
    >>> from seamlore.draft.text.notation import read_block
    >>> four = read_block("block Four Patch\\nA dark\\nB light\\n\\nA B\\nB A")
    >>> net = seam_map([each.outline for each in four.patches])
    >>> len(net.corners), len(net.stretches), len(net.inside(net.everything)), len(set(net.slopes))
    (9, 12, 4, 2)
    >>> seam_map([]).stretches
    ()
    """
    rings = [_clockwise(ring) for ring in outlines]
    given = np.array([[float(x), float(y)] for ring in rings for x, y in ring]).reshape(-1, 2)
    extent = float(np.ptp(given, axis=0).max()) if len(given) else 1.0
    numbers, points = _gathered(given, extent * _NEAR)
    exact: dict[int, Corner] = {}
    for number, corner in zip(numbers, (corner for ring in rings for corner in ring), strict=True):
        exact.setdefault(number, corner)
    pieces = np.split(np.array(numbers), np.cumsum([len(ring) for ring in rings])[:-1]) if rings else []
    found = _with_corners_between([piece.tolist() for piece in pieces], points, extent * _NEAR)
    stretches, slopes = _stretches(found, points, extent * _NEAR)
    of_piece: list[list[int]] = [[] for _ in found]
    for number, each in enumerate(stretches):
        for piece in (each.left, each.right):
            if piece >= 0:
                of_piece[piece].append(number)
    return SeamMap(
        tuple(map(tuple, found)),
        tuple(exact[number] for number in range(len(points))),
        points,
        stretches,
        slopes,
        tuple(map(tuple, of_piece)),
    )


def _clockwise(ring: Sequence[Corner]) -> list[Corner]:
    points = [(float(x), float(y)) for x, y in ring]
    turned = sum(points[index - 1][0] * y - x * points[index - 1][1] for index, (x, y) in enumerate(points))
    return list(ring) if turned > 0 else list(ring)[::-1]


def _gathered(given: NDArray[np.float64], near: float) -> tuple[list[int], NDArray[np.float64]]:
    """Number corners, those in one place alike, from left to right."""
    order = np.lexsort((given[:, 1], given[:, 0]))
    kept: list[tuple[float, float]] = []
    cells: dict[tuple[int, int], int] = {}
    numbers = [0] * len(given)
    size = near * 4
    for index in order.tolist():
        x, y = given[index].tolist()
        column, row = int(x // size), int(y // size)
        for spot in ((column + dx, row + dy) for dx in (0, -1, 1) for dy in (0, -1, 1)):
            number = cells.get(spot)
            if number is not None and abs(kept[number][0] - x) < near and abs(kept[number][1] - y) < near:
                numbers[index] = number
                break
        else:
            numbers[index] = cells[column, row] = len(kept)
            kept.append((x, y))
    return numbers, np.array(kept).reshape(-1, 2)


def _with_corners_between(
    rings: Sequence[Sequence[int]], points: NDArray[np.float64], near: float
) -> list[list[int]]:
    """Outlines with every corner that lies on one of their sides; `points` go from left to right."""
    sides = [(one, two) for ring in rings for one, two in zip(ring, [*ring[1:], ring[0]], strict=True)]
    if not sides:
        return []
    ends = np.array(sides)
    one, two = points[ends[:, 0]], points[ends[:, 1]]
    low, high = np.minimum(one[:, 0], two[:, 0]) - near, np.maximum(one[:, 0], two[:, 0]) + near
    between: list[list[int]] = [[] for _ in sides]
    order = np.argsort(low, kind="stable")
    for here in np.split(order, range(_AT_ONCE, len(order), _AT_ONCE)):
        first, last = np.searchsorted(points[:, 0], [low[here].min(), high[here].max()])
        run = two[here] - one[here]
        long = np.hypot(run[:, 0], run[:, 1])[:, None]
        dx, dy = (points[None, first:last, axis] - one[here, None, axis] for axis in (0, 1))
        along = (dx * run[:, :1] + dy * run[:, 1:]) / long
        off = np.abs(dx * run[:, 1:] - dy * run[:, :1]) / long
        side, corner = np.nonzero((off < 2 * near) & (along > 2 * near) & (along < long - 2 * near))
        for at in np.lexsort((along[side, corner], side)):
            between[here[side[at]]].append(int(corner[at] + first))
    found, number = [], 0
    for ring in rings:
        whole: list[int] = []
        for each in ring:
            whole += [each, *between[number]]
            number += 1
        found.append(whole)
    return found


def _stretches(
    rings: Sequence[Sequence[int]], points: NDArray[np.float64], near: float
) -> tuple[tuple[Stretch, ...], NDArray[np.float64]]:
    sides: dict[tuple[int, int], list[int]] = {}
    for piece, ring in enumerate(rings):
        for one, two in zip(ring, [*ring[1:], ring[0]], strict=True):
            right, down = (points[two] - points[one]).tolist()
            onward = right > 0 if abs(right) > near else down > 0
            key = (one, two) if onward else (two, one)
            # Clockwise as seen, a piece lies to the right of the way that its outline goes.
            beside = sides.setdefault(key, [-1, -1])
            if beside[onward] >= 0:
                raise ShapeError("two pieces over each other", "each lies in its own place", "mend the drawing")
            beside[onward] = piece
    if not sides:
        return (), np.zeros(0)
    ends = np.array(list(sides))
    along = points[ends[:, 1]] - points[ends[:, 0]]
    angle = np.arctan2(along[:, 1], along[:, 0]) % np.pi
    angle[angle > np.pi - _SAME_SLOPE] = 0.0
    slope, angles = _clusters(angle, _SAME_SLOPE)
    turned = angles[slope]
    away = points[ends[:, 0], 1] * np.cos(turned) - points[ends[:, 0], 0] * np.sin(turned)
    line = np.zeros(len(ends), np.int64)
    slopes: list[float] = []
    for each in range(len(angles)):
        here = np.flatnonzero(slope == each)
        place, places = _clusters(away[here], 8 * near)
        line[here] = place + len(slopes)
        slopes += [float(angles[each])] * len(places)
    return tuple(
        Stretch(one, two, number, left, right)
        for ((one, two), (left, right)), number in zip(sides.items(), line.tolist(), strict=True)
    ), np.array(slopes)


def _clusters(values: NDArray[np.float64], gap: float) -> tuple[NDArray[np.int64], NDArray[np.float64]]:
    """Number values so that those near each other are alike, and give the first of each."""
    order = np.argsort(values, kind="stable")
    fresh = np.diff(values[order], prepend=-np.inf) > gap
    number = np.empty(len(values), np.int64)
    number[order] = np.cumsum(fresh) - 1
    return number, values[order][fresh]
