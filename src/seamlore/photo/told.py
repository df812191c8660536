"""A grid that keeps to what she has counted herself, whether or not the picture speaks for it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from seamlore.photo.candidates import Candidate, Sight
from seamlore.photo.extents import Axis, AxisView

Floats = NDArray[np.float64]

# So many of the likeliest grids lend their ends to one with other counts.
_LENDERS = 12


def agrees(candidate: Candidate, rows: int | None, columns: int | None, on_point: bool | None) -> bool:
    """Tell whether a candidate keeps to counts and setting; None leaves one open."""
    return (
        (rows is None or candidate.down.count == rows)
        and (columns is None or candidate.across.count == columns)
        and (on_point is None or candidate.on_point == on_point)
    )


def keeping(
    sight: Sight,
    found: Sequence[Candidate],
    shares: Floats,
    rows: int | None,
    columns: int | None,
    on_point: bool | None,
) -> Candidate | None:
    """Make the grid that keeps to counts and setting and fits the seams best.

    Parameters
    ----------
    sight : Sight
        The picture.
    found : sequence of Candidate
        The grids that it may have.
    shares : ndarray, shape (candidates,)
        The probability of each.
    rows, columns, on_point : optional
        What was counted; None leaves it to the picture.

    Returns
    -------
    Candidate or None
        None when nothing at all repeats and a count is left open.
    """
    order: list[Candidate] = [found[k] for k in np.argsort(-shares, kind="stable")]
    for candidate in order:
        if agrees(candidate, rows, columns, on_point):
            return candidate
    order = [c for c in order if on_point is None or c.on_point == on_point] or order
    if not order:
        return None
    best = order[0]
    across = _with_count(sight.views[0], [c.across for c in order], columns or best.across.count)
    down = _with_count(sight.views[1], [c.down for c in order], rows or best.down.count)
    point = best.on_point if on_point is None else on_point
    return replace(best, across=across, down=down, on_point=point)


def _with_count(seen: AxisView, axes: Sequence[Axis], count: int) -> Axis:
    """Give the likeliest grid of a count along one axis; else divide what another covers, or all, by the count."""
    for axis in axes:
        if axis.count == count:
            return axis
    length = len(seen.profile)
    bare = replace(axes[0], first=0.0, pitch=length / count, gap=0.0, count=count, strip=1.0)
    tries = [bare]
    for axis in axes[:_LENDERS]:
        pitch = (axis.last - axis.first + axis.gap) / count
        gap = min(axis.gap, 0.4 * pitch)
        tries.append(replace(axis, pitch=(axis.last - axis.first + gap) / count, gap=gap, count=count))
    return max(tries, key=lambda axis: _seen_on(seen, axis))


def _seen_on(seen: AxisView, axis: Axis) -> float:
    """Say how far seams go right through on the lines of a grid, those at the quilt's own edge left out."""
    lines = axis.spans.ravel()
    lines = lines[(lines > 3) & (lines < len(seen.wide) - 3)]
    return float(seen.wide[np.round(lines).astype(int)].mean()) if len(lines) else 0.0
