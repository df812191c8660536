"""Cloths of the tuning set, each in two quilts and more: what the recognizing of cloth is fitted on."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import cv2
import numpy as np
from numpy.typing import NDArray

from judging.rendering.cloth import ERAS, PRINTS, TILE, make_cloth, to_rgb
from seamlore.photo.cielab import lab_of

Floats = NDArray[np.floating[Any]]
Bytes = NDArray[np.uint8]
PER_INCH = 56.0
_OTHER_DYE = 18.0  # how far apart two colorings of a print are at least, in a* and b*


@dataclass(frozen=True, eq=False)
class Printed:
    """One cloth: a tile that repeats, `PER_INCH` pixels to the inch, and the print it shares with other colorings."""

    kind: str
    tile: Bytes
    print_of: int


def some_prints(count: int, seed: int) -> list[Printed]:
    """Draw so many cloths: one in six is the print of the one before it dyed otherwise, half are in the dyes of another."""
    rng = np.random.default_rng([seed, 20_260_412])
    made: list[Printed] = []
    for number in range(count):
        if number % 6 == 5 and made[-1].kind != "plain":
            made.append(Printed(made[-1].kind, _dyed_again(rng, made[-1].tile), made[-1].print_of))
            continue
        era, value = str(rng.choice(list(ERAS))), rng.choice(["light", "medium", "dark"])
        kind = str(rng.choice(sorted(set(PRINTS)))) if rng.random() < 0.93 else "plain"
        drawn = make_cloth(rng, "", value, era, PER_INCH, kind).tile
        if number % 3 and kind != "plain":
            # Makers of one time used the same dyes: colors alone are to tell little.
            drawn = _in_dyes_of(drawn, made[int(rng.integers(0, len(made)))].tile)
        made.append(Printed(kind, drawn, number))
    return made


def _in_dyes_of(tile: Bytes, other: Bytes) -> Bytes:
    """Give a print the colors of another: their mean, and how they vary together."""
    lab, wanted = (lab_of(each).reshape(-1, 3).astype(np.float64) for each in (tile, other))
    own = np.linalg.cholesky(np.cov(lab.T) + 0.5 * np.eye(3))
    to = np.linalg.cholesky(np.cov(wanted.T) + 0.5 * np.eye(3))
    made = (lab - lab.mean(axis=0)) @ np.linalg.inv(own).T @ to.T + wanted.mean(axis=0)
    return np.rint(to_rgb(made.reshape(lab_of(tile).shape)) * 255).astype(np.uint8)


def _dyed_again(rng: np.random.Generator, tile: Bytes) -> Bytes:
    """Give a print in other dyes, none so near that it would be the same cloth."""
    was = lab_of(tile)
    while True:
        lab, turn = was.copy(), rng.uniform(0.6, 5.7)
        a, b = was[..., 1] + rng.normal(0, 14), was[..., 2] + rng.normal(0, 14)
        lab[..., 1], lab[..., 2] = a * np.cos(turn) - b * np.sin(turn), a * np.sin(turn) + b * np.cos(turn)
        middle = was[..., 0].mean()
        lab[..., 0] = np.clip(middle + rng.uniform(-18, 18) + (was[..., 0] - middle) * rng.uniform(0.6, 1.2), 4, 97)
        made = np.rint(to_rgb(lab) * 255).astype(np.uint8)
        if np.linalg.norm(lab_of(made)[..., 1:] - was[..., 1:], axis=2).mean() > _OTHER_DYE:
            return made


@dataclass(frozen=True, eq=False)
class Seen:
    """One quilt in its photograph: resolution, the camera's color as a matrix, tone, blur, noise, wear."""

    px_per_inch: float
    color: Floats
    tone: float
    blur: float
    noise: float
    jpeg: int
    scale: float
    fade: float

    @staticmethod
    def by_chance(rng: np.random.Generator) -> Seen:
        """Draw one."""
        color = np.eye(3) * rng.uniform(0.72, 1.18) + rng.normal(0, 0.02, (3, 3))
        color = color * (1 + rng.normal(0, 0.06, (3, 1)))
        return Seen(
            float(np.exp(rng.uniform(np.log(18), np.log(60)))), color, float(rng.uniform(-0.16, 0.16)),
            float(rng.uniform(0.3, 1.0)), float(rng.uniform(0.004, 0.03)), int(rng.integers(68, 96)),
            float(rng.normal(1, 0.015)), float(rng.uniform(0, 0.4)),
        )  # fmt: skip


def piece(
    rng: np.random.Generator, cloth: Printed, seen: Seen, side_in: float, *, triangle: bool
) -> tuple[Bytes, Bytes]:
    """Give one patch as the photograph has it: RGB and mask, in its own pixels."""
    side = max(8, round(side_in * seen.px_per_inch))
    turn = rng.choice([0, 90, 180, 270]) + rng.normal(0, 3) + (45 if triangle and rng.random() < 0.5 else 0)
    # A pixel of the photograph sees several of the cloth's, or parts of one.
    fine = 2
    step = PER_INCH / (seen.px_per_inch * seen.scale * fine)
    spin = cv2.getRotationMatrix2D((0, 0), turn, step)
    spin[:, 2] = rng.uniform(0, TILE, 2)
    # The cloth gives and is pulled askew when it is sewn.
    spin[:, :2] = spin[:, :2] @ (np.eye(2) + rng.normal(0, 0.012, (2, 2)))
    soft = cv2.GaussianBlur(np.tile(cloth.tile, (3, 3, 1)), (0, 0), max(0.45 * step, 0.1))[TILE:-TILE, TILE:-TILE]
    y, x = np.mgrid[0 : side * fine, 0 : side * fine].astype(np.float32)
    at = np.stack([x, y, np.ones_like(x)], axis=-1) @ spin.T.astype(np.float32)
    big = cv2.remap(soft, at[..., 0], at[..., 1], cv2.INTER_LINEAR, borderMode=cv2.BORDER_WRAP)
    lab = lab_of(np.asarray(cv2.resize(big, (side, side), interpolation=cv2.INTER_AREA), np.uint8))
    # The dye goes, the ground yellows, dark dyes turn brown.
    lost = seen.fade * rng.uniform(0.8, 1.2)
    lab[..., 1:] *= 1 - 0.8 * lost
    lab[..., 0] += (84 - lab[..., 0]) * 0.75 * lost
    lab[..., 2] += 12 * lost
    blots = cv2.resize(rng.normal(size=(4, 4)).astype(np.float32), (side, side), interpolation=cv2.INTER_CUBIC)
    lab[..., 0] += rng.uniform(0, 4) * blots + rng.normal(0, 1.5)
    lab[..., 2] += rng.uniform(0, 2) * np.maximum(blots, 0)
    light: Floats = np.clip(to_rgb(lab), 0, 1) ** 2.2 @ seen.color.T
    slope = rng.normal(0, 0.06, 2)
    light *= 1 + (slope[0] * x[:side, :side] + slope[1] * y[:side, :side])[..., None] / side
    light = np.asarray(cv2.GaussianBlur(light.astype(np.float32), (0, 0), seen.blur), np.float64)
    light += rng.normal(0, seen.noise, light.shape) * 0.5 + seen.noise * 0.4 * rng.normal(size=(side, side, 1))
    tone = np.clip(light, 0, 1) ** (1 / 2.2)
    tone = tone + seen.tone * tone * (1 - tone) * (2 * tone - 1) * 2
    rgb = np.rint(255 * np.clip(tone, 0, 1)).astype(np.uint8)
    _, packed = cv2.imencode(".jpg", rgb[..., ::-1], [cv2.IMWRITE_JPEG_QUALITY, seen.jpeg])
    mask = np.full((side, side), 255, np.uint8)
    if triangle:
        mask = np.triu(mask)
    opened = np.asarray(cv2.imdecode(packed, cv2.IMREAD_COLOR))
    return np.ascontiguousarray(opened[..., ::-1], dtype=np.uint8), mask
