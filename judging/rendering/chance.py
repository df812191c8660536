"""Block designs made up by chance, named by their seed, so that a reader can be trained on more than tradition has."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

_PREFIX = "Chance "


def chance_name(seed: int) -> str:
    """Name the design of a seed."""
    return f"{_PREFIX}{seed}"


def is_chance(name: str) -> bool:
    """Tell whether a name is of a design made up by chance."""
    return name.startswith(_PREFIX)


def chance_text(name: str) -> str:
    """Make up a design: its cells in the notation of blocks.

    A quarter of it is drawn and laid four times, turned or mirrored, as most traditional blocks are; some are not.

    Examples
    --------
    >>> chance_text("Chance 4") == chance_text("Chance 4")
    True
    """
    rng = np.random.default_rng([int(name.removeprefix(_PREFIX)), 31])
    n = int(rng.choice([2, 3, 4, 5, 6], p=[0.14, 0.3, 0.3, 0.16, 0.1]))
    letters = list("AB" if rng.random() < 0.6 else "ABC")
    half = rng.uniform(0.1, 0.8)
    cells = np.empty((n, n, 4), dtype=object)
    for row in range(n):
        for column in range(n):
            cells[row, column] = _cell(rng, letters, half)
    way = str(rng.choice(["turned", "mirrored", "half turn", "diagonal", "free"], p=[0.3, 0.35, 0.1, 0.1, 0.15]))
    cells = _made_alike(cells, way)
    used = {str(part) for cell in cells.reshape(-1, 4) for part in cell}
    if len(used) == 1:
        cells[0, 0] = ["B" if used == {"A"} else "A"] * 4
    return "\n".join("  ".join(_word(cells[row, column]) for column in range(n)) for row in range(n))


# A cell is its four triangles by place: top, right, bottom, left. Halves and whole squares are cells whose triangles agree.
def _cell(rng: np.random.Generator, letters: list[str], half: float) -> list[str]:
    a, b = (str(each) for each in rng.choice(letters, 2, replace=False))
    draw = rng.random()
    if draw > half:
        return [a] * 4
    if draw > half * 0.12:
        return [[a, a, b, b], [a, b, b, a], [b, b, a, a], [b, a, a, b]][int(rng.integers(4))]
    return [a, b, a, b]


def _turn(cell: list[str]) -> list[str]:
    top, right, bottom, left = cell
    return [left, top, right, bottom]


def _made_alike(cells: NDArray[np.object_], way: str) -> NDArray[np.object_]:
    n = len(cells)
    made = cells.copy()
    for row in range(n):
        for column in range(n):
            top, right, bottom, left = cells[row, column]
            if way == "turned" and row < (n + 1) // 2 and column < n // 2 + (n % 2 and row == n // 2):
                r, c, cell = row, column, list(cells[row, column])
                for _ in range(3):
                    r, c, cell = c, n - 1 - r, _turn(cell)
                    made[r, c] = cell
            elif way == "mirrored" and row < (n + 1) // 2 and column < (n + 1) // 2:
                made[row, n - 1 - column] = [top, left, bottom, right]
                made[n - 1 - row, column] = [bottom, right, top, left]
                made[n - 1 - row, n - 1 - column] = [bottom, left, top, right]
            elif way == "half turn" and (row, column) < (n - 1 - row, n - 1 - column):
                made[n - 1 - row, n - 1 - column] = [bottom, left, top, right]
            elif way == "diagonal" and row < column:
                made[column, row] = [left, bottom, right, top]
    return made


def _word(cell: list[str]) -> str:
    top, right, bottom, left = cell
    if top == right == bottom == left:
        return str(top)
    if top == left and right == bottom:
        return f"{top}/{right}"
    if top == right and left == bottom:
        return f"{left}\\{top}"
    return f"{top}x{right}x{bottom}x{left}"
