"""How sure it is that an edge found is the quilt's: what speaks for it, weighed on rendered quilts."""

from __future__ import annotations

import cv2
import numpy as np
from numpy.typing import NDArray

from seamlore.photo.edges.ground import Floats, Mask, Scene, kinds_of, overlap, share_of_kinds
from seamlore.photo.edges.tracing import length_across, sampled, unit_points
from seamlore.photo.frame import Frame

Numbers = NDArray[np.float64]

_COLUMNS = 320
_PARTS = 16
_STRIP = 0.045


def inside_mask(frame: Frame, shape: tuple[int, int]) -> Mask:
    """Mark the pixels inside a frame."""
    mask = np.zeros(shape, np.uint8)
    top, right, bottom, left = frame.edges_px()
    outline = np.concatenate([top, right, bottom[::-1], left[::-1]])
    cv2.fillPoly(mask, [outline.round().astype(np.int32)], 1)
    return np.asarray(mask > 0)


def regions_beyond(frame: Frame, shape: tuple[int, int]) -> list[Mask]:
    """Mark what lies beyond each edge, out to the rim of the picture; a place beyond two counts for both."""
    y, x = np.mgrid[0 : shape[0], 0 : shape[1]]
    here = frame.to_quilt(np.column_stack([x.ravel(), y.ravel()]))
    u, v = here[:, 0].reshape(shape), here[:, 1].reshape(shape)
    slack = 0.01
    return [v < -slack, u > 1 + slack, v > 1 + slack, u < -slack]


def evidence(frame: Frame, fine: Floats, scene: Scene, maps: list[Floats]) -> Numbers:
    """Gather what speaks for each edge.

    Parameters
    ----------
    frame : Frame
        Of size (1, 1), in pixels of `fine`.
    fine : ndarray of float32, shape (h, w, 3)
    scene : Scene
        The same photograph, smaller.
    maps : list of four ndarrays
        Log of quilt over ground as each side of the scene knows it.

    Returns
    -------
    ndarray, shape (4, 7)
        For the top, right, bottom and left: how clear the line is beside others near it; in what part of its
        length it is clear; how alike the cloth just inside and the ground just outside are; how alike quilt and
        ground are; how much likelier inside is quilt than outside; how deep the ground is; how alike the
        grounds beyond this edge and beyond the others are.
    """
    small = frame.straightened().scaled(scene.shape[1] / fine.shape[1])
    beyond = regions_beyond(small, scene.shape)
    outside = beyond[0] | beyond[1] | beyond[2] | beyond[3]
    quilt = share_of_kinds(scene.kinds, inside_mask(small, scene.shape))
    rows = []
    for side in range(4):
        clear, part, alike, gain = _along_the_edge(frame, side, fine, maps[side])
        here = share_of_kinds(scene.kinds, beyond[side])
        others = share_of_kinds(scene.kinds, outside & ~beyond[side])
        depth = beyond[side].sum() / max(inside_mask(small, scene.shape).sum(), 1)
        rows.append([clear, part, alike, overlap(here, quilt), gain, min(float(depth), 0.3), overlap(here, others)])
    return np.array(rows)


def _along_the_edge(frame: Frame, side: int, fine: Floats, said: Floats) -> tuple[float, float, float, float]:
    across = length_across(frame, side)
    count = int(np.clip(2 * _STRIP * across, 30, 120))
    inward = ((np.arange(count) + 0.5) / count * 2 - 1) * _STRIP
    along = (np.arange(_COLUMNS) + 0.5) / _COLUMNS
    places = frame.to_photo(unit_points(side, along[None, :], inward[:, None]).reshape(-1, 2)).reshape(count, -1, 2)
    strip = sampled(fine, places)
    calm = cv2.GaussianBlur(strip, (0, 0), sigmaX=0.5, sigmaY=1.2)
    steps = np.gradient(calm, axis=0).reshape(count, _PARTS, -1, 3).mean(axis=2)
    sizes = np.linalg.norm(steps, axis=-1)
    near = np.abs(inward) < 0.006
    usual = np.median(sizes, axis=0) + 0.1
    peak = sizes[near].max(axis=0)
    clear = float(np.log((peak + 0.01) / usual).mean())
    part = float((peak > 2 * usual).mean())
    kinds = kinds_of(strip)
    outer, inner = inward < -0.008, inward > 0.008
    alike = overlap(share_of_kinds(kinds[outer]), share_of_kinds(kinds[inner]))
    told = sampled(said, (places + 0.5) * (said.shape[1] / fine.shape[1]) - 0.5)
    return clear, part, alike, float(told[inner].mean() - told[outer].mean())


# A logistic model of whether an edge lies within 1.2 % of the quilt's width of the true one: a constant and one
# weight for each kind of evidence. Fitted on 2,300 edges of 300 rendered quilts, half of them cropped so that
# some edges lie beyond the picture; on those held out it caught 74 % of false edges and lost 3 % of true ones. All
# figures of this module are fitted anew by `python -m judging.fitting.edges`.
_WEIGHTS = np.array([-5.645, -0.655, 2.375, 0.007, -3.795, 1.137, 7.398, 1.825])


# An edge so unlikely, between two regions so alike, is taken for a seam inside the quilt (tuned as above).
_NO_EDGE = 0.2
_SAME_CLOTH = 0.58


def edge_chances(gathered: Numbers) -> Numbers:
    """Give the chance that each edge is the quilt's.

    Parameters
    ----------
    gathered : ndarray, shape (4, 7)
        See `evidence`.

    Returns
    -------
    ndarray, shape (4,)
        0..1.

    Examples
    --------
    >>> clear = [2.5, 1.0, 0.05, 0.05, 5.0, 0.1, 0.9]
    >>> edge_chances(np.array([clear, [0.8, 0.4, 0.9, 0.9, 0.2, 0.1, 0.4]])).round(2).tolist()
    [0.95, 0.0]
    """
    return np.asarray(1 / (1 + np.exp(-(_WEIGHTS[0] + gathered @ _WEIGHTS[1:]))))


def looks_like_quilt_beyond(gathered: Numbers) -> NDArray[np.bool_]:
    """Tell at which sides the quilt seems to go on beyond the edge found, so that no edge is in the picture.

    Parameters
    ----------
    gathered : ndarray, shape (4, 7)

    Returns
    -------
    ndarray of bool, shape (4,)
    """
    nothing_beyond = gathered[:, 5] < 0.01
    return np.asarray((edge_chances(gathered) < _NO_EDGE) & ((gathered[:, 3] > _SAME_CLOTH) | nothing_beyond))


def confidence(chances: Numbers, touches: NDArray[np.bool_]) -> float:
    """Give the chance that all four corners are within 1 % of the quilt's width.

    Read off the share of right answers among 300 rendered quilts, by the product of their edges' chances; on
    real photographs it is only a guide.

    Parameters
    ----------
    chances : ndarray, shape (4,)
    touches : ndarray of bool, shape (4,)
        Edges at the rim of the picture: half of those go on beyond it.

    Returns
    -------
    float
        0..1.

    Examples
    --------
    >>> confidence(np.ones(4), np.zeros(4, bool)), confidence(np.zeros(4), np.ones(4, bool))
    (0.95, 0.09)
    """
    product = float(np.prod(chances[~touches]))
    alone = float(np.interp(product, [0.0, 0.1, 0.4, 0.6, 1.0], [0.15, 0.35, 0.7, 0.85, 0.95]))
    return _with_touches(alone, touches)


_ENDS_AT_RIM = 0.55
# The share of edges within 1.2 % of the quilt's width, by how well they are seen: 930 edges of rendered quilts, a quarter
# of them cropped.
_SEEN = ((0.3, 0.05), (0.65, 0.4), (0.85, 0.72), (0.92, 0.98), (0.97, 0.995))


def confidence_by_sight(seen: Numbers, touches: NDArray[np.bool_]) -> float:
    """Give the chance that all four corners are within 1 % of the quilt's width, when the network saw the edges.

    Parameters
    ----------
    seen : ndarray, shape (4,)
        How well each edge is seen on average, 0..1.
    touches : ndarray of bool, shape (4,)
        As `confidence` takes them.

    Examples
    --------
    >>> none = np.zeros(4, bool)
    >>> confidence_by_sight(np.full(4, 0.97), none) > confidence_by_sight(np.array([0.97, 0.8, 0.97, 0.97]), none)
    True
    """
    below, right = np.array(_SEEN).T
    each = np.interp(seen[~touches], below, right)
    return _with_touches(float(np.prod(each)), touches)


def _with_touches(alone: float, touches: NDArray[np.bool_]) -> float:
    """Take into account that half of the edges at the picture's rim go on beyond it."""
    return round(alone * _ENDS_AT_RIM ** int(touches.sum()), 2)
