"""Blocks on point: seams at 45 degrees, and where the whole rows of blocks lie.

Across the picture and down it, blocks on point repeat by their diagonals. In units of these, seams run where x + y or
x - y is a whole number and a constant; so they are looked for along these two, just as upright and level seams are
along x and y. Which of the two families of blocks makes the whole rows is told by where the blocks end.
"""

from __future__ import annotations

from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

from seamlore.photo.extents import Axis, AxisView, Start, counted_up, run, starts
from seamlore.photo.folding import BINS, fold
from seamlore.photo.steps_energy import Evidence, Map, step_energy

Floats = NDArray[np.float64]


@dataclass(frozen=True, eq=False)
class Slanted:
    """Step energy of slanted seams at half the working size, each (height, width), and the picture in CIELAB.

    `rising` belongs to seams on which x + y stays the same (they run up to the right), `falling` to the others.
    """

    rising: Map
    falling: Map
    lab: Map


@dataclass(frozen=True)
class Placement:
    """Blocks on point, from corner to corner along both axes.

    `seam` is how far their four sides go right through the picture, against the usual; `raw` the part of these sides
    on which a seam is seen, 0..1.
    """

    across: Axis
    down: Axis
    seam: float
    raw: float


def slant(evidence: Evidence) -> Slanted:
    """Measure the step energy of slanted seams."""
    width, height = evidence.size
    side = int(np.ceil((width + height) / np.sqrt(2)))
    turn = cv2.getRotationMatrix2D(((width - 1) / 2, (height - 1) / 2), -45, 1.0)
    turn[:, 2] = turn[:, 2] + (side - 1) / 2 - np.array([(width - 1) / 2, (height - 1) / 2])
    turned = cv2.warpAffine(
        evidence.lab, turn, (side, side), flags=cv2.INTER_LINEAR, borderMode=cv2.BORDER_REFLECT_101
    )
    size = (width // 2, height // 2)
    back = []
    for down in (False, True):
        energy = step_energy(turned, down=down)
        flat = cv2.warpAffine(energy, turn, (width, height), flags=cv2.INTER_LINEAR | cv2.WARP_INVERSE_MAP)
        back.append(cv2.resize(flat, size, interpolation=cv2.INTER_AREA))
    # Turned clockwise by 45 degrees, what was met going right and up comes to lie across.
    smooth = cv2.GaussianBlur(evidence.lab, (0, 0), 2)
    return Slanted(back[1], back[0], cv2.resize(smooth, size, interpolation=cv2.INTER_AREA))


def view_slanted(
    slanted: Slanted, across: float, down: float, inside: tuple[int, int, int, int], *, rising: bool
) -> tuple[AxisView, float, float]:
    """Look along x + y (rising seams) or x - y (falling seams), in units of the diagonals of the blocks.

    Parameters
    ----------
    slanted : Slanted
        The seams.
    across, down : float
        Diagonals of a block with its sashing, in working pixels.
    inside : tuple of int
        Left, top, right, bottom of what is looked at, in working pixels.
    rising : bool
        Along x + y, or along x - y.

    Returns
    -------
    view : AxisView
        One entry for each two pixels at right angles to the seams.
    side : float
        Entries from seam to seam.
    low : float
        x + y or x - y, in diagonals, at the view's beginning.
    """
    energy = slanted.rising if rising else slanted.falling
    left, top, right, bottom = (v // 2 for v in inside)
    side = float(1 / np.hypot(1 / across, 1 / down))
    x = (np.arange(left, right) * 2 + 1) / across
    y = (np.arange(top, bottom) * 2 + 1) / down * (1 if rising else -1)
    place = x[None, :] + y[:, None]
    low = float(place.min())
    # Pixels lie on diagonals 1.4 px apart: bins of 2 px, each pixel shared by two, so that none stays empty.
    at = ((place - low) * (side / 2)).ravel()
    first = at.astype(np.int64)
    share = at - first
    most = int(first.max()) + 2

    def gathered(values: Floats | None = None) -> Floats:
        near = 1 - share if values is None else (1 - share) * values
        far = share if values is None else share * values
        return np.asarray(np.bincount(first, near, most) + np.bincount(first + 1, far, most))

    part = np.s_[top:bottom, left:right]
    count = gathered()
    enough = count > 0.3 * count.max()
    mean = gathered(energy[part].ravel().astype(np.float64)) / np.maximum(count, 1e-6)
    usual = float(np.median(mean[enough]))
    spread = float(np.percentile(mean[enough], 90)) - usual + 1e-6
    profile = np.where(enough, np.clip((mean - usual) / spread, -1, 2.5), 0.0)
    wide = np.maximum.reduce([np.roll(profile, shift) for shift in (-1, 0, 1)])
    raw = np.where(enough, np.maximum.reduce([np.roll(mean, shift) for shift in (-1, 0, 1)]), usual)
    light = slanted.lab[part][..., 0].ravel().astype(np.float64)
    middle = gathered(light) / np.maximum(count, 1e-6)
    change = np.sqrt(np.maximum(gathered(light * light) / np.maximum(count, 1e-6) - middle**2, 0))
    plain = np.where(enough, change / (np.median(change[enough]) + 1e-6), 1.0)
    return AxisView(profile, wide, plain, raw), side / 2, low


def lay_on_point(
    slanted: Slanted,
    views: tuple[AxisView, AxisView],
    follows: tuple[Floats, Floats],
    pitch: tuple[float, float],
    inside: tuple[int, int, int, int],
    *,
    most: int = 4,
) -> list[Placement]:
    """List the grids on point that a picture may have at given diagonals.

    Parameters
    ----------
    slanted : Slanted
        Slanted seams.
    views : two AxisViews
        Upright and level seams, for the borders.
    follows : two ndarrays
        How far each column and each row follows the mean block.
    pitch : tuple of float
        Diagonals of a block with its sashing, across and down.
    inside : tuple of int
        Left, top, right, bottom of the quilt inside plain borders.

    Returns
    -------
    list of Placement
    """
    across, down = pitch
    rises, side, low_rise = view_slanted(slanted, across, down, inside, rising=True)
    falls, _, low_fall = view_slanted(slanted, across, down, inside, rising=False)

    rising = starts(rises, side, np.ones(len(rises.profile)), most=5)
    falling = starts(falls, side, np.ones(len(falls.profile)), most=5)
    pairs = [(u, v) for u in _bare(rising) for v in _bare(falling)]
    pairs += [(u, v) for u in _sashed(rising, side) for v in _sashed(falling, side)]
    placed: list[Placement] = []
    ones = [np.ones(len(view.profile)) for view in (rises, falls)]
    folded = [fold(view.profile, side, one) for view, one in zip((rises, falls), ones, strict=True)]
    shown = [fold(view.raw, side, one) for view, one in zip((rises, falls), ones, strict=True)]

    def at_sides(tables: list[Floats], cx: float, cy: float, gap: float) -> float:
        """Look up what the four sides of a block show."""
        total = 0.0
        for place, table in ((cx + cy - low_rise, tables[0]), (cx - cy - low_fall, tables[1])):
            for at in (place - (1 - gap) / 2, place + (1 - gap) / 2):
                bin_at = int((at % 1.0) * BINS)
                total += max(float(table[(bin_at + near) % BINS]) for near in (-1, 0, 1)) / 4
        return total

    totals = [counted_up(each) for each in follows]

    def try_at(cx: float, cy: float, gap: float, strip: float) -> None:
        seam = at_sides(folded, cx, cy, gap)
        reach = (1 - gap) / 2
        x = run(views[0], totals[0], across, Start(((cx - reach) % 1.0) * across, gap * across, seam, strip))
        y = run(views[1], totals[1], down, Start(((cy - reach) % 1.0) * down, gap * down, seam, strip))
        if x is not None and y is not None:
            placed.append(Placement(x, y, seam, at_sides(shown, cx, cy, gap)))

    for u, v in pairs:
        # Middles of blocks along x + y and x - y, in diagonals.
        middle_u = u.at / side + low_rise + (1 - u.gap / side) / 2
        middle_v = v.at / side + low_fall + (1 - v.gap / side) / 2
        for family in (0.0, 0.5):
            cx, cy = (middle_u + middle_v) / 2 + family, (middle_u - middle_v) / 2 + family
            try_at(cx, cy, (u.gap + v.gap) / 2 / side, (u.strip + v.strip) / 2)
    # Most quilts on point are balanced: at their middle lies the middle or the corner of a block, across and down.
    gaps = {0.0: 1.0} | {(u.gap + v.gap) / 2 / side: (u.strip + v.strip) / 2 for u, v in pairs if u.gap > 0}
    width, height = len(follows[0]), len(follows[1])
    for half_x in (0.0, 0.5):
        for half_y in (0.0, 0.5):
            cx, cy = width / 2 / across + half_x, height / 2 / down + half_y
            for gap, strip in gaps.items():
                try_at(cx, cy, gap, strip)
    placed.sort(key=lambda p: -(p.across.worth + p.down.worth + 2 * p.seam))
    kept: list[Placement] = []
    for each in placed:
        alike = [k for k in kept if (k.across.gap > 0) == (each.across.gap > 0)]
        if len(alike) < most and not any(_same(each, k) for k in alike):
            kept.append(each)
    return kept


def _same(one: Placement, other: Placement) -> bool:
    return all(
        abs(a.first - b.first) + abs(a.last - b.last) < 0.16 * a.pitch
        for a, b in ((one.across, other.across), (one.down, other.down))
    )


def _bare(found: list[Start]) -> list[Start]:
    return sorted((s for s in found if s.gap == 0), key=lambda s: -s.seam)[:3]


def _sashed(found: list[Start], side: float) -> list[Start]:
    return sorted((s for s in found if s.gap > 0.05 * side), key=lambda s: s.strip - s.seam)[:1]
