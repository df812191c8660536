"""Light, medium and dark: what a quilter calls the value of a fabric.

Value is judged against the other fabrics of the same quilt, never by itself: a faded quilt has its darks too.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import ArrayLike, NDArray

Value = Literal["light", "medium", "dark"]
Numbers = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class ValueLimits:
    """Where dark ends and light begins, in CIELAB lightness L*."""

    dark_below: float
    light_from: float


# Common practice, no source: thirds of the range that printed cottons span in photographs.
USUAL_LIMITS = ValueLimits(dark_below=42.0, light_from=68.0)
# Closer than this, two fabrics are told apart by color, not by value (common practice, no source).
SAME_VALUE_L = 9.0


def value_of(lightness: float, limits: ValueLimits = USUAL_LIMITS) -> Value:
    """Name the value of one lightness.

    Parameters
    ----------
    lightness : float
        L*, 0..100.
    limits : ValueLimits, optional
        Those of the quilt (`value_limits`); without them, usual ones.

    Returns
    -------
    {"light", "medium", "dark"}

    Examples
    --------
    >>> value_of(85.0)
    'light'
    >>> value_of(50.0, ValueLimits(50.0, 50.0))
    'light'
    """
    if lightness < limits.dark_below:
        return "dark"
    return "light" if lightness >= limits.light_from else "medium"


def value_limits(lightness: ArrayLike, weights: ArrayLike | None = None) -> ValueLimits:
    """Find the limits that part the fabrics of one quilt into light, medium and dark.

    Two or three groups, whichever the fabrics fall into, each as even within itself as can be. Fabrics that
    are all about as light as each other are not parted: they are named by the usual limits.

    Parameters
    ----------
    lightness : array_like, shape (n,)
        L* of each fabric or patch.
    weights : array_like, shape (n,), optional
        How much of each there is; all alike when not given.

    Returns
    -------
    ValueLimits
        With two groups both limits are the same, and nothing is medium.

    Examples
    --------
    >>> value_limits([20, 24, 90, 92])
    ValueLimits(dark_below=57.0, light_from=57.0)
    >>> value_limits([20, 22, 55, 57, 90, 92])
    ValueLimits(dark_below=38.5, light_from=73.5)
    >>> value_limits([])
    ValueLimits(dark_below=42.0, light_from=68.0)
    """
    given = np.asarray(lightness, dtype=np.float64).reshape(-1)
    if given.size == 0 or np.ptp(given) < SAME_VALUE_L:
        return USUAL_LIMITS
    weight = np.ones_like(given) if weights is None else np.asarray(weights, dtype=np.float64).reshape(-1)
    order = np.argsort(given, kind="stable")
    levels, shares = _binned(given[order], weight[order])
    spread = _Spread(levels, shares)
    whole = spread.within(0, len(levels))
    cut = min(range(1, len(levels)), key=lambda at: spread.within(0, at) + spread.within(at, len(levels)))
    two = spread.within(0, cut) + spread.within(cut, len(levels))
    pairs = [(low, high) for low in range(1, len(levels)) for high in range(low + 1, len(levels))]
    if pairs:
        low, high = min(pairs, key=lambda pair: spread.thirds(*pair))
        three = spread.thirds(low, high)
        gaps = spread.mean(low, high) - spread.mean(0, low), spread.mean(high, len(levels)) - spread.mean(low, high)
        # A third group must take away at least half of what two groups leave, or it splits hairs; when two
        # leave next to nothing (a tenth of a tenth of the whole) there is nothing left to explain.
        if three < 0.5 * two and two > 0.01 * whole and min(gaps) >= SAME_VALUE_L:
            return ValueLimits(_between(levels, low), _between(levels, high))
    middle = _between(levels, cut)
    return ValueLimits(middle, middle)


def values_of(lightness: ArrayLike, weights: ArrayLike | None = None) -> tuple[Value, ...]:
    """Name the value of every fabric of one quilt, each against the others.

    Parameters
    ----------
    lightness : array_like, shape (n,)
        L* of each fabric or patch.
    weights : array_like, shape (n,), optional
        How much of each there is.

    Returns
    -------
    tuple of {"light", "medium", "dark"}

    Examples
    --------
    >>> values_of([30, 34, 55, 58])
    ('dark', 'dark', 'light', 'light')
    >>> values_of([])
    ()
    """
    limits = value_limits(lightness, weights)
    return tuple(value_of(float(one), limits) for one in np.asarray(lightness, dtype=np.float64).reshape(-1))


def _binned(levels: Numbers, weights: Numbers) -> tuple[Numbers, Numbers]:
    # Thousands of patches fall into at most 64 lightnesses, or the search over pairs of cuts takes seconds.
    if len(levels) <= 64:
        return levels, weights
    bins = np.minimum(((levels - levels[0]) / max(np.ptp(levels), 1e-9) * 64).astype(int), 63)
    total = np.asarray(np.bincount(bins, weights, minlength=64), dtype=np.float64)
    summed = np.bincount(bins, weights * levels, minlength=64)
    kept = total > 0
    return summed[kept] / total[kept], total[kept]


def _between(levels: Numbers, at: int) -> float:
    return float((levels[at - 1] + levels[at]) / 2)


class _Spread:
    """Sums over runs of sorted levels, so that the spread of any run costs nothing."""

    def __init__(self, levels: Numbers, weights: Numbers) -> None:
        self._n = np.concatenate([[0.0], np.cumsum(weights)])
        self._sum = np.concatenate([[0.0], np.cumsum(weights * levels)])
        self._square = np.concatenate([[0.0], np.cumsum(weights * levels**2)])

    def mean(self, start: int, end: int) -> float:
        return float((self._sum[end] - self._sum[start]) / max(self._n[end] - self._n[start], 1e-12))

    def within(self, start: int, end: int) -> float:
        n = self._n[end] - self._n[start]
        summed = self._sum[end] - self._sum[start]
        return float(self._square[end] - self._square[start] - summed**2 / max(n, 1e-12))

    def thirds(self, low: int, high: int) -> float:
        return self.within(0, low) + self.within(low, high) + self.within(high, len(self._n) - 1)
