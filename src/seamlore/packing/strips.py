"""Many like pieces: strips across the fabric, each cut into columns and these into pieces, chosen by column generation.

A strip of a given depth is filled by two nested knapsacks (stacks of pieces in a column, columns in the strip: three
stages of cuts), priced by what the linear program says a piece is worth; Gilmore and Gomory 1965, Operations Research 13:94.
The strips that were found are then taken a whole number of times.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from seamlore.packing.pieces import Block, Kind, distinct, in_a_row, joined, piece
from seamlore.solving.program import INFINITY, Rows, solve

Numbers = NDArray[np.float64]

ROUNDS = 30
DEPTHS = 160
NODES = 60


class _Ways:
    """Each way in which each kind can lie, as arrays."""

    def __init__(self, kinds: Sequence[Kind], width: int) -> None:
        ways = [(index, *way) for index, kind in enumerate(kinds) for way in kind.lies(width)]
        self.kind = np.array([way[0] for way in ways])
        self.width = np.array([way[1] for way in ways])
        self.height = np.array([way[2] for way in ways])
        self.turned = [way[3] for way in ways]


@dataclass(frozen=True, slots=True)
class StripPlans:
    """Two ways to lay pieces out in strips.

    Parameters
    ----------
    whole : Block or None
        All pieces, strip upon strip, where these were asked for.
    surest : tuple of Block
        Strips that the linear program takes, none holding a piece too many.
    left : tuple of int
        How many of each kind these do not hold.
    found : tuple of Block
        Every strip that was looked at.
    """

    whole: Block | None
    surest: tuple[Block, ...]
    left: tuple[int, ...]
    found: tuple[Block, ...]


def strip_plans(kinds: Sequence[Kind], width: int, few: int, *, whole: bool = True) -> StripPlans:
    """Cover all counts by strips with the least total depth that is found.

    Parameters
    ----------
    kinds : sequence of Kind
        Each lies in some way within the width.
    width : int
    few : int
        So many pieces may be left over by the surest strips, where these can be had.
    whole : bool
        Whether strips are also chosen that hold all pieces, which takes longest.

    Returns
    -------
    StripPlans

    Examples
    --------
    >>> plans = strip_plans([Kind(5, 5, 16, False), Kind(2, 5, 4, False)], 42, 5)
    >>> plans.whole.height, plans.whole.area
    (15, 440)
    """
    ways = _Ways(kinds, width)
    counts = np.array([kind.count for kind in kinds], np.float64)
    depths = _depths(ways, kinds)
    patterns: dict[tuple[int, ...], tuple[int, Block]] = {}
    for way in range(len(ways.kind)):
        _keep(patterns, kinds, _row(kinds, ways, way, width), int(ways.height[way]))
    for _ in range(ROUNDS):
        worth = _worth(patterns, counts)
        before = len(patterns)
        for depth, block, value in _best_strips(kinds, ways, worth, depths, width):
            if value > depth * (1 + 1e-7):
                _keep(patterns, kinds, block, depth)
        if len(patterns) == before:
            break
    found = tuple(block for _, block in patterns.values())
    return StripPlans(
        _all_in_strips(kinds, patterns, counts) if whole else None, *_surest(kinds, patterns, counts, few), found
    )


def _all_in_strips(
    kinds: Sequence[Kind], patterns: dict[tuple[int, ...], tuple[int, Block]], counts: Numbers
) -> Block:
    times, _ = _cover(patterns, counts, whole=True)
    assert times is not None  # each kind has a strip of its own, taken as often as it is needed
    taken = [(block, int(many)) for (_, block), many in zip(patterns.values(), np.rint(times), strict=True)]
    return in_a_row(whole_strips(kinds, taken), across=False)


def _surest(
    kinds: Sequence[Kind], patterns: dict[tuple[int, ...], tuple[int, Block]], counts: Numbers, few: int
) -> tuple[tuple[Block, ...], tuple[int, ...]]:
    """Take each strip as often as the linear program does, rounded down, then some once more until few pieces are left."""
    times, _ = _cover(patterns, counts, whole=False)
    assert times is not None
    held = np.array(list(patterns), np.int64)
    blocks = [block for _, block in patterns.values()]
    left = np.array([kind.count for kind in kinds], np.int64)
    taken: list[Block] = []
    # Where the program covers more than is wanted, a strip is taken only as long as all of it is.
    for row in np.repeat(np.arange(len(times)), np.floor(times + 1e-6).astype(int)):
        if (held[row] <= left).all():
            left = left - held[row]
            taken.append(blocks[row])
    part = times - np.floor(times + 1e-6)
    for row in np.argsort(-part, kind="stable"):
        if left.sum() <= few:
            break
        if part[row] > 1e-6 and (held[row] <= left).all():
            left = left - held[row]
            taken.append(blocks[row])
    return tuple(taken), tuple(int(count) for count in left)


def _row(kinds: Sequence[Kind], ways: _Ways, way: int, width: int) -> Block:
    """A strip of one kind alone."""
    one = piece(kinds, int(ways.kind[way]), turned=ways.turned[way])
    times = min(width // one.width, kinds[one.kind].count)
    return in_a_row([one] * times, across=True)


def _depths(ways: _Ways, kinds: Sequence[Kind]) -> list[int]:
    """Depths worth trying for a strip: those of a piece, of a stack of like pieces, of two different ones."""
    single = sorted({int(h) for h in ways.height})
    most = 2 * single[-1]
    stacks = {h * times for h in single for times in (2, 3, 4) if h * times <= most}
    pairs = {a + b for a in single for b in single if a + b <= most}
    rest = sorted((stacks | pairs) - set(single))
    spare = max(0, DEPTHS - len(single))
    if len(rest) > spare:
        rest = [rest[i] for i in distinct(np.linspace(0, len(rest) - 1, spare).astype(np.int64))] if spare else []
    return sorted({*single, *rest})


def _keep(
    patterns: dict[tuple[int, ...], tuple[int, Block]], kinds: Sequence[Kind], block: Block, depth: int
) -> None:
    held = held_by(block, len(kinds))
    if held not in patterns or patterns[held][0] > block.height:
        patterns[held] = block.height, block


def held_by(block: Block, many: int) -> tuple[int, ...]:
    """Count the pieces of each of so many kinds in a block.

    Examples
    --------
    >>> held_by(joined(Block(2, 2, 4, True, 0), Block(2, 2, 4, True, 2), across=True), 3)
    (1, 0, 1)
    """
    count = [0] * many
    todo = [block]
    while todo:
        each = todo.pop()
        if each.kind >= 0:
            count[each.kind] += 1
        todo.extend(each.blocks)
    return tuple(count)


def _cover(
    patterns: dict[tuple[int, ...], tuple[int, Block]], counts: Numbers, *, whole: bool
) -> tuple[Numbers | None, Numbers | None]:
    held = np.array(list(patterns), np.float64)
    cost = np.array([depth for depth, _ in patterns.values()], np.float64)
    rows = Rows()
    for kind, count in enumerate(counts):
        at = np.flatnonzero(held[:, kind])
        rows.add(at, held[at, kind], float(count), INFINITY)
    most = np.full(len(cost), float(counts.max()))
    kind_of = np.ones(len(cost), np.bool_) if whole else None
    found = solve(rows.program(most, cost=cost, whole=kind_of), nodes=NODES, gap=0.002)
    return found.values, found.row_duals


def _worth(patterns: dict[tuple[int, ...], tuple[int, Block]], counts: Numbers) -> Numbers:
    _, duals = _cover(patterns, counts, whole=False)
    assert duals is not None  # a program without whole numbers that every row of one kind covers
    return np.maximum(duals, 0)


def _best_strips(
    kinds: Sequence[Kind], ways: _Ways, worth: Numbers, depths: Sequence[int], width: int
) -> list[tuple[int, Block, float]]:
    """For each depth the strip that is worth most."""
    widths = distinct(ways.width)
    narrow = ways.width[None, :] <= widths[:, None]
    value = np.where(narrow, worth[ways.kind][None, :], -1.0)
    deepest = depths[-1]
    stack = np.zeros((len(widths), deepest + 1))
    stacked = np.full((len(widths), deepest + 1), -1)
    for h in range(1, deepest + 1):
        stack[:, h] = stack[:, h - 1]
        at = h - ways.height
        can = np.flatnonzero(at >= 0)
        if not len(can):
            continue
        sums = stack[:, at[can]] + value[:, can]
        best = sums.argmax(1)
        top = sums[np.arange(len(widths)), best]
        more = top > stack[:, h] + 1e-12
        stack[more, h] = top[more]
        stacked[more, h] = can[best[more]]
    tall = np.array(depths)
    columns = stack[:, tall].T  # depths by widths
    strip = np.zeros((len(tall), width + 1))
    chosen = np.full((len(tall), width + 1), -1)
    row = np.arange(len(tall))
    for c in range(1, width + 1):
        strip[:, c] = strip[:, c - 1]
        can = np.flatnonzero(widths <= c)
        if not len(can):
            continue
        sums = strip[:, c - widths[can]] + columns[:, can]
        best = sums.argmax(1)
        top = sums[row, best]
        more = top > strip[:, c] + 1e-12
        strip[more, c] = top[more]
        chosen[more, c] = can[best[more]]
    found = []
    for k, depth in enumerate(depths):
        if strip[k, width] <= depth * (1 + 1e-7):
            continue
        parts, c = [], width
        while c > 0:
            if chosen[k, c] < 0:
                c -= 1
                continue
            column, h = int(chosen[k, c]), depth
            pile = []
            while h > 0:
                way = int(stacked[column, h])
                if way < 0:
                    h -= 1
                    continue
                pile.append(piece(kinds, int(ways.kind[way]), turned=ways.turned[way]))
                h -= int(ways.height[way])
            c -= int(widths[column])
            if pile:
                parts.append(in_a_row(pile, across=False))
        found.append((depth, in_a_row(parts, across=True), float(strip[k, width])))
    return found


def whole_strips(kinds: Sequence[Kind], taken: Sequence[tuple[Block, int]]) -> list[Block]:
    """Take strips so many times, leaving out of the last ones what is not needed.

    Examples
    --------
    >>> kinds = [Kind(5, 5, 11, False)]
    >>> row = in_a_row([piece(kinds, 0)] * 8, across=True)
    >>> [each.width for each in whole_strips(kinds, [(row, 2)])]
    [40, 15]
    """
    need = [kind.count for kind in kinds]
    strips = [block for block, many in taken for _ in range(many)]
    strips.sort(key=lambda each: each.waste / (each.width * each.height))
    held_of = {id(block): held_by(block, len(kinds)) for block, _ in taken}
    kept = []
    for block in strips:
        held = held_of[id(block)]
        if all(have <= still for have, still in zip(held, need, strict=True)):
            need = [still - have for have, still in zip(held, need, strict=True)]
            kept.append(block)
            continue
        left = _without(block, need)
        if left is not None:
            kept.append(left)
    return kept


def _without(block: Block, need: list[int]) -> Block | None:
    """Leave out the pieces that are no longer needed, and count the others off."""
    if block.kind >= 0:
        if need[block.kind] == 0:
            return None
        need[block.kind] -= 1
        return block
    first, second = (_without(each, need) for each in block.blocks)
    if first is None or second is None:
        return first or second
    return joined(first, second, across=block.across)
