"""Quilts of the training set whose every block may be another: plain squares, simple units, other designs, pictures."""

from __future__ import annotations

from collections.abc import Sequence
from functools import cache

import numpy as np
from numpy.typing import NDArray

from judging.blocks import JUDGING, TUNING, design
from judging.chance import chance_name
from judging.piecing import Bag, Made, Points, in_quad, lay_binding, lay_borders, picture, rect, same
from judging.recipe import Recipe
from judging.settings import Grid, turned_point
from seamlore.draft.catalogue import all_blocks


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


def set_various(recipe: Recipe, made: Made, bag: Bag, rng: np.random.Generator) -> Grid:
    """Set a quilt whose blocks differ: plain squares, simple units, other designs, pictures; its rows may be uneven."""
    most = int(rng.choice([5, 9, 14], p=[0.5, 0.35, 0.15]))
    columns, rows = int(rng.integers(2, most + 1)), int(rng.integers(2, most + 1))
    side = float(np.clip(80 / max(rows, columns), 2.5, 16))
    gap = 0.0 if rng.random() < 0.6 else side * float(rng.uniform(0.1, 0.4))
    border = sum(recipe.borders) if recipe.borders and rng.random() < 0.75 else 0.0
    widths = np.full(columns, side) * (rng.uniform(0.8, 1.25, columns) if rng.random() < 0.1 else 1)
    heights = np.full(rows, side * (rng.uniform(0.8, 1.3) if rng.random() < 0.25 else 1))
    outer = gap if gap and rng.random() < 0.5 else 0.0
    xs = border + outer + np.concatenate([[0], np.cumsum(widths + gap)[:-1]])
    ys = border + outer + np.concatenate([[0], np.cumsum(heights + gap)[:-1]])
    made.size = (float(xs[-1] + widths[-1] + outer + border), float(ys[-1] + heights[-1] + outer + border))
    if border:
        lay_borders(made, bag, recipe.borders)
    if gap:
        made.lay(rect(border, border, made.size[0] - border, made.size[1] - border), bag.cut())
        if rng.random() < 0.35:
            _piece_sashing(made, bag, (xs, ys), (widths, heights), gap, bool(outer), rng)
        if rng.random() < 0.35:
            stones = [bag.cut() for _ in range(int(rng.integers(1, 4)))]
            for x in xs[:-1] + widths[:-1]:
                for y in ys[:-1] + heights[:-1]:
                    made.lay(rect(x, y, x + gap, y + gap), int(rng.choice(stones)))
    many = [bag.cut() for _ in range(int(rng.integers(2, 18)))]
    kinds = _kinds(rng)
    motif = _motif(rng, many)
    # What is appliquéd mostly stands on one ground.
    ground = many[0] if rng.random() < 0.4 else None
    uneven = recipe.uneven * side
    # Corners where blocks meet are off together.
    off = rng.normal(0, uneven * 0.7, (rows + 1, columns + 1, 2)) * (0 if gap else 1)
    off[[0, -1], :, 1] = 0
    off[:, [0, -1], 0] = 0
    checker = rng.random() < 0.3
    for row in range(rows):
        for column in range(columns):
            x, y, w, h = xs[column], ys[row], widths[column], heights[row]
            quad = rect(x, y, x + w, y + h)
            quad = quad + np.array(
                [off[row, column], off[row, column + 1], off[row + 1, column + 1], off[row + 1, column]]
            )
            kind = kinds[(row + column) % 2] if checker else str(rng.choice(kinds))
            _lay_unit(made, quad, kind, many, motif, ground, rng)
    if min(rows, columns) > 2 and rng.random() < 0.15:
        # A panel in the middle stands for several blocks.
        a, b = columns // 2 - int(rng.integers(0, 2)), rows // 2 - int(rng.integers(0, 2))
        to = min(a + int(rng.integers(1, 3)), columns) - 1, min(b + int(rng.integers(1, 3)), rows) - 1
        panel = rect(xs[a], ys[b], xs[to[0]] + widths[to[0]], ys[to[1]] + heights[to[1]])
        _lay_unit(made, panel, str(rng.choice(["picture", "plain", "motif"])), many, motif, ground, rng)
    lay_binding(made, bag, recipe.binding)
    edge = (border + outer,) * 4
    return Grid(
        tuple((float(y), float(y + h)) for y, h in zip(ys, heights, strict=True)),
        tuple((float(x), float(x + w)) for x, w in zip(xs, widths, strict=True)),
        edge,
        (),
    )


def set_various_on_point(recipe: Recipe, made: Made, bag: Bag, rng: np.random.Generator) -> Grid:
    """Set such a quilt on point: plain or appliquéd squares, tufts, simple units, with plain squares between or none."""
    columns, rows = (int(rng.integers(2, 10)) for _ in range(2))
    side = float(np.clip(50 / max(rows, columns), 2.5, 12))
    gap = 0.0 if rng.random() < 0.7 else side * float(rng.uniform(0.08, 0.3))
    step = (side + gap) * 2**0.5
    border = sum(recipe.borders) if recipe.borders and rng.random() < 0.6 else 0.0
    made.size = (columns * step + 2 * border, rows * step + 2 * border)
    field = rect(border, border, made.size[0] - border, made.size[1] - border)
    if border:
        lay_borders(made, bag, recipe.borders)
    many = [bag.cut() for _ in range(int(rng.integers(2, 18)))]
    made.lay(field, bag.cut())
    kinds, motif = _kinds(rng), _motif(rng, many)
    ground = many[0] if rng.random() < 0.4 else None
    between = "plain" if rng.random() < 0.5 else None
    cloth_between = int(rng.choice(many))
    for whole in (False, True):
        for i in range(rows + (not whole)):
            for j in range(columns + (not whole)):
                p, q = (i + j + 1, i - j) if whole else (i + j, i - j)
                middle = np.array([p, q]) * (side + gap) + rng.normal(0, recipe.uneven * side * 0.4, 2)
                half = side / 2
                quad = turned_point(rect(middle[0] - half, middle[1] - half, middle[0] + half, middle[1] + half))
                quad = quad + border
                at_side = not whole and (i in (0, rows) or j in (0, columns))
                if not whole and (at_side or between):
                    inside = np.clip(quad, field.min(axis=0), field.max(axis=0))
                    made.lay(inside, cloth_between)
                    continue
                _lay_unit(made, quad, str(rng.choice(kinds)), many, motif, ground, rng)
    lay_binding(made, bag, recipe.binding)
    reach = side / 2**0.5
    spans = [
        tuple((float(border + (k + 0.5) * step - reach), float(border + (k + 0.5) * step + reach)) for k in range(n))
        for n in (rows, columns)
    ]
    inside_in = border + step / 2 - reach
    return Grid(spans[0], spans[1], (inside_in,) * 4, ())


def _piece_sashing(
    made: Made,
    bag: Bag,
    starts: tuple[Points, Points],
    sides: tuple[Points, Points],
    gap: float,
    outer: bool,
    rng: np.random.Generator,
) -> None:
    """Piece the sashing of small squares, squares on point or long strips, each strip of its own two fabrics."""
    many = [bag.cut() for _ in range(int(rng.integers(2, 12)))]
    kind = str(rng.choice(["checks", "point", "strips"]))
    across = int(rng.integers(2, 4))

    def strip(x0: float, y0: float, wide: float, long: float, upright: bool) -> None:
        one, two = (int(many[int(rng.integers(len(many)))]) for _ in range(2))

        def lay(outline: Points, cloth: int) -> None:
            at = outline[:, ::-1] if upright else outline
            made.lay(np.array([x0, y0]) + at, cloth)

        cell = wide / across
        count = max(1, round(long / cell))
        step = long / count
        lay(rect(0, 0, long, wide), one)
        if kind == "strips":
            for k in range(0, across, 2):
                lay(rect(0, k * cell, long, (k + 1) * cell), two)
            return
        for k in range(count):
            for m in range(across):
                if kind == "checks" and (k + m) % 2:
                    lay(rect(k * step, m * cell, (k + 1) * step, (m + 1) * cell), two)
                elif kind == "point":
                    x, y = (k + 0.5) * step, (m + 0.5) * cell
                    lay(np.array([[x - step / 2, y], [x, y - cell / 2], [x + step / 2, y], [x, y + cell / 2]]), two)

    (xs, ys), (widths, heights) = starts, sides
    lefts = [*(xs[:-1] + widths[:-1]), *([xs[0] - gap, xs[-1] + widths[-1]] if outer else [])]
    tops = [*(ys[:-1] + heights[:-1]), *([ys[0] - gap, ys[-1] + heights[-1]] if outer else [])]
    for y, h in zip(ys, heights, strict=True):
        for x in lefts:
            strip(float(x), float(y), gap, float(h), True)
    for x, w in zip(xs, widths, strict=True):
        for y in tops:
            strip(float(x), float(y), gap, float(w), False)


def _kinds(rng: np.random.Generator) -> list[str]:
    """Choose what blocks there are in one quilt: mostly few kinds."""
    every = ["plain", "half", "quarters", "picture", "strips", "design", "chance", "motif", "crazy"]
    weights = np.array([0.24, 0.16, 0.1, 0.1, 0.08, 0.1, 0.08, 0.1, 0.04])
    count = int(rng.integers(1, 4))
    chosen = [str(each) for each in rng.choice(every, count, replace=False, p=weights)]
    return [chosen[0], chosen[-1]] if count < 3 else chosen


def _motif(rng: np.random.Generator, many: Sequence[int]) -> list[tuple[Points, int]]:
    """Make up one appliqué: petals about a middle, or some blobs; outlines in the unit square."""
    shapes: list[tuple[Points, int]] = []
    petals = int(rng.choice([0, 4, 5, 6, 8, 16]))
    cloth = [int(c) for c in rng.choice(many, 3)]
    t = np.linspace(0, 2 * np.pi, 17)[:-1]
    if petals:
        length, wide = rng.uniform(0.2, 0.46), rng.uniform(0.02, 0.1)
        for k in range(petals):
            a = 2 * np.pi * k / petals
            along, across = (1 + np.cos(t)) / 2 * length, np.sin(t) * wide
            ring = np.stack(
                [0.5 + along * np.cos(a) - across * np.sin(a), 0.5 + along * np.sin(a) + across * np.cos(a)], 1
            )
            shapes.append((ring, cloth[k % 2]))
        shapes.append((0.5 + rng.uniform(0.04, 0.12) * np.stack([np.cos(t), np.sin(t)], 1), cloth[2]))
    else:
        for _ in range(int(rng.integers(2, 7))):
            shapes.append((_blob(rng), int(rng.choice(cloth))))
    return shapes


def _blob(rng: np.random.Generator) -> Points:
    t = np.linspace(0, 2 * np.pi, 13)[:-1]
    reach = rng.uniform(0.05, 0.25) * (1 + 0.4 * rng.normal(0, 1, 12))
    middle = rng.uniform(0.2, 0.8, 2)
    if rng.random() < 0.3:
        # A word or a label: a bar.
        w, h = rng.uniform(0.1, 0.35), rng.uniform(0.02, 0.08)
        return np.clip(rect(middle[0] - w, middle[1] - h, middle[0] + w, middle[1] + h), 0.03, 0.97)
    return np.clip(middle + reach[:, None] * np.stack([np.cos(t), np.sin(t)], 1), 0.03, 0.97)


def _lay_unit(
    made: Made,
    quad: Points,
    kind: str,
    many: Sequence[int],
    motif: list[tuple[Points, int]],
    ground: int | None,
    rng: np.random.Generator,
) -> None:
    def lay(outline: Points, cloth: int) -> None:
        made.lay(in_quad(np.asarray(outline, dtype=np.float64), quad), cloth, int(rng.integers(2)))

    def pick() -> int:
        return int(many[int(rng.integers(len(many)))])

    square = rect(0, 0, 1, 1)
    if kind in ("design", "chance"):
        name = chance_name(int(rng.integers(40))) if kind == "chance" else str(rng.choice(designs()))
        of = {letter: pick() for letter in design(name).places}
        for patch in design(name).patches:
            lay(patch.points, of[patch.place])
        return
    lay(square, ground if ground is not None and kind in ("motif", "picture") else pick())
    if kind == "half":
        lay(np.roll(square, int(rng.integers(4)), axis=0)[:3], pick())
    elif kind == "quarters":
        two = pick(), pick()
        for k in range(4):
            lay(np.array([square[k], square[(k + 1) % 4], [0.5, 0.5]]), two[k % 2])
    elif kind == "strips":
        ends = np.sort(rng.uniform(0, 1, int(rng.integers(2, 6))))
        upright = rng.random() < 0.5
        for a, b in zip([0.0, *ends], [*ends, 1.0], strict=True):
            lay(rect(a, 0, b, 1) if upright else rect(0, a, 1, b), pick())
    elif kind == "picture":
        for _ in range(int(rng.integers(2, 9))):
            lay(_blob(rng), pick())
    elif kind == "motif":
        for ring, cloth in motif:
            lay(ring, cloth)
    elif kind == "crazy":
        for _ in range(int(rng.integers(3, 8))):
            a, b = rng.uniform(0, 1, (2, 2))
            d = np.array([a[1] - b[1], b[0] - a[0]])
            ring = np.clip(np.array([a, b, b + 3 * d, a + 3 * d]), 0, 1)
            lay(ring, pick())


def set_in_strips(recipe: Recipe, made: Made, bag: Bag, rng: np.random.Generator) -> None:
    """Make a quilt without a block grid of another kind: triangles of 60 degrees, strips from end to end, or plaid."""
    width = float(rng.uniform(40, 90))
    made.size = (width, width * float(rng.uniform(0.8, 1.3)))
    border = lay_borders(made, bag, recipe.borders)
    w, h = made.size
    made.lay(rect(border, border, w - border, h - border), bag.cut(kind="plaid" if rng.random() < 0.3 else None))
    many = [bag.cut() for _ in range(int(rng.integers(4, 20)))]
    which = rng.random()
    if which < 0.4:
        side = float(rng.uniform(2, 9))
        tall = side * np.sqrt(3) / 2
        for r in range(int((h - 2 * border) / tall) + 1):
            for c in range(-1, 2 * int((w - 2 * border) / side) + 3):
                x, y = border + c * side / 2 - side / 2, border + r * tall
                up = (r + c) % 2 == 0
                ring = [[x, y + tall], [x + side, y + tall], [x + side / 2, y]]
                if not up:
                    ring = [[x, y], [x + side, y], [x + side / 2, y + tall]]
                made.lay(np.clip(np.array(ring), border, [w - border, h - border]), int(rng.choice(many)))
    elif which < 0.75:
        upright = rng.random() < 0.6
        at = border
        end = (w if upright else h) - border
        while at < end:
            band = float(rng.uniform(1.5, 9))
            to = min(at + band, end)
            ring = rect(at, border, to, h - border) if upright else rect(border, at, w - border, to)
            made.lay(ring, int(rng.choice(many)))
            at = to
    lay_binding(made, bag, recipe.binding)
