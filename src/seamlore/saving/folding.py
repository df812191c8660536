"""How to fold a quilt for its box so that no fold lies on weak cloth, or where it lay last year.

On each side the folds are chosen together: every way of placing them on marks is weighed, the best found from one end to
the other (Bellman's principle), so that none is better on those marks.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import ceil
from typing import Any

import numpy as np
from numpy.typing import ArrayLike, NDArray

from seamlore.errors import MeasureError

Floats = NDArray[np.float64]
# Of the longer side; a fold is laid by hand no finer.
_MARKS = 96
# More make a bundle that no padding keeps from creasing; common practice, no source.
MOST_FOLDS = 7


@dataclass(frozen=True, slots=True, eq=False)
class Folds:
    """Folds along one side.

    Parameters
    ----------
    at : tuple of float
        Where they lie, from the beginning of the side, in its unit.
    cost : float
        What they cross, as `weak` weighs it, and old folds they lie on.
    """

    at: tuple[float, ...]
    cost: float


def folds(marks: ArrayLike, cost: ArrayLike, side: float, most: float, *, most_folds: int = MOST_FOLDS) -> Folds:
    """Choose the folds of one side.

    Parameters
    ----------
    marks : array_like, shape (n,)
        Where a fold may lie, rising, within the side.
    cost : array_like, shape (n,)
        What a fold there costs, 0 or more.
    side : float
        Length of the side.
    most : float
        No part between folds is longer: what the box takes.
    most_folds : int
        A bundle of more is too thick to lie flat.

    Returns
    -------
    Folds
        The fewest folds that fit; of these the ones that cost least; of these the first found from the beginning.

    Raises
    ------
    MeasureError
        When no folds on these marks fit the box.

    Examples
    --------
    >>> folds([1, 2, 3], [0, 5, 1], 4, 2).at
    (2.0,)
    >>> folds([1, 2, 3], [0, 5, 1], 4, 3).at
    (1.0,)
    >>> folds([1, 2, 3], [0, 5, 1], 4, 4).at
    ()
    """
    at, weigh = np.asarray(marks, dtype=np.float64), np.asarray(cost, dtype=np.float64)
    give = 1e-9 * max(side, 1.0)
    if side <= most + give:
        return Folds((), 0.0)
    least = ceil(side / most - 1e-9) - 1
    # After so many folds, the last on each mark: what it costs at best, and which was the one before.
    now = np.where(at <= most + give, weigh, np.inf)
    before: list[NDArray[np.intp]] = []
    for count in range(1, min(len(at), most_folds) + 1):
        done = np.where(side - at <= most + give, now, np.inf)
        if count >= least and len(at) and np.isfinite(done.min()):
            last = int(done.argmin())
            total = float(done[last])
            chain = [last]
            for step in reversed(before):
                chain.append(int(step[chain[-1]]))
            return Folds(tuple(float(at[each]) for each in reversed(chain)), total)
        reach = (at[None, :] < at[:, None] - give) & (at[:, None] - at[None, :] <= most + give)
        sums = np.where(reach, now[None, :], np.inf)
        before.append(sums.argmin(axis=1))
        now = sums.min(axis=1) + weigh
    raise MeasureError(
        f"a box of {most:g}",
        f"no {most_folds} folds of a side of {side:g} fit into it",
        "take a larger box, or roll the quilt",
    )


def weak(
    side: float, across: float, outlines: Sequence[Floats], axis: int, count: int = _MARKS
) -> tuple[Floats, Floats]:
    """Weigh folds square to a side: how much of each lies on weak cloth.

    Parameters
    ----------
    side, across : float
        Length of the side that is folded, and of the folds.
    outlines : sequence of ndarray, shape (n, 2)
        Weak and damaged places, in the quilt's unit.
    axis : {0, 1}
        0 for folds from top to bottom, 1 for folds from side to side.
    count : int
        So many marks.

    Returns
    -------
    marks, cost : ndarray, shape (count - 1,)
        Cost in the quilt's unit: the length of the fold that lies on weak cloth.
    """
    import shapely  # slow to import: only where folds are planned

    marks = side * np.arange(1, count) / count
    if not outlines:
        return marks, np.zeros(len(marks))
    ends = np.zeros((len(marks), 2, 2))
    ends[:, :, axis] = marks[:, None]
    ends[:, 1, 1 - axis] = across
    shapes: Any = shapely.union_all(shapely.buffer([shapely.Polygon(each) for each in outlines], 0))
    return marks, np.asarray(
        shapely.length(shapely.intersection(shapely.linestrings(ends), shapes)), dtype=np.float64
    )


def shunned(marks: Floats, cost: Floats, last_year: Sequence[float], near: float, penalty: float) -> Floats:
    """Add what it costs to fold where it lay folded before.

    Parameters
    ----------
    marks, cost : ndarray, shape (n,)
    last_year : sequence of float
        Where the folds were.
    near : float
        Within so much it is the same fold.
    penalty : float
        What that costs.
    """
    old = np.asarray(last_year, dtype=np.float64).reshape(-1)
    if not len(old):
        return cost
    again = (np.abs(marks[:, None] - old[None, :]) <= near).any(axis=1)
    return np.asarray(cost + penalty * again, dtype=np.float64)
