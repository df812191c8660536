"""What is laid on a plain square and is no piecing: appliqué, embroidery, lines of words."""

from __future__ import annotations

import cv2
import numpy as np
from numpy.typing import NDArray

from judging.training.patchwork.cloth import Image, dye, write
from judging.training.patchwork.outlines import Ring, Rng

_ROUND = np.linspace(0, 2 * np.pi, 48, endpoint=False)


def _figure(rng: Rng) -> Ring:
    """An outline about 0 that reaches to about 1: a heart, a leaf, a petal, a circle, a star, or nothing in particular."""
    kind = int(rng.integers(6))
    if kind == 0:
        x, y = np.sin(_ROUND) ** 3, -(13 * np.cos(_ROUND) - 5 * np.cos(2 * _ROUND) - 2 * np.cos(3 * _ROUND)) / 16
        return np.stack([x, y], axis=-1)
    if kind == 1:  # a leaf
        return np.stack([np.cos(_ROUND), rng.uniform(0.2, 0.5) * np.sin(_ROUND) * np.abs(np.sin(_ROUND))], axis=-1)
    if kind == 2:
        reach = np.array([1.0, rng.uniform(0.3, 1)])
        return np.asarray(np.stack([np.cos(_ROUND), np.sin(_ROUND)], axis=-1) * reach, float)
    r = np.full(len(_ROUND), 0.7)
    if kind == 3:  # petals
        r = 0.6 + 0.4 * np.cos(int(rng.integers(3, 9)) * _ROUND)
    elif kind == 4:  # a star of straight points
        points = int(rng.integers(4, 9))
        around = np.linspace(0, 2 * np.pi, 2 * points, endpoint=False)
        r = np.where(np.arange(2 * points) % 2, rng.uniform(0.3, 0.7), 1.0)
        return np.stack([r * np.cos(around), r * np.sin(around)], axis=-1)
    else:
        for k in range(1, 6):
            r = r + rng.normal(0, 0.16) * np.cos(k * _ROUND + rng.uniform(0, 6))
    return np.stack([r * np.cos(_ROUND), r * np.sin(_ROUND)], axis=-1)


def _laid(rng: Rng, ring: Ring, middle: NDArray[np.float64], reach: float) -> NDArray[np.int32]:
    angle = rng.uniform(0, 2 * np.pi) if rng.random() < 0.6 else np.pi / 2 * rng.integers(4)
    turn = np.array([[np.cos(angle), -np.sin(angle)], [np.sin(angle), np.cos(angle)]])
    return np.asarray(np.rint(middle + reach * ring @ turn.T), np.int32)


def apply(rng: Rng, ground: Image, cloths: list[Image]) -> Image:
    """Lay figures of other cloths, embroidery or words on a piece of cloth.

    Parameters
    ----------
    rng : Generator
    ground : ndarray, shape (tall, wide, 3)
        sRGB 0..255; left as it is.
    cloths : list of ndarray
        Of which figures are cut; each at least as large as the ground.

    Examples
    --------
    >>> plain = np.full((40, 40, 3), 200, np.float32)
    >>> apply(np.random.default_rng(1), plain, [plain * 0]).shape
    (40, 40, 3)
    """
    picture = np.ascontiguousarray(ground.copy())
    tall, wide = picture.shape[:2]
    side = min(tall, wide)
    if rng.random() < 0.35:
        return _worded(rng, picture, side)
    figure, count = _figure(rng), int(rng.choice([1, 1, 2, 4, 6, 8, 12]))
    reach = side * (rng.uniform(0.2, 0.48) if count == 1 else rng.uniform(0.07, 0.2))
    ring_of = rng.uniform(0.2, 0.36) * side
    start = rng.uniform(0, 2 * np.pi)
    for k in range(count):
        if count == 1:
            middle = np.array([wide, tall]) * rng.uniform(0.4, 0.6, 2)
        elif rng.random() < 0.8:  # in a wreath
            around = start + 2 * np.pi * k / count
            middle = np.array([wide, tall]) / 2 + ring_of * np.array([np.cos(around), np.sin(around)])
        else:
            middle = np.array([wide, tall]) * rng.uniform(0.15, 0.85, 2)
        each = figure if rng.random() < 0.85 else _figure(rng)
        layers = int(rng.choice([1, 1, 2, 3]))
        for layer in range(layers):
            outline = _laid(rng, each, middle, reach * (1 - 0.3 * layer))
            _fill(rng, picture, outline, cloths[int(rng.integers(len(cloths)))])
    return picture


def _fill(rng: Rng, picture: Image, outline: NDArray[np.int32], cloth: Image) -> None:
    tall, wide = picture.shape[:2]
    mask = np.zeros((tall, wide), np.uint8)
    cv2.fillPoly(mask, [outline], [255], cv2.LINE_AA)
    y = int(rng.integers(0, max(1, cloth.shape[0] - tall + 1)))
    x = int(rng.integers(0, max(1, cloth.shape[1] - wide + 1)))
    cut = cloth[y : y + tall, x : x + wide]
    share = mask[: len(cut), : cut.shape[1], None] * np.float32(1 / 255)
    picture[: len(cut), : cut.shape[1]] += share * (cut - picture[: len(cut), : cut.shape[1]])
    if rng.random() < 0.5:  # stitched around
        ink = tuple(float(c) for c in dye(rng))
        cv2.polylines(picture, [outline], True, ink, max(1, int(min(tall, wide) / 90)), cv2.LINE_AA)


def _worded(rng: Rng, picture: Image, side: int) -> Image:
    """Lines of words, of several inks and sizes, as they are stitched or printed in the middle of a square."""
    tall, wide = picture.shape[:2]
    inks = [dye(rng) for _ in range(int(rng.integers(1, 4)))]
    lines = int(rng.integers(1, 10))
    step = side * rng.uniform(0.35, 0.8) / max(lines, 3)
    y = tall / 2 - step * lines / 2 + step
    for _ in range(lines):
        words = "".join(
            chr(int(c)) for c in rng.choice([32, *range(65, 91), *range(97, 123)], int(rng.integers(2, 16)))
        )
        size = step / 30 * rng.uniform(0.6, 1.1)
        across = wide / 2 - 9 * size * len(words)
        write(
            rng,
            picture,
            words,
            (int(max(across, 0)), int(y)),
            size,
            tuple(inks[int(rng.integers(len(inks)))].tolist()),
        )
        y += step
    return picture
