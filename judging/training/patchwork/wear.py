"""What lies over a quilt top: the seams' own shadow, quilting, folds, light, stains; and what a camera makes of it."""

from __future__ import annotations

import cv2
import numpy as np
from numpy.typing import NDArray

from judging.training.patchwork.cloth import Image, dye, noise
from judging.training.patchwork.outlines import Ring, Rng


def raise_seams(rng: Rng, picture: Image, seams: Image, side: float) -> Image:
    """Give the picture with a thin shadow along its seams, and with one side of them standing a little higher.

    Parameters
    ----------
    rng : Generator
    picture : ndarray, shape (n, n, 3)
        sRGB 0..255.
    seams : ndarray, shape (n, n)
        0..1, how much of a pixel lies on a seam.
    side : float
        Of a block, in pixels.

    Examples
    --------
    >>> plain = np.full((32, 32, 3), 200, np.float32)
    >>> seams = np.zeros((32, 32), np.float32)
    >>> seams[:, 16] = 1
    >>> seen = raise_seams(np.random.default_rng(0), plain, seams, 24.0)
    >>> bool(seen[:, 16].mean() < seen[:, 4].mean())
    True
    """
    broad = np.minimum(2 * seams, 1)
    if rng.random() < 0.8:
        line = cv2.GaussianBlur(broad, (0, 0), rng.uniform(0.4, 1.3))
        shadow = np.asarray(1 - np.clip(line * rng.uniform(0, 0.55), 0, 0.6), np.float32)
        picture = picture * shadow[..., None]
    if rng.random() < 0.5:
        relief = cv2.GaussianBlur(broad, (0, 0), side * rng.uniform(0.02, 0.06))
        across, down = cv2.Sobel(relief, cv2.CV_32F, 1, 0), cv2.Sobel(relief, cv2.CV_32F, 0, 1)
        lit = across * rng.normal(0, 1) + down * rng.normal(0, 1)
        raised = np.asarray(1 + np.clip(lit * rng.uniform(0, 1.2), -0.25, 0.25), np.float32)
        picture = picture * raised[..., None]
    return picture


def quilt(rng: Rng, picture: Image, rings: list[Ring], side: float) -> Image:
    """Give the picture quilted once or twice over, or not at all.

    Parameters
    ----------
    rng : Generator
    picture : ndarray, shape (n, n, 3)
        sRGB 0..255.
    rings : list of ndarray, shape (m, 2)
        Outlines of the pieces in pixels.
    side : float
        Of a block, in pixels.

    Examples
    --------
    >>> quilt(np.random.default_rng(0), np.full((32, 32, 3), 200, np.float32), [], 24.0).shape
    (32, 32, 3)
    """
    if rng.random() >= 0.6:
        return picture
    for _ in range(int(rng.integers(1, 3))):
        stitched = _quilting(rng, len(picture), side, rings)
        if rng.random() < 0.5:
            stitched = cv2.GaussianBlur(stitched, (0, 0), rng.uniform(0.5, 2.0)) * 1.5
        thread = rng.choice([-1.0, -1.0, 1.0]) * stitched * rng.uniform(8, 70)
        picture = (picture + thread[..., None]).astype(np.float32)
        if rng.random() < 0.5:
            soft = cv2.GaussianBlur(stitched, (0, 0), side * rng.uniform(0.02, 0.08))
            soft = cv2.Sobel(soft, cv2.CV_32F, 1, 1) if rng.random() < 0.3 else cv2.Sobel(soft, cv2.CV_32F, 0, 1)
            picture = picture * (1 + np.clip(soft * rng.uniform(0, 3), -0.2, 0.2))[..., None]
    return picture


def _quilting(rng: Rng, full: int, side: float, rings: list[Ring]) -> Image:
    """Lines of quilting, shape (full, full), 0..1."""
    lines = np.zeros((full, full), np.float32)
    kind = rng.choice(6)
    thick = 1 if rng.random() < 0.7 else 2
    if kind in (0, 1):
        for angle in [rng.choice([0, 45, 90, 135, rng.uniform(0, 180)])] + (
            [rng.uniform(0, 180)] if kind == 1 else []
        ):
            gap = side * rng.uniform(0.08, 0.6)
            way = np.array([np.cos(np.radians(angle)), np.sin(np.radians(angle))])
            across = np.array([-way[1], way[0]])
            for k in np.arange(-2 * full, 2 * full, gap):
                a, b = full / 2 + across * k - way * 2 * full, full / 2 + across * k + way * 2 * full
                cv2.line(lines, tuple(int(v) for v in a), tuple(int(v) for v in b), 1.0, thick, cv2.LINE_AA)
    elif kind == 2:
        middle = rng.uniform(-full, 2 * full, 2)
        for r in np.arange(4, 3 * full, side * rng.uniform(0.1, 0.5)):
            cv2.circle(lines, tuple(int(v) for v in middle), int(r), 1.0, thick, cv2.LINE_AA)
    elif kind == 3:
        points = rng.uniform(0, full, 2) + np.cumsum(
            rng.normal(0, side * 0.12, (400, 2)).cumsum(axis=0) * 0.3, axis=0
        ) % (2 * full)
        cv2.polylines(lines, [points.astype(np.int32)], False, 1.0, thick, cv2.LINE_AA)
    elif kind == 4:  # beside each seam
        off = side * rng.uniform(0.02, 0.07)
        for ring in rings:
            middle = ring.mean(axis=0)
            reach = np.linalg.norm(ring - middle, axis=1).mean()
            if reach > 2.5 * off:
                inner = middle + (ring - middle) * (1 - off / reach * 1.4)
                cv2.polylines(lines, [np.rint(inner).astype(np.int32)], True, 1.0, thick, cv2.LINE_AA)
    else:  # a figure in each spot
        for y in np.arange(0, full, side):
            for x in np.arange(0, full, side):
                for k in range(6):
                    cv2.ellipse(
                        lines,
                        (int(x), int(y)),
                        (int(side * 0.4), int(side * 0.14)),
                        30 * k,
                        0,
                        360,
                        1.0,
                        thick,
                        cv2.LINE_AA,
                    )
    if rng.random() < 0.5:  # stitches
        period = rng.uniform(3, 8)
        grid = np.add.outer(np.arange(full), np.arange(full))
        lines *= ((grid / period) % 1 < 0.6).astype(np.float32)
    return lines


def light(rng: Rng, picture: Image, side: float) -> Image:
    """Give the picture in uneven light, sometimes with folds.

    Examples
    --------
    >>> light(np.random.default_rng(0), np.full((32, 32, 3), 200, np.float32), 24.0).shape
    (32, 32, 3)
    """
    full = len(picture)
    shine = 1 + noise(rng, full, full / rng.uniform(1.2, 4)) * rng.uniform(0, 0.12)
    if rng.random() < 0.4:
        for _ in range(int(rng.integers(1, 4))):
            a = rng.uniform(0, np.pi) if rng.random() < 0.5 else rng.choice([0, np.pi / 2]) + rng.normal(0, 0.05)
            grid = np.arange(full, dtype=np.float32) - full / 2
            along = grid[None, :] * np.cos(a) + grid[:, None] * np.sin(a) - rng.uniform(-full / 2, full / 2)
            width = side * rng.uniform(0.02, 0.4)
            shine += np.tanh(along / width) * np.exp(-np.abs(along) / (width * 3)) * rng.uniform(-0.2, 0.2)
    return picture * shine[..., None]


def stain(rng: Rng, picture: Image, side: float) -> Image:
    """Give the picture with stains and worn places, or without.

    Examples
    --------
    >>> stain(np.random.default_rng(0), np.full((32, 32, 3), 200, np.float32), 24.0).shape
    (32, 32, 3)
    """
    if rng.random() >= 0.25:
        return picture
    full = len(picture)
    for _ in range(int(rng.integers(1, 5))):
        disk = np.zeros((full, full), np.float32)
        x, y = (int(v) for v in rng.integers(0, full, 2))
        wide, tall = (int(v) for v in np.maximum(rng.uniform(0.03, 0.6, 2) * side, 2))
        cv2.ellipse(disk, (x, y), (wide, tall), float(rng.uniform(0, 180)), 0, 360, [1.0], -1)
        spot = cv2.GaussianBlur(disk, (0, 0), rng.uniform(0.5, 10))
        tint = np.array([200, 180, 140], np.float32) if rng.random() < 0.6 else dye(rng)
        picture = picture + spot[..., None] * rng.uniform(0.1, 0.7) * (tint - picture)
    return picture


def photograph(rng: Rng, picture: Image) -> NDArray[np.uint8]:
    """Give the picture faded by years and taken by a camera: its colors, blur, size, noise and file.

    Examples
    --------
    >>> photograph(np.random.default_rng(0), np.full((32, 32, 3), 200, np.float32)).dtype
    dtype('uint8')
    """
    full = len(picture)
    if rng.random() < 0.5:
        fade = rng.uniform(0.45, 1)
        picture = picture * fade + (1 - fade) * rng.uniform(90, 220)
    if rng.random() < 0.15:  # too little light
        picture = picture * rng.uniform(0.25, 0.7)
    if rng.random() < 0.08:
        picture = np.repeat(picture.mean(axis=2, keepdims=True), 3, axis=2)
    picture = picture * (1 + rng.normal(0, 0.06, 3)).astype(np.float32)
    picture = np.asarray(255 * np.clip(picture / 255, 0, 1) ** np.float32(rng.uniform(0.75, 1.35)), np.float32)
    if rng.random() < 0.75:
        picture = np.asarray(cv2.GaussianBlur(picture, (0, 0), rng.uniform(0.3, 1.4)), np.float32)
    if rng.random() < 0.3:  # made smaller, and larger again
        small = int(full * rng.uniform(0.4, 0.9))
        reduced = cv2.resize(picture, (small, small), interpolation=cv2.INTER_AREA)
        picture = np.asarray(cv2.resize(reduced, (full, full)), np.float32)
    grainy = picture + rng.normal(0, rng.uniform(0, 7), picture.shape)
    taken = np.clip(grainy, 0, 255).astype(np.uint8)
    if rng.random() < 0.5:
        coded = cv2.imencode(".jpg", taken, [cv2.IMWRITE_JPEG_QUALITY, int(rng.integers(30, 95))])[1]
        return np.asarray(cv2.imdecode(coded, cv2.IMREAD_COLOR), np.uint8)
    return taken
