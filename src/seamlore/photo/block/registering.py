"""Set each block by its own seams: hand-pieced blocks do not lie exactly where the block grid says."""

from __future__ import annotations

import cv2
import numpy as np
from numpy.typing import NDArray

from seamlore.photo.perspective import blocks_to_quilt
from seamlore.photo.stack import SUM, UNIT, Stack, blurred, masks, shrunk

Floats = NDArray[np.float64]
Ints = NDArray[np.intp]

_BLUR_PX = 1.2
_SHIFT = 0.02  # how far a block may well lie from its grid, in parts of its side
_STRETCH = 0.006  # how much it may well be stretched or leaned
_MOST = 0.06  # farther than this it is not moved
_STRAY_FROM = 50  # blocks by which straying is measured; more would only take time
_TOGETHER_PX = 30.0  # pixels of a print that err together


def set_by_seams(stack: Stack, picture: Ints, side: int = 48, rounds: int = 2) -> tuple[Floats, float]:
    """Move the corners of each block so that its seams fall on those of the patches.

    A block is compared with a drawing of itself: every patch in the color that it has there. Where the two differ along
    a seam, the block is shifted, stretched and leaned as far as that explains it and no farther than blocks lie off.

    Parameters
    ----------
    stack : Stack
        All blocks, laid alike.
    picture : ndarray of int, shape (size, size)
        The patch of each pixel of the block.
    side : int
        Side of the smaller squares that are compared.
    rounds : int
        How often.

    Returns
    -------
    corners : ndarray, shape (blocks, 4, 2)
        In pixels of the flattened quilt, in the order of `stack.corners`.
    stray : float
        How far single seams then still lie from their place, in parts of the block's side.
    """
    small, shown = shrunk(stack.lab, side), shrunk(stack.shown, side)
    inside = shrunk(masks(picture, int(picture.max()) + 1), side)
    moves = np.zeros((len(stack), 3, 2))
    for _ in range(rounds):
        laid = small if not moves.any() else _shifted(small, moves)
        moves = moves + _step(laid, shown, inside, moves)
    corners = UNIT + np.einsum("nkd,ck->ncd", moves, _basis(UNIT))
    placed = blocks_to_quilt(corners, stack.corners)
    few = np.unique(np.linspace(0, len(stack) - 1, _STRAY_FROM).astype(int))
    return placed, _stray(_shifted(small[few], moves[few]), inside)


def _basis(at: Floats) -> Floats:
    """1, and the offset from the middle across and down, for points of the unit square."""
    return np.stack([np.ones(len(at)), at[:, 0] - 0.5, at[:, 1] - 0.5], axis=-1)


def _shifted(small: NDArray[np.float32], moves: Floats) -> NDArray[np.float32]:
    side = small.shape[1]
    laid = np.empty_like(small)
    for index, move in enumerate(moves):
        # In pixels: x' = x + side * (move . basis(x / side)), pixel middles at (x + 1/2) / side.
        linear = np.eye(2) + move[1:].T
        offset = side * (move[0] - 0.5 * move[1:].sum(axis=0)) + (linear - np.eye(2)) @ [0.5, 0.5]
        matrix = np.column_stack([linear, offset])
        flags = cv2.INTER_LINEAR | cv2.WARP_INVERSE_MAP
        laid[index] = cv2.warpAffine(small[index], matrix, (side, side), flags=flags, borderMode=cv2.BORDER_REPLICATE)
    return laid


def _step(
    laid: NDArray[np.float32], shown: NDArray[np.float32], inside: NDArray[np.float32], moves: Floats
) -> Floats:
    blocks, side = laid.shape[:2]
    rest, across, down = _differences(laid, inside)
    missed = _dot(rest, rest)
    robust = shown / (1.0 + missed / 30.0**2)
    middles = (np.arange(side) + 0.5) / side
    u, v = np.meshgrid(middles, middles)
    basis = _basis(np.stack([u.ravel(), v.ravel()], axis=-1))
    products = (basis[:, :, None] * basis[:, None, :]).reshape(-1, 9).astype(np.float32)
    normal = np.empty((blocks, 3, 2, 3, 2))
    right = np.empty((blocks, 3, 2))
    slopes = (across, down)
    for i, one in enumerate(slopes):
        right[:, :, i] = (_dot(one, rest) * robust).reshape(blocks, -1) @ basis.astype(np.float32)
        for j, two in enumerate(slopes[: i + 1]):
            both = (_dot(one, two) * robust).reshape(blocks, -1)
            normal[:, :, i, :, j] = normal[:, :, j, :, i] = (both @ products).reshape(blocks, 3, 3)
    restless = missed.mean(axis=(1, 2)) / 3 * _TOGETHER_PX + 4.0
    expected = np.array([_SHIFT, _STRETCH, _STRETCH]).repeat(2)
    system = normal.reshape(blocks, 6, 6) / restless[:, None, None] + np.diag(expected**-2.0)
    # The expectation pulls towards the grid, not towards the last round.
    target = right.reshape(blocks, 6) / restless[:, None] - moves.reshape(blocks, 6) / expected**2
    step = np.linalg.solve(system, target[..., None])[..., 0].reshape(blocks, 3, 2)
    return np.clip(moves + step, -_MOST, _MOST) - moves


def _stray(laid: NDArray[np.float32], inside: NDArray[np.float32]) -> float:
    """The typical distance of a piece of seam from where it is drawn, seen in windows along the seams."""
    rest, across, down = _differences(laid, inside)
    window = (9, 9)
    found = []
    for slope in (across, down):
        # Neighboring windows see much the same: every other says as much.
        pull, push = (
            np.stack([cv2.blur(each, window)[::2, ::2] for each in _dot(slope, other)]) for other in (rest, slope)
        )
        strong = push > max(float(np.quantile(push, 0.8)), 1e-6)
        found.append(np.abs(pull[strong] / push[strong]))
    return float(1.4826 * np.median(np.concatenate(found))) if sum(map(len, found)) else 0.0


def _differences(
    laid: NDArray[np.float32], inside: NDArray[np.float32]
) -> tuple[NDArray[np.float32], NDArray[np.float32], NDArray[np.float32]]:
    """What a drawing of each block lacks, and how the drawing changes across and down, one block side at a time."""
    blocks, side = laid.shape[:2]
    flat = inside.reshape(len(inside), -1)
    # Color of each patch in each block, from the pixels that lie wholly in it.
    weight = (flat > 0.99).astype(np.float32)
    weight[weight.sum(axis=1) == 0] = flat[weight.sum(axis=1) == 0]
    weight /= np.maximum(weight.sum(axis=1, keepdims=True), 1e-6)
    means = weight @ laid.reshape(blocks, side * side, 3)
    # Blurring the patches is blurring what is drawn of them.
    soft = blurred(inside, _BLUR_PX).reshape(flat.shape)
    drawn = (soft.T @ means).reshape(laid.shape)
    rest = drawn - blurred(laid, 0.6)
    across, down = np.zeros_like(drawn), np.zeros_like(drawn)
    across[:, :, 1:-1] = (drawn[:, :, 2:] - drawn[:, :, :-2]) * np.float32(side / 2)
    down[:, 1:-1] = (drawn[:, 2:] - drawn[:, :-2]) * np.float32(side / 2)
    return rest, across, down


def _dot(one: NDArray[np.float32], two: NDArray[np.float32]) -> NDArray[np.float32]:
    both = (one * two).reshape(-1, one.shape[-2], 3)
    return cv2.transform(both, SUM).reshape(one.shape[:-1]).astype(np.float32, copy=False)
