"""Quilts of the training set whose every block may be another: plain squares, simple units, other designs, pictures."""

from __future__ import annotations

import numpy as np

from judging.rendering.piecing import Bag, Made, Points, lay_binding, lay_borders, rect
from judging.rendering.recipe import Recipe
from judging.rendering.settings import Grid, turned_point
from judging.training.trimmings import piece_borders, piece_sashing
from judging.training.units import Units, lay_tufts


def set_various(recipe: Recipe, made: Made, bag: Bag, rng: np.random.Generator) -> Grid:
    """Set a quilt whose blocks differ: plain squares, simple units, other designs, pictures; its rows may be uneven."""
    most = int(rng.choice([5, 9, 14], p=[0.5, 0.35, 0.15]))
    columns, rows = int(rng.integers(2, most + 1)), int(rng.integers(2, most + 1))
    side = float(np.clip(80 / max(rows, columns), 2.5, 16))
    draw = rng.random()
    pieced = draw > 0.84
    gap = 0.0 if draw < 0.58 else side * float(rng.uniform(0.1, 1.1 if pieced else 0.4))
    border = sum(recipe.borders) if recipe.borders and rng.random() < 0.75 else 0.0
    widths = _uneven(np.full(columns, side), 0.1, rng)
    heights = _uneven(np.full(rows, side * (rng.uniform(0.8, 1.3) if rng.random() < 0.25 else 1)), 0.05, rng)
    outer = gap if gap and rng.random() < 0.5 else 0.0
    xs = border + outer + np.concatenate([[0], np.cumsum(widths + gap)[:-1]])
    ys = border + outer + np.concatenate([[0], np.cumsum(heights + gap)[:-1]])
    made.size = (float(xs[-1] + widths[-1] + outer + border), float(ys[-1] + heights[-1] + outer + border))
    if border:
        lay_borders(made, bag, recipe.borders)
        if rng.random() < 0.3:
            piece_borders(made, bag, recipe.borders, rng)
    ground = bag.cut()
    if gap:
        made.lay(rect(border, border, made.size[0] - border, made.size[1] - border), ground)
        if rng.random() < 0.35:
            stones = [bag.cut() for _ in range(int(rng.integers(1, 4)))]
            for x in xs[:-1] + widths[:-1]:
                for y in ys[:-1] + heights[:-1]:
                    made.lay(rect(x, y, x + gap, y + gap), int(rng.choice(stones)))
        if pieced:
            piece_sashing(made, bag, (xs, ys), (widths, heights), gap, bool(outer), rng)
    # The ground of what is appliquéd or embroidered is the first, and mostly light.
    many = [bag.cut("light" if rng.random() < 0.5 else None), *(bag.cut() for _ in range(int(rng.integers(1, 17))))]
    units = Units(rng, many, ((rows - 1) / 2, (columns - 1) / 2))
    if pieced and rng.random() < 0.4:
        # Squares of one cloth, and what stands between them makes the quilt.
        units.kinds, units.many = ["plain"], [ground if rng.random() < 0.5 else many[0]]
    uneven = recipe.uneven * side
    # Corners where blocks meet are off together.
    off = rng.normal(0, uneven * 0.7, (rows + 1, columns + 1, 2)) * (0 if gap else 1)
    off[[0, -1], :, 1] = 0
    off[:, [0, -1], 0] = 0
    by_turns = rng.random() < 0.3
    if not gap and rng.random() < 0.05:
        # A chain: blocks of little squares and plain ones by turns.
        units.kinds, by_turns = ["chain", "corners"], True
    for row in range(rows):
        for column in range(columns):
            x, y, w, h = xs[column], ys[row], widths[column], heights[row]
            quad = rect(x, y, x + w, y + h)
            quad = quad + np.array(
                [off[row, column], off[row, column + 1], off[row + 1, column + 1], off[row + 1, column]]
            )
            units.lay(made, quad, units.kind_at(row, column, by_turns), row, column)
    if min(rows, columns) > 2 and rng.random() < 0.15:
        # A panel in the middle stands for several blocks.
        a, b = columns // 2 - int(rng.integers(0, 2)), rows // 2 - int(rng.integers(0, 2))
        to = min(a + int(rng.integers(1, 3)), columns) - 1, min(b + int(rng.integers(1, 3)), rows) - 1
        panel = rect(xs[a], ys[b], xs[to[0]] + widths[to[0]], ys[to[1]] + heights[to[1]])
        units.lay(made, panel, str(rng.choice(["picture", "plain", "motif"])))
    if not gap and rng.random() < 0.07:
        at = np.stack(np.meshgrid([*xs, xs[-1] + widths[-1]], [*ys, ys[-1] + heights[-1]]), axis=-1)
        lay_tufts(made, (at + off.clip(-side, side)).reshape(-1, 2), side * float(rng.uniform(0.04, 0.16)), many[-1])
    lay_binding(made, bag, recipe.binding)
    edge = (border + outer,) * 4
    return Grid(
        tuple((float(y), float(y + h)) for y, h in zip(ys, heights, strict=True)),
        tuple((float(x), float(x + w)) for x, w in zip(xs, widths, strict=True)),
        edge,
        (),
    )


def _uneven(sides: Points, often: float, rng: np.random.Generator) -> Points:
    """Let some quilts' rows or columns be uneven: each by itself, or only an outermost one cut narrow."""
    draw = rng.random()
    if draw < often:
        return np.asarray(sides * rng.uniform(0.8, 1.25, len(sides)))
    if draw < often + 0.04 and len(sides) > 2:
        narrow = sides.copy()
        narrow[0 if rng.random() < 0.5 else -1] *= rng.uniform(0.35, 0.8)
        return narrow
    return sides


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
        if rng.random() < 0.3:
            piece_borders(made, bag, recipe.borders, rng)
    many = [bag.cut() for _ in range(int(rng.integers(2, 18)))]
    made.lay(field, bag.cut())
    units = Units(rng, many, ((rows - 1) / 2, (columns - 1) / 2))
    if not gap and rng.random() < 0.1:
        units.kinds = ["window"]
    between = rng.random() < 0.5 and units.kinds != ["window"]
    cloth_between = int(rng.choice(many))
    tufts: list[Points] = []
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
                # Between the whole rows stands half a row, half a column further.
                row, column = (2 * i + 1, 2 * j + 1) if whole else (2 * i, 2 * j)
                units.lay(made, quad, str(rng.choice(units.kinds)), row // 2, column // 2)
                tufts.append(quad)
    if not gap and tufts and rng.random() < (0.6 if units.kinds == ["window"] else 0.15):
        places = np.unique(np.concatenate(tufts).round(2), axis=0) if not recipe.uneven else np.concatenate(tufts)
        lay_tufts(made, places, side * float(rng.uniform(0.05, 0.18)), many[-1])
    lay_binding(made, bag, recipe.binding)
    reach = side / 2**0.5
    spans = [
        tuple((float(border + (k + 0.5) * step - reach), float(border + (k + 0.5) * step + reach)) for k in range(n))
        for n in (rows, columns)
    ]
    inside_in = border + step / 2 - reach
    return Grid(spans[0], spans[1], (inside_in,) * 4, ())


def set_in_strips(recipe: Recipe, made: Made, bag: Bag, rng: np.random.Generator) -> None:
    """Make a quilt without a block grid of another kind: triangles of 60 degrees, one great star, strips, or plaid."""
    width = float(rng.uniform(40, 90))
    made.size = (width, width * float(rng.uniform(0.8, 1.3)))
    border = lay_borders(made, bag, recipe.borders)
    w, h = made.size
    field = border, border, w - border, h - border
    made.lay(rect(*field), bag.cut(kind="plaid" if rng.random() < 0.3 else None))
    many = [bag.cut() for _ in range(int(rng.integers(4, 20)))]
    which = rng.random()
    if which < 0.4:
        _triangles(made, field, many, rng)
    elif which < 0.6:
        _great_star(made, field, many, rng)
    elif which < 0.82:
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


def _triangles(
    made: Made, field: tuple[float, float, float, float], many: list[int], rng: np.random.Generator
) -> None:
    """Triangles of 60 degrees in rows: by chance, in stars and hexagons of one cloth, or cut in kites."""
    x0, y0, x1, y1 = field
    side = float(rng.uniform(2, 12) if rng.random() < 0.7 else (x1 - x0) / rng.uniform(2.5, 5))
    tall = side * np.sqrt(3) / 2
    how = str(rng.choice(["chance", "groups", "kites"], p=[0.35, 0.35, 0.3]))
    groups = rng.choice(many, 997)
    rows, columns = int((y1 - y0) / tall) + 1, 2 * int((x1 - x0) / side) + 3
    for r in range(rows):
        for c in range(-1, columns):
            x, y = x0 + c * side / 2 - side / 2, y0 + r * tall
            up = (r + c) % 2 == 0
            ring = np.array([[x, y + tall], [x + side, y + tall], [x + side / 2, y]])
            at = [(r + 1, c), (r + 1, c + 2), (r, c + 1)]
            if not up:
                ring = np.array([[x, y], [x + side, y], [x + side / 2, y + tall]])
                at = [(r, c), (r, c + 2), (r + 1, c + 1)]
            if how == "kites":
                # Six kites about one point are of one cloth.
                for k, (down, across) in enumerate(at):
                    one, two = (ring[k] + ring[k - 1]) / 2, (ring[k] + ring[(k + 1) % 3]) / 2
                    kite = np.array([ring[k], one, ring.mean(axis=0), two])
                    made.lay(np.clip(kite, [x0, y0], [x1, y1]), int(groups[(down * 131 + across * 7) % 997]))
                continue
            # Six about one point lie in two rows, three in each.
            group = (r // 2) * 31 + (c + 3 * (r // 2 % 2)) // 6 + (7 * (c % 2) if rng.random() < 0.1 else 0)
            cloth = int(groups[group % 997]) if how == "groups" else int(rng.choice(many))
            made.lay(np.clip(ring, [x0, y0], [x1, y1]), cloth)
    if rng.random() < 0.35:
        wide = side * float(rng.uniform(0.02, 0.07))
        _ruled(made, field, side, tall, wide, int(rng.choice(many)))


def _ruled(
    made: Made, field: tuple[float, float, float, float], side: float, tall: float, wide: float, cloth: int
) -> None:
    """Lay strips along the seams of triangles of 60 degrees, in all three directions."""
    low, high = np.array(field[:2]), np.array(field[2:])
    rows, columns = int((high[1] - low[1]) / tall) + 2, int((high[0] - low[0]) / side) + 2
    lines = [((0.0, r * tall), (1.0, 0.0)) for r in range(rows)]
    for c in range(-rows, columns + rows):
        lines += [((c * side, 0.0), (way * side / 2, tall)) for way in (1, -1)]
    for start, way in lines:
        at, along = low + start, np.array(way) / np.hypot(*way)
        # Where the line enters and leaves the field.
        with np.errstate(divide="ignore", invalid="ignore"):
            ends = np.sort(np.stack([(low - at) / along, (high - at) / along]), axis=0)
        enters, leaves = np.nanmax(ends[0]), np.nanmin(ends[1])
        if leaves > enters:
            one, two = at + enters * along, at + leaves * along
            aside = np.array([-along[1], along[0]]) * wide / 2
            made.lay(np.clip(np.array([one + aside, two + aside, two - aside, one - aside]), low, high), cloth)


def _great_star(
    made: Made, field: tuple[float, float, float, float], many: list[int], rng: np.random.Generator
) -> None:
    """One star of eight points, each a large diamond of rows of small ones, as wide as the quilt."""
    x0, y0, x1, y1 = field
    middle = np.array([(x0 + x1) / 2, (y0 + y1) / 2])
    count = int(rng.integers(2, 10))
    # Along two neighboring sides of a diamond; eight of them meet in the middle.
    step = min(x1 - x0, y1 - y0) / 2 / (1 + 2**-0.5) * float(rng.uniform(0.8, 1)) / count
    start = np.pi / 8 * (rng.random() < 0.5)
    for k in range(8):
        a, b = ((start + (k + m) * np.pi / 4) for m in (0, 1))
        one, two = (step * np.array([np.cos(each), np.sin(each)]) for each in (a, b))
        for i in range(count):
            for j in range(count):
                at = middle + i * one + j * two
                ring = np.array([at, at + one, at + one + two, at + two])
                made.lay(np.clip(ring, [x0, y0], [x1, y1]), many[(i + j) % len(many)])
