"""The photograph: flat quilt and ground through the camera, then light, color, noise and JPEG."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import cv2
import numpy as np
from numpy.typing import NDArray

from judging.rendering.camera import Camera
from judging.rendering.flat import Flat, smooth_noise
from judging.rendering.grounds import draw_ground, lay_clutter
from judging.rendering.recipe import Recipe

Floats = NDArray[np.floating[Any]]
Draw = Callable[[Floats], Floats]


def photograph(
    flat: Flat, camera: Camera, recipe: Recipe, rng: np.random.Generator, ground: Draw | None = None
) -> Floats:
    """See quilt and ground through the camera, before light and sensor; RGB 0..1 (height, width, 3).

    `ground` draws another than the recipe's, from the spot in inches that each pixel sees.
    """
    ground_at, cloth_at = camera.maps()
    photo = ground(ground_at) if ground else draw_ground(recipe.ground, ground_at, rng)
    at = cloth_at * np.float32(flat.density) + np.float32(flat.pad - 0.5)
    # The flat picture is finer than the photograph: blur it by what a pixel sees, lest its prints make moiré.
    scale = flat.density * float(np.median(np.abs(np.diff(cloth_at[::16, :, 0], axis=1))))
    source = cv2.GaussianBlur(flat.rgb, (0, 0), 0.42 * scale) if scale > 0.8 else flat.rgb
    quilt = cv2.remap(source, at[..., 0], at[..., 1], cv2.INTER_LINEAR, borderMode=cv2.BORDER_REPLICATE)
    cover, inside = _cover(cloth_at, camera)
    # The edge is a fold: it turns down and away from the light.
    quilt = quilt * (1 - 0.22 * np.exp(-np.maximum(inside, 0) / 0.22))[..., None]
    thick = camera.photo_size[0] * 0.006
    shadow = cv2.GaussianBlur(np.roll(cover, (int(thick), int(thick * 0.7)), (0, 1)), (0, 0), thick)
    photo *= (1 - 0.5 * shadow * (recipe.ground != "backdrop"))[..., None]
    return np.asarray(photo + cover[..., None] * (quilt - photo), dtype=np.float32)


def _cover(cloth_at: Floats, camera: Camera) -> tuple[Floats, Floats]:
    """How much of each pixel the quilt covers, and how far inside its edges it looks, in inches."""
    w, h = camera.quilt_size
    x, y = cloth_at[..., 0], cloth_at[..., 1]
    inside = np.minimum(np.minimum(x, w - x), np.minimum(y, h - y))
    pixel = np.abs(np.diff(cloth_at[::16, :, 0], axis=1)).mean()
    return np.asarray(np.clip(inside / pixel + 0.5, 0, 1), dtype=np.float32), inside


def expose(photo: Floats, recipe: Recipe, rng: np.random.Generator) -> NDArray[np.uint8]:
    """Light a scene, and let sensor and JPEG do their part; RGB uint8."""
    height, width = photo.shape[:2]
    xs, ys = (
        np.linspace(-1, 1, width, dtype=np.float32)[None, :],
        np.linspace(-1, 1, height, dtype=np.float32)[:, None],
    )
    angle = rng.uniform(0, 2 * np.pi)
    slope = np.float32(np.cos(angle)) * xs + np.float32(np.sin(angle)) * ys
    light = 1 + recipe.uneven_light * (0.45 * slope - 0.25 * (xs**2 + ys**2) + 0.1)
    if recipe.shadow:
        edge = np.float32(np.cos(angle + 2)) * xs + np.float32(np.sin(angle + 2)) * ys - rng.uniform(-0.6, 0.6)
        edge = edge + 0.15 * smooth_noise((height, width), 0.5 * width, rng)
        light = light * (1 - recipe.shadow / (1 + np.exp(-edge * rng.uniform(8, 40))))
    tone = np.array(recipe.cast, np.float32) * recipe.exposure
    photo = photo * (light[..., None] * tone)
    # Highlights roll off as in a camera, rather than being cut.
    photo = np.where(photo > 0.85, 0.85 + 0.15 * np.tanh((photo - 0.85) / 0.15), photo)
    photo = np.asarray(cv2.GaussianBlur(photo.astype(np.float32), (0, 0), max(recipe.blur_px, 0.2)))
    gray = rng.standard_normal((height, width), dtype=np.float32)
    coarse = cv2.resize(rng.standard_normal((height // 2 + 1, width // 2 + 1, 3), dtype=np.float32), (width, height))
    photo = photo + recipe.noise * (0.7 * gray[..., None] + 0.5 * coarse)
    seen = np.rint(np.clip(photo, 0, 1) * 255).astype(np.uint8)
    _, packed = cv2.imencode(".jpg", seen[..., ::-1], [cv2.IMWRITE_JPEG_QUALITY, recipe.jpeg])
    opened = np.asarray(cv2.imdecode(packed, cv2.IMREAD_COLOR))
    return np.ascontiguousarray(opened[..., ::-1], dtype=np.uint8)


def shoot(flat: Flat, camera: Camera, recipe: Recipe, rng: np.random.Generator) -> NDArray[np.uint8]:
    """Take the photograph."""
    photo = photograph(flat, camera, recipe, rng)
    lay_clutter(photo, camera, recipe.clutter, rng)
    return expose(photo, recipe, rng)
