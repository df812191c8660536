"""The cover test: do outlines fill a frame with no gap and no overlap, and where do they not."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from seamlore.errors import ShapeError
from seamlore.plane.outline import Points

# A gap narrower than this part of the frame's side is the rounding of floats, not a fault in the piecing.
TOLERANCE = 1e-6


def check_cover(frame: Points, outlines: Sequence[Points], names: Sequence[str]) -> None:
    """Refuse outlines that do not cover a frame exactly.

    Parameters
    ----------
    frame : ndarray, shape (n, 2)
        What must be covered.
    outlines : sequence of ndarray, shape (m, 2)
        The patches.
    names : sequence of str
        What each patch is called in the message.

    Raises
    ------
    ShapeError
        Naming the patches and the place of the first patch that crosses itself, overlap, patch outside the
        frame, or gap; places are in the unit of the frame.

    Examples
    --------
    >>> square = np.array([[0.0, 0], [2, 0], [2, 2], [0, 2]])
    >>> left, right = square * [0.5, 1], square * [0.5, 1] + [1, 0]
    >>> check_cover(square, [left, right], ["left", "right"])
    >>> check_cover(square, [left], ["left"])
    Traceback (most recent call last):
        ...
    seamlore.errors.ShapeError: at (1.5, 1): a gap of 1 by 2: ...
    """
    from shapely import Polygon, STRtree, set_precision, union_all  # slow to import, and only used here

    side = float(np.ptp(frame, axis=0).max())
    least = TOLERANCE * side
    shapes = [Polygon(outline) for outline in outlines]
    for shape, name in zip(shapes, names, strict=True):
        if not shape.is_valid or shape.area < least * side:
            point = shape.centroid if shape.area else shape.exterior.interpolate(0)
            raise _fault(point, f"{name} crosses itself or has no area", "give its corners in order round the patch")
    # Edges that all but coincide (by the rounding of a square root of two) upset exact overlays, which then take a
    # whole patch for the overlap. On a grid a hundred times finer than what is tolerated they do coincide.
    shapes = list(set_precision(shapes, least / 100))
    tree = STRtree(shapes)
    for first, second in tree.query(shapes, predicate="intersects").T:
        if first >= second:
            continue
        common = shapes[first].intersection(shapes[second])
        if _thick(common, least):
            raise _fault(
                common.representative_point(),
                f"{names[first]} and {names[second]} overlap by {_extent(common)}",
                "move the seam so that each spot belongs to one patch",
            )
    whole = set_precision(Polygon(frame), least / 100)
    covered = union_all(shapes)
    outside = covered.difference(whole)
    if _thick(outside, least):
        raise _fault(
            outside.representative_point(), f"{_extent(outside)} outside the block", "keep patches inside it"
        )
    gap = whole.difference(covered)
    if _thick(gap, least):
        parts = sorted(getattr(gap, "geoms", [gap]), key=lambda part: -part.area)
        raise _fault(
            parts[0].representative_point(), f"a gap of {_extent(parts[0])}", "add the patch that is missing"
        )


def _thick(shape: object, least: float) -> bool:
    return bool(shape.area > 0 and not shape.buffer(-least / 2).is_empty)  # type: ignore[attr-defined]


def _extent(shape: object) -> str:
    left, top, right, bottom = shape.bounds  # type: ignore[attr-defined]
    return f"{right - left:.4g} by {bottom - top:.4g}"


def _fault(point: object, what: str, remedy: str) -> ShapeError:
    place = f"at ({point.x:.4g}, {point.y:.4g})"  # type: ignore[attr-defined]
    return ShapeError(what, "patches must cover the block with no gap and no overlap", remedy, where=place)
