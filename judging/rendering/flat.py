"""A sewn quilt as it would look straight from above in even light: cloth, seams, quilting, fading, wear."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import cv2
import numpy as np
from numpy.typing import NDArray

from judging.rendering.cloth import TILE
from judging.rendering.piecing import Made
from judging.rendering.recipe import Recipe

Floats = NDArray[np.floating[Any]]


@dataclass(frozen=True, slots=True)
class Flat:
    """A flat picture: RGB 0..1 (height, width, 3), how many pixels an inch has, and how many surround the quilt."""

    rgb: Floats
    density: float
    pad: int


def lay_flat(made: Made, recipe: Recipe, density: float, rng: np.random.Generator) -> Flat:
    """Render a sewn quilt flat.

    Parameters
    ----------
    made : Made
        The pieces, in the order in which they lie.
    recipe : Recipe
        How it is quilted, faded and worn.
    density : float
        Pixels to an inch.
    rng : Generator
        Where chance comes from.

    Returns
    -------
    Flat
    """
    pad = 3
    width, height = (round(side * density) + 2 * pad for side in made.size)
    labels = np.zeros((height, width), np.int32)
    for number, outline in enumerate(made.outlines):
        ring = np.rint((outline * density + pad - 0.5) * 16).astype(np.int32)
        cv2.fillPoly(labels, [ring.reshape(-1, 1, 2)], number, shift=4)
    rgb = _cloth(made, labels, rng)
    seams = _seams(labels)
    rgb = _aged(rgb, made, recipe, labels, seams, density, rng)
    shade = _relief(recipe, seams, density, rng)
    return Flat(np.clip(rgb * shade[..., None], 0, 1), density, pad)


def smooth_noise(shape: tuple[int, int], step_px: float, rng: np.random.Generator) -> Floats:
    """Soft noise of unit spread whose bumps measure about `step_px`."""
    height, width = shape
    step = max(step_px / 2, 1.0)
    coarse = rng.standard_normal((int(height / step) + 4, int(width / step) + 4), dtype=np.float32)
    soft = cv2.GaussianBlur(coarse, (0, 0), 0.9)
    soft = soft / (soft.std() + 1e-6)
    return np.asarray(cv2.resize(soft, (width, height), interpolation=cv2.INTER_CUBIC), dtype=np.float32)


def _cloth(made: Made, labels: NDArray[np.int32], rng: np.random.Generator) -> Floats:
    """Look every pixel up in the tile of its piece, each piece cut from its own spot of the cloth."""
    atlas = np.zeros((len(made.cloths), TILE, TILE, 4), np.uint8)
    for number, cloth in enumerate(made.cloths):
        atlas[number, ..., :3] = cloth.tile
    packed = atlas.reshape(-1, 4).view(np.uint32).ravel()
    count = len(made.outlines)
    of = np.array(made.cloth_of, np.int32) * TILE * TILE
    grain = np.array(made.grain, np.int32)
    start = rng.integers(0, TILE, (2, count), dtype=np.int32)
    lean = rng.normal(0, 8, count).clip(-20, 20).astype(np.int32)
    height, width = labels.shape
    ys, xs = np.arange(height, dtype=np.int32)[:, None], np.arange(width, dtype=np.int32)[None, :]
    leaning = lean[labels]
    u = (xs + (ys * leaning >> 8) + start[0][labels]) % TILE
    v = (ys - (xs * leaning >> 8) + start[1][labels]) % TILE
    turned = grain[labels] == 1
    index = of[labels] + np.where(turned, u * TILE + v, v * TILE + u)
    pixels = packed[index].view(np.uint8).reshape(height, width, 4)[..., :3]
    return np.asarray(pixels, dtype=np.float32) / np.float32(255)


def _seams(labels: NDArray[np.int32]) -> Floats:
    """1 along every seam, else 0."""
    seams = np.zeros(labels.shape, np.float32)
    seams[:, 1:] = labels[:, 1:] != labels[:, :-1]
    seams[1:] = np.maximum(seams[1:], labels[1:] != labels[:-1])
    return seams


def _aged(
    rgb: Floats,
    made: Made,
    recipe: Recipe,
    labels: NDArray[np.int32],
    seams: Floats,
    density: float,
    rng: np.random.Generator,
) -> Floats:
    shape = rgb.shape[:2]
    # Some dyes fly, others hold; light reaches one side of a bed more than the other.
    flight = (rng.beta(1.2, 2.5, len(made.cloths)) * recipe.fade).astype(np.float32)
    sun = 0.75 + 0.35 * smooth_noise(shape, max(shape) * 0.7, rng)
    faded = flight[np.array(made.cloth_of)][labels] * np.clip(sun, 0.2, 1.6)
    gray = rgb @ np.array([0.3, 0.6, 0.1], np.float32)
    pale = np.stack([gray * 0.62 + 0.34, gray * 0.62 + 0.315, gray * 0.62 + 0.27], axis=-1)
    rgb = rgb + faded[..., None] * (pale - rgb)
    if recipe.wear:
        rgb = _worn(rgb, made, recipe, labels, seams, density, rng)
    for _ in range(recipe.stains):
        rgb = _stained(rgb, density, rng)
    return np.asarray(rgb, dtype=np.float32)


def _worn(
    rgb: Floats,
    made: Made,
    recipe: Recipe,
    labels: NDArray[np.int32],
    seams: Floats,
    density: float,
    rng: np.random.Generator,
) -> Floats:
    """Wear cloth through: at its seams first, and where a dye has eaten it; threads stay over the pale filling."""
    shape = rgb.shape[:2]
    eaten = (rng.beta(0.45, 4.0, len(made.cloths)) * recipe.wear).astype(np.float32)[np.array(made.cloth_of)][labels]
    reach = max(0.13 * density, 0.8)
    near = cv2.GaussianBlur(seams, (0, 0), reach) * reach * 2.5
    field = 0.6 * smooth_noise(shape, 0.35 * density, rng) + 0.7 * smooth_noise(shape, 1.3 * density, rng)
    threads = rng.standard_normal(shape, dtype=np.float32)
    long = max(round(0.5 * density), 3)
    threads = cv2.blur(threads, (long, 1)) * long**0.5
    left = np.clip(0.62 + 0.5 * threads, 0.1, 1)
    bare = np.clip((field + 2.6 * eaten + 0.7 * near * recipe.wear - 2.2) * 1.6, 0, 0.9) * left
    pale = np.array([0.84, 0.8, 0.72], np.float32)
    return np.asarray(rgb + bare[..., None] * (pale - rgb), dtype=np.float32)


def _stained(rgb: Floats, density: float, rng: np.random.Generator) -> Floats:
    height, width = rgb.shape[:2]
    x, y = rng.uniform(0, width), rng.uniform(0, height)
    reach = rng.uniform(0.6, 4) * density
    x0, x1 = max(int(x - 2 * reach), 0), min(int(x + 2 * reach), width)
    y0, y1 = max(int(y - 2 * reach), 0), min(int(y + 2 * reach), height)
    if x1 - x0 < 4 or y1 - y0 < 4:
        return rgb
    ys, xs = np.mgrid[y0:y1, x0:x1].astype(np.float32)
    away = np.hypot(xs - x, ys - y) / reach + 0.25 * smooth_noise((y1 - y0, x1 - x0), reach, rng)
    # A water stain is darkest at its rim.
    mark = (
        np.clip((1 - away) * 6, 0, 1) * (0.45 + 0.55 * np.exp(-(((away - 0.93) / 0.1) ** 2))) * rng.uniform(0.15, 0.5)
    )
    tan = np.array([0.72, 0.56, 0.34], np.float32)
    rgb[y0:y1, x0:x1] *= 1 - mark[..., None] * (1 - tan)
    return rgb


def _relief(recipe: Recipe, seams: Floats, density: float, rng: np.random.Generator) -> Floats:
    """Light and shade of seams, quilting, puckers and creases, lit from one side."""
    shape = seams.shape
    near, far = max(0.06 * density, 0.7), max(0.22 * density, 1.5)
    line = cv2.GaussianBlur(seams, (0, 0), near) * near * 2.5
    height = -cv2.GaussianBlur(seams, (0, 0), far) * far * 2.5 * recipe.seam_depth * 0.6
    away = _quilting(recipe, seams, density, rng)
    stitched = np.zeros(shape, np.float32)
    if away is not None:
        stitched = np.exp(-((away / max(0.09 * density, 0.9)) ** 2))
        height = height + recipe.puff * (1 - np.exp(-((away / (0.45 * density)) ** 2))) * 1.2
        # Puckers run off from the stitching.
        height = height + recipe.puff * 0.35 * smooth_noise(shape, 0.45 * density, rng) * np.exp(
            -away / (0.8 * density)
        )
    height = height + recipe.puff * 0.35 * smooth_noise(shape, 1.6 * density, rng)
    height = height + 0.9 * smooth_noise(shape, 9 * density, rng)
    if recipe.creases:
        height = height + _creases(recipe.creases, shape, density, rng)
    angle = rng.uniform(0, 2 * np.pi)
    slope = cv2.Sobel(height, cv2.CV_32F, 1, 0, scale=1 / 8) * np.cos(angle) + cv2.Sobel(
        height, cv2.CV_32F, 0, 1, scale=1 / 8
    ) * np.sin(angle)
    weave = rng.standard_normal(shape, dtype=np.float32)
    weave = cv2.blur(weave, (5, 1)) + cv2.blur(weave, (1, 5))
    shade = 1 + np.tanh(slope * density * 0.14) * 0.3
    return np.asarray(
        shade * (1 - 0.28 * recipe.seam_depth * np.clip(line, 0, 1)) * (1 - 0.12 * stitched) * (1 + 0.022 * weave),
        dtype=np.float32,
    )


def _quilting(recipe: Recipe, seams: Floats, density: float, rng: np.random.Generator) -> Floats | None:
    """Distance in pixels of every pixel from the nearest line of quilting; None when there is none."""
    kind = recipe.quilting
    height, width = seams.shape
    ys, xs = np.arange(height, dtype=np.float32)[:, None], np.arange(width, dtype=np.float32)[None, :]
    step = recipe.quilting_step * density
    if kind == "grid":
        return _nearer(np.abs((xs + step / 3) % step - step / 2), np.abs((ys + step / 3) % step - step / 2))
    if kind == "diagonal":
        return np.asarray(np.abs((xs + ys) % (1.41 * step) - 0.705 * step) / 1.41)
    if kind == "crosshatch":
        one, two = (np.abs((xs + sign * ys) % (1.41 * step) - 0.705 * step) / 1.41 for sign in (1, -1))
        return _nearer(one, two)
    if kind == "fans":
        cell = 6 * step
        x, y = xs % cell, ys % cell
        return np.asarray(np.abs(np.hypot(x, cell - y) % step - step / 2))
    if kind == "in the ditch":
        # Without any seam everything lies far from one.
        away = cv2.distanceTransform((seams == 0).astype(np.uint8), cv2.DIST_L2, 3)
        return np.asarray(np.minimum(away, max(height, width)))
    if kind == "meander":
        noise = smooth_noise(seams.shape, 2.2 * step, rng)
        return np.asarray(np.abs(noise) * step * 0.6)
    if kind == "ties":
        gap = 5 * density
        return np.asarray(np.hypot(xs % gap - gap / 2, ys % gap - gap / 2))
    return None


def _nearer(one: Floats, two: Floats) -> Floats:
    return np.asarray(np.minimum(one, two), dtype=np.float32)


def _creases(count: int, shape: tuple[int, int], density: float, rng: np.random.Generator) -> Floats:
    """Folds from years in a chest: straight across, in halves and thirds."""
    height, width = shape
    field = np.zeros(shape, np.float32)
    ys, xs = np.arange(height, dtype=np.float32)[:, None], np.arange(width, dtype=np.float32)[None, :]
    places = [(axis, part) for axis in (0, 1) for part in (1 / 2, 1 / 3, 2 / 3, 1 / 4, 3 / 4)]
    for index in rng.permutation(len(places))[: 2 * count]:
        axis, part = places[index]
        lean = rng.normal(0, 0.01)
        across = (xs - part * width + lean * ys) if axis else (ys - part * height + lean * xs)
        field += float(rng.choice([-1, 1])) * rng.uniform(0.8, 1.8) * np.exp(-np.abs(across) / (0.35 * density))
    return field
