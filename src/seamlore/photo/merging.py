"""Merge neighbouring pieces of a square for as long as keeping them apart explains too little."""

from __future__ import annotations

from collections.abc import Callable
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
        Neighbours, each pair once.
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
"""What would be lost by merging each pair of neighbours, shape (pairs,)."""


def merge(pieces: Pieces, loss: Loss, limit: float = 0.0) -> tuple[Ints, Pieces]:
    """Merge pairs of neighbours, least loss first, until every merge would lose more than the limit.

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
        one, two = pieces.pairs.T
        chosen = _mutual_best(pieces.pairs, loss(pieces), len(pieces.counts), limit)
        if not len(chosen):
            break
        into = np.arange(len(pieces.counts))
        into[two[chosen]] = one[chosen]
        kept = np.zeros(len(into), dtype=np.intp)
        kept[into] = 1
        into = (np.cumsum(kept) - 1)[into]
        labels = into[labels]
        pieces = _joined(pieces, into)
    return labels, pieces


def _mutual_best(pairs: Ints, lost: Floats, count: int, limit: float) -> Ints:
    order = np.lexsort((np.arange(len(lost)), lost))
    rank = np.empty(len(lost), dtype=np.intp)
    rank[order] = np.arange(len(lost))
    best = np.full(count, len(lost))
    np.minimum.at(best, pairs[:, 0], rank)
    np.minimum.at(best, pairs[:, 1], rank)
    mutual = (best[pairs[:, 0]] == rank) & (best[pairs[:, 1]] == rank) & (lost < limit)
    return np.flatnonzero(mutual)


def _joined(pieces: Pieces, into: Ints) -> Pieces:
    count = int(into.max()) + 1
    order = np.argsort(into, kind="stable")
    starts = np.searchsorted(into[order], np.arange(count))
    sums = np.add.reduceat(pieces.sums[order], starts, axis=0)
    counts = np.add.reduceat(pieces.counts[order], starts)
    pairs = np.sort(into[pieces.pairs], axis=1)
    apart = pairs[:, 0] != pairs[:, 1]
    key, where = np.unique(pairs[apart, 0] * count + pairs[apart, 1], return_inverse=True)
    lengths = np.bincount(where, weights=pieces.lengths[apart], minlength=len(key)).astype(np.float64)
    return Pieces(sums, counts, np.stack(np.divmod(key, count), axis=-1), lengths)
