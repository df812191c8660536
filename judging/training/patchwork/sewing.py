"""Sew a window of quilt top: every piece in its cloth, and where seams run, at twice the size it is seen in."""

from __future__ import annotations

from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

from judging.training.patchwork.applique import apply
from judging.training.patchwork.bank import Bank, Cloth
from judging.training.patchwork.cloth import Image, draw_picture
from judging.training.patchwork.layout import SQUARE, SQUARE_TOO, lay_out
from judging.training.patchwork.outlines import Ring, Rng

# Ways a seam may run, and the angle of each in degrees, clockwise from across.
ACROSS, DOWN, RISING, FALLING, OTHER = range(1, 6)
_ANGLES = ((ACROSS, 0.0), (ACROSS, 180.0), (DOWN, 90.0), (RISING, 135.0), (FALLING, 45.0))
_ASKEW = 13  # degrees by which a seam may be off one of them
_SHORT_PX = 2
_FRACTION_BITS = 4  # of the places that outlines are drawn at


@dataclass(frozen=True, eq=False)
class Sewn:
    """A window of quilt top as it was sewn.

    Attributes
    ----------
    picture : ndarray of float32, shape (full, full, 3)
        sRGB 0..255, cloth alone.
    pieces : ndarray of int32, shape (full, full)
        Which piece lies there, numbered from 1 as in `rings`; 0 where a gap shows.
    rings : list of ndarray, shape (n, 2)
        Outlines of the pieces in pixels; later ones lie over earlier ones.
    fabrics : list of int
        Which fabric each piece is of.
    straighten : ndarray, shape (2, 2)
        Takes a direction in the window back to what it was in the block.
    """

    picture: Image
    pieces: NDArray[np.int32]
    rings: list[Ring]
    fabrics: list[int]
    straighten: NDArray[np.float64]


@dataclass(frozen=True, eq=False)
class Marks:
    """Where seams run, each uint8, shape (full, full).

    Attributes
    ----------
    seams : ndarray
        255 on a seam, 0 elsewhere.
    ways : ndarray
        Which way it runs there, in a wider band about it; 0 elsewhere.
    faint : ndarray
        255 about seams with the same fabric on both sides.
    """

    seams: NDArray[np.uint8]
    ways: NDArray[np.uint8]
    faint: NDArray[np.uint8]


def sew(rng: Rng, bank: Bank, side: float, full: int) -> Sewn:
    """Sew a window of so many pixels, of blocks with sides of about so many.

    Examples
    --------
    >>> sewn = sew(np.random.default_rng(0), Bank(), 100.0, 256)
    >>> sewn.pieces.shape, len(sewn.rings) == len(sewn.fabrics)
    ((256, 256), True)
    """
    laid = lay_out(rng, side, full + 40)
    zoom = side / 200 * rng.uniform(0.6, 2.2)
    angle = np.radians(rng.normal(0, 1.8))
    turn = np.array([[np.cos(angle), -np.sin(angle)], [np.sin(angle), np.cos(angle)]])
    shear = np.eye(2) + rng.normal(0, 0.015, (2, 2))
    stray = side * rng.uniform(0, 0.012 if rng.random() < 0.8 else 0.03)
    wave = rng.uniform(-1, 1, (2, 2)) * side * rng.uniform(0, 0.04)
    phase, length = rng.uniform(0, 6, 2), side * rng.uniform(1, 4)

    def drawn_out(points: Ring) -> Ring:
        moved = (points - full / 2) @ (turn @ shear).T + full / 2
        bend = np.sin(moved[:, ::-1] / length + phase)
        return np.asarray(moved + bend * wave[0] + bend[:, ::-1] * wave[1] * 0.3)

    picture = np.zeros((full, full, 3), np.float32)
    pieces = np.zeros((full, full), np.int32)
    rings: list[Ring] = []
    fabrics: list[int] = []
    cloths = [Cloth.cut(rng, bank, full, zoom) for _ in range(int(rng.integers(3, 14)))]
    choice = _Choice(rng, len(cloths))
    for each in laid:
        off = np.abs(each.corners.mean(axis=0) - full / 2).max()
        if off > full / 2 + 0.8 * np.ptp(each.corners, axis=0).max() + 0.05 * full:
            continue
        own: dict[int, int] = {}
        for outline, place in each.patches:
            ring = drawn_out(_within(each.corners, outline))
            ring = ring + rng.normal(0, stray, ring.shape)
            if (ring.max(axis=0) < 0).any() or (ring.min(axis=0) > full).any():
                continue
            fabric = choice.fabric(each.kind, place, own)
            rings.append(ring)
            fabrics.append(fabric)
            cv2.fillPoly(pieces, [_fine(ring)], [len(rings)], shift=_FRACTION_BITS)
            x0, y0 = (int(v) for v in np.clip(np.floor(ring.min(axis=0)), 0, full - 1))
            x1, y1 = (int(v) for v in np.clip(np.ceil(ring.max(axis=0)) + 1, 1, full))
            mask = np.zeros((y1 - y0, x1 - x0), np.uint8)
            cv2.fillPoly(mask, [_fine(ring - (x0, y0))], [255], shift=_FRACTION_BITS)
            cloth = cloths[fabric].piece(rng, y1 - y0, x1 - x0)
            if each.pictured and rng.random() < 0.4:
                cloth = draw_picture(rng, max(x1 - x0, y1 - y0, 8))[: y1 - y0, : x1 - x0]
            elif each.pictured:
                cloth = apply(rng, cloth, [one.picture for one in cloths])
            cv2.copyTo(cloth, mask, picture[y0:y1, x0:x1])
    return Sewn(picture, pieces, rings, fabrics, np.asarray(np.linalg.inv(turn @ shear), float))


class _Choice:
    """How the fabrics of a quilt were chosen: by patch, by block, or for all blocks alike."""

    def __init__(self, rng: Rng, count: int) -> None:
        self.rng, self.count = rng, count
        self.scrappy = {place: rng.random() < 0.4 for place in range(8)}
        self.every_patch = rng.random() < 0.15
        self.by_kind: dict[tuple[int, int], int] = {}
        self.by_block = rng.random() < 0.35

    def fabric(self, kind: int, place: int, own: dict[int, int]) -> int:
        """Give the number of the fabric for a place of a block in which some have theirs already."""
        drawn = int(self.rng.integers(self.count))
        if self.every_patch:
            return drawn
        if self.by_block or self.scrappy.get(place, False) or kind in (SQUARE, SQUARE_TOO):
            return own.setdefault(place, drawn)
        return self.by_kind.setdefault((min(kind, 3) if kind < SQUARE else kind, place), drawn)


def _within(corners: Ring, outline: Ring) -> Ring:
    """Put an outline in 0..1 between four corners."""
    u, v = outline[:, :1], outline[:, 1:]
    return np.asarray(
        corners[0] * (1 - u) * (1 - v) + corners[1] * u * (1 - v) + corners[2] * u * v + corners[3] * (1 - u) * v
    )


def _fine(points: NDArray[np.float64]) -> NDArray[np.int32]:
    return np.asarray(np.rint(points * 2**_FRACTION_BITS), np.int32)


def mark(sewn: Sewn) -> Marks:
    """Tell where seams run: along every side of every piece.

    Examples
    --------
    >>> marks = mark(sew(np.random.default_rng(0), Bank(), 100.0, 256))
    >>> bool((marks.ways[marks.seams > 0] > 0).all())
    True
    """
    seams, ways, faint = (np.zeros(sewn.pieces.shape, np.uint8) for _ in range(3))
    for ring in sewn.rings:
        for a, b in zip(ring, np.roll(ring, -1, axis=0), strict=True):
            if np.hypot(*(b - a)) < _SHORT_PX:
                continue
            start, end = _fine(a).tolist(), _fine(b).tolist()
            cv2.line(seams, start, end, [255], 2, cv2.LINE_8, _FRACTION_BITS)
            cv2.line(ways, start, end, [_way(sewn, b - a)], 5, cv2.LINE_8, _FRACTION_BITS)
            if _same_on_both_sides(sewn, a, b):
                cv2.line(faint, start, end, [255], 9, cv2.LINE_8, _FRACTION_BITS)
    return Marks(seams, ways, faint)


def _way(sewn: Sewn, along: NDArray[np.float64]) -> int:
    x, y = along @ sewn.straighten.T
    tilt = np.degrees(np.arctan2(y, x)) % 180
    return next((way for way, angle in _ANGLES if abs(tilt - angle) < _ASKEW), OTHER)


def _same_on_both_sides(sewn: Sewn, a: NDArray[np.float64], b: NDArray[np.float64]) -> bool:
    full = len(sewn.pieces)
    normal = np.array([-(b - a)[1], (b - a)[0]]) / np.hypot(*(b - a))
    sides = []
    for sign in (-3.0, 3.0):
        x, y = np.rint((a + b) / 2 + sign * normal).astype(int)
        if 0 <= x < full and 0 <= y < full and sewn.pieces[y, x] > 0:
            sides.append(sewn.fabrics[sewn.pieces[y, x] - 1])
    return len(sides) == 2 and sides[0] == sides[1]
