"""The sums of a carried quilt on paper: lengths, yards, hours, folds, smaller quilts, things. No code of what is judged; inches alone.

Minutes of each kind of work are copied from what the pages say that they rest on (`seamlore.hours`, common practice): what is
checked is what is made of them.
"""

from __future__ import annotations

import itertools
from collections.abc import Iterable, Sequence
from fractions import Fraction
from math import ceil, floor
from typing import Any

Size = tuple[Fraction, Fraction]
MINUTES = {
    "seam opened": (0.1, 0.35),
    "quilting out": (0.1, 0.4),
    "tie out": (0.5, 1.5),
    "tie": (1.5, 3.0),
    "by hand": (10 / 16, 1.0),
    "seam": (0.3, 1.0),
    "inch by machine": (0.02, 0.06),
}
WIDE = Fraction(42)


def read(words: str) -> Fraction:
    """Read a length in inches: whole, in parts, or both.

    Examples
    --------
    >>> read("10 1/4 in"), read("3")
    (Fraction(41, 4), Fraction(3, 1))
    """
    return sum((Fraction(part) for part in words.removesuffix(" in").split()), Fraction(0))


def said(inches: Any, mark: Any = Fraction(1, 16), way: str = "nearest", *, bare: bool = False) -> str:
    """Say a length as on a tape.

    Examples
    --------
    >>> said(Fraction(41, 4)), said(5.06, Fraction(1, 8), "up"), said(0.25)
    ('10 1/4 in', '5 1/8 in', '1/4 in')
    """
    marks = Fraction(inches).limit_denominator(10**7) / mark
    count = {"up": ceil(marks), "down": floor(marks), "nearest": floor(marks + Fraction(1, 2))}[way]
    value = count * mark
    whole, part = divmod(value, 1)
    words = " ".join([str(whole)] * bool(whole or not part) + [str(part)] * bool(part))
    return words if bare else f"{words} in"


def size(sides: Sequence[Any], **way: Any) -> str:
    """Say width and height."""
    return f"{said(sides[0], bare=True, **way)} x {said(sides[1], **way)}"


def yards(inches: Any) -> str:
    """Say what a shop is asked for: eighths of a yard, upward."""
    return f"{said(Fraction(ceil(Fraction(inches).limit_denominator(10**7) / Fraction(9, 2)), 8), Fraction(1, 8), bare=True)} yd"


def price(inches: Any, each: Any) -> str:
    """Say what so many inches cost, cents upward."""
    eighths = ceil(Fraction(inches).limit_denominator(10**7) / Fraction(9, 2))
    return f"{ceil(Fraction(eighths, 8) * Fraction(each) * 100) / 100:.2f}"


def hours(*work: tuple[str, float]) -> str:
    """Say how long some work takes, the least down to whole hours and the most up."""
    least, most = (sum(MINUTES[kind][end] * amount for kind, amount in work) / 60 for end in (0, 1))
    low, high = int(least), ceil(most)
    if most < 0.5:
        return "under an hour"
    if low == 0:
        return "about an hour" if high == 1 else f"up to {high} hours"
    return f"{low} to {high} hours" if high > low else f"about {high} hour{'s' * (high != 1)}"


def part_of(share: float) -> str:
    """Say a part of a hundred."""
    if share <= 0:
        return "none"
    return "less than 0.1 %" if share < 0.001 else f"{100 * share:.1f} %" if share < 0.1 else f"{100 * share:.0f} %"


def squares(area: float) -> str:
    """Say an area as the pages say it, two figures below ten."""
    return f"{area:,.0f} sq in" if area >= 9.5 else f"{area:.2g} sq in"


def strips_across(pieces: Iterable[tuple[Fraction, Fraction, int]], width: Fraction = WIDE) -> Fraction:
    """Give the fabric that strips take, each kind by itself: pieces longer than it is wide joined with straight seams or cut along
    it, whichever is less; shorter ones side by side either way."""
    total = Fraction(0)
    long_ones: dict[Fraction, list[Fraction]] = {}
    for long, wide, count in pieces:
        if long > width:
            long_ones.setdefault(wide, []).extend([long] * count)
        else:
            total += min(
                deep * ceil(Fraction(count, floor(width / side))) for side, deep in ((long, wide), (wide, long))
            )
    for wide, each in long_ones.items():
        joined = wide * max(1, ceil((sum(each) - Fraction(1, 2)) / (width - Fraction(1, 2))))
        beside = floor(width / wide)
        total += min(joined, sum(sorted(each, reverse=True)[::beside], Fraction(0)))
    return total


def smaller(blocks: int, block: Size, sashing: Size, wished: Size) -> dict[str, Any]:
    """Try every setting of the blocks with every sashing on an eighth of an inch; the nearest to a wished size."""
    best: tuple[Any, ...] | None = None
    for down in range(1, blocks + 1):
        for across in range(1, blocks // down + 1):
            gap = sashing[0]
            while gap <= sashing[1]:
                sides = (block[0] * across + gap * (across - 1), block[1] * down + gap * (down - 1))
                off = abs(sides[0] - wished[0]) + abs(sides[1] - wished[1])
                key = (off, blocks - across * down, gap, down)
                if best is None or key < best[0]:
                    best = (key, across, down, gap, sides)
                gap += Fraction(1, 8)
    assert best is not None
    (off, left, *_), across, down, gap, sides = best
    return {"across": across, "down": down, "gap": gap, "sides": sides, "left": left, "off": off}


def folds(side: float, most: float, cost: Any) -> tuple[float, set[tuple[float, ...]]]:
    """Try every way to lay the fewest folds on 95 marks: the least that they cost, and all ways that cost no more."""
    marks = [side * number / 96 for number in range(1, 96)]

    def ways(count: int, begin: float, first: int) -> Iterable[tuple[int, ...]]:
        if not count:
            if side - begin <= most + 1e-9:
                yield ()
            return
        for at in range(first, 95):
            if marks[at] - begin > most + 1e-9:
                return
            if side - marks[at] <= count * most + 1e-9:
                yield from ((at, *rest) for rest in ways(count - 1, marks[at], at + 1))

    for count in itertools.count(max(ceil(side / most - 1e-9) - 1, 0)):
        sums = {way: sum(float(cost[at]) for at in way) for way in ways(count, 0.0, 0)}
        if sums:
            least = min(sums.values())
            return least, {tuple(marks[at] for at in way) for way, spent in sums.items() if spent < least + 1e-9}
    raise AssertionError


def trimmed(blocks: Sequence[Size], allowance: Fraction, seam: Fraction) -> dict[str, Any]:
    """Try every size to trim loose blocks to, on eighths of an inch."""
    best: tuple[Any, ...] | None = None
    for eighths in range(int(2 * seam * 8) + 1, int(max(min(each) for each in blocks) * 8) + 1):
        to = Fraction(eighths, 8)
        small = [number for number, each in enumerate(blocks, 1) if min(each) < to]
        lost = {
            number: [max((side - 2 * allowance - to + 2 * seam) / 2, Fraction(0)) for side in each]
            for number, each in enumerate(blocks, 1)
            if number not in small
        }
        cut = [number for number, each in lost.items() if max(each) > 0]
        key = (len(small) + len(cut), sum(sum(each) for each in lost.values()), -to)
        if best is None or key < best[0]:
            best = (key, to, small, cut, max((max(each) for each in lost.values()), default=Fraction(0)))
    assert best is not None
    return dict(zip(("to", "small", "cut", "most"), best[1:], strict=True))


def thing(block: Size, sides: Size, blocks: int, cut: int, faces: int, seam: Fraction) -> dict[str, Any]:
    """Count how many things come out of whole blocks, or, where half a block gives two pieces or more, out of cut ones."""
    pieces = max(
        floor(wide / (sides[0] + 2 * seam)) * floor(high / (sides[1] + 2 * seam))
        for wide, high in ((block[0] / 2, block[1]), (block[1], block[0] / 2))
    )
    if pieces >= 2:
        made = cut * pieces // faces
        return {
            "takes": f"{pieces} from half a block",
            "count": made,
            "left": cut - ceil(Fraction(made * faces, pieces)),
            "adds": [],
        }
    across, down = (max(int(whole / side), 1) for whole, side in zip(sides, block, strict=True))
    takes = across * down * faces
    adds = []
    for whole, side, number, way in zip(sides, block, (across, down), ("across", "down"), strict=True):
        over = whole - side * number
        if over:
            adds.append(f"{said(abs(over))} {'of strips' if over > 0 else 'trimmed away'} {way}")
    return {"takes": str(takes), "count": blocks // takes, "left": blocks % takes, "adds": adds}
