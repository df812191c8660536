"""One weighted least-squares problem with a prior: how well an explanation accounts for the measurements.

The sizes that a maker chose (block, sashing) are weighed over the marks of a tape, since a maker's sizes are
friendly ones; everything else is a Gaussian quantity that is integrated out. The result is the evidence: the
chi-square after fitting, with a penalty for each quantity that was free to be fitted.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from functools import cache
from math import log, pi, sqrt

import numpy as np
from numpy.typing import NDArray

from seamlore.lengths import Unit, in_unit

Array = NDArray[np.float64]

# What share of makers' sizes lie on which marks: judgement, no source. The last stands for any size at all.
_FRIENDLY = {
    Unit.INCH: ((Fraction(1), 0.35), (Fraction(1, 2), 0.25), (Fraction(1, 4), 0.2), (Fraction(1, 8), 0.1)),
    Unit.CM: ((Fraction(1), 0.45), (Fraction(1, 2), 0.35)),
}
_FINEST = {Unit.INCH: Fraction(1, 16), Unit.CM: Fraction(1, 10)}
# How far the average block of an old quilt lies from the size that was meant: about a millimetre; judgement.
MAKERS_CARE_IN = 0.04


@dataclass(frozen=True, slots=True, eq=False)
class Model:
    """The measurements as one explanation sees them.

    Parameters
    ----------
    sizes : tuple of str
        Names of the maker's sizes, which lie on marks; g of them.
    slips : tuple of str
        Names of the quantities that are fitted freely; k of them.
    scales : ndarray, shape (k,)
        Standard spread that each of them is expected to have, in inches (or as a share).
    positive : ndarray of bool, shape (k,)
        Which of them cannot be less than 0.
    on_sizes, on_slips : ndarray, shape (m, g) and (m, k)
        How each measurement hangs on them.
    given : ndarray, shape (m,)
        The measured values less all constants, in inches.
    sigma : ndarray, shape (m,)
        Standard uncertainties, in inches.
    """

    sizes: tuple[str, ...]
    slips: tuple[str, ...]
    scales: Array
    positive: NDArray[np.bool_]
    on_sizes: Array
    on_slips: Array
    given: Array
    sigma: Array


@dataclass(frozen=True, slots=True, eq=False)
class Fit:
    """What came out.

    Parameters
    ----------
    log_evidence : float
        Natural logarithm of the evidence, up to a constant that all explanations share.
    best : dict of str to float
        The likeliest values, sizes on their marks, in inches.
    names : tuple of str
        Order of `mean` and `spread`: sizes, then slips.
    mean, spread : ndarray, shape (n,) and (n, n)
        Posterior mean and covariance.
    misfit : float
        Chi-square of the measurements at the best values.
    """

    log_evidence: float
    best: dict[str, float]
    names: tuple[str, ...]
    mean: Array
    spread: Array
    misfit: float

    def predict(self, coefficients: dict[str, float], constant: float = 0.0) -> tuple[float, float, float]:
        """Predict a further measurement: its likeliest value, mean and standard deviation."""
        row = np.array([coefficients.get(name, 0.0) for name in self.names])
        best = sum(coefficient * self.best.get(name, 0.0) for name, coefficient in coefficients.items())
        return best + constant, float(row @ self.mean) + constant, sqrt(max(float(row @ self.spread @ row), 0.0))


def fit(model: Model, unit: Unit) -> Fit:
    """Weigh one explanation.

    Parameters
    ----------
    model : Model
        The measurements as it sees them.
    unit : Unit
        Of the tape: whose marks the maker's sizes lie on.

    Returns
    -------
    Fit

    Examples
    --------
    One block measured as 8.02 in, give or take: it is an 8 in block.

    >>> one = np.ones((1, 1))
    >>> none = np.zeros((1, 0))
    >>> bare = Model(("block",), (), np.zeros(0), np.zeros(0, bool), one, none, np.array([8.02]), np.array([0.06]))
    >>> fit(bare, Unit.INCH).best
    {'block': 8.0}
    """
    count = len(model.sizes)
    # The maker's own unevenness: each size may lie a little off its mark.
    loose = np.concatenate([model.on_slips, model.on_sizes], axis=1)
    spread = np.concatenate([model.scales, np.full(count, MAKERS_CARE_IN)]) ** 2
    noise = np.diag(model.sigma**2)
    covariance = loose @ (spread[:, None] * loose.T) + noise
    weighed = np.linalg.solve(covariance, np.concatenate([loose, model.given[:, None]], axis=1))
    points, weights = _marks(model, weighed[:, -1 - count :], unit)
    rest = model.given[None, :] - points @ model.on_sizes.T
    factor = np.linalg.cholesky(covariance)
    white = np.linalg.solve(factor, rest.T)
    chi_square = np.einsum("ij,ij->j", white, white)
    log_likely = -0.5 * chi_square - np.log(np.diag(factor)).sum() - 0.5 * len(rest.T) * log(2 * pi)
    gain = spread[:, None] * weighed[:, :-1].T
    slips = rest @ gain.T
    left = np.diag(spread) - gain @ loose * spread[None, :]
    log_likely += _positive(slips, left, model)
    total = log_likely + np.log(weights)
    top = float(total.max())
    share = np.exp(total - top)
    log_evidence = top + log(share.sum())
    share /= share.sum()
    at = int(total.argmax())
    names = (*model.sizes, *model.slips)
    # The small unevenness belongs to the size it loosens.
    own = len(model.slips)
    both = np.concatenate([points + slips[:, own:], slips[:, :own]], axis=1)
    order = [*range(own, own + count), *range(own)]
    mean = share @ both
    away = both - mean
    whole = (share[:, None] * away).T @ away + left[np.ix_(order, order)]
    best = {name: float(points[at, i]) for i, name in enumerate(model.sizes)}
    for i, name in enumerate(model.slips):
        best[name] = max(float(slips[at, i]), 0.0) if model.positive[i] else float(slips[at, i])
    fitted = rest[at] - loose @ slips[at]
    return Fit(log_evidence, best, names, mean, whole, float(((fitted / model.sigma) ** 2).sum()))


def _positive(slips: Array, left: Array, model: Model) -> Array:
    """Log of how much of each slip's posterior lies above 0, against the half that its prior had there."""
    gain = np.zeros(len(slips))
    for index in np.flatnonzero(model.positive):
        deviation = sqrt(max(float(left[index, index]), 1e-12))
        gain += np.log(np.maximum(1 + erf(slips[:, index] / (deviation * sqrt(2))), 1e-300))
    return gain


def erf(x: Array) -> Array:
    """The error function, to within 1.5e-7: Abramowitz and Stegun, Handbook of Mathematical Functions, 7.1.26.

    Examples
    --------
    >>> [round(float(each), 4) for each in erf(np.array([0.0, 1.0, -1.0]))]
    [0.0, 0.8427, -0.8427]
    """
    t = 1 / (1 + 0.3275911 * np.abs(x))
    series = t * (0.254829592 + t * (-0.284496736 + t * (1.421413741 + t * (-1.453152027 + t * 1.061405429))))
    return np.asarray(np.sign(x) * (1 - series * np.exp(-(x**2))))


def _marks(model: Model, weighed: Array, unit: Unit) -> tuple[Array, Array]:
    """Tape marks near the least-squares sizes, shape (p, g), and how friendly each is, shape (p,).

    `weighed`, shape (m, g + 1), is the inverse covariance times the sizes' coefficients and the measured values.
    """
    count = len(model.sizes)
    if not count:
        return np.zeros((1, 0)), np.ones(1)
    normal = model.on_sizes.T @ weighed[:, :count] + np.eye(count) * 1e-4
    spread = np.linalg.inv(normal)
    middle = spread @ (model.on_sizes.T @ weighed[:, count])
    deviation = np.sqrt(np.diag(spread))
    most = {1: 161, 2: 33, 3: 15}.get(count, 9)
    points, weights = np.zeros((1, 0)), np.ones(1)
    for at, reach in zip(middle, deviation, strict=True):
        marks, friendly = _marks_of_one(float(at), 4 * float(reach), most, unit)
        # Every mark of this size with every combination of those before it.
        points = np.concatenate(
            [points.repeat(len(marks), axis=0), np.tile(marks, len(points))[:, None]],
            axis=1,
        )
        weights = (weights[:, None] * friendly).ravel()
    return points, weights


@cache
def _combs(unit: Unit) -> tuple[tuple[float, Array, Array], ...]:
    """Makers' marks by how fine they are taken, finest first: step, strides of each comb in steps, their weights."""
    combs = [*_FRIENDLY[unit]]
    combs.append((_FINEST[unit], 1 - sum(share for _, share in combs)))
    found = []
    while combs:
        step = combs[-1][0]
        # Every comb's marks are some of the finest marks: every second, every fourth.
        strides = np.array([int(comb / step) for comb, _ in combs])
        found.append((float(step), strides, np.array([share * float(comb) for comb, share in combs])))
        # Where these are too many to weigh, what lay between the coarser ones is shared among them.
        _, spare = combs.pop()
        combs = [(each, share / (1 - spare)) for each, share in combs]
    return tuple(found)


def _marks_of_one(at_in: float, reach_in: float, most: int, unit: Unit) -> tuple[Array, Array]:
    one_in = float(in_unit(1, unit).inches)
    combs = _combs(unit)
    at, reach = at_in / one_in, max(reach_in / one_in, combs[0][0])
    step, strides, shares = next((comb for comb in combs if 2 * reach / comb[0] <= most), combs[-1])
    first, last = int((at - reach) / step), int((at + reach) / step) + 1
    first = max(first, 1)
    last = min(max(last, first), first + 4 * most)
    index = np.arange(first, last + 1)
    return np.asarray(index * step * one_in), np.asarray((index[:, None] % strides == 0) @ shares)
