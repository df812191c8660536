"""The largest circle in a rectangle that holds none of some points and lines: what nothing holds, exactly.

With points alone the middle of such a circle is a corner of the points' Voronoi cells cut by the rectangle. With lines it is
found by halving squares: the way to a point or a straight line is convex, and so is the mean of two such ways; over a square
it is longest at a corner, and the way to whichever is nearer is never longer than the mean. Squares that cannot hold the
middle are left out, and what is left proves the answer.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
# Of the rectangle's longer side: far below what a tape tells.
_WITHIN = 1e-6
# Where one middle is left, it is followed to the rounding of floats.
_FINEST = 1e-13


@dataclass(frozen=True, slots=True)
class Circle:
    """A circle: its middle and radius, in the unit of the rectangle."""

    x: float
    y: float
    radius: float

    @property
    def across(self) -> float:
        """Its diameter."""
        return 2 * self.radius


def largest_empty(
    size: tuple[float, float],
    points: Floats,
    lines: Sequence[Floats] = (),
    *,
    edge_holds: bool = False,
    within: float = _WITHIN,
) -> Circle:
    """Find the largest circle with its middle on the quilt and nothing that holds inside it.

    Parameters
    ----------
    size : (width, height)
        Of the rectangle, its corner at 0, 0.
    points : ndarray, shape (n, 2)
        Ties.
    lines : sequence of ndarray, shape (m, 2)
        Quilting lines, each through its points.
    edge_holds : bool
        Whether the edge is bound or sewn through, so that it holds too.
    within : float
        How much larger another circle may be at most, in parts of the longer side; of no account with points alone.

    Returns
    -------
    Circle
        With nothing that holds at all, one of radius infinity in the middle.

    Examples
    --------
    >>> largest_empty((10, 10), np.array([[0.0, 0], [10, 0], [0, 10], [10, 10]]))
    Circle(x=5.0, y=5.0, radius=7.0710678118654755)
    >>> round(largest_empty((10, 4), np.zeros((0, 2)), edge_holds=True).radius, 6)
    2.0
    >>> largest_empty((10, 4), np.zeros((0, 2))).radius
    inf
    """
    points = np.asarray(points, dtype=np.float64).reshape(-1, 2)
    if not len(points) and not len(lines) and not edge_holds:
        return Circle(size[0] / 2, size[1] / 2, np.inf)
    if not len(lines) and not edge_holds:
        return _of_points(size, points)
    return _halving(size, points, lines, edge_holds, within)


def _of_points(size: tuple[float, float], points: Floats) -> Circle:
    import shapely  # slow to import: only where what holds is entered

    points = np.unique(points, axis=0)
    whole = shapely.box(0, 0, *size)
    if len(points) < 3 or np.linalg.matrix_rank(points - points[0], tol=1e-9 * max(size)) < 2:
        # Points on one line: the cells are strips, which the halving does as well.
        return _halving(size, points, (), False, _FINEST)
    cells = shapely.get_parts(
        shapely.voronoi_polygons(
            shapely.multipoints(points), extend_to=shapely.box(-size[0], -size[1], 2 * size[0], 2 * size[1])
        )
    )
    corners = shapely.get_coordinates(shapely.intersection(cells, whole))
    _, far = shapely.STRtree(shapely.points(points)).query_nearest(
        shapely.points(corners), return_distance=True, all_matches=False
    )
    best = int(far.argmax())
    return Circle(float(corners[best, 0]), float(corners[best, 1]), float(far[best]))


def _halving(
    size: tuple[float, float], points: Floats, lines: Sequence[Floats], edge_holds: bool, within: float
) -> Circle:
    sites = _Sites(size, points, lines, edge_holds)
    longer = max(size)
    counts = [max(int(np.ceil(16 * side / longer)), 1) for side in size]
    half = np.array([size[0] / counts[0], size[1] / counts[1]]) / 2
    x, y = (half[axis] * (2 * np.arange(counts[axis]) + 1) for axis in (0, 1))
    at = np.stack(np.meshgrid(x, y), axis=-1).reshape(-1, 2)
    best, radius = at[0], -1.0
    while len(at) and max(half) > within * longer / 4:
        away, near = sites.nearest(at)
        top = int(away.argmax())
        if away[top] > radius:
            best, radius = sites.climbed(at[top], float(away[top]), float(max(half)))
        left = away + np.hypot(*half) > radius + within * longer
        at, near = at[left], near[left]
        at = at[sites.most(at, half, near) > radius + within * longer]
        at = (at[:, None, :] + _QUARTERS * half).reshape(-1, 2)
        half = half / 2
    return Circle(float(best[0]), float(best[1]), radius)


_QUARTERS = np.array([[-1, -1], [1, -1], [-1, 1], [1, 1]]) / 2
_TURNS = np.arange(16) * np.pi / 8
_WAYS = np.column_stack([np.cos(_TURNS), np.sin(_TURNS)])


class _Sites:
    """Points and straight lines, and the way from any place to them."""

    def __init__(self, size: tuple[float, float], points: Floats, lines: Sequence[Floats], edge_holds: bool) -> None:
        import shapely  # as above

        width, height = size
        edge = np.array([[0, 0], [width, 0], [width, height], [0, height], [0, 0]], dtype=np.float64)
        runs = [*lines, edge] if edge_holds else list(lines)
        pairs = [np.stack([run[:-1], run[1:]], axis=1) for run in runs if len(run) > 1]
        straight = shapely.linestrings(np.concatenate(pairs)) if pairs else np.zeros(0, dtype=object)
        self._shapely, self._size = shapely, np.array(size)
        self._shapes = np.concatenate([shapely.points(points), straight])
        self._tree = shapely.STRtree(self._shapes)

    def nearest(self, at: Floats) -> tuple[Floats, NDArray[np.intp]]:
        """How far each place lies from what is nearest, and which that is."""
        found, away = self._tree.query_nearest(self._shapely.points(at), return_distance=True, all_matches=False)
        return np.asarray(away, dtype=np.float64), np.asarray(found[1], dtype=np.intp)

    def most(self, at: Floats, half: Floats, near: NDArray[np.intp]) -> Floats:
        """A bound for the way from any place of each square."""
        corners = at[:, None, :] + 2 * _QUARTERS * half
        others = self.nearest(corners.reshape(-1, 2))[1].reshape(-1, 4)
        which = np.column_stack([near, others])
        away = self._shapely.distance(
            self._shapely.points(corners)[:, :, None], self._shapes[which][:, None, :]
        )  # square, corner, site
        one, two = np.triu_indices(5)
        return np.asarray(((away[:, :, one] + away[:, :, two]) / 2).max(axis=1).min(axis=1), dtype=np.float64)

    def climbed(self, at: Floats, away: float, step: float) -> tuple[Floats, float]:
        """Go uphill from a place, by steps that are halved where none leads higher."""
        least = _FINEST * float(self._size.max())
        while step > least:
            around = np.clip(at + step * _WAYS, 0, self._size)
            found = self.nearest(around)[0]
            top = int(found.argmax())
            if found[top] > away:
                at, away = around[top], float(found[top])
            else:
                step /= 2
        return at, away


def farthest_first(
    size: tuple[float, float], points: Floats, lines: Sequence[Floats], reach: float, most: int
) -> Floats:
    """Put in ties one after another, each where the gap is largest, until none is wider than asked for.

    Parameters
    ----------
    size : (width, height)
    points, lines
        What holds already, as `largest_empty` takes it.
    reach : float
        No place is to lie farther from what holds.
    most : int
        So many at most.

    Returns
    -------
    ndarray, shape (n, 2)
        Places are looked for on marks a sixth of the reach apart, so that hands find them; between marks a place may
        lie farther by a sixth of the reach.

    Examples
    --------
    >>> len(farthest_first((10, 10), np.zeros((0, 2)), (), 20, 50)), farthest_first((10, 10), np.array([[5.0, 5]]), (), 8, 9)
    (1, array([], shape=(0, 2), dtype=float64))
    """
    import shapely  # as above

    step = reach / 6
    x, y = (np.linspace(0, side, max(int(np.ceil(side / step)), 2) + 1) for side in size)
    marks = np.stack(np.meshgrid(x, y), axis=-1).reshape(-1, 2)
    away = np.full(len(marks), np.inf)
    shapes = [*shapely.points(points), *(shapely.linestrings(each) for each in lines)]
    if shapes:
        _, away = shapely.STRtree(shapes).query_nearest(
            shapely.points(marks), return_distance=True, all_matches=False
        )
    found: list[Floats] = []
    while len(found) < most and (widest := away.max()) > reach:
        if np.isinf(widest):
            # Nothing holds yet: begin a reach inside the first corner.
            new = marks[np.hypot(*(marks - min(reach / np.sqrt(2), *size)).T).argmin()]
        else:
            new = marks[int(away.argmax())]
        found.append(new)
        # Marks farther from it than any is from what holds stay as they are.
        (left, right), (top, bottom) = (
            (np.searchsorted(line, at - widest), np.searchsorted(line, at + widest, side="right"))
            for line, at in zip((x, y), new, strict=True)
        )
        part = away.reshape(len(y), len(x))[top:bottom, left:right]
        np.minimum(part, np.hypot(x[left:right] - new[0], (y[top:bottom] - new[1])[:, None]), out=part)
    return np.array(found).reshape(-1, 2)
