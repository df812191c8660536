"""Blocks laid alike before their piecing is known: by where they are light and dark and where colour changes.

A move is a number 0..7: so many quarter turns clockwise (move % 4) after mirroring left to right (move >= 4). The move of
a block is the one that lays it like the rest; the turn that is reported is its undoing.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from seamlore.photo.stack import move_square, shrunk, steps, undo

Floats = NDArray[np.float64]
Ints = NDArray[np.intp]
Floats32 = NDArray[np.float32]

_COARSE = 24  # side of the small pictures by which blocks are first laid alike
_CLEARLY_BETTER = 0.10  # of the likeness, before a block is taken to be turned
_OF_LOST, _HARDLY = 0.4, 0.2  # of what the mean itself loses by a move; and what it must lose at the least
_STARTS = 8
_GUIDES = 120  # blocks by which the first laying is found; more would only take time
_OWN_LIKENESS = 0.7  # from which a block is taken to look the same moved; of its likeness to itself
_PATTERNED = 1.0  # a block with less pattern than this has no symmetry to speak of


def _moved_places() -> Ints:
    """Which number of a small picture, its rows one after another, comes where by each move, shape (8, numbers)."""
    # Whole numbers this small are exact in float32.
    numbers = np.arange(3 * _COARSE * _COARSE, dtype=np.float32).reshape(3, _COARSE, _COARSE)
    moved = [move_square(numbers, move) for move in range(8)]
    # By a quarter turn steps across become steps down.
    turned = [each[[0, 2, 1]] if move % 2 else each for move, each in enumerate(moved)]
    return np.stack(turned).reshape(8, -1).astype(np.intp)


_MOVED = _moved_places()
_BACK = np.argsort(_MOVED, axis=1)


def lay_alike(lab: Floats32) -> tuple[Ints, Floats]:
    """Find for each block the move that lays it like the others, before its piecing is known.

    Blocks are compared by where they are light and dark and by where colour changes, for in a scrappy quilt nothing else
    repeats. Blocks that look the same moved are left as they lie.

    Parameters
    ----------
    lab : ndarray of float32, shape (blocks, size, size, 3)
        The stack as the blocks lie in the quilt.

    Returns
    -------
    moves : ndarray of int, shape (blocks,)
    likeness : ndarray, shape (blocks,)
        Of each block, so laid, to the mean of all.
    """
    looks = _looks(lab)
    few = looks[np.unique(np.linspace(0, len(lab) - 1, _GUIDES).astype(int))]
    # Leaving all blocks as they lie is the first guess, and another must be clearly better.
    best, _, likeness = _settle(few, few.mean(axis=0))
    agreement = _agreement(likeness) + 0.02
    for index in np.unique(np.linspace(0, len(lab) - 1, _STARTS).astype(int)):
        found, _, likeness = _settle(few, looks[index])
        if _agreement(likeness) > agreement:
            agreement, best = _agreement(likeness), found
    _, moves, likeness = _settle(looks, best, rounds=1)
    return most_unmoved(moves), likeness.astype(np.float64)


def likeness_to_most(lab: Floats32, moves: Ints, usual: NDArray[np.bool_]) -> Floats:
    """How like each block, laid by its move, is to the mean of the usual ones; most have 1.

    Parameters
    ----------
    lab : ndarray of float32, shape (blocks, size, size, 3)
        The stack as the blocks lie in the quilt.
    moves : ndarray of int, shape (blocks,)
    usual : ndarray of bool, shape (blocks,)

    Returns
    -------
    ndarray, shape (blocks,)
    """
    laid = np.take_along_axis(_looks(lab), _MOVED[moves], axis=1)
    like = laid @ laid[usual].mean(axis=0)
    relative: Floats = like.astype(np.float64) / max(float(np.quantile(like[usual], 0.8)), 1e-6)
    return relative


def own_symmetry(block: Floats32) -> list[int]:
    """The moves that lay a single block much like itself, 0 first.

    Parameters
    ----------
    block : ndarray of float32, shape (size, size, 3)
        CIELAB.

    Examples
    --------
    >>> own_symmetry(np.zeros((24, 24, 3), np.float32))
    [0]
    >>> stripe = np.zeros((48, 48, 3), np.float32)
    >>> stripe[:16, :, 0] = 80
    >>> own_symmetry(stripe)
    [0, 4]
    """
    still = _looks(block[None])[0]
    whole = float(still @ still)
    if whole < _PATTERNED:
        return [0]
    like = still[_MOVED] @ still / whole
    return [move for move in range(8) if move == 0 or like[move] > _OWN_LIKENESS]


def _agreement(likeness: Floats32) -> float:
    """How well blocks agree: where two kinds of block alternate, those of one kind count."""
    return float(np.maximum(likeness - 0.4 * np.quantile(likeness, 0.8), 0).mean())


def _looks(lab: Floats32) -> Floats32:
    """Small pictures of lightness and of steps across and down, each as one row, of mean 0 and length 1."""
    # At half the size first: what is coarse needs no more.
    half = shrunk(lab, max(_COARSE, lab.shape[1] // 2))
    light, across, down = (shrunk(each, _COARSE) for each in (half[..., 0], *steps(half)))
    change = np.stack([across, down], axis=1)
    light -= light.mean(axis=(1, 2), keepdims=True)
    change -= change.mean(axis=(1, 2, 3), keepdims=True)
    # A plain block has no pattern: its noise must not be blown up to one.
    light /= np.maximum(np.sqrt((light**2).sum(axis=(1, 2), keepdims=True)), 6.0 * _COARSE)
    change /= np.maximum(np.sqrt((change**2).sum(axis=(1, 2, 3), keepdims=True)), 0.05 * _COARSE)
    return np.concatenate([light[:, None], change], axis=1).reshape(len(lab), -1)


def _settle(looks: Floats32, start: Floats32, rounds: int = 8) -> tuple[Floats32, Ints, Floats32]:
    """Lay blocks like the mean and renew the mean, over and over: the mean, the moves, and how like it each block is."""
    mean = start
    moves = np.zeros(len(looks), dtype=np.intp)
    for _ in range(rounds):
        mean = mean / max(float(np.linalg.norm(mean)), 1e-9)
        # Each block moved, against the mean, is each block against the mean moved back.
        score = looks @ mean[_BACK].T
        better = score - _needed(mean, float(np.median(score.max(axis=1))))
        before, moves = moves, better.argmax(axis=1)
        likeness = score[np.arange(len(looks)), moves]
        same_kind = likeness >= 0.5 * np.quantile(likeness, 0.8)
        by_move = ((moves == np.arange(8)[:, None]) & same_kind).astype(np.float32) @ looks
        mean = np.take_along_axis(by_move, _MOVED, axis=1).sum(axis=0) / max(int(same_kind.sum()), 1)
        if (before == moves).all():
            break
    return mean, moves, likeness


def _needed(mean: Floats32, likeness: float) -> Floats32:
    """How much liker the mean a block must be when moved, by each move, before it is taken to lie so.

    What a block gains by a move that hardly changes the mean is print and chance.
    """
    lost = 1 - (mean[_MOVED] @ mean).astype(np.float64)
    needed = np.maximum(_CLEARLY_BETTER, _OF_LOST * likeness * lost)
    needed[lost < _HARDLY] = np.inf
    needed[0] = 0
    return needed.astype(np.float32)


def most_unmoved(moves: Ints) -> Ints:
    """Lay all blocks by one more move, so that most lie as they do in the quilt."""
    counts = np.bincount(moves, minlength=8)
    # Of two ways that are equally common, the one of the first block.
    common = undo(int(next(move for move in moves if counts[move] == counts.max())))
    return np.array([then(int(move), common) for move in moves], dtype=np.intp)


def then(first: int, second: int) -> int:
    """The one move that does what two do, one after the other.

    Examples
    --------
    >>> then(1, 1), then(4, 4), then(1, 4)
    (2, 0, 7)
    """
    # Mirroring turns the sense of what was turned before it.
    quarter = (second - first if second >= 4 else second + first) % 4
    return quarter + 4 * ((first >= 4) != (second >= 4))
