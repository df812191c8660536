"""What holds the layers together: ties and quilting lines, the widest place that nothing holds, what the filling needs."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import ceil, sqrt
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from seamlore.condition.circle import Circle, farthest_first, largest_empty
from seamlore.condition.ground import Ground
from seamlore.errors import MeasureError
from seamlore.sources import NO_SOURCE, Source

Floats = NDArray[np.float64]
Ties = Literal["none", "crossings", "centers", "grid"]
Lines = Literal["none", "blocks", "across", "down", "grid"]
TIES: dict[Ties, str] = {
    "none": "no ties in a pattern",
    "crossings": "at every crossing of the blocks",
    "centers": "in the middle of every block",
    "grid": "every so far, both ways",
}
LINES: dict[Lines, str] = {
    "none": "no lines in a pattern",
    "blocks": "round every block",
    "across": "lines from side to side, so far apart",
    "down": "lines from top to bottom, so far apart",
    "grid": "lines both ways, so far apart",
}
# More than a tie every inch of a large bed quilt is a slip.
_MOST_PATTERN = 12_000
_MOST_TO_ADD = 2_000
_LEAST_IN = 0.5


@dataclass(frozen=True, slots=True)
class Filling:
    """A filling and how far apart it may be held.

    Parameters
    ----------
    name : str
    apart_in : float or None
        In inches; None where no label gives a limit.
    says : str
    source : str
    """

    name: str
    apart_in: float | None
    says: str
    source: str


# Distances: trade.md A9, each with the source that it has there. Where a range is given, its lower end.
FILLINGS: dict[str, Filling] = {
    each.name: each
    for each in (
        Filling(
            "not known",
            1.0,
            "batting without a label: every 1 to 2 in until more is known",
            str(Source("bonnysews.com, March 2019", "V")),
        ),
        Filling(
            "old cotton batting",
            2.0,
            "unbonded cotton of the old kind shifts and lumps: 2 in, some say 1",
            str(Source("quilters' forum, threads 7952308 and 6927974", "Vw")),
        ),
        Filling(
            "needle-punched cotton",
            8.0,
            "with scrim: 8 to 10 in by its label; many teachers advise 3 to 4",
            str(Source("generations-quilt-patterns.com, stitch density", "V")),
        ),
        Filling(
            "cotton and polyester",
            4.0,
            "4 to 10 in by its label; 2 to 3 to be careful",
            str(Source("melodycrust.blogspot.com, November 2020", "V")),
        ),
        Filling("polyester batting", 4.0, "bonded: 4 in; 2 to 3 to be careful", str(Source("usual labels", "M"))),
        Filling("wool batting", 3.0, "3 in", str(Source("melodycrust.blogspot.com, November 2020", "V"))),
        Filling("blanket", None, "woven, so it does not shift; no label gives a limit. Ties are usual every 4 to 5 in", NO_SOURCE),
        Filling(
            "older quilt", None, "held by its own quilting, where that is sound. Ties are usual every 4 to 5 in", NO_SOURCE
        ),
        Filling("none", None, "nothing to hold in its place but the two cloths", NO_SOURCE),
    )
}  # fmt: skip
# Where no label gives a limit: ties 3 to 6 in apart, 4 to 5 by default (trade.md A9: a magazine of August 2019,
# fabric-mill.com, quiltersconnection.ca; V).
USUAL_APART_IN = 4.0


@dataclass(frozen=True, slots=True, eq=False)
class Held:
    """How a quilt is held.

    Parameters
    ----------
    widest : Circle
        The largest that nothing holds, in the quilt's unit.
    apart : float
        How far apart the filling may be held, in the quilt's unit.
    allowed : float
        How wide a circle that leaves: between lines as wide as they lie apart, between ties in squares by the diagonal.
    points : ndarray, shape (n, 2)
        Every tie.
    lines : sequence of ndarray
    missing : ndarray, shape (m, 2)
        Where ties are to be put in.
    fewest : int
        No way of putting them in takes fewer.
    """

    widest: Circle
    apart: float
    allowed: float
    points: Floats
    lines: tuple[Floats, ...]
    missing: Floats
    fewest: int

    @property
    def enough(self) -> bool:
        """Whether nothing lies farther apart than it may."""
        return self.widest.across <= self.allowed * (1 + 1e-9)

    @property
    def too_many(self) -> bool:
        """Whether more ties are missing than are laid out; those that are do not hold it yet."""
        return len(self.missing) >= _MOST_TO_ADD


def pattern_ties(ground: Ground, how: Ties, apart: float | None = None) -> Floats:
    """Give the ties of a pattern, shape (n, 2), in the quilt's unit.

    Raises
    ------
    MeasureError
        When ties every so far have no distance, or so small a one that there is no end of them.

    Examples
    --------
    >>> pattern_ties(Ground((8, 8)), "grid", 4).tolist()
    [[2.0, 2.0], [6.0, 2.0], [2.0, 6.0], [6.0, 6.0]]
    >>> pattern_ties(Ground((8, 8)), "none").shape
    (0, 2)
    """
    if how == "centers":
        return _inside(ground, ground.blocks.mean(axis=1))
    if how == "crossings":
        corners = ground.blocks.reshape(-1, 2)
        # Corners that meet, or lie on both sides of a sashing's crossing, are tied once each.
        side = np.median(np.ptp(ground.blocks, axis=1)) if len(ground.blocks) else 1.0
        _, first = np.unique(np.round(corners / (0.1 * side)), axis=0, return_index=True)
        return _inside(ground, _apart_by(corners[np.sort(first)], 0.1 * side))
    if how == "grid":
        x, y = (_marks(side, _checked(apart, ground.size)) for side in ground.size)
        return np.stack(np.meshgrid(x, y), axis=-1).reshape(-1, 2)
    return np.zeros((0, 2))


def pattern_lines(ground: Ground, how: Lines, apart: float | None = None) -> tuple[Floats, ...]:
    """Give the quilting lines of a pattern, each through its points, in the quilt's unit.

    Examples
    --------
    >>> [line.tolist() for line in pattern_lines(Ground((8, 4)), "across", 2)]
    [[[0.0, 1.0], [8.0, 1.0]], [[0.0, 3.0], [8.0, 3.0]]]
    """
    if how == "blocks":
        return tuple(np.clip(np.vstack([each, each[:1]]), 0, ground.size) for each in ground.blocks)
    found: list[Floats] = []
    width, height = ground.size
    if how in ("across", "grid"):
        found += [np.array([[0, y], [width, y]]) for y in _marks(height, _checked(apart, ground.size))]
    if how in ("down", "grid"):
        found += [np.array([[x, 0], [x, height]]) for x in _marks(width, _checked(apart, ground.size))]
    return tuple(found)


def held(ground: Ground, points: Floats, lines: Sequence[Floats], *, apart: float, edge_holds: bool = True) -> Held:
    """Reckon how a quilt is held, and what is missing.

    Parameters
    ----------
    ground : Ground
    points : ndarray, shape (n, 2)
        Ties, in the quilt's unit.
    lines : sequence of ndarray, shape (m, 2)
        Quilting lines.
    apart : float
        How far apart the filling may be held, in the quilt's unit.
    edge_holds : bool
        Whether the edge is bound or sewn through.

    Examples
    --------
    >>> ground = Ground((16, 16))
    >>> found = held(ground, pattern_ties(ground, "grid", 4), (), apart=4, edge_holds=False)
    >>> round(found.widest.across, 3), found.enough, len(found.missing)
    (5.657, True, 0)
    >>> few = held(ground, pattern_ties(ground, "grid", 8), (), apart=4, edge_holds=False)
    >>> round(few.widest.across, 3), few.enough, len(few.missing) >= few.fewest > 0
    (11.314, False, True)
    """
    given = tuple(lines)
    widest = largest_empty(ground.size, points, given, edge_holds=edge_holds)
    allowed = apart if given else apart * sqrt(2)
    missing, fewest = np.zeros((0, 2)), 0
    if widest.across > allowed * (1 + 1e-9):
        width, height = ground.size
        edge = np.array([[0, 0], [width, 0], [width, height], [0, height], [0, 0]], dtype=np.float64)
        sites = (*given, edge) if edge_holds else given
        missing = farthest_first(ground.size, points, sites, allowed / 2, _MOST_TO_ADD)
        # One tie covers no more than a circle of half the width that is allowed.
        fewest = max(ceil(_bare(ground.size, points, sites, allowed / 2) / (np.pi * allowed**2 / 4)), 1)
    return Held(widest, apart, allowed, points, given, missing, fewest)


def _bare(size: tuple[float, float], points: Floats, lines: Sequence[Floats], reach: float) -> float:
    """The area that lies farther than a reach from all that holds."""
    import shapely  # slow to import: only where what holds is entered

    shapes = [*shapely.points(points), *(shapely.linestrings(each) for each in lines)]
    whole = shapely.box(0, 0, *size)
    if not shapes:
        return float(whole.area)
    # Grown by polygons drawn round their circles from outside, so that what is bare is never told too large.
    grown = shapely.union_all(shapely.buffer(shapes, reach / np.cos(np.pi / 32), quad_segs=8))
    return float(whole.difference(grown).area)


def _checked(apart: float | None, size: tuple[float, float]) -> float:
    if apart is None or not apart > 0:
        raise MeasureError("a pattern every so far", "no distance was entered", "measure from one to the next")
    if (size[0] / apart + 1) * (size[1] / apart + 1) > _MOST_PATTERN:
        raise MeasureError(
            f"a pattern every {apart:g}",
            f"more than {_MOST_PATTERN:,} ties on this quilt",
            "measure the distance again",
        )
    return apart


def _marks(side: float, apart: float) -> Floats:
    """Places so far apart along a side, as many at both ends."""
    count = max(int(side / apart + 1e-9), 1)
    return np.asarray((side - (count - 1) * apart) / 2 + apart * np.arange(count), dtype=np.float64)


def _inside(ground: Ground, points: Floats) -> Floats:
    if not len(ground.blocks):
        raise MeasureError("ties by blocks", "no block grid was read", "enter them every so far, or one by one")
    return points[((points >= 0) & (points <= ground.size)).all(axis=1)]


def _apart_by(points: Floats, least: float) -> Floats:
    kept: list[Floats] = []
    for each in points:
        if not kept or np.hypot(*(np.array(kept) - each).T).min() > least:
            kept.append(each)
    return np.array(kept).reshape(-1, 2)
