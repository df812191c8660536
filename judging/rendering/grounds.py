"""What a quilt is photographed on, and what lies about: drawn in inches, seen through the same camera."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import cv2
import numpy as np
from numpy.typing import NDArray

from judging.rendering.camera import Camera
from judging.rendering.cloth import ERAS, make_cloth
from judging.rendering.flat import smooth_noise

Floats = NDArray[np.floating[Any]]
Points = NDArray[np.float64]


class Place:
    """A ground being drawn: where each pixel looks, in inches, turned by its own angle."""

    def __init__(self, at: Floats, rng: np.random.Generator, *, turn: bool = True) -> None:
        angle = rng.normal(0, 0.06) + (np.pi / 2) * rng.integers(2) if turn else 0.0
        self.x = at[..., 0] * np.float32(np.cos(angle)) + at[..., 1] * np.float32(np.sin(angle))
        self.y = at[..., 1] * np.float32(np.cos(angle)) - at[..., 0] * np.float32(np.sin(angle))
        self.rng = rng
        self.shape = self.x.shape

    def noise(self, step_x: float, step_y: float) -> Floats:
        """Noise of unit spread on the ground itself, its grains `step` inches."""
        tile = self.rng.standard_normal((256, 256), dtype=np.float32)
        spread = cv2.GaussianBlur(np.tile(tile, (2, 2)), (0, 0), 1.2)[128:384, 128:384]
        spread = spread / spread.std()
        scale = (2.4 / step_x, 2.4 / step_y)
        return np.asarray(
            cv2.remap(
                spread,
                (self.x * scale[0]) % 255,
                (self.y * scale[1]) % 255,
                cv2.INTER_LINEAR,
                borderMode=cv2.BORDER_WRAP,
            )
        )

    def each(self, index: Floats, low: float, high: float) -> Floats:
        """A number by chance for each whole `index`."""
        table = self.rng.uniform(low, high, 1024).astype(np.float32)
        return np.asarray(table[index.astype(np.int32) & 1023])


def _tint(shade: Floats, rgb: tuple[float, float, float]) -> Floats:
    return shade[..., None] * np.array(rgb, np.float32)


def _warm(rng: np.random.Generator) -> tuple[float, float, float]:
    woods = [(0.62, 0.43, 0.27), (0.45, 0.3, 0.19), (0.74, 0.6, 0.43), (0.55, 0.5, 0.45), (0.36, 0.24, 0.16)]
    return woods[int(rng.integers(len(woods)))]


def _floorboards(place: Place) -> Floats:
    rng = place.rng
    width = float(rng.uniform(2.5, 7))
    board = np.floor(place.y / width)
    along = place.x + place.each(board, 0, 300)
    joint = np.floor(along / 70)
    tone = place.each(board * 31 + joint, 0.78, 1.12)
    grain = 0.05 * place.noise(9, 0.35) + 0.04 * place.noise(3, 0.12)
    gap = np.abs(place.y / width - board - 0.5) > 0.5 - 0.07 / width
    gap |= np.abs(along / 70 - joint - 0.5) > 0.5 - 0.05 / 70
    return _tint((tone + grain) * np.where(gap, 0.45, 1).astype(np.float32), _warm(rng))


def _carpet(place: Place) -> Floats:
    colors = [(0.55, 0.5, 0.43), (0.32, 0.35, 0.42), (0.48, 0.24, 0.22), (0.42, 0.45, 0.36), (0.7, 0.66, 0.6)]
    pile = 1 + 0.13 * place.noise(0.25, 0.25) + 0.05 * place.noise(5, 5)
    return _tint(pile.astype(np.float32), colors[int(place.rng.integers(len(colors)))])


def _wall(place: Place) -> Floats:
    colors = [(0.86, 0.84, 0.79), (0.75, 0.78, 0.6), (0.62, 0.66, 0.7), (0.8, 0.72, 0.66), (0.93, 0.93, 0.92)]
    return _tint((1 + 0.012 * place.noise(0.6, 0.6)).astype(np.float32), colors[int(place.rng.integers(len(colors)))])


def _lawn(place: Place) -> Floats:
    blades = 1 + 0.22 * place.noise(0.25, 0.6) + 0.16 * place.noise(0.6, 0.25) + 0.14 * place.noise(6, 6)
    dry = np.clip(0.3 + 0.25 * place.noise(3, 3), 0, 1)[..., None]
    green, straw = np.array([0.3, 0.43, 0.17], np.float32), np.array([0.52, 0.5, 0.26], np.float32)
    return np.asarray(blades[..., None] * (green * (1 - dry) + straw * dry), dtype=np.float32)


def _sheet(place: Place) -> Floats:
    folds = 1 + 0.06 * place.noise(7, 3) + 0.05 * place.noise(14, 14) + 0.012 * place.noise(0.2, 0.2)
    colors = [(0.93, 0.92, 0.89), (0.86, 0.9, 0.93), (0.94, 0.87, 0.85), (0.72, 0.76, 0.8)]
    return _tint(folds.astype(np.float32), colors[int(place.rng.integers(len(colors)))])


def _concrete(place: Place) -> Floats:
    mottle = 1 + 0.06 * place.noise(12, 12) + 0.05 * place.noise(0.3, 0.3)
    return _tint(mottle.astype(np.float32), (0.6, 0.59, 0.56))


def _table(place: Place) -> Floats:
    grain = 1 + 0.09 * place.noise(30, 1.2) + 0.05 * place.noise(8, 0.2)
    return _tint(grain.astype(np.float32), _warm(place.rng))


def _tiles(place: Place) -> Floats:
    side = float(place.rng.uniform(8, 16))
    column, row = np.floor(place.x / side), np.floor(place.y / side)
    joint = np.minimum(np.abs(place.x / side - column - 0.5), np.abs(place.y / side - row - 0.5))
    joint = np.maximum(np.abs(place.x / side - column - 0.5), np.abs(place.y / side - row - 0.5)) > 0.5 - 0.15 / side
    tone = place.each(column * 37 + row, 0.93, 1.05) + 0.03 * place.noise(2, 2)
    colors = [(0.7, 0.62, 0.52), (0.5, 0.5, 0.5), (0.78, 0.77, 0.74), (0.55, 0.35, 0.28)]
    return _tint((tone * np.where(joint, 0.75, 1)).astype(np.float32), colors[int(place.rng.integers(len(colors)))])


def _backdrop(place: Place) -> Floats:
    level = float(place.rng.choice([0.04, 0.5, 0.85, 0.97]))
    return _tint(np.full(place.shape, level, np.float32) * (1 + 0.01 * place.noise(20, 20)), (1, 0.99, 0.97))


def _checked_cloth(place: Place) -> Floats:
    side = float(place.rng.uniform(1, 3.5))
    wave = ((np.floor(place.x / side) % 2) + (np.floor(place.y / side) % 2)) / 2
    colors = [(0.62, 0.16, 0.15), (0.2, 0.28, 0.48), (0.3, 0.42, 0.25), (0.35, 0.32, 0.3)]
    ink = np.array(colors[int(place.rng.integers(len(colors)))], np.float32)
    paper = np.array([0.92, 0.9, 0.86], np.float32)
    return np.asarray((paper + wave[..., None] * (ink - paper)) * (1 + 0.05 * place.noise(6, 6))[..., None])


def _another_quilt(place: Place) -> Floats:
    rng = place.rng
    side = float(rng.uniform(2.5, 7))
    era = str(rng.choice(list(ERAS)))
    values = ("light", "medium", "dark")
    cloths = np.stack([make_cloth(rng, "ground", values[k % 3], era, 16.0).tile for k in range(9)])  # type: ignore[arg-type]
    which = place.each(np.floor(place.x / side) * 53 + np.floor(place.y / side), 0, 8.99).astype(np.int32)
    u, v = ((each * 16).astype(np.int32) % cloths.shape[1] for each in (place.x, place.y))
    dull = cloths[which, v, u].astype(np.float32) / 255
    return np.asarray(dull * (0.9 + 0.06 * place.noise(2, 2))[..., None], dtype=np.float32)


_GROUNDS: dict[str, Callable[[Place], Floats]] = {
    "floorboards": _floorboards, "carpet": _carpet, "wall": _wall, "lawn": _lawn, "sheet": _sheet,
    "concrete": _concrete, "table": _table, "tiles": _tiles, "backdrop": _backdrop,
    "checked cloth": _checked_cloth, "another quilt": _another_quilt,
}  # fmt: skip


def draw_ground(kind: str, at: Floats, rng: np.random.Generator) -> Floats:
    """Draw a ground.

    Parameters
    ----------
    kind : str
        One of `judging.rendering.recipe.GROUNDS`.
    at : ndarray, shape (height, width, 2)
        The spot of the ground that each pixel sees, in inches.
    rng : Generator
        Where chance comes from.

    Returns
    -------
    ndarray, shape (height, width, 3)
        RGB 0..1.
    """
    return np.clip(_GROUNDS[kind](Place(at, rng, turn=kind != "wall")), 0, 1)


def lay_clutter(photo: Floats, camera: Camera, count: int, rng: np.random.Generator) -> None:
    """Lay things about beside the quilt, changing the picture in place; some touch its edge, none its corners."""
    w, h = camera.quilt_size
    for _ in range(count):
        kind = str(rng.choice(["tape", "shoes", "book", "paper", "mug"]))
        side = int(rng.integers(4))
        along = rng.uniform(0.2, 0.8)
        off = rng.uniform(-0.5, 6)
        if side % 2:
            x, y = (w + off if side == 1 else -off), along * h
        else:
            x, y = along * w, (h + off if side == 2 else -off)
        outward = np.array([[0, -1], [1, 0], [0, 1], [-1, 0]])[side]
        lay_thing(photo, camera, kind, np.array([x, y]), outward, rng)


def lay_thing(
    photo: Floats, camera: Camera, kind: str, at: Points, outward: Points, rng: np.random.Generator
) -> None:
    """Lay one thing on the ground, reaching outward from `at`."""
    across = np.array([-outward[1], outward[0]])
    turn = rng.normal(0, 0.25)
    along = across * np.cos(turn) + outward * np.sin(turn)
    out = outward * np.cos(turn) - across * np.sin(turn)

    def box(a0: float, o0: float, a1: float, o1: float) -> Points:
        return np.array([at + a * along + o * out for a, o in ((a0, o0), (a1, o0), (a1, o1), (a0, o1))])

    def oval(a: float, o: float, ra: float, ro: float) -> Points:
        angle = np.linspace(0, 2 * np.pi, 40, endpoint=False)
        return np.asarray(at + (a + ra * np.cos(angle))[:, None] * along + (o + ro * np.sin(angle))[:, None] * out)

    if kind == "tape":
        _paint(photo, camera, box(-18, 0.5, 18, 1.25), (0.93, 0.78, 0.2), shadow=0.2)
        for k in range(-17, 18):
            _paint(photo, camera, box(k - 0.04, 0.5, k + 0.04, 0.85 if k % 6 else 1.15), (0.1, 0.1, 0.1))
    elif kind == "shoes":
        tone = float(rng.uniform(0.06, 0.45))
        for a in (-2.4, 2.4):
            _paint(photo, camera, oval(a, 6, 1.9, 5.6), (tone, tone * 0.85, tone * 0.7), shadow=0.6)
            _paint(photo, camera, oval(a, 7.6, 1.2, 2.6), (tone * 0.4, tone * 0.35, tone * 0.3))
    elif kind == "book":
        color = tuple(float(part) for part in rng.uniform(0.1, 0.7, 3))
        _paint(photo, camera, box(-3.5, 1, 3.5, 10), color, shadow=0.6)  # type: ignore[arg-type]
        _paint(photo, camera, box(-2.2, 5.5, 2.2, 8.5), (0.9, 0.87, 0.8))
    elif kind == "paper":
        _paint(photo, camera, box(-4.2, 0.5, 4.2, 11.5), (0.95, 0.95, 0.93), shadow=0.2)
        for k in range(9):
            _paint(photo, camera, box(-3.4, 1.6 + k, 3.4 - rng.uniform(0, 3), 1.72 + k), (0.35, 0.35, 0.4))
    else:
        _paint(photo, camera, oval(0, 3, 1.7, 1.7), (0.85, 0.84, 0.8), shadow=0.6)
        _paint(photo, camera, oval(0, 3, 1.4, 1.4), (0.2, 0.12, 0.08))


def _paint(
    photo: Floats, camera: Camera, outline: Points, rgb: tuple[float, float, float], *, shadow: float = 0.0
) -> None:
    """Paint one outline lying on the ground, with a soft shadow if it is thick."""
    height, width = photo.shape[:2]
    ring = camera.to_photo(outline, draped=False)
    reach = int(np.ptp(ring, axis=0).max() * 0.1 * (shadow > 0)) + 4
    low = np.maximum(np.floor(ring.min(axis=0)).astype(int) - 2 * reach, 0)
    high = np.minimum(np.ceil(ring.max(axis=0)).astype(int) + 2 * reach, [width, height])
    if np.any(high - low < 2):
        return
    mask = np.zeros((high[1] - low[1], high[0] - low[0]), np.uint8)
    cv2.fillPoly(
        mask, [np.rint((ring - low) * 16).astype(np.int32).reshape(-1, 1, 2)], 255, lineType=cv2.LINE_AA, shift=4
    )
    part = photo[low[1] : high[1], low[0] : high[0]]
    if shadow:
        soft = (
            cv2.GaussianBlur(np.roll(mask, (reach // 2, reach // 3), (0, 1)), (0, 0), reach / 3).astype(np.float32)
            / 255
        )
        part *= (1 - 0.55 * shadow * soft)[..., None]
    cover = (mask.astype(np.float32) / 255)[..., None]
    part += cover * (np.array(rgb, np.float32) - part)


__all__ = ["draw_ground", "lay_clutter", "lay_thing", "smooth_noise"]
