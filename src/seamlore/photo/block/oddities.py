"""Blocks turned, mirrored, colored or pieced otherwise than most, told by the piecing that most have.

Moves are those of `likeness`.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from seamlore.photo.block.likeness import then
from seamlore.photo.stack import masks, move_square, undo
from seamlore.photo.triangles import by_pixel

Floats = NDArray[np.float64]
Ints = NDArray[np.intp]
Floats32 = NDArray[np.float32]

_TRUST = 0.5  # seams stray and light is uneven, so that evidence counts for less than its noise alone would say
_COLOR_FLOOR = 8.0  # CIELAB, by which patch colors may vary that have not been seen to
_TOGETHER_PX = 12.0  # pixels that err together where a seam strays
_LEAST_SEEN = 0.5  # natural logarithm of odds that four blocks in five must lose by a turn that can be seen
_LEAST_GAIN = 8.0  # natural logarithm of odds
_LOOKS_SAME = 0.06  # of its area, that a block may change by a turn that cannot be seen
_SHARE_OF_GAIN = 0.3  # of what a block that lies right would lose by the same move


def plain_blocks(stepped: Floats, places: Ints) -> NDArray[np.bool_]:
    """Find the blocks that are one piece of cloth among pieced ones.

    Plain blocks mostly alternate with pieced ones, as the fields of a chessboard do, and are told by that even where a
    bold print looks like piecing.

    Parameters
    ----------
    stepped : ndarray, shape (blocks,)
        How much of each block changes color, 0..1.
    places : ndarray of int, shape (blocks, 2)
        Row and column of each.

    Returns
    -------
    ndarray of bool, shape (blocks,)

    Examples
    --------
    >>> board = np.indices((3, 3)).reshape(2, -1).T
    >>> plain_blocks(np.where(board.sum(axis=1) % 2, 0.1, 0.4), board).tolist()
    [False, True, False, True, False, True, False, True, False]
    >>> plain_blocks(np.zeros(1), board[:1]).tolist()
    [False]
    """
    usual = float(np.quantile(stepped, 0.9))
    plain = stepped < 0.12 * usual
    fields = places.sum(axis=1) % 2
    for field in (0, 1):
        members, others = fields == field, fields != field
        if min(members.sum(), others.sum()) >= 2 and np.median(stepped[members]) < 0.55 * np.median(stepped[others]):
            plain = plain | members
    return plain if (~plain).sum() >= 1 and usual > 0.03 else np.zeros(len(stepped), dtype=bool)


@dataclass(frozen=True, eq=False)
class Lie:
    """How each block lies against the block as most have it.

    Attributes
    ----------
    moves : ndarray of int, shape (blocks,)
        Lays each block like the picture of the block.
    margin : ndarray, shape (blocks,)
        How much better that fits than leaving it, in natural logarithms; 0 for a block left as it lies.
    unlike_piecing : ndarray, shape (blocks,)
        The part of its color change that lies inside patches, where there should be none, 0..1.
    unlike_color : ndarray, shape (blocks,)
        How far its patch colors lie from those that other blocks have.
    """

    moves: Ints
    margin: Floats
    unlike_piecing: Floats
    unlike_color: Floats


def same_when_moved(places: Ints) -> NDArray[np.bool_]:
    """Which moves leave the block as it looks.

    Parameters
    ----------
    places : ndarray of int, shape (size, size)
        The place of each pixel of the block.

    Returns
    -------
    ndarray of bool, shape (8,)

    Examples
    --------
    >>> same_when_moved(np.eye(4, dtype=int)).tolist()
    [True, False, True, False, False, True, False, True]
    >>> bool(same_when_moved(np.zeros((2, 2), int)).all())
    True
    """
    drawn = places.astype(np.float32)[None]
    return np.array([(move_square(drawn, move) != drawn).mean() < _LOOKS_SAME for move in range(8)])


def lie_of_blocks(
    lab: Floats32,
    shown: Floats32,
    picture: Ints,
    places: Ints,
    noise: Floats,
    moves: Ints,
    usual: NDArray[np.bool_],
) -> Lie:
    """Ask each block which move lays its seams and colors on those of the rest.

    Parameters
    ----------
    lab : ndarray of float32, shape (blocks, size, size, 3)
        The stack as the blocks lie in the quilt.
    shown : ndarray of float32, shape (blocks, size, size)
        Where the photograph shows them.
    picture : ndarray of int, shape (size, size)
        The patch of each pixel of the block as most have it.
    places : ndarray of int, shape (patches,)
        The place that each patch takes.
    noise : ndarray, shape (blocks,)
        How restless the fabrics of each block are, at this size.
    moves : ndarray of int, shape (blocks,)
        First guess.
    usual : ndarray of bool, shape (blocks,)
        Which blocks are like most; what is usual is learnt from them.

    Returns
    -------
    Lie
    """
    inner, whole, means = _by_move(lab, shown, picture)
    # Where all patches seem to take one place, places tell nothing of how a block lies, and its seams and colors must.
    alike = same_when_moved(places[picture]) if places.max() > 0 else np.arange(8) == 0
    blocks = np.arange(len(lab))
    # Seams that stray leave as much unexplained as prints do, and one stray seam is one piece of evidence.
    unsure = np.maximum(noise, inner.min(axis=1) / lab[0].size * _TOGETHER_PX)
    for _ in range(4):
        color = _color_misfit(means, moves, usual)
        cost = _TRUST * (inner / (2 * unsure[:, None]) + color)
        chosen = _smallest_fitting(cost, moves, alike, usual)
        if (chosen == moves).all():
            break
        moves = chosen
    gain = cost[:, 0] - cost[blocks, moves]
    return Lie(moves, gain, inner[blocks, moves] / np.maximum(whole, 1e-6), color[blocks, moves])


def _by_move(lab: Floats32, shown: Floats32, picture: Ints) -> tuple[Floats, Floats, Floats]:
    """Squared color change inside the patches of each block and move and in the whole block; color of each patch."""
    blocks, patches = len(lab), int(picture.max()) + 1
    weighted = np.concatenate([lab * shown[..., None], shown[..., None]], axis=-1)
    rows = by_pixel(weighted)
    squares = (lab**2 * shown[..., None]).sum(axis=(1, 2, 3), dtype=np.float64)
    mine = masks(picture, patches)
    laid = np.concatenate([move_square(mine, undo(move)) for move in range(8)])
    gathered = (laid.reshape(8 * patches, -1) @ rows).astype(np.float64).reshape(8, patches, blocks, 4)
    inner = np.empty((blocks, 8))
    means = np.empty((blocks, 8, patches, 3))
    for move, sums in enumerate(gathered):
        counts = np.maximum(sums[..., 3], 1e-6)
        mean = sums[..., :3] / counts[..., None]
        inner[:, move] = squares - (counts[..., None] * mean**2).sum(axis=(0, 2))
        mean[counts < 1] = np.nan
        means[:, move] = mean.transpose(1, 0, 2)
    count = np.maximum(shown.sum(axis=(1, 2)), 1.0)
    total = rows.sum(axis=0, dtype=np.float64).reshape(blocks, 4)[:, :3]
    return inner, squares - (total**2).sum(axis=1) / count, means


def _color_misfit(means: Floats, moves: Ints, usual: NDArray[np.bool_]) -> Floats:
    """How far the patch colors of each block, moved each way, lie from those that the other blocks have.

    Half the squared distance in units of how patch colors vary together; each fifth of the blocks is judged by the
    other four.
    """
    blocks = len(means)
    flat = means.reshape(blocks, 8, -1)
    now = flat[np.arange(blocks), moves]
    # A patch too narrow for these small pictures is not seen in any block, and says nothing.
    known = ~np.isnan(now[usual]).all(axis=0)
    middle = np.zeros(now.shape[1])
    middle[known] = np.nanmedian(now[usual][:, known], axis=0)
    filled, now = np.where(np.isnan(flat), middle, flat), np.where(np.isnan(now), middle, now)
    folds = min(5, blocks)
    found = np.empty((blocks, 8))
    for fold in range(folds):
        held = np.arange(blocks) % folds == fold
        others = now[~held & usual] if (~held & usual).any() else now[usual]
        center = np.median(others, axis=0)
        off = np.clip(others - center, -60, 60)
        # Few blocks do not tell how colors vary together: the floor stands for what is not known.
        values, vectors = np.linalg.eigh(off.T @ off / max(len(others), 1))
        apart = (filled[held] - center) @ vectors
        found[held] = 0.5 * (apart**2 / (np.maximum(values, 0) + _COLOR_FLOOR**2)).sum(axis=2)
    return found


def _smallest_fitting(cost: Floats, moves: Ints, alike: NDArray[np.bool_], usual: NDArray[np.bool_]) -> Ints:
    blocks = np.arange(len(cost))
    # How much a block that lies right loses by each move; where that is next to nothing the move cannot be seen.
    after = np.array([[then(int(move), extra) for extra in range(8)] for move in range(8)])
    against = cost[blocks[:, None], after[moves]] - cost[blocks, moves][:, None]
    seen = (np.quantile(against[usual], 0.2, axis=0) >= _LEAST_SEEN) & ~alike
    needed = np.maximum(_LEAST_GAIN, _SHARE_OF_GAIN * np.median(against[usual], axis=0))
    chosen = moves.copy()
    for block in blocks:
        gain = -against[block]
        gain[~seen] = -np.inf
        extra = int((gain - needed).argmax())
        if gain[extra] > needed[extra]:
            chosen[block] = after[moves[block], extra]
        elif cost[block, 0] - cost[block, moves[block]] < _LEAST_SEEN:
            chosen[block] = 0
    return _unseen_undone(chosen, ~seen, after)


def _unseen_undone(moves: Ints, unseen: NDArray[np.bool_], after: Ints) -> Ints:
    """Of all moves that look the same, take the smallest: fewest turns, and no mirroring if a turn will do."""
    same = [extra for extra in range(8) if unseen[extra] or extra == 0]
    return np.array([min(after[move, same].tolist(), key=lambda each: (each >= 4, (-each) % 4)) for move in moves])
