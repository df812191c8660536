"""How short no layout can be: area, a linear program of strips, and scales of widths and heights that keep what fits.

A scale is conservative when whatever fits side by side still fits after scaling; scaled areas then must fit too.
Fekete and Schepers 2004, Mathematical Methods of Operations Research 60:311; the linear program is that of bars of fabric.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from seamlore.packing.pieces import Kind, distinct
from seamlore.solving.program import INFINITY, Rows, solve

Numbers = NDArray[np.float64]
Whole = NDArray[np.int64]

ROUNDS = 40
WIDEST = 20_000
SAFE = 1e-7


def least_length(kinds: Sequence[Kind], width: int, known: int) -> int:
    """Prove how short no layout can be.

    Parameters
    ----------
    kinds : sequence of Kind
        Each lies in some way within the width.
    width : int
        In parts.
    known : int
        A length that is known to be enough.

    Returns
    -------
    int
        In parts; at most `known`.

    Examples
    --------
    Sixteen squares of 5 lie across 82; one more needs a second row. Nothing is lost where pieces fill the width.

    >>> least_length([Kind(5, 5, 17, False)], 82, 10), least_length([Kind(21, 4, 6, False)], 42, 12)
    (10, 12)
    """
    area = sum(kind.area * kind.count for kind in kinds)
    low = max(-(-area // width), *(min(way[1] for way in kind.lies(width)) for kind in kinds), 1)
    scales = _Scales(kinds, width)
    low = max(low, _up(scales.bars))
    sums = _sums(kinds, width, known)
    low = _next(sums, low, known)
    high = known
    # A length that is refuted refutes every shorter one.
    while low < high:
        middle = (low + high) // 2
        if scales.refute(middle):
            low = _next(sums, middle + 1, known)
        else:
            high = middle
    return min(low, known)


def _up(value: float) -> int:
    return int(np.ceil(value * (1 - SAFE) - SAFE))


def _sums(kinds: Sequence[Kind], width: int, known: int) -> int:
    """Give the lengths that stacked pieces can have, as the bits of a number: a layout pushed together has one of them."""
    bits, mask = 1, (1 << (known + 1)) - 1
    for kind in kinds:
        for _, height, _ in kind.lies(width):
            left, step = min(kind.count, known // height), 1
            while left > 0:
                take = min(step, left)
                bits |= (bits << (height * take)) & mask
                left, step = left - take, step * 2
    return bits


def _next(sums: int, low: int, known: int) -> int:
    rest = sums >> low
    return low + ((rest & -rest).bit_length() - 1) if rest else known


class _Scales:
    """Scales of widths, found once, and of heights, for one length after another."""

    def __init__(self, kinds: Sequence[Kind], width: int) -> None:
        self.counts = np.array([kind.count for kind in kinds], np.float64)
        upright = np.array([kind.lies(width)[0][:2] for kind in kinds], np.int64)
        other = np.array([kind.lies(width)[-1][:2] for kind in kinds], np.int64)
        self.sides = (upright, other)
        self.bars, worth = _bars(self.counts, upright, other, width) if width <= WIDEST else (0.0, None)
        across = np.concatenate([each[:, 0] for each in self.sides])
        families = [_family(each[:, 0], width, across) for each in self.sides]
        if worth is not None:
            families = [np.vstack([one, of]) for one, of in zip(families, worth, strict=True)]
        self.across = families

    def refute(self, length: int) -> bool:
        """Whether some pair of scales proves that no layout is so short."""
        every = np.concatenate([each[:, 1] for each in self.sides])
        along = [_family(each[:, 1], length, every) for each in self.sides]
        too_long = [each[:, 1] > length for each in self.sides]
        if (too_long[0] & too_long[1]).any():
            return True
        for scale in range(len(self.across[0])):
            one, two = (
                np.where(out, np.inf, wide[scale] * high)
                for out, wide, high in zip(too_long, self.across, along, strict=True)
            )
            if ((np.minimum(one, two) * self.counts).sum(1) > 1 + SAFE).any():
                return True
        return False


def _family(sides: Whole, most: int, every: Whole) -> Numbers:
    """Scale sides by each of the known conservative scales; shape (scales, kinds), the whole being 1.

    `every` are the sides that the scales turn on. A side longer than the whole gives a number without meaning.
    """
    part = sides / most
    scales = [part]
    for k in range(1, 13):
        times = sides * (k + 1)
        scales.append(np.where(times % most == 0, part, (times // most) / k))
    half = distinct(np.minimum(every, most - every))
    half = half[(half > 0) & (2 * half <= most)]
    if len(half) > 24:
        half = half[distinct(np.linspace(0, len(half) - 1, 24).astype(np.int64))]
    for small in half:
        scales.append(np.where(sides > most - small, 1.0, np.where(sides < small, 0.0, part)))
        many = most // small
        large = 1 - ((most - sides) // small) / many
        scales.append(np.where(2 * sides > most, large, np.where(sides >= small, 1 / many, 0.0)))
    return np.array(scales)


def _bars(counts: Numbers, upright: Whole, other: Whole, width: int) -> tuple[float, tuple[Numbers, Numbers]]:
    """Bound the length by bars of fabric that pieces cross side by side; give what each width is worth too."""
    widths, at = np.unique(np.concatenate([upright[:, 0], other[:, 0]]), return_inverse=True)
    first, second = at[: len(counts)], at[len(counts) :]
    patterns = [np.eye(len(widths))[k] * (width // widths[k]) for k in range(len(widths))]
    worth = widths / width
    best, best_worth = 0.0, worth
    for _ in range(ROUNDS):
        worth = _width_worth(patterns, counts, upright, other, first, second, len(widths))
        value, pattern = _fullest(widths, worth, width)
        scaled = worth / max(value, 1e-300)
        bound = float((counts * np.minimum(scaled[first] * upright[:, 1], scaled[second] * other[:, 1])).sum())
        if bound > best:
            best, best_worth = bound, scaled
        if value <= 1 + 1e-6:
            break
        patterns.append(pattern)
    return best, (best_worth[first][None, :], best_worth[second][None, :])


def _width_worth(
    patterns: Sequence[Numbers],
    counts: Numbers,
    upright: Whole,
    other: Whole,
    first: NDArray[np.intp],
    second: NDArray[np.intp],
    many: int,
) -> Numbers:
    """Solve the program of bars: its unknowns are the length of each pattern and how many of each kind are turned."""
    held = np.array(patterns)
    rows = Rows()
    kinds = len(counts)
    lying = len(held) + np.arange(kinds)
    for width in range(many):
        at = np.flatnonzero(held[:, width])
        ups, turned = np.flatnonzero(first == width), np.flatnonzero(second == width)
        columns: dict[int, float] = {int(k): float(held[k, width]) for k in at}
        for k in ups:
            columns[int(lying[k])] = columns.get(int(lying[k]), 0.0) + float(upright[k, 1])
        for k in turned:
            columns[int(lying[k])] = columns.get(int(lying[k]), 0.0) - float(other[k, 1])
        rows.add(list(columns), list(columns.values()), float((counts[ups] * upright[ups, 1]).sum()), INFINITY)
    most = np.concatenate([np.full(len(held), INFINITY), counts])
    cost = np.concatenate([np.ones(len(held)), np.zeros(kinds)])
    found = solve(rows.program(most, cost=cost))
    if found.row_duals is None:
        return np.zeros(many)
    return np.maximum(found.row_duals, 0)


def _fullest(widths: Whole, worth: Numbers, width: int) -> tuple[float, Numbers]:
    """Fill the width with what is worth most (a knapsack without limits on counts)."""
    value = np.zeros(width + 1)
    chosen = np.full(width + 1, -1)
    for c in range(1, width + 1):
        value[c] = value[c - 1]
        can = int(np.searchsorted(widths, c, side="right"))
        if can:
            sums = value[c - widths[:can]] + worth[:can]
            top = int(sums.argmax())
            if sums[top] > value[c]:
                value[c], chosen[c] = sums[top], top
    pattern = np.zeros(len(widths))
    c = width
    while c > 0:
        if chosen[c] < 0:
            c -= 1
        else:
            pattern[chosen[c]] += 1
            c -= int(widths[chosen[c]])
    return float(value[width]), pattern
