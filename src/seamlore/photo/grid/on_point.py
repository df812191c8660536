"""Blocks on point: seams at 45 degrees, and the grid set by them.

The sides of blocks on point run where x + y or x - y, in diagonals of a block, is a whole number and a constant.
"""

from __future__ import annotations

from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

from seamlore.photo.grid.lines import Axis
from seamlore.photo.grid.step_energy import Evidence, Map, step_energy

Floats = NDArray[np.float64]


@dataclass(frozen=True, eq=False)
class Slanted:
    """Step energy of slanted seams at half the working size, each (height, width), and the picture in CIELAB.

    `rising` belongs to seams on which x + y stays the same (they run up to the right), `falling` to the others.
    """

    rising: Map
    falling: Map
    lab: Map


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


_POINTS = np.linspace(0.12, 0.88, 9)
_EDGE_PX = 8
_ROUNDS = 3
_REACH = 0.13  # of the diagonal, within which a side is looked for


def set_by_slants(slanted: Slanted, across: Axis, down: Axis) -> tuple[Axis, Axis]:
    """Move and stretch a grid on point a little, so that the sides of its blocks lie on slanted seams.

    The seam nearest each side of each block is looked for at right angles to the side; the grid is then fitted to all
    of them by least squares, those that are hardly seen or lie far from the others counting little.

    Parameters
    ----------
    slanted : Slanted
        The seams.
    across, down : Axis
        Blocks from corner to corner, in working pixels.

    Returns
    -------
    tuple of Axis
        The same counts.
    """
    # A plain seam is as strong for a pixel or two to either side; smoothed, it is strongest in its middle.
    rising, falling = (cv2.GaussianBlur(each, (0, 0), 1.2) for each in (slanted.rising, slanted.falling))
    for part in range(_ROUNDS):
        across, down = _fitted(rising, falling, across, down, _REACH / (1 + part))
    return across, down


def _fitted(rising: Map, falling: Map, across: Axis, down: Axis, reach: float) -> tuple[Axis, Axis]:
    half_x, half_y = (across.pitch - across.gap) / 2, (down.pitch - down.gap) / 2
    middle_x = across.spans.mean(axis=1)
    middle_y = down.spans.mean(axis=1)
    column, row = np.meshgrid(np.arange(across.count), np.arange(down.count))
    far = float(np.clip(reach * min(across.pitch, down.pitch), 3, 12))
    away = np.linspace(-far, far, 2 * round(2 * far) + 1)
    tables, targets, weights = [], [], []
    part_x, part_y = half_x / across.pitch, half_y / down.pitch
    for sx in (-1, 1):
        for sy in (-1, 1):
            x = middle_x[None, :, None] + sx * half_x * _POINTS + 0 * middle_y[:, None, None]
            y = middle_y[:, None, None] + sy * half_y * (1 - _POINTS) + 0 * middle_x[None, :, None]
            # Where x + y stays the same along the side, the seam rises.
            profile = _across_sides(rising if sx == sy else falling, x, y, (sx, sy), away)
            found, strength = _tops(profile - 0.15 * (away / far) ** 2, away)
            ones = np.ones(found.size)
            terms = [
                sx * ones,
                (sx * (column.ravel() + part_x) + part_x / 2) * ones,
                sy * ones,
                (sy * (row.ravel() + part_y) + part_y / 2) * ones,
                -(sx + sy + 1) / 2 * ones,
            ]
            tables.append(np.stack(terms, axis=1) / np.sqrt(2))
            targets.append(found.ravel())
            weights.append(strength.ravel())
    table, target, weight = np.concatenate(tables), np.concatenate(targets), np.concatenate(weights)
    if across.gap <= 0:
        table = table[:, :4]
    soft = np.diag([0.2, 0.6, 0.2, 0.6, 0.2])[: table.shape[1], : table.shape[1]]
    robust = weight
    for _ in range(4):
        system = np.concatenate([table * robust[:, None], soft])
        fit = np.linalg.lstsq(system, np.concatenate([target * robust, np.zeros(len(soft))]), rcond=None)[0]
        miss = np.abs(target - table @ fit)
        seen = weight > 0.05
        usual = max(0.4, 1.48 * float(np.median(miss[seen])) if seen.any() else 1.0)
        robust = weight / np.maximum(1.0, miss / (1.5 * usual))
    gap = float(fit[4]) if len(fit) == 5 else 0.0
    x_gap, y_gap = (max(0.0, axis.gap + gap) if axis.gap > 0 else 0.0 for axis in (across, down))
    return (
        Axis(across.first + float(fit[0]), across.pitch + float(fit[1]), x_gap, across.count),
        Axis(down.first + float(fit[2]), down.pitch + float(fit[3]), y_gap, down.count),
    )


def _across_sides(energy: Map, x: Floats, y: Floats, outward: tuple[int, int], away: Floats) -> Floats:
    """Give the mean step energy along each side, shifted outward by each distance, shape (rows, columns, distances)."""
    height, width = energy.shape
    px = x[..., None] + outward[0] * away / np.sqrt(2)
    py = y[..., None] + outward[1] * away / np.sqrt(2)
    inside = (np.minimum(px, 2 * width - px) > _EDGE_PX) & (np.minimum(py, 2 * height - py) > _EDGE_PX)
    at = [((places / 2 - 0.5).reshape(len(places), -1)).astype(np.float32) for places in (px, py)]
    seen = cv2.remap(energy, at[0], at[1], cv2.INTER_LINEAR, borderMode=cv2.BORDER_REPLICATE).reshape(px.shape)
    count = inside.sum(axis=2)
    # A side of which hardly anything lies in the picture is not seen.
    mean = (seen * inside).sum(axis=2) / np.maximum(count, 1)
    return np.where(count.min(axis=-1, keepdims=True) >= len(_POINTS) // 2, mean, 0.0)


def _tops(profile: Floats, away: Floats) -> tuple[Floats, Floats]:
    """Find where each profile is highest, between its places, and by how much it stands out there."""
    k = np.clip(profile.argmax(axis=-1), 1, len(away) - 2)[..., None]
    before, here, after = (np.take_along_axis(profile, k + step, axis=-1)[..., 0] for step in (-1, 0, 1))
    bend = before - 2 * here + after
    off = np.where(bend < -1e-9, 0.5 * (before - after) / np.minimum(bend, -1e-9), 0.0)
    found = away[k[..., 0]] + np.clip(off, -1, 1) * (away[1] - away[0])
    return found, np.maximum(here - np.median(profile, axis=-1), 0.0)
