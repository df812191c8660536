"""Small prints drawn by rule, and what light, wear and a turn do to them; for tests of knowing cloth again."""

from __future__ import annotations

import cv2
import numpy as np

from seamlore.photo.cloth.described import Cut


def sheet(seed: int, *, step: float, size: float, side: int = 200) -> np.ndarray:
    """A cloth of figures of several corners, `step` pixels apart, on a ground of one color."""
    rng = np.random.default_rng(seed)
    made = np.empty((side, side, 3), np.uint8)
    made[:] = rng.integers(150, 235, 3)
    colors = rng.integers(20, 120, (2, 3)).tolist()
    angle = np.sort(rng.uniform(0, 2 * np.pi, 5))
    figure = np.stack([np.cos(angle), np.sin(angle)], axis=1) * size
    for row, y in enumerate(np.arange(-step, side + step, step)):
        for x in np.arange(-step, side + step, step) + step / 2 * (row % 2):
            cv2.fillPoly(
                made, [np.rint((figure + np.array([x, y])) * 16).astype(np.int32)], colors[0], cv2.LINE_AA, 4
            )
            cv2.circle(made, (round(x + size), round(y)), max(1, round(size / 3)), colors[1], -1, cv2.LINE_AA)
    return made


def cut(sheet_: np.ndarray, x: float, y: float, degrees: float = 0.0, side: int = 64) -> Cut:
    """A square patch from a place of it, turned."""
    spin = cv2.getRotationMatrix2D((x, y), degrees, 1.0)
    spin[:, 2] += side / 2 - np.array([x, y])
    seen = cv2.warpAffine(sheet_, spin, (side, side), flags=cv2.INTER_LINEAR, borderMode=cv2.BORDER_REFLECT)
    return Cut(np.asarray(seen, np.uint8), np.full((side, side), 255, np.uint8))


def other_light(patch: Cut, seed: int = 3) -> Cut:
    """The same in warmer and dimmer light, faded a little, with a camera's noise."""
    rng = np.random.default_rng(seed)
    worn = patch.pixels * 0.8 + 0.2 * 190
    lit = np.clip(worn * [0.9, 0.83, 0.74] + rng.normal(0, 4, patch.pixels.shape), 0, 255)
    return Cut(np.rint(lit).astype(np.uint8), patch.mask)
