"""The camera: quilt and ground in inches to pixels of the photograph and back, with perspective, drape and lens."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import cv2
import numpy as np
from numpy.typing import NDArray

from judging.rendering.recipe import Recipe

Points = NDArray[np.float64]
Floats = NDArray[np.floating[Any]]
# The maps are smooth, so they are worked out on every eighth pixel and filled in.
STRIDE = 8


@dataclass(frozen=True, slots=True)
class Camera:
    """One camera over one quilt.

    `project` takes inches from the quilt's top left to pixels before the lens; `waves` are (amplitude_in,
    wave x, wave y, phase) for each axis in radians per inch; `lens` is the strength of the bow.
    """

    project: Points
    photo_size: tuple[int, int]
    quilt_size: tuple[float, float]
    waves: Points
    lens: float

    def sag(self, points: Points) -> Points:
        """How far the draped cloth lies from where it would flat, at points in inches; same shape."""
        x, y = points[..., 0:1], points[..., 1:2]
        moved = np.zeros(points.shape)
        for axis in (0, 1):
            a, wx, wy, phase = self.waves[axis].T
            moved[..., axis] = (a * np.sin(wx * x + wy * y + phase)).sum(axis=-1)
        return moved

    def to_photo(self, points: Points, *, draped: bool = True) -> Points:
        """Where points of the quilt (or of the ground, `draped` false) lie in the photograph.

        Parameters
        ----------
        points : ndarray, shape (..., 2)
            Inches from the quilt's top left, flat.

        Returns
        -------
        ndarray, shape (..., 2)
            Pixels; the middle of the top left pixel is 0, 0.
        """
        lying = points
        for _ in range(8 if draped else 0):
            lying = points + self.sag(lying)
        ideal = cv2.perspectiveTransform(lying.reshape(-1, 1, 2), self.project).reshape(points.shape)
        middle, half = self._middle()
        seen = ideal
        for _ in range(20):
            radius = ((seen - middle) ** 2).sum(axis=-1, keepdims=True) / half**2
            seen = middle + (ideal - middle) / (1 + self.lens * radius)
        return np.asarray(seen)

    def _middle(self) -> tuple[Points, float]:
        width, height = self.photo_size
        return np.array([(width - 1) / 2, (height - 1) / 2]), float(np.hypot(width, height) / 2)

    def maps(self) -> tuple[Floats, Floats]:
        """For every pixel where it looks: at the ground, and at the flat quilt; inches, (height, width, 2) each."""
        width, height = self.photo_size
        across, down = -(-width // STRIDE), -(-height // STRIDE)
        xs = (np.arange(across) + 0.5) * STRIDE - 0.5
        ys = (np.arange(down) + 0.5) * STRIDE - 0.5
        seen = np.stack(np.meshgrid(xs, ys), axis=-1)
        middle, half = self._middle()
        radius = ((seen - middle) ** 2).sum(axis=-1, keepdims=True) / half**2
        ideal = middle + (seen - middle) * (1 + self.lens * radius)
        ground = cv2.perspectiveTransform(ideal.reshape(-1, 1, 2), np.linalg.inv(self.project))
        ground = np.asarray(ground, dtype=np.float64).reshape(seen.shape)
        cloth = ground - self.sag(ground)
        return tuple(  # type: ignore[return-value]
            cv2.resize(each.astype(np.float32), (across * STRIDE, down * STRIDE))[:height, :width]
            for each in (ground, cloth)
        )


def set_up(recipe: Recipe, quilt_size: tuple[float, float], rng: np.random.Generator) -> Camera:
    """Place the camera so that the quilt stands whole in the picture."""
    w, h = quilt_size
    long = recipe.long_side_px
    short = round(long / recipe.aspect)
    photo = (long, short) if w > h * 1.05 else (short, long)
    middle = np.array([[1, 0, -w / 2], [0, 1, -h / 2], [0, 0, 1]])
    tilt, swing, roll = np.deg2rad(
        [np.clip(recipe.tilt_deg, -38, 38), np.clip(recipe.swing_deg, -25, 25), recipe.roll_deg]
    )
    about_x = np.array([[1, 0, 0], [0, np.cos(tilt), -np.sin(tilt)], [0, np.sin(tilt), np.cos(tilt)]])
    about_y = np.array([[np.cos(swing), 0, np.sin(swing)], [0, 1, 0], [-np.sin(swing), 0, np.cos(swing)]])
    about_z = np.array([[np.cos(roll), -np.sin(roll), 0], [np.sin(roll), np.cos(roll), 0], [0, 0, 1]])
    turned = about_z @ about_x @ about_y
    away = 1.6 * max(w, h)
    look = np.column_stack([turned[:, 0], turned[:, 1], [0, 0, away]]) @ middle
    corners = cv2.perspectiveTransform(np.array([[[0.0, 0], [w, 0], [w, h], [0, h]]]), look)[0]
    low, high = corners.min(axis=0), corners.max(axis=0)
    scale = recipe.fill * np.min(np.array(photo) / (high - low))
    room = np.array(photo) - scale * (high - low)
    start = room * rng.uniform(0.3, 0.7, 2) if recipe.fill < 0.84 else room * rng.uniform(0.4, 0.6, 2)
    fit = np.array(
        [[scale, 0, start[0] - scale * low[0] - 0.5], [0, scale, start[1] - scale * low[1] - 0.5], [0, 0, 1]]
    )
    waves = np.stack(
        [
            np.stack(
                [
                    np.array([1.0, 0.6, 0.4, 0.3]) * recipe.drape * w * rng.uniform(0.4, 1, 4),
                    rng.normal(0, 1, 4) * np.array([3, 6, 10, 16]) / w,
                    rng.normal(0, 1, 4) * np.array([3, 6, 10, 16]) / w,
                    rng.uniform(0, 2 * np.pi, 4),
                ],
                axis=1,
            )
            for _ in (0, 1)
        ]
    )
    return Camera(fit @ look, photo, quilt_size, waves, recipe.lens)
