"""Thirty quilts of several kinds, described in numbers and letters, and a writer that makes draft files of them."""

from __future__ import annotations

import random
from fractions import Fraction

from tests.reckoning.reckon import BLOCKS, Border, Described, Side

TURNS = (0, 90, 180, 270)


def plain(kind: str) -> tuple[str, int, bool]:
    return (kind, 0, False)


def by_turns(rows: int, columns: int, *kinds: str) -> list:
    return [[plain(kinds[(r + c) % len(kinds)]) for c in range(columns)] for r in range(rows)]


def between(rows: int, columns: int, whole: str, other: str) -> list:
    """Rows on point, those between of another kind."""
    return [[plain(other if r % 2 else whole)] * (columns - r % 2) for r in range(2 * rows - 1)]


def halves(rows: int, columns: int, kind: str) -> list:
    return [[plain(kind)] * (columns + 1 - r % 2) for r in range(2 * rows + 1)]


def here_and_there(seed: int, rows: list[int], kinds: str, unread: float = 0.0) -> list:
    """Blocks of some kinds in any order, turned and mirrored; every kind is there."""
    dice = random.Random(seed)
    cells = [
        [
            None if dice.random() < unread else (dice.choice(kinds), dice.choice(TURNS), dice.random() < 0.4)
            for _ in range(n)
        ]
        for n in rows
    ]
    for number, kind in enumerate(kinds):
        cells[number % len(rows)][number // len(rows)] = (kind, 0, False)
    return cells


def even(width: float, fabric: str = "border", corners: str = "butted", repeats=None, block: str = "") -> Border:
    return Border([Side(width, fabric, repeats) for _ in range(4)], corners, block)


def sampler(seed: int, rows: int, columns: int, count: int, **more) -> Described:
    """A sampler of so many kinds, some of one block in other fabrics; each stands at least once."""
    names = [name for name in BLOCKS if name != "Plain"]
    signs = [f"{chr(65 + n % 26)}{n // 26 or ''}" for n in range(count)]
    kinds = {sign: names[number % len(names)] for number, sign in enumerate(signs)}
    dice = random.Random(seed)
    order = signs + [dice.choice(signs) for _ in range(rows * columns - count)]
    dice.shuffle(order)
    cells = [
        [(order[r * columns + c], dice.choice(TURNS), dice.random() < 0.3) for c in range(columns)]
        for r in range(rows)
    ]
    fabrics = {(sign, "A"): "muslin" for sign in signs[::2]}
    return Described(kinds, cells, more.pop("width", 9), more.pop("height", 9), fabrics=fabrics, **more)


QUILTS: dict[str, Described] = {
    "two by turns, 5 x 5": Described({"N": "Nine", "P": "Plain"}, by_turns(5, 5, "N", "P"), 6, 6),
    "two pieced by turns": Described({"N": "Nine", "F": "Fly"}, by_turns(6, 5, "N", "F"), 9, 9, borders=[even(4, "blue")]),
    "three by turns": Described({"A": "Four", "B": "Half", "C": "Plain"}, by_turns(4, 7, "A", "B", "C"), 8, 8),
    "one block": Described({"SF": "Fly"}, by_turns(7, 8, "SF"), 9, 9),
    "one block, oblong": Described({"N": "Nine"}, by_turns(4, 3, "N"), 9, 12, borders=[even(3)]),
    "plain between, on point": Described({"N": "Nine", "P": "Plain"}, between(7, 6, "N", "P"), 6, 6, "on point"),
    "on point, all pieced": Described({"F": "Fly", "H": "Half"}, between(3, 4, "F", "H"), 9, 9, "on point", borders=[even(5)]),
    "on point, unread between": Described(
        {"N": "Nine"}, [[None if r % 2 else plain("N")] * (4 - r % 2) for r in range(5)], 8, 8, "on point"
    ),
    "half blocks": Described({"N": "Nine"}, halves(4, 4, "N"), 6, 6, "half blocks"),
    "half blocks, crooked": Described({"S": "Slant"}, halves(2, 3, "S"), 8, 8, "half blocks"),
    "half blocks, two kinds": Described(
        {"N": "Nine", "B": "Bars"}, [[plain("B" if r % 2 else "N")] * (4 - r % 2) for r in range(7)], 8, 8, "half blocks"
    ),
    "offset": Described({"F": "Four"}, [[plain("F")] * (5 + r % 2) for r in range(6)], 8, 8, "offset"),
    "offset, two kinds": Described(
        {"G": "Goose", "P": "Plain"}, [[plain("GP"[r % 2])] * (4 + r % 2) for r in range(4)], 6, 6, "offset", borders=[even(2)]
    ),
    "strips": Described({"H": "Hour"}, by_turns(7, 4, "H"), 6, 6, "strips", strip=5, outside=True),
    "strips of two kinds": Described({"N": "Nine", "B": "Bars"}, by_turns(5, 3, "N", "B"), 8, 8, "strips", strip=3),
    "sashing": Described({"H": "Hour"}, by_turns(4, 3, "H"), 10, 10, sashing=(2, 3)),
    "sashing, cornerstones, outside": Described(
        {"H": "Hour", "P": "Plain"}, by_turns(3, 5, "H", "P"), 10, 10, sashing=(2, 2.5), cornerstones=True, outside=True
    ),
    "turned by hand": Described({"L": "Bars"}, here_and_there(3, [5] * 6, "L"), 8, 8),
    "mirrored slants": Described({"S": "Slant"}, here_and_there(4, [4] * 4, "S"), 9, 9),
    "here and there": Described({"N": "Nine", "H": "Half", "P": "Plain"}, here_and_there(5, [6] * 5, "NHP"), 9, 9),
    "here and there, in part": Described(
        {"N": "Nine", "S": "Slant", "P": "Plain"}, here_and_there(6, [6] * 5, "NSP", 0.3), 9, 9, sashing=(1, 1)
    ),
    "fabrics of their own": Described(
        {"N": "Nine", "P": "Plain"}, by_turns(4, 4, "N", "P"), 9, 9,
        own={(0, 0): {"A": "red"}, (1, 1): {"A": "red", "B": "blue"}, (0, 1): {"A": "check"}, (3, 3): {"B": "blue"}},
    ),
    "unequal border": Described(
        {"N": "Nine"}, by_turns(5, 5, "N"), 15, 15,
        borders=[Border([Side(7.5, "brown"), Side(4.375, "brown"), Side(7.5, "brown"), Side(4.375, "brown")])],
    ),
    "border of three sides": Described(
        {"F": "Four"}, by_turns(6, 5, "F"), 8, 8,
        borders=[Border([Side(0), Side(5, "red"), Side(6, "red"), Side(6, "blue")]), even(2, "green", "squares")],
    ),
    "mitered and cornered borders": Described(
        {"F": "Fly"}, by_turns(3, 4, "F"), 9, 9, borders=[even(2, "red", "mitered"), even(3, "blue", "squares")]
    ),
    "pieced border": Described(
        {"N": "Nine", "H": "Half", "G": "Goose"}, by_turns(5, 5, "N"), 9, 9,
        borders=[even(2.5, "red", "butted"), even(2.5, "", "squares", ("H", 2.5, True), "G")],
    ),
    "pieced at top and bottom": Described(
        {"N": "Nine", "G": "Goose"}, by_turns(4, 4, "N"), 9, 9,
        borders=[Border([Side(4, "", ("G", 4, False)), Side(2, "red"), Side(4, "", ("G", 4, False)), Side(2, "red")])],
    ),
    "sampler of 6": sampler(11, 3, 2, 6, sashing=(3, 3), cornerstones=True, outside=True, borders=[even(4, "blue")]),
    "sampler of 12 in 4 x 5": sampler(12, 4, 5, 12, sashing=(2, 2)),
    "sampler of 30": sampler(13, 6, 5, 30, width=12, height=12, borders=[even(2), even(6, "blue")]),
    "sampler of 9, oblong blocks": sampler(14, 3, 3, 9, width=8, height=10),
    "one block alone": Described({"H": "Hour"}, by_turns(1, 1, "H"), 18, 18, borders=[even(4)]),
    "sashing across only": Described({"G": "Goose"}, by_turns(5, 4, "G"), 6, 6, sashing=(2, 0)),
    "sashing, strips between rows": Described({"F": "Fly"}, by_turns(4, 4, "F"), 12, 12, sashing=(2.5, 2.5), outside=True),
    "on point, large blocks": Described({"F": "Fly"}, between(2, 2, "F", "F"), 16, 16, "on point"),
    "on point, one row": Described({"N": "Nine", "S": "Slant"}, [[plain("N"), plain("S"), plain("N"), plain("S"), plain("N")]], 10, 10, "on point", borders=[even(3, "red")]),
    "half blocks of triangles": Described({"H": "Hour"}, halves(3, 4, "H"), 9, 9, "half blocks", borders=[even(4, "blue")]),
    "half blocks, cut squares": Described({"F": "Fly"}, halves(4, 3, "F"), 12, 12, "half blocks"),
    "offset, three by turns": Described(
        {"N": "Nine", "F": "Four", "P": "Plain"}, [[plain("NFP"[r % 3])] * (3 + r % 2) for r in range(6)], 9, 9, "offset"
    ),
    "strips outside": Described({"S": "Slant", "N": "Nine"}, by_turns(6, 3, "S", "N"), 12, 12, "strips", strip=4, outside=True,
                                borders=[even(6, "brown", "squares")]),
    "three borders": Described(
        {"N": "Nine"}, by_turns(5, 4, "N"), 7.5, 7.5,
        borders=[even(1.5, "red"), even(3, "blue", "mitered"), even(5, "green", "squares")],
    ),
}  # fmt: skip


def number(given: float) -> str:
    whole, part = divmod(Fraction(given).limit_denominator(64), 1)
    return " ".join(str(each) for each in (whole, part) if each) or "0"


def draft_file(quilt: Described) -> str:
    """Write a description as a draft file; by hand, as its page on draft files says."""
    lines = [f"quilt q\nfinished {number(quilt.width)} in x {number(quilt.height)} in"]
    ways = {"on point": "on point", "half blocks": "on point, half blocks", "offset": "offset"}
    if quilt.setting in ways:
        lines.append(f"set {ways[quilt.setting]}")
    if quilt.setting == "strips":
        lines.append(f"set strips {number(quilt.strip)} in{', outside' * quilt.outside}")
    if any(quilt.sashing):
        across, down = map(number, quilt.sashing)
        lines.append(
            f"sashing {across} in by {down} in{', outside' * quilt.outside}{', cornerstones' * quilt.cornerstones}"
        )
    for row in quilt.rows:
        lines.append("row " + " ".join(_word(cell) for cell in row))
    for border in quilt.borders:
        top = border.sides[0]
        lines.append(f"border {number(top.width)} in, {border.corners}, {top.fabric or 'none'}")
        for name, side in zip(("right", "bottom", "left"), border.sides[1:], strict=True):
            if (side.width, side.fabric) != (top.width, top.fabric):
                lines.append(f"{name} {number(side.width)} in, {side.fabric}")
        for name, side in zip(("top", "right", "bottom", "left"), border.sides, strict=True):
            if side.repeats:
                kind, length, mirrored = side.repeats
                lines.append(f"repeat {name}: {'mirrored ' * mirrored}{number(length)} in of {kind}")
        if border.block:
            lines.append(f"corner {border.block}")
    lines += [f"kind {sign} {block}" for sign, block in quilt.kinds.items()]
    lines += [f"fabric {sign} {letter} = {name}" for (sign, letter), name in quilt.fabrics.items()]
    for (row, column), named in quilt.own.items():
        said = ", ".join(f"{letter} = {name}" for letter, name in named.items())
        lines.append(f"at row {row + 1}, column {column + 1}: {said}")
    return "\n".join([*lines, *(_drawn(name) for name in sorted(set(quilt.kinds.values())))]) + "\n"


def _word(cell: tuple[str, int, bool] | None) -> str:
    if cell is None:
        return "?"
    kind, turn, mirrored = cell
    return kind + (f"/{'m' * mirrored}{turn or ''}" if turn or mirrored else "")


def _drawn(name: str) -> str:
    parts, patches = BLOCKS[name]
    values = {
        letter: ("light", "dark", "medium")[index % 3]
        for index, letter in enumerate(sorted({each for each, _ in patches}))
    }
    corners = [f"patch {letter} " + " ".join(f"{x},{y}" for x, y in ring) for letter, ring in patches]
    return "\n".join(
        [
            f"\nblock {name}",
            *(f"{letter} {value}" for letter, value in values.items()),
            f"divisions {parts}",
            *corners,
        ]
    )
