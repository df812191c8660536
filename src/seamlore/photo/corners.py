"""Find the quilt's corners and the bow of its edges in a photograph."""

from __future__ import annotations

from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

from seamlore.errors import PhotoError
from seamlore.photo.beyond import border_beyond
from seamlore.photo.frame import STRAIGHT, Bows, Corners, Frame, check_corners
from seamlore.photo.ground import Floats, Mask, Scene, maps_by_side, scene_of
from seamlore.photo.opening import Pixels
from seamlore.photo.sides import best_line, edge_strength, from_turned, to_turned, turned
from seamlore.photo.tips import set_tips
from seamlore.photo.tracing import as_corners, grown, length_across, outer_line, refit, trace_side
from seamlore.photo.trust import confidence, edge_chances, evidence, looks_like_quilt_beyond

Numbers = NDArray[np.float64]

_COARSE_PX = 480
_FINE_PX = 1000
_SHARP_PX = 1600
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


def _is_quilt(quad: Numbers) -> bool:
    try:
        check_corners(quad)
    except PhotoError:
        return False
    return True


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
        quad = np.array([_meeting(lines[side - 1], lines[side]) for side in range(4)])
        if not _is_quilt(quad):
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
    return _bound(frame, fine, maps, at_rim)


def _bound(frame: Frame, fine: Floats, maps: list[Floats], at_rim: NDArray[np.bool_]) -> Frame:
    """Take in a binding whose outer edge is fainter than its inner one."""
    shifts = [0.0 if at_rim[side] else outer_line(frame, side, fine) for side in range(4)]
    return _followed(grown(frame, shifts), fine, maps, 0.004, at_rim) if max(shifts) > 0 else frame


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
    return _bound(frame, fine, maps, at_rim) if found.any() else frame


def _followed(frame: Frame, fine: Floats, maps: list[Floats], margin: float, at_rim: NDArray[np.bool_]) -> Frame:
    traces = [None if at_rim[side] else trace_side(frame, side, fine, maps[side], margin) for side in range(4)]
    return refit(frame, traces, 1.5)


def find_corners(pixels: Pixels) -> FoundCorners:
    """Find the quilt's corners and the bow of its edges.

    The rim of the picture tells what the ground looks like; four lines are laid so that what they enclose
    differs from it and they lie on edges; then each edge is followed closely. Where nothing tells quilt from
    ground, the quilt is taken to run to the picture's rim, and `touches` says so.

    Parameters
    ----------
    pixels : ndarray of uint8, shape (h, w, 3)
        An upright photograph, sRGB.

    Returns
    -------
    FoundCorners

    Examples
    --------
    >>> photo = np.full((360, 480, 3), 90, np.uint8)
    >>> photo[60:300, 90:390] = (200, 60, 60)
    >>> found = find_corners(photo)
    >>> bool(np.abs(np.array(found.corners) - [(90, 60), (390, 60), (390, 300), (90, 300)]).max() < 2)
    True
    >>> find_corners(np.full((120, 160, 3), 90, np.uint8)).touches
    (True, True, True, True)
    """
    fine = _shrunk(pixels, _FINE_PX)
    factor = min(1.0, _COARSE_PX / max(fine.shape[:2]))
    size = (max(round(fine.shape[1] * factor), 1), max(round(fine.shape[0] * factor), 1))
    scene = scene_of(np.asarray(cv2.resize(fine, size, interpolation=cv2.INTER_AREA), dtype=np.float32))
    at_rim = np.zeros(4, dtype=bool)
    # A side found to have no edge changes what is ground for the others, so look again; each look adds a side.
    for _ in range(4):
        quad, maps = _roughly(scene, at_rim)
        frame = _closely((quad + 0.5) * (fine.shape[1] / scene.shape[1]) - 0.5, fine, maps, at_rim)
        gathered = evidence(frame, fine, scene, maps)
        beyond = looks_like_quilt_beyond(gathered) & ~at_rim
        if not beyond.any():
            break
        at_rim |= beyond
    wider = _with_borders(frame, fine, maps, at_rim)
    if wider is not frame:
        frame, gathered = wider, evidence(wider, fine, scene, maps)
    sharp = _shrunk(pixels, _SHARP_PX)
    frame = set_tips(frame.scaled(sharp.shape[1] / fine.shape[1]), sharp, at_rim)
    frame = frame.scaled(pixels.shape[1] / sharp.shape[1])
    return _told(frame, (pixels.shape[1], pixels.shape[0]), edge_chances(gathered), at_rim)


def _told(frame: Frame, photo_size_px: tuple[int, int], chances: Numbers, at_rim: NDArray[np.bool_]) -> FoundCorners:
    wide, tall = photo_size_px
    corners = np.clip(np.asarray(frame.corners), 0, [wide - 1, tall - 1])
    bows = frame.bows
    if not _is_quilt(corners):
        corners, bows, at_rim = (
            np.array([(0, 0), (wide - 1, 0), (wide - 1, tall - 1), (0, tall - 1)]),
            STRAIGHT,
            at_rim | True,
        )
    ends = np.roll(corners, -1, axis=0)
    depths = [corners[0, 1] + ends[0, 1], 2 * (wide - 1) - corners[1, 0] - ends[1, 0]]
    depths += [2 * (tall - 1) - corners[2, 1] - ends[2, 1], corners[3, 0] + ends[3, 0]]
    near = np.array(depths) / 2 < 0.006 * min(wide, tall)
    touches = near | at_rim
    return FoundCorners(
        as_corners(corners),
        bows,
        confidence(chances, touches),
        (bool(touches[0]), bool(touches[1]), bool(touches[2]), bool(touches[3])),
        _warnings(touches, chances),
    )


_SIDES = ("top", "right", "bottom", "left")


def _warnings(touches: NDArray[np.bool_], chances: Numbers) -> tuple[str, ...]:
    said = []
    if touches.all():
        said.append(
            "No edge of the quilt was seen in the picture: the whole picture is taken for quilt. "
            "Photograph it with floor or wall showing all around, or set the corners."
        )
    elif touches.any():
        named = " and ".join(side for side, touch in zip(_SIDES, touches, strict=True) if touch)
        said.append(f"At the {named} the quilt reaches the edge of the picture and may go on beyond it.")
    doubtful = [
        side for side, touch, chance in zip(_SIDES, touches, chances, strict=True) if not touch and chance < 0.6
    ]
    if doubtful:
        said.append(
            f"The edge at the {' and '.join(doubtful)} is hard to tell from what lies around it: check the corners."
        )
    return tuple(said)
