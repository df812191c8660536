"""A block drawn as text: which grid shows it best, and the word for each square of it."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from fractions import Fraction
from functools import lru_cache
from itertools import pairwise
from math import gcd, lcm

from seamlore.draft.block import Block, Patch
from seamlore.draft.exact.outlines import Point, Whole, twice_area, whole_numbers
from seamlore.draft.exact.roots import SQRT2, Exact, Root2, written
from seamlore.draft.text.cells import Ring, word_for
from seamlore.once import Very

# More lines than this make no picture that one can read; the patches are then listed by their corners.
_MOST_LINES = 17
# Nor is a word of more parts than this one that can be read.
_MOST_PARTS = 8


def even_parts(columns: Sequence[Exact], rows: Sequence[Exact]) -> int:
    """Count the divisions of the coarsest even grid on which all lines of a grid lie; 0 when they lie on none.

    Parameters
    ----------
    columns, rows : sequence of Exact
        Widths and heights, in any unit; each fills the block's side.

    Examples
    --------
    >>> even_parts([Fraction(1), Fraction(2), Fraction(1)], [Fraction(1), Fraction(1)])
    4
    >>> even_parts([Fraction(5)], [Fraction(5)])
    1
    """
    counts = []
    for widths in (columns, rows):
        # Only how the widths compare matters: widths that all have one root are as even as any.
        shares = [width / widths[0] for width in widths]
        plain = [share for share in shares if isinstance(share, Fraction)]
        if len(plain) < len(shares):
            return 0
        common = lcm(*(share.denominator for share in plain))
        whole = [int(share * common) for share in plain]
        counts.append(sum(whole) // gcd(*whole))
    return lcm(*counts)


def block_text(given: Block, *, corners_only: bool = False) -> str:
    """Draw a block as the lines of a block file.

    Parameters
    ----------
    given : Block
        Any block.
    corners_only : bool
        List every patch by its corners and draw no rows.

    Returns
    -------
    str
        Ending in a line break. `write_block` checks that it reads back to the same block.

    Examples
    --------
    >>> from seamlore.draft.block import Place, block, patch
    >>> whole = block("Plain", 1, [patch([(0, 0), (1, 0), (1, 1), (0, 1)], "A")], {"A": Place("light")})
    >>> block_text(whole).splitlines()
    ['block Plain', 'A light', '', 'A']
    >>> block_text(whole, corners_only=True).splitlines()[-1]
    'patch A 0,0 1,0 1,1 0,1'
    """
    lines = [f"block {given.name}"]
    if given.also:
        lines.append("also " + ", ".join(given.also))
    if given.family:
        lines.append(f"family {given.family}")
    lines += [f"note {note}" for note in given.notes]
    drawn = None if corners_only else _best_drawing(Very(given.patches), given.divisions)
    words, free = (drawn.words, drawn.free) if drawn else ([], list(given.patches))
    if drawn:
        columns, rows = _widths(drawn.across, given.divisions), _widths(drawn.down, given.divisions)
        for name, widths in (("columns", columns), ("rows", rows)):
            if len(set(columns)) > 1 or len(set(rows)) > 1:
                lines.append(f"{name} {' '.join(map(written, widths))}")
        if even_parts(columns, rows) != given.divisions:
            lines.append(f"divisions {given.divisions}")
    else:
        lines.append(f"divisions {given.divisions}")
    side = _side(free, given.divisions)
    if side != given.divisions:
        lines.append(f"side {written(side)}")
    lines += [f"{letter} {place.value}{' scrappy' * place.scrappy}" for letter, place in given.places.items()]
    lines.append("")
    widest = [max(map(len, column)) for column in zip(*words, strict=True)]
    lines += [" ".join(word.ljust(wide) for word, wide in zip(row, widest, strict=True)).rstrip() for row in words]
    for each in free:
        corners = " ".join(f"{written(x * side)},{written(y * side)}" for x, y in each.outline)
        lines.append(f"patch {each.place} {corners}")
    return "\n".join(lines) + "\n"


def _widths(lines: Sequence[Exact], divisions: int) -> list[Exact]:
    """How wide the columns are: in divisions, or with a root as short as they can be written."""
    shares = [high - low for low, high in pairwise(lines)]
    if not any(isinstance(share, Root2) for share in shares):
        return [share * divisions for share in shares]
    ways = [[share / unit for share in shares] for unit in dict.fromkeys(shares)]
    return min(ways, key=lambda widths: (len(" ".join(map(written, widths))), widths))


def _side(free: Sequence[Patch], divisions: int) -> Exact:
    """How long the side is taken to be, so that the corners of patches are written as shortly as can be."""
    numbers = {number for each in free for corner in each.outline for number in corner}
    if not any(isinstance(number, Root2) for number in numbers):
        return Fraction(divisions)
    sides: list[Exact] = [
        Fraction(divisions),
        2 + SQRT2,
        1 + SQRT2,
        SQRT2,
        2 + 2 * SQRT2,
        4 + 2 * SQRT2,
        4 + 4 * SQRT2,
    ]
    return min(sides, key=lambda side: sum(len(written(number * side)) for number in numbers))


class _Drawing:
    """A block drawn on one grid: words for its squares, and the patches that no word could show."""

    def __init__(self, patches: tuple[Patch, ...], across: Sequence[Exact], down: Sequence[Exact]) -> None:
        self.across, self.down = across, down
        self.patches = patches
        # Whole numbers are many times quicker than fractions.
        _, whole = whole_numbers(
            [*(each.outline for each in patches), [(x, x) for x in across], [(y, y) for y in down]]
        )
        self._rings: list[tuple[Point, ...]] = [tuple(ring) for ring in whole[:-2]]
        self._bounds = [
            (min(xs), min(ys), max(xs), max(ys)) for xs, ys in (zip(*ring, strict=True) for ring in self._rings)
        ]
        columns, rows = ([x for x, _ in lines] for lines in whole[-2:])
        self.numbers: dict[int, str] = {}
        self.counts: dict[str, int] = {}
        self.squares = [
            [self._pieces((left, top), (right, bottom)) for left, right in pairwise(columns)]
            for top, bottom in pairwise(rows)
        ]
        spread = Counter(index for row in self.squares for square in row for index, _ in square)
        self.spanning = {index for index, count in spread.items() if count > 1}
        found = [
            [word_for(square, self._alike) if len(square) <= _MOST_PARTS else None for square in row]
            for row in self.squares
        ]
        hidden = self._hidden(found)
        self.free = [each for index, each in enumerate(self.patches) if index in hidden]
        self.words = [
            [
                "." if word is None or square[0][0] in hidden else "".join(map(self._sign, word))
                for word, square in zip(words, row, strict=True)
            ]
            for words, row in zip(found, self.squares, strict=True)
        ]

    def _hidden(self, found: Sequence[Sequence[object | None]]) -> set[int]:
        """Patches that must be listed by corners: those of a square without a word, and all that share theirs."""
        hidden: set[int] = set()
        squares = [(word, [index for index, _ in square]) for words, row in zip(found, self.squares, strict=True)
                   for word, square in zip(words, row, strict=True)]  # fmt: skip
        while True:
            more = {
                index
                for word, inside in squares
                if word is None or not hidden.isdisjoint(inside)
                for index in inside
                if index not in hidden
            }
            if not more:
                return hidden
            hidden |= more

    def _pieces(self, low: Point, high: Point) -> list[tuple[int, Ring]]:
        """The part of each patch that lies in one square of the grid, as if the square were from 0 to 1."""
        (left, top), (right, bottom) = low, high
        wide, tall = right - left, bottom - top
        pieces: list[tuple[int, Ring]] = []
        for index, (x0, y0, x1, y1) in enumerate(self._bounds):
            if x1 <= left or x0 >= right or y1 <= top or y0 >= bottom:
                continue
            part = self._rings[index]
            if not (left <= x0 and x1 <= right and top <= y0 and y1 <= bottom):
                for axis, limit, sign, out in (
                    (0, left, 1, x0 < left),
                    (0, right, -1, x1 > right),
                    (1, top, 1, y0 < top),
                    (1, bottom, -1, y1 > bottom),
                ):
                    part = _kept(part, axis, limit, sign) if out else part
                # What only touches the square encloses nothing of it.
                if not twice_area(part):
                    continue
            pieces.append((index, tuple((_share(x - left, wide), _share(y - top, tall)) for x, y in part)))
        return pieces

    def _alike(self, one: int, two: int) -> bool:
        return self.patches[one].place == self.patches[two].place and self.spanning.isdisjoint((one, two))

    def _sign(self, item: str | int) -> str:
        if isinstance(item, str):
            return item
        place = self.patches[item].place
        if item not in self.spanning:
            return place
        if item not in self.numbers:
            self.counts[place] = self.counts.get(place, 0) + 1
            self.numbers[item] = f"{place}{self.counts[place]}"
        return self.numbers[item]

    @property
    def cost(self) -> tuple[int, int]:
        """How hard it is to read: patches that it does not show, then letters, with brackets counting more."""
        text = "".join(word for row in self.words for word in row)
        return len(self.free), len(text) + 4 * text.count("(")


def _share(some: Whole, whole: Whole) -> Exact:
    if isinstance(some, int) and isinstance(whole, int):
        return Fraction(some, whole)
    return some / (whole if isinstance(whole, Root2) else Fraction(whole))


def _kept(ring: tuple[Point, ...], axis: int, limit: Whole, sign: int) -> tuple[Point, ...]:
    """The part of an outline above a limit along one axis (sign 1), or below it (sign -1)."""
    side = [(corner[axis] - limit) * sign for corner in ring]
    if all(here >= 0 for here in side):
        return ring
    kept: list[Point] = []
    for index, (corner, here) in enumerate(zip(ring, side, strict=True)):
        before, there = ring[index - 1], side[index - 1]
        if (here < 0 < there) or (there < 0 < here):
            share = _share(there, there - here)
            other = before[1 - axis] + share * (corner[1 - axis] - before[1 - axis])
            kept.append((limit, other) if axis == 0 else (other, limit))
        if here >= 0:
            kept.append(corner)
    return tuple(kept)


@lru_cache(maxsize=256)
def _best_drawing(drawn: Very[tuple[Patch, ...]], divisions: int) -> _Drawing | None:
    """The grid that shows most patches with the shortest words, if any shows one; patches outlast changes of value."""
    patches = drawn.value
    evens = [count for count in range(1, min(divisions, _MOST_LINES - 1) + 1) if divisions % count == 0]
    even: list[list[Exact]] = [[Fraction(at, count) for at in range(count + 1)] for count in evens]
    grids = [(each, each) for each in even]
    across, down = (sorted({corner[axis] for each in patches for corner in each.outline}) for axis in (0, 1))
    if max(len(across), len(down)) <= _MOST_LINES:
        grids.append((across, down))
    best: _Drawing | None = None
    for lines_across, lines_down in sorted(grids, key=lambda each: len(each[0]) * len(each[1])):
        squares = (len(lines_across) - 1) * (len(lines_down) - 1)
        # Every square takes a letter, so that a fine grid cannot be easier to read than a coarse one that shows all.
        if squares * _MOST_PARTS < len(patches) or (best and best.cost <= (0, squares)):
            continue
        drawing = _Drawing(patches, lines_across, lines_down)
        if len(drawing.free) < len(patches) and (best is None or drawing.cost < best.cost):
            best = drawing
    return best
