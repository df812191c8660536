"""One weighted least-squares problem with a prior: how well an explanation accounts for the measurements.

The sizes that a maker chose (block, sashing) are weighed over the marks of a tape, since a maker's sizes are
friendly ones; everything else is a Gaussian quantity that is integrated out. The result is the evidence: the
chi-square after fitting, with a penalty for each quantity that was free to be fitted.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, fields
from fractions import Fraction
from functools import cache, lru_cache
from math import log, pi, prod, sqrt

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
# How far the average block of an old quilt lies from the size that was meant: about a millimeter; judgement.
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


def fits(models: Sequence[Model], unit: Unit) -> list[Fit]:
    """Weigh explanations.

    Parameters
    ----------
    models : sequence of Model
        The measurements as each sees them.
    unit : Unit
        Of the tape: whose marks the maker's sizes lie on.

    Returns
    -------
    list of Fit
        In the same order.

    Examples
    --------
    One block measured as 8.02 in, give or take: it is an 8 in block.

    >>> one = np.ones((1, 1))
    >>> none = np.zeros((1, 0))
    >>> bare = Model(("block",), (), np.zeros(0), np.zeros(0, bool), one, none, np.array([8.02]), np.array([0.06]))
    >>> [made.best for made in fits([bare], Unit.INCH)]
    [{'block': 8.0}]
    """
    found: dict[int, Fit] = {}
    alike: dict[tuple[int, ...], list[int]] = {}
    for index, model in enumerate(models):
        alike.setdefault((*model.on_sizes.shape, len(model.slips)), []).append(index)
    for those in alike.values():
        stacked = _stacked([models[index] for index in those])
        marks = _marks(stacked, unit)
        for some in _few_at_once([[len(own) for own, _ in each] for each in marks]):
            made = _weighed(stacked.part(some), *_combined([marks[each] for each in some]))
            found.update(zip((those[each] for each in some), made, strict=True))
    return [found[index] for index in range(len(models))]


# Combinations of marks that are weighed at once: more take no less time, and much more memory.
_AT_ONCE = 30_000


def _few_at_once(counts: list[list[int]]) -> Iterator[list[int]]:
    """Put together those that have about as many marks of each size: filled up to the most, they stay within bounds.

    Examples
    --------
    >>> [few for few in _few_at_once([[100, 100], [2, 3], [100, 120], [120, 100]])]
    [[1, 0], [2, 3]]
    """
    few: list[int] = []
    most: list[int] = []
    for each in sorted(range(len(counts)), key=lambda each: prod(counts[each])):
        larger = list(map(max, most, counts[each])) if few else counts[each]
        if few and prod(larger) * (len(few) + 1) > _AT_ONCE:
            yield few
            few, larger = [], counts[each]
        few, most = [*few, each], larger
    if few:
        yield few


@dataclass(frozen=True, slots=True, eq=False)
class _Stacked:
    """Problems with as many measurements (m), sizes (g) and slips (k) each, one behind the other: n of them."""

    models: list[Model]
    on_sizes: Array  # (n, m, g)
    given: Array  # (n, m)
    loose: Array  # (n, m, k + g)
    scales: Array  # (n, k + g), squared
    positive: NDArray[np.bool_]  # (n, k)
    covariance: Array  # (n, m, m), of the measurements
    weighed: Array  # (n, m, k + g + 1): its inverse times `loose` and `given`

    def part(self, some: list[int]) -> _Stacked:
        models, *arrays = (getattr(self, each.name) for each in fields(self))
        return _Stacked([models[each] for each in some], *(array[some] for array in arrays))


def _stacked(models: list[Model]) -> _Stacked:
    on_sizes, on_slips, given, sigma, scales, positive = (
        np.stack([getattr(model, name) for model in models])
        for name in ("on_sizes", "on_slips", "given", "sigma", "scales", "positive")
    )
    many, rows, sizes = on_sizes.shape
    # The maker's own unevenness: each size may lie a little off its mark.
    loose = np.concatenate([on_slips, on_sizes], axis=2)
    scales = np.concatenate([scales, np.full((many, sizes), MAKERS_CARE_IN)], axis=1) ** 2
    covariance = loose @ (scales[:, :, None] * loose.mT) + sigma[:, :, None] ** 2 * np.eye(rows)
    weighed = np.linalg.solve(covariance, np.concatenate([loose, given[:, :, None]], axis=2))
    return _Stacked(models, on_sizes, given, loose, scales, positive, covariance, weighed)


def _weighed(some: _Stacked, points: Array, weights: Array) -> list[Fit]:
    """Weigh every combination of marks, shape (n, p, g) and (n, p), and integrate the slips out."""
    own = some.positive.shape[1]
    # All from the first combination on: chi-square and slips are then polynomials in how far a mark lies from it.
    start = points[:, 0]
    rest = some.given - np.einsum("nmg,ng->nm", some.on_sizes, start)
    on_rest = some.weighed[:, :, -1] - np.einsum("nmg,ng->nm", some.weighed[:, :, own:-1], start)
    away = points - start[:, None]
    slope = np.einsum("nmg,nm->ng", some.on_sizes, on_rest)
    bend = some.on_sizes.mT @ some.weighed[:, :, own:-1]
    chi_square = np.einsum("nm,nm->n", rest, on_rest)[:, None] + ((away @ bend - 2 * slope[:, None]) * away).sum(
        axis=2
    )
    gain = some.scales[:, :, None] * some.weighed[:, :, :-1].mT
    slips = (gain @ rest[:, :, None]).mT - away @ (gain @ some.on_sizes).mT
    left = some.scales[:, :, None] * np.eye(some.scales.shape[1]) - gain @ some.loose * some.scales[:, None]
    volume = np.linalg.slogdet(some.covariance).logabsdet + rest.shape[1] * log(2 * pi)
    with np.errstate(divide="ignore"):
        total = np.log(weights) - 0.5 * (chi_square + volume[:, None]) + _positive(slips, left, some.positive)
    top = total.max(axis=1)
    share = np.exp(total - top[:, None])
    whole = share.sum(axis=1)
    log_evidence = top + np.log(whole)
    share /= whole[:, None]
    likeliest = total.argmax(axis=1)
    # The small unevenness belongs to the size it loosens.
    both = np.concatenate([points + slips[:, :, own:], slips[:, :, :own]], axis=2)
    order = np.roll(np.arange(left.shape[1]), -own)
    mean = np.einsum("np,npi->ni", share, both)
    apart = both - mean[:, None]
    spread = (share[:, :, None] * apart).mT @ apart + left[:, order][:, :, order]
    each = np.arange(len(points))
    marks, fitted = points[each, likeliest], slips[each, likeliest]
    misses = some.given - np.einsum("nmg,ng->nm", some.on_sizes, marks) - np.einsum("nmi,ni->nm", some.loose, fitted)
    floor = np.where(some.positive, 0.0, -np.inf)
    values = np.concatenate([marks, np.maximum(fitted[:, :own], floor)], axis=1)
    misfit = ((misses / np.stack([model.sigma for model in some.models])) ** 2).sum(axis=1)
    names = [(*model.sizes, *model.slips) for model in some.models]
    return [
        Fit(evidence, dict(zip(own, best, strict=True)), own, *posterior, chi)
        for evidence, own, best, posterior, chi in zip(
            log_evidence.tolist(),
            names,
            values.tolist(),
            zip(mean, spread, strict=True),
            misfit.tolist(),
            strict=True,
        )
    ]


def _positive(slips: Array, left: Array, positive: NDArray[np.bool_]) -> Array:
    """Log of how much of each slip's posterior lies above 0, against the half that its prior had there.

    Shape (n, p), summed over the slips.
    """
    gain = np.zeros(slips.shape[:2])
    for index in np.flatnonzero(positive.any(axis=0)):
        deviation = np.sqrt(np.maximum(left[:, index, index], 1e-12))[:, None]
        above = 1 + erf(slips[:, :, index] / (deviation * sqrt(2)))
        gain += np.where(positive[:, index, None], np.log(np.maximum(above, 1e-300)), 0.0)
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


_Marks = tuple[Array, Array]  # of one size: places in inches, and how friendly each is


def _marks(some: _Stacked, unit: Unit) -> list[list[_Marks]]:
    """Tape marks near the least-squares sizes, for each problem and size."""
    count = some.on_sizes.shape[2]
    weighed = some.weighed[:, :, -1 - count :]
    normal = some.on_sizes.mT @ weighed[:, :, :count] + np.eye(count) * 1e-4
    spread = np.linalg.inv(normal)
    middle = (spread @ (some.on_sizes.mT @ weighed[:, :, count:]))[:, :, 0]
    reach = 4 * np.sqrt(np.einsum("ngg->ng", spread))
    most = {1: 161, 2: 33, 3: 15}.get(count, 9)
    return [
        [_marks_of_one(*each, most, unit) for each in zip(at, about, strict=True)]
        for at, about in zip(middle.tolist(), reach.tolist(), strict=True)
    ]


def _combined(marks: list[list[_Marks]]) -> tuple[Array, Array]:
    """Every mark of each size with every one of the others, shape (n, p, g), and how friendly they are, shape (n, p).

    Problems that have fewer are filled up with marks of no weight.
    """
    many = len(marks)
    points, weights = np.zeros((many, 1, 0)), np.ones((many, 1))
    for of_size in zip(*marks, strict=True):
        longest = max(len(own) for own, _ in of_size)
        own, friendly = np.zeros((2, many, longest))
        for index, (places, weight) in enumerate(of_size):
            own[index, : len(places)], friendly[index, : len(places)] = places, weight
        before = np.tile(own, (1, points.shape[1]))[:, :, None]
        points = np.concatenate([points.repeat(longest, axis=1), before], axis=2)
        weights = (weights[:, :, None] * friendly[:, None]).reshape(many, -1)
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


def _marks_of_one(at_in: float, reach_in: float, most: int, unit: Unit) -> _Marks:
    one_in = float(in_unit(1, unit).inches)
    combs = _combs(unit)
    at, reach = at_in / one_in, max(reach_in / one_in, combs[0][0])
    which = next((at for at, comb in enumerate(combs) if 2 * reach / comb[0] <= most), len(combs) - 1)
    step = combs[which][0]
    first, last = int((at - reach) / step), int((at + reach) / step) + 1
    first = max(first, 1)
    last = min(max(last, first), first + 4 * most)
    return _marks_between(first, last, which, unit)


@lru_cache(1024)
def _marks_between(first: int, last: int, which: int, unit: Unit) -> _Marks:
    """Marks of one comb in inches, and their weights: explanations mostly agree on which they are."""
    step, strides, shares = _combs(unit)[which]
    index = np.arange(first, last + 1)
    places = np.asarray(index * step * float(in_unit(1, unit).inches), np.float64)
    return places, (index[:, None] % strides == 0) @ shares
