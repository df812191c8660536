"""Pieces out of small sheets of fabric: fat quarters, precuts, scraps. As much of each sheet is used as can be.

A sheet is filled from a corner with a row of like pieces; what is left is two smaller sheets, parted by a straight cut.
Which piece comes first, which way its row runs and which of the two cuts is made is tried in many ways, by chance with a
fixed seed; the fullest is kept.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from seamlore.packing.pieces import Block, Kind, in_a_row, joined, piece

# How many ways are tried for one sheet; fewer where there are many sheets.
TRIES = 60
ALL_TRIES = 3_000


@dataclass(frozen=True, slots=True)
class Filled:
    """What is cut from sheets.

    Parameters
    ----------
    blocks : tuple of (Block or None)
        What each sheet becomes, beginning at its corner; None where nothing of it is used.
    left : tuple of int
        How many of each kind are still to be cut.
    """

    blocks: tuple[Block | None, ...]
    left: tuple[int, ...]


def fill_sheets(kinds: Sequence[Kind], counts: Sequence[int], sheets: Sequence[tuple[int, int]]) -> Filled:
    """Cut what can be cut from sheets.

    Parameters
    ----------
    kinds : sequence of Kind
    counts : sequence of int
        How many of each are wanted.
    sheets : sequence of (width, height)
        In parts.

    Returns
    -------
    Filled
        Of small sheets first and large sheets first, whichever leaves less.

    Examples
    --------
    >>> got = fill_sheets([Kind(5, 5, 9, True)], [9], [(11, 12), (4, 90)])
    >>> got.left, got.blocks[0].width, got.blocks[1]
    ((5,), 10, None)
    >>> fill_sheets([Kind(5, 5, 9, True)], [9], [])
    Filled(blocks=(), left=(9,))
    """
    by_size = sorted(range(len(sheets)), key=lambda at: sheets[at][0] * sheets[at][1])
    tries = max(6, min(TRIES, ALL_TRIES // max(1, len(sheets))))
    found = []
    for order in (by_size, by_size[::-1]):
        left = list(counts)
        blocks: list[Block | None] = [None] * len(sheets)
        for at in order:
            blocks[at] = fill(kinds, left, *sheets[at], tries=tries)
            _take(blocks[at], left)
        found.append(Filled(tuple(blocks), tuple(left)))
    return min(found, key=lambda each: sum(k.area * n for k, n in zip(kinds, each.left, strict=True)))


def fill(
    kinds: Sequence[Kind], counts: Sequence[int], width: int, height: int, *, tries: int = TRIES
) -> Block | None:
    """Cut as much as can be from one sheet; None when no piece fits.

    Examples
    --------
    >>> fill([Kind(3, 2, 1, False), Kind(2, 2, 1, False)], [1, 1], 5, 2).waste
    0
    >>> fill([Kind(3, 2, 1, False)], [1], 2, 3) is None
    True
    """
    best: Block | None = None
    chance = np.random.default_rng(0)
    for turn in range(tries):
        found = _filled(kinds, list(counts), width, height, _Choice(turn, chance))
        if found is None:
            return None
        if best is None or found.area > best.area:
            best = found
        if best.area == width * height:
            break
    return best


def _take(block: Block | None, left: list[int]) -> None:
    todo = [block] if block else []
    while todo:
        each = todo.pop()
        if each.kind >= 0:
            left[each.kind] -= 1
        todo += each.blocks


class _Choice:
    """How a try decides: the first few go by size, the others by chance."""

    def __init__(self, turn: int, chance: np.random.Generator) -> None:
        self._chance = chance if turn >= 4 else None
        self._first = turn % 2 == 0
        self._second = turn // 2 % 2 == 0

    def of(self, areas: Sequence[int]) -> int:
        if self._chance is None:
            return int(np.argmax(areas))
        weights = np.array(areas, float) ** 1.5
        return int(self._chance.choice(len(areas), p=weights / weights.sum()))

    def runs_across(self) -> bool:
        return bool(self._chance.random() < 0.5) if self._chance else self._first

    def parts_along(self) -> bool:
        return bool(self._chance.random() < 0.5) if self._chance else self._second


def _filled(kinds: Sequence[Kind], left: list[int], width: int, height: int, choice: _Choice) -> Block | None:
    """Fill a sheet in one way, counting off what it takes."""
    ways = [
        (index, *way)
        for index, kind in enumerate(kinds)
        if left[index]
        for way in kind.lies(width)
        if way[1] <= height
    ]
    if not ways:
        return None
    index, wide, high, lies_turned = ways[choice.of([way[1] * way[2] for way in ways])]
    across = choice.runs_across()
    many = min(left[index], width // wide if across else height // high)
    left[index] -= many
    row = in_a_row([piece(kinds, index, turned=lies_turned)] * many, across=across)
    right, below = width - row.width, height - row.height
    if choice.parts_along():
        # The blade runs across the whole sheet first: what lies below has its full width.
        beside = _filled(kinds, left, right, row.height, choice) if right else None
        under = _filled(kinds, left, width, below, choice) if below else None
        row = joined(row, beside, across=True) if beside else row
        return joined(row, under, across=False) if under else row
    under = _filled(kinds, left, row.width, below, choice) if below else None
    beside = _filled(kinds, left, right, height, choice) if right else None
    row = joined(row, under, across=False) if under else row
    return joined(row, beside, across=True) if beside else row


def fullest(strips: Sequence[Block], length: int) -> list[Block]:
    """Choose strips that together are not longer than this and hold the most.

    Examples
    --------
    >>> full, half = Block(4, 3, 12, True, 0), Block(2, 2, 4, True, 1)
    >>> [each.height for each in fullest([half, full, half], 5)], fullest([full], 2)
    ([3, 2], [])
    """
    value = np.zeros(length + 1, np.int64)
    took = np.zeros((len(strips), length + 1), np.bool_)
    for at, strip in enumerate(strips):
        if strip.height > length:
            continue
        more = np.full(length + 1, -1, np.int64)
        more[strip.height :] = value[: length + 1 - strip.height] + strip.area
        took[at] = more > value
        value = np.maximum(value, more)
    chosen, room = [], length
    for at in range(len(strips) - 1, -1, -1):
        if took[at, room]:
            chosen.append(strips[at])
            room -= strips[at].height
    return sorted(chosen, key=lambda strip: -strip.height)
