"""How the drawings of a family follow from their number, as the lines of a block file."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from itertools import pairwise, product

from seamlore.draft.families.stars import places

_LOGS = "A medium\nB light\nC dark\n\n"
_CHECKS = "A light\nB dark\n\n"


def _rows(cells: Sequence[Sequence[str]]) -> str:
    return "\n".join(" ".join(row) for row in cells) + "\n"


class _Logs:
    """A grid of squares on which logs are laid, each log one patch."""

    def __init__(self, side: int) -> None:
        self.cells = [["A"] * side for _ in range(side)]
        self.count = 0

    def lay(self, place: str, rows: Iterable[int], columns: Iterable[int]) -> None:
        self.count += 1
        for row, column in product(rows, columns):
            self.cells[row][column] = f"{place}{self.count}"

    def text(self) -> str:
        return _LOGS + _rows(self.cells)


def _round(logs: _Logs, middle: int, number: int, places: str) -> None:
    """Lay one round: above, on the right, below and on the left, each log as long as what it is sewn to."""
    low, high = middle - number, middle + number
    logs.lay(places[0], [low], range(low + 1, high))
    logs.lay(places[1], range(low, high), [high])
    logs.lay(places[2], [high], range(low + 1, high + 1))
    logs.lay(places[3], range(low, high + 1), [low])


def log_cabin(rounds: int) -> str:
    """Light logs above and on the right, dark ones below and on the left."""
    logs = _Logs(2 * rounds + 1)
    for number in range(1, rounds + 1):
        _round(logs, rounds, number, "BBCC")
    return logs.text()


def housetop(rounds: int) -> str:
    """All four logs of a round in one fabric, light and dark by turns."""
    logs = _Logs(2 * rounds + 1)
    for number in range(1, rounds + 1):
        _round(logs, rounds, number, "BBBB" if number % 2 else "CCCC")
    return logs.text()


def courthouse_steps(rounds: int) -> str:
    """Logs on opposite sides: above and below, then on both sides."""
    logs = _Logs(2 * rounds + 1)
    for number in range(1, rounds + 1):
        low, high = rounds - number, rounds + number
        for row in (low, high):
            logs.lay("B", [row], range(low + 1, high))
        for column in (low, high):
            logs.lay("C", range(low, high + 1), [column])
    return logs.text()


def cornerstone_log_cabin(rounds: int) -> str:
    """A log on every side of a round and a square in each corner."""
    logs = _Logs(2 * rounds + 1)
    for number in range(1, rounds + 1):
        low, high = rounds - number, rounds + number
        for place, rows, columns in (
            ("B", [low], range(low + 1, high)),
            ("B", range(low + 1, high), [high]),
            ("C", [high], range(low + 1, high)),
            ("C", range(low + 1, high), [low]),
        ):
            logs.lay(place, rows, columns)
        for row, column in product((low, high), repeat=2):
            logs.lay("A", [row], [column])
    return logs.text()


def quarter_log_cabin(rounds: int) -> str:
    """Logs on two sides only, from one corner."""
    logs = _Logs(rounds + 1)
    for number in range(1, rounds + 1):
        at = rounds - number
        logs.lay("B", [at], range(at + 1, rounds + 1))
        logs.lay("C", range(at, rounds + 1), [at])
    return logs.text()


def checkerboard(side: int) -> str:
    """Squares of two fabrics by turns, a dark one at the top left."""
    cells = [["A" if (row + column) % 2 else "B" for column in range(side)] for row in range(side)]
    return _CHECKS + _rows(cells)


_RAILS = {
    2: "AB", 3: "ACB", 4: "ACDB", 5: "ACDEB", 6: "ACDEFB", 7: "ACDEFGB", 8: "ACDEFGHB",
}  # fmt: skip
_RAIL_PLACES = {"A": "light", "B": "dark", "C": "medium", "D": "medium", "E": "dark", "F": "light", "G": "medium", "H": "dark"}  # fmt: skip


def rail_fence(strips: int) -> str:
    """Strip sets from light to dark, every other one turned."""
    letters = _RAILS[strips]
    upright, level = "|".join(letters), "-".join(letters)
    return places(letters, _RAIL_PLACES) + f"{upright} {level}\n{level} {upright}\n"


def basket_weave(strips: int) -> str:
    """Strip sets that begin and end with the dark fabric, every other one turned."""
    letters = "BA" * (strips // 2) + "B"
    upright, level = "|".join(letters), "-".join(letters)
    return _CHECKS + f"{upright} {level}\n{level} {upright}\n"


_STRIPE_PLACES = {"A": "light", "B": "dark", "C": "medium", "D": "medium", "E": "dark"}


def roman_stripe(strips: int) -> str:
    """Slanting strips on one side of the diagonal, a plain triangle on the other."""
    side = strips
    letters = ["B", "C", "D", "E"]
    lines = [f"patch A 0,0 {side},0 0,{side}"]
    for number in range(strips):
        place, low, high = letters[number % 4], number, number + 1
        ring = [(side, low), (side, high), (high, side), (low, side)]
        lines.append(f"patch {place} " + " ".join(f"{x},{y}" for x, y in dict.fromkeys(ring)))
    used = "A" + "".join(letters[: min(strips, 4)])
    return f"divisions {side}\n" + places(used, _STRIPE_PLACES) + "\n".join(lines) + "\n"


def string_block(strips: int) -> str:
    """Strips across the block, the middle one from corner to corner, triangles at the two other corners."""
    side = strips
    # Where the seams meet the edge, counted from one corner round to the opposite one: two divisions for each strip.
    first = [2 * number for number in range((strips + 1) // 2)]
    marks = [*first, *(2 * side - mark for mark in reversed(first))]
    lines = []
    for number, (low, high) in enumerate(pairwise(marks)):
        away = abs(number - strips // 2)
        ring = [*_across(low, side), *reversed(_across(high, side))]
        if not away:
            # The middle strip runs into both corners.
            (x0, y0), (x1, y1), (x2, y2), (x3, y3) = ring
            ring = [(x0, y0), (side, 0), (x3, y3), (x2, y2), (0, side), (x1, y1)]
        corners = " ".join(f"{x},{y}" for x, y in dict.fromkeys(ring))
        lines.append(f"patch {'A' if not away else 'BCDE'[(away - 1) % 4]} {corners}")
    values = {"A": "light", "B": "dark scrappy", "C": "medium scrappy", "D": "medium scrappy", "E": "dark scrappy"}
    used = "A" + "BCDE"[: min(strips // 2, 4)]
    return f"divisions {side}\n" + places(used, values) + "\n".join(lines) + "\n"


def _across(mark: int, side: int) -> list[tuple[int, int]]:
    """Where the line x + y = mark meets the edge of the square: above or on the right, then on the left or below."""
    return [(min(mark, side), max(mark - side, 0)), (max(mark - side, 0), min(mark, side))]


def birds_in_the_air(rows: int) -> str:
    """Rows of small triangles on one side of the diagonal, one large triangle on the other."""
    cells = [
        ["B/A" if row + column < rows - 1 else "B/C1" if row + column == rows - 1 else "C1" for column in range(rows)]
        for row in range(rows)
    ]
    return "A light\nB dark\nC medium\n\n" + _rows(cells)


def sawtooth(rows: int) -> str:
    """Half-square triangles that all look the same way."""
    return _CHECKS + _rows([["A/B"] * rows] * rows)


def thousand_pyramids(rows: int) -> str:
    """Rows of triangles as high as wide, upright and hanging by turns, half ones at the ends."""
    lines = []
    for top in range(rows):
        bottom = top + 1
        for left in range(rows):
            lines.append(f"patch B {left},{bottom} {left}.5,{top} {left + 1},{bottom}")
            if left + 1 < rows:
                lines.append(f"patch A {left}.5,{top} {left + 1}.5,{top} {left + 1},{bottom}")
        lines += [f"patch A 0,{top} 0.5,{top} 0,{bottom}", f"patch A {rows - 1}.5,{top} {rows},{top} {rows},{bottom}"]
    return f"divisions {rows}\nA light scrappy\nB dark scrappy\n\n" + "\n".join(lines) + "\n"


def trip_around_the_world(rings: int) -> str:
    """Squares by how many steps they lie from the middle."""
    side, middle = 2 * rings + 1, rings
    letters = "BCA" if rings < 3 else "BCAD"
    cells = [
        [letters[(abs(row - middle) + abs(column - middle)) % len(letters)] for column in range(side)]
        for row in range(side)
    ]
    values = {"A": "light", "B": "dark", "C": "medium", "D": "dark"}
    return places(letters, values) + _rows(cells)


def irish_chain(chains: int) -> str:
    """Diagonal chains so many squares wide, crossing in the middle."""
    letters = [*"BCDE"[:chains], "A"]
    span = range(-chains, chains + 1)
    cells = [[letters[abs(abs(row) - abs(column))] for column in span] for row in span]
    return places("".join(letters), {"A": "light", "B": "dark", "C": "medium", "D": "dark", "E": "medium"}) + _rows(
        cells
    )


def irish_chain_alternate(chains: int) -> str:
    """The ends of the outer chains in the corners of a plain block."""
    if chains == 2:
        return "columns 1 3 1\nrows 1 3 1\nA light\nC medium\n\nC A C\nA A A\nC A C\n"
    return (
        "A light\nC medium\nD dark\n\n"
        "C  D  A1 A1 A1 D  C\nD  A2 A2 A2 A2 A2 D\n" + "A3 A3 A3 A3 A3 A3 A3\n" * 3 +
        "D  A4 A4 A4 A4 A4 D\nC  D  A5 A5 A5 D  C\n"
    )  # fmt: skip


def snowball(parts: int) -> str:
    """A square with a triangle at each corner whose short sides are one part of the block's side."""
    middle = ["B1"] * (parts - 2)
    cells = [["A/B1", *middle, "B1\\A"], *([["B1"] * parts] * (parts - 2)), ["A\\B1", *middle, "B1/A"]]
    return "A dark\nB light\n\n" + _rows(cells)


def attic_windows(parts: int) -> str:
    """A square with a mitered frame on two sides that is one part of the block's side wide."""
    wide = parts - 1
    return f"columns 1 {wide}\nrows {wide} 1\nA light\nB dark\nC medium\n\nB1 A\nB1/C1 C1\n"
