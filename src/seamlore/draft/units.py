"""The units inside a block: parts that are sewn by themselves, such as four patches and half-square triangles.

A block is taken apart along seams that run from edge to edge, and each part again, as one would lay it out for
sewing; what comes apart no further, or into nothing but squares or strips, is a unit if the trade has a name for it.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise, product
from typing import Literal

from seamlore.draft.block import Block, Patch
from seamlore.draft.exact.roots import Exact
from seamlore.once import Once

Kind = Literal[
    "four patch", "nine patch", "half-square triangle", "quarter-square triangle", "split quarter-square triangle",
    "flying geese", "triangle in a square", "square in a square", "strip set",
]  # fmt: skip
KINDS: tuple[Kind, ...] = (
    "four patch", "nine patch", "half-square triangle", "quarter-square triangle", "split quarter-square triangle",
    "flying geese", "triangle in a square", "square in a square", "strip set",
)  # fmt: skip
Box = tuple[Exact, Exact, Exact, Exact]
_WHOLE: Box = (Fraction(0), Fraction(0), Fraction(1), Fraction(1))
_QUARTER, _HALF, _EIGHTH = Fraction(1, 4), Fraction(1, 2), Fraction(1, 8)


@dataclass(frozen=True, slots=True)
class BlockUnit:
    """One unit where it lies in the block.

    Parameters
    ----------
    kind : str
        What the trade calls it.
    patches : tuple of int
        Indices of its patches in the block; the rest can be dimmed to show it alone.
    box : tuple of Exact
        Left, top, right, bottom in parts of the block's side.
    """

    kind: Kind
    patches: tuple[int, ...]
    box: Box


@Once
def units(given: Block) -> tuple[BlockUnit, ...]:
    """Find the units of a block.

    Parameters
    ----------
    given : Block
        Any block.

    Returns
    -------
    tuple of BlockUnit
        None over another; from the top down and then from left to right. A block that is itself a unit gives one.

    Examples
    --------
    >>> from collections import Counter
    >>> from seamlore.draft.catalogue import find
    >>> Counter(each.kind for each in units(find("Jacob's Ladder")))
    Counter({'four patch': 5, 'half-square triangle': 4})
    >>> units(find("Bright Hopes"))
    ()
    """
    found = _apart(given, tuple(range(len(given.patches))), _WHOLE)
    return tuple(sorted(found, key=lambda unit: (unit.box[1], unit.box[0])))


def _apart(given: Block, inside: tuple[int, ...], box: Box) -> Iterator[BlockUnit]:
    """Units of a part of the block, which may be the part itself."""
    if len(inside) < 2:
        return
    across, down = (_cuts([given.patches[index] for index in inside], box, axis) for axis in (0, 1))
    kind = _kind([given.patches[index] for index in inside], box)
    if kind or len(across) == len(down) == 2:
        if kind:
            yield BlockUnit(kind, inside, box)
        return
    cells: dict[tuple[int, int], tuple[int, ...]] = {}
    boxes: dict[tuple[int, int], Box] = {}
    for (row, (top, bottom)), (column, (left, right)) in product(
        enumerate(pairwise(down)), enumerate(pairwise(across))
    ):
        spot = row, column
        boxes[spot] = (left, top, right, bottom)
        cells[spot] = tuple(index for index in inside if _within(given.patches[index], boxes[spot]))
    rows, columns = len(down) - 1, len(across) - 1
    if min(rows, columns) == 1:
        if all(len(cell) == 1 for cell in cells.values()):
            if _even_strips(list(boxes.values())):
                yield BlockUnit("strip set", inside, box)
            return
        if run := _longest_grid(given, inside, across if rows == 1 else down, 0 if rows == 1 else 1, box):
            for part in run:
                yield from _apart(
                    given, tuple(index for index in inside if _within(given.patches[index], part)), part
                )
            return
    yield from _checks(given, cells, boxes, (rows, columns))
    for spot, cell in cells.items():
        yield from _apart(given, cell, boxes[spot])


def _even_strips(boxes: Sequence[Box]) -> bool:
    """Whether parts are strips of one width, longer than wide, as they are cut from a strip set."""
    sizes = {(right - left, bottom - top) for left, top, right, bottom in boxes}
    if len(sizes) > 1:
        return False
    upright = len({top for _, top, _, _ in boxes}) == 1
    wide, high = sizes.pop()
    return high > wide if upright else wide > high


def _longest_grid(
    given: Block, inside: Sequence[int], marks: Sequence[Exact], axis: int, box: Box
) -> tuple[Box, Box, Box] | None:
    """Part a row into what comes before, is, and comes after its longest run that has seams both ways.

    A nine patch in a frame would otherwise come apart into the frame's sides and three rows of squares.
    """
    count = len(marks) - 1
    for size in range(count - 1, 1, -1):
        for first in range(count - size + 1):
            bounds = [marks[0], marks[first], marks[first + size], marks[-1]]
            before, run, after = (
                (low, box[1], high, box[3]) if axis == 0 else (box[0], low, box[2], high)
                for low, high in pairwise(bounds)
            )
            within = [given.patches[index] for index in inside if _within(given.patches[index], run)]
            if len(_cuts(within, run, 1 - axis)) > 2:
                return before, run, after
    return None


def _cuts(patches: Sequence[Patch], box: Box, axis: int) -> list[Exact]:
    """The sides of a part and every seam that runs right through it: where it comes apart along one axis."""
    spans = [(each.bounds[axis], each.bounds[axis + 2]) for each in patches]
    marks = sorted({low for low, _ in spans} | {box[axis], box[axis + 2]})
    return [mark for mark in marks if not any(low < mark < high for low, high in spans)]


def _within(each: Patch, box: Box) -> bool:
    left, top, right, bottom = each.bounds
    return box[0] <= left and box[1] <= top and right <= box[2] and bottom <= box[3]


def _checks(
    given: Block,
    cells: dict[tuple[int, int], tuple[int, ...]],
    boxes: dict[tuple[int, int], Box],
    shape: tuple[int, int],
) -> Iterator[BlockUnit]:
    """Nine patches and four patches among the squares of a part; the squares that they take are removed."""
    rows, columns = shape
    # A whole sheet of checks divides into four patches where it can, otherwise into nine patches.
    all_plain = all(len(cell) == 1 for cell in cells.values())
    sizes = (2, 3) if all_plain and rows == columns and rows % 2 == 0 else (3, 2)
    for size in sizes:
        if all_plain and (rows % size or columns % size):
            continue
        step = size if all_plain else 1
        for top, left in product(range(0, rows - size + 1, step), range(0, columns - size + 1, step)):
            spots = list(product(range(top, top + size), range(left, left + size)))
            if not all(len(cells.get(spot, ())) == 1 for spot in spots):
                continue
            places = [given.patches[cells[spot][0]].place for spot in spots]
            if not _checkered([boxes[spot] for spot in spots], places, size):
                continue
            first, last = boxes[spots[0]], boxes[spots[-1]]
            inside = tuple(sorted(cells.pop(spot)[0] for spot in spots))
            yield BlockUnit("nine patch" if size == 3 else "four patch", inside, (*first[:2], *last[2:]))


def _checkered(boxes: Sequence[Box], places: Sequence[str], size: int) -> bool:
    """Whether two places take turns, and the corners of the part are squares."""
    corners = (0, size - 1, size * (size - 1), size * size - 1)
    square = all(boxes[at][2] - boxes[at][0] == boxes[at][3] - boxes[at][1] for at in corners)
    if not square or len(set(places)) < 2:
        return False
    one, two = places[::2], places[1::2]
    if size == 2:
        one, two = [places[0], places[3]], [places[1], places[2]]
    # The middle of a nine patch is often of a third fabric.
    edge = {place for at, place in enumerate(one) if size == 2 or at != 2}
    return len(edge) == len(set(two)) == 1 and edge != set(two)


def _kind(patches: Sequence[Patch], box: Box) -> Kind | None:
    """The name of a part that is one unit of triangles, if it is one."""
    left, top, right, bottom = box
    wide, high = right - left, bottom - top
    shares = sorted(each.area / (wide * high) for each in patches)
    triangles = all(len(each.outline) == 3 for each in patches)
    corners = {(left, top), (right, top), (right, bottom), (left, bottom)}
    if wide != high:
        if triangles and shares == [_QUARTER, _QUARTER, _HALF] and wide in (2 * high, high / 2):
            return "flying geese" if _has_base_on_long_side(patches, box) else None
        return None
    if triangles and shares == [_HALF, _HALF]:
        return "half-square triangle"
    if triangles and shares == [_QUARTER] * 4:
        middle = ((left + right) / 2, (top + bottom) / 2)
        return "quarter-square triangle" if all(middle in each.outline for each in patches) else None
    if triangles and shares == [_QUARTER, _QUARTER, _HALF]:
        large = max(patches, key=lambda each: each.area)
        return "split quarter-square triangle" if set(large.outline) <= corners else "triangle in a square"
    cut_off = [
        each
        for each in patches
        if len(each.outline) == 3 and each.area == _EIGHTH * wide * high and corners & set(each.outline)
    ]
    middles = {
        ((left + right) / 2, top),
        (right, (top + bottom) / 2),
        ((left + right) / 2, bottom),
        (left, (top + bottom) / 2),
    }
    if len(cut_off) == 4 and {spot for each in cut_off for spot in each.outline} == corners | middles:
        return "square in a square"
    return None


def _has_base_on_long_side(patches: Sequence[Patch], box: Box) -> bool:
    large = max(patches, key=lambda each: each.area)
    left, top, right, bottom = large.bounds
    return (left, top, right, bottom) == box
