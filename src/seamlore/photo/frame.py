"""Where the quilt lies in the photograph: photograph pixels <-> flattened quilt <-> block <-> back.

Four corners fix the perspective; bows say how far each edge departs from the straight line between its
corners, and bend all that lies between. Everything drawn on a photograph is kept in photograph pixels, so
that correcting a corner does not move it. Pixel coordinates are those of pixel centers, x right, y down.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np
from numpy.typing import ArrayLike

from seamlore.errors import PhotoError
from seamlore.photo.bows import Bow, bow_at, bow_slope_at
from seamlore.photo.perspective import Points, inverse, through, unit_square_to

Pair = tuple[float, float]
Corners = tuple[Pair, Pair, Pair, Pair]
Bows = tuple[Bow, Bow, Bow, Bow]

STRAIGHT: Bows = ((), (), (), ())
_IN_ORDER = "give the four corners clockwise from the quilt's top left"
_CORNERS = ("top left", "top right", "bottom right", "bottom left")
# Of the picture's width and height, by which a corner may lie beyond its rim: the quilt runs out of the picture.
_BEYOND = 0.5
# Beyond a quarter of the quilt an edge is not bowed but misread, and the bent plane could fold over.
_MOST_BOW = 0.25


@dataclass(frozen=True)
class Frame:
    """Where the quilt lies in the photograph.

    Parameters
    ----------
    corners : four (x, y)
        In photograph pixels, clockwise from the quilt's top left.
    size : (width, height)
        Of the quilt, in its own unit; (1, height / width) when no size is known.
    bows : four tuples of float, optional
        Of the top, right, bottom and left edge: how far the edge lies outside the straight line between its
        corners, at evenly spaced stations between them (left to right, top to bottom), as a part of the
        quilt's height (top, bottom) or width (left, right). Empty for a straight edge.
    mirrored : bool, optional
        The quilt's coordinates are those of its back, which runs left to right the other way.

    Raises
    ------
    PhotoError
        When the corners cross, run anticlockwise, lie nearly on a line or inside one another, when the size
        is not above 0, or a bow is larger than a quarter of the quilt.

    Examples
    --------
    >>> frame = Frame(((10, 10), (110, 10), (110, 60), (10, 60)), (100, 50))
    >>> frame.to_quilt([[60, 35]]).round(9).tolist()
    [[50.0, 25.0]]
    >>> frame.back().to_quilt([[10, 10]]).round(9).tolist()
    [[100.0, 0.0]]
    >>> frame.to_photo(np.zeros((0, 2))).shape
    (0, 2)
    """

    corners: Corners
    size: Pair
    bows: Bows = STRAIGHT
    mirrored: bool = False

    def __post_init__(self) -> None:
        corners = check_corners(self.corners)
        width, height = (float(side) for side in self.size)
        if not (width > 0 and height > 0 and np.isfinite([width, height]).all()):
            raise PhotoError(
                f"a quilt of {width:g} x {height:g}", "both sides must be above 0", "measure the quilt edge to edge"
            )
        bows = tuple(tuple(float(offset) for offset in bow) for bow in self.bows)
        if len(bows) != 4:
            raise PhotoError(f"bows of {len(bows)} edges", "a quilt has four edges", "give one bow for each")
        worst = max((abs(offset) if np.isfinite(offset) else np.inf for bow in bows for offset in bow), default=0.0)
        if worst > _MOST_BOW:
            raise PhotoError(
                f"an edge that bows by {worst:.0%} of the quilt",
                f"at most {_MOST_BOW:.0%} can be flattened",
                "photograph the quilt laid flatter, or correct the edge",
            )
        object.__setattr__(self, "corners", tuple((float(x), float(y)) for x, y in corners))
        object.__setattr__(self, "size", (width, height))
        object.__setattr__(self, "bows", bows)

    @cached_property
    def _plane(self) -> Points:
        return unit_square_to(np.asarray(self.corners))

    def to_photo(self, points_quilt: ArrayLike) -> Points:
        """Take points of the quilt to the photograph.

        Parameters
        ----------
        points_quilt : array_like, shape (n, 2)
            In the quilt's unit from its top left (of the back, when mirrored).

        Returns
        -------
        ndarray, shape (n, 2)
            In photograph pixels.
        """
        parts = np.asarray(points_quilt, dtype=np.float64).reshape(-1, 2) / self.size
        u = 1 - parts[:, 0] if self.mirrored else parts[:, 0]
        return through(self._plane, self._bent(u, parts[:, 1]))

    def to_quilt(self, points_px: ArrayLike) -> Points:
        """Take points of the photograph to the quilt; the inverse of `to_photo`.

        Parameters
        ----------
        points_px : array_like, shape (n, 2)
            In photograph pixels.

        Returns
        -------
        ndarray, shape (n, 2)
            In the quilt's unit from its top left (of the back, when mirrored).
        """
        given = np.asarray(points_px, dtype=np.float64).reshape(-1, 2)
        parts = self._unbent(through(inverse(self._plane), given))
        if self.mirrored:
            parts = np.column_stack([1 - parts[:, 0], parts[:, 1]])
        return parts * self.size

    def crossings_to_photo(self, x: ArrayLike, y: ArrayLike) -> Points:
        """Take every crossing of columns `x` and rows `y` of the quilt to the photograph, fast.

        Parameters
        ----------
        x : array_like, shape (columns,)
        y : array_like, shape (rows,)
            In the quilt's unit.

        Returns
        -------
        ndarray, shape (rows, columns, 2)
            In photograph pixels.
        """
        u = np.asarray(x, dtype=np.float64) / self.size[0]
        v = (np.asarray(y, dtype=np.float64) / self.size[1])[:, None]
        u = (1 - u if self.mirrored else u)[None, :]
        return through(self._plane, self._bent(u, v))

    def back(self) -> Frame:
        """Give the frame whose coordinates are those of the quilt's other side, mirrored left to right."""
        return replace(self, mirrored=not self.mirrored)

    def straightened(self) -> Frame:
        """Give the same frame with straight edges."""
        return replace(self, bows=STRAIGHT)

    def resized(self, width: float, height: float) -> Frame:
        """Give the same frame for a quilt of another size."""
        return replace(self, size=(width, height))

    def scaled(self, factor: float) -> Frame:
        """Give the frame for the same photograph, `factor` times as wide in pixels.

        Pixel coordinates are of pixel centers, so they shift by half a pixel as they scale.
        """
        moved = (np.asarray(self.corners) + 0.5) * factor - 0.5
        return replace(self, corners=moved.tolist())

    def edges_px(self, steps: int = 32) -> tuple[Points, Points, Points, Points]:
        """Give the four edges as lines to draw: top, right, bottom, left, each from left or top.

        Parameters
        ----------
        steps : int, optional
            Pieces of each line.

        Returns
        -------
        four ndarrays, shape (steps + 1, 2)
            In photograph pixels.
        """
        along = np.linspace(0, 1, steps + 1)
        none, whole = np.zeros_like(along), np.ones_like(along)
        runs = ((along, none), (whole, along), (along, whole), (none, along))
        top, right, bottom, left = (through(self._plane, self._bent(u, v)) for u, v in runs)
        return top, right, bottom, left

    def _bent(self, u: Points, v: Points) -> Points:
        if self.bows == STRAIGHT:
            return np.stack(np.broadcast_arrays(u, v), axis=-1)
        top, right, bottom, left = self.bows
        left_off, top_off = bow_at(left, v), bow_at(top, u)
        return np.stack(
            [u * (1 + bow_at(right, v) + left_off) - left_off, v * (1 + bow_at(bottom, u) + top_off) - top_off],
            axis=-1,
        )

    def _unbent(self, parts: Points) -> Points:
        # Newton's method; bows are small, so it converges from the straight answer in a few steps.
        if self.bows == STRAIGHT:
            return parts
        top, right, bottom, left = self.bows
        u, v = parts[:, 0].copy(), parts[:, 1].copy()
        for _ in range(25):
            miss = self._bent(u, v) - parts
            if np.abs(miss).max(initial=0.0) < 1e-13:
                break
            uu = 1 + bow_at(right, v) + bow_at(left, v)
            uv = u * bow_slope_at(right, v) - (1 - u) * bow_slope_at(left, v)
            vu = v * bow_slope_at(bottom, u) - (1 - v) * bow_slope_at(top, u)
            vv = 1 + bow_at(bottom, u) + bow_at(top, u)
            turn = uu * vv - uv * vu
            u -= (vv * miss[:, 0] - uv * miss[:, 1]) / turn
            v -= (uu * miss[:, 1] - vu * miss[:, 0]) / turn
        return np.column_stack([u, v])


def check_corners(corners: ArrayLike, photo_size_px: tuple[int, int] | None = None) -> Points:
    """Refuse corners that cannot be a quilt's.

    Parameters
    ----------
    corners : array_like, shape (4, 2)
        In photograph pixels, clockwise from the quilt's top left.
    photo_size_px : (width, height), optional
        When given, corners far outside the photograph are refused too; where the quilt runs out of the picture they
        may lie up to half its width or height beyond it.

    Returns
    -------
    ndarray, shape (4, 2)

    Raises
    ------
    PhotoError

    Examples
    --------
    >>> check_corners([(0, 0), (90, 0), (90, 60), (0, 60)], (100, 80)).shape
    (4, 2)
    >>> check_corners([(0, 0), (90, 60), (90, 0), (0, 60)])
    Traceback (most recent call last):
        ...
    seamlore.errors.PhotoError: corners whose edges cross: ...
    """
    try:
        points = np.asarray(corners, dtype=np.float64)
    except (TypeError, ValueError) as fault:
        raise PhotoError("corners that are not numbers", "a corner is x,y in pixels", _IN_ORDER) from fault
    if points.shape != (4, 2):
        count = f"{points.shape[0]} corners" if points.ndim == 2 else "corners that are not points"
        raise PhotoError(count, "a quilt has 4 corners, each x,y in pixels", _IN_ORDER)
    if not np.isfinite(points).all():
        raise PhotoError("a corner without a place", "a corner is x,y in pixels", _IN_ORDER)
    if photo_size_px is not None:
        _check_inside(points, photo_size_px)
    _check_turns(points)
    return points


def _check_inside(points: Points, photo_size_px: tuple[int, int]) -> None:
    width, height = photo_size_px
    beyond = _BEYOND * np.array([width, height])
    low, high = -beyond, np.array([width, height]) - 1 + beyond
    for corner in np.flatnonzero(((points < low) | (points > high)).any(axis=1)):
        raise PhotoError(
            f"the {_CORNERS[corner]} corner",
            f"it lies far outside the upright photograph, which is {width} pixels wide and {height} high",
            "put it inside, or beyond the rim by at most half the picture",
        )


def _check_turns(points: Points) -> None:
    sides = np.roll(points, -1, axis=0) - points
    after = np.roll(sides, -1, axis=0)
    turns = sides[:, 0] * after[:, 1] - sides[:, 1] * after[:, 0]
    lengths = np.hypot(sides[:, 0], sides[:, 1])
    if lengths.min() < 2.0:
        raise PhotoError("two corners in one place", "four different corners are needed", _IN_ORDER)
    # The turn at each corner as a sine; 0.06 is about 3 1/2 degrees.
    sines = turns / (lengths * np.roll(lengths, -1))
    if np.abs(sines).min() < 0.06:
        raise PhotoError("corners nearly on one line", "the four corners must span the quilt", _IN_ORDER)
    clockwise = int((turns > 0).sum())
    if clockwise == 0:
        raise PhotoError("corners that run anticlockwise", "they run clockwise", _IN_ORDER)
    if clockwise == 2:
        raise PhotoError("corners whose edges cross", "they run around the quilt", _IN_ORDER)
    if clockwise != 4:
        raise PhotoError("a corner inside the other three", "they run around the quilt", _IN_ORDER)
