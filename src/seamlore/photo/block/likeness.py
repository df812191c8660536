"""Blocks laid alike before their piecing is known: by where they are light and dark and where color changes.

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

    Blocks are compared by where they are light and dark and by where color changes, for in a scrappy quilt nothing else
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
    starts = looks[np.unique(np.linspace(0, len(lab) - 1, _STARTS).astype(int))]
    means, _, likeness = _settle(few, np.concatenate([few.mean(axis=0)[None], starts]))
    # Leaving all blocks as they lie is the first guess, and another must be clearly better.
    agreement = _agreement(likeness)
    agreement[0] += 0.02
    _, (moves,), (likeness,) = _settle(looks, means[[agreement.argmax()]], rounds=1)
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


def _agreement(likeness: Floats32) -> Floats:
    """How well blocks agree, from the likeness of each along the last axis: of two alternating kinds one counts."""
    high = np.quantile(likeness, 0.8, axis=-1, keepdims=True)
    agreement: Floats = np.maximum(likeness - 0.4 * high, 0).mean(axis=-1)
    return agreement


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


def _settle(looks: Floats32, starts: Floats32, rounds: int = 8) -> tuple[Floats32, Ints, Floats32]:
    """Lay blocks like a mean and renew the mean, over and over, from each of some starts.

    Returns
    -------
    means : ndarray, shape (starts, numbers)
    moves, likeness : ndarray, shape (starts, blocks)
        How each block is laid, and how like the mean it then is.
    """
    means = starts.copy()
    moves = np.zeros((len(starts), len(looks)), dtype=np.intp)
    likeness = np.zeros(moves.shape, dtype=looks.dtype)
    going = np.arange(len(starts))
    for _ in range(rounds):
        mean = means[going]
        mean /= np.maximum(np.linalg.norm(mean, axis=1, keepdims=True), 1e-9)
        # Each block moved, against the mean, is each block against the mean moved back.
        score = (looks @ mean[:, _BACK].reshape(-1, looks.shape[1]).T).reshape(len(looks), -1, 8).swapaxes(0, 1)
        better = score - _needed(mean, np.median(score.max(axis=2), axis=1))[:, None]
        before, moves[going] = moves[going], better.argmax(axis=2)
        like = np.take_along_axis(score, moves[going, :, None], axis=2)[..., 0]
        same_kind = like >= 0.5 * np.quantile(like, 0.8, axis=1, keepdims=True)
        laid = (moves[going, None] == np.arange(8)[:, None]) & same_kind[:, None]
        by_move = (laid.reshape(-1, len(looks)).astype(np.float32) @ looks).reshape(len(going), 8, -1)
        moved = np.take_along_axis(by_move, _MOVED[None], axis=2).sum(axis=1)
        means[going] = moved / np.maximum(same_kind.sum(axis=1, keepdims=True), 1)
        likeness[going] = like
        going = going[(before != moves[going]).any(axis=1)]
        if not len(going):
            break
    return means, moves, likeness


def _needed(mean: Floats32, likeness: Floats32) -> Floats32:
    """How much liker a mean a block must be when moved, by each move, before it is taken to lie so; shape (means, 8).

    What a block gains by a move that hardly changes the mean is print and chance.
    """
    lost = 1 - (mean[:, _MOVED] @ mean[:, :, None])[..., 0].astype(np.float64)
    needed = np.maximum(_CLEARLY_BETTER, _OF_LOST * likeness[:, None] * lost)
    needed[lost < _HARDLY] = np.inf
    needed[:, 0] = 0
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
