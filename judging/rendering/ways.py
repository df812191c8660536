"""Photographs of quilts pieced in seven ways, drawn by means of their own: no other renderer, cloth or training takes part.

Where the other renderer sews, wears out and lights a quilt in relief, this one paints it: prints are drawn with a brush on a
tile (`_Prints`), patches are filled with it, seams, quilting and folds are painted over, and the whole is laid in
perspective. What is read well here and there is read well for the quilt, not for the way it was drawn.

    photo, truth = painted(7, "plain between", on_point=True)
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

import cv2
import numpy as np
from numpy.typing import NDArray
from PIL import Image, ImageDraw, ImageFilter

from judging.rendering.blocks import JUDGING, design
from seamlore.draft.block import Block
from seamlore.draft.text.notation import read_block

Floats = NDArray[np.float64]
Rgb = tuple[int, int, int]

WAYS = (
    "two by turns",
    "plain between",
    "sampler",
    "scattered",
    "squares",
    "triangles turned freely",
    "one block, other fabrics each",
)
_PLAIN = read_block("block Plain\nA medium\ndivisions 1\nA")
_HALVES = read_block("block Half Square Triangle\nA light\nB dark\ndivisions 1\nA/B")
_VALUES = {"light": (196, 246), "medium": (110, 185), "dark": (28, 95)}
_TILE = 192  # pixels of a print, as it is drawn once


@dataclass(frozen=True)
class Square:
    """One block as it lies: the outlines of its patches in 0..1 of it."""

    outlines: tuple[Floats, ...]


@dataclass(frozen=True)
class Painted:
    """What is true of a painted photograph.

    Attributes
    ----------
    corners : ndarray, shape (4, 2)
        Of the field of blocks, in pixels of the photograph, clockwise from its top left.
    setting : str
        "straight" or "on point".
    rows, columns : int
        On point, whole rows of whole blocks.
    whole, between : dict of (row, column) to Square
        The blocks of the whole rows, and on point those between.
    """

    corners: Floats
    setting: str
    rows: int
    columns: int
    whole: dict[tuple[int, int], Square]
    between: dict[tuple[int, int], Square]


class _Prints:
    """Cloth for one quilt: tiles drawn with a brush."""

    def __init__(self, rng: np.random.Generator) -> None:
        self.rng = rng
        self.bold = float(rng.uniform(0.2, 0.9))

    def color(self, value: str) -> Rgb:
        low, high = _VALUES[value]
        lab = np.array([[[self.rng.uniform(low, high), 128, 128]]])
        hue, chroma = self.rng.uniform(0, 2 * np.pi), self.rng.uniform(0, 16 if value == "light" else 42)
        lab[0, 0, 1:] += chroma * np.array([np.cos(hue), np.sin(hue)])
        rgb = cv2.cvtColor(np.clip(lab, 0, 255).astype(np.uint8), cv2.COLOR_LAB2RGB)[0, 0]
        return int(rgb[0]), int(rgb[1]), int(rgb[2])

    def cloth(self, value: str) -> Image.Image:
        """One print of a value."""
        rng, ground = self.rng, self.color(value)
        tile = Image.new("RGB", (_TILE, _TILE), ground)
        brush = ImageDraw.Draw(tile, "RGBA")
        ink = tuple(int(np.clip(c + rng.choice([-1, 1]) * rng.uniform(14, 90) * self.bold, 0, 255)) for c in ground)
        step = int(rng.integers(8, 40))
        kind = rng.choice(["solid", "dots", "sprigs", "stripe", "check", "blossoms", "vermicelli", "crackle"])
        if kind == "dots":
            size = max(1, step // int(rng.integers(3, 7)))
            for number, y in enumerate(range(0, _TILE, step)):
                for x in range(-(step // 2) * (number % 2), _TILE, step):
                    brush.ellipse((x, y, x + size, y + size), fill=ink)
        elif kind in ("sprigs", "blossoms"):
            for _ in range(int((_TILE / step) ** 2)):
                across, down = rng.uniform(0, _TILE, 2)
                petal = step * rng.uniform(0.2, 0.5 if kind == "sprigs" else 1.1)
                for way in np.linspace(0, 2 * np.pi, int(rng.integers(3, 7)), endpoint=False):
                    x, y = across + petal * np.cos(way), down + petal * np.sin(way)
                    brush.ellipse((x - petal / 2, y - petal / 2, x + petal / 2, y + petal / 2), fill=ink)
        elif kind == "stripe":
            wide = max(1, int(step * rng.uniform(0.1, 0.6)))
            for x in range(0, _TILE, step):
                brush.rectangle((x, 0, x + wide, _TILE), fill=(*ink, int(rng.integers(90, 255))))
        elif kind == "check":
            wide = max(1, step // 2)
            for x in range(0, _TILE, step):
                brush.rectangle((x, 0, x + wide, _TILE), fill=(*ink, 110))
                brush.rectangle((0, x, _TILE, x + wide), fill=(*ink, 110))
        elif kind == "vermicelli":
            at = rng.uniform(0, _TILE, 2)
            line = [tuple(at)]
            for _ in range(420):
                at = (at + rng.normal(0, step / 3, 2)) % _TILE
                line.append(tuple(at))
            for one, two in pairwise(line):
                if abs(one[0] - two[0]) + abs(one[1] - two[1]) < _TILE / 2:
                    brush.line((*one, *two), fill=ink, width=2)
        elif kind == "crackle":
            noise = cv2.resize(rng.normal(0, 1, (12, 12)), (_TILE, _TILE), interpolation=cv2.INTER_CUBIC)
            lit = np.asarray(tile, float) + (noise * 22 * self.bold)[..., None]
            tile = Image.fromarray(np.clip(lit, 0, 255).astype(np.uint8))
        return tile.rotate(float(rng.choice([0, 0, 45, 90])), resample=Image.Resampling.BILINEAR).crop(
            (28, 28, _TILE - 28, _TILE - 28)
        )


def _moved(outlines: list[Floats], turn: int, mirrored: bool) -> list[Floats]:
    found = []
    for ring in outlines:
        points = np.stack([1 - ring[:, 0], ring[:, 1]], axis=-1) if mirrored else ring
        for _ in range(turn):
            points = np.stack([1 - points[:, 1], points[:, 0]], axis=-1)
        found.append(points)
    return found


class _Painter:
    """Paints one quilt on a canvas, block by block."""

    def __init__(self, rng: np.random.Generator, way: str, side: int, designs: Sequence[str]) -> None:
        self.rng, self.way, self.side = rng, way, side
        self.prints = _Prints(rng)
        values = ("light", "medium", "dark")
        self.bag = {value: [self.prints.cloth(value) for _ in range(int(rng.integers(2, 9)))] for value in values}
        few = [design(str(name)) for name in rng.choice(list(designs), 12, replace=False)]
        self.blocks = [each for each in few if len(each.patches) <= 64]
        self.same = self._cloths(self.blocks[0]) if rng.random() < 0.5 else None
        self.quilting = str(rng.choice(["none", "ditch", "slant", "cross", "echo"]))

    def _cloths(self, block: Block) -> dict[str, Image.Image]:
        return {
            key: self.bag[place.value][int(self.rng.integers(len(self.bag[place.value])))]
            for key, place in block.places.items()
        }

    def which(self, row: int, column: int, number: int) -> tuple[Block, int, bool]:
        """Which block stands where, and how it lies."""
        rng, first = self.rng, self.blocks[0]
        if self.way == "two by turns":
            return self.blocks[(row + column) % 2], 0, False
        if self.way == "plain between":
            return (first if (row + column) % 2 == 0 else _PLAIN), 0, False
        if self.way == "sampler":
            return self.blocks[number % len(self.blocks)], 0, False
        if self.way == "scattered":
            return (first if rng.random() < 0.35 else _PLAIN), 0, False
        if self.way == "squares":
            return _PLAIN, 0, False
        if self.way == "triangles turned freely":
            return _HALVES, int(rng.integers(4)), False
        return first, 0, False

    def paint(self, row: int, column: int, number: int) -> tuple[Image.Image, Square]:
        """One block, painted, and its outlines as they lie."""
        rng, side = self.rng, self.side
        block, turn, mirrored = self.which(row, column, number)
        alike = self.same if block is self.blocks[0] and self.way in ("two by turns", "plain between") else None
        cloths = alike or self._cloths(block)
        picture = Image.new("RGB", (side, side))
        outlines = _moved([np.array(patch.points, float) for patch in block.patches], turn, mirrored)
        seams = Image.new("L", (side, side), 0)
        pencil = ImageDraw.Draw(seams)
        for patch, ring in zip(block.patches, outlines, strict=True):
            mask = Image.new("L", (side, side), 0)
            corners = [tuple(point) for point in ring * side]
            ImageDraw.Draw(mask).polygon(corners, fill=255)
            tile = cloths[patch.place]
            x, y = (int(each) for each in rng.integers(0, tile.width - 60, 2))
            # A print runs on across the patch, at its own offset.
            wide = Image.new("RGB", (side, side))
            for left in range(-x, side, tile.width):
                for top in range(-y, side, tile.height):
                    wide.paste(tile, (left, top))
            picture.paste(wide, (0, 0), mask)
            pencil.line([*corners, corners[0]], fill=255, width=2)
        return self._sewn(picture, seams), Square(tuple(outlines))

    def _sewn(self, picture: Image.Image, seams: Image.Image) -> Image.Image:
        rng, side = self.rng, self.side
        lit: Floats = np.asarray(picture, np.float64)
        ditch = np.asarray(seams.filter(ImageFilter.GaussianBlur(1.1)), np.float32)[..., None] / 255
        raised = (
            np.roll(np.asarray(seams.filter(ImageFilter.GaussianBlur(3)), np.float32), (2, 2), (0, 1))[..., None]
            / 255
        )
        lit = lit * (1 - rng.uniform(0.25, 0.6) * ditch) + 30 * raised
        stitches = Image.new("L", (side, side), 0)
        pencil = ImageDraw.Draw(stitches)
        step = side / 4
        for k in range(-4, 9):
            if self.quilting in ("slant", "cross"):
                pencil.line((k * step, 0, k * step + side, side), fill=170, width=1)
            if self.quilting == "cross":
                pencil.line((k * step + side, 0, k * step, side), fill=170, width=1)
            if self.quilting == "echo" and 0 < k < 4:
                pencil.rectangle((k * side / 9, k * side / 9, side - k * side / 9, side - k * side / 9), outline=150)
        puffs = np.asarray(stitches.filter(ImageFilter.GaussianBlur(1.4)), np.float32)[..., None] / 255
        return Image.fromarray(np.clip(lit * (1 - 0.35 * puffs), 0, 255).astype(np.uint8))


def painted(
    seed: int, way: str, *, on_point: bool, designs: Sequence[str] = tuple(JUDGING)
) -> tuple[NDArray[np.uint8], Painted]:
    """Paint one photograph.

    Parameters
    ----------
    seed : int
        The same arguments give the same picture.
    way : str
        One of `WAYS`.
    on_point : bool
        Whether blocks stand on their corners.
    designs : sequence of str
        Which blocks of `judging.rendering.blocks` may be chosen, at least twelve.

    Returns
    -------
    photo : ndarray of uint8, shape (height, width, 3)
        RGB.
    truth : Painted

    Examples
    --------
    >>> photo, truth = painted(1, "squares", on_point=False)
    >>> len(truth.whole) == truth.rows * truth.columns, photo.dtype.name
    (True, 'uint8')
    """
    rng = np.random.default_rng([seed, WAYS.index(way), on_point])
    rows, columns = (int(each) for each in rng.integers(3, 6 if on_point else 8, 2))
    side = int(np.clip(1150 / max(rows, columns) / (2**0.5 if on_point else 1), 90, 190))
    painter = _Painter(rng, way, side, designs)
    whole: dict[tuple[int, int], Square] = {}
    between: dict[tuple[int, int], Square] = {}
    if not on_point:
        top = Image.new("RGB", (columns * side, rows * side))
        for row in range(rows):
            for column in range(columns):
                block, whole[row, column] = painter.paint(row, column, len(whole))
                top.paste(block, (column * side, row * side))
    else:
        top = _on_point(painter, rows, columns, whole, between)
    photo, corners = _photographed(top, rng)
    return photo, Painted(corners, "on point" if on_point else "straight", rows, columns, whole, between)


def _on_point(
    painter: _Painter,
    rows: int,
    columns: int,
    whole: dict[tuple[int, int], Square],
    between: dict[tuple[int, int], Square],
) -> Image.Image:
    """Blocks on their corners on a field of setting triangles of one cloth."""
    side, long = painter.side, painter.side * 2**0.5
    setting = painter.prints.cloth(str(painter.rng.choice(["light", "dark"])))
    top = Image.new("RGB", (round(columns * long), round(rows * long)))
    for left in range(0, top.width, setting.width):
        for upper in range(0, top.height, setting.height):
            top.paste(setting, (left, upper))
    for line in range(2 * rows - 1):
        for column in range(columns - line % 2):
            # Along the slant: by turns means whole rows and those between.
            turns = (line % 2, 0) if painter.way in ("two by turns", "plain between") else (line, column)
            block, square = painter.paint(*turns, len(whole) + len(between))
            (between if line % 2 else whole)[line // 2, column] = square
            mask = Image.new("L", (side, side), 255).rotate(-45, expand=True, resample=Image.Resampling.BICUBIC)
            lying = block.rotate(-45, expand=True, resample=Image.Resampling.BICUBIC)
            middle = (column + 0.5 + 0.5 * (line % 2)) * long, (line + 1) * long / 2
            top.paste(lying, (round(middle[0] - lying.width / 2), round(middle[1] - lying.height / 2)), mask)
    return top


def _photographed(top: Image.Image, rng: np.random.Generator) -> tuple[NDArray[np.uint8], Floats]:
    """Lay the top on a ground, in perspective and uneven light, and take its picture."""
    flat: Floats = np.asarray(top, np.float64)
    high, wide = flat.shape[:2]
    waves = sum(
        rng.uniform(0, 5) * np.sin(np.add.outer(np.arange(high) * a, np.arange(wide) * b) + rng.uniform(0, 6))
        for a, b in rng.uniform(-0.05, 0.05, (4, 2))
    )
    flat = flat + waves[..., None]
    for _ in range(int(rng.integers(0, 3))):  # folds
        at, down = int(rng.integers(high if rng.random() < 0.5 else wide)), rng.random() < 0.5
        band = np.exp(-(((np.arange(high if down else wide) - at) / 4) ** 2)) * 28
        flat = flat - (band[:, None, None] if down else band[None, :, None])
    margin = 60
    square = np.array([[0, 0], [wide, 0], [wide, high], [0, high]], np.float32) - 0.5
    there = square + margin + rng.uniform(-0.03, 0.03, (4, 2)).astype(np.float32) * wide
    matrix = cv2.getPerspectiveTransform(square, there.astype(np.float32))
    size = wide + 2 * margin, high + 2 * margin
    ground = np.full((size[1], size[0], 3), rng.uniform(60, 220, 3), np.float32) + rng.normal(
        0, 6, (size[1], size[0], 1)
    )
    laid = cv2.warpPerspective(flat, matrix, size, flags=cv2.INTER_AREA)
    inside = cv2.warpPerspective(np.ones(flat.shape[:2], np.float32), matrix, size)[..., None]
    photo = ground * (1 - inside) + laid * inside
    x, y = np.meshgrid(np.linspace(-1, 1, size[0]), np.linspace(-1, 1, size[1]))
    light = 1 + rng.uniform(-0.18, 0.18) * x + rng.uniform(-0.18, 0.18) * y
    photo = photo * light[..., None] * rng.uniform(0.94, 1.04, 3) + rng.normal(0, 3, photo.shape)
    photo = cv2.GaussianBlur(photo, (0, 0), float(rng.uniform(0.4, 0.9)))
    _, file = cv2.imencode(".jpg", np.clip(photo, 0, 255).astype(np.uint8)[..., ::-1], [cv2.IMWRITE_JPEG_QUALITY, 88])
    opened = np.asarray(cv2.imdecode(file, cv2.IMREAD_COLOR), np.uint8)
    return np.ascontiguousarray(opened[..., ::-1]), there.astype(float)
