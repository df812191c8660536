"""Perspective between a square and four corners; the quilt's own proportions from its corners."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

Points = NDArray[np.float64]


def unit_square_to(corners: Points) -> Points:
    """Give the perspectives that take (0,0), (1,0), (1,1), (0,1) to four corners: (..., 4, 2) to (..., 3, 3).

    Source: P. Heckbert, "Fundamentals of Texture Mapping and Image Warping" (1989), the square-to-quad case.

    Examples
    --------
    >>> unit_square_to(np.array([[0, 0], [2, 0], [2, 3], [0, 3.0]])).tolist()
    [[2.0, 0.0, 0.0], [0.0, 3.0, 0.0], [0.0, 0.0, 1.0]]
    """
    given = np.asarray(corners, dtype=np.float64)
    start, right, far, left = (given[..., corner, :] for corner in range(4))
    rest = start - right + far - left
    one, two = right - far, left - far
    span = _cross(one, two)
    g, h = (_cross(rest, two) / span)[..., None], (_cross(one, rest) / span)[..., None]
    across, down = right - start + g * right, left - start + h * left
    columns = [np.concatenate(pair, axis=-1) for pair in ((across, g), (down, h), (start, np.ones_like(g)))]
    return np.stack(columns, axis=-1) + 0.0  # no minus zero


def _cross(one: Points, two: Points) -> Points:
    return one[..., 0] * two[..., 1] - one[..., 1] * two[..., 0]


def through(perspective: Points, points: Points) -> Points:
    """Take points, shape (..., 2), through a 3 x 3 perspective.

    Examples
    --------
    >>> through(np.diag([2.0, 3.0, 1.0]), np.array([[1.0, 1.0]])).tolist()
    [[2.0, 3.0]]
    """
    x, y = points[..., 0], points[..., 1]
    (a, b, c), (d, e, f), (g, h, i) = perspective
    depth = g * x + h * y + i
    return np.stack([(a * x + b * y + c) / depth, (d * x + e * y + f) / depth], axis=-1)


def inverse(perspective: Points) -> Points:
    """Give the perspective that leads back.

    Examples
    --------
    >>> inverse(np.diag([2.0, 4.0, 1.0])).tolist()
    [[0.5, 0.0, 0.0], [0.0, 0.25, 0.0], [0.0, 0.0, 1.0]]
    """
    return np.asarray(np.linalg.inv(perspective), dtype=np.float64)


def block_to_quilt(points: ArrayLike, block_corners: ArrayLike) -> Points:
    """Take points of a block, 0..1 across and down, to the quilt.

    Parameters
    ----------
    points : array_like, shape (n, 2)
        In 0..1 of the block.
    block_corners : array_like, shape (4, 2)
        Where the block's corners lie, clockwise from its own top left: a block on point or turned begins
        at another corner, an uneven block is no exact square.

    Returns
    -------
    ndarray, shape (n, 2)
        In the unit of `block_corners`.

    Examples
    --------
    >>> block_to_quilt([[0.5, 0.5]], [(10, 0), (20, 10), (10, 20), (0, 10)]).tolist()
    [[10.0, 10.0]]
    >>> block_to_quilt(np.zeros((0, 2)), [(0, 0), (1, 0), (1, 1), (0, 1)]).shape
    (0, 2)
    """
    given = np.asarray(points, dtype=np.float64).reshape(-1, 2)
    return through(unit_square_to(np.asarray(block_corners, dtype=np.float64)), given)


def blocks_to_quilt(points: ArrayLike, block_corners: ArrayLike) -> Points:
    """Take points of many blocks to the quilt at once, (blocks, n, 2), or (n, 2) where they are the same in all.

    Parameters
    ----------
    points : array_like, shape (n, 2) or (blocks, n, 2)
        In 0..1 of the block.
    block_corners : array_like, shape (blocks, 4, 2)
        As `block_to_quilt` takes them.

    Returns
    -------
    ndarray, shape (blocks, n, 2)

    Examples
    --------
    >>> blocks_to_quilt([[0.5, 0.5]], [[(10, 0), (20, 10), (10, 20), (0, 10)]]).tolist()
    [[[10.0, 10.0]]]
    """
    given = np.asarray(points, dtype=np.float64)
    perspective = unit_square_to(np.asarray(block_corners, dtype=np.float64))
    flat = np.matmul(np.concatenate([given, np.ones_like(given[..., :1])], axis=-1), np.swapaxes(perspective, -1, -2))
    return np.asarray(flat[..., :2] / flat[..., 2:], dtype=np.float64)


def as_it_lies(points: ArrayLike, turn: int, mirrored: bool) -> Points:
    """Take points of the block that most are to where they lie in a block that is mirrored and then turned.

    Parameters
    ----------
    points : array_like, shape (n, 2)
        In 0..1 of the block.
    turn : int
        Degrees clockwise, after mirroring left to right; 0, 90, 180 or 270.
    mirrored : bool

    Examples
    --------
    >>> as_it_lies([[0.25, 0]], 90, False).tolist(), as_it_lies([[0.25, 0]], 90, True).tolist()
    ([[1.0, 0.25]], [[1.0, 0.75]])
    """
    x, y = np.asarray(points, dtype=np.float64).reshape(-1, 2).T
    x = 1 - x if mirrored else x
    for _ in range(turn // 90 % 4):
        x, y = 1 - y, x
    return np.column_stack([x, y])


# Between a telephoto and a wide phone lens, the focal length in parts of the picture's longer side (common
# practice, no source: 18 mm to 200 mm on a 36 mm frame).
_FOCAL = (0.5, 5.6)
_USUAL_FOCAL = 0.75


def proportion(corners: ArrayLike, photo_size_px: tuple[int, int]) -> float:
    """Estimate the quilt's width over its height from its corners in a photograph.

    Parameters
    ----------
    corners : array_like, shape (4, 2)
        In photograph pixels, clockwise from the quilt's top left.
    photo_size_px : (width, height)
        Of an uncropped photograph: the lens is taken to look at its middle.

    Returns
    -------
    float
        Good to a few percent when the photograph is uncropped; less when it was cropped and taken aslant.

    Notes
    -----
    Where the corners show enough perspective they tell the focal length; otherwise that of a phone is taken.
    Source: Z. Zhang, L.-W. He, "Whiteboard scanning and image enhancement" (2007), section on aspect ratio;
    here by the columns of the perspective itself.

    Examples
    --------
    >>> round(proportion([(100, 100), (300, 100), (300, 200), (100, 200)], (400, 300)), 6)
    2.0
    """
    width, height = photo_size_px
    middle = np.array([(width - 1) / 2, (height - 1) / 2])
    long_side = max(width, height)
    plane = unit_square_to((np.asarray(corners, dtype=np.float64) - middle) / long_side)
    across, down = plane[:, 0], plane[:, 1]
    # The quilt's two directions are square to each other in space: that fixes the focal length.
    flat = across[:2] @ down[:2]
    deep = across[2] * down[2]
    squared = -flat / deep if abs(deep) > 1e-3 else np.nan
    low, high = _FOCAL
    focal = np.sqrt(squared) if np.isfinite(squared) and low**2 < squared < high**2 else _USUAL_FOCAL
    lens = np.array([1 / focal, 1 / focal, 1.0])
    return float(np.linalg.norm(across * lens) / np.linalg.norm(down * lens))
