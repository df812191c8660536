"""Units: the small squares that blocks on a grid are put together from."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from judging.training.patchwork.outlines import BOX, Patch, Rng, turned


def draw_unit(rng: Rng, places: Callable[[], int]) -> list[Patch]:
    """Draw one unit in its own square.

    Parameters
    ----------
    rng : Generator
    places : callable
        Gives the number of the next fabric's place.

    Examples
    --------
    >>> from itertools import count
    >>> [len(draw_unit(np.random.default_rng(k), count().__next__)) for k in range(4)]
    [4, 2, 1, 1]
    """
    a, b = places(), places()
    kind = rng.choice(12, p=[0.3, 0.27, 0.09, 0.04, 0.05, 0.05, 0.05, 0.04, 0.04, 0.03, 0.02, 0.02])
    p = np.array
    if kind == 0:  # plain
        return [(BOX.copy(), a)]
    if kind == 1:  # half-square triangles
        return [(p([[0.0, 0], [1, 0], [0, 1]]), a), (p([[1.0, 0], [1, 1], [0, 1]]), b)]
    if kind == 2:  # quarter-square triangles
        c, d = (places(), places()) if rng.random() < 0.5 else (a, b)
        m = [0.5, 0.5]
        return [
            (p([[0.0, 0], [1, 0], m]), a), (p([[1.0, 0], [1, 1], m]), b),
            (p([[1.0, 1], [0, 1], m]), c), (p([[0.0, 1], [0, 0], m]), d),
        ]  # fmt: skip
    if kind == 3:  # a triangle on a whole side
        return [
            (p([[0.0, 1], [1, 1], [0.5, 0]]), a),
            (p([[0.0, 0], [0.5, 0], [0, 1]]), b),
            (p([[0.5, 0], [1, 0], [1, 1]]), b),
        ]
    if kind == 4:  # two geese
        return [
            one
            for y in (0.0, 0.5)
            for one in (
                (p([[0.0, y + 0.5], [1, y + 0.5], [0.5, y]]), a),
                (p([[0.0, y], [0.5, y], [0, y + 0.5]]), b),
                (p([[0.5, y], [1, y], [1, y + 0.5]]), b),
            )
        ]
    if kind == 5:  # square in a square
        mid = p([[0.5, 0], [1, 0.5], [0.5, 1], [0, 0.5]])
        return [(mid, a)] + [(turned(p([[0.0, 0], [0.5, 0], [0, 0.5]]), k, False), b) for k in range(4)]
    if kind == 6:  # strips
        count = int(rng.integers(2, 5))
        return [
            (p([[0, k / count], [1, k / count], [1, (k + 1) / count], [0, (k + 1) / count]]), a if k % 2 == 0 else b)
            for k in range(count)
        ]
    if kind == 7:  # four patch
        return [(BOX * 0.5 + p([x, y]) / 2, a if x == y else b) for x in (0, 1) for y in (0, 1)]
    if kind == 8:  # one corner snowballed
        cut = float(rng.choice([0.25, 0.33, 0.5]))
        return [(p([[cut, 0.0], [1, 0], [1, 1], [0, 1], [0, cut]]), a), (p([[0.0, 0], [cut, 0], [0, cut]]), b)]
    if kind == 9:  # half of it a triangle, half two small ones
        m = [0.5, 0.5]
        return [
            (p([[0.0, 0], [1, 0], m]), a),
            (p([[0.0, 0], m, [0, 1]]), places()),
            (p([[1.0, 0], [1, 1], [0, 1]]), b),
        ]
    if kind == 10:  # all corners snowballed
        cut = float(rng.choice([0.25, 0.3, 0.33]))
        ring = p([[cut, 0], [1 - cut, 0], [1, cut], [1, 1 - cut], [1 - cut, 1], [cut, 1], [0, 1 - cut], [0, cut]])
        return [(ring, a)] + [(turned(p([[0.0, 0], [cut, 0], [0, cut]]), k, False), b) for k in range(4)]
    s = float(rng.uniform(0.2, 0.4))  # a parallelogram and two triangles
    return [
        (p([[0.0, 0], [s, 0], [1, 1], [1 - s, 1]]), a),
        (p([[s, 0.0], [1, 0], [1, 1]]), b),
        (p([[0.0, 0], [1 - s, 1], [0, 1]]), b),
    ]
