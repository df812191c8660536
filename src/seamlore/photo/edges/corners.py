"""Find the quilt's corners and the bow of its edges in a photograph.

A trained network looks first (`seamlore.photo.edges.by_sight`). Where it is not sure of every edge, what the ground looks like
decides instead (`seamlore.photo.edges.by_ground`). At last each corner is set by the sharp edges right beside it.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

from seamlore.photo.cielab import lab_of
from seamlore.photo.edges.by_ground import edges_by_ground
from seamlore.photo.edges.by_sight import edges_by_sight
from seamlore.photo.edges.confidence import confidence, confidence_by_sight
from seamlore.photo.edges.framing import as_corners, is_quilt
from seamlore.photo.edges.ground import Floats
from seamlore.photo.edges.network import see_edges
from seamlore.photo.edges.tips import set_tips
from seamlore.photo.frame import STRAIGHT, Bows, Corners, Frame
from seamlore.photo.opening import Pixels

Numbers = NDArray[np.float64]
Tell = Callable[[Numbers, NDArray[np.bool_]], float]

_FINE_PX = 1000
_SHARP_PX = 1600
# The network is trusted when it sees every edge at least so well on average: of 930 edges of rendered quilts, those
# below were right in two of three cases, those above in 99 of 100.
_SURE = 0.85


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


def _shrunk(pixels: Pixels, longest_px: int, *, by_halves: bool = False) -> Floats:
    """Shrink a photograph by area, into CIELAB; a large one is quicker halved first, and then hardly differs."""
    tall, wide = pixels.shape[:2]
    factor = min(1.0, longest_px / max(tall, wide))
    size = (max(round(wide * factor), 1), max(round(tall * factor), 1))
    steps = [(max(wide // 2, 1), max(tall // 2, 1))] if by_halves and factor <= 0.5 else []
    for step in [*steps, size] if factor < 1 else []:
        pixels = np.asarray(cv2.resize(pixels, step, interpolation=cv2.INTER_AREA), dtype=np.uint8)
    return lab_of(pixels)


def find_corners(pixels: Pixels) -> FoundCorners:
    """Find the quilt's corners and the bow of its edges.

    Where no edge is seen, the quilt is taken to run to the picture's rim, and `touches` says so.

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
    tell: Tell
    sight = edges_by_sight(see_edges(pixels), fine)
    if sight is not None and bool((sight[1][~sight[2]] >= _SURE).all()):
        (frame, chances, at_rim), tell = sight, confidence_by_sight
    else:
        (frame, chances, at_rim), tell = edges_by_ground(fine), confidence
    sharp = _shrunk(pixels, _SHARP_PX, by_halves=True)
    frame = set_tips(frame.scaled(sharp.shape[1] / fine.shape[1]), sharp, at_rim)
    frame = frame.scaled(pixels.shape[1] / sharp.shape[1])
    return _told(frame, (pixels.shape[1], pixels.shape[0]), chances, at_rim, tell)


def _told(
    frame: Frame,
    photo_size_px: tuple[int, int],
    chances: Numbers,
    at_rim: NDArray[np.bool_],
    tell: Tell,
) -> FoundCorners:
    wide, tall = photo_size_px
    corners = np.clip(np.asarray(frame.corners), 0, [wide - 1, tall - 1])
    bows = frame.bows
    if not is_quilt(corners):
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
        tell(chances, touches),
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
