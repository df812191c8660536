"""How many patches one fabric can take at most when no two of them may touch.

Patches are parted into pairs that touch, as many pairs as can be found; a fabric takes no more than one of each pair and
the patches left over. That proves a limit for any quilt. Where the patches part into two sides as on a checkerboard, and
no more pairs can be found, the limit can be reached (König 1931).
"""

from __future__ import annotations

from collections import deque
from collections.abc import Sequence

from seamlore.placing.problem import Whole, adjacency


def most_apart(count: int, touching: Whole) -> int:
    """Bound how many of some patches can be of one fabric with no two of them touching.

    Parameters
    ----------
    count : int
        How many patches there are.
    touching : ndarray of int, shape (t, 2)
        The pairs that share an edge.

    Returns
    -------
    int
        No choice of patches that do not touch is larger; where they lie as on a checkerboard, one is as large.

    Examples
    --------
    Five patches in a row; three of them can be alike:

    >>> import numpy as np
    >>> most_apart(5, np.array([[0, 1], [1, 2], [2, 3], [3, 4]]))
    3
    >>> most_apart(5, np.zeros((0, 2), int))
    5
    """
    near = adjacency(count, touching)
    mate = [-1] * count
    side = _sides(near)
    # Hardest to pair first, so that little is left to be mended.
    for patch in sorted(range(count), key=lambda each: len(near[each])):
        if mate[patch] < 0:
            other = min(
                (each for each in near[patch] if mate[each] < 0), key=lambda each: len(near[each]), default=-1
            )
            if other >= 0:
                mate[patch], mate[other] = other, patch
    if side is not None:
        for patch in range(count):
            if side[patch] == 0 and mate[patch] < 0:
                _pair_by_turns(patch, near, mate)
    return count - sum(other >= 0 for other in mate) // 2


def _sides(near: Sequence[Sequence[int]]) -> list[int] | None:
    """Part patches into two sides so that only patches of different sides touch; None when they cannot be."""
    side = [-1] * len(near)
    for first in range(len(near)):
        if side[first] >= 0:
            continue
        side[first] = 0
        waiting = deque([first])
        while waiting:
            patch = waiting.popleft()
            for other in near[patch]:
                if side[other] < 0:
                    side[other] = 1 - side[patch]
                    waiting.append(other)
                elif side[other] == side[patch]:
                    return None
    return side


def _pair_by_turns(first: int, near: Sequence[Sequence[int]], mate: list[int]) -> None:
    """Pair one more patch, by exchanging partners along the shortest way to another that has none."""
    come_from: dict[int, int] = {}
    waiting = deque([first])
    while waiting:
        patch = waiting.popleft()
        for other in near[patch]:
            if other in come_from:
                continue
            come_from[other] = patch
            if mate[other] >= 0:
                waiting.append(mate[other])
                continue
            while True:
                here = come_from[other]
                mate[other], mate[here], other = here, other, mate[here]
                if here == first:
                    return
