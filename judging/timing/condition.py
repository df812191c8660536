"""How long the condition of a large quilt takes: python -m judging.timing.condition > docs/accuracy/condition.txt

A quilt of 30 rows of 30 blocks of four patches, in seven fabrics; 500 notes with 24 corners each, stars of 1 to 9 in; one weak
fabric, last year's fold. The best of five runs, by work done.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from judging.timing.speed import best
from seamlore.condition.ground import Ground
from seamlore.condition.kinds import DAMAGE
from seamlore.condition.rot import hand_tests, suspects, to_test
from seamlore.condition.survey import Laid, Survey, survey
from seamlore.draft.where import Where

ROWS, SIDE, FABRICS, NOTES, CORNERS = 30, 8.0, 7, 500, 24


def ground() -> Ground:
    """Lay out the quilt, fabrics taking turns patch by patch."""
    at = [(row, column) for row in range(ROWS) for column in range(ROWS)]
    square = np.array([[0.0, 0], [1, 0], [1, 1], [0, 1]])
    blocks = np.array([SIDE * (square + np.array([column, row])) for row, column in at])
    quarters = [(0.5 * square + (x, y)) * SIDE for y in (0, 0.5) for x in (0, 0.5)]
    outlines = [quarter + SIDE * np.array([column, row]) for row, column in at for quarter in quarters]
    where = tuple(Where("block", *spot, number) for spot in at for number in range(4))
    fabric = np.array([(each.row + each.column + each.patch) % FABRICS for each in where], dtype=np.intp)
    names = tuple(f"Fabric {number + 1}" for number in range(FABRICS))
    return Ground((ROWS * SIDE, ROWS * SIDE), tuple(at), blocks, where, outlines, fabric, names)


def notes(size: tuple[float, float]) -> list[Laid]:
    """Draw notes of every kind of damage and every step."""
    chance = np.random.default_rng(7)

    def star() -> NDArray[np.float64]:
        turns = np.sort(chance.uniform(0, 2 * np.pi, CORNERS))
        away = chance.uniform(1, 9) * chance.uniform(0.5, 1, CORNERS)
        return chance.uniform(0, 1, 2) * size + np.column_stack([away * np.cos(turns), away * np.sin(turns)])

    return [Laid(DAMAGE[number % len(DAMAGE)].name, 1 + number % 4, star(), number=number) for number in range(NOTES)]


def assessed(drawn: list[Laid]) -> Survey:
    """Reckon all of it on a quilt that nothing was reckoned of before."""
    fresh = ground()
    tests = hand_tests(fresh, np.array([[1.0, 1.0]]), ["weak"], [""])
    found = survey(fresh, drawn, suspect={each.fabric: each.why for each in suspects(fresh, tests)})
    to_test(fresh, drawn, tests, [(0, 60.0)])
    return found


def main() -> None:
    """Print how long it takes."""
    drawn = notes((ROWS * SIDE, ROWS * SIDE))
    found = assessed(drawn)
    counts = ", ".join(f"{found.count(verdict)} {verdict}" for verdict in ("sound", "doubtful", "lost"))
    _, work = best(lambda: assessed(drawn), 5)
    print(
        f"{ROWS**2} blocks with {NOTES} notes assessed and where to look next: {work:.2f} s of one processor (aim: 0.5 s); {counts}"
    )


if __name__ == "__main__":
    main()
