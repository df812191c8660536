"""Merge neighboring pieces of a square for as long as keeping them apart explains too little."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Ints = NDArray[np.intp]


@dataclass(frozen=True, eq=False)
class Pieces:
    """Pieces of a square, what was measured in each, and who touches whom.

    Attributes
    ----------
    sums : ndarray, shape (pieces, channels)
        Sum over the pixels of each piece.
    counts : ndarray, shape (pieces,)
        Its pixels.
    pairs : ndarray of int, shape (pairs, 2)
        Neighbors, each pair once.
    lengths : ndarray, shape (pairs,)
        Length of the side that they share.
    """

    sums: Floats
    counts: Floats
    pairs: Ints
    lengths: Floats

    @property
    def means(self) -> Floats:
        """Mean of each channel over each piece, shape (pieces, channels)."""
        means: Floats = self.sums / self.counts[:, None]
        return means


Loss = Callable[[Pieces], Floats]
"""What would be lost by merging each pair of neighbors, shape (pairs,)."""


def merge(pieces: Pieces, loss: Loss, limit: float = 0.0) -> tuple[Ints, Pieces]:
    """Merge pairs of neighbors, least loss first, until every merge would lose more than the limit.

    In each round all pairs merge that are each other's best choice, which gives what merging one pair at a time
    would give when the loss never falls by merging others.

    Parameters
    ----------
    pieces : Pieces
    loss : callable
        Loss of merging each pair.
    limit : float
        No pair merges at or above it.

    Returns
    -------
    labels : ndarray of int, shape (pieces,)
        Which merged piece each piece went into.
    merged : Pieces

    Examples
    --------
    >>> row = Pieces(np.array([[0.0], [0.1], [5.0]]), np.ones(3), np.array([[0, 1], [1, 2]]), np.ones(2))
    >>> merge(row, lambda now: np.abs(np.diff(now.means[now.pairs, 0], axis=1)).ravel(), limit=1.0)[0].tolist()
    [0, 0, 1]
    >>> merge(Pieces(np.zeros((1, 1)), np.ones(1), np.zeros((0, 2), int), np.zeros(0)), lambda now: now.lengths)[0]
    array([0])
    """
    labels = np.arange(len(pieces.counts))
    while len(pieces.pairs):
        chosen = _mutual_best(pieces.pairs, loss(pieces), len(pieces.counts), limit)
        if not len(chosen):
            break
        into, pieces = _joined(pieces, chosen)
        labels = into[labels]
    return labels, pieces


def side_by_side(several: Sequence[Pieces]) -> tuple[Pieces, Ints]:
    """Put the pieces of several squares together, as if they were one in which none touches those of another.

    Returns
    -------
    pieces : Pieces
    starts : ndarray of int, shape (squares,)
        The number of the first piece of each.

    Examples
    --------
    >>> one = Pieces(np.zeros((2, 1)), np.ones(2), np.array([[0, 1]]), np.ones(1))
    >>> both, starts = side_by_side([one, one])
    >>> both.pairs.tolist(), starts.tolist()
    ([[0, 1], [2, 3]], [0, 2])
    >>> side_by_side([one])[1].tolist()
    [0]
    """
    ends = np.cumsum([len(each.counts) for each in several])
    starts = ends - [len(each.counts) for each in several]
    together = Pieces(
        np.concatenate([each.sums for each in several]),
        np.concatenate([each.counts for each in several]),
        np.concatenate([each.pairs + start for each, start in zip(several, starts, strict=True)]),
        np.concatenate([each.lengths for each in several]),
    )
    return together, starts


def _mutual_best(pairs: Ints, lost: Floats, count: int, limit: float) -> Ints:
    below = np.flatnonzero(lost < limit)
    # The least loss comes last, so that it stays with both its pieces.
    below = below[np.argsort(lost[below], kind="stable")[::-1]]
    ends = pairs[below]
    best = np.empty(count, dtype=np.intp)
    best[ends.ravel()] = np.repeat(below, 2)
    mutual: Ints = below[(best[ends[:, 0]] == below) & (best[ends[:, 1]] == below)]
    return mutual


def _joined(pieces: Pieces, chosen: Ints) -> tuple[Ints, Pieces]:
    """Merge the second of each chosen pair into the first: which piece each goes into, and the pieces then.

    No piece is in two of the chosen pairs.
    """
    one, two = pieces.pairs[chosen].T
    kept = np.ones(len(pieces.counts), dtype=bool)
    kept[two] = False
    into = np.cumsum(kept) - 1
    into[two] = into[one]
    sums, counts = pieces.sums[kept], pieces.counts[kept]
    sums[into[one]] += pieces.sums[two]
    counts[into[one]] += pieces.counts[two]
    first, second = into[pieces.pairs.T]
    apart = np.flatnonzero(first != second)
    first, second = first[apart], second[apart]
    key = np.minimum(first, second) * len(counts) + np.maximum(first, second)
    order = np.argsort(key, kind="stable")
    key, lengths = key[order], pieces.lengths[apart[order]]
    new = np.flatnonzero(np.diff(key, prepend=-1))
    lengths = np.add.reduceat(lengths, new) if len(new) else lengths
    return into, Pieces(sums, counts, np.stack(np.divmod(key[new], len(counts)), axis=-1), lengths)
