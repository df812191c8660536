"""Outlines with straight sides: area, growing by a seam allowance.

An outline is an array (n, 2) of corners, x right and y down, clockwise as seen; the last side closes it.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import ArrayLike, NDArray

from seamlore.errors import ShapeError

Points = NDArray[np.float64]


def as_outline(corners: ArrayLike | Sequence[object]) -> Points:
    """Make an outline array of corners, clockwise as seen.

    Parameters
    ----------
    corners : array_like, shape (n, 2)
        Corners in order, either way round.

    Returns
    -------
    ndarray, shape (n, 2)

    Raises
    ------
    ShapeError
        With fewer than three corners, or when the corners enclose nothing.

    Examples
    --------
    >>> as_outline([(0, 0), (0, 1), (1, 1)]).tolist()
    [[1.0, 1.0], [0.0, 1.0], [0.0, 0.0]]
    >>> as_outline([(0, 0), (1, 1)])
    Traceback (most recent call last):
        ...
    seamlore.errors.ShapeError: an outline of 2 corners: a patch has at least 3 corners; ...
    """
    points = np.asarray(corners, dtype=np.float64).reshape(-1, 2)
    if len(points) < 3:
        raise ShapeError(
            f"an outline of {len(points)} corners",
            "a patch has at least 3 corners",
            "give all corners in order",
        )
    turned = signed_area(points)
    if turned == 0:
        raise ShapeError("an outline that encloses nothing", "a patch has an area", "give its corners in order")
    return points if turned > 0 else points[::-1].copy()


def signed_area(outline: Points) -> float:
    """Area of an outline, positive when it runs clockwise as seen (y down).

    Examples
    --------
    >>> signed_area(np.array([[0.0, 0], [2, 0], [2, 1], [0, 1]]))
    2.0
    """
    x, y = outline[:, 0], outline[:, 1]
    return float(np.dot(x, np.roll(y, -1)) - np.dot(y, np.roll(x, -1))) / 2


def area(outline: Points) -> float:
    """Area enclosed by an outline, in the square of its unit.

    Examples
    --------
    >>> area(as_outline([(0, 0), (3, 0), (0, 4)]))
    6.0
    """
    return abs(signed_area(outline))


def grow(outline: Points, allowance: float, *, trimmed: bool = True) -> Points:
    """Grow an outline by a seam allowance on every side.

    Parameters
    ----------
    outline : ndarray, shape (n, 2)
        The sewing line.
    allowance : float
        Width of the seam allowance, in the unit of the outline; 0 or more.
    trimmed : bool
        Cut sharp points off as is done before sewing: square to each of the two sides, one allowance past the
        corner, so that raw edges meet whichever side is sewn first. Otherwise points run out to the full miter.

    Returns
    -------
    ndarray, shape (m, 2)
        The cutting line, clockwise.

    Raises
    ------
    ShapeError
        When the allowance is less than 0, or is so wide that the cutting line would cross itself.

    Examples
    --------
    >>> grow(as_outline([(0, 0), (3, 0), (3, 3), (0, 3)]), 0.25).tolist()
    [[-0.25, -0.25], [3.25, -0.25], [3.25, 3.25], [-0.25, 3.25]]
    >>> triangle = as_outline([(0, 0), (3, 0), (0, 3)])
    >>> round(float(np.ptp(grow(triangle, 0.25, trimmed=False)[:, 0])), 6)  # 3 + (2 + sqrt 2) / 4
    3.853553
    >>> len(grow(triangle, 0.25)), len(grow(triangle, 0.0))
    (7, 3)
    >>> float(np.ptp(grow(triangle, 0.25)[:, 0]))  # as long as the square that it is sewn to
    3.5
    """
    if allowance < 0:
        raise ShapeError(f"a seam allowance of {allowance:g}", "it must be 0 or more", "give the width of the seam")
    points = as_outline(outline)
    if allowance == 0:
        return points
    sides = np.roll(points, -1, axis=0) - points
    lengths = np.hypot(sides[:, 0], sides[:, 1])
    if np.any(lengths == 0):
        raise ShapeError("two corners in one place", "corners must be apart", "remove the one that repeats")
    along = sides / lengths[:, None]
    outward = np.column_stack([along[:, 1], -along[:, 0]])
    before, outward_before = np.roll(along, 1, axis=0), np.roll(outward, 1, axis=0)
    turn = before[:, 0] * along[:, 1] - before[:, 1] * along[:, 0]
    straight = np.abs(turn) < 1e-12
    # The miter point lies along the sum of the two outward normals.
    together = outward + outward_before
    reach = 1.0 + np.einsum("ij,ij->i", outward, outward_before)
    with np.errstate(divide="ignore", invalid="ignore"):
        corners = points + allowance * together / np.where(straight, 2.0, reach)[:, None]
    if not trimmed:
        grown = corners
    else:
        # Past a sharp corner (less than a right angle) the allowance is cut square to each of its two sides.
        sharp = (turn > 0) & (np.einsum("ij,ij->i", before, along) < -1e-6)
        pieces: list[Points] = []
        for index in range(len(points)):
            if not sharp[index]:
                pieces.append(corners[index][None, :])
                continue
            ahead, back = before[index], -along[index]
            narrow = float(ahead @ back)
            # Each outer line runs until the cut square to the other side stops it; the cuts meet between.
            first = outward_before[index] + ahead * ((1 - outward_before[index] @ back) / narrow)
            last = outward[index] + back * ((1 - outward[index] @ ahead) / narrow)
            tip = (ahead + back) / (1 + narrow)
            pieces.append(points[index] + allowance * np.stack([first, tip, last]))
        grown = np.concatenate(pieces)
    from shapely import Polygon  # slow to import, and only growing and covering need it

    if not Polygon(grown).is_valid or signed_area(grown) <= 0:
        raise ShapeError(
            f"a seam allowance of {allowance:g} round this outline",
            "the cutting line must not cross itself",
            "use a narrower allowance or a larger patch",
        )
    return grown
