"""Lay a frame through edges that were followed: smooth curves, the corners where they meet, and their bows."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from seamlore.errors import PhotoError
from seamlore.photo.bows import bow_at, bow_through
from seamlore.photo.edges.ground import Floats
from seamlore.photo.edges.tracing import Trace, length_across, outer_line, trace_by_steps, unit_points
from seamlore.photo.frame import Corners, Frame, check_corners

Numbers = NDArray[np.float64]

STATIONS = 5


def as_corners(points: Numbers) -> Corners:
    """Make four corners, as a frame keeps them, of an array of shape (4, 2)."""
    a, b, c, d = ((float(x), float(y)) for x, y in points)
    return a, b, c, d


@dataclass(frozen=True)
class Curve:
    """A smooth edge: a line and a bow on it, as inward offsets along 0..1."""

    start: float
    slope: float
    bow: tuple[float, ...]

    def at(self, along: Numbers) -> Numbers:
        """Give the inward offset; beyond the corners the line goes on straight."""
        return self.start + self.slope * along + bow_at(self.bow, along)


def fit_curve(trace: Trace, noise: float) -> tuple[Curve, Numbers]:
    """Fit a smooth edge, letting what lies over it (a shoe, a tape measure) count little.

    Parameters
    ----------
    trace : Trace
    noise : float
        How far a good trace scatters, in the trace's parts.

    Returns
    -------
    Curve, ndarray
        The weight that each place ended with, 0..1.
    """
    shapes = [np.ones_like(trace.along), trace.along]
    shapes += [bow_at(tuple(np.eye(STATIONS)[i]), trace.along) for i in range(STATIONS)]
    matrix = np.column_stack(shapes)
    # Bends cost a little, so that a few wild places do not make a wave.
    bend = np.diff(np.vstack([np.zeros(STATIONS), np.eye(STATIONS), np.zeros(STATIONS)]), 2, axis=0)
    stiff = np.zeros((STATIONS + 2, STATIONS + 2))
    stiff[2:, 2:] = bend.T @ bend * 2.0
    weight = trace.strength + 0.05
    solved: Numbers = np.zeros(STATIONS + 2)
    robust = np.ones_like(weight)
    for _ in range(12):
        w = weight * robust
        normal = matrix.T @ (matrix * w[:, None]) + stiff + 1e-9 * np.eye(STATIONS + 2)
        solved = np.asarray(np.linalg.solve(normal, matrix.T @ (w * trace.inward)), dtype=np.float64)
        miss = (trace.inward - matrix @ solved) / noise
        robust = 1 / (1 + miss**2)
    return Curve(float(solved[0]), float(solved[1]), tuple(float(b) for b in solved[2:])), robust


def refit(frame: Frame, traces: list[Trace | None], noise_px: float) -> Frame:
    """Lay corners and bows anew through edges that were followed.

    Parameters
    ----------
    frame : Frame
        That the edges were followed by, of size (1, 1).
    traces : list of four Trace or None
        None for an edge that is to stay where it is.
    noise_px : float
        How far a good trace scatters.

    Returns
    -------
    Frame
        Of size (1, 1); the one given when the edges followed make no quilt.
    """
    across = [length_across(frame, side) for side in range(4)]
    none = Curve(0.0, 0.0, ())
    fitted = [fit_curve(t, noise_px / across[k]) if t is not None else (none, None) for k, t in enumerate(traces)]
    curves = [curve for curve, _ in fitted]
    corners = frame.to_photo(np.array([_crossing(curves, side) for side in range(4)]))
    try:
        plain = Frame(as_corners(corners), (1.0, 1.0))
        bows = [
            _bow(frame, plain, side, trace, robust)
            for side, (trace, (_, robust)) in enumerate(zip(traces, fitted, strict=True))
        ]
        return Frame(plain.corners, (1.0, 1.0), (bows[0], bows[1], bows[2][::-1], bows[3][::-1]))
    except PhotoError:
        return frame


def grown(frame: Frame, outward: list[float]) -> Frame:
    """Move each edge outward, parallel to itself, by a part of the quilt across it.

    Parameters
    ----------
    frame : Frame
        Of size (1, 1).
    outward : list of four float
        For the top, right, bottom and left.

    Returns
    -------
    Frame
    """
    curves = [Curve(-by, 0.0, ()) for by in outward]
    moved = frame.to_photo(np.array([_crossing(curves, side) for side in range(4)]))
    return Frame(as_corners(moved), (1.0, 1.0), frame.bows)


def _crossing(curves: list[Curve], side: int) -> Numbers:
    """Where side `side` begins: it meets the side before it."""
    before = curves[side - 1]
    here = curves[side]
    along, last = 0.0, 1.0
    for _ in range(20):
        inward = float(here.at(np.array(along)))
        last = 1 - inward
        along = float(before.at(np.array(last)))
    return unit_points(side, np.array(along), here.at(np.array(along)))


def _bow(frame: Frame, plain: Frame, side: int, trace: Trace | None, robust: Numbers | None) -> tuple[float, ...]:
    if trace is None or robust is None:
        return ()
    good = robust > 0.2
    if good.sum() < 0.3 * len(good):
        return ()
    points = frame.to_photo(unit_points(side, trace.along[good], trace.inward[good]))
    u, v = plain.to_quilt(points).T
    along, outward = ((u, -v), (v, u - 1), (1 - u, v - 1), (1 - v, -u))[side]
    return bow_through(along, outward, STATIONS)


def meeting(one: Numbers, two: Numbers) -> Numbers:
    """Give where two lines meet, each given by two points of it."""
    along = one[1] - one[0]
    other = two[1] - two[0]
    gap = two[0] - one[0]
    part = (gap[0] * other[1] - gap[1] * other[0]) / (along[0] * other[1] - along[1] * other[0])
    return np.asarray(one[0] + part * along)


def is_quilt(quad: Numbers) -> bool:
    """Tell whether four corners can be those of a quilt."""
    try:
        check_corners(quad)
    except PhotoError:
        return False
    return True


def bound(frame: Frame, fine: Floats, at_rim: NDArray[np.bool_]) -> Frame:
    """Take in a binding whose outer edge is fainter than its inner one; edges at the picture's rim stay."""
    shifts = [0.0 if at_rim[side] else outer_line(frame, side, fine) for side in range(4)]
    if max(shifts) == 0:
        return frame
    bound = grown(frame, shifts)
    return refit(
        bound, [None if at_rim[side] else trace_by_steps(bound, side, fine, 0.004) for side in range(4)], 1.5
    )
