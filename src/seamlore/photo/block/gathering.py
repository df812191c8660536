"""Blocks gathered by where their seams run, before any is drawn; turned and mirrored copies come together."""

from __future__ import annotations

from collections.abc import Sequence

import cv2
import numpy as np
from numpy.typing import NDArray

from seamlore.photo.block.seams import moved

Floats = NDArray[np.float32]
Ints = NDArray[np.intp]

_LOOKED_AT = 24  # pixels to a block's side, at which blocks are gathered
_BLUR = 1.6  # pixels of the map
_ALIKE = 0.62  # correlation of their seams, from which two blocks are of one kind
_MOST = 0.6  # of the blocks laid by their cloth, whose seams must agree for that to be taken
_OTHERWISE = 0.86  # correlation of what two parts of a kind show together, under which they are two


def gathered(
    maps: Floats, which: Ints, strength: Sequence[float], least: float = _ALIKE
) -> list[tuple[list[int], list[int]]]:
    """Gather blocks by where their seams run.

    Parameters
    ----------
    maps : ndarray of float32, shape (blocks, 6, SIDE, SIDE)
        Log-odds of seams, as `lines.inner` gives them.
    which : ndarray of int, shape (some,)
        The blocks to be gathered.
    strength : sequence of float
        How long the seams are that are seen in each: the clearest begin a group.
    least : float, optional
        Correlation, from which two are of one kind.

    Returns
    -------
    list of (members, moves)
        Each group's blocks, and the move that lays each like the first.
    """
    if not len(which):
        return []
    looks = np.stack([looks_of(maps[k]) for k in which])
    groups: list[tuple[Floats, list[int], list[int]]] = []
    for at in np.argsort(-np.asarray(strength), kind="stable"):
        if groups:
            means = np.stack([mean / np.linalg.norm(mean) for mean, _, _ in groups])
            like = looks[at] @ means.T
            move, group = np.unravel_index(int(like.argmax()), like.shape)
            if like[move, group] > least:
                mean, members, moves = groups[group]
                mean += looks[at, move]
                members.append(int(which[at]))
                moves.append(int(move))
                continue
        groups.append((looks[at, 0].copy(), [int(which[at])], [0]))
    return [(members, moves) for _, members, moves in groups]


def lying_alike(maps: Floats, which: Ints, lies: Ints) -> tuple[list[int], list[int]] | None:
    """Gather the blocks that are laid like most by their cloth and whose seams agree with those of most.

    Parameters
    ----------
    maps, which
        As in `gathered`.
    lies : ndarray of int, shape (blocks,)
        The move that lays each block of `maps` like most by its cloth; -1 where that does not tell.

    Returns
    -------
    (members, moves) or None
        None where the seams of too many say otherwise.
    """
    known = which[lies[which] >= 0]
    if not len(known):
        return None
    looks = np.stack([looks_of(maps[k])[lies[k]] for k in known])
    mean = looks.sum(axis=0)
    like = looks @ mean / np.linalg.norm(mean) > _ALIKE
    if like.mean() < _MOST:
        return None
    return known[like].tolist(), lies[known[like]].tolist()


def unlike(maps: Floats, members: list[int], moves: list[int], part: tuple[Ints, Ints]) -> bool:
    """Whether some of the blocks gathered as one kind look otherwise, all together, than the rest do.

    Parameters
    ----------
    maps
        As in `gathered`.
    members, moves : list of int
        The group.
    part : (ndarray of int, ndarray of int)
        Which of the members, and how they lie.
    """
    rest = np.setdiff1d(np.arange(len(members)), part[0])
    mine = sum(looks_of(maps[members[k]])[move] for k, move in zip(*part, strict=True))
    others = sum(looks_of(maps[members[k]])[moves[k]] for k in rest)
    return float(np.sum(mine * others) / (np.linalg.norm(mine) * np.linalg.norm(others))) < _OTHERWISE


def looks_of(maps: Floats) -> Floats:
    """Where the seams of a block run, each way by itself, seen small and a little blurred, as it lies after each move.

    Parameters
    ----------
    maps : ndarray of float32, shape (6, SIDE, SIDE)
        Log-odds of seams.

    Returns
    -------
    ndarray of float32, shape (8, numbers)
        Of length 1 each.
    """
    small = np.zeros((len(maps), _LOOKED_AT, _LOOKED_AT), np.float32)
    for way in range(1, len(maps)):
        share = (1 / (1 + np.exp(-np.clip(maps[way], -6, 6)))).astype(np.float32)
        share = np.asarray(cv2.GaussianBlur(share, (0, 0), _BLUR), np.float32)
        small[way] = cv2.resize(share, (_LOOKED_AT, _LOOKED_AT), interpolation=cv2.INTER_AREA)
    flat = np.stack([moved(small, move)[1:].ravel() for move in range(8)])
    return np.asarray(flat / max(float(np.linalg.norm(flat[0])), 1e-6), np.float32)
