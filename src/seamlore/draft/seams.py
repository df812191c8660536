"""The seams of a block: where they run and which two patches each stretch joins."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from fractions import Fraction
from math import hypot
from typing import NamedTuple

from seamlore.draft.block import Block
from seamlore.draft.exact.outlines import Point, Whole, direction, whole_numbers

# A line of the plane: its direction as `exact.direction` tells it, and its offset.
Line = tuple[Whole, Whole, Whole]
Segment = tuple[tuple[float, float], tuple[float, float]]
# Every block on 1 to 16 divisions has whole corners on a side of this length: it is the least common multiple of
# 1 to 16. Fractions off that grid are rounded onto it, which moves them by less than a millionth of the side; blocks
# with a square root of two in them are not rounded.
SIDE = 720720


class Stretch(NamedTuple):
    """A part of a line, from one parameter to another; a parameter is direction times corner."""

    line: Line
    start: Whole
    end: Whole


@dataclass(frozen=True, slots=True)
class Seam:
    """A stretch of seam with one patch on each side.

    Parameters
    ----------
    start, end : tuple of numbers
        Corners, in parts of `SIDE` from the block's top left corner; `start` is the left, or upper, end.
    patches : tuple of int
        Indices of the two patches that it joins, the smaller first.
    """

    start: Point
    end: Point
    patches: tuple[int, int]

    @property
    def segment(self) -> Segment:
        """The two ends in parts of the block's side."""
        (x0, y0), (x1, y1) = self.start, self.end
        return (float(x0) / SIDE, float(y0) / SIDE), (float(x1) / SIDE, float(y1) / SIDE)


def on_fine_grid(block: Block) -> list[list[Point]]:
    """Give the outlines of a block's patches in numbers from 0 to `SIDE`, whole but for those with a root in them.

    Examples
    --------
    >>> from seamlore.draft.text.notation import read_block
    >>> on_fine_grid(read_block("block Plain\\nA light\\n\\nA"))
    [[(0, 0), (720720, 0), (720720, 720720), (0, 720720)]]
    """
    scale, rings = whole_numbers([each.outline for each in block.patches])
    if SIDE % scale == 0:
        return [[(x * (SIDE // scale), y * (SIDE // scale)) for x, y in ring] for ring in rings]
    whole = all(isinstance(number, int) for ring in rings for corner in ring for number in corner)
    return [[(_on_grid(x, scale, whole), _on_grid(y, scale, whole)) for x, y in ring] for ring in rings]


def _on_grid(number: Whole, scale: int, rounded: bool) -> Whole:
    there = Fraction(SIDE, scale) * number
    if isinstance(there, Fraction) and (rounded or there.denominator == 1):
        return round(there)
    return there


def line_of(start: Point, end: Point) -> Line:
    """The line through two different corners."""
    dx, dy = direction(end[0] - start[0], end[1] - start[1])
    return dx, dy, dx * start[1] - dy * start[0]


def seams(block: Block) -> tuple[Seam, ...]:
    """List every stretch of seam in a block.

    Parameters
    ----------
    block : Block
        Any block.

    Returns
    -------
    tuple of Seam
        Each joins two patches along its whole length; sorted by place.

    Examples
    --------
    >>> from seamlore.draft.text.notation import read_block
    >>> [each.patches for each in seams(read_block("block Four Patch\\nA dark\\nB light\\n\\nA B\\nB A"))]
    [(0, 2), (0, 1), (2, 3), (1, 3)]
    >>> seams(read_block("block Plain\\nA light\\n\\nA"))
    ()
    """
    sides: dict[Line, list[tuple[Whole, Whole, int]]] = defaultdict(list)
    corners: dict[tuple[Line, Whole], Point] = {}
    for index, ring in enumerate(on_fine_grid(block)):
        for before, corner in zip([ring[-1], *ring[:-1]], ring, strict=True):
            if before == corner:
                continue
            line = line_of(before, corner)
            ends = sorted((line[0] * x + line[1] * y, (x, y)) for x, y in (before, corner))
            for along, spot in ends:
                corners[line, along] = spot
            sides[line].append((ends[0][0], ends[1][0], index))
    found = []
    for line, spans in sides.items():
        marks = sorted({mark for start, end, _ in spans for mark in (start, end)})
        at = {mark: place for place, mark in enumerate(marks)}
        beside: list[list[int]] = [[] for _ in marks]
        for start, end, index in spans:
            for place in range(at[start], at[end]):
                beside[place].append(index)
        for place, both in enumerate(beside):
            if len(both) == 2:
                one, two = sorted(both)
                found.append(Seam(corners[line, marks[place]], corners[line, marks[place + 1]], (one, two)))
    return tuple(sorted(found, key=lambda seam: (seam.start, seam.end)))


def stretches(found: Iterable[Seam]) -> list[Stretch]:
    """Join seams that follow on from each other on one line.

    Examples
    --------
    >>> from seamlore.draft.text.notation import read_block
    >>> len(stretches(seams(read_block("block Four Patch\\nA dark\\nB light\\n\\nA B\\nB A"))))
    2
    >>> stretches([])
    []
    """
    by_line: dict[Line, list[tuple[Whole, Whole]]] = defaultdict(list)
    for seam in found:
        line = line_of(seam.start, seam.end)
        start, end = (line[0] * x + line[1] * y for x, y in (seam.start, seam.end))
        by_line[line].append((min(start, end), max(start, end)))
    joined = []
    for line, spans in by_line.items():
        spans.sort()
        start, end = spans[0]
        for nxt, last in spans[1:]:
            if nxt > end:
                joined.append(Stretch(line, start, end))
                start = nxt
            end = max(end, last)
        joined.append(Stretch(line, start, end))
    return sorted(joined)


def length(stretch: Stretch) -> float:
    """Length of a stretch in parts of the block's side."""
    dx, dy, _ = stretch.line
    return float(stretch.end - stretch.start) / hypot(dx, dy) / SIDE


def ends(stretch: Stretch) -> tuple[tuple[float, float], tuple[float, float]]:
    """The two ends of a stretch in parts of the block's side."""
    (dx, dy, offset), norm = stretch.line, SIDE * (stretch.line[0] ** 2 + stretch.line[1] ** 2)
    first, last = (
        (float(dx * along - dy * offset) / float(norm), float(dy * along + dx * offset) / float(norm))
        for along in (stretch.start, stretch.end)
    )
    return first, last


def moved(given: Sequence[Stretch], turn: int, mirrored: bool) -> list[Stretch]:
    """Mirror stretches left to right (if asked), then turn them clockwise about the middle of the block.

    Examples
    --------
    >>> upright = Stretch((0, 1, -360360), 0, 720720)
    >>> moved([upright], 90, False)
    [Stretch(line=(1, 0, 360360), start=0, end=720720)]
    """
    return moved_ends(exact_ends(given), turn, mirrored)


def exact_ends(given: Sequence[Stretch]) -> list[tuple[Point, Point]]:
    """Where stretches begin and end, in parts of `SIDE`."""
    found = []
    for (dx, dy, offset), start, end in given:
        norm = dx * dx + dy * dy
        a, b = dy * offset, dx * offset
        first = _over(dx * start - a, norm), _over(dy * start + b, norm)
        found.append((first, (_over(dx * end - a, norm), _over(dy * end + b, norm))))
    return found


def moved_ends(given: Sequence[tuple[Point, Point]], turn: int, mirrored: bool) -> list[Stretch]:
    """Mirror and turn stretches that are given by their ends."""
    quarters = turn // 90 % 4
    found = []
    for (x0, y0), (x1, y1) in given:
        if mirrored:
            x0, x1 = SIDE - x0, SIDE - x1
        if quarters == 1:
            x0, y0, x1, y1 = SIDE - y0, x0, SIDE - y1, x1
        elif quarters == 2:
            x0, y0, x1, y1 = SIDE - x0, SIDE - y0, SIDE - x1, SIDE - y1
        elif quarters == 3:
            x0, y0, x1, y1 = y0, SIDE - x0, y1, SIDE - x1
        dx, dy = direction(x1 - x0, y1 - y0)
        one, two = dx * x0 + dy * y0, dx * x1 + dy * y1
        found.append(Stretch((dx, dy, dx * y0 - dy * x0), min(one, two), max(one, two)))
    return sorted(found)


def _over(number: Whole, norm: Whole) -> Whole:
    """Divide exactly: every end is a corner of the fine grid, or has a root in it."""
    if isinstance(number, int) and isinstance(norm, int):
        return number // norm
    there = Fraction(1) * number / norm
    return there.numerator if isinstance(there, Fraction) and there.denominator == 1 else there


def difference(given: Sequence[Stretch], other: Sequence[Stretch]) -> list[Stretch]:
    """What is left of stretches where another set of stretches runs over them.

    Examples
    --------
    >>> whole, half = Stretch((1, 0, 0), 0, 10), Stretch((1, 0, 0), 4, 6)
    >>> [(each.start, each.end) for each in difference([whole], [half])]
    [(0, 4), (6, 10)]
    >>> difference([], [half])
    []
    """
    covers: dict[Line, list[tuple[Whole, Whole]]] = defaultdict(list)
    for line, start, end in other:
        covers[line].append((start, end))
    left = []
    for line, start, end in given:
        at = start
        for low, high in sorted(covers.get(line, ())):
            if high <= at or low >= end:
                continue
            if low > at:
                left.append(Stretch(line, at, low))
            at = max(at, high)
        if at < end:
            left.append(Stretch(line, at, end))
    return left
