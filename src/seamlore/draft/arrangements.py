"""How many patterns can be laid from one unit on a grid, and how many of them are truly different.

Counted by the lemma of Cauchy and Frobenius, which goes by Burnside's name: the patterns that are different up to a group of motions
are as many as, on the average, each motion leaves unchanged.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from fractions import Fraction
from itertools import product
from typing import Literal

from seamlore.errors import ShapeError

Unit = Literal["half-square triangle", "half-square triangle and plain", "plain", "seam only"]
UNITS: tuple[Unit, ...] = ("half-square triangle", "half-square triangle and plain", "plain", "seam only")
# Above this grid the numbers have more digits than anyone reads out.
_LARGEST = 16
# A motion of the grid: mirrored left to right or not, quarter turns clockwise, dark and light exchanged or not.
_Motion = tuple[bool, int, bool]


def arrangements(
    size: int,
    unit: Unit = "half-square triangle",
    *,
    mirrored: bool = False,
    exchanged: bool = False,
    turned: bool = True,
) -> int:
    """Count the different patterns of one unit laid on a grid of `size` by `size` squares.

    Parameters
    ----------
    size : int
        Squares on a side, 1 to 16.
    unit : str
        "half-square triangle": four ways of laying it. "half-square triangle and plain": also a light or a dark square.
        "plain": a light or a dark square. "seam only": a seam from corner to corner, either way.
    turned : bool
        Patterns that differ only by a turn count as one.
    mirrored : bool
        So do patterns that are mirror images.
    exchanged : bool
        So do patterns with light and dark exchanged.

    Returns
    -------
    int
        Exact.

    Raises
    ------
    ShapeError
        When the grid is empty or larger than 16 by 16.

    Examples
    --------
    >>> arrangements(2, turned=False), arrangements(2), arrangements(2, mirrored=True, exchanged=True)
    (256, 70, 27)
    >>> arrangements(0)
    Traceback (most recent call last):
        ...
    seamlore.errors.ShapeError: a grid of 0 by 0: from 1 by 1 to 16 by 16; give the squares on one side
    """
    if not 1 <= size <= _LARGEST:
        raise ShapeError(
            f"a grid of {size} by {size}",
            f"from 1 by 1 to {_LARGEST} by {_LARGEST}",
            "give the squares on one side",
        )
    motions = list(_motions(turned, mirrored, exchanged))
    total = sum(unchanged(size, unit, motion) for motion in motions)
    return int(Fraction(total, len(motions)))


def unchanged(size: int, unit: Unit, motion: _Motion) -> int:
    """Count the patterns that a motion leaves unchanged.

    Parameters
    ----------
    size : int
        Squares on a side.
    unit : str
        As for `arrangements`.
    motion : (bool, int, bool)
        Mirrored left to right, quarter turns clockwise, light and dark exchanged.

    Returns
    -------
    int
        For each ring of squares that the motion carries into each other, the ways of laying the first square that
        come back to themselves once round; all multiplied.

    Examples
    --------
    >>> [unchanged(2, "half-square triangle", (False, turns, False)) for turns in range(4)]
    [256, 4, 16, 4]
    """
    step = _laid(unit, motion)
    ways, left = 1, {(row, column) for row, column in product(range(size), range(size))}
    while left:
        start = min(left)
        spot, ring = start, 0
        while True:
            left.discard(spot)
            ring += 1
            spot = _carried(spot, size, motion)
            if spot == start:
                break
        count = 0
        for first in _states(unit):
            state = first
            for _ in range(ring):
                state = step(state)
            count += state == first
        ways *= count
    return ways


def _motions(turned: bool, mirrored: bool, exchanged: bool) -> Iterator[_Motion]:
    for flip in (False, True) if mirrored else (False,):
        for turns in range(4) if turned else (0,):
            for swap in (False, True) if exchanged else (False,):
                yield flip, turns, swap


def _carried(spot: tuple[int, int], size: int, motion: _Motion) -> tuple[int, int]:
    """Row and column of the square that a square comes to lie on."""
    row, column = spot
    flip, turns, _ = motion
    if flip:
        column = size - 1 - column
    for _ in range(turns):
        row, column = column, size - 1 - row
    return row, column


def _states(unit: Unit) -> range:
    return range({"half-square triangle": 4, "half-square triangle and plain": 6, "plain": 2, "seam only": 2}[unit])


def _laid(unit: Unit, motion: _Motion) -> Callable[[int], int]:
    """How the unit in one square lies after a motion.

    Half-square triangles are 0 to 3: dark at the top left, top right, bottom right, bottom left. Plain squares beside
    them are 4, light, and 5, dark. A seam is 0 when it falls to the right and 1 when it rises.
    """
    flip, turns, swap = motion

    def step(state: int) -> int:
        if unit == "plain" or state >= 4:
            return state ^ 1 if swap else state
        if unit == "seam only":
            # Exchanging fabrics leaves a seam where it is.
            return state ^ (flip ^ (turns % 2 == 1))
        if flip:
            state ^= 1
        state = (state + turns) % 4
        return (state + 2) % 4 if swap else state

    return step
