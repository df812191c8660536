"""The catalogue's seams laid over each other, so that one block is set against all entries at once."""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections import defaultdict
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import cache
from io import BytesIO
from itertools import pairwise
from pathlib import Path
from typing import TypeVar, overload

import numpy as np
from numpy.typing import NDArray

from seamlore.draft import seams as lines
from seamlore.draft.block import Block
from seamlore.draft.catalogue import all_blocks, find, fingerprint, headings
from seamlore.draft.exact.lookup import inner_points
from seamlore.draft.exact.outlines import Whole
from seamlore.draft.exact.roots import Root2
from seamlore.draft.seams import Line, Stretch

Sizes = NDArray[np.float64]
T = TypeVar("T")
_KEPT = Path(__file__).parent / "catalogue.npz"
MOTIONS = tuple((turn, mirrored) for mirrored in (False, True) for turn in (0, 90, 180, 270))


@dataclass(frozen=True, slots=True, eq=False)
class Index:
    """Seams of many blocks cut into pieces such that each piece lies wholly in a seam of a block or not at all.

    Parameters
    ----------
    blocks : sequence of Block
        The entries.
    full : sequence of list of Stretch
        All seams of each.
    marks : mapping of Line to (list of numbers, int)
        For each line the marks between its pieces, and the number of its first piece.
    sizes : ndarray, shape (pieces,)
        Length of each piece in parts of the block's side.
    full_pieces, visible_pieces : ndarray, shape (pieces, blocks)
        Length of a piece where the block has a seam there: all seams, and those between two places.
    totals : tuple of ndarray, shape (blocks,)
        Length of all seams of each block: all, and those between two places.
    inner : sequence of ndarray, shape (patches, 2)
        A point inside each patch of each block.
    """

    blocks: Sequence[Block]
    full: Sequence[list[Stretch]]
    marks: Mapping[Line, tuple[list[Whole], int]]
    sizes: Sizes
    full_pieces: Sizes
    visible_pieces: Sizes
    totals: tuple[Sizes, Sizes]
    inner: Sequence[Sizes]


def both_seams(given: Block) -> tuple[list[Stretch], list[Stretch]]:
    """All seams of a block, and those between two places."""
    every = lines.seams(given)
    seen = [each for each in every if len({given.patches[side].place for side in each.patches}) == 2]
    return lines.stretches(every), lines.stretches(seen)


class Each(Sequence[T]):
    """As many values as are said, each made when it is first asked for.

    Examples
    --------
    >>> squares = Each(3, lambda number: print("made") or number**2)
    >>> squares[2], squares[2], len(squares)
    made
    (4, 4, 3)
    """

    def __init__(self, count: int, make: Callable[[int], T]) -> None:
        self._count, self._make = count, make
        self._made: dict[int, T] = {}

    def __len__(self) -> int:
        return self._count

    @overload
    def __getitem__(self, which: int) -> T: ...
    @overload
    def __getitem__(self, which: slice) -> list[T]: ...
    def __getitem__(self, which: int | slice) -> T | list[T]:
        if isinstance(which, slice):
            return [self[number] for number in range(*which.indices(self._count))]
        number = range(self._count)[which]
        if number not in self._made:
            self._made[number] = self._make(number)
        return self._made[number]


@cache
def catalogue_index() -> Index:
    """The index of the whole catalogue, read when it is first asked for; made where its file is of other block files."""
    kept = _KEPT.read_bytes() if _KEPT.is_file() else b""
    return from_file(kept) or index_of(all_blocks())


def to_file(index: Index) -> bytes:
    """Write the catalogue's index, all but what follows from a block alone: to lay 200 blocks over each other takes long."""
    lines = [[_parts(number) for number in line] for line in index.marks]
    marks = [[_parts(mark) for mark in marks] for marks, _ in index.marks.values()]
    file = BytesIO()
    np.savez_compressed(
        file,
        of=np.array(fingerprint()),
        names=np.array([each.name for each in index.blocks]),
        lines=np.array(lines, dtype=np.int64),
        marks=np.array([mark for on_line in marks for mark in on_line], dtype=np.int64),
        counts=np.array([len(on_line) for on_line in marks], dtype=np.int64),
        full=index.full_pieces,
        visible=index.visible_pieces,
        sizes=index.sizes,
    )
    return file.getvalue()


def from_file(kept: bytes) -> Index | None:
    """Read the catalogue's index; None where it was made of other block files than there are.

    Examples
    --------
    >>> from_file(b"") is None
    True
    """
    if not kept:
        return None
    with np.load(BytesIO(kept)) as found:
        if str(found["of"]) != fingerprint() or tuple(found["names"].tolist()) != headings():
            return None
        marks: dict[Line, tuple[list[Whole], int]] = {}
        every, counts = [_number(*parts) for parts in found["marks"].tolist()], found["counts"].tolist()
        begin = 0
        for line, count in zip(found["lines"].tolist(), counts, strict=True):
            dx, dy, offset = (_number(*parts) for parts in line)
            marks[dx, dy, offset] = every[begin : begin + count], begin - len(marks)
            begin += count
        sizes, full, visible = found["sizes"], found["full"], found["visible"]
    blocks = Each(full.shape[1], lambda row: find(headings()[row]))
    stretches = Each(len(blocks), lambda row: lines.stretches(lines.seams(blocks[row])))
    inner = Each(len(blocks), lambda row: inner_points(blocks[row].patches))
    totals = full.sum(axis=0), visible.sum(axis=0)
    return Index(blocks, stretches, marks, sizes, full, visible, totals, inner)


def _parts(number: Whole) -> tuple[int, int, int]:
    return (
        (number.p, number.q, number.denominator)
        if isinstance(number, Root2)
        else (number.numerator, 0, number.denominator)
    )


def _number(plain: int, root: int, below: int) -> Whole:
    if root:
        return Root2(plain, root, below)
    return plain if below == 1 else Fraction(plain, below)


def index_of(blocks: tuple[Block, ...]) -> Index:
    """Lay the seams of blocks over each other.

    Examples
    --------
    >>> from seamlore.draft.catalogue import find
    >>> made = index_of((find("Four Patch"), find("Sixteen Patch")))
    >>> made.full_pieces.sum(axis=0).tolist()
    [2.0, 6.0]
    """
    both = [both_seams(each) for each in blocks]
    ends: dict[Line, set[Whole]] = defaultdict(set)
    for line, start, end in (stretch for full, visible in both for stretch in (*full, *visible)):
        ends[line] |= {start, end}
    marks: dict[Line, tuple[list[Whole], int]] = {}
    count = 0
    for line in sorted(ends):
        marks[line] = sorted(ends[line]), count
        count += len(ends[line]) - 1
    spans = (Stretch(line, *span) for line, (on_line, _) in marks.items() for span in pairwise(on_line))
    sizes = np.array([lines.length(span) for span in spans])
    full_pieces, visible_pieces = (
        np.column_stack([_cover(found[which], marks, sizes) for found in both]) for which in (0, 1)
    )
    inner = tuple(inner_points(one.patches) for one in blocks)
    totals = full_pieces.sum(axis=0), visible_pieces.sum(axis=0)
    return Index(blocks, tuple(full for full, _ in both), marks, sizes, full_pieces, visible_pieces, totals, inner)


def _cover(found: Iterable[Stretch], marks: Mapping[Line, tuple[list[Whole], int]], sizes: Sizes) -> Sizes:
    """How much of each piece stretches run over, shape (pieces,)."""
    covered = np.zeros(len(sizes))
    for line, start, end in found:
        if line not in marks:
            continue
        on_line, first = marks[line]
        low, high = bisect_left(on_line, start), bisect_right(on_line, end) - 1
        if low > high:
            if 0 < low < len(on_line):
                covered[first + low - 1] += lines.length(Stretch(line, start, end))
            continue
        covered[first + low : first + high] = sizes[first + low : first + high]
        # The stretch may begin and end within a piece.
        if low > 0 and start < on_line[low]:
            covered[first + low - 1] += lines.length(Stretch(line, start, on_line[low]))
        if high < len(on_line) - 1 and end > on_line[high]:
            covered[first + high] += lines.length(Stretch(line, on_line[high], end))
    return covered


def shares(index: Index, full: Sequence[Stretch], visible: Sequence[Stretch]) -> tuple[Sizes, Sizes]:
    """Share of seams that a block has in common with each entry, however it is turned and mirrored.

    Parameters
    ----------
    index : Index
        The entries.
    full, visible : sequence of Stretch
        The block's seams: all, and those between two places.

    Returns
    -------
    tuple of ndarray, shape (blocks, 8)
        Length in common over the length of all seams of both, for all seams and for those between two places; a
        column for each of `MOTIONS`, by which the block is moved.
    """
    found_shares = []
    turned = np.zeros((0, 0))
    for found, table, of_entries in (
        (full, index.full_pieces, index.totals[0]),
        (visible, index.visible_pieces, index.totals[1]),
    ):
        if not len(turned) or found != full:
            ends = lines.exact_ends(found)
            there = [lines.moved_ends(ends, *motion) for motion in MOTIONS]
            turned = np.array([_cover(each, index.marks, index.sizes) for each in there])
        # Every piece lies wholly in a seam of an entry or not at all, so that shares of pieces add up; only a few of
        # all pieces are on seams of this block.
        touched = np.flatnonzero(turned.any(axis=0))
        common = turned[:, touched] @ (table[touched] > 0)
        total = sum(lines.length(each) for each in found)
        either = total + of_entries[None, :] - common
        found_shares.append(np.where(either > 0, common / np.where(either > 0, either, 1), 0.0).T)
    return found_shares[0], found_shares[1]
