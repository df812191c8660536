"""What a quilt and its photograph do to a bolt of cloth: cut, worn, stained, lit, seen by a camera. For judging alone."""

from __future__ import annotations

from dataclasses import dataclass

import cv2
import numpy as np

from judging.rendering.bolts import PER_INCH, SIDE_IN, Bolt, Bytes, Floats


@dataclass(frozen=True, eq=False)
class Shot:
    """One quilt and its photograph: the same for every cloth in it.

    `scale` is how far its tape is off, `slant` what its perspective leaves, `age` how worn it is, 0 to 1.
    """

    px_per_inch: float
    gains: Floats
    curve: float
    blur_px: float
    grain: float
    quality: int
    scale: float
    slant: Floats
    age: float

    @staticmethod
    def by_chance(rng: np.random.Generator) -> Shot:
        """Draw one."""
        warm = rng.normal(0, 0.07)
        gains = np.array([1 + warm, 1 + rng.normal(0, 0.02), 1 - warm]) * np.exp(rng.normal(0, 0.16))
        px_per_inch = float(np.exp(rng.uniform(np.log(20), np.log(56))))
        curve, blur, grain = rng.uniform(0.88, 1.14), rng.uniform(0.35, 0.9), rng.uniform(0.006, 0.028)
        quality, scale = int(rng.integers(72, 95)), rng.normal(1, 0.012)
        slant, age = rng.normal(0, 0.015, (2, 2)), rng.uniform(0, 1)
        return Shot(px_per_inch, gains, curve, blur, grain, quality, scale, slant, age)


def wash(rng: np.random.Generator, rgb: Floats, fade: float, age: float) -> Floats:
    """Fade, yellow, rub and stain a patch of cloth; RGB 0..1."""
    tan = np.array([0.86, 0.80, 0.66])
    worn = rgb * (1 - fade) + fade * (0.35 * rgb.mean(axis=2, keepdims=True) + 0.65 * tan)
    height, width = rgb.shape[:2]
    coarse = cv2.resize(rng.random((5, 5)).astype(np.float32), (width, height), interpolation=cv2.INTER_CUBIC)
    rubbed = np.clip(coarse - 0.62, 0, 1)[..., None] * age * rng.uniform(0, 0.9)
    worn = worn * (1 - rubbed) + rubbed * 0.84
    if rng.random() < 0.35 * age:
        y, x = np.mgrid[0:height, 0:width]
        at, size = rng.uniform(0, 1, 2) * [height, width], rng.uniform(0.12, 0.4) * max(height, width)
        ring = np.exp(-((np.hypot(y - at[0], x - at[1]) / size) ** 4))[..., None] * rng.uniform(0.1, 0.4)
        worn = worn * (1 - ring) + ring * worn * np.array([0.78, 0.62, 0.42])
    return np.asarray(worn)


def patch(
    rng: np.random.Generator, bolt: Bolt, shot: Shot, fade: float, side_in: float, *, triangle: bool
) -> tuple[Bytes, Bytes]:
    """Cut a patch out of a bolt, any way round, and photograph it in its quilt.

    Returns
    -------
    (ndarray of uint8, ndarray of uint8)
        RGB and mask, in pixels of the photograph.
    """
    out = max(8, round(side_in * shot.px_per_inch))
    # The grain is off by a little; a triangle may be cut on the bias.
    bias = np.pi / 4 if triangle and rng.random() < 0.5 else 0.0
    turn = rng.integers(0, 4) * np.pi / 2 + rng.normal(0, 0.04) + bias
    spin = np.array([[np.cos(turn), -np.sin(turn)], [np.sin(turn), np.cos(turn)]]) @ (np.eye(2) + shot.slant)
    room = 0.8 * side_in * PER_INCH
    middle = rng.uniform(room, PER_INCH * SIDE_IN - room, 2)
    at = (np.arange(out * 3) + 0.5) / 3 - out / 2
    step = PER_INCH / shot.px_per_inch / shot.scale
    grid = (np.stack(np.meshgrid(at, at), axis=-1) @ (spin.T * step) + middle).astype(np.float32)
    seen = cv2.remap(bolt.rgb, grid[..., 0], grid[..., 1], cv2.INTER_LINEAR, borderMode=cv2.BORDER_REFLECT)
    cloth = cv2.resize(seen, (out, out), interpolation=cv2.INTER_AREA).astype(np.float64) / 255
    light = wash(rng, cloth, fade, shot.age) ** 2.2
    # Quilting and folds: the cloth leans toward the light here and away from it there.
    y, x = np.mgrid[0:out, 0:out] / shot.px_per_inch
    for _ in range(2):
        way, wave, deep = rng.uniform(0, 2 * np.pi), rng.uniform(0.8, 4), rng.uniform(0, 0.09)
        light *= 1 + deep * np.sin(2 * np.pi * (x * np.cos(way) + y * np.sin(way)) / wave + way)[..., None]
    light *= np.exp(rng.normal(0, 0.05)) * shot.gains
    soft = cv2.GaussianBlur(light, (0, 0), shot.blur_px)
    soft = soft + rng.normal(0, 1, soft.shape) * shot.grain * np.sqrt(np.clip(soft, 0.02, 1))
    rgb = np.rint(255 * np.clip(soft, 0, 1) ** (shot.curve / 2.2)).astype(np.uint8)
    _, packed = cv2.imencode(".jpg", rgb[..., ::-1], [cv2.IMWRITE_JPEG_QUALITY, shot.quality])
    opened = np.asarray(cv2.imdecode(packed, cv2.IMREAD_COLOR))
    mask = np.full((out, out), 255, np.uint8)
    if triangle:
        mask[:] = 0
        cv2.fillPoly(mask, [np.array([[0, 0], [out - 1, 0], [0, out - 1]])], 255)
    return np.ascontiguousarray(opened[..., ::-1], dtype=np.uint8), mask
