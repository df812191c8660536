"""Follow each edge of the quilt closely, bows and all, once it is roughly known where the quilt lies."""

from __future__ import annotations

from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

from seamlore.errors import PhotoError
from seamlore.photo.bows import bow_at, bow_through
from seamlore.photo.edges import SPOTS
from seamlore.photo.frame import Corners, Frame, check_corners
from seamlore.photo.ground import Floats, kinds_of, quilt_over_ground, share_of_kinds, with_shadows
from seamlore.photo.sides import best_path, edge_strength

Numbers = NDArray[np.float64]

STATIONS = 5
_COLUMNS = 320
# What an edge is worth beside how far it lies from where it was seen, and what a bend costs (tuned on rendered quilts).
_EDGE_WORTH = 6.0
_AS_SEEN_SPOTS = 0.5
_STIFFNESS = 1.0
_CLIMB = 3
# The same where the ground tells: what an edge is worth in rows of plain evidence.
_EDGE_OVER_GROUND = 40.0
_STIFFNESS_BY_GROUND = 6.0
_BY_RIM = 0.25
# A binding is at most this part of the quilt; how strong its outer line must be beside the inner and the ground.
_BINDING = 0.014
_FAINT = 0.45
_CLEAR = 3.0
_UNSEEN = 0.02
_STIFFNESS_OF_SIGHT = 1.0


@dataclass(frozen=True)
class Trace:
    """One edge as followed: places along it in 0..1, how far inside the frame it lies there, and how strong it is.

    Offsets are parts of the quilt's width or height across the edge; the run is clockwise.
    """

    along: Numbers
    inward: Numbers
    strength: Numbers


def as_corners(points: Numbers) -> Corners:
    """Make four corners, as a frame keeps them, of an array of shape (4, 2)."""
    a, b, c, d = ((float(x), float(y)) for x, y in points)
    return a, b, c, d


def unit_points(side: int, along: Numbers, inward: Numbers) -> Numbers:
    """Turn places along side 0..3 (top, right, bottom, left, clockwise) into points of the unit square.

    Examples
    --------
    >>> unit_points(1, np.array([0.25]), np.array([0.0])).tolist()
    [[1.0, 0.25]]
    """
    s, d = np.broadcast_arrays(along, inward)
    u, v = ((s, d), (1 - d, s), (1 - s, 1 - d), (d, 1 - s))[side]
    return np.stack([u, v], axis=-1)


def trace_by_sight(frame: Frame, side: int, seen: Floats, shape: tuple[int, ...], margin: float) -> Trace:
    """Follow one edge along where it is seen, within a strip along where it is thought to be.

    Parameters
    ----------
    frame : Frame
        Of size (1, 1), in pixels of a picture of `shape`.
    side : int
        0..3: top, right, bottom, left.
    seen : ndarray of float32, shape (h', w')
        How likely the edge runs through each spot of the picture, which may be squeezed.
    shape : (height, width, ...)
    margin : float
        Half the width of the strip, as a part of the quilt across the edge.

    Returns
    -------
    Trace
    """
    along, inward, places = _strip(frame, side, margin)
    tall, wide = shape[:2]
    squeeze = np.array([seen.shape[1] / wide, seen.shape[0] / tall])
    shown = sampled(seen, (places + 0.5) * squeeze - 0.5)
    path = best_path(np.log(shown + _UNSEEN), _STIFFNESS_OF_SIGHT)
    each = np.arange(_COLUMNS)
    fine = path + _peak_shift(shown, path)
    return Trace(along, np.interp(fine, np.arange(len(inward)), inward), shown[path, each].astype(np.float64))


def trace_by_steps(frame: Frame, side: int, lab: Floats, margin: float) -> Trace:
    """Follow one edge along the steps of the photograph near where it was seen.

    Parameters
    ----------
    frame : Frame
        Of size (1, 1), in pixels of `lab`.
    side : int
    lab : ndarray of float32, shape (h, w, 3)
    margin : float
        Half the width of the strip, as a part of the quilt across the edge.

    Returns
    -------
    Trace
    """
    along, inward, places = _strip(frame, side, margin)
    edge = edge_strength(sampled(lab, places), along_px=4.0, across_px=1.0)
    spot_px = lab.shape[1 if side % 2 else 0] / SPOTS
    near = 0.5 * (inward * length_across(frame, side) / (_AS_SEEN_SPOTS * spot_px)) ** 2
    path = best_path((_EDGE_WORTH * edge - near[:, None]).astype(np.float32), _STIFFNESS)
    each = np.arange(_COLUMNS)
    # A strong step is wide: its middle is where it is steepest.
    around = np.clip(path + np.arange(-_CLIMB, _CLIMB + 1)[:, None], 0, len(edge) - 1)
    path = around[edge[around, each].argmax(axis=0), each]
    fine = path + _peak_shift(edge, path)
    return Trace(along, np.interp(fine, np.arange(len(inward)), inward), edge[path, each].astype(np.float64))


def trace_by_ground(frame: Frame, side: int, lab: Floats, said: Floats, margin: float) -> Trace:
    """Follow one edge by what the ground looks like, within a strip along where it is thought to be.

    Parameters
    ----------
    frame : Frame
        Of size (1, 1), in pixels of `lab`.
    side : int
        0..3: top, right, bottom, left.
    lab : ndarray of float32, shape (h, w, 3)
    said : ndarray of float32, shape (h', w')
        Log of quilt over ground, on a smaller picture of the same photograph.
    margin : float
        Half the width of the strip, as a part of the quilt across the edge.

    Returns
    -------
    Trace
    """
    along, inward, places = _strip(frame, side, margin)
    strip = sampled(lab, places)
    small = sampled(said, (places + 0.5) * (said.shape[1] / lab.shape[1]) - 0.5)
    evidence = _BY_RIM * small + (1 - _BY_RIM) * _told_by_the_strip(strip)
    edge = edge_strength(strip, along_px=4.0, across_px=1.0)
    gain = _EDGE_OVER_GROUND * edge - np.vstack(
        [np.zeros((1, _COLUMNS), np.float32), np.cumsum(evidence, axis=0)[:-1]]
    )
    path = best_path(gain.astype(np.float32), _STIFFNESS_BY_GROUND)
    each = np.arange(_COLUMNS)
    fine = path + _peak_shift(edge, path)
    return Trace(along, np.interp(fine, np.arange(len(inward)), inward), edge[path, each].astype(np.float64))


def _strip(frame: Frame, side: int, margin: float) -> tuple[Numbers, Numbers, Numbers]:
    """Lay a strip along an edge: places along it, inward from it, and in the picture, shape (rows, columns, 2)."""
    rows = int(np.clip(2 * margin * length_across(frame, side), 24, 200))
    along = (np.arange(_COLUMNS) + 0.5) / _COLUMNS
    inward = ((np.arange(rows) + 0.5) / rows * 2 - 1) * margin
    grid = unit_points(side, along[None, :], inward[:, None])
    return along, inward, frame.to_photo(grid.reshape(-1, 2)).reshape(rows, _COLUMNS, 2)


def sampled(picture: Floats, places: Numbers) -> Floats:
    x, y = places[..., 0].astype(np.float32), places[..., 1].astype(np.float32)
    return np.asarray(cv2.remap(picture, x, y, cv2.INTER_LINEAR, borderMode=cv2.BORDER_REPLICATE), dtype=np.float32)


def _told_by_the_strip(strip: Floats) -> Floats:
    # Next to the edge the ground is in the same light as the quilt, which the rim of the picture may not be.
    kinds = kinds_of(strip)
    third = max(len(strip) // 3, 1)
    anything = share_of_kinds(kinds, blurred=3)
    outside = with_shadows(share_of_kinds(kinds[:third])) * 0.8 + 0.2 * anything
    inside = share_of_kinds(kinds[-third:]) * 0.8 + 0.2 * anything
    return quilt_over_ground(kinds, inside, outside)


def _peak_shift(edge: Floats, path: NDArray[np.int64]) -> Numbers:
    each = np.arange(edge.shape[1])
    middle = np.clip(path, 1, len(edge) - 2)
    low, here, high = edge[middle - 1, each], edge[middle, each], edge[middle + 1, each]
    bend = low - 2 * here + high
    peak = (here >= low) & (here >= high) & (bend < 0) & (middle == path)
    shift = np.where(peak, 0.5 * (low - high) / np.where(bend < 0, bend, -1.0), 0.0)
    return np.asarray(np.clip(shift, -0.5, 0.5), dtype=np.float64)


def outer_line(frame: Frame, side: int, lab: Floats) -> float:
    """Look for a fainter line just outside an edge: a binding that resembles the ground hides the true edge.

    Parameters
    ----------
    frame : Frame
        Of size (1, 1), in pixels of `lab`, its edges well followed.
    side : int
    lab : ndarray of float32, shape (h, w, 3)

    Returns
    -------
    float
        How far outside the edge the line lies, as a part of the quilt across the edge; 0 when there is none.
    """
    across = length_across(frame, side)
    step = min(0.5 / across, 0.001)
    inward = np.arange(-_BINDING - 0.006, 0.006, step)
    along = (np.arange(_COLUMNS) + 0.5) / _COLUMNS
    grid = unit_points(side, along[None, :], inward[:, None])
    strip = sampled(lab, frame.to_photo(grid.reshape(-1, 2)).reshape(len(inward), _COLUMNS, 2))
    calm = cv2.GaussianBlur(strip, (0, 0), sigmaX=0.1, sigmaY=1.6)
    steps = np.gradient(calm, axis=0) / (step * across)
    # Signed steps averaged over an eighth of the side: weave and prints cancel, a sewn edge does not.
    eighths = steps.reshape(len(inward), 8, -1, 3).mean(axis=2)
    profile = np.linalg.norm(eighths, axis=-1).mean(axis=1)
    here = profile[np.abs(inward) < 0.003].max()
    floor = np.median(profile[inward < -_BINDING])
    outside = np.flatnonzero((inward > -_BINDING) & (inward < -0.002))
    peaks = [
        i
        for i in outside
        if profile[i] >= profile[i - 1]
        and profile[i] > profile[i + 1]
        and profile[i] > max(_FAINT * here, _CLEAR * floor, 0.4)
    ]
    return float(-inward[peaks[0]]) if peaks else 0.0


def length_across(frame: Frame, side: int) -> float:
    sides = np.linalg.norm(np.roll(np.asarray(frame.corners), -1, axis=0) - np.asarray(frame.corners), axis=1)
    return float((sides[(side + 1) % 4] + sides[side - 1]) / 2)


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
    trust = np.ones_like(weight)
    for _ in range(12):
        w = weight * trust
        normal = matrix.T @ (matrix * w[:, None]) + stiff + 1e-9 * np.eye(STATIONS + 2)
        solved = np.asarray(np.linalg.solve(normal, matrix.T @ (w * trace.inward)), dtype=np.float64)
        miss = (trace.inward - matrix @ solved) / noise
        trust = 1 / (1 + miss**2)
    return Curve(float(solved[0]), float(solved[1]), tuple(float(b) for b in solved[2:])), trust


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
            _bow(frame, plain, side, trace, trust)
            for side, (trace, (_, trust)) in enumerate(zip(traces, fitted, strict=True))
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


def _bow(frame: Frame, plain: Frame, side: int, trace: Trace | None, trust: Numbers | None) -> tuple[float, ...]:
    if trace is None or trust is None:
        return ()
    good = trust > 0.2
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
