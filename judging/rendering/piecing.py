"""Sewing a test quilt together: outlines in inches from its top left, what each is cut from, and what is true of it."""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import cache
from itertools import cycle

import cv2
import numpy as np
from numpy.typing import NDArray

from judging.rendering.blocks import design
from judging.rendering.cloth import Cloth, Value, make_cloth
from judging.rendering.recipe import Recipe
from seamlore.draft.block import Block

Points = NDArray[np.float64]
Element = tuple[int, bool]  # turned clockwise by so many degrees after mirroring left to right
ELEMENTS: tuple[Element, ...] = tuple((turn, flip) for flip in (False, True) for turn in (0, 90, 180, 270))
_VALUES: tuple[tuple[Value, Value, Value], ...] = (
    ("light", "dark", "medium"), ("dark", "light", "medium"), ("light", "medium", "dark"),
    ("medium", "dark", "light"), ("light", "dark", "medium"),
)  # fmt: skip


@dataclass(slots=True)
class Made:
    """A quilt being sewn: pieces in the order in which they are laid down."""

    size: tuple[float, float] = (0.0, 0.0)
    outlines: list[Points] = field(default_factory=list)
    cloth_of: list[int] = field(default_factory=list)
    cloths: list[Cloth] = field(default_factory=list)
    grain: list[int] = field(default_factory=list)  # 1 where the cloth lies turned by a quarter
    seams: bool = True

    def lay(self, outline: Points, cloth: int, grain: int = 0) -> None:
        """Add one piece."""
        self.outlines.append(outline)
        self.cloth_of.append(cloth)
        self.grain.append(grain)


@dataclass(frozen=True, slots=True)
class Sewn:
    """One block as it was sewn in: which cloth each of its patches is cut from, how it lies, whether it differs."""

    row: int
    column: int
    element: Element
    cloths: tuple[int, ...]
    differs: bool
    quad: Points


@dataclass(slots=True)
class Bag:
    """The fabrics of one quilt: some for each place of its block, others for sashing and borders as they are wanted.

    `all_else`, if given, is the one fabric that everything outside the blocks is cut from.
    """

    recipe: Recipe
    made: Made
    rng: np.random.Generator
    ppi: float
    values: dict[str, Value] = field(default_factory=dict)
    pools: dict[str, list[int]] = field(default_factory=dict)
    per_patch: bool = False
    all_else: int | None = None

    def cut(self, value: Value | None = None, kind: str | None = None) -> int:
        """Bring one more fabric; give its number."""
        if self.all_else is not None:
            return self.all_else
        value = value or ("light", "medium", "dark")[int(self.rng.integers(3))]
        number = len(self.made.cloths)
        self.made.cloths.append(make_cloth(self.rng, f"F{number + 1}", value, self.recipe.era, self.ppi, kind))
        return number

    def for_block(self, block: Block, swapped: dict[str, str] | None = None) -> tuple[int, ...]:
        """Choose the fabrics of one block's patches."""
        names = {letter: (swapped or {}).get(letter, letter) for letter in block.places}
        known = {letter: name if name in self.pools else next(iter(self.pools)) for letter, name in names.items()}
        once = {letter: int(self.rng.choice(self.pools[name])) for letter, name in known.items()}
        if not self.per_patch:
            return tuple(once[each.place] for each in block.patches)
        return tuple(int(self.rng.choice(self.pools[known[each.place]])) for each in block.patches)


def fill_bag(recipe: Recipe, block: Block, made: Made, rng: np.random.Generator, ppi: float) -> Bag:
    """Choose the fabrics of a quilt by its recipe."""
    bag = Bag(recipe, made, rng, ppi)
    choose_fabrics(bag, block)
    return bag


def choose_fabrics(bag: Bag, block: Block) -> None:
    """Put the fabrics of each place of a block into a bag, by its recipe."""
    recipe, rng = bag.recipe, bag.rng
    choice = _VALUES[recipe.swap_values % len(_VALUES)]
    bag.values = dict(zip(block.places, cycle(choice), strict=False))
    level = recipe.scrappiness
    many = {"one fabric": 1, "by block": int(rng.integers(4, 14)), "every patch": int(rng.integers(8, 22))}
    for number, letter in enumerate(block.places):
        count = many.get(level, 1 if number == 0 else int(rng.integers(4, 16)))
        # Squares of one patch are of any value, or there would be nothing to tell them apart by.
        value = bag.values[letter] if len(block.places) > 1 else None
        bag.pools[letter] = [bag.cut(value) for _ in range(count)]
    bag.per_patch = level == "every patch" or (level == "background one" and bool(rng.random() < 0.4))


def moved(points: Points, element: Element) -> Points:
    """Mirror points of the unit block left to right (if so), then turn them clockwise about its middle."""
    turn, flip = element
    x, y = points[..., 0], points[..., 1]
    if flip:
        x = 1 - x
    for _ in range(turn // 90 % 4):
        x, y = 1 - y, x
    return np.stack([x, y], axis=-1)


def in_quad(points: Points, quad: Points) -> Points:
    """Map points of the unit square into a quadrilateral (corners from top left, clockwise)."""
    x, y = points[..., 0:1], points[..., 1:2]
    return np.asarray((1 - y) * ((1 - x) * quad[0] + x * quad[1]) + y * ((1 - x) * quad[3] + x * quad[2]))


def picture(block: Block, keys: dict[str, int], element: Element = (0, False), size: int = 72) -> NDArray[np.uint8]:
    """Draw a block as a small map of keys, one a place, so that two ways of laying it can be compared."""
    drawn = np.zeros((size, size), np.uint8)
    for each in block.patches:
        ring = moved(each.points, element)
        cv2.fillPoly(drawn, [np.rint(ring * size * 16 - 8).astype(np.int32)], keys[each.place], shift=4)
    return drawn


@cache
def _outlines(name: str) -> tuple[Points, ...]:
    return tuple(each.points for each in design(name).patches)


def outlines_of(block: Block) -> tuple[Points, ...]:
    """The outlines of a block's patches as floats, worked out once for each design."""
    return _outlines(block.name)


def same(one: NDArray[np.uint8], two: NDArray[np.uint8]) -> bool:
    """Whether two small maps look the same, but for the rounding at their seams."""
    box = np.ones((3, 3), np.uint8)
    inside = (cv2.dilate(one, box) == cv2.erode(one, box)) & (cv2.dilate(two, box) == cv2.erode(two, box))
    return float(np.mean(one[inside] != two[inside])) < 0.01


class Lies:
    """How a block looks in each of the eight ways of laying it, drawn once."""

    def __init__(self, block: Block) -> None:
        keys = {letter: number + 1 for number, letter in enumerate(block.places)}
        self.drawn = {element: picture(block, keys, element) for element in ELEMENTS}
        self.known: dict[tuple[Element, Element], Element] = {}

    def smallest(self, base: Element, shown: Element) -> Element:
        """The smallest turn that brings a block lying as `base` to look as one lying as `shown`."""
        if (base, shown) not in self.known:
            wanted = self.drawn[shown]
            self.known[base, shown] = next(each for each in ELEMENTS if same(self.drawn[after(base, each)], wanted))
        return self.known[base, shown]

    def symmetry(self, base: Element) -> tuple[Element, ...]:
        """Every way of moving a block lying as `base` that leaves it as it looks."""
        return tuple(each for each in ELEMENTS if same(self.drawn[after(base, each)], self.drawn[base]))


def after(first: Element, second: Element) -> Element:
    """The one element that does what two do, one after the other."""
    probe = np.array([[0.1, 0.3], [0.8, 0.2]])
    both = moved(moved(probe, first), second)
    return next(each for each in ELEMENTS if np.allclose(moved(probe, each), both))


def sew_block(
    made: Made,
    block: Block,
    cloths: tuple[int, ...],
    element: Element,
    quad: Points,
    rng: np.random.Generator,
    uneven: float,
) -> None:
    """Lay one block into its place, its inner seams a little off."""
    moves: dict[tuple[float, float], Points] = {}
    # All corners at once; then each patch takes its own again.
    rings = outlines_of(block)
    laid = moved(np.concatenate(rings), element)
    ends = np.cumsum([len(ring) for ring in rings])
    for index, (x, y) in enumerate(laid):
        key = (round(float(x), 6), round(float(y), 6))
        if key not in moves:
            off = rng.normal(0, uneven * 0.6, 2)
            # On the block's own edge a corner can only slide along it.
            moves[key] = off * [0 < key[0] < 1, 0 < key[1] < 1]
        laid[index] = laid[index] + moves[key]
    for ring, cloth in zip(np.split(in_quad(laid, quad), ends[:-1]), cloths, strict=True):
        made.lay(ring, cloth, int(rng.integers(2)))


def lay_borders(made: Made, bag: Bag, widths: tuple[float, ...]) -> float:
    """Lay the borders down from the outside in, each as four strips; give their width together."""
    at = 0.0
    width, height = made.size
    for band in widths[::-1]:
        cloth = bag.cut()
        left, top, right, bottom = at, at, width - at, height - at
        corner = bag.cut() if bag.rng.random() < 0.15 else cloth
        rects = [
            (left, top, right, bottom, corner),
            (left + band, top, right - band, bottom, cloth),
            (left, top + band, right, bottom - band, cloth),
        ]
        for number, (x0, y0, x1, y1, of) in enumerate(rects):
            made.lay(rect(x0, y0, x1, y1), of, number % 2)
        at += band
    return at


def lay_binding(made: Made, bag: Bag, width: float) -> None:
    """Bind the edge: four narrow strips over everything."""
    if not width:
        return
    cloth, (w, h) = bag.cut(), made.size
    for x0, y0, x1, y1 in ((0, 0, w, width), (0, h - width, w, h), (0, 0, width, h), (w - width, 0, w, h)):
        made.lay(rect(x0, y0, x1, y1), cloth)


def rect(x0: float, y0: float, x1: float, y1: float) -> Points:
    """Corners of a rectangle from its top left, clockwise."""
    return np.array([[x0, y0], [x1, y0], [x1, y1], [x0, y1]], dtype=np.float64)


def choose_design(recipe: Recipe) -> Block:
    """The block of a recipe."""
    return design(recipe.design)
