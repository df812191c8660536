"""Corners set by the edges right beside them.

An edge is followed along its whole length, and a curve through all of it does not always end where the quilt does:
a soft shadow or a thing that lies on the edge draws it aside. Here a straight line is laid along the last part of each
edge, on sharp steps alone, and each corner is where two such lines meet.
"""

from __future__ import annotations

from functools import lru_cache

import cv2
import numpy as np
from numpy.typing import NDArray

from seamlore.errors import PhotoError
from seamlore.photo.bows import bow_through
from seamlore.photo.edges.framing import STATIONS, as_corners
from seamlore.photo.edges.ground import Floats
from seamlore.photo.edges.tracing import length_across, sampled, unit_points
from seamlore.photo.frame import Corners, Frame

Numbers = NDArray[np.float64]

# How far to either side a line is looked for, and along how much of the edge, in parts of the quilt.
_REACH = 0.008
_SPAN = 0.16
_PLACES = 48
_ROWS = 71
# Of two lines the outer one is the edge, when it is at least so strong beside the strongest: a binding has two.
_FAINT = 0.75
# A line that is hardly weaker than any other is left where it was followed.
_AS_GOOD = 0.95
_STRONGEST = 8.0  # CIELAB in one pixel; beyond it an edge is no edgier
_PULL = 1.0  # how much weaker a line counts the farther it lies from where the edge was followed
_LEAN = 0.35  # of the strip, that a line may cross it slanting


def set_tips(frame: Frame, lab: Floats, fixed: NDArray[np.bool_]) -> Frame:
    """Move each corner to where the edges beside it meet.

    Parameters
    ----------
    frame : Frame
        Of size (1, 1), in pixels of `lab`, its edges followed.
    lab : ndarray of float32, shape (h, w, 3)
        The photograph in CIELAB, not much shrunk: shadows are soft there and edges sharp.
    fixed : ndarray of bool, shape (4,)
        Sides (top, right, bottom, left) that are the picture's own rim; corners on them stay.

    Returns
    -------
    Frame
        Its edges run as before but at their ends; the one given when the new corners make no quilt.

    Examples
    --------
    >>> lab = np.full((900, 1200, 3), 70, np.float32)
    >>> lab[180:720, 240:960] = 60
    >>> near = Frame(((241.0, 177.5), (961.5, 180.5), (957.5, 721.0), (241.5, 718.0)), (1.0, 1.0))
    >>> found = np.array(set_tips(near, lab, np.zeros(4, bool)).corners)
    >>> bool(np.abs(found - [(239.5, 179.5), (959.5, 179.5), (959.5, 719.5), (239.5, 719.5)]).max() < 1)
    True
    """
    ends = [
        [None if fixed[side] else _line(frame, side, lab, at_end) for at_end in (False, True)] for side in range(4)
    ]
    corners = np.asarray(frame.corners, dtype=np.float64).copy()
    most = 1.5 * _REACH * max(length_across(frame, side) for side in range(4))
    for corner in range(4):
        before, after = ends[corner - 1][1], ends[corner][0]
        if before is None or after is None:
            continue
        met = _meeting(before, after)
        if met is not None and float(np.linalg.norm(met - corners[corner])) < most:
            corners[corner] = met
    try:
        return _with_corners(frame, as_corners(corners))
    except PhotoError:
        return frame


def _line(frame: Frame, side: int, lab: Floats, at_end: bool) -> Numbers:
    """Lay a line along the first or last part of an edge; two points of it."""
    along = np.linspace(1 - _SPAN, 0.99, _PLACES) if at_end else np.linspace(0.01, _SPAN, _PLACES)
    inward = np.linspace(-_REACH, _REACH, _ROWS)
    grid = unit_points(side, along[None, :], inward[:, None])
    places = frame.to_photo(grid.reshape(-1, 2)).reshape(_ROWS, _PLACES, 2)
    step_px = 2 * _REACH * length_across(frame, side) / (_ROWS - 1)
    calm = cv2.GaussianBlur(sampled(lab, places), (0, 0), sigmaX=0.8, sigmaY=max(0.5, 0.8 / step_px))
    slope = np.gradient(calm, axis=0) / np.float32(step_px)
    strong, first, last = _strength(slope)
    middle = _ROWS // 2
    off = ((first - middle) ** 2 + (last - middle) ** 2) / (2 * (0.6 * middle) ** 2)
    strong = strong * np.exp(-_PULL * off)
    chosen = _outermost(strong, first, last)
    if strong[(abs(first - middle) <= 1) & (abs(last - middle) <= 1)].max() >= _AS_GOOD * strong[chosen]:
        return places[middle, [0, -1]]
    return np.stack([places[first[chosen], 0], places[last[chosen], -1]])


def _strength(slope: Floats) -> tuple[Numbers, NDArray[np.intp], NDArray[np.intp]]:
    """Say how strong the edge is along every line across a strip that is not too slanting: strength, first, last row.

    Steps are averaged with their signs over a sixth of the line: weave and prints cancel, an edge does not.
    """
    first, last, places = _lines()
    sixths = np.take(slope.reshape(-1, 3), places, axis=0).mean(axis=0)
    strong = np.minimum(np.linalg.norm(sixths, axis=-1), _STRONGEST).mean(axis=1).astype(np.float64)
    return strong, first, last


@lru_cache(maxsize=1)
def _lines() -> tuple[NDArray[np.intp], NDArray[np.intp], NDArray[np.intp]]:
    """List the lines across a strip: first row, last row, and the places of the strip that each runs through.

    Places are counted in reading order, shape (places in a sixth, lines, sixths).
    """
    rows = np.arange(_ROWS)
    first, last = (each.ravel() for each in np.meshgrid(rows, rows, indexing="ij"))
    upright = np.abs(first - last) < _LEAN * _ROWS
    first, last = first[upright], last[upright]
    part = np.linspace(0, 1, _PLACES)
    row = np.rint(first[:, None] * (1 - part) + last[:, None] * part).astype(np.intp)
    places = (row * _PLACES + np.arange(_PLACES)).reshape(len(first), 6, -1)
    return first, last, np.ascontiguousarray(places.transpose(2, 0, 1))


def _outermost(strong: Numbers, first: NDArray[np.intp], last: NDArray[np.intp]) -> int:
    """Choose the outermost line that is strong, and stronger than those next to it."""
    good = np.flatnonzero(strong > _FAINT * strong.max())
    for k in good[np.argsort((first + last)[good], kind="stable")]:
        near = (np.abs(first - first[k]) <= 2) & (np.abs(last - last[k]) <= 2)
        if strong[k] >= strong[near].max():
            return int(k)
    return int(strong.argmax())


def _meeting(one: Numbers, two: Numbers) -> Numbers | None:
    along, other, gap = one[1] - one[0], two[1] - two[0], two[0] - one[0]
    cross = along[0] * other[1] - along[1] * other[0]
    if abs(cross) < 1e-6 * float(np.linalg.norm(along) * np.linalg.norm(other)):
        return None
    part = (gap[0] * other[1] - gap[1] * other[0]) / cross
    return np.asarray(one[0] + part * along)


def _with_corners(frame: Frame, corners: Corners) -> Frame:
    """Give the frame other corners; between them its edges run through the same places."""
    plain = Frame(corners, (1.0, 1.0))
    along = np.linspace(0.2, 0.8, 4 * STATIONS)
    bows: list[tuple[float, ...]] = []
    for side in range(4):
        if not frame.bows[side]:
            bows.append(())
            continue
        places = frame.to_photo(unit_points(side, along, np.zeros(len(along))))
        u, v = plain.to_quilt(places).T
        run, outward = ((u, -v), (v, u - 1), (1 - u, v - 1), (1 - v, -u))[side]
        bows.append(bow_through(run, outward, STATIONS))
    return Frame(corners, (1.0, 1.0), (bows[0], bows[1], bows[2][::-1], bows[3][::-1]))
