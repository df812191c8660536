"""Quilts without a block grid: crazy quilts, medallions, whole cloths, hexagons."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from judging.rendering.piecing import Bag, Made, Points, lay_binding, lay_borders, rect
from judging.rendering.recipe import Recipe

Floats = NDArray[np.float64]


def set_without_grid(recipe: Recipe, made: Made, bag: Bag, rng: np.random.Generator) -> None:
    """Make a crazy quilt, a medallion, a whole cloth or hexagons."""
    width = float(rng.uniform(50, 90))
    made.size = (width, width * float(rng.uniform(0.85, 1.3)))
    border = lay_borders(made, bag, recipe.borders if recipe.kind != "medallion" else ())
    w, h = made.size
    field = rect(border, border, w - border, h - border)
    many = [bag.cut() for _ in range(int(rng.integers(14, 34)))] if recipe.kind in ("crazy", "hexagons") else []
    if recipe.kind == "whole cloth":
        made.lay(field, bag.cut(kind=str(rng.choice(["plain", "large floral", "tone", "vine", "sprig", "shirting"]))))
    elif recipe.kind == "crazy":
        for piece in _shatter(field, float(rng.uniform(4, 9)), rng):
            made.lay(piece, int(rng.choice(many)), int(rng.integers(2)))
    elif recipe.kind == "hexagons":
        _hexagons(made, field, float(rng.uniform(0.8, 2.2)), many, rng)
    else:
        _medallion(made, bag, rng)
    lay_binding(made, bag, recipe.binding)


def _shatter(piece: Points, reach: float, rng: np.random.Generator) -> list[Points]:
    """Divide a convex piece by chance seams until each is small."""
    lengths = np.linalg.norm(np.roll(piece, -1, 0) - piece, axis=1)
    area = 0.5 * abs(np.dot(piece[:, 0], np.roll(piece[:, 1], -1)) - np.dot(piece[:, 1], np.roll(piece[:, 0], -1)))
    if area < reach**2 * rng.uniform(0.5, 1.6) or len(piece) > 9:
        return [piece]
    first = int(np.argmax(lengths))
    nxt = piece[(first + 1) % len(piece)]
    on = piece[first] + (nxt - piece[first]) * rng.uniform(0.3, 0.7)
    across = np.array([-(nxt - piece[first])[1], (nxt - piece[first])[0]])
    angle = rng.normal(0, 0.35)
    normal = np.array([[np.cos(angle), -np.sin(angle)], [np.sin(angle), np.cos(angle)]]) @ across
    normal = np.array([-normal[1], normal[0]])
    halves = [_half(piece, on, normal), _half(piece, on, -normal)]
    if any(len(half) < 3 for half in halves):
        return [piece]
    return [part for half in halves for part in _shatter(half, reach, rng)]


def _half(piece: Points, on: Floats, normal: Floats) -> Points:
    kept: list[Floats] = []
    here = (piece - on) @ normal
    for index in range(len(piece)):
        after = (index + 1) % len(piece)
        if here[index] >= 0:
            kept.append(piece[index])
        if here[index] * here[after] < 0:
            kept.append(piece[index] + (piece[after] - piece[index]) * here[index] / (here[index] - here[after]))
    return np.array(kept).reshape(-1, 2)


def _hexagons(made: Made, field: Points, side: float, many: list[int], rng: np.random.Generator) -> None:
    """Hexagons in rosettes of seven, a path of one fabric between them."""
    (x0, y0), (x1, y1) = field[0], field[2]
    corners = np.stack([np.sin(np.arange(6) * np.pi / 3), -np.cos(np.arange(6) * np.pi / 3)], axis=1) * side
    rows, columns = (int(reach) + 2 for reach in ((y1 - y0) / (1.5 * side), (x1 - x0) / (np.sqrt(3) * side)))
    row, column = (each.ravel() for each in np.mgrid[0:rows, 0:columns])
    middles = np.stack([x0 + (column + 0.5 * (row % 2)) * np.sqrt(3) * side, y0 + row * 1.5 * side], axis=1)
    # Rosettes stand on every twelfth hexagon: two steps of the lattice that is four one way and two back.
    a, b = (each.ravel() for each in np.mgrid[-rows : columns + rows, -2:rows])
    q, r = 4 * a - 2 * b, 4 * b - 2 * a
    stands = np.stack([x0 + (q + r / 2) * np.sqrt(3) * side, y0 + r * 1.5 * side], axis=1)
    stands = stands[np.all((stands > field[0] - 4 * side) & (stands < field[2] + 4 * side), axis=1)]
    away = np.linalg.norm(middles[:, None] - stands[None], axis=2)
    own, far = away.argmin(axis=1), away.min(axis=1)
    cloths = rng.choice(many, (len(stands), 2))
    for middle, rosette, reach in zip(middles, own, far, strict=True):
        ring = round(float(reach) / (np.sqrt(3) * side))
        cloth = many[0] if ring > 1 else int(cloths[rosette, ring])
        made.lay(np.clip(corners + middle, [x0, y0], [x1, y1]), cloth)


def _medallion(made: Made, bag: Bag, rng: np.random.Generator) -> None:
    """A center and frames round it, some plain, some pieced."""
    w, h = made.size
    made.lay(rect(0, 0, w, h), bag.cut())
    at = 0.0
    while min(w, h) - 2 * at > 0.34 * w:
        band = float(rng.uniform(0.04, 0.11) * w)
        x0, y0, x1, y1 = at, at, w - at, h - at
        made.lay(rect(x0, y0, x1, y1), bag.cut())
        if rng.random() < 0.5:
            cloths = [bag.cut() for _ in range(int(rng.integers(2, 6)))]
            _pieced_frame(made, (x0, y0, x1, y1), band, cloths, rng)
        at += band
    made.lay(rect(at, at, w - at, h - at), bag.cut("light"))
    middle = np.array([w / 2, h / 2])
    star = bag.cut("dark")
    points = int(rng.choice([4, 8]))
    size = (min(w, h) / 2 - at) * 0.9
    for k in range(points):
        a = 2 * np.pi * k / points
        d = np.pi / points
        ring = np.array(
            [
                [0, 0],
                [np.sin(a - d) * 0.5, -np.cos(a - d) * 0.5],
                [np.sin(a), -np.cos(a)],
                [np.sin(a + d) * 0.5, -np.cos(a + d) * 0.5],
            ]
        )
        made.lay(ring * size + middle, star if k % 2 else bag.cut("medium"))


def _pieced_frame(
    made: Made, box: tuple[float, float, float, float], band: float, cloths: list[int], rng: np.random.Generator
) -> None:
    x0, y0, x1, y1 = box
    across, down = max(int((x1 - x0) / band), 1), max(int((y1 - y0) / band), 1)
    wide, tall = (x1 - x0) / across, (y1 - y0) / down
    triangles = rng.random() < 0.5
    for k in range(across):
        for y in (y0, y1 - band):
            _frame_piece(made, (x0 + k * wide, y, x0 + (k + 1) * wide, y + band), k, cloths, triangles)
    for k in range(1, down - 1):
        for x in (x0, x1 - band):
            _frame_piece(made, (x, y0 + k * tall, x + band, y0 + (k + 1) * tall), k, cloths, triangles)


def _frame_piece(
    made: Made, box: tuple[float, float, float, float], k: int, cloths: list[int], triangles: bool
) -> None:
    ring = rect(*box)
    if triangles:
        made.lay(ring[[0, 1, 3]], cloths[0])
        made.lay(ring[[1, 2, 3]], cloths[1])
    else:
        made.lay(ring, cloths[k % len(cloths)])
