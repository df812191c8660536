"""Parts that belong together: how the year of one part follows from that of the part it is joined to.

A quilt is always taken whole: the blocks begin it, then come setting, quilting and edge finish, each some years after
the one before: mostly in one go, sometimes a long time later. Backing and filling are made for the quilting. Parts that
nobody named are summed over, and because each part follows from one other, a part of which nothing is known moves no
other part.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from seamlore.chronology.evidence import Evidence
from seamlore.chronology.inference import Dates, Problem, check_size, horizon_years, named_parts, order_ties
from seamlore.chronology.likelihoods import normal, together, waits
from seamlore.chronology.network import Tie
from seamlore.chronology.order import Before, needed
from seamlore.chronology.parts import place_of, usual_order
from seamlore.chronology.shares import Shares

Floats = NDArray[np.float64]
Years = NDArray[np.int64]

# Which part each follows from, and whether it was made before it (-1), after it (1) or along with it (0).
_FOLLOWS = {
    "setting": ("blocks", 1),
    "border": ("setting", 1),
    "quilting": ("border", 1),
    "ties": ("border", 1),
    "backing": ("quilting", -1),
    "filling": ("quilting", -1),
    "edge finish": ("quilting", 1),
    "thread": ("setting", 0),
    "label": ("edge finish", 1),
    "repair": ("edge finish", 1),
    "fabric": ("blocks", -1),
}
# The mean of the years between in one go, of a long gap (most often a generation), and of what goes against the order.
_IN_ONE_GO, _GENERATION, _AGAINST = 1.3, 18.0, 25.0
# Repairs come when a quilt is worn.
_REPAIRED_AFTER = 30.0


@dataclass(frozen=True, slots=True, eq=False)
class Bond:
    """How one part follows from another, with what it is mixed of.

    Parameters
    ----------
    parent, child : int
        Rows of the problem.
    place : str
        Which part the child is, by its place in the order.
    whole, one_go, long_gap, against : ndarray, shape (n, n)
        The weight of each pair of years (rows are the parent's), and the shares of it that each way of coming together
        has; the three add up to the whole.
    """

    parent: int
    child: int
    place: str
    whole: Floats
    one_go: Floats
    long_gap: Floats
    against: Floats


@dataclass(frozen=True, slots=True, eq=False)
class Bonds:
    """All bonds of a problem, and which part each row is."""

    bonds: tuple[Bond, ...] = ()
    rows: tuple[str, ...] = field(default_factory=tuple)


def survival(years: Years) -> Floats:
    """Give how many quilts of each year there are to come onto a table, 1 at most.

    Few are older than the 1830s, and the newest are not old yet: our own choice from common practice, no source.

    Examples
    --------
    >>> survival(np.array([1700, 1765, 1830, 1990, 2026])).round(2).tolist()
    [0.02, 0.25, 1.0, 1.0, 0.5]
    """
    rise = np.clip((years - 1700) / 130, 0.15, 1.0) ** 2
    fall = np.clip(1 - (years - 1990) / 72, 0.3, 1.0)
    return np.asarray(rise * fall)


def started(years: Years, shares: Shares) -> Floats | None:
    """Give how likely each year is beforehand; None for level, where the pull is switched off."""
    return normal(survival(years)) if shares.pull else None


def pose_usual(
    horizon: tuple[int, int],
    evidence: Sequence[Evidence],
    order: Sequence[Before],
    *,
    parts: Sequence[str] = (),
    shares: Shares | None = None,
) -> tuple[Problem, Bonds]:
    """Put evidence together for parts that belong together along the usual order.

    Parameters
    ----------
    horizon : (int, int)
    evidence : sequence of Evidence
    order : sequence of Before
        What was written by hand: no later than, without a pull; between two parts it takes the place of the bond.
    parts : sequence of str
        The parts asked for; when empty, all that evidence or order name.
    shares : Shares, optional

    Returns
    -------
    Problem, Bonds

    Raises
    ------
    DateError
        As `inference.pose` does.

    Examples
    --------
    >>> from seamlore.chronology.inference import infer
    >>> from seamlore.chronology.spans import Span
    >>> seen = [Evidence("blocks", "a letter", Span(1880, 1880), 1.0)]
    >>> dates = infer(pose_usual((1700, 2026), seen, [], parts=["blocks", "edge finish"])[0])
    >>> dates.year("edge finish", 0.5)
    1882
    """
    shares = shares or Shares()
    names = named_parts(parts, evidence, order)
    years = horizon_years(horizon)
    if not shares.pull:
        return _without_pull(names, years, evidence, order, shares), Bonds((), names)
    rows, parents = _tree(names)
    for before in order:
        _cut(rows, parents, names, before)
    size = len(years)
    log_weights = np.zeros((len(rows), size))
    with np.errstate(divide="ignore"):
        start = np.log(normal(survival(years)))
    for row in range(len(rows)):
        if row not in parents:
            log_weights[row] += start
    log_weights[: len(names)] += _spoken(names, years, evidence, shares, normal(survival(years)))
    made: dict[tuple[str, int], tuple[Floats, Floats, Floats, Floats]] = {}
    bonds = []
    for child, (parent, place, way) in parents.items():
        if (place, way) not in made:
            made[place, way] = _kernel(place, way, size, shares)
        bonds.append(Bond(parent, child, place, *made[place, way]))
    logs: dict[int, Floats] = {}
    for bond in bonds:
        if id(bond.whole) not in logs:
            with np.errstate(divide="ignore"):
                logs[id(bond.whole)] = np.log(bond.whole)
    ties = [Tie(bond.parent, bond.child, logs[id(bond.whole)]) for bond in bonds]
    ties += order_ties(rows, needed(order), size)
    problem = Problem(names, years, log_weights, tuple(ties), tuple(order))
    check_size(problem)
    return problem, Bonds(tuple(bonds), tuple(rows))


def _spoken(
    names: Sequence[str], years: Years, evidence: Sequence[Evidence], shares: Shares, start: Floats | None = None
) -> Floats:
    out = np.zeros((len(names), len(years)))
    by_part: dict[str, list[Evidence]] = {}
    for each in evidence:
        by_part.setdefault(each.part, []).append(each)
    for part, pieces in by_part.items():
        out[names.index(part)] = together(pieces, years, shares, on_cloth=place_of(part) == "fabric", start=start)
    return out


def _without_pull(
    names: tuple[str, ...], years: Years, evidence: Sequence[Evidence], order: Sequence[Before], shares: Shares
) -> Problem:
    whole = (*order, *(Before(*pair) for pair in usual_order(names)))
    ties = order_ties(names, needed(whole), len(years))
    problem = Problem(names, years, _spoken(names, years, evidence, shares), ties, whole)
    check_size(problem)
    return problem


def _tree(names: tuple[str, ...]) -> tuple[list[str], dict[int, tuple[int, str, int]]]:
    """Rows of the whole quilt (the named parts first), and for each row its parent, its place, and the way between."""
    rows = list(names)
    first: dict[str, int] = {}
    parents: dict[int, tuple[int, str, int]] = {}
    for row, name in enumerate(names):
        first.setdefault(place_of(name), row)
    first.pop("", None)
    if "ties" in first and "quilting" not in first:
        # What holds the layers is the ties then.
        first["quilting"] = first["ties"]
    waiting = list(first)
    while waiting:
        place = waiting.pop()
        if place not in _FOLLOWS or first[place] in parents:
            continue
        parent, way = _FOLLOWS[place]
        if parent == "border" and "border" not in first:
            parent = "setting"
        if place == "ties" and first["quilting"] == first["ties"]:
            place = "quilting"
        if parent not in first:
            first[parent] = len(rows)
            rows.append(f"({parent})")
            waiting.append(parent)
        parents[first[place]] = (first[parent], place, way)
    for row, name in enumerate(names):
        place = place_of(name)
        if place and row != first[place] and row not in parents:
            parents[row] = (first[place], place, 0)
    return rows, parents


def _cut(rows: list[str], parents: dict[int, tuple[int, str, int]], names: tuple[str, ...], before: Before) -> None:
    """Take out the bond that an order written by hand stands for: the last one on the way to the later part."""
    earlier, later = names.index(before.earlier), names.index(before.later)
    up = {earlier: earlier}
    node = earlier
    while node in parents:
        node = parents[node][0]
        up[node] = node
    climbed = later
    while climbed not in up:
        if climbed not in parents:
            return
        climbed = parents[climbed][0]
    if climbed != later:
        del parents[later]
        return
    # The later part stands above the earlier one in the tree (a backing and its quilting).
    node = earlier
    while node in parents and parents[node][0] != later:
        node = parents[node][0]
    parents.pop(node, None)


def _kernel(place: str, way: int, size: int, shares: Shares) -> tuple[Floats, Floats, Floats, Floats]:
    """The weight of every pair of years (rows the parent's), as a whole and by the way of coming together."""
    gap = np.arange(size)[None, :] - np.arange(size)[:, None]
    none = np.zeros((size, size))
    if place == "fabric" and way == -1:
        wait = np.where(gap <= 0, waits(size, shares)[np.maximum(-gap, 0)], 0.0)
        whole = _rows(wait)
        return whole, whole, none, none
    if place == "repair" and way == 1:
        whole = _rows(np.where(gap >= 0, np.exp(-gap / _REPAIRED_AFTER), 0.0))
        return whole, none, whole, none
    long_share = shares.long_gap.get(place, shares.long_gap["setting"])
    forward = gap if way >= 0 else -gap
    against_share = min(shares.against, 1 - long_share)
    after = np.maximum(forward, 0)
    if way == 0:
        both = np.abs(gap)
        short = _rows(np.exp(-both / _IN_ONE_GO))
        long = _rows(both * np.exp(-both / _GENERATION))
        return _mixed(short, long, none, long_share, 0.0)
    short = _rows(np.where(forward >= 0, np.exp(-after / _IN_ONE_GO), 0.0))
    long = _rows(np.where(forward >= 1, after * np.exp(-after / _GENERATION), 0.0))
    against = _rows(np.where(forward < 0, np.exp(-np.maximum(-forward, 0) / _AGAINST), 0.0))
    return _mixed(short, long, against, long_share, against_share)


def _mixed(
    short: Floats, long: Floats, against: Floats, long_share: float, against_share: float
) -> tuple[Floats, Floats, Floats, Floats]:
    parts = ((1 - long_share - against_share) * short, long_share * long, against_share * against)
    # At the ends of the horizon there is no room for a long gap, or none against the order.
    total = sum(each.sum(axis=1, keepdims=True) for each in parts)
    one, two, three = (np.asarray(each / total) for each in parts)
    return np.asarray(one + two + three), one, two, three


def _rows(weights: Floats) -> Floats:
    sums = weights.sum(axis=1, keepdims=True)
    return np.asarray(np.where(sums > 0, weights / np.where(sums > 0, sums, 1.0), 0.0))


def ways(dates: Dates, bonds: Bonds) -> tuple[tuple[Bond, float, float], ...]:
    """Give for each bond how likely it was a long gap, and how likely it went against the order.

    Examples
    --------
    >>> from seamlore.chronology.inference import infer
    >>> from seamlore.chronology.spans import Span
    >>> seen = [Evidence("top", "a", Span(1880, 1880), 1.0), Evidence("quilting", "b", Span(1935, 1935), 1.0)]
    >>> problem, bonds = pose_usual((1700, 2026), seen, [])
    >>> [(bond.place, round(long, 2)) for bond, long, _ in ways(infer(problem), bonds) if bond.place == "quilting"]
    [('quilting', 1.0)]
    """
    found = []
    if dates.solved is None:
        return ()
    for bond in bonds.bonds:
        low, high = sorted((bond.parent, bond.child))
        joint = np.exp(dates.solved.joints[low, high])
        joint = joint if bond.parent == low else joint.T
        with np.errstate(divide="ignore", invalid="ignore"):
            share = np.where(bond.whole > 0, joint / bond.whole, 0.0)
        found.append((bond, float((share * bond.long_gap).sum()), float((share * bond.against).sum())))
    return tuple(found)
