"""Every block of a quilt resampled onto one square, so that seams fall together and prints do not.

A stack is an array (blocks, size, size, 3) of CIELAB in float32, lightness 0..100.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import cv2
import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float32]
Cells = NDArray[np.float64]

UNIT = np.array([[0, 0], [1, 0], [1, 1], [0, 1]], dtype=np.float64)
_LEAST_SHOWN = 0.6  # of a block's area, to learn from it


@dataclass(frozen=True, eq=False)
class Stack:
    """All blocks of a quilt on one square.

    Attributes
    ----------
    lab : ndarray of float32, shape (blocks, size, size, 3)
        CIELAB of each block.
    shown : ndarray of float32, shape (blocks, size, size)
        1 where the photograph shows the block, 0 beyond the quilt's edge.
    places : ndarray of int, shape (blocks, 2)
        Row and column of each block.
    corners : ndarray, shape (blocks, 4, 2)
        Its corners in pixels of the flattened quilt, clockwise from its top left as it is stacked.
    """

    lab: Floats
    shown: Floats
    places: NDArray[np.intp]
    corners: Cells

    @property
    def size(self) -> int:
        """Side of the square, in pixels."""
        return int(self.lab.shape[1])

    def __len__(self) -> int:
        return len(self.lab)

    @property
    def whole(self) -> NDArray[np.bool_]:
        """Which blocks are shown well enough to learn from, shape (blocks,)."""
        whole: NDArray[np.bool_] = self.share_shown >= _LEAST_SHOWN
        return whole

    @property
    def share_shown(self) -> Floats:
        """What part of each block is shown, shape (blocks,)."""
        share: Floats = self.shown.mean(axis=(1, 2))
        return share

    def part(self, which: NDArray[np.intp] | NDArray[np.bool_]) -> Stack:
        """Some of the blocks."""
        return replace(
            self,
            lab=self.lab[which],
            shown=self.shown[which],
            places=self.places[which],
            corners=self.corners[which],
        )


@dataclass(frozen=True, eq=False)
class Cloth:
    """The flattened quilt in CIELAB, reduced to what the stack needs.

    Attributes
    ----------
    lab : ndarray of float32, shape (height, width, 3)
    scale : (float, float)
        Its pixels in one pixel of the flattened quilt, across and down.
    """

    lab: Floats
    scale: tuple[float, float]


def cloth(pixels: NDArray[np.uint8], cells: Cells, size: int) -> Cloth:
    """Reduce the quilt so that a block is about `size` pixels, and give it in CIELAB.

    Reducing by area first keeps fine prints from turning into false stripes.

    Parameters
    ----------
    pixels : ndarray of uint8, shape (height, width, 3)
        sRGB.
    cells : ndarray, shape (..., 4, 2)
        Corners of blocks in pixels.
    size : int
        Side of the stack in pixels.

    Returns
    -------
    Cloth
    """
    side = float(np.nanmedian(np.linalg.norm(cells - np.roll(cells, 1, axis=-2), axis=-1)))
    factor = min(1.0, 1.15 * size / side)
    height, width = pixels.shape[:2]
    shape = (max(1, round(width * factor)), max(1, round(height * factor)))
    small = cv2.resize(pixels, shape, interpolation=cv2.INTER_AREA) if factor < 1 else pixels
    lab = cv2.cvtColor(small.astype(np.float32) / 255.0, cv2.COLOR_RGB2LAB)
    return Cloth(lab.astype(np.float32, copy=False), (shape[0] / width, shape[1] / height))


def stack_blocks(source: Cloth, cells: Cells, size: int) -> Stack:
    """Resample every block onto one square.

    Parameters
    ----------
    source : Cloth
        The quilt.
    cells : ndarray, shape (rows, columns, 4, 2)
        Corners in pixels of the flattened quilt, clockwise; NaN where there is no block.
    size : int
        Side of the square.

    Returns
    -------
    Stack
        In reading order.
    """
    places = np.argwhere(np.isfinite(cells).all(axis=(2, 3)))
    corners = cells[places[:, 0], places[:, 1]]
    return restack(source, places, corners, size)


def restack(source: Cloth, places: NDArray[np.intp], corners: Cells, size: int) -> Stack:
    """Resample blocks whose corners are known one by one; takes and gives what `Stack` holds."""
    lab = np.empty((len(places), size, size, 3), dtype=np.float32)
    shown = np.empty((len(places), size, size), dtype=np.float32)
    # Pixel middles: x of the cloth = scale * (x + 1/2) - 1/2, so that reducing does not shift the blocks.
    target = (UNIT * size - 0.5).astype(np.float32)
    placed = ((corners + 0.5) * np.array(source.scale) - 0.5).astype(np.float32)
    height, width = source.lab.shape[:2]
    middles = (np.arange(size) + 0.5) / size
    for index, quad in enumerate(placed):
        matrix = cv2.getPerspectiveTransform(target, quad)
        flags = cv2.INTER_LINEAR | cv2.WARP_INVERSE_MAP
        cv2.warpPerspective(
            source.lab, matrix, (size, size), dst=lab[index], flags=flags, borderMode=cv2.BORDER_REPLICATE
        )
        inside = (quad.min() >= -1) and (quad[:, 0].max() <= width) and (quad[:, 1].max() <= height)
        shown[index] = 1.0 if inside else _inside(quad, middles, width, height)
    return Stack(lab, shown, places, corners)


def _inside(quad: Floats, middles: NDArray[np.float64], width: int, height: int) -> Floats:
    u, v = np.meshgrid(middles, middles)
    weights = np.stack([(1 - u) * (1 - v), u * (1 - v), u * v, (1 - u) * v], axis=-1)
    at = weights @ quad.astype(np.float64)
    inside = (at >= -0.5).all(axis=-1) & (at[..., 0] <= width - 0.5) & (at[..., 1] <= height - 0.5)
    return inside.astype(np.float32)


def turned(stack: Stack, moves: NDArray[np.intp]) -> Stack:
    """Turn and mirror blocks, each by its own move, so that all lie the same way.

    Parameters
    ----------
    stack : Stack
    moves : ndarray of int, shape (blocks,)
        0..7: quarter turns clockwise (move % 4) after mirroring left to right (move >= 4).
    """
    lab, shown, corners = stack.lab.copy(), stack.shown.copy(), stack.corners.copy()
    for move in range(1, 8):
        which = np.flatnonzero(moves == move)
        if len(which):
            lab[which] = move_square(stack.lab[which], move)
            shown[which] = move_square(stack.shown[which], move)
            corners[which] = move_corners(stack.corners[which], move)
    return replace(stack, lab=lab, shown=shown, corners=corners)


def move_square(squares: NDArray[np.float32], move: int) -> NDArray[np.float32]:
    """Mirror squares left to right (move >= 4), then turn them clockwise by move % 4 quarters.

    Examples
    --------
    >>> move_square(np.array([[[1, 2], [3, 4]]], dtype=np.float32), 1)[0].tolist()
    [[3.0, 1.0], [4.0, 2.0]]
    >>> move_square(np.array([[[1, 2], [3, 4]]], dtype=np.float32), 4)[0].tolist()
    [[2.0, 1.0], [4.0, 3.0]]
    """
    mirrored = squares[:, :, ::-1] if move >= 4 else squares
    return np.rot90(mirrored, -(move % 4), axes=(1, 2))


def move_corners(corners: Cells, move: int) -> Cells:
    """Give the corners of blocks as they stand in the moved square, from its top left."""
    order = np.array([1, 0, 3, 2]) if move >= 4 else np.arange(4)
    order = np.roll(order, move % 4)
    return corners[:, order]


def undo(move: int) -> int:
    """The move that undoes a move."""
    return move if move >= 4 else (-move) % 4


def steps(block: Floats) -> tuple[Floats, Floats]:
    """How strongly colour changes across and down at each pixel of a block, saturating at a clear seam: 0..1.

    Parameters
    ----------
    block : ndarray of float32, shape (size, size, 3)
        CIELAB.

    Returns
    -------
    across, down : ndarray of float32, shape (size, size)

    Examples
    --------
    >>> halves = np.zeros((8, 8, 3), np.float32)
    >>> halves[:, 4:] = 60
    >>> across, down = steps(halves)
    >>> bool(across[4, 4] > 0.4), float(down.max())
    (True, 0.0)
    """
    smooth = cv2.GaussianBlur(block, (0, 0), 1.0)
    across = cv2.Sobel(smooth, cv2.CV_32F, 1, 0, scale=0.125)
    down = cv2.Sobel(smooth, cv2.CV_32F, 0, 1, scale=0.125)
    across, down = (np.sqrt(np.einsum("yxc,yxc->yx", each, each)) for each in (across, down))
    size = np.hypot(across, down)
    scale = size + max(4.0, float(np.quantile(size, 0.8)))
    return across / scale, down / scale
