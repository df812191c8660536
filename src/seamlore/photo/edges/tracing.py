"""Follow each edge of the quilt closely, bows and all, once it is roughly known where the quilt lies."""

from __future__ import annotations

from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

from seamlore.photo.edges.ground import Floats, kinds_of, quilt_over_ground, share_of_kinds, with_shadows
from seamlore.photo.edges.network import SPOTS
from seamlore.photo.edges.sides import best_path, edge_strength
from seamlore.photo.frame import Frame

Numbers = NDArray[np.float64]

_COLUMNS = 320
# What an edge is worth beside how far it lies from where it was seen, and what a bend costs (tuned on rendered quilts;
# tried anew by `python -m judging.fitting.tuned`).
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
    return _trace(along, inward, shown, path)


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
    return _trace(along, inward, edge, path)


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
    return _trace(along, inward, edge, best_path(gain.astype(np.float32), _STIFFNESS_BY_GROUND))


def _strip(frame: Frame, side: int, margin: float) -> tuple[Numbers, Numbers, Numbers]:
    """Lay a strip along an edge: places along it, inward from it, and in the picture, shape (rows, columns, 2)."""
    rows = int(np.clip(2 * margin * length_across(frame, side), 24, 200))
    along = (np.arange(_COLUMNS) + 0.5) / _COLUMNS
    inward = ((np.arange(rows) + 0.5) / rows * 2 - 1) * margin
    grid = unit_points(side, along[None, :], inward[:, None])
    return along, inward, frame.to_photo(grid.reshape(-1, 2)).reshape(rows, _COLUMNS, 2)


def _trace(along: Numbers, inward: Numbers, strong: Floats, path: NDArray[np.int64]) -> Trace:
    """Make a trace of the row that was chosen in each column of a strip, set between rows where it is strongest."""
    fine = path + _peak_shift(strong, path)
    strength = strong[path, np.arange(len(path))].astype(np.float64)
    return Trace(along, np.interp(fine, np.arange(len(inward)), inward), strength)


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
