"""Sharing patches of several sizes out among fabrics so that none runs out: exact, when taking turns gets stuck."""

from __future__ import annotations

import numpy as np

from seamlore.solving.placing import Problem
from seamlore.solving.program import Program, Whole, solve


def fitted(problem: Problem) -> Whole | None:
    """Find any placing that keeps to the cloth there is, minding nothing else but to vary fabrics within a block.

    Parameters
    ----------
    problem : Problem
        What to place.

    Returns
    -------
    ndarray of int, shape (p,), or None
        A fabric for each patch; None when none was found, which for up to 10,000 nodes of search is a proof.

    Examples
    --------
    A patch of 2 and two of 1, two fabrics of 2: the small ones must go together.

    >>> none = np.zeros((0, 2), int)
    >>> fitted(Problem(np.array([1.0, 1, 2]), np.ones(3, int), np.arange(3), none, none, np.full(2, 2.0),
    ...                np.array([1.0, 2]))).tolist()
    [1, 1, 0]
    >>> fitted(Problem(np.array([3.0]), np.ones(1, int), np.zeros(1, int), none, none, np.ones(1), np.ones(1))) is None
    True
    """
    may = problem.may_take()
    alike = np.column_stack([problem.size, problem.pieces, may])
    sorts, sort, count = np.unique(alike, axis=0, return_inverse=True, return_counts=True)
    many, fabrics = len(sorts), len(problem.cloth)
    # Unknowns: how many patches of each sort come from each fabric.
    at = np.arange(many * fabrics)
    of_sort, of_fabric = at // fabrics, at % fabrics
    allowed = sorts[:, 2:].ravel()
    limits = [
        (row, amount, sorts[:, column])
        for row, (amount, column) in enumerate(((problem.cloth, 0), (problem.number, 1)))
    ]
    program = Program(
        np.zeros(len(at)),
        np.zeros(len(at)),
        count[of_sort] * allowed,
        np.concatenate([of_sort, *[many + row * fabrics + of_fabric for row, _, _ in limits]]),
        np.concatenate([at] * 3),
        np.concatenate([np.ones(len(at)), *[used[of_sort] for _, _, used in limits]]),
        np.concatenate([count.astype(float), np.full(2 * fabrics, -np.inf)]),
        np.concatenate([count.astype(float), *[amount for _, amount, _ in limits]]),
        np.ones(len(at), bool),
    )
    found = solve(program)
    if found.values is None:
        return None
    left = np.round(found.values).astype(np.int64).reshape(many, fabrics)
    counts = np.zeros((problem.blocks, fabrics), np.int64)
    fabric = np.zeros(len(problem.size), np.int64)
    for patch in range(len(fabric)):
        mine, block = left[sort[patch]], problem.block[patch]
        chosen = int(np.lexsort((-mine, counts[block], mine == 0))[0])
        fabric[patch] = chosen
        mine[chosen] -= 1
        counts[block, chosen] += 1
    return fabric


# More unknowns than this take longer than a search that has stopped at a fault is worth.
_MOST_UNKNOWNS = 20_000


def faultless(problem: Problem) -> Whole | None:
    """Find any placing without a fault, whatever neighbouring blocks share.

    Exchanging two patches at a time cannot get round every fault when there is barely enough cloth.

    Parameters
    ----------
    problem : Problem
        What to place.

    Returns
    -------
    ndarray of int, shape (p,), or None
        A fabric for each patch: touching patches apart, none too often in a block, none running out. None when there is
        none, or none was found within 1,000 nodes of search, or there are too many patches and fabrics to try.

    Examples
    --------
    Two blocks of a small and a large patch; the first fabric is just enough for both small ones:

    >>> none = np.zeros((0, 2), int)
    >>> two = Problem(np.array([1.0, 2, 1, 2]), np.ones(4, int), np.array([0, 0, 1, 1]), none, np.array([[0, 1]]),
    ...               np.array([2.0, 4]), np.array([2.0, 3]))
    >>> faultless(two).tolist()
    [0, 1, 0, 1]
    """
    patches, fabrics = len(problem.size), len(problem.cloth)
    if patches * fabrics > _MOST_UNKNOWNS:
        return None
    # Unknowns: whether each patch takes each fabric.
    at = np.arange(patches * fabrics)
    patch, fabric = at // fabrics, at % fabrics
    blocks, pairs = problem.blocks, len(problem.touching)
    pair = np.repeat(np.arange(pairs), 2 * fabrics)
    ends = (problem.touching[:, :, None] * fabrics + np.arange(fabrics)).reshape(-1)
    of_end = np.tile(np.arange(fabrics), 2 * pairs)
    used = np.ones(len(at))
    parts = (
        # Row in its kind, unknown, entry, and the least and most of each row.
        (patch, at, used, np.ones(patches), np.ones(patches)),
        (fabric, at, problem.size[patch], np.full(fabrics, -np.inf), problem.cloth),
        (fabric, at, problem.pieces[patch].astype(float), np.full(fabrics, -np.inf), problem.number),
        (
            problem.block[patch] * fabrics + fabric,
            at,
            used,
            np.full(blocks * fabrics, -np.inf),
            np.full(blocks * fabrics, float(problem.most)),
        ),
        (
            pair * fabrics + of_end,
            ends,
            np.ones(len(ends)),
            np.full(pairs * fabrics, -np.inf),
            np.ones(pairs * fabrics),
        ),
    )
    starts = np.concatenate([[0], np.cumsum([len(low) for *_, low, _ in parts])])
    program = Program(
        np.zeros(len(at)),
        np.zeros(len(at)),
        problem.may_take().ravel().astype(float),
        np.concatenate([row + start for (row, *_), start in zip(parts, starts, strict=False)]),
        np.concatenate([column for _, column, *_ in parts]),
        np.concatenate([entry for _, _, entry, *_ in parts]),
        np.concatenate([low for *_, low, _ in parts]),
        np.concatenate([high for *_, high in parts]),
        np.ones(len(at), bool),
    )
    values = solve(program, nodes=1_000).values
    return None if values is None else np.argmax(values.reshape(patches, fabrics), axis=1).astype(np.int64)
