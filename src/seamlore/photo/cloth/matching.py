"""The figures of two prints held against each other, turned every way, at one scale."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import cv2
import numpy as np
from numpy.typing import NDArray

from seamlore.photo.cielab import lab_of
from seamlore.photo.cloth.described import PX_PER_CM, Cut, freed

Floats = NDArray[np.float32]

# Of a cloth so many patches are looked at, the largest; more say little more.
MOST_CUTS = 2
# How large a piece of one print is looked for in the other.
_LEAST_PX, _MOST_PX = round(1.3 * PX_PER_CM), round(4.4 * PX_PER_CM)
_TURNS = 24
_NEARER, _NEARER_DEG = 1, (-5.0, 0.0, 5.0)
_MOST_PIECES = 2
_SOFT_PX = 0.6
_WHOLE = 0.97  # of a piece must lie on the patch


@dataclass(frozen=True, eq=False)
class Plane:
    """The print of one patch alone: CIELAB freed of light and ground, where it is, and how far each pixel is from its rim."""

    print_: Floats
    mask: Floats
    inward: Floats

    @cached_property
    def halved(self) -> Plane:
        """The same at half the scale."""
        height, width = (max(side // 2, 1) for side in self.mask.shape)
        # An odd last row or column is left off, so that two pixels make one.
        some = (slice(0, 2 * height), slice(0, 2 * width))
        print_, mask = (
            np.asarray(cv2.resize(each[some], (width, height), interpolation=cv2.INTER_AREA), np.float32)
            for each in (self.print_, self.mask)
        )
        return Plane(print_, mask, self.inward[:1, :1])


@dataclass(frozen=True, eq=False)
class Figures:
    """A cloth's patches at `PX_PER_CM`, ready to be held against those of another."""

    cuts: tuple[Cut, ...]

    @cached_property
    def planes(self) -> tuple[Plane, ...]:
        """The print of each patch."""
        made = []
        for each in sorted(self.cuts, key=lambda cut: -cut.seen_px)[:MOST_CUTS]:
            mask = (each.mask > 0).astype(np.float32)
            print_ = cv2.GaussianBlur(freed(lab_of(each.pixels), mask), (0, 0), _SOFT_PX) * mask[..., None]
            inward = cv2.distanceTransform(np.pad(each.mask, 1), cv2.DIST_L2, 5)[1:-1, 1:-1]
            made.append(Plane(np.ascontiguousarray(print_), mask, np.asarray(inward, np.float32)))
        return tuple(made)

    @property
    def room_px(self) -> int:
        """The side of the largest piece that can be cut at any turn."""
        inward = max((float(each.inward.max()) for each in self.planes), default=0.0)
        return min(int(inward * np.sqrt(2)), _MOST_PX)


def alike(one: Figures, two: Figures) -> tuple[float, float, int] | None:
    """How well pieces of each print are found in the other.

    Returns
    -------
    (float, float, int) or None
        The best correlation of any piece and the mean of all, -1 to 1, and the side of the pieces in pixels; None where
        too little of either is seen.
    """
    side = min(one.room_px, two.room_px)
    if side < _LEAST_PX:
        return None
    found = [best for first, second in ((one, two), (two, one)) for best in _each(first, second, side)]
    return (max(found), float(np.mean(found)), side) if found else None


def _each(one: Figures, two: Figures, side: int) -> list[float]:
    """The correlation of a piece of each of one cloth's largest patches with where it fits best in the other."""
    half = max(side // 2, 4)
    places = [(_where(each, side), _where(each.halved, half)) for each in two.planes]
    found = []
    for plane in one.planes[:_MOST_PIECES]:
        if plane.inward.max() * np.sqrt(2) < side:
            continue
        center = _center(plane, side)
        small = (center[0] / 2 - 0.25, center[1] / 2 - 0.25)
        # Every turn at half the scale; the best ones again at the whole.
        roughly = sorted(
            (
                (*_best([each.halved for each in two.planes], [at for _, at in places], piece), degrees)
                for degrees in np.arange(_TURNS) * (360 / _TURNS)
                for piece in [_piece(plane.halved, small, half, float(degrees))]
            ),
            reverse=True,
        )
        best = -1.0
        for value, _, degrees in roughly[:_NEARER]:
            if value < roughly[0][0] - 0.1:
                break
            for more in _NEARER_DEG:
                piece = _piece(plane, center, side, float(degrees) + more)
                best = max(best, _best(list(two.planes), [at for at, _ in places], piece)[0])
        found.append(best)
    return found


def _center(plane: Plane, side: int) -> tuple[float, float]:
    """Where on a patch the print is strongest, a piece's reach from its rim."""
    energy = cv2.blur((plane.print_**2).sum(axis=2), (side, side))
    energy[plane.inward < side / np.sqrt(2)] = -1
    if energy.max() < 0:
        energy = plane.inward
    y, x = np.unravel_index(int(np.argmax(energy)), energy.shape)
    return float(x), float(y)


def _piece(plane: Plane, center: tuple[float, float], side: int, degrees: float) -> Floats:
    spin = cv2.getRotationMatrix2D(center, degrees, 1.0)
    spin[:, 2] = spin[:, 2] + (side - 1) / 2 - np.array(center)
    return np.asarray(cv2.warpAffine(plane.print_, spin, (side, side), flags=cv2.INTER_LINEAR), np.float32)


def _where(plane: Plane, side: int) -> NDArray[np.bool_]:
    """At which places a piece lies on a patch."""
    height, width = plane.mask.shape
    if height < side or width < side:
        return np.zeros((0, 0), bool)
    covered = cv2.boxFilter(plane.mask, -1, (side, side), anchor=(0, 0), borderType=cv2.BORDER_CONSTANT)
    return np.asarray(covered[: height - side + 1, : width - side + 1] >= _WHOLE)


def _best(planes: list[Plane], places: list[NDArray[np.bool_]], piece: Floats) -> tuple[float, int]:
    """The highest correlation of a piece with any place, and on which patch."""
    best, on = -1.0, -1
    for number, (plane, where) in enumerate(zip(planes, places, strict=True)):
        if where.any():
            value = float(cv2.matchTemplate(plane.print_, piece, cv2.TM_CCOEFF_NORMED)[where].max())
            best, on = (value, number) if value > best else (best, on)
    return best, on
