"""A logistic model fitted to rendered cases, held small by a ridge, and judged on cases held back."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise
from typing import Any

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy.optimize import minimize

Floats = NDArray[np.float64]
Flags = NDArray[np.bool_]


def fit(table: Floats, right: Flags, ridge: float = 1e-3) -> Floats:
    """Fit a constant and a weight for each column.

    Parameters
    ----------
    table : ndarray, shape (cases, columns)
    right : ndarray of bool, shape (cases,)
    ridge : float, optional
        What the square of a weight costs, counted in spreads of its column, beside the mean loss of a case.

    Returns
    -------
    ndarray, shape (1 + columns,)
        The constant first, all in the columns' own units.

    Examples
    --------
    >>> x = np.linspace(-3, 3, 601)
    >>> said = 1 / (1 + np.exp(-(0.5 + 2 * x)))
    >>> drawn = np.random.default_rng(0).random(601) < said
    >>> fit(x[:, None], drawn, 1e-6).round(1).tolist()
    [0.4, 1.9]
    """
    usual, spread = table.mean(axis=0), table.std(axis=0) + 1e-9
    matrix = np.column_stack([np.ones(len(table)), (table - usual) / spread])
    sign = np.where(right, 1.0, -1.0)

    def loss(theta: Floats) -> tuple[float, Floats]:
        margin = sign * (matrix @ theta)
        slope = -sign / (1 + np.exp(np.clip(margin, -500, 500)))
        held = np.append(0.0, theta[1:])
        value = float(np.logaddexp(0, -margin).mean() + ridge * held @ held)
        return value, matrix.T @ slope / len(table) + 2 * ridge * held

    done: Any = minimize(loss, np.zeros(matrix.shape[1]), jac=True, method="L-BFGS-B", options={"maxiter": 1000})
    weights = done.x[1:] / spread
    return np.append(done.x[0] - weights @ usual, weights)


def chances(weights: Floats, table: Floats) -> Floats:
    """Give the chance of each case, shape (cases,)."""
    return np.asarray(1 / (1 + np.exp(-np.clip(weights[0] + table @ weights[1:], -500, 500))))


def held_back(table: Floats, right: Flags, of: NDArray[np.intp], ridge: float, folds: int = 10) -> Floats:
    """Give the chance of each case by a model fitted without it: cases of one quilt are left out together.

    Parameters
    ----------
    table, right
        As `fit` takes them.
    of : ndarray of int, shape (cases,)
        The quilt of each case.
    ridge : float
    folds : int, optional
    """
    said = np.empty(len(table))
    for fold in range(folds):
        mine = of % folds == fold
        if mine.any():
            said[mine] = chances(fit(table[~mine], right[~mine], ridge), table[mine])
    return said


def calibration_error(said: Floats, right: Flags, bins: int = 10) -> float:
    """Give the expected calibration error: how far what is said lies from the share that is right, over even bins.

    Examples
    --------
    >>> calibration_error(np.array([0.95, 0.95]), np.array([True, False])).__round__(2)
    0.45
    """
    bin_of = np.minimum((said * bins).astype(int), bins - 1)
    return float(
        sum(abs(float((said[bin_of == k] - right[bin_of == k]).sum())) for k in range(bins)) / max(len(said), 1)
    )


def side_by_side(names: Sequence[str], kept: ArrayLike, fitted: ArrayLike) -> str:
    """Write what is kept in the code beside what was fitted now.

    Examples
    --------
    >>> print(side_by_side(["constant"], [1.0], [1.5]))
                                            kept       fitted   difference
    constant                               1.000        1.500        0.500
    """
    lines = [f"{'':32} {'kept':>12} {'fitted':>12} {'difference':>12}"]
    both = zip(names, np.asarray(kept).tolist(), np.asarray(fitted).tolist(), strict=True)
    lines += [f"{name:32} {was:12.3f} {now:12.3f} {now - was:12.3f}" for name, was, now in both]
    return "\n".join(lines)


def shares(said: Floats, right: Flags, edges: Sequence[float]) -> str:
    """Write, between every two edges, how many cases there are, what is said of them and how many are right."""
    rows = []
    for low, high in pairwise(edges):
        some = (said >= low) & (said < high)
        if some.any():
            rows.append(
                f"{low:6.2f} to {high:4.2f}  {some.sum():5d}  {said[some].mean():6.3f}  {right[some].mean():6.3f}"
            )
    return "\n".join([f"{'':14}  {'n':>5}  {'said':>6}  {'right':>6}", *rows])
