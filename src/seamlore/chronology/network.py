"""Exact sums over the years of tied parts, in logarithms: parts are taken out one after the other.

A part tied to one other is summed out by a message, a part tied to two others by a product of matrices; going back
through the same steps gives every part's years and every pair's. That covers trees and whatever can be taken apart
with two ties at a time; what cannot is said (`TooTangledError`).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
# Below this a sum of floats has lost digits, or all: it is added up again in logarithms.
_TINY = 1e-250


class TooTangledError(Exception):
    """Parts tied so that none can be taken out with two ties at a time."""


@dataclass(frozen=True, slots=True, eq=False)
class Tie:
    """What two parts' years say of each other.

    Parameters
    ----------
    one, two : int
        Indices of the parts.
    log : ndarray, shape (n, n)
        Logarithm of the weight of each pair of years; rows are years of `one`.
    """

    one: int
    two: int
    log: Floats


@dataclass(frozen=True, slots=True, eq=False)
class Solved:
    """The answer for all parts.

    Parameters
    ----------
    log_p : ndarray, shape (parts, n)
        Logarithm of the probability of each year for each part.
    log_total : float
        Logarithm of the sum over all joint years; -inf when no joint years are allowed.
    joints : dict
        For each tied pair (lower index first) the logarithm of its joint probability, shape (n, n).
    """

    log_p: Floats
    log_total: float
    joints: dict[tuple[int, int], Floats] = field(default_factory=dict)


def log_sum(values: Floats, axis: int) -> Floats:
    """Add up along an axis in logarithms.

    Examples
    --------
    >>> log_sum(np.log([[1.0, 3.0]]), 1).round(6).tolist() == [round(float(np.log(4)), 6)]
    True
    >>> log_sum(np.full((1, 2), -np.inf), 1).tolist()
    [-inf]
    """
    top = values.max(axis=axis, keepdims=True)
    top = np.where(np.isfinite(top), top, 0.0)
    with np.errstate(divide="ignore"):
        return np.asarray(np.log(np.exp(values - top).sum(axis=axis)) + top.squeeze(axis))


def log_product(one: Floats, two: Floats) -> Floats:
    """Multiply two matrices that are given as logarithms, exactly where floats would run out.

    Parameters
    ----------
    one : ndarray, shape (n, k)
    two : ndarray, shape (k, m)

    Examples
    --------
    >>> far = np.array([[0.0, -2000.0]])
    >>> log_product(far, np.array([[-np.inf], [-3.0]])).tolist()
    [[-2003.0]]
    """
    left, right = one.max(axis=1, keepdims=True), two.max(axis=0, keepdims=True)
    left, right = np.where(np.isfinite(left), left, 0.0), np.where(np.isfinite(right), right, 0.0)
    product = np.exp(one - left) @ np.exp(two - right)
    with np.errstate(divide="ignore"):
        out = np.log(product) + left + right
    weak = product < _TINY
    if weak.any():
        possible = np.isfinite(one).astype(np.float32) @ np.isfinite(two).astype(np.float32) > 0
        for row in np.flatnonzero((weak & possible).any(axis=1)):
            columns = np.flatnonzero(weak[row] & possible[row])
            out[row, columns] = log_sum(one[row][:, None] + two[:, columns], 0)
    return np.asarray(out)


@dataclass(frozen=True, slots=True, eq=False)
class _Step:
    """One part taken out: its weights then, and its ties then with what they left behind."""

    part: int
    weights: Floats
    ties: tuple[tuple[int, Floats], ...]
    left: Floats


def solve(log_weights: Floats, ties: Sequence[Tie], *, keep: Sequence[int] = ()) -> Solved:
    """Give every part's years and every tied pair's, exactly.

    Parameters
    ----------
    log_weights : ndarray, shape (parts, n)
        Logarithm of what each part's own evidence says of each year.
    ties : sequence of Tie
        Several on one pair are multiplied.
    keep : sequence of int
        Two parts whose joint years are wanted though they may not be tied: they are taken out last.

    Returns
    -------
    Solved

    Raises
    ------
    TooTangledError
        When no part can be taken out with two ties at a time.

    Examples
    --------
    >>> no_later = np.where(np.tri(2, dtype=bool).T, 0.0, -np.inf)
    >>> np.exp(solve(np.zeros((2, 2)), [Tie(0, 1, no_later)]).log_p[0]).round(6).tolist()
    [0.666667, 0.333333]
    """
    count, size = log_weights.shape
    weights = log_weights.astype(np.float64, copy=True)
    around: list[dict[int, Floats]] = [{} for _ in range(count)]
    for tie in ties:
        _add(around, tie.one, tie.two, tie.log)
    if len(keep) == 2 and keep[1] not in around[keep[0]]:
        _add(around, keep[0], keep[1], np.zeros((size, size)))
    waiting = set(range(count))
    steps: list[_Step] = []
    total = 0.0
    while waiting:
        part = min(waiting, key=lambda each: (each in keep, len(around[each]), each))
        steps.append(step := _taken_out(part, weights, around))
        waiting.discard(part)
        if not step.ties:
            total += float(step.left[0])
    if not np.isfinite(total):
        return Solved(np.full_like(weights, -np.inf), -np.inf)
    log_p = np.full_like(weights, -np.inf)
    joints: dict[tuple[int, int], Floats] = {}
    for step in reversed(steps):
        _put_back(step, log_p, joints)
    return Solved(log_p, total, joints)


def _add(around: list[dict[int, Floats]], one: int, two: int, log: Floats) -> None:
    around[one][two] = around[one][two] + log if two in around[one] else log
    around[two][one] = around[one][two].T


def _taken_out(part: int, weights: Floats, around: list[dict[int, Floats]]) -> _Step:
    ties = tuple(around[part].items())
    own = weights[part].copy()
    if len(ties) > 2:
        raise TooTangledError
    for other, _ in ties:
        del around[other][part]
    if not ties:
        return _Step(part, own, (), log_sum(own[None, :], 1))
    if len(ties) == 1:
        other, log = ties[0]
        left = log_sum(own[:, None] + log, 0)
        weights[other] += left
        return _Step(part, own, ties, left)
    (one, first), (two, second) = ties
    left = log_product((own[:, None] + first).T, second)
    _add(around, one, two, left)
    return _Step(part, own, ties, left)


def _put_back(step: _Step, log_p: Floats, joints: dict[tuple[int, int], Floats]) -> None:
    part = step.part
    if not step.ties:
        log_p[part] = step.weights - step.left[0]
        return
    if len(step.ties) == 1:
        ((other, log),) = step.ties
        joint = step.weights[:, None] + log + _less(log_p[other], step.left)[None, :]
        _keep(joints, part, other, joint)
        log_p[part] = log_sum(joint, 1)
        return
    (one, first), (two, second) = step.ties
    pair = joints[one, two] if one < two else joints[two, one].T
    ratio = _less(pair, step.left)
    joint = step.weights[:, None] + first + log_product(second, ratio.T)
    _keep(joints, part, one, joint)
    _keep(joints, part, two, step.weights[:, None] + second + log_product(first, ratio))
    log_p[part] = log_sum(joint, 1)


def _less(log_p: Floats, log: Floats) -> Floats:
    """A quotient in logarithms; nothing of nothing is nothing."""
    return np.asarray(np.where(np.isfinite(log), log_p - np.where(np.isfinite(log), log, 0.0), -np.inf))


def _keep(joints: dict[tuple[int, int], Floats], one: int, two: int, joint: Floats) -> None:
    joints[(one, two) if one < two else (two, one)] = joint if one < two else joint.T


def pushed(solved: Solved, part: int, columns: Floats) -> dict[int, Floats] | None:
    """Say how all parts' years stand when one part's years are replaced by others, where the ties form a tree.

    Parameters
    ----------
    solved : Solved
    part : int
    columns : ndarray, shape (n, m)
        Each column another distribution of that part's years, within the years that it had.

    Returns
    -------
    dict of int to ndarray, shape (n, m), or None
        For every part tied to it, directly or through others; None when the ties form rings.
    """
    around: dict[int, list[int]] = {}
    for one, two in solved.joints:
        around.setdefault(one, []).append(two)
        around.setdefault(two, []).append(one)
    out = {part: columns}
    came = {part: -1}
    walk = [part]
    for node in walk:
        for other in around.get(node, ()):
            if other == came[node]:
                continue
            if other in out:
                return None
            out[other] = conditional(solved, node, other).T @ out[node]
            came[other] = node
            walk.append(other)
    return out


def conditional(solved: Solved, given: int, other: int) -> Floats:
    """Give the probability of each year of `other` (columns) for each year of `given` (rows), for a tied pair."""
    joint = solved.joints[given, other] if given < other else solved.joints[other, given].T
    return np.asarray(np.exp(_less(joint, np.repeat(solved.log_p[given][:, None], joint.shape[1], axis=1))))


def joint_of(log_weights: Floats, ties: Sequence[Tie], one: int, two: int) -> Floats:
    """Give the joint probability of two parts' years, shape (n, n); rows are years of `one`."""
    solved = solve(log_weights, ties, keep=(one, two))
    joint = solved.joints[one, two] if one < two else solved.joints[two, one].T
    return np.asarray(np.exp(joint))
