"""Whether the old backing still serves, and for which things."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from math import ceil
from typing import Any

import numpy as np

from seamlore.lengths import Length, Unit, inches
from seamlore.packing.outlines import may_lie, most_patches
from seamlore.packing.pieces import Kind
from seamlore.saving.cloth import Cloth
from seamlore.saving.projects import Project

# Beyond the thing all round, so that layers may shift while they are held: 2 in for small things, 4 in from a lap quilt on.
# Common practice, no source.
BEYOND, BEYOND_LARGE = inches(2), inches(4)
_LARGE = inches(36)
# Of an inch and of a centimeter; patches are cut no finer.
_PARTS = {Unit.INCH: 64, Unit.CM: 40}
# Cells of the grid on which the largest sound areas are looked for, along each side.
_CELLS = 96
_MOST_CORNERS = 120


@dataclass(frozen=True, slots=True)
class Backs:
    """One thing that old backing could be the back of.

    Parameters
    ----------
    project : Project
    width, height : Length
        Of the piece to cut.
    count : int
        How many come out of it; 0 where none does.
    """

    project: Project
    width: Length
    height: Length
    count: int


def backs(cloth: Cloth, things: Iterable[Project], unit: Unit, *, ruled_out: bool = False) -> tuple[Backs, ...]:
    """Say for which things the old backing serves, each by itself.

    What touches skin, food or children comes last until hazards were ruled out, as for the front.

    Examples
    --------
    >>> from shapely import box
    >>> from seamlore.saving.projects import PROJECTS
    >>> whole = Cloth("backing", (box(0, 0, 40, 30),), 1200.0)
    >>> found = {each.project.name: (str(each.width), str(each.height), each.count) for each in backs(whole, PROJECTS, Unit.INCH)}
    >>> found["wall piece"], found["small lap quilt"]
    (('28 in', '28 in', 1), ('48 in', '56 in', 0))
    """
    found = []
    for each in things:
        beyond = BEYOND_LARGE if max(each.width.inches, each.height.inches) >= _LARGE.inches else BEYOND
        width, height = (side + beyond.shown_in(side.unit) * 2 for side in (each.width, each.height))
        found.append(Backs(each, width, height, _count(cloth, width, height, unit)))
    return tuple(sorted(found, key=lambda each: (bool(each.project.touches) and not ruled_out, each.count == 0)))


def _count(cloth: Cloth, width: Length, height: Length, unit: Unit) -> int:
    sides = [float(side.measured_in(unit)) for side in (width, height)]
    fits = [piece for piece in cloth.pieces if piece.area >= sides[0] * sides[1] and any(
        not may_lie(piece, *way).is_empty for way in (sides, sides[::-1])
    )]  # fmt: skip
    return sum(len(cut_from(piece, [(width, height, 999)], unit)) for piece in fits)


def cut_from(
    piece: object, wanted: Iterable[tuple[Length, Length, int]], unit: Unit
) -> tuple[tuple[float, float, float, float, int], ...]:
    """Cut patches from one piece of cloth: the left, top, width and height of each in the quilt's unit, and which it is.

    Patches may lie either way: warp and weft of old cloth are told by a thread, not by a photograph.
    """
    import shapely  # slow to import: only where cloth is cut

    kinds = [Kind(_up(width, unit), _up(height, unit), count, may_turn=True) for width, height, count in wanted]
    parts = _PARTS[unit]
    scaled = shapely.transform(piece, lambda at: at * parts)
    return tuple(
        (each.x / parts, each.y / parts, each.width / parts, each.height / parts, each.kind)
        for each in most_patches(scaled, kinds)
    )


def areas(cloth: Cloth, least: float, most: int = 4) -> tuple[tuple[float, float], ...]:
    """Give the largest sound rectangles of a cloth, one cut after the other, width and height as it lies.

    Parameters
    ----------
    cloth : Cloth
    least : float
        No side of one is shorter.
    most : int
        So many at most.

    Returns
    -------
    tuple of (width, height)
        On the marks of a grid that takes in the corners of every hole; none is larger on those marks.

    Examples
    --------
    >>> from shapely import box
    >>> areas(Cloth("backing", (box(0, 0, 40, 30) - box(10, 10, 12, 12),), 1200.0), 6)
    ((28.0, 30.0), (10.0, 30.0))
    >>> areas(Cloth("backing", (box(0, 0, 4, 30),), 120.0), 6)
    ()
    """
    import shapely  # as above

    left, found = shapely.multipolygons(list(cloth.pieces)), []
    for _ in range(most):
        best = _largest(left, least)
        if best is None:
            break
        x0, y0, x1, y1 = best
        found.append((x1 - x0, y1 - y0))
        left = shapely.difference(left, shapely.box(x0, y0, x1, y1))
    return tuple(found)


def _largest(shape: Any, least: float) -> tuple[float, float, float, float] | None:
    """The largest rectangle of whole cells of a grid: of each row of cells how far up all is sound, then runs of columns."""
    import shapely  # as above

    if shape.is_empty:
        return None
    rings = shapely.get_parts(shapely.boundary(shape))
    corners = shapely.get_coordinates(rings)
    if len(corners) > _MOST_CORNERS:
        # Of outlines drawn with very many corners the ends alone.
        corners = shapely.bounds(rings).reshape(-1, 2)
    low, high = corners.min(axis=0), corners.max(axis=0)
    xs, ys = (
        np.unique(np.concatenate([np.linspace(low[axis], high[axis], _CELLS + 1), corners[:, axis]]).round(9))
        for axis in (0, 1)
    )
    columns, rows = len(xs) - 1, len(ys) - 1
    if columns < 1 or rows < 1:
        return None
    x, y = np.meshgrid(np.arange(columns), np.arange(rows))
    cells = shapely.box(xs[x.ravel()], ys[y.ravel()], xs[x.ravel() + 1], ys[y.ravel() + 1])
    shapely.prepare(shape)
    give = shapely.buffer(shape, 1e-6, join_style="mitre")
    shapely.prepare(give)
    sound = shapely.covers(give, cells).reshape(rows, columns)
    best, where = 0.0, None
    up = np.zeros(columns, dtype=np.intp)
    for row in range(rows):
        up = np.where(sound[row], up + 1, 0)
        stack: list[tuple[int, int]] = []
        for column in range(columns + 1):
            high_here, start = (int(up[column]) if column < columns else 0), column
            while stack and stack[-1][1] >= high_here:
                start, high_there = stack.pop()
                wide, tall = xs[column] - xs[start], ys[row + 1] - ys[row + 1 - high_there]
                if min(wide, tall) >= least and wide * tall > best:
                    best = float(wide * tall)
                    where = (float(xs[start]), float(ys[row + 1 - high_there]), float(xs[column]), float(ys[row + 1]))
            if high_here:
                stack.append((start, high_here))
    return where


def _up(side: Length, unit: Unit) -> int:
    return ceil(side.measured_in(unit) * _PARTS[unit])
