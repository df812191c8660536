"""Bolts of printed cotton for judging alone: drawn as outlines on a sheet of cloth, motif by motif, in inches.

Shares nothing with `judging.rendering.cloth`, whose tiles the recognizing of cloth was fitted on. What a quilt and its
photograph do to them is in `judging.rendering.shots`.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

import cv2
import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.floating[Any]]
Bytes = NDArray[np.uint8]
PER_INCH = 64
SIDE_IN = 14
_SHIFT = 4
_OTHER_GROUND = 70

# Dyes by name, as sRGB; from memory, for pictures only.
DYES: dict[str, tuple[int, int, int]] = {
    "indigo": (38, 52, 96), "turkey red": (168, 32, 40), "chrome yellow": (222, 176, 58), "madder brown": (118, 66, 46),
    "chocolate": (74, 46, 38), "butterscotch": (196, 140, 84), "shirting white": (236, 230, 214), "black": (34, 32, 36),
    "claret": (104, 28, 48), "cadet": (112, 136, 168), "double pink": (214, 118, 138), "nile green": (150, 190, 150),
    "tan": (204, 182, 146), "gray": (150, 148, 150), "lavender": (176, 156, 196), "peach": (240, 190, 156),
    "jade": (72, 140, 112), "navy": (28, 34, 66), "cream": (244, 236, 208), "orange": (222, 116, 48),
    "sky": (150, 190, 222), "rose": (226, 150, 160), "olive": (108, 108, 60), "rust": (160, 78, 40),
}  # fmt: skip
LIGHT = ("shirting white", "cream", "tan", "peach", "sky", "nile green", "rose")
DARK = ("indigo", "turkey red", "madder brown", "chocolate", "black", "claret", "navy", "olive", "rust")


class Sheet:
    """A sheet of cloth that is drawn on in inches, with smooth edges."""

    def __init__(self, ground: str) -> None:
        side = PER_INCH * SIDE_IN
        self.rgb: Bytes = np.empty((side, side, 3), np.uint8)
        self.rgb[:] = DYES[ground]

    @staticmethod
    def _at(points: Floats) -> NDArray[np.int32]:
        return np.asarray(np.rint(np.asarray(points) * PER_INCH * 2**_SHIFT), np.int32)

    def area(self, points: Floats, dye: str) -> None:
        """Fill an outline."""
        cv2.fillPoly(self.rgb, [self._at(points)], DYES[dye], cv2.LINE_AA, _SHIFT)

    def line(self, points: Floats, dye: str, wide_in: float) -> None:
        """Draw a line."""
        wide = max(1, round(wide_in * PER_INCH))
        cv2.polylines(self.rgb, [self._at(points)], False, DYES[dye], wide, cv2.LINE_AA, _SHIFT)

    def dot(self, x: float, y: float, radius: float, dye: str) -> None:
        """Draw a dot."""
        across, down = self._at(np.array([x, y])).tolist()
        size = round(radius * PER_INCH * 2**_SHIFT)
        cv2.circle(self.rgb, (across, down), size, DYES[dye], -1, cv2.LINE_AA, _SHIFT)

    def bar(self, start: float, end: float, dye: str) -> None:
        """Draw a stripe from edge to edge."""
        self.area(np.array([[start, 0], [end, 0], [end, SIDE_IN], [start, SIDE_IN]]), dye)


def _places(dx: float, dy: float, drop: float) -> list[tuple[float, float]]:
    """Where a repeat stands: columns a step apart, each lowered against the one before."""
    found = []
    for column in range(-1, int(SIDE_IN / dx) + 2):
        start = (column * drop) % 1 * dy - dy
        found += [(column * dx, start + row * dy) for row in range(int(SIDE_IN / dy) + 3)]
    return found


def _turned(ring: Floats, turn: float, x: float, y: float) -> Floats:
    cos, sin = np.cos(turn), np.sin(turn)
    return np.asarray(ring @ np.array([[cos, sin], [-sin, cos]]) + [x, y])


def _petals(x: float, y: float, size: float, count: int, deep: float, turn: float) -> Floats:
    angle = np.linspace(0, 2 * np.pi, 64, endpoint=False)
    radius = size * (1 - deep * 0.5 * (1 + np.cos(count * angle)))
    return np.stack([x + radius * np.cos(angle + turn), y + radius * np.sin(angle + turn)], axis=1)


def _leaf(x: float, y: float, size: float, turn: float) -> Floats:
    up = np.stack([np.linspace(0, 1, 12), 0.22 * np.sin(np.linspace(0, np.pi, 12))], axis=1)
    return _turned(np.concatenate([up, up[::-1] * [1, -1]]) * size, turn, x, y)


def _teardrop(x: float, y: float, size: float, turn: float) -> Floats:
    """A curved drop, as shawls have it."""
    t = np.linspace(0, 2 * np.pi, 48)
    u, v = np.cos(t) * (0.6 + 0.4 * np.cos(t)), np.sin(t) * np.sin(t / 2) * 0.8
    return _turned(np.stack([u, v + 0.25 * u * u], axis=1) * size, turn, x, y)


def _figure(rng: np.random.Generator) -> list[Floats]:
    """A small object of a few outlines: what it is does not matter, that it is this one does."""
    parts: list[Floats] = []
    for _ in range(int(rng.integers(2, 5))):
        x, y, size = rng.uniform(-0.5, 0.5), rng.uniform(-0.5, 0.5), rng.uniform(0.2, 0.55)
        angle = np.sort(rng.uniform(0, 2 * np.pi, int(rng.integers(3, 7))))
        parts.append(np.stack([x + size * np.cos(angle), y + size * np.sin(angle)], axis=1))
    return parts


def _dyes(rng: np.random.Generator, ground: str, count: int) -> list[str]:
    """Dyes that stand off from the ground, as a print has them."""
    bright = float(np.mean(DYES[ground]))
    far = [each for each in DYES if abs(float(np.mean(DYES[each])) - bright) > 38]
    return [str(each) for each in rng.permutation(far)[:count]]


def _plain(rng: np.random.Generator, sheet: Sheet, ground: str) -> None:
    """Woven without a print."""


def _stripes(rng: np.random.Generator, sheet: Sheet, ground: str) -> None:
    repeat, bands = rng.uniform(0.35, 2.0), int(rng.integers(2, 6))
    starts, wide = np.sort(rng.uniform(0, 0.92, bands)), rng.uniform(0.03, 0.16, bands)
    dyes = _dyes(rng, ground, 3)
    for step in np.arange(-1, SIDE_IN / repeat + 1):
        for number, start in enumerate(starts):
            sheet.bar((step + start) * repeat, (step + start + wide[number]) * repeat, dyes[number % len(dyes)])


def _shirting(rng: np.random.Generator, sheet: Sheet, ground: str) -> None:
    repeat, double, dotted = rng.uniform(0.22, 0.7), rng.random() < 0.5, rng.random() < 0.5
    dyes = _dyes(rng, ground, 2)
    for step in np.arange(0, SIDE_IN, repeat):
        sheet.bar(step, step + 0.03, dyes[0])
        if double:
            sheet.bar(step + 0.08, step + 0.11, dyes[0])
        if dotted:
            for y in np.arange(0, SIDE_IN, repeat * 0.8):
                sheet.dot(step + repeat * 0.6, y, 0.035, dyes[-1])


def _checks(rng: np.random.Generator, sheet: Sheet, ground: str) -> None:
    """Woven: where a band crosses a band both colors stand thread by thread."""
    repeat, bands, alike = rng.uniform(0.3, 2.4), int(rng.integers(1, 4)), rng.random() < 0.5
    places = rng.uniform(0, 0.8, (2, bands)), rng.uniform(0.08, 0.5 if bands == 1 else 0.25, (2, bands))
    dyes = _dyes(rng, ground, 3)
    at = (np.arange(PER_INCH * SIDE_IN) / PER_INCH / repeat) % 1
    lines = []
    for way in (0, 0 if alike else 1):
        line = np.tile(np.array(DYES[ground], np.float32), (len(at), 1))
        for number in range(bands):
            start, wide = places[0][way, number], places[1][way, number]
            line[(at >= start) & (at < start + wide)] = DYES[dyes[number % len(dyes)]]
        lines.append(line)
    sheet.rgb[:] = np.rint((lines[0][None] + lines[1][:, None]) / 2).astype(np.uint8)


def _dots(rng: np.random.Generator, sheet: Sheet, ground: str) -> None:
    step, drop = rng.uniform(0.22, 1.3), float(rng.choice([0, 0.5, 0.5, 0.33]))
    radius, high, ring = step * rng.uniform(0.1, 0.33), step * rng.uniform(0.7, 1.3), rng.random() < 0.35
    dye = _dyes(rng, ground, 1)[0]
    for x, y in _places(step, high, drop):
        sheet.dot(x, y, radius, dye)
        if ring:
            sheet.dot(x, y, radius * 0.5, ground)


def _sprigs(rng: np.random.Generator, sheet: Sheet, ground: str) -> None:
    dx, dy = rng.uniform(0.45, 1.5, 2)
    size, deep, petals = min(dx, dy) * rng.uniform(0.14, 0.27), rng.uniform(0.2, 0.7), int(rng.integers(4, 9))
    leaves = [(rng.uniform(0, 2 * np.pi), rng.uniform(0.8, 1.7)) for _ in range(int(rng.integers(1, 4)))]
    flips, drop, filler = rng.random() < 0.5, float(rng.choice([0.5, 0.5, 0.25])), rng.random() < 0.5
    dyes = _dyes(rng, ground, 3)
    for number, (x, y) in enumerate(_places(dx, dy, drop)):
        turn = np.pi * (number % 2) * flips
        for angle, long in leaves:
            sheet.area(_leaf(x, y, size * (1 + long), angle + turn), dyes[1 % len(dyes)])
        sheet.area(_petals(x, y, size, petals, deep, turn), dyes[0])
        sheet.dot(x, y, size * 0.28, dyes[-1])
        if filler:
            sheet.dot(x + dx / 2, y + dy / 2, size * 0.18, dyes[-1])


def _objects(rng: np.random.Generator, sheet: Sheet, ground: str) -> None:
    dx, dy = rng.uniform(0.5, 1.8, 2)
    shapes = [_figure(rng) for _ in range(int(rng.integers(1, 4)))]
    size, turns = min(dx, dy) * rng.uniform(0.3, 0.5), rng.choice([0, np.pi / 2, np.pi], 5)
    dyes = _dyes(rng, ground, 2)
    for number, (x, y) in enumerate(_places(dx, dy, 0.5)):
        for part, outline in enumerate(shapes[number % len(shapes)]):
            sheet.area(_turned(outline * size, float(turns[number % 5]), x, y), dyes[part % len(dyes)])


def _vines(rng: np.random.Generator, sheet: Sheet, ground: str) -> None:
    apart, wave, swing = rng.uniform(0.7, 2.2), rng.uniform(1.0, 3.0), rng.uniform(0.12, 0.4)
    leaf, flower = rng.uniform(0.15, 0.4), rng.uniform(0.08, 0.22)
    dyes = _dyes(rng, ground, 3)
    along = np.linspace(0, SIDE_IN, 400)
    for number, x in enumerate(np.arange(0, SIDE_IN + apart, apart)):
        bend = x + swing * apart * np.sin(2 * np.pi * (along / wave + 0.5 * (number % 2)))
        sheet.line(np.stack([bend, along], axis=1), dyes[0], 0.045)
        for step, at in enumerate(np.arange(0, SIDE_IN, wave / 4)):
            here = x + swing * apart * np.sin(2 * np.pi * (at / wave + 0.5 * (number % 2)))
            side = 1 if step % 2 else -1
            sheet.area(_leaf(here, at, leaf, np.pi / 2 - side * 1.1), dyes[1 % len(dyes)])
            if step % 4 == 0:
                sheet.area(_petals(here - side * leaf * 0.6, at, flower, 5, 0.5, 0), dyes[-1])


def _bouquets(rng: np.random.Generator, sheet: Sheet, ground: str) -> None:
    """Large flowers of several colors, as on feed sacks; the repeat is wider than many a patch."""
    repeat = rng.uniform(2.2, 5.0)
    stand = [
        (*rng.uniform(0, 1, 2), rng.uniform(0.1, 0.24), int(rng.integers(4, 9)), rng.uniform(0.1, 0.6), number)
        for number in range(int(rng.integers(5, 11)))
    ]
    dyes = _dyes(rng, ground, 5)
    for x0, y0 in _places(repeat, repeat, 0.5):
        for x, y, size, petals, deep, dye in stand:
            at, big = (x0 + x * repeat, y0 + y * repeat), size * repeat
            for leaf in (0.4, 2.0, 4.1):
                sheet.area(_leaf(*at, big * 1.7, dye + leaf), dyes[(dye + 2) % len(dyes)])
            sheet.area(_petals(*at, big, petals, deep, dye), dyes[dye % len(dyes)])
            sheet.area(_petals(*at, big * 0.55, petals, deep, dye + 0.4), dyes[(dye + 1) % len(dyes)])
            sheet.dot(*at, big * 0.2, dyes[(dye + 3) % len(dyes)])


def _shawl(rng: np.random.Generator, sheet: Sheet, ground: str) -> None:
    dx, dy = rng.uniform(0.8, 2.4, 2)
    size, turn, drop = min(dx, dy) * rng.uniform(0.3, 0.45), rng.uniform(0, 6), float(rng.choice([0.5, 0.33]))
    ring = np.linspace(0, 2 * np.pi, int(rng.integers(5, 12)), endpoint=False)
    dyes = _dyes(rng, ground, 3)
    for number, (x, y) in enumerate(_places(dx, dy, drop)):
        way = turn + np.pi * (number % 2)
        sheet.area(_teardrop(x, y, size, way), dyes[0])
        sheet.area(_teardrop(x, y, size * 0.6, way), dyes[1 % len(dyes)])
        for angle in ring:
            sheet.dot(x + size * 1.15 * np.cos(angle), y + size * 1.15 * np.sin(angle), size * 0.08, dyes[-1])


def _zigzags(rng: np.random.Generator, sheet: Sheet, ground: str) -> None:
    high, wave = rng.uniform(0.25, 1.1), rng.uniform(0.3, 1.4)
    dyes = _dyes(rng, ground, 2)
    x = np.arange(-wave, SIDE_IN + wave, wave / 2)
    for number, y in enumerate(np.arange(-high, SIDE_IN + high, high)):
        line = np.stack([x, y + high * 0.24 * (np.arange(len(x)) % 2 * 2 - 1)], axis=1)
        sheet.line(line, dyes[number % len(dyes)], high * 0.26)


def _rings(rng: np.random.Generator, sheet: Sheet, ground: str) -> None:
    """Medallions in a frame of lines, as on neckties."""
    step, petals, deep = rng.uniform(0.5, 1.6), int(rng.integers(4, 13)), rng.uniform(0.1, 0.5)
    dyes = _dyes(rng, ground, 3)
    for x in np.arange(0, SIDE_IN + step, step):
        for y in np.arange(0, SIDE_IN + step, step):
            box = [[x, y - step / 2], [x + step / 2, y], [x, y + step / 2], [x - step / 2, y], [x, y - step / 2]]
            sheet.line(np.array(box), dyes[-1], 0.04)
            sheet.area(_petals(x, y, step * 0.3, petals, deep, 0), dyes[0])
            sheet.area(_petals(x, y, step * 0.15, petals, deep, 0.3), dyes[1 % len(dyes)])


def _marbled(rng: np.random.Generator, sheet: Sheet, ground: str) -> None:
    """Bent lines without a plain repeat: marbling, moire, mourning prints."""
    side = PER_INCH * SIDE_IN
    y, x = np.mgrid[0:side, 0:side].astype(np.float32) / PER_INCH
    for _ in range(4):
        wave, way = rng.uniform(0.8, 4.0), rng.uniform(0, 2 * np.pi)
        push = rng.uniform(0.1, 0.4) * wave * np.sin(2 * np.pi * (x * np.cos(way) + y * np.sin(way)) / wave)
        x, y = x + push * np.float32(np.sin(way)), y + push * np.float32(np.cos(way))
    line = 0.5 + 0.5 * np.sin(2 * np.pi * x / rng.uniform(0.2, 0.8))
    share = np.clip((line - rng.uniform(0.3, 0.7)) * 8, 0, 1)[..., None]
    dye = np.array(DYES[_dyes(rng, ground, 1)[0]], np.float32)
    sheet.rgb[:] = np.rint(sheet.rgb * (1 - share) + dye * share).astype(np.uint8)


WAYS: dict[str, Callable[[np.random.Generator, Sheet, str], None]] = {
    "plain": _plain, "stripes": _stripes, "shirting": _shirting, "checks": _checks, "dots": _dots, "sprigs": _sprigs,
    "objects": _objects, "vines": _vines, "bouquets": _bouquets, "shawl": _shawl, "zigzags": _zigzags, "rings": _rings,
    "marbled": _marbled,
}  # fmt: skip


@dataclass(frozen=True, eq=False)
class Bolt:
    """One cloth as it came from the shop, `PER_INCH` pixels to the inch; RGB uint8."""

    kind: str
    ground: str
    rgb: Bytes


def make_bolt(seed: int, kind: str, *, ground: str = "") -> Bolt:
    """Print one cloth; the same seed and kind on another ground is the same print in other colors."""
    rng = np.random.default_rng([seed, 20_260_411])
    chosen = str(rng.choice(LIGHT if rng.random() < 0.45 else DARK))
    sheet = Sheet(ground or chosen)
    WAYS[kind](rng, sheet, ground or chosen)
    return Bolt(kind, ground or chosen, sheet.rgb)


def some_bolts(count: int, seed: int) -> list[Bolt]:
    """Print so many cloths of all kinds; every eighth is the print of the one before it in other colors."""
    rng, kinds = np.random.default_rng([seed, 7]), list(WAYS)
    made: list[Bolt] = []
    last = (0, "plain")
    for number in range(count):
        if number % 8 == 7 and last[1] != "plain":
            # Far enough from the first that no light makes the one ground the other.
            was = np.array(DYES[made[-1].ground])
            others = [each for each in (*LIGHT, *DARK) if np.abs(np.array(DYES[each]) - was).max() > _OTHER_GROUND]
            made.append(make_bolt(*last, ground=str(rng.choice(others))))
            continue
        last = (seed * 1000 + number, kinds[number % len(kinds)])
        made.append(make_bolt(*last))
    return made
