"""A quilt reckoned by itself, from a plain description: patches, cut sizes, cloth, and how many of each block.

It shares no code with the program. A description is numbers and letters only; polygons are laid out, clipped and compared
in floats by a general geometry library, and what is cut follows the rules of a handbook (finished size and 1/2 in; half
squares 7/8 in; quarter squares 1 1/4 in; cuts rounded up to 1/8 in, with a seam of 1/4 in; strips across 42 in).
"""

from __future__ import annotations

from collections import Counter, defaultdict
from dataclasses import dataclass, field
from math import ceil, sqrt

from shapely import affinity
from shapely.geometry import Polygon, box

from tests.reckoning.cloth import YIELDS, corners_of, cut_sides, shape_of, strips

# Corners of the patches of each block, in divisions of its side; each with its letter.
Patches = list[tuple[str, list[tuple[float, float]]]]


def _grid(size: int, letters: str) -> Patches:
    return [
        (letter, [(c, r), (c + 1, r), (c + 1, r + 1), (c, r + 1)])
        for r, row in enumerate(letters.split())
        for c, letter in enumerate(row)
        if letter != "."
    ]


BLOCKS: dict[str, tuple[int, Patches]] = {
    "Plain": (1, _grid(1, "A")),
    "Nine": (3, _grid(3, "ABA BAB ABA")),
    "Four": (2, _grid(2, "AB BA")),
    "Half": (1, [("A", [(0, 0), (1, 0), (0, 1)]), ("B", [(1, 0), (1, 1), (0, 1)])]),
    "Hour": (2, [(letter, [corners[0], corners[1], (1, 1)]) for letter, corners in zip(
        "ABCB", [((0, 0), (2, 0)), ((2, 0), (2, 2)), ((2, 2), (0, 2)), ((0, 2), (0, 0))], strict=True)]),
    "Goose": (2, [("A", [(0, 2), (1, 0), (2, 2)]), ("B", [(0, 0), (1, 0), (0, 2)]), ("B", [(1, 0), (2, 0), (2, 2)])]),
    "Fly": (3, [*_grid(3, ".A. ABA .A."),
                ("A", [(0, 0), (1, 0), (0, 1)]), ("B", [(1, 0), (1, 1), (0, 1)]),
                ("A", [(2, 0), (3, 0), (3, 1)]), ("B", [(2, 0), (3, 1), (2, 1)]),
                ("A", [(0, 2), (1, 3), (0, 3)]), ("B", [(0, 2), (1, 2), (1, 3)]),
                ("A", [(3, 2), (3, 3), (2, 3)]), ("B", [(2, 2), (3, 2), (2, 3)])]),
    "Bars": (4, [("A", [(0, 0), (1, 0), (1, 4), (0, 4)]), ("B", [(1, 0), (4, 0), (4, 3), (1, 3)]),
                 ("C", [(1, 3), (4, 3), (4, 4), (1, 4)])]),
    "Slant": (2, [("A", [(0, 0), (1, 0), (0, 2)]), ("B", [(1, 0), (2, 0), (2, 2), (0, 2)])]),
    "Snow": (4, [("A", [(1, 0), (3, 0), (4, 1), (4, 3), (3, 4), (1, 4), (0, 3), (0, 1)]),
                 *[("B", [(x, y), (x + dx, y), (x, y + dy)]) for x, y, dx, dy in
                   ((0, 0, 1, 1), (4, 0, -1, 1), (4, 4, -1, -1), (0, 4, 1, -1))]]),
}  # fmt: skip


@dataclass
class Side:
    """One side of a border: its width, its fabric, and the kind and length of what it repeats."""

    width: float
    fabric: str = "border"
    repeats: tuple[str, float, bool] | None = None


@dataclass
class Border:
    """Top, right, bottom, left; how its corners are; the kind in them."""

    sides: list[Side]
    corners: str = "butted"
    block: str = ""


@dataclass
class Described:
    """A quilt as numbers and letters.

    `kinds` says for each name which of BLOCKS it is; `rows` is what stands in each row: (kind, turn, mirrored), None where
    nothing was read; `own` the fabrics of single blocks by (row, column) and letter.
    """

    kinds: dict[str, str]
    rows: list[list[tuple[str, int, bool] | None]]
    width: float
    height: float
    setting: str = "straight"
    strip: float = 0.0
    outside: bool = False
    sashing: tuple[float, float] = (0.0, 0.0)
    cornerstones: bool = False
    borders: list[Border] = field(default_factory=list)
    own: dict[tuple[int, int], dict[str, str]] = field(default_factory=dict)
    fabrics: dict[tuple[str, str], str] = field(default_factory=dict)


@dataclass
class Reckoned:
    """What it comes to.

    `size` of the whole; `needed` patches by fabric and shape; `made` blocks by kind, part and whether reversed; `sewn` the
    same, and by how many patches of each letter are sewn into one.
    """

    size: tuple[float, float]
    needed: Counter
    made: Counter
    pieces: int
    sewn: Counter

    def cuts(self) -> dict[str, list[tuple[str, float, float, int]]]:
        """What is cut of each fabric: the shape, both sides of the cut piece (the longer first), and how many."""
        found = defaultdict(list)
        for (fabric, shape, *sides), needed in self.needed.items():
            if shape == "template":
                found[fabric].append(("template", 0.0, 0.0, needed))
                continue
            one, two = sorted(cut_sides(shape, sides[0], sides[1]), reverse=True)
            found[fabric].append((shape, one, two, ceil(needed / YIELDS[shape])))
        return dict(found)

    def lengths(self) -> dict[str, float]:
        """How much of each fabric is cut up, in inches; only of fabrics that need no template."""
        return {
            fabric: strips(cuts)
            for fabric, cuts in self.cuts().items()
            if all(shape != "template" for shape, *_ in cuts)
        }


def lying(name: str, turn: int, mirrored: bool) -> list[tuple[str, Polygon]]:
    """The patches of a block in a square of 1, mirrored left to right (if so), then turned clockwise."""
    parts, patches = BLOCKS[name]
    found = []
    for letter, corners in patches:
        points = [(x / parts, y / parts) for x, y in corners]
        if mirrored:
            points = [(1 - x, y) for x, y in points]
        for _ in range(turn // 90):
            points = [(1 - y, x) for x, y in points]
        found.append((letter, Polygon(points)))
    return found


def same_piecing(one: list[tuple[str, Polygon]], two: list[tuple[str, Polygon]]) -> bool:
    def key(patches):
        return sorted(
            (letter, sorted((round(x, 5), round(y, 5)) for x, y in corners_of(each))) for letter, each in patches
        )

    return key(one) == key(two)


def is_reversed(name: str, turn: int, mirrored: bool) -> bool:
    """Whether no turn of the block as drawn lies so."""
    here = lying(name, turn, mirrored)
    return not any(same_piecing(here, lying(name, other, False)) for other in (0, 90, 180, 270))


def reckon(quilt: Described) -> Reckoned:
    """Reckon a quilt."""
    needed, made, sewn, pieces = Counter(), Counter(), Counter(), 0
    field_size, spots, bits = _laid_out(quilt)
    whole = box(0, 0, *field_size)
    for row, column, (x, y), tilted in spots:
        cell = quilt.rows[row][column]
        if cell is None:
            continue
        kind, turn, mirrored = cell
        # Clipped in its own frame, in which its patches lie square.
        keep = _in_frame(whole, x, y, tilted)
        left, letters = 0.0, Counter()
        for letter, patch in lying(quilt.kinds[kind], turn, mirrored):
            sized = affinity.scale(patch, quilt.width, quilt.height, origin=(0, 0))
            kept = sized.intersection(keep)
            for part in getattr(kept, "geoms", [kept]):
                if part.area > 1e-6:
                    fabric = quilt.own.get((row, column), {}).get(letter) or _fabric(quilt, kind, letter)
                    # No bias on the quilt's edge: what has a side there is cut with that side on the grain.
                    at_edge = tilted and part.boundary.intersection(keep.boundary.buffer(1e-7)).length > 1e-3
                    needed[(fabric, *shape_of(affinity.rotate(part, 45) if at_edge else part))] += 1
                    left, pieces = left + part.area, pieces + 1
                    letters[letter] += 1
        share = left / (quilt.width * quilt.height)
        part = next(
            (word for word, much in (("whole", 1), ("half", 0.5), ("quarter", 0.25)) if abs(share - much) < 1e-6),
            "part",
        )
        made[kind, part, is_reversed(quilt.kinds[kind], turn, mirrored)] += 1
        sewn[kind, part, frozenset(letters.items())] += 1
    for fabric, polygon, count in bits:
        needed[(fabric, *shape_of(polygon))] += count
        pieces += count
    size = field_size
    for border in quilt.borders:
        size, more = _bordered(quilt, border, size, needed, made, sewn)
        pieces += more
    return Reckoned(size, needed, made, pieces, sewn)


def _fabric(quilt: Described, kind: str, letter: str) -> str:
    plain = f"Fabric {letter}" if len(quilt.kinds) == 1 else f"Fabric {kind}-{letter}"
    return quilt.fabrics.get((kind, letter), plain)


def _in_frame(whole: Polygon, x: float, y: float, tilted: bool) -> Polygon:
    """The field as it lies seen from a block at x, y."""
    moved = affinity.translate(whole, -x, -y)
    return affinity.rotate(moved, -45, origin=(0, 0)) if tilted else moved


def _laid_out(quilt: Described):
    """The size of the field; row, column, corner and tilt of every block; and what lies between them."""
    across, down = quilt.sashing
    wide, high = quilt.width, quilt.height
    rows = len(quilt.rows)
    spots, bits = [], []
    if quilt.setting in ("on point", "half blocks"):
        return _on_point(quilt)
    if quilt.setting == "strips":
        columns = len(quilt.rows[0])
        strip, lead = quilt.strip, (quilt.strip if quilt.outside else 0.0)
        size = (columns * wide + (columns - 1) * strip + 2 * lead, rows * high)
        spots = [(r, c, (lead + c * (wide + strip), r * high), False) for r in range(rows) for c in range(columns)]
        bits = [("strip", box(0, 0, strip, size[1]), columns - 1 + 2 * quilt.outside)]
        return size, spots, bits
    columns = len(quilt.rows[0])
    if quilt.setting == "offset":
        size = (columns * wide, rows * high)
        for r, row in enumerate(quilt.rows):
            spots += [(r, c, (c * wide - (wide / 2 if r % 2 else 0), r * high), False) for c in range(len(row))]
        return size, spots, bits
    lead = 1 if quilt.outside else 0
    size = (columns * wide + (columns - 1 + 2 * lead) * across, rows * high + (rows - 1 + 2 * lead) * down)
    for r in range(rows):
        for c in range(columns):
            spots.append((r, c, (lead * across + c * (wide + across), lead * down + r * (high + down)), False))
    standing, lyings = columns - 1 + 2 * lead, rows - 1 + 2 * lead
    if across:
        bits.append(("sashing", box(0, 0, across, high), rows * standing))
    if down and quilt.cornerstones:
        bits.append(("sashing", box(0, 0, wide, down), lyings * columns))
        if across:
            bits.append(("cornerstone", box(0, 0, across, down), lyings * standing))
    elif down:
        bits.append(("sashing", box(0, 0, size[0], down), lyings))
    return size, spots, [bit for bit in bits if bit[2]]


def _on_point(quilt: Described):
    root, side = sqrt(2), quilt.width
    halves = quilt.setting == "half blocks"
    rows = (len(quilt.rows) - 1) // 2 if halves else (len(quilt.rows) + 1) // 2
    columns = len(quilt.rows[0]) - (1 if halves else 0)
    step = side * root
    size = (columns * step, rows * step)
    spots = []
    for r, row in enumerate(quilt.rows):
        between = r % 2
        for c in range(len(row)):
            # The top corner of the block; every row lies half a diagonal below the last.
            if halves:
                top = (c * step + (step / 2 if between else 0), (r - 1) * step / 2)
            else:
                top = (c * step + step / 2 + (step / 2 if between else 0), r * step / 2)
            spots.append((r, c, top, True))
    bits = []
    if not halves:
        sides = 2 * (columns - 1) + 2 * (rows - 1)
        if sides:
            bits.append(("setting triangle", Polygon([(0, 0), (step, 0), (step / 2, step / 2)]), sides))
        bits.append(("setting triangle", Polygon([(0, 0), (step / 2, 0), (0, step / 2)]), 4))
    return size, spots, bits


def _bordered(quilt: Described, border: Border, size, needed: Counter, made: Counter, sewn: Counter):
    """Sew a border round, counting its strips, its corners and its units."""
    top, right, bottom, left = border.sides
    width, height = size
    pieces = 0
    outer = (width + left.width + right.width, height + top.width + bottom.width)
    squared = border.corners == "squares"
    for index, side in enumerate(border.sides):
        if not side.width:
            continue
        level = index % 2 == 0
        long = (width if squared else outer[0]) if level else height
        if border.corners == "mitered":
            long = outer[0] if level else outer[1]
            one, two = max(long, side.width), min(long, side.width)
            needed[side.fabric, "mitered", round(one, 5), round(two, 5)] += 1
            pieces += 1
        elif side.repeats is None:
            needed[(side.fabric, *shape_of(box(0, 0, long, side.width)))] += 1
            pieces += 1
        else:
            kind, length, mirrored = side.repeats
            count = round(long / length)
            for number in range(count):
                along = number if index in (0, 1) else count - 1 - number
                pieces += _unit(
                    quilt,
                    kind,
                    long / count,
                    side.width,
                    mirrored and 2 * along >= count,
                    needed,
                    made,
                    sewn,
                    "border",
                )
    if squared:
        corners = [
            (left.width, top.width),
            (right.width, top.width),
            (right.width, bottom.width),
            (left.width, bottom.width),
        ]
        for wide, high in corners:
            if border.block:
                pieces += _unit(quilt, border.block, wide, high, False, needed, made, sewn, "corner")
            else:
                needed[("cornerstone", *shape_of(box(0, 0, wide, high)))] += 1
                pieces += 1
    return outer, pieces


def _unit(quilt, kind, long, deep, mirrored, needed, made, sewn, part) -> int:
    """One unit as it lies in the top border; on another side it is only turned."""
    pieces, letters = 0, Counter(letter for letter, _ in lying(quilt.kinds[kind], 0, mirrored))
    for letter, patch in lying(quilt.kinds[kind], 0, mirrored):
        needed[(_fabric(quilt, kind, letter), *shape_of(affinity.scale(patch, long, deep, origin=(0, 0))))] += 1
        pieces += 1
    made[kind, part, is_reversed(quilt.kinds[kind], 0, mirrored)] += 1
    sewn[kind, part, frozenset(letters.items())] += 1
    return pieces
