"""Why fabrics cannot be placed: the smallest set of patches and fabrics found that already shows it.

What is tried is a relaxation, in which a patch may take parts of several fabrics. If even that has no solution for
some patches, no placing has. Patches are then left out as long as the rest still has none (a deletion filter).
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Literal

import numpy as np

from seamlore.placing.problem import Problem
from seamlore.solving.program import Rows, Whole, solve

# Most relaxations tried while the set is made smaller.
_TRIES = 160
# So few patches are tried once more against every relaxation; more would take longer than it tells.
_FEW = 12


@dataclass(frozen=True, slots=True, eq=False)
class Reason:
    """Patches and fabrics that show why there is no placing.

    Parameters
    ----------
    kind : {"amount", "apart", "touching"}
        Whether there is too little of the fabrics (or too few for one block), or too little of what can be used of them
        with no two patches touching in one fabric, or patches that touch are the matter otherwise.
    patches : ndarray of int
        These patches cannot all be placed.
    fabrics : ndarray of int
        All the fabrics that any of them may take.
    limited : ndarray of int
        Those of the fabrics of which more would help.
    most : int
        When they must stand apart: so many of them can be of one fabric.
    """

    kind: Literal["amount", "apart", "touching"]
    patches: Whole
    fabrics: Whole
    limited: Whole
    most: int = 0


def why_not(problem: Problem) -> Reason | None:
    """Show why fabrics cannot be placed without fault, as far as the relaxation can tell.

    Parameters
    ----------
    problem : Problem
        Any problem.

    Returns
    -------
    Reason or None
        None when the relaxation finds nothing against it; there may still be no placing.

    Examples
    --------
    Three patches in a row and two fabrics, one of which gives only one piece; then enough of both:

    >>> row = Problem(np.ones(3), np.ones(3, int), np.arange(3), np.array([[0, 1], [1, 2]]), np.zeros((0, 2), int),
    ...               np.full(2, np.inf), np.array([1.0, 1.0]))
    >>> reason = why_not(row)
    >>> reason.kind, reason.patches.tolist(), reason.limited.tolist()
    ('amount', [0, 1, 2], [0, 1])
    >>> why_not(replace(row, number=np.array([1.0, 2.0]))) is None
    True
    """
    found = _first_reason(problem)
    tries = 0
    while found is not None and len(found.patches) <= _FEW and tries < _TRIES:
        # One relaxation may need more patches than another that was not reached: each patch is left out once more.
        fewer = [found.patches[found.patches != patch] for patch in found.patches.tolist()]
        tries += len(fewer)
        smaller = (_within(problem, each) for each in fewer if len(each))
        better = next((each for each in smaller if each is not None), None)
        if better is None:
            return found
        found = better
    return found


def _within(problem: Problem, patches: Whole) -> Reason | None:
    """Show why some of the patches cannot be placed even by themselves."""
    spot = np.full(len(problem.size), -1)
    spot[patches] = np.arange(len(patches))
    touching = spot[problem.touching]
    part = replace(
        problem,
        size=problem.size[patches],
        pieces=problem.pieces[patches],
        block=problem.block[patches],
        touching=touching[(touching >= 0).all(axis=1)],
        barred=problem.barred[patches] if len(problem.barred) else problem.barred,
    )
    found = _first_reason(part)
    return None if found is None else replace(found, patches=patches[found.patches])


def _first_reason(problem: Problem) -> Reason | None:
    """Show why fabrics cannot be placed: by their amounts if that is enough, else by patches that touch."""
    everyone = np.arange(len(problem.size))
    loose = replace(problem, touching=np.zeros((0, 2), np.int64))
    for kind, given in (("amount", loose), ("touching", problem)):
        cliques = [] if kind == "amount" else _cliques(given)
        ring = [] if kind == "amount" else _odd_ring(given)
        if ring:
            return _reason(given, "touching", np.array(ring))
        # Patches that all touch one another each take a fabric of their own.
        for clique in sorted(cliques, key=len):
            if len(clique) > given.may_take()[clique].any(axis=0).sum():
                return _reason(given, "touching", np.array(clique))

        def impossible(patches: Whole, given: Problem = given, cliques: list[list[int]] = cliques) -> bool:
            return not _possible(given, patches, cliques)

        if impossible(everyone):
            patches = _smallest(everyone, given, impossible)
            limited = [
                fabric
                for fabric in range(len(problem.cloth))
                if not impossible_with_more(given, patches, cliques, fabric)
            ]
            found = _reason(given, "amount" if kind == "amount" else "touching", patches)
            return replace(found, limited=np.array(limited, np.int64))
    return None


def impossible_with_more(problem: Problem, patches: Whole, cliques: list[list[int]], fabric: int) -> bool:
    """Tell whether patches still cannot be placed when there is any amount of one fabric."""
    cloth, number = problem.cloth.copy(), problem.number.copy()
    cloth[fabric] = number[fabric] = np.inf
    return not _possible(replace(problem, cloth=cloth, number=number), patches, cliques)


def _reason(problem: Problem, kind: Literal["amount", "touching"], patches: Whole) -> Reason:
    fabrics = np.flatnonzero(problem.may_take()[patches].any(axis=0))
    return Reason(kind, np.sort(patches), fabrics, np.zeros(0, np.int64))


def _smallest(everyone: Whole, problem: Problem, impossible: Callable[[Whole], bool]) -> Whole:
    """Leave out patches, block by block and then one by one, while the rest is still impossible."""
    order = everyone[np.lexsort((everyone, problem.block))]
    # How few of the first patches are already too many: what is impossible stays so when more are added.
    low, high = 0, len(order)
    while low + 1 < high:
        middle = (low + high) // 2
        low, high = (low, middle) if impossible(order[:middle]) else (middle, high)
    kept = order[:high]
    tries = 0
    size = max(len(kept) // 2, 1)
    while tries < _TRIES:
        start = 0
        while start < len(kept) and tries < _TRIES:
            fewer = np.concatenate([kept[:start], kept[start + size :]])
            tries += 1
            if len(fewer) and impossible(fewer):
                kept = fewer
            else:
                start += size
        if size == 1:
            break
        size = max(size // 2, 1)
    return kept


def _possible(problem: Problem, patches: Whole, cliques: list[list[int]]) -> bool:
    """Whether the relaxation can place these patches.

    Patches that nothing tells apart are one sort, fabrics that nothing tells apart one group; the unknowns are how
    many patches of each sort come from each group.
    """
    may = problem.may_take()[patches]
    if not may.any(axis=1).all():
        return False
    here = {int(patch): spot for spot, patch in enumerate(patches)}
    rings = [[here[patch] for patch in clique if patch in here] for clique in cliques]
    rings = [ring for ring in rings if len(ring) > 1]
    alone = np.full(len(patches), -1)
    for spot in {spot for ring in rings for spot in ring}:
        alone[spot] = spot
    alike = np.column_stack([problem.block[patches], problem.size[patches], problem.pieces[patches], alone, may])
    sorts, sort, count = np.unique(alike, axis=0, return_inverse=True, return_counts=True)
    _, group, times = np.unique(
        np.column_stack([problem.cloth, problem.number, may.T]), axis=0, return_inverse=True, return_counts=True
    )
    first = [int(np.flatnonzero(group == number)[0]) for number in range(len(times))]
    groups = len(times)
    unknown = np.arange(len(sorts) * groups).reshape(len(sorts), groups)
    rows = Rows()
    for number, each in enumerate(count.tolist()):
        rows.add(unknown[number], np.ones(groups), each, each)
    for number, fabric in enumerate(first):
        for amount, used in ((problem.cloth, sorts[:, 1]), (problem.number, sorts[:, 2])):
            if np.isfinite(amount[fabric]):
                rows.add(unknown[:, number], used, -np.inf, float(amount[fabric] * times[number]))
        for block in np.unique(sorts[:, 0]):
            members = np.flatnonzero(sorts[:, 0] == block)
            if count[members].sum() > problem.most * times[number]:
                rows.add(
                    unknown[members, number], np.ones(len(members)), -np.inf, float(problem.most * times[number])
                )
        for ring in rings:
            if len(ring) > times[number]:
                rows.add(unknown[sort[ring], number], np.ones(len(ring)), -np.inf, float(times[number]))
    upper = (count[:, None] * sorts[:, 4:][:, first]).ravel()
    return solve(rows.program(upper)).status != "infeasible"


def _cliques(problem: Problem) -> list[list[int]]:
    """Sets of patches that all touch one another, so that every touching pair is in one."""
    near: dict[int, set[int]] = {}
    for one, two in problem.touching.tolist():
        near.setdefault(one, set()).add(two)
        near.setdefault(two, set()).add(one)
    covered: set[tuple[int, int]] = set()
    found = []
    for one, two in sorted(map(tuple, np.sort(problem.touching, axis=1).tolist())):
        if (one, two) in covered:
            continue
        clique = [one, two]
        common = near[one] & near[two]
        while common:
            more = min(common)
            clique.append(more)
            common &= near[more]
        covered |= {(min(a, b), max(a, b)) for a in clique for b in clique if a != b}
        found.append(sorted(clique))
    return found


def _odd_ring(problem: Problem) -> list[int]:
    """The shortest odd ring of touching patches when there are only two fabrics for them; empty when there is none."""
    if len(problem.cloth) != 2:
        return []
    near: dict[int, list[int]] = {}
    for one, two in problem.touching.tolist():
        near.setdefault(one, []).append(two)
        near.setdefault(two, []).append(one)
    best: list[int] = []
    for first in near:
        before, far = {first: -1}, {first: 0}
        queue = [first]
        for patch in queue:
            for other in near[patch]:
                if other not in far:
                    far[other], before[other] = far[patch] + 1, patch
                    queue.append(other)
                elif far[other] == far[patch] and (not best or 2 * far[patch] + 1 < len(best)):
                    # Two patches equally far from the first close a ring of an odd number.
                    ring = _joined(before, patch, other)
                    best = ring if not best or len(ring) < len(best) else best
    return best


def _joined(before: dict[int, int], one: int, two: int) -> list[int]:
    """The ring that two ways from one patch close."""
    left, right = [one], [two]
    while left[-1] != right[-1]:
        left.append(before[left[-1]])
        right.append(before[right[-1]])
    return left + right[:-1]
