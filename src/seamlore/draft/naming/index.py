"""The catalogue's seams laid over each other, so that one block is set against all entries at once."""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from seamlore.draft import seams as lines
from seamlore.draft.block import Block
from seamlore.draft.catalogue import all_blocks
from seamlore.draft.exact.lookup import inner_points
from seamlore.draft.exact.outlines import Whole
from seamlore.draft.seams import Line, Stretch

Sizes = NDArray[np.float64]
MOTIONS = tuple((turn, mirrored) for mirrored in (False, True) for turn in (0, 90, 180, 270))


@dataclass(frozen=True, slots=True, eq=False)
class Index:
    """Seams of many blocks cut into pieces such that each piece lies wholly in a seam of a block or not at all.

    Parameters
    ----------
    blocks : tuple of Block
        The entries.
    full : tuple of list of Stretch
        All seams of each.
    marks : mapping of Line to (list of numbers, int)
        For each line the marks between its pieces, and the number of its first piece.
    sizes : ndarray, shape (pieces,)
        Length of each piece in parts of the block's side.
    full_pieces, visible_pieces : ndarray, shape (pieces, blocks)
        Length of a piece where the block has a seam there: all seams, and those between two places.
    totals : tuple of ndarray, shape (blocks,)
        Length of all seams of each block: all, and those between two places.
    inner : tuple of ndarray, shape (patches, 2)
        A point inside each patch of each block.
    """

    blocks: tuple[Block, ...]
    full: tuple[list[Stretch], ...]
    marks: Mapping[Line, tuple[list[Whole], int]]
    sizes: Sizes
    full_pieces: Sizes
    visible_pieces: Sizes
    totals: tuple[Sizes, Sizes]
    inner: tuple[Sizes, ...]


def both_seams(given: Block) -> tuple[list[Stretch], list[Stretch]]:
    """All seams of a block, and those between two places."""
    every = lines.seams(given)
    seen = [each for each in every if len({given.patches[side].place for side in each.patches}) == 2]
    return lines.stretches(every), lines.stretches(seen)


@cache
def catalogue_index() -> Index:
    """The index of the whole catalogue, made when it is first asked for."""
    return index_of(all_blocks())


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
