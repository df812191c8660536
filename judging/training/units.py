"""What one block of the training set may show: simple units, designs, windows, circles, appliqué, embroidery.

Outlines are in the unit square, x to the right and y down, and are laid into the block's own four corners.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from functools import cache
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from judging.rendering.blocks import JUDGING, TUNING, design
from judging.rendering.chance import chance_name
from judging.rendering.piecing import Made, Points, in_quad, picture, rect, same
from judging.training.ornaments import Shape, blob, motif, round_at, shard
from seamlore.draft.catalogue import all_blocks

_SQUARE = rect(0, 0, 1, 1)
# Kinds whose ground may be one cloth throughout the quilt.
_ON_GROUND = ("motif", "picture", "window", "circle", "curve", "ring", "plate", "chain", "corners")
# How the blocks of a quilt are ordered: by chance, or by where they stand.
_ORDERS: dict[str, Callable[[int, int, float, float], int]] = {
    "rings": lambda row, column, mid_row, mid_column: round(abs(row - mid_row) + abs(column - mid_column)),
    "frames": lambda row, column, mid_row, mid_column: round(max(abs(row - mid_row), abs(column - mid_column))),
    "diagonal": lambda row, column, _r, _c: row + column,
    "checker": lambda row, column, _r, _c: (row + column) % 2,
    "rows": lambda row, _column, _r, _c: row,
    "columns": lambda _row, column, _r, _c: column,
}


@cache
def designs() -> tuple[str, ...]:
    """Give the designs that may be trained on: those of the tuning set and of the catalogue, none of the judging set."""
    kept = [*TUNING]
    held = [_look(name) for name in JUDGING]
    for block in all_blocks():
        if block.name in TUNING or block.name in JUDGING:
            continue
        mine = picture(block, {letter: number + 1 for number, letter in enumerate(block.places)})
        if not any(same(mine, other) for other in held):
            kept.append(block.name)
    return tuple(kept)


def _look(name: str) -> NDArray[np.uint8]:
    block = design(name)
    return picture(block, {letter: number + 1 for number, letter in enumerate(block.places)})


@dataclass(slots=True)
class Units:
    """The blocks of one quilt: of which kinds, cut from what, in which order.

    Attributes
    ----------
    many
        Numbers of the cloths that blocks are cut from.
    middle
        Row and column in the middle of the quilt.
    kinds
        Kinds of block there are.
    motif
        The appliqué or embroidery, if there is one.
    ground
        The one cloth that it is laid on; None where each block has its own.
    turns, colors
        By what turned units, and cloths, are chosen: a name of an order, or "" for chance.
    bulge
        How far curves reach, in parts of the block.
    blades
        Of a plate.
    squares
        Along each side of a block of a chain.
    """

    rng: np.random.Generator
    many: Sequence[int]
    middle: tuple[float, float]
    kinds: list[str] = field(init=False)
    motif: list[Shape] = field(init=False)
    ground: int | None = field(init=False)
    turns: str = field(init=False)
    colors: str = field(init=False)
    bulge: float = field(init=False)
    blades: int = field(init=False)
    squares: int = field(init=False)

    def __post_init__(self) -> None:
        rng = self.rng
        self.kinds = _kinds(rng)
        self.motif = motif(rng, self.many)
        # What is appliquéd or embroidered mostly stands on one ground.
        self.ground = self.many[0] if rng.random() < 0.45 else None
        orders = list(_ORDERS)
        self.turns = str(rng.choice(orders)) if rng.random() < 0.5 else ""
        self.colors = str(rng.choice(["rings", "frames", "diagonal", "checker"])) if rng.random() < 0.2 else ""
        self.bulge = float(rng.uniform(0.1, 0.26))
        self.blades = int(rng.choice([8, 12, 16, 18, 20]))
        self.squares = int(rng.choice([3, 5, 7]))

    def kind_at(self, row: int, column: int, by_turns: bool) -> str:
        """Choose a kind of block: by turns like a checkerboard, or by chance."""
        return self.kinds[(row + column) % len(self.kinds)] if by_turns else str(self.rng.choice(self.kinds))

    def lay(self, made: Made, quad: Points, kind: str, row: int = 0, column: int = 0) -> None:
        """Lay one block."""
        rng = self.rng

        def order(name: str) -> int:
            return int(rng.integers(99)) if not name else _ORDERS[name](row, column, *self.middle)

        def put(outline: Points, cloth: int) -> None:
            made.lay(in_quad(np.asarray(outline, dtype=np.float64), quad), cloth, int(rng.integers(2)))

        def pick(shift: int = 0) -> int:
            index = order(self.colors) + shift if self.colors else int(rng.integers(len(self.many)))
            return int(self.many[index % len(self.many)])

        if kind in ("design", "chance"):
            name = chance_name(int(rng.integers(40))) if kind == "chance" else str(rng.choice(designs()))
            of = {letter: pick(k) for k, letter in enumerate(design(name).places)}
            for patch in design(name).patches:
                put(patch.points, of[patch.place])
            return
        on_ground = self.ground is not None and kind in _ON_GROUND
        put(_SQUARE, self.ground if on_ground and self.ground is not None else pick())
        turn = order(self.turns) % 4 if self.turns != "checker" else order(self.turns) * 2
        for outline, cloth in self._shapes(kind, turn, pick):
            put(outline, cloth)

    def _shapes(self, kind: str, turn: int, pick: Callable[[int], int]) -> list[Shape]:
        rng = self.rng
        if kind == "half":
            return [(np.roll(_SQUARE, turn, axis=0)[:3], pick(1))]
        if kind == "quarters":
            two = pick(0), pick(1)
            return [(np.array([_SQUARE[k], _SQUARE[(k + 1) % 4], [0.5, 0.5]]), two[k % 2]) for k in range(4)]
        if kind == "strips":
            ends = np.sort(rng.uniform(0, 1, int(rng.integers(2, 6))))
            upright = turn % 2 == 0
            return [
                (rect(a, 0, b, 1) if upright else rect(0, a, 1, b), pick(k))
                for k, (a, b) in enumerate(zip([0.0, *ends], [*ends, 1.0], strict=True))
            ]
        if kind == "slants":
            return _slants(rng, turn, [pick(k) for k in range(4)])
        if kind == "curve":
            return _curve(turn, self.bulge * 3.2, [pick(k + 1) for k in range(3)])
        if kind == "window":
            return _window(self.bulge, pick(1), pick(2))
        if kind == "circle":
            reach = 0.32 + 0.6 * self.bulge
            return [(round_at(0.5, 0.5, reach), pick(1)), (round_at(0.5, 0.5, reach * 0.22), pick(2))]
        if kind == "picture":
            return [(blob(rng), pick(k)) for k in range(int(rng.integers(2, 9)))]
        if kind == "motif":
            return self.motif
        if kind == "crazy":
            return [(shard(rng), pick(k)) for k in range(int(rng.integers(3, 8)))]
        if kind == "ring":
            return _melons(self.bulge, [pick(k) for k in range(7)])
        if kind == "plate":
            return _plate(self.blades, [pick(k) for k in range(self.blades)], self.many[-1])
        if kind in ("chain", "corners"):
            return _chain(self.squares, kind == "corners", self.many)
        return []


def lay_tufts(made: Made, places: Points, reach: float, cloth: int) -> None:
    """Lay a round tuft, yo-yo or button on each of some places, in inches; shape (n, 2)."""
    tuft = round_at(0, 0, reach)
    for place in places:
        made.lay(tuft + place, cloth)


def _kinds(rng: np.random.Generator) -> list[str]:
    """Choose what blocks there are in one quilt: mostly few kinds."""
    weights = {
        "plain": 0.19, "half": 0.13, "quarters": 0.08, "picture": 0.08, "strips": 0.06, "slants": 0.04, "design": 0.09,
        "chance": 0.07, "motif": 0.13, "crazy": 0.04, "window": 0.03, "circle": 0.02, "curve": 0.03, "ring": 0.02,
        "plate": 0.03,
    }  # fmt: skip
    count = int(rng.integers(1, 4))
    share = np.array(list(weights.values()))
    chosen = [str(each) for each in rng.choice(list(weights), count, replace=False, p=share / share.sum())]
    return [chosen[0], chosen[-1]] if count < 3 else chosen


def _slants(rng: np.random.Generator, turn: int, cloths: Sequence[int]) -> list[Shape]:
    """Strips laid slantwise across the block, as in string piecing."""
    ends = np.linspace(-1, 1, int(rng.integers(4, 9)))
    shapes: list[Shape] = []
    for k, (low, high) in enumerate(pairwise(ends.tolist())):
        (a, b), (d, c) = _slant(low), _slant(high)
        corners = [[1.0, 1.0]], [[0.0, 0.0]]
        ring = np.array(
            [a, b, *(corners[0] if low < 0 < high else []), c, d, *(corners[1] if low < 0 < high else [])]
        )
        if turn % 2:
            ring = np.stack([1 - ring[:, 0], ring[:, 1]], axis=1)
        shapes.append((ring, cloths[k % len(cloths)]))
    return shapes


def _slant(down: float) -> tuple[list[float], list[float]]:
    """Where the line y = x + down enters and leaves the unit square."""
    return [max(-down, 0.0), max(down, 0.0)], [min(1.0, 1 - down), min(1.0, 1 + down)]


def _curve(turn: int, reach: float, cloths: Sequence[int]) -> list[Shape]:
    """A quarter of a circle about a corner, or a fan of blades about it."""
    angles = np.linspace(0, np.pi / 2, 13)
    arc = np.stack([np.cos(angles), np.sin(angles)], axis=1) * min(reach, 0.96)
    shapes: list[Shape] = [(np.concatenate([[[0, 0]], arc]), cloths[0])]
    if reach > 0.6:
        for k in range(0, 12, 4):
            shapes.append((np.concatenate([[[0, 0]], arc[k : k + 3]]), cloths[1]))
        shapes.append((np.concatenate([[[0, 0]], arc * 0.3]), cloths[2]))
    for _ in range(turn % 4):
        shapes = [(np.stack([1 - ring[:, 1], ring[:, 0]], axis=1), cloth) for ring, cloth in shapes]
    return shapes


def _window(bulge: float, petal: int, pane: int) -> list[Shape]:
    """A square folded over its pane: a petal along each side, between two corners."""
    along = np.linspace(0, 1, 9)
    bow = bulge * np.sin(np.pi * along)
    shapes: list[Shape] = [(np.array([[0.5, 0], [1, 0.5], [0.5, 1], [0, 0.5]]) * 0.94 + 0.03, pane)]
    for side in range(4):
        a, b = _SQUARE[side], _SQUARE[(side + 1) % 4]
        inward = np.array([-(b - a)[1], (b - a)[0]])
        shapes.append((a + along[:, None] * (b - a) + bow[:, None] * inward, petal))
    return shapes


def _melons(bulge: float, cloths: Sequence[int]) -> list[Shape]:
    """Rings that meet their neighbors': half a melon along each side, pieced of many fabrics."""
    count = len(cloths)
    along = np.linspace(0, 1, 2 * count + 1)
    bow = 1.25 * bulge * np.sin(np.pi * along)
    shapes: list[Shape] = []
    for side in range(4):
        a, b = _SQUARE[side], _SQUARE[(side + 1) % 4]
        inward = np.array([-(b - a)[1], (b - a)[0]])
        outer = a + along[:, None] * (b - a) + bow[:, None] * inward
        inner = a + along[:, None] * (b - a) + 0.5 * bow[:, None] * inward
        for k in range(count):
            part = slice(2 * k, 2 * k + 3)
            shapes.append((np.concatenate([outer[part], inner[part][::-1]]), cloths[(k + side) % count]))
    return shapes


def _plate(blades: int, cloths: Sequence[int], middle: int) -> list[Shape]:
    """Blades about a round middle, each of its own fabric."""
    shapes: list[Shape] = []
    for k, cloth in enumerate(cloths):
        a = 2 * np.pi * (k + np.array([0, 0.5, 1])) / blades
        edge = np.stack([np.cos(a), np.sin(a)], axis=1)
        far = np.array([0.41, 0.46, 0.41])[:, None]
        shapes.append((0.5 + np.concatenate([0.12 * edge[:1], far * edge, 0.12 * edge[2:]]), cloth))
    return [*shapes, (round_at(0.5, 0.5, 0.12), middle)]


def _chain(squares: int, corners: bool, many: Sequence[int]) -> list[Shape]:
    """Little squares in chains along both diagonals, or only those in the corners, where the chain goes on."""
    step = 1 / squares
    shapes: list[Shape] = []
    for i in range(squares):
        for j in range(squares):
            off = min(abs(i - j), abs(i + j - squares + 1))
            at_corner = i in (0, squares - 1) and j in (0, squares - 1)
            if at_corner if corners else off <= (squares > 3):
                cloth = many[1 % len(many)] if off == 0 else many[2 % len(many)]
                shapes.append((rect(j * step, i * step, (j + 1) * step, (i + 1) * step), cloth))
    return shapes
