"""Find a quilt's edges by what the ground looks like, which the rim of the picture tells.

Four lines are laid so that what they enclose differs from the ground and they lie on edges; then each is followed.
"""

from __future__ import annotations

import cv2
import numpy as np
from numpy.typing import NDArray

from seamlore.photo.edges.beyond import border_beyond
from seamlore.photo.edges.confidence import edge_chances, evidence, looks_like_quilt_beyond
from seamlore.photo.edges.framing import as_corners, bound, grown, is_quilt, meeting, refit
from seamlore.photo.edges.ground import Floats, Mask, Scene, maps_by_side, scene_of
from seamlore.photo.edges.sides import best_line, edge_strength, from_turned, to_turned, turned
from seamlore.photo.edges.tracing import length_across, trace_by_ground
from seamlore.photo.frame import Frame

Numbers = NDArray[np.float64]

_COARSE_PX = 480
_ROUNDS = 4


def edges_by_ground(fine: Floats) -> tuple[Frame, Numbers, NDArray[np.bool_]]:
    """Find the edges.

    Parameters
    ----------
    fine : ndarray of float32, shape (h, w, 3)
        The photograph in CIELAB, about 1000 px long.

    Returns
    -------
    Frame
        Of size (1, 1), in pixels of `fine`.
    ndarray, shape (4,)
        The chance of each edge (top, right, bottom, left) that it is the quilt's.
    ndarray of bool, shape (4,)
        Which edges are the picture's own rim, because none is seen.
    """
    scene = coarse_scene(fine)
    at_rim = np.zeros(4, dtype=bool)
    # A side found to have no edge changes what is ground for the others, so look again; each look adds a side.
    for _ in range(4):
        frame, maps, gathered = looked(scene, fine, at_rim)
        beyond = looks_like_quilt_beyond(gathered) & ~at_rim
        if not beyond.any():
            break
        at_rim |= beyond
    wider = _with_borders(frame, fine, maps, at_rim)
    if wider is not frame:
        frame, gathered = wider, evidence(wider, fine, scene, maps)
    return frame, edge_chances(gathered), at_rim


def coarse_scene(fine: Floats) -> Scene:
    """Give the scene of a photograph (CIELAB, about 1000 px long), small enough to be looked at as a whole."""
    factor = min(1.0, _COARSE_PX / max(fine.shape[:2]))
    size = (max(round(fine.shape[1] * factor), 1), max(round(fine.shape[0] * factor), 1))
    return scene_of(np.asarray(cv2.resize(fine, size, interpolation=cv2.INTER_AREA), dtype=np.float32))


def looked(scene: Scene, fine: Floats, at_rim: NDArray[np.bool_]) -> tuple[Frame, list[Floats], Numbers]:
    """Look once: the frame, what each side knows of quilt and ground, and what speaks for each edge, shape (4, 7).

    `at_rim`, shape (4,), says which edges are taken to be the picture's own rim.
    """
    quad, maps = _roughly(scene, at_rim)
    frame = _closely((quad + 0.5) * (fine.shape[1] / scene.shape[1]) - 0.5, fine, maps, at_rim)
    return frame, maps, evidence(frame, fine, scene, maps)


def _roughly(scene: Scene, at_rim: NDArray[np.bool_]) -> tuple[Numbers, list[Floats]]:
    """Find four lines by turns, the ground told anew from what lies outside them.

    Sides in `at_rim` are those of the picture itself: the rim there is quilt and tells nothing of the ground.
    """
    h, w = scene.shape
    edges = [edge_strength(scene.lab), edge_strength(scene.lab.transpose(1, 0, 2)).T]
    band = max(4.0, 0.015 * min(h, w))
    y, x = np.mgrid[0:h, 0:w]
    inside: Mask = (x > 0.25 * w) & (x < 0.75 * w) & (y > 0.25 * h) & (y < 0.75 * h)
    reach: tuple[float, ...] = (band,) * 4
    quad: Numbers | None = None
    maps: list[Floats] = []
    for turn in range(_ROUNDS):
        maps = maps_by_side(scene, inside, reach, band, at_rim)
        lines = []
        for side in range(4):
            said = turned(maps[side], side)
            edge = turned(edges[side % 2], side)
            high, wide = said.shape
            run = (0.25 * wide, 0.75 * wide)
            if quad is not None:
                a, b = (to_turned(tuple(quad[(side + i) % 4]), side, (h, w))[0] for i in (0, 1))
                pad = 0.03 * (b - a)
                # Never less than the middle of the picture, or one bad line would drag the next after it.
                run = (min(max(0.0, a + pad), 0.4 * wide), max(min(wide - 1.0, b - pad), 0.6 * wide))
            deepest = int((0.62 if turn < 2 else 0.5) * high)
            y0, y1 = (0.0, 0.0) if at_rim[side] else best_line(said, edge, run, deepest)
            lines.append(
                np.array([from_turned((at, depth), side, (h, w)) for at, depth in zip(run, (y0, y1), strict=True)])
            )
        quad = np.array([meeting(lines[side - 1], lines[side]) for side in range(4)])
        if not is_quilt(quad):
            return np.array([(0, 0), (w - 1, 0), (w - 1, h - 1), (0, h - 1)], dtype=np.float64), maps
        mask = np.zeros((h, w), np.uint8)
        cv2.fillConvexPoly(mask, quad.round().astype(np.int32), 1)
        inside = mask > 0
        gaps = (
            min(quad[0, 1], quad[1, 1]),
            w - 1 - max(quad[1, 0], quad[2, 0]),
            h - 1 - max(quad[2, 1], quad[3, 1]),
            min(quad[0, 0], quad[3, 0]),
        )
        # Not all of the gap: a border that was taken for ground by mistake must be able to come back.
        reach = tuple(max(band, 0.6 * float(gap)) for gap in gaps)
    assert quad is not None
    return quad, maps


def _closely(quad: Numbers, fine: Floats, maps: list[Floats], at_rim: NDArray[np.bool_]) -> Frame:
    frame = Frame(as_corners(quad), (1.0, 1.0))
    for margin in (0.05, 0.025):
        frame = _followed(frame, fine, maps, margin, at_rim)
    return bound(frame, fine, at_rim)


def _with_borders(frame: Frame, fine: Floats, maps: list[Floats], at_rim: NDArray[np.bool_]) -> Frame:
    """Take in borders that were taken for ground; twice, since one side found makes the others clearer."""
    expected = np.zeros(4)
    found = np.zeros(4, dtype=bool)
    for _ in range(2):
        outward = np.array(
            [0.0 if at_rim[s] else border_beyond(frame, s, fine, 0.0 if found[s] else expected[s]) for s in range(4)]
        )
        if not outward.any():
            break
        across = np.array([length_across(frame, side) for side in range(4)])
        found |= outward > 0
        if (outward > 0).sum() >= 2:
            expected = float(np.median((outward * across)[outward > 0])) / across
        frame = _followed(grown(frame, outward.tolist()), fine, maps, 0.012, at_rim)
    return bound(frame, fine, at_rim) if found.any() else frame


def _followed(frame: Frame, fine: Floats, maps: list[Floats], margin: float, at_rim: NDArray[np.bool_]) -> Frame:
    traces = [None if at_rim[side] else trace_by_ground(frame, side, fine, maps[side], margin) for side in range(4)]
    return refit(frame, traces, 1.5)
