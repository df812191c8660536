"""Printed cottons: small tiles that repeat, drawn by rule from a seed. Colors are made in CIELAB and kept to a value."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, Literal

import cv2
import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.floating[Any]]
Value = Literal["light", "medium", "dark"]
TILE = 192
# Mean CIELAB lightness of each value: apart enough that light, medium and dark are told from one another.
LIGHTNESS: dict[Value, tuple[float, float]] = {"light": (76, 91), "medium": (50, 63), "dark": (17, 36)}
# (hue in degrees, least and most chroma) of dyes in use in one time; hue of CIELAB.
ERAS: dict[str, list[tuple[float, float, float]]] = {
    "madder and indigo": [
        (38, 15, 50),
        (30, 30, 60),
        (275, 12, 42),
        (70, 10, 40),
        (80, 5, 18),
        (20, 15, 40),
        (140, 8, 25),
    ],
    "turkey red": [(32, 45, 70), (85, 30, 62), (150, 15, 38), (80, 2, 12), (35, 30, 60), (270, 10, 36)],
    "mourning and shirting": [(290, 2, 10), (10, 10, 30), (270, 8, 32), (80, 1, 9), (320, 6, 22), (25, 8, 40)],
    "feed sacks": [
        (10, 14, 40),
        (155, 12, 32),
        (85, 20, 50),
        (265, 10, 35),
        (315, 10, 30),
        (50, 20, 50),
        (195, 8, 26),
    ],
    "plain brights": [
        (30, 40, 75),
        (270, 25, 55),
        (135, 25, 55),
        (88, 40, 80),
        (330, 30, 55),
        (55, 40, 70),
        (220, 20, 40),
    ],
}
PRINTS = (
    "plain", "plain", "gingham", "stripe", "shirting", "dots", "plaid", "windowpane", "sprig", "sprig", "vine",
    "blotch", "blotch", "tone", "chevron", "large floral",
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class Cloth:
    """One fabric: a tile of TILE x TILE pixels, and what is known of it."""

    id: str
    tile: NDArray[np.uint8]
    lab: tuple[float, float, float]
    value: Value
    print: str

    @property
    def srgb(self) -> str:
        """The mean color as #rrggbb."""
        rgb = to_rgb(np.array([[self.lab]], dtype=np.float32))[0, 0]
        return "#" + "".join(f"{round(float(part) * 255):02x}" for part in rgb)


def to_rgb(lab: Floats) -> Floats:
    """Turn CIELAB (n, m, 3) into sRGB 0..1."""
    return np.asarray(np.clip(cv2.cvtColor(lab.astype(np.float32), cv2.COLOR_LAB2RGB), 0, 1), dtype=np.float32)


def _axis() -> Floats:
    return np.arange(TILE, dtype=np.float32) / TILE


def _repeat(rng: np.random.Generator, ppi: float, least_in: float, most_in: float, *, most: int = 40) -> int:
    """How many repeats stand in a tile when one measures between two lengths; at least 4 px each."""
    wanted = np.exp(rng.uniform(np.log(least_in), np.log(most_in))) * ppi
    return int(np.clip(round(TILE / max(wanted, 4.5)), 1, most))


def _bands(rng: np.random.Generator, count: int) -> Floats:
    """A stripe profile with `count` repeats, 0..2: which of three colors."""
    kinds = rng.integers(0, 3, rng.integers(3, 7))
    widths = rng.uniform(0.3, 1, len(kinds))
    ends = np.cumsum(widths) / widths.sum()
    at = (_axis() * count) % 1
    return kinds[np.minimum(np.searchsorted(ends, at), len(kinds) - 1)].astype(np.float32)


def _stamps(rng: np.random.Generator, motif: Floats, count: int, *, jitter: float, drop: bool) -> Floats:
    """Strew a small motif in rows over a tile that repeats."""
    field = np.zeros((TILE, TILE), np.float32)
    step = TILE / count
    size = motif.shape[0]
    for row in range(count):
        for column in range(count):
            x = (column + 0.5 * (drop and row % 2)) * step + rng.normal(0, jitter * step)
            y = row * step + rng.normal(0, jitter * step)
            stamp = np.rot90(motif, int(rng.integers(0, 4))) if jitter else motif
            ys, xs = (int(y) + np.arange(size)) % TILE, (int(x) + np.arange(size)) % TILE
            field[np.ix_(ys, xs)] = np.maximum(field[np.ix_(ys, xs)], stamp)
    return field


def _flower(size: int, petals: int) -> Floats:
    y, x = np.mgrid[0:size, 0:size].astype(np.float32)
    x, y = (x - size / 2 + 0.5) / (size / 2), (y - size / 2 + 0.5) / (size / 2)
    radius, angle = np.hypot(x, y), np.arctan2(y, x)
    shape = np.clip((0.62 + 0.3 * np.cos(petals * angle) - radius) * size * 0.35, 0, 1)
    return np.asarray(np.where(radius < 0.24, 2 * (shape > 0), shape), dtype=np.float32)


def _noise(rng: np.random.Generator, low: float, high: float) -> Floats:
    """Band-limited noise that repeats with the tile, of unit spread; low and high in cycles per tile."""
    spectrum = np.fft.rfft2(rng.normal(size=(TILE, TILE)))
    fy, fx = np.fft.fftfreq(TILE)[:, None] * TILE, np.fft.rfftfreq(TILE)[None, :] * TILE
    radius = np.hypot(fy, fx)
    spectrum *= np.exp(
        -(((np.log(np.maximum(radius, 0.3)) - np.log((low * high) ** 0.5)) / np.log(high / low + 0.2)) ** 2)
    )
    field = np.fft.irfft2(spectrum, (TILE, TILE))
    return np.asarray((field - field.mean()) / (field.std() + 1e-9), dtype=np.float32)


def _layers(kind: str, rng: np.random.Generator, ppi: float) -> tuple[Floats, Floats]:
    """How much of the second and third color lies on the ground, 0..1 each."""
    zero = np.zeros((TILE, TILE), np.float32)
    ones = np.ones((TILE, 1), np.float32)
    if kind == "gingham":
        wave = ((_axis() * _repeat(rng, ppi, 0.25, 0.9)) % 1 < 0.5).astype(np.float32)
        return (wave[None, :] + wave[:, None]) / 2, zero
    if kind in ("stripe", "shirting"):
        count = _repeat(rng, ppi, 0.2 if kind == "shirting" else 0.3, 0.6 if kind == "shirting" else 1.6)
        if kind == "shirting":
            return ones * ((_axis() * count) % 1 < 0.22).astype(np.float32)[None, :], zero
        band = ones * _bands(rng, count)[None, :]
        return (band == 1).astype(np.float32), (band == 2).astype(np.float32)
    if kind in ("plaid", "windowpane"):
        count = _repeat(rng, ppi, 0.8, 2.4)
        if kind == "windowpane":
            line = ((_axis() * count) % 1 < 0.12).astype(np.float32)
            return np.maximum(line[None, :], line[:, None]) * 0.9, zero
        one, two = _bands(rng, count), _bands(rng, count)
        first = ((one == 1)[None, :] * 0.5 + (two == 1)[:, None] * 0.5).astype(np.float32)
        return first, ((one == 2)[None, :] * 0.5 + (two == 2)[:, None] * 0.5).astype(np.float32)
    if kind == "chevron":
        count = _repeat(rng, ppi, 0.4, 1.2)
        zig = np.abs(((_axis() * count) % 1) - 0.5)
        return ((((_axis() * count)[:, None] + zig[None, :]) % 1) < 0.4).astype(np.float32), zero
    if kind in ("dots", "sprig", "large floral"):
        least, most = {"dots": (0.18, 0.8), "sprig": (0.4, 1.2), "large floral": (1.6, 3.5)}[kind]
        count = _repeat(rng, ppi, least, most)
        size = max(int(TILE / count * rng.uniform(0.45, 0.85)), 3)
        if kind == "dots":
            y, x = np.mgrid[0:size, 0:size] - (size - 1) / 2
            motif = np.clip((0.4 * size - np.hypot(x, y)) + 0.5, 0, 1).astype(np.float32)
        else:
            motif = _flower(size, int(rng.integers(4, 8)))
        field = _stamps(rng, motif, count, jitter=0.0 if kind == "dots" else 0.1, drop=bool(rng.random() < 0.7))
        leaves = np.clip(_noise(rng, 2 * count, 4 * count) - 1.1, 0, 1) if kind == "large floral" else zero
        return np.clip(field, 0, 1) * (field <= 1), np.maximum(np.clip(field - 1, 0, 1), leaves * (field == 0))
    low = TILE / (rng.uniform(0.5, 1.8) * ppi + 4)
    if kind == "vine":
        lines = np.exp(-((_noise(rng, low, low * 1.8) / 0.22) ** 2)).astype(np.float32)
        return lines, np.clip(_noise(rng, low * 2, low * 4) - 1.4, 0, 1)
    if kind == "blotch":
        return np.clip(_noise(rng, low, low * 2.2) * 3 - 0.6, 0, 1), np.clip(_noise(rng, low, low * 3) * 3 - 3, 0, 1)
    if kind == "tone":
        return np.clip(_noise(rng, low, low * 3) * 0.3 + 0.4, 0, 1), zero
    return zero, zero


def make_cloth(
    rng: np.random.Generator,
    name: str,
    value: Value,
    era: str,
    ppi: float,
    kind: str | None = None,
    *,
    dye: tuple[float, float, float] | None = None,
    lightness: float | None = None,
) -> Cloth:
    """Draw one fabric.

    Parameters
    ----------
    rng : Generator
        Where chance comes from.
    name : str
        Its id.
    value : {"light", "medium", "dark"}
        What its mean lightness is kept to.
    era : str
        One of ERAS: which dyes there are.
    ppi : float
        Pixels of the tile to one inch of cloth.
    kind : str, optional
        One of PRINTS.
    dye : (hue in degrees, least chroma, most chroma), optional
        Of its ground, instead of one of the era's.
    lightness : float, optional
        Its mean CIELAB lightness, instead of one by chance.

    Returns
    -------
    Cloth
    """
    kind = kind or str(rng.choice(PRINTS))
    dyes = ERAS[era]
    hue, least, most = dye or dyes[int(rng.integers(len(dyes)))]
    level = float(rng.uniform(*LIGHTNESS[value])) if lightness is None else lightness
    chroma = rng.uniform(least, most) * {"light": 0.45, "medium": 1.0, "dark": 0.8}[value]
    ground = _lab(level, chroma, hue + rng.normal(0, 5))
    # A print on a light ground is darker than it, on a dark ground lighter; a tone on tone stays near.
    reach = {"tone": 9.0, "plain": 0.0, "shirting": 35.0}.get(kind, rng.uniform(14, 46))
    sign = -1 if level > 60 or (value == "medium" and rng.random() < 0.5) else 1
    others = []
    for part in (1.0, 0.7):
        near = rng.random() < 0.45
        second_dye = (hue, least, most) if near else dyes[int(rng.integers(len(dyes)))]
        chroma = rng.uniform(second_dye[1], second_dye[2]) * 0.8
        others.append(_lab(level + sign * reach * part, chroma, second_dye[0]))
    second, third = _layers(kind, rng, ppi)
    lab = ground + second[..., None] * (others[0] - ground)
    lab = lab + third[..., None] * (others[1] - lab)
    # The whole is lifted or lowered so that its mean keeps its value.
    lab[..., 0] = np.clip(lab[..., 0] + level - lab[..., 0].mean(), 6, 96)
    tile = np.rint(to_rgb(lab) * 255).astype(np.uint8)
    mean = lab.reshape(-1, 3).mean(axis=0)
    return Cloth(name, tile, (float(mean[0]), float(mean[1]), float(mean[2])), value, kind)


def _lab(lightness: float, chroma: float, hue_deg: float) -> Floats:
    angle = np.deg2rad(hue_deg)
    return np.array([np.clip(lightness, 8, 95), chroma * np.cos(angle), chroma * np.sin(angle)], dtype=np.float32)
