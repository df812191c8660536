"""Cloth made up by chance: plain, mottled, striped, checked, printed, woven, shaded, crackled, or a picture."""

from __future__ import annotations

import cv2
import numpy as np
from numpy.typing import NDArray

from judging.training.patchwork.outlines import Rng

Image = NDArray[np.float32]
Color = NDArray[np.float32]

TILE = 320
_MOST_FIGURES = 900


def dye(rng: Rng) -> Color:
    """Give a color of cloth, sRGB 0..255, shape (3,).

    Examples
    --------
    >>> dye(np.random.default_rng(0)).shape
    (3,)
    """
    hue, sat, val = rng.uniform(0, 180), rng.beta(1.6, 2.0) * 255, np.clip(rng.beta(2.0, 1.6), 0.08, 1) * 255
    if rng.random() < 0.18:
        sat, val = rng.uniform(0, 40), rng.uniform(170, 255)
    if rng.random() < 0.08:
        sat, val = rng.uniform(0, 60), rng.uniform(15, 60)
    color = cv2.cvtColor(np.array([[[hue, sat, val]]]).astype(np.uint8), cv2.COLOR_HSV2RGB)
    return np.asarray(color[0, 0], np.float32)


def _near(rng: Rng, color: Color, by: float) -> Color:
    return np.clip(color + rng.normal(0, by, 3) + rng.normal(0, by), 0, 255).astype(np.float32)


def noise(rng: Rng, side: int, scale: float) -> Image:
    """Give smooth chance about 0, shape (side, side), that changes over so many pixels.

    Examples
    --------
    >>> noise(np.random.default_rng(0), 64, 8.0).shape
    (64, 64)
    """
    small = rng.normal(0, 1, (max(2, int(side / scale)),) * 2).astype(np.float32)
    return np.asarray(cv2.resize(small, (side, side), interpolation=cv2.INTER_CUBIC), np.float32)


def _ink(color: Color) -> tuple[float, ...]:
    return tuple(float(c) for c in color)


def _draw_motif(rng: Rng, tile: Image, at: tuple[int, int], size: float, color: Color, shape: int) -> None:
    x, y = at
    ink = _ink(color)
    r = max(1, int(size))
    if shape == 0:
        cv2.circle(tile, (x, y), r, ink, -1, cv2.LINE_AA)
    elif shape == 1:
        cv2.ellipse(tile, (x, y), (r, max(1, r // 2)), float(rng.uniform(0, 180)), 0, 360, ink, -1, cv2.LINE_AA)
    elif shape == 2:  # a flower
        for k in range(5):
            a = k * 2 * np.pi / 5 + rng.uniform(0, 0.4)
            cv2.circle(
                tile,
                (int(x + r * 0.7 * np.cos(a)), int(y + r * 0.7 * np.sin(a))),
                max(1, r // 2),
                ink,
                -1,
                cv2.LINE_AA,
            )
        cv2.circle(tile, (x, y), max(1, r // 3), _ink(dye(rng)), -1, cv2.LINE_AA)
    elif shape == 3:
        a = rng.uniform(0, np.pi)
        corners = [(x + r * np.cos(a + k * np.pi / 2), y + r * np.sin(a + k * np.pi / 2)) for k in range(4)]
        cv2.fillPoly(tile, [np.array(corners, np.int32)], ink, cv2.LINE_AA)
    elif shape == 4:
        line = np.stack([x + r * rng.normal(0, 0.8, 6).cumsum(), y + r * rng.normal(0, 0.8, 6).cumsum()], axis=-1)
        cv2.polylines(tile, [line.astype(np.int32)], False, ink, max(1, r // 4), cv2.LINE_AA)
    elif shape == 5:
        write(rng, tile, chr(int(rng.integers(33, 122))), (x, y), r / 12, ink)
    elif shape == 6:
        cv2.rectangle(
            tile, (x - r, y - r // 2), (x + r, y + r // 2), ink, -1 if rng.random() < 0.6 else max(1, r // 5)
        )
    else:
        angles = np.sort(rng.uniform(0, 2 * np.pi, int(rng.integers(3, 8))))
        ring = np.stack([x + r * np.cos(angles), y + r * np.sin(angles)], axis=-1)
        cv2.fillPoly(tile, [ring.astype(np.int32)], ink, cv2.LINE_AA)


def write(rng: Rng, tile: Image, words: str, at: tuple[int, int], size: float, ink: tuple[float, ...]) -> None:
    """Write on a picture; the library writes on pictures of bytes alone."""
    reach = int(30 * size * (len(words) + 1)) + 4
    x, y = max(at[0] - 8, 0), max(at[1] - int(40 * size) - 4, 0)
    part = tile[y : at[1] + int(20 * size) + 4, x : x + reach]
    if not part.size:
        return
    written = np.zeros(part.shape[:2], np.uint8)
    font = int(rng.integers(0, 8))
    cv2.putText(written, words, (at[0] - x, at[1] - y), font, size, 255, max(1, int(size * 2)), cv2.LINE_AA)
    part += (written[..., None] * np.float32(1 / 255)) * (np.asarray(ink, np.float32) - part)


def make_cloth(rng: Rng) -> Image:
    """Make one fabric, shape (TILE, TILE, 3), sRGB 0..255.

    Examples
    --------
    >>> cloth = make_cloth(np.random.default_rng(0))
    >>> cloth.shape, cloth.dtype, bool(((cloth >= 0) & (cloth <= 255)).all())
    ((320, 320, 3), dtype('float32'), True)
    """
    side = TILE
    ground = dye(rng)
    tile: Image = np.full((side, side, 3), ground, np.float32)
    kind = rng.choice(12, p=[0.18, 0.11, 0.1, 0.08, 0.17, 0.11, 0.06, 0.04, 0.03, 0.02, 0.05, 0.05])
    scale = float(np.exp(rng.uniform(np.log(3), np.log(45))))
    ink = dye(rng) if rng.random() < 0.6 else _near(rng, ground, 30)
    if kind == 1:
        tile = _mottled(rng, tile, ground, ink, scale)
    elif kind in (2, 3):
        tile = _banded(rng, tile, ink, scale, crossed=kind == 3)
    elif kind in (4, 5, 6):
        _print_figures(rng, tile, ink, scale, in_rows=kind == 4)
    elif kind == 7:  # woven of two colors
        tile = tile + rng.normal(0, rng.uniform(4, 18), (side, side, 1)).astype(np.float32)
    elif kind == 8:  # shaded from one color to another
        ramp = np.linspace(0, 1, side, dtype=np.float32)
        tile = tile + (ramp[None, :, None] if rng.random() < 0.5 else ramp[:, None, None]) * (ink - ground)
    elif kind == 9:  # crackled
        for _ in range(int(rng.integers(20, 90))):
            points = rng.uniform(0, side, 2) + rng.normal(0, scale / 2, (8, 2)).cumsum(axis=0)
            cv2.polylines(tile, [points.astype(np.int32)], False, _ink(ink), 1, cv2.LINE_AA)
    elif kind == 10:
        _print_labels(rng, tile, scale)
    elif kind == 11:
        _print_pieces(rng, tile, scale)
    weave = rng.normal(0, rng.uniform(0.5, 5), (side, side, 1)).astype(np.float32)
    return np.asarray(np.clip(tile + weave, 0, 255), np.float32)


def _mottled(rng: Rng, tile: Image, ground: Color, ink: Color, scale: float) -> Image:
    """Tone on tone, or as after dyeing in wax or folds."""
    each = [noise(rng, len(tile), scale * f) * f for f in (0.5, 1, 2)]
    weight = 1 / (1 + np.exp(-(each[0] + each[1] + each[2]) * rng.uniform(0.4, 2.5)))
    other = ink if rng.random() < 0.3 else _near(rng, ground, 22)
    return np.asarray(tile + weight[..., None] * (other - ground), np.float32)


def _banded(rng: Rng, tile: Image, ink: Color, scale: float, *, crossed: bool) -> Image:
    """Stripes, or crossed: checks and plaids."""
    axis = np.arange(len(tile), dtype=np.float32)
    period = scale * rng.uniform(0.8, 2.5)
    for turn in range(2 if crossed else 1):
        for _ in range(int(rng.integers(1, 4))):
            phase, duty = rng.uniform(0, 1), rng.uniform(0.08, 0.55)
            on = (((axis / period + phase) % 1) < duty).astype(np.float32) * rng.uniform(0.25, 1)
            band = on[None, :, None] if turn == 0 else on[:, None, None]
            color = ink if rng.random() < 0.6 else dye(rng)
            tile = np.asarray(tile + band * (color - tile) * (0.6 if crossed else 1), np.float32)
    return tile


def _print_figures(rng: Rng, tile: Image, ink: Color, scale: float, *, in_rows: bool) -> None:
    """Figures set in rows, every other one shifted, or strewn."""
    side = len(tile)
    shape = int(rng.integers(8))
    size = scale * rng.uniform(0.15, 0.5)
    count = int(np.clip((side / scale) ** 2 * rng.uniform(0.4, 1.2), 8, _MOST_FIGURES))
    spots: list[tuple[float, float]]
    if in_rows:
        step = max(4.0, scale)
        spots = [(x, y) for y in np.arange(0, side, step) for x in np.arange((y / step % 2) * step / 2, side, step)]
        if len(spots) > _MOST_FIGURES:
            spots = spots[:: len(spots) // _MOST_FIGURES + 1]
    else:
        spots = [(x, y) for x, y in rng.uniform(0, side, (count, 2))]
    inks = [ink] + [dye(rng) for _ in range(int(rng.integers(0, 4)))]
    for x, y in spots:
        one = shape if in_rows or rng.random() < 0.6 else int(rng.integers(8))
        reach = size * rng.uniform(0.7, 1.3)
        _draw_motif(rng, tile, (int(x), int(y)), reach, inks[int(rng.integers(len(inks)))], one)


def _print_labels(rng: Rng, tile: Image, scale: float) -> None:
    """Labels, pages or pictures printed side by side: boxes along the threads with lines of words, close to each other."""
    side, step = len(tile), max(10.0, scale)
    inks = [dye(rng) for _ in range(int(rng.integers(1, 4)))]
    y = -rng.uniform(0, step)
    while y < side:
        tall, x = step * rng.uniform(0.5, 1.6), -rng.uniform(0, step)
        while x < side:
            wide = step * rng.uniform(0.4, 2.2)
            low, high = (int(x) + 1, int(y) + 1), (int(x + wide) - 1, int(y + tall) - 1)
            color = inks[int(rng.integers(len(inks)))]
            if rng.random() < 0.6:
                cv2.rectangle(tile, low, high, _ink(_near(rng, color, 14)), -1 if rng.random() < 0.6 else 1)
            ink = _ink(dye(rng) if rng.random() < 0.4 else _near(rng, color, 60))
            for line in np.arange(y + 3, y + tall - 2, max(3.0, tall / int(rng.integers(2, 7)))):
                end = int(x + wide * rng.uniform(0.4, 0.95))
                cv2.line(tile, (int(x) + 3, int(line)), (end, int(line)), ink, max(1, int(tall / 14)), cv2.LINE_AA)
            x += wide
        y += tall


def _print_pieces(rng: Rng, tile: Image, scale: float) -> None:
    """Flags, ribbons or patches printed askew over each other, each of stripes, dots or one color."""
    side = len(tile)
    colors = [dye(rng) for _ in range(int(rng.integers(2, 5)))]
    for _ in range(int(np.clip(2.5 * (side / max(scale, 12)) ** 2, 12, 260))):
        angle, size = rng.uniform(0, np.pi), max(scale, 12) * rng.uniform(0.5, 1.5, 2)
        way = np.array([[np.cos(angle), np.sin(angle)], [-np.sin(angle), np.cos(angle)]])
        middle = rng.uniform(0, side, 2)
        box = middle + (np.array([[-1, -1], [1, -1], [1, 1], [-1, 1]]) * size / 2) @ way
        bands = int(rng.integers(1, 9))
        for k in range(bands):
            low, high = k / bands, (k + 1) / bands
            ring = np.array([box[0] + (box[3] - box[0]) * at for at in (low, high)])
            far = np.array([box[1] + (box[2] - box[1]) * at for at in (high, low)])
            ink = _ink(colors[k % len(colors)])
            cv2.fillPoly(tile, [np.rint(np.concatenate([ring, far])).astype(np.int32)], ink, cv2.LINE_AA)


def draw_picture(rng: Rng, side: int) -> Image:
    """Draw a printed, embroidered or appliquéd picture, shape (side, side, 3), sRGB 0..255: shapes that are no patches.

    Examples
    --------
    >>> draw_picture(np.random.default_rng(0), 40).shape
    (40, 40, 3)
    """
    tile: Image = np.full((side, side, 3), dye(rng), np.float32)
    if rng.random() < 0.4:
        tile = tile + noise(rng, side, side / 3)[..., None] * rng.uniform(3, 25)
    for _ in range(int(rng.integers(1, 12))):
        at = (int(rng.normal(0.5, 0.2) * side), int(rng.normal(0.5, 0.2) * side))
        what = rng.random()
        color = dye(rng)
        ink = _ink(color)
        if what < 0.25:
            words = "".join(chr(int(c)) for c in rng.integers(65, 90, int(rng.integers(1, 9))))
            size = rng.uniform(0.4, 2.2) * side / 128
            write(rng, tile, words, (at[0] - side // 4, at[1]), size, ink)
        elif what < 0.45:
            box = rng.uniform(0.05, 0.35, 2) * side
            low, high = (int(at[0] - box[0]), int(at[1] - box[1])), (int(at[0] + box[0]), int(at[1] + box[1]))
            cv2.rectangle(tile, low, high, ink, -1 if rng.random() < 0.5 else max(1, side // 90), cv2.LINE_AA)
        else:
            _draw_motif(
                rng, tile, at, rng.uniform(0.04, 0.35) * side, np.asarray(ink, np.float32), int(rng.integers(8))
            )
    return np.clip(tile, 0, 255)
