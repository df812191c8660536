"""What a clue or a claim says of the year a part was made, where the parts of a quilt are taken to belong together.

A clue has a fashion: the years in which the thing was made or done, with a slope before and after its usual years. A
clue of the making dates the part by it. Cloth is used when it is made or later: its fashion is carried forward by how
long cloth waits. Two doubts stay apart: whether the years of the clue are right (then they may lie some decades off),
and whether it was recognized rightly (then it says nothing).
"""

from __future__ import annotations

from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from seamlore.chronology.evidence import Evidence, Fashion, level
from seamlore.chronology.shares import Shares

Floats = NDArray[np.float64]
Years = NDArray[np.int64]

# All of these are our own choice, no source; see docs/dating.md.
# How far a fashion reaches before and after its usual years, in years: a share of how long it was usual.
_TAIL_SHARE, _TAIL_LEAST, _TAIL_MOST = 0.07, 2.5, 6.0
_UNKNOWN_YEARS = 60.0
# How common a thing is, against its usual years, in the years in which it is known but was not usual.
_RARE = 0.05
# A fashion that never ended is named less and less often: a later quilt has more to show that tells more.
_FADING_YEARS, _FADED = 60.0, 0.25
# How long cloth waits: bought for the quilt, from a scrap bag, old.
_BOUGHT_YEARS, _SCRAP_YEARS, _SCRAP_SOFT, _OLD_YEARS = 2.2, 30.0, 8.0, 60.0
# How far the years of a clue may be off when they are wrong.
_WRONG_YEARS = 15.0
# A claim that is wrong: the share that misses by some decades, and how far it misses. What is told makes a quilt
# older more often than younger, so its true year lies later.
_NEAR, _LATER, _LATER_YEARS, _EARLIER_YEARS = 0.7, 0.65, 25.0, 15.0
# A year worked in by the maker: the year of finishing mostly, else of what it remembers, long before.
_INSCRIBED, _INSCRIBED_CLOSE, _REMEMBERS = 0.86, 0.06, 0.08
# Of one or two patches of a late cloth among many, how many are later replacements.
REPLACED = 0.7
_FEW_PATCHES, _FEW_SHARE, _MANY = 2, 0.04, 40
_LONGEST_WAIT = 120
# Cloth of looks usual before the one year has been printed again since the other.
_OLD_LOOK_TO, _REPRODUCED_SINCE = 1950, 1976
_MANY_PATCHES = 0.25


def normal(weights: Floats) -> Floats:
    """Scale weights so that they add up to 1."""
    total = weights.sum()
    return np.asarray(weights / total if total > 0 else np.full(len(weights), 1 / len(weights)))


def fashion_curve(when: Fashion, years: Years) -> Floats:
    """Give how common a feature was in each year, 1 in its usual years.

    Examples
    --------
    >>> curve = fashion_curve(Fashion(1900, 1904, 1910, None), np.arange(1898, 1914))
    >>> curve.round(2).tolist()
    [0.0, 0.0, 0.2, 0.3, 0.45, 0.67, 1.0, 1.0, 1.0, 1.0, 1.0, 1.0, 1.0, 0.67, 0.45, 0.3]
    """
    low = when.earliest if when.usual_from is None else when.usual_from
    high = when.latest if when.usual_to is None else when.usual_to
    curve = np.ones(len(years))
    tail = _tail(high - low if low is not None and high is not None else _UNKNOWN_YEARS)
    if low is not None:
        before = years < low
        rare = _RARE if when.earliest is not None else 0.0
        curve[before] = np.maximum(np.exp((years[before] - low) / tail), rare)
    if high is not None:
        after = years > high
        rare = _RARE if when.latest is not None else 0.0
        curve[after] = np.maximum(np.exp((high - years[after]) / tail), rare)
    elif low is not None:
        since = np.maximum(years - low, 0)
        curve *= np.where(since > 0, _FADED + (1 - _FADED) * np.exp(-since / _FADING_YEARS), 1.0)
    if when.earliest is not None:
        curve[years < when.earliest] = 0
    if when.latest is not None:
        curve[years > when.latest] = 0
    return curve


def _tail(length: float) -> float:
    return min(max(_TAIL_SHARE * length, _TAIL_LEAST), _TAIL_MOST)


@lru_cache(maxsize=32)
def _waits(size: int, scrap_bag: float, old_cloth: float) -> Floats:
    """How likely cloth waits each number of years before it is used, shape (size,)."""
    lag = np.arange(size, dtype=np.float64)
    bought = normal(np.exp(-lag / _BOUGHT_YEARS))
    scrap = normal(1 / (1 + np.exp((lag - _SCRAP_YEARS) / _SCRAP_SOFT)))
    old = normal(np.exp(-lag / _OLD_YEARS))
    return np.asarray((1 - scrap_bag - old_cloth) * bought + scrap_bag * scrap + old_cloth * old)


def waits(size: int, shares: Shares) -> Floats:
    """How likely cloth waits each number of years before it is used, shape (size,).

    Examples
    --------
    >>> round(float(waits(300, Shares())[:6].sum()), 1)  # of ten fabrics, eight are used within five years
    0.8
    """
    total = shares.scrap_bag + shares.old_cloth
    scale = 1 / total if total > 1 else 1.0
    return _waits(size, shares.scrap_bag * scale, shares.old_cloth * scale)


def carried(curve: Floats, shares: Shares) -> Floats:
    """Carry the years in which cloth was made forward to the years in which it was used."""
    size = len(curve)
    return np.asarray(np.convolve(curve, waits(size, shares))[:size])


def density(
    evidence: Evidence, years: Years, shares: Shares, *, on_cloth: bool = False, start: Floats | None = None
) -> Floats:
    """Give how a piece of evidence weighs each year, against 1 if it said nothing.

    What is right and what is wrong are weighed so that, before anything else is known, the one is as likely as the
    clue is trusted, in whatever century it points to.

    Parameters
    ----------
    evidence : Evidence
    years : ndarray of int, shape (n,)
    shares : Shares
    on_cloth : bool
        Whether what is dated is the cloth itself, so that nothing waits.
    start : ndarray, shape (n,), optional
        How likely each year is beforehand; level when not given.

    Returns
    -------
    ndarray, shape (n,)
    """
    size = len(years)
    before = np.full(size, 1 / size) if start is None else start
    flat = np.ones(size)
    if evidence.dates == "told":
        return _claim(evidence, years, before)
    if isinstance(evidence.when, Fashion):
        if evidence.when == Fashion(None, None, None, None):
            return flat
        if evidence.dates == "cloth" and not on_cloth:
            # Cloth made before the horizon begins is used within it.
            longer = np.arange(int(years[0]) - _LONGEST_WAIT, int(years[-1]) + 1)
            right = carried(fashion_curve(evidence.when, longer), shares)[-size:]
        else:
            right = fashion_curve(evidence.when, years)
    else:
        right = level(evidence.when, years, evidence.about_years)
        if evidence.dates == "inscription":
            return _inscription(right, years, evidence, before)
        if evidence.dates == "cloth" and not on_cloth:
            right = carried(right, shares)
    if right.sum() <= 0:
        return flat
    if few_patches(evidence):
        # A replacement is as late as the repair: the part itself is no later than the cloth, by any number of years.
        ahead = np.cumsum(right[::-1])[::-1]
        right = (1 - REPLACED) * against(right, before) + REPLACED * against(ahead, before)
    wrong = _blurred(right, _WRONG_YEARS)
    seen = evidence.fact * against(right, before) + (1 - evidence.fact) * against(wrong, before)
    eye = evidence.eye
    if evidence.dates == "cloth" and evidence.patches is not None and not few_patches(evidence):
        # What is seen in many patches is less likely to be another thing in all of them.
        eye = 1 - (1 - eye) * _MANY_PATCHES
    if evidence.dates == "cloth" and _of_old_look(evidence.when):
        # Old looks are printed again: that is no mistake of hers, and dates nothing but since when.
        again = against((years >= _REPRODUCED_SINCE).astype(np.float64), before)
        seen = (1 - shares.reproduction) * seen + shares.reproduction * again
    return np.asarray(eye * seen + (1 - eye) * flat)


def _of_old_look(when: object) -> bool:
    return isinstance(when, Fashion) and when.usual_to is not None and when.usual_to < _OLD_LOOK_TO


def against(weights: Floats, start: Floats) -> Floats:
    """Scale weights to a mean of 1 over what is likely beforehand.

    Examples
    --------
    >>> against(np.array([0.0, 1.0]), np.array([0.5, 0.5])).tolist()
    [0.0, 2.0]
    """
    mean = float(weights @ start)
    return np.asarray(weights / mean if mean > 0 else np.ones(len(weights)))


def few_patches(evidence: Evidence) -> bool:
    """Whether a cloth stands in so few patches that it may have been put in later.

    Examples
    --------
    >>> from seamlore.chronology.spans import Span
    >>> seen = Evidence("blocks", "double knit", Span(1963, None), 0.9, dates="cloth", patches=1, of=240)
    >>> few_patches(seen)
    True
    """
    patches, of = evidence.patches, evidence.of
    if evidence.dates != "cloth" or patches is None or patches > _FEW_PATCHES:
        return False
    return of is None or of >= _MANY or patches <= _FEW_SHARE * of


def _blurred(values: Floats, scale: float) -> Floats:
    size = len(values)
    reach = min(int(4 * scale), size - 1)
    kernel = np.exp(-np.abs(np.arange(-reach, reach + 1)) / scale)
    return np.asarray(np.convolve(values, kernel / kernel.sum(), mode="full")[reach : reach + size])


def _claim(evidence: Evidence, years: Years, start: Floats) -> Floats:
    """A statement about the making: right, or wrong by some decades, or of no worth."""
    when = evidence.when
    right = fashion_curve(when, years) if isinstance(when, Fashion) else level(when, years, evidence.about_years)
    if right.sum() <= 0:
        return np.ones(len(years))
    size = len(years)
    gap = np.arange(-(size - 1), size)
    miss = np.where(
        gap > 0,
        _LATER / _LATER_YEARS * np.exp(-gap / _LATER_YEARS),
        np.where(gap < 0, (1 - _LATER) / _EARLIER_YEARS * np.exp(gap / _EARLIER_YEARS), 0.0),
    )
    near = np.convolve(normal(right), miss)[size - 1 : 2 * size - 1]
    wrong = _NEAR * against(near, start) + (1 - _NEAR)
    return np.asarray(evidence.trust * against(right, start) + (1 - evidence.trust) * wrong)


def _inscription(right: Floats, years: Years, evidence: Evidence, start: Floats) -> Floats:
    """A year worked in: that of the finishing or begun, or remembering what was up to some decades before."""
    at = normal(right)
    size = len(years)
    lag = np.arange(size)
    remembers = np.convolve(at, 1 / (1 + np.exp((lag - 50.0) / 6.0)))[:size]
    seen = _INSCRIBED * against(at, start) + _INSCRIBED_CLOSE * against(_blurred(at, 2.0), start)
    seen = seen + _REMEMBERS * against(remembers, start)
    return np.asarray(evidence.trust * seen + (1 - evidence.trust))


def together(
    pieces: list[Evidence], years: Years, shares: Shares, *, on_cloth: bool = False, start: Floats | None = None
) -> Floats:
    """Give the logarithm of what all evidence on one part says of each year, kin counted once.

    Parameters
    ----------
    pieces : list of Evidence
        All on one part.
    years : ndarray of int, shape (n,)
    shares : Shares
    on_cloth : bool
    start : ndarray, shape (n,), optional

    Returns
    -------
    ndarray, shape (n,)
        0 where it speaks most.
    """
    total = np.zeros(len(years))
    for group in kin(pieces):
        logs = []
        for each in group:
            with np.errstate(divide="ignore"):
                log = np.log(density(each, years, shares, on_cloth=on_cloth, start=start))
            logs.append(log - log.max())
        # Kin say no more together than the one that says most: the least likely of them, year by year.
        total = total + np.min(logs, axis=0)
    return np.asarray(total)


def kin(pieces: list[Evidence]) -> list[list[Evidence]]:
    """Gather the pieces that count once together: one clue, one family of clues, one teller, one story.

    Examples
    --------
    >>> from seamlore.chronology.spans import Span
    >>> told = [Evidence("top", "her story", Span(1876, 1876), 0.5), Evidence("top", "his", Span(1876, 1876), 0.4)]
    >>> [len(group) for group in kin(told)]
    [2]
    """
    groups: dict[tuple[object, ...], list[Evidence]] = {}
    for each in pieces:
        groups.setdefault(_kinship(each), []).append(each)
    return list(groups.values())


def _kinship(evidence: Evidence) -> tuple[object, ...]:
    if evidence.dates != "told":
        return ("clue", evidence.family or evidence.clue)
    if evidence.family:
        return ("told", evidence.family)
    when = evidence.when
    return ("told", when.first, when.last, when.years) if not isinstance(when, Fashion) else ("told", when)
