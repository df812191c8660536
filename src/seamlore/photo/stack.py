"""Every block of a quilt resampled onto one square, so that seams fall together and prints do not.

A stack is an array (blocks, size, size, 3) of CIELAB in float32, lightness 0..100.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Any

import cv2
import numpy as np
from numpy.typing import NDArray

from seamlore.photo.cielab import lab_of
from seamlore.photo.perspective import unit_square_to

Floats = NDArray[np.float32]
Cells = NDArray[np.float64]

UNIT = np.array([[0, 0], [1, 0], [1, 1], [0, 1]], dtype=np.float64)
SUM = np.ones((1, 3), dtype=np.float32)  # adds up three channels
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

    def joined(self, other: Stack) -> Stack:
        """These blocks, then others that lie on a square as large."""
        return Stack(
            np.concatenate([self.lab, other.lab]),
            np.concatenate([self.shown, other.shown]),
            np.concatenate([self.places, other.places]),
            np.concatenate([self.corners, other.corners]),
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

    def reduced(self, cells: Cells, size: int) -> Cloth:
        """The same, as `cloth` reduces it for a smaller stack; corners in pixels of the flattened quilt."""
        factor = _least(cells * self.scale, size)
        if factor == 1:
            return self
        small, (across, down) = _by_area(self.lab, factor)
        return Cloth(small.astype(np.float32, copy=False), (self.scale[0] * across, self.scale[1] * down))


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
    small, scale = reduced_pixels(pixels, cells, size)
    return Cloth(lab_of(small), scale)


def reduced_pixels(
    pixels: NDArray[np.uint8], cells: Cells, size: int
) -> tuple[NDArray[np.uint8], tuple[float, float]]:
    """Reduce a picture so that a block is about `size` pixels, and how many times as wide and tall it then is."""
    small, scale = _by_area(pixels, _least(cells, size))
    return np.asarray(small, dtype=np.uint8), scale


def _least(cells: Cells, size: int) -> float:
    """How many times fewer pixels will do for blocks stacked at a size."""
    side = float(np.nanmedian(np.linalg.norm(cells - np.roll(cells, 1, axis=-2), axis=-1)))
    return min(1.0, 1.15 * size / side)


def _by_area(picture: NDArray[Any], factor: float) -> tuple[NDArray[Any], tuple[float, float]]:
    """Reduce a picture, and how many times as wide and tall it then is."""
    height, width = picture.shape[:2]
    shape = (max(1, round(width * factor)), max(1, round(height * factor)))
    small = cv2.resize(picture, shape, interpolation=cv2.INTER_AREA) if factor < 1 else picture
    return np.asarray(small), (shape[0] / width, shape[1] / height)


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
    lab = resampled(source, corners, size)
    shown = np.ones((len(places), size, size), dtype=np.float32)
    height, width = source.lab.shape[:2]
    placed = (corners + 0.5) * np.array(source.scale) - 0.5
    out = (placed < -1).any(axis=(1, 2)) | (placed > [width, height]).any(axis=(1, 2))
    shown[out] = _inside(placed[out], size, width, height)
    return Stack(lab, shown, places, corners)


def resampled(source: Cloth, corners: Cells, size: int) -> Floats:
    """Resample quadrilaterals of the quilt onto squares; what lies beyond its edge is the edge gone on.

    Parameters
    ----------
    source : Cloth
    corners : ndarray, shape (squares, 4, 2)
        In pixels of the flattened quilt.
    size : int

    Returns
    -------
    ndarray of float32, shape (squares, size, size, 3)
    """
    lab = np.empty((len(corners), size, size, 3), dtype=np.float32)
    # Pixel middles: x of the cloth = scale * (x + 1/2) - 1/2, so that reducing does not shift the blocks.
    to_unit = np.array([[1 / size, 0, 0.5 / size], [0, 1 / size, 0.5 / size], [0, 0, 1]])
    matrices = unit_square_to((corners + 0.5) * np.array(source.scale) - 0.5) @ to_unit
    flags = cv2.INTER_LINEAR | cv2.WARP_INVERSE_MAP
    for index, matrix in enumerate(matrices):
        cv2.warpPerspective(
            source.lab, matrix, (size, size), dst=lab[index], flags=flags, borderMode=cv2.BORDER_REPLICATE
        )
    return lab


def _inside(quads: Cells, size: int, width: int, height: int) -> NDArray[np.bool_]:
    """Which pixels of squares lie in a picture of so many pixels, shape (quads, size, size)."""
    at = (np.arange(size) + 0.5) / size
    # Down the left side and down the right, then across from one to the other.
    left, right = (
        quads[:, None, a] + at[:, None] * (quads[:, None, b] - quads[:, None, a]) for a, b in ((0, 3), (1, 2))
    )
    inside = np.ones((len(quads), size, size), dtype=bool)
    for axis, most in enumerate((width, height)):
        start = left[..., axis, None]
        place = start + at * (right[..., axis, None] - start)
        inside &= (place >= -0.5) & (place <= most - 0.5)
    return inside


def turned(stack: Stack, moves: NDArray[np.intp]) -> Stack:
    """Turn and mirror blocks, each by its own move, so that all lie the same way.

    Parameters
    ----------
    stack : Stack
    moves : ndarray of int, shape (blocks,)
        0..7: quarter turns clockwise (move % 4) after mirroring left to right (move >= 4).
    """
    if not moves.any():
        return stack
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


def shrunk(squares: Floats, side: int) -> Floats:
    """Reduce squares by area, shape (blocks, size, size) or with channels, to a smaller side.

    Examples
    --------
    >>> shrunk(np.arange(16, dtype=np.float32).reshape(1, 4, 4), 2).tolist()
    [[[2.5, 4.5], [10.5, 12.5]]]
    """
    blocks, size = squares.shape[:2]
    # One below the other they are one picture, and no pixel of the result straddles two.
    tall = np.ascontiguousarray(squares).reshape(blocks * size, size, *squares.shape[3:])
    small = cv2.resize(tall, (side, blocks * side), interpolation=cv2.INTER_AREA)
    found: Floats = small.reshape(blocks, side, side, *squares.shape[3:]).astype(np.float32, copy=False)
    return found


def masks(picture: NDArray[np.intp], count: int) -> Floats:
    """Which pixels are each patch's, 1 or 0, shape (count, size, size): what it is multiplied with is summed over patches.

    Examples
    --------
    >>> masks(np.array([[0, 1], [-1, 1]]), 2).astype(int).tolist()
    [[[1, 0], [0, 0]], [[0, 1], [0, 1]]]
    """
    found: Floats = (picture == np.arange(count)[:, None, None]).astype(np.float32)
    return found


def blurred(squares: Floats, sigma: float) -> Floats:
    """Blur each of some squares, shape (squares, size, size) or with channels, by a Gaussian."""
    found = np.empty_like(squares)
    for square, soft in zip(squares, found, strict=True):
        cv2.GaussianBlur(square, (0, 0), sigma, dst=soft)
    return found


def steps(squares: Floats) -> tuple[Floats, Floats]:
    """How strongly color changes across and down at each pixel of each block, saturating at a clear seam: 0..1.

    Parameters
    ----------
    squares : ndarray of float32, shape (blocks, size, size, 3)
        CIELAB.

    Returns
    -------
    across, down : ndarray of float32, shape (blocks, size, size)

    Examples
    --------
    >>> halves = np.zeros((1, 8, 8, 3), np.float32)
    >>> halves[:, :, 4:] = 60
    >>> across, down = steps(halves)
    >>> bool(across[0, 4, 4] > 0.4), float(down.max())
    (True, 0.0)
    """
    across, down, size = (np.empty(squares.shape[:3], dtype=np.float32) for _ in range(3))
    # Block by block, for one block and all that is made of it stay close at hand.
    for index, square in enumerate(squares):
        smooth = cv2.GaussianBlur(square, (0, 0), 1.0)
        for change, x, y in ((across[index], 1, 0), (down[index], 0, 1)):
            apart = cv2.Sobel(smooth, cv2.CV_32F, x, y, scale=0.125)
            cv2.sqrt(cv2.transform(cv2.multiply(apart, apart), SUM), dst=change)
        cv2.magnitude(across[index], down[index], magnitude=size[index])
    # The quantile of a quarter of the pixels is that of all, near enough.
    some = size.reshape(len(size), -1)[:, ::4]
    rank = round(0.8 * (some.shape[1] - 1))
    size += np.maximum(4.0, np.partition(some, rank, axis=1)[:, rank])[:, None, None]
    across /= size
    down /= size
    return across, down
