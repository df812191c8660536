"""Find the quilt's corners and the bow of its edges in a photograph."""

from __future__ import annotations

from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

from seamlore.photo.frame import Bows, Corners, Frame
from seamlore.photo.ground import Floats, Mask, Scene, maps_by_side, scene_of
from seamlore.photo.opening import Pixels
from seamlore.photo.sides import best_line, edge_strength, from_turned, to_turned, turned
from seamlore.photo.tracing import Trace, as_corners, refit, trace_side

Numbers = NDArray[np.float64]

_COARSE_PX = 480
_FINE_PX = 1000
_ROUNDS = 4


@dataclass(frozen=True)
class FoundCorners:
    """Where the quilt seems to lie in a photograph.

    Attributes
    ----------
    corners
        In photograph pixels, clockwise from the quilt's top left.
    bows
        Of the top, right, bottom and left edge, as `Frame` takes them.
    confidence
        0..1: how likely every corner is within 1 % of the quilt's width.
    touches
        Which edges (top, right, bottom, left) lie at the picture's rim, so that the quilt may go on beyond it.
    warnings
        In plain words.
    """

    corners: Corners
    bows: Bows
    confidence: float
    touches: tuple[bool, bool, bool, bool]
    warnings: tuple[str, ...] = ()

    def frame(self, width: float, height: float) -> Frame:
        """Give the frame for a quilt of this size."""
        return Frame(self.corners, (width, height), self.bows)


def _shrunk(pixels: Pixels, longest_px: int) -> Floats:
    tall, wide = pixels.shape[:2]
    factor = min(1.0, longest_px / max(tall, wide))
    size = (max(round(wide * factor), 1), max(round(tall * factor), 1))
    small = cv2.resize(pixels, size, interpolation=cv2.INTER_AREA) if factor < 1 else pixels
    return np.asarray(cv2.cvtColor(small.astype(np.float32) / 255, cv2.COLOR_RGB2LAB), dtype=np.float32)


def _meeting(one: Numbers, two: Numbers) -> Numbers:
    along = one[1] - one[0]
    other = two[1] - two[0]
    gap = two[0] - one[0]
    part = (gap[0] * other[1] - gap[1] * other[0]) / (along[0] * other[1] - along[1] * other[0])
    return np.asarray(one[0] + part * along)


def _roughly(scene: Scene) -> tuple[Numbers, list[Floats], list[float]]:
    """Find four lines by turns, the ground told anew from what lies outside them."""
    h, w = scene.shape
    edges = [edge_strength(scene.lab), edge_strength(scene.lab.transpose(1, 0, 2)).T]
    band = max(4.0, 0.015 * min(h, w))
    y, x = np.mgrid[0:h, 0:w]
    inside: Mask = (x > 0.25 * w) & (x < 0.75 * w) & (y > 0.25 * h) & (y < 0.75 * h)
    reach: tuple[float, ...] = (band,) * 4
    quad: Numbers | None = None
    maps: list[Floats] = []
    scores: list[float] = []
    for turn in range(_ROUNDS):
        maps = maps_by_side(scene, inside, reach, band)
        lines, scores = [], []
        for side in range(4):
            said = turned(maps[side], side)
            edge = turned(edges[side % 2], side)
            high, wide = said.shape
            run = (0.25 * wide, 0.75 * wide)
            if quad is not None:
                a, b = (to_turned(tuple(quad[(side + i) % 4]), side, (h, w))[0] for i in (0, 1))
                pad = 0.03 * (b - a)
                run = (max(0.0, a + pad), min(wide - 1.0, b - pad))
            y0, y1, score = best_line(said, edge, run, int((0.62 if turn < 2 else 0.5) * high))
            lines.append(
                np.array([from_turned((at, depth), side, (h, w)) for at, depth in zip(run, (y0, y1), strict=True)])
            )
            scores.append(score)
        quad = np.array([_meeting(lines[side - 1], lines[side]) for side in range(4)])
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
    return quad, maps, scores


def find_corners(pixels: Pixels) -> FoundCorners:
    """Find the quilt's corners and the bow of its edges.

    Parameters
    ----------
    pixels : ndarray of uint8, shape (h, w, 3)
        An upright photograph, sRGB.

    Returns
    -------
    FoundCorners
    """
    fine = _shrunk(pixels, _FINE_PX)
    factor = min(1.0, _COARSE_PX / max(fine.shape[:2]))
    size = (max(round(fine.shape[1] * factor), 1), max(round(fine.shape[0] * factor), 1))
    scene = scene_of(np.asarray(cv2.resize(fine, size, interpolation=cv2.INTER_AREA), dtype=np.float32))
    quad, maps, _ = _roughly(scene)
    quad = (quad + 0.5) * (fine.shape[1] / scene.shape[1]) - 0.5
    frame = Frame(as_corners(quad), (1.0, 1.0))
    for margin in (0.05, 0.025):
        traces: list[Trace | None] = [trace_side(frame, side, fine, maps[side], margin) for side in range(4)]
        frame = refit(frame, traces, 1.5)
    frame = frame.scaled(pixels.shape[1] / fine.shape[1])
    return FoundCorners(frame.corners, frame.bows, 0.0, (False,) * 4)
