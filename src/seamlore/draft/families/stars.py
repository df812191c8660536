"""How stars and pineapples follow from their number: drawings with the square root of two in them."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from itertools import pairwise, product

from seamlore.draft.exact.outlines import Corner
from seamlore.draft.exact.roots import SQRT2, Exact, exact, total, written

_Drawn = list[tuple[str, Sequence[Corner]]]


def places(letters: str, values: Mapping[str, str]) -> str:
    """Describe the places that a drawing takes, one line for each."""
    return "\n".join(f"{letter} {values[letter]}" for letter in sorted(set(letters))) + "\n\n"


def _patches(found: Iterable[tuple[str, Sequence[Corner]]]) -> str:
    return "".join(
        f"patch {place} " + " ".join(f"{written(x)},{written(y)}" for x, y in ring) + "\n" for place, ring in found
    )


def pineapple(rounds: int) -> str:
    """Straight strips and slanting strips by turns, all of one width, round a square as wide as two of them."""
    half = rounds + 1
    found: _Drawn = [("A", [(exact(x), exact(y)) for x, y in _square(1)])]

    def reach(number: int) -> Exact:
        # How far out, across plus down, the slanting seam of a round lies; the first runs through the middle's corners.
        return 2 + (number - 1) * SQRT2 if number > 1 else exact(2)

    for number in range(1, rounds + 1):
        inner, outer = number, number + 1
        low, high = reach(number) - inner, reach(number) - outer
        strip = [(-low, exact(-inner)), (-high, exact(-outer)), (high, exact(-outer)), (low, exact(-inner))]
        found += [("B", ring) for ring in _four_turns(list(dict.fromkeys(strip)))]
        # Slanting strips lie over the corners; the last runs to the edge, as far as its width, and a triangle is left.
        limit = exact(outer)
        marks = [reach(number), reach(number + 1)] if number < rounds else _last_marks(reach, number, limit)
        for low_mark, high_mark in pairwise(marks):
            ring = [
                (low_mark - limit, -limit),
                (high_mark - limit, -limit),
                (limit, limit - high_mark),
                (limit, limit - low_mark),
            ]
            found += [("C", each) for each in _four_turns(list(dict.fromkeys(ring)))]
    side = 2 * half
    moved = [(place, [(x + half, y + half) for x, y in ring]) for place, ring in found]
    return f"divisions 2\nside {side}\nA medium\nB light\nC dark\n\n" + _patches(moved)


def _last_marks(reach: Callable[[int], Exact], number: int, limit: Exact) -> list[Exact]:
    """The seams across a corner beyond the last round: strips while there is room, then the corner itself."""
    marks = [reach(number)]
    while reach(number + 1) < 2 * limit - 1:
        number += 1
        marks.append(reach(number))
    return [*marks, 2 * limit]


def _square(half: int) -> list[tuple[int, int]]:
    return [(-half, -half), (half, -half), (half, half), (-half, half)]


def _four_turns(ring: Sequence[Corner]) -> list[list[Corner]]:
    """An outline in its four quarter turns about 0, 0."""
    found = [list(ring)]
    for _ in range(3):
        found.append([(-y, x) for x, y in found[-1]])
    return found


def _ways() -> list[Corner]:
    """Eight directions of one length, each an eighth of a turn from the last."""
    one, step = exact(1), SQRT2 / 2
    first: list[Corner] = [(one, exact(0)), (step, step)]
    return [
        corner for turned in zip(*map(_four_turns, [[each] for each in first]), strict=True) for (corner,) in turned
    ]


def _pieced_diamond(at: Corner, one: Corner, two: Corner, side: int) -> _Drawn:
    """A large diamond of small ones, in rows that change their place across it."""
    found: _Drawn = []
    for a, b in product(range(side), repeat=2):
        corners = [(a, b), (a + 1, b), (a + 1, b + 1), (a, b + 1)]
        ring = [(at[0] + p * one[0] + q * two[0], at[1] + p * one[1] + q * two[1]) for p, q in corners]
        found.append(("BCDEF"[(a + b) % min(side + 1, 5)], ring))
    return found


def _whole_quilt(found: Sequence[tuple[str, Sequence[Corner]]], half: Exact) -> str:
    """Patches round 0, 0 as the lines of a block file whose side is twice a length."""
    moved = [(place, [(x + half, y + half) for x, y in ring]) for place, ring in found]
    used = "".join(sorted({place for place, _ in found}))
    values = {"A": "light", "B": "dark", "C": "medium", "D": "light", "E": "medium", "F": "dark"}
    return f"divisions 2\nside {written(2 * half)}\n" + places(used, values) + _patches(moved)


def lone_star(side: int) -> str:
    """An eight-pointed star whose points are large diamonds of small ones, with corner squares and side triangles."""
    # Along the edge the block is divided 1 : sqrt2 : 1, the side of a point being 1, here so many small diamonds.
    half, edge = side * (1 + SQRT2 / 2), side * SQRT2 / 2
    ways = _ways()
    found: _Drawn = []
    for number in range(8):
        found += _pieced_diamond((exact(0), exact(0)), ways[number], ways[(number + 1) % 8], side)
    corner = [(-half, -half), (-edge, -half), (-edge, -edge), (-half, -edge)]
    triangle = [(-edge, -half), (edge, -half), (exact(0), exact(-side))]
    found += [("A", ring) for shape in (corner, triangle) for ring in _four_turns(shape)]
    return _whole_quilt(found, half)


def broken_star(side: int) -> str:
    """A lone star without its corners, a ring of squares round it, and a ring of twenty-four more large diamonds."""
    ways = _ways()

    def at(*numbers: int) -> Corner:
        chosen = [ways[number % 8] for number in numbers]
        return side * total(x for x, _ in chosen), side * total(y for _, y in chosen)

    found: _Drawn = []
    for k in range(8):
        here, after = ways[k], ways[(k + 1) % 8]
        before, beyond = ways[k - 1], ways[(k + 2) % 8]
        found += _pieced_diamond((exact(0), exact(0)), here, after, side)
        found.append(("A", [at(k), at(k, k - 1), at(k, k - 1, k + 1), at(k, k + 1)]))
        # Out from the tip between two ways: along the squares on both sides, and straight on.
        found += _pieced_diamond(at(k, k + 1), here, before, side)
        found += _pieced_diamond(at(k, k + 1), after, beyond, side)
        found += _pieced_diamond(at(k, k + 1), here, after, side)
    near, far, half = side * SQRT2, side * (1 + SQRT2), side * (2 + SQRT2)
    squares: list[list[Corner]] = [
        [(far, near), (half, near), (half, far), (far, far)],
        [(near, far), (far, far), (far, half), (near, half)],
        [(far, far), (half, far), (half, half), (far, half)],
    ]
    tip: Corner = (half, exact(0))
    inner = side * (2 + SQRT2 / 2)
    triangles = [[tip, (half, near), (inner, side * SQRT2 / 2)], [tip, (half, -near), (inner, -side * SQRT2 / 2)]]
    found += [("A", ring) for shape in (*squares, *triangles) for ring in _four_turns(shape)]
    return _whole_quilt(found, half)
