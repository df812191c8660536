"""Find a quilt's edges where the trained network sees them (`seamlore.photo.edges.network`).

Straight lines are laid through what it says, then each edge is followed along that, and at last along the sharp steps
of the photograph itself.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from seamlore.photo.edges.framing import as_corners, bound, is_quilt, meeting, refit
from seamlore.photo.edges.ground import Floats
from seamlore.photo.edges.network import SPOTS, SeenEdges
from seamlore.photo.edges.sides import best_ridge, from_turned, turned
from seamlore.photo.edges.tracing import trace_by_sight, trace_by_steps
from seamlore.photo.frame import Frame

Numbers = NDArray[np.float64]

# An edge that is seen less well than this along its whole length is not in the picture.
_NOT_SEEN = 0.2


def edges_by_sight(seen: SeenEdges, fine: Floats) -> tuple[Frame, Numbers, NDArray[np.bool_]] | None:
    """Find the edges.

    Parameters
    ----------
    seen : SeenEdges
    fine : ndarray of float32, shape (h, w, 3)
        The same photograph in CIELAB, about 1000 px long.

    Returns
    -------
    Frame
        Of size (1, 1), in pixels of `fine`.
    ndarray, shape (4,)
        How well each edge (top, right, bottom, left) is seen on average, 0..1.
    ndarray of bool, shape (4,)
        Which edges are the picture's own rim, because none is seen.

    None when what is seen makes no quilt.
    """
    rough, at_rim = _roughly(seen)
    tall, wide = fine.shape[:2]
    quad = (rough + 0.5) * [wide / SPOTS, tall / SPOTS] - 0.5
    if at_rim.all() or not is_quilt(quad):
        return None
    frame = Frame(as_corners(quad), (1.0, 1.0))
    every = [side for side in range(4) if not at_rim[side]]
    for margin in (0.04, 0.015):
        sights = {side: trace_by_sight(frame, side, seen.edges[side], fine.shape, margin) for side in every}
        frame = refit(frame, [sights.get(side) for side in range(4)], 1.5)
    steps = {side: trace_by_steps(frame, side, fine, 0.009) for side in every}
    frame = bound(refit(frame, [steps.get(side) for side in range(4)], 1.5), fine, at_rim)
    return frame, np.array([sights[k].strength.mean() if k in sights else 0.0 for k in range(4)]), at_rim


def _roughly(seen: SeenEdges) -> tuple[Numbers, NDArray[np.bool_]]:
    """Lay a straight line through each edge as it is seen; where none is, the line is the picture's own rim.

    Gives the corners in spots of the network's picture, shape (4, 2), and which sides are the rim's.
    """
    lines, at_rim = [], np.zeros(4, dtype=bool)
    last = SPOTS - 1.0
    for side in range(4):
        ridge = turned(seen.edges[side], side)
        y0, y1, strength = best_ridge(ridge)
        # As much of the side as the quilt is wide there.
        wide = turned(seen.quilt, side).max(axis=0).sum()
        if strength / max(wide, 1.0) < _NOT_SEEN:
            at_rim[side] = True
            y0 = y1 = -0.5
        lines.append(np.array([from_turned(point, side, (SPOTS, SPOTS)) for point in ((0.0, y0), (last, y1))]))
    return np.array([meeting(lines[side - 1], lines[side]) for side in range(4)]), at_rim
