"""How blocks are set: straight or on point, with sashing, borders and what the edge cuts."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from judging.rendering.blocks import design
from judging.rendering.piecing import Bag, Element, Made, Points, Sewn, lay_binding, lay_borders, rect, sew_block
from judging.rendering.recipe import Recipe
from seamlore.draft.block import Block

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Grid:
    """Where rows and columns lie, in inches from the quilt's top left, and every whole block."""

    row_spans: tuple[tuple[float, float], ...]
    column_spans: tuple[tuple[float, float], ...]
    edge: tuple[float, float, float, float]
    sewn: tuple[Sewn, ...]
    plain: tuple[tuple[int, int], ...] = ()


def elements_for(
    recipe: Recipe, rng: np.random.Generator, places: list[tuple[int, int]]
) -> dict[tuple[int, int], Element]:
    """How each block lies: as planned, and some by mistake."""
    chosen: dict[tuple[int, int], Element] = {}
    for row, column in places:
        turn = 0
        if recipe.turning == "alternate":
            turn = 90 * ((row + column) % 2)
        elif recipe.turning == "any":
            turn = 90 * int(rng.integers(4))
        chosen[row, column] = (turn, False)
    if len(places) >= 6:
        count = min(recipe.turned + recipe.mirrored, len(places) // 5)
        for number, index in enumerate(rng.permutation(len(places))[:count]):
            turn, _ = chosen[places[index]]
            flip = number >= recipe.turned
            chosen[places[index]] = ((turn + (0 if flip else 90 * int(rng.integers(1, 4)))) % 360, flip)
    return chosen


def _sew_one(
    recipe: Recipe,
    made: Made,
    bag: Bag,
    block: Block,
    rng: np.random.Generator,
    place: tuple[int, int],
    element: Element,
    quad: Points,
    odd: str,
) -> Sewn:
    shown, swapped = block, None
    if odd == "repieced":
        shown = design(recipe.other_design)
    elif odd == "recolored":
        letters = list(block.places)
        swapped = dict(zip(letters, letters[1:] + letters[:1], strict=True))
    cloths = bag.for_block(shown, swapped)
    sew_block(made, shown, cloths, element, quad, rng, recipe.uneven)
    return Sewn(*place, element, cloths if shown is block else (), bool(odd), quad)


def _odd_ones(recipe: Recipe, rng: np.random.Generator, places: list[tuple[int, int]]) -> dict[tuple[int, int], str]:
    kinds = ["recolored"] * recipe.recolored + ["repieced"] * recipe.repieced
    picked = rng.permutation(len(places))[: min(len(kinds), len(places) // 6)]
    return {places[index]: kind for index, kind in zip(picked, kinds, strict=False)}


def _lines(count: int, side: float, gap: float, start: float, rng: np.random.Generator, uneven: float) -> Floats:
    """Begin and end of each block along one axis, each line off by itself but the outermost; shape (count, 2)."""
    begin = start + np.arange(count) * (side + gap)
    lines = np.stack([begin, begin + side], axis=1).ravel()
    off = rng.normal(0, uneven * side, 2 * count)
    if not gap:
        # The end of one block is the beginning of the next.
        off[2::2] = off[1:-1:2]
    off[[0, -1]] = 0
    return np.asarray((lines + off).reshape(count, 2))


def set_straight(
    recipe: Recipe,
    made: Made,
    bag: Bag,
    block: Block,
    rng: np.random.Generator,
    turned: dict[tuple[int, int], Element] | None = None,
) -> Grid:
    """Set blocks in rows and columns; `turned` says which lie otherwise, instead of chance."""
    (bw, bh), (sw, sh) = recipe.block, recipe.sashing
    outer = (sw, sh) if recipe.outer_sashing else (0.0, 0.0)
    border = sum(recipe.borders)
    starts = [border + outer[axis] - recipe.cut[axis] for axis in (0, 1)]
    xs = _lines(recipe.columns, bw, sw, starts[0], rng, recipe.uneven)
    ys = _lines(recipe.rows, bh, sh, starts[1], rng, recipe.uneven)
    ends = [border + outer[axis] - recipe.cut[axis + 2] for axis in (0, 1)]
    made.size = (float(xs[-1, 1] + ends[0]), float(ys[-1, 1] + ends[1]))
    edge = (float(xs[0, 0]), float(ys[0, 0]), ends[0], ends[1])
    lay_borders(made, bag, recipe.borders)
    if sw or sh:
        _lay_sashing(recipe, made, bag, xs, ys, border)
    corners = rng.normal(0, recipe.uneven * 0.5 * bw, (2 * recipe.rows, 2 * recipe.columns, 2))
    # The outer edge of the blocks is cut or bound straight.
    corners[[0, -1], :, 1] = 0
    corners[:, [0, -1], 0] = 0
    if not (sw or sh):
        # Blocks that touch share their corners.
        corners[2::2] = corners[1:-1:2]
        corners[:, 2::2] = corners[:, 1:-1:2]
    places = [(row, column) for row in range(recipe.rows) for column in range(recipe.columns)]
    plain = [place for place in places if recipe.alternate and sum(place) % 2]
    pieced = [place for place in places if place not in set(plain)]
    lying, odd = elements_for(recipe, rng, pieced), _odd_ones(recipe, rng, pieced)
    lying |= turned or {}
    plain_cloth = bag.cut() if plain else -1
    sewn = []
    for row, column in places:
        quad = np.array(
            [
                [x, y]
                for x, y in (
                    (xs[column, 0], ys[row, 0]),
                    (xs[column, 1], ys[row, 0]),
                    (xs[column, 1], ys[row, 1]),
                    (xs[column, 0], ys[row, 1]),
                )
            ]
        )
        r, c = 2 * row, 2 * column
        quad = quad + np.array([corners[r, c], corners[r, c + 1], corners[r + 1, c + 1], corners[r + 1, c]])
        if (row, column) in lying:
            sewn.append(
                _sew_one(
                    recipe, made, bag, block, rng, (row, column), lying[row, column], quad, odd.get((row, column), "")
                )
            )
        else:
            made.lay(quad, plain_cloth)
    lay_binding(made, bag, recipe.binding)
    return Grid(
        tuple((float(a), float(b)) for a, b in ys),
        tuple((float(a), float(b)) for a, b in xs),
        edge,
        tuple(sewn),
        tuple(plain),
    )


def _lay_sashing(recipe: Recipe, made: Made, bag: Bag, xs: Floats, ys: Floats, border: float) -> None:
    width, height = made.size
    sw = recipe.sashing[0]
    one, stone = bag.cut(), bag.cut()
    made.lay(rect(border, border, width - border, height - border), one)
    # Strips that stand lie between rows that run through, so each is a piece of its own.
    for y0, y1 in ys:
        for x1 in [xs[0, 0] if recipe.outer_sashing else None, *xs[:, 1]]:
            if x1 is not None and x1 < width - border - sw / 2:
                x0 = x1 - sw if x1 == xs[0, 0] else x1
                made.lay(rect(x0, y0, x0 + sw, y1), one, 1)
    if recipe.cornerstones:
        gaps_x = [*zip(xs[:-1, 1], xs[1:, 0], strict=True)]
        gaps_y = [*zip(ys[:-1, 1], ys[1:, 0], strict=True)]
        if recipe.outer_sashing:
            gaps_x += [(border, xs[0, 0]), (xs[-1, 1], width - border)]
            gaps_y += [(border, ys[0, 0]), (ys[-1, 1], height - border)]
        for y0, y1 in gaps_y:
            for x0, x1 in gaps_x:
                made.lay(rect(x0, y0, x1, y1), stone)


def set_on_point(recipe: Recipe, made: Made, bag: Bag, block: Block, rng: np.random.Generator) -> Grid:
    """Set blocks on their points, filled out with side triangles."""
    side, gap = recipe.block[0], recipe.sashing[0]
    step = float((side + gap) * np.sqrt(2))
    border = sum(recipe.borders)
    width, height = recipe.columns * step, recipe.rows * step
    made.size = (width + 2 * border, height + 2 * border)
    lay_borders(made, bag, recipe.borders)
    field = bag.cut()
    triangles = bag.cut() if gap else field
    made.lay(rect(border, border, border + width, border + height), field)
    span = recipe.rows + recipe.columns + 2
    along = rng.normal(0, recipe.uneven * side, (2, 2 * span))
    whole = [(i, j, i + j + 1, i - j) for i in range(recipe.rows) for j in range(recipe.columns)]
    inner = [(i, j, i + j, i - j) for i in range(recipe.rows + 1) for j in range(recipe.columns + 1)]
    lying, odd = (
        elements_for(recipe, rng, [(i, j) for i, j, _, _ in whole]),
        _odd_ones(recipe, rng, [(i, j) for i, j, _, _ in whole]),
    )

    def quad_at(p: int, q: int) -> Points:
        half = side / 2
        shift = np.array([along[0, p % (2 * span)], along[1, q % (2 * span)]]) * (1.0 if gap else 0.5)
        center = np.array([p, q]) * (side + gap) + shift
        straight = rect(center[0] - half, center[1] - half, center[0] + half, center[1] + half)
        return np.asarray(turned_point(straight) + border)

    # Between whole rows stand plain or pieced blocks; at the sides triangles, trimmed by the border's seam.
    plain_cloth = bag.cut() if recipe.between == "plain" else -1
    for i, j, p, q in inner:
        side_one = i in (0, recipe.rows) or j in (0, recipe.columns)
        if side_one:
            quad = quad_at(p, q)
            quad = np.clip(quad, border, [border + width, border + height])
            made.lay(_without_repeats(quad), triangles)
        elif recipe.between == "plain":
            made.lay(quad_at(p, q), plain_cloth)
        else:
            sew_block(made, block, bag.for_block(block), (0, False), quad_at(p, q), rng, recipe.uneven)
    sewn = []
    for i, j, p, q in whole:
        sewn.append(_sew_one(recipe, made, bag, block, rng, (i, j), lying[i, j], quad_at(p, q), odd.get((i, j), "")))
    lay_binding(made, bag, recipe.binding)
    reach = float(side / np.sqrt(2))
    rows = tuple((border + (i + 0.5) * step - reach, border + (i + 0.5) * step + reach) for i in range(recipe.rows))
    columns = tuple(
        (border + (j + 0.5) * step - reach, border + (j + 0.5) * step + reach) for j in range(recipe.columns)
    )
    inside = border + step / 2 - reach
    return Grid(rows, columns, (inside, inside, inside, inside), tuple(sewn))


def turned_point(points: Points) -> Points:
    """Turn lattice coordinates by 45 degrees clockwise: the first axis runs down to the right."""
    p, q = points[:, 0], points[:, 1]
    return np.asarray(np.stack([p - q, p + q], axis=1) / np.sqrt(2))


def _without_repeats(quad: Points) -> Points:
    kept = [each for index, each in enumerate(quad) if not np.allclose(each, quad[index - 1])]
    return np.array(kept if len(kept) >= 3 else quad)
