"""What is opened of a carried quilt, and what setting it anew takes, reckoned again."""

from __future__ import annotations

import re
from collections import Counter
from fractions import Fraction
from itertools import pairwise
from math import ceil, sqrt
from typing import Any

from judging.carrying import sums
from judging.carrying.sums import hours, part_of, price, read, said, size, yards

_EIGHTH = Fraction(1, 8)


def check(decided: Any) -> None:
    """Look for all of it on the page."""
    _opened(decided)
    _reset(decided)


def _quilting(decided: Any) -> float:
    """Inches of quilting round every block, as it was entered."""
    return (
        sum(each.exterior.length for each in decided.of.quilt.blocks.values())
        if decided.typed["lines"] == "blocks"
        else 0.0
    )


def _seams(decided: Any, *, kept: bool = False) -> Fraction:
    """Inches of seam before every block is free; `kept`: of those that are set again, where cut ones are left out."""
    if decided.of.on_point:
        at = set(decided.of.quilt.blocks)
        shared = sum(
            (row + step, column + aside) in at
            for row, column in at
            if row % 2
            for step in (-1, 1)
            for aside in (0, 1)
        )
        return Fraction(decided.b * (4 * len(at) - (0 if decided.gap else shared)))
    edge, least = decided.of.reading["edge"], 2 * decided.of.reading["uncertainty"]["edge"]
    round_it = [side for side in ("left", "top", "right", "bottom") if edge[side] > least]
    gone = {side: decided.cut.get(side, Fraction(0)) for side in ("left", "top", "right", "bottom")}
    rows, columns = decided.rows, decided.columns
    if kept:
        rows, columns = _kept(decided)
        round_it, gone = list({*round_it, *decided.cut}), dict.fromkeys(gone, Fraction(0))
    double = 2 if decided.gap else 1
    wide = decided.b * columns + decided.gap * (columns - 1) - gone["left"] - gone["right"]
    high = decided.b * rows - gone["top"] - gone["bottom"]
    found = high * (columns - 1) * double + wide * (rows - 1) * double
    for side in round_it:
        found += wide if side in ("top", "bottom") else high + decided.gap * (rows - 1)
    return Fraction(found)


def _kept(decided: Any) -> tuple[int, int]:
    """Rows and columns that are set again."""
    if not decided.drops:
        return decided.rows, decided.columns
    return decided.rows - ("top" in decided.cut) - ("bottom" in decided.cut), decided.columns - (
        "left" in decided.cut
    ) - ("right" in decided.cut)


def _opened(decided: Any) -> None:
    round_it = 2 * sum(decided.tape)
    ties = len(decided.carried.laid["ties"])
    for seams in (_seams(decided), _seams(decided, kept=decided.drops)):
        decided.say(f"about {said(seams, Fraction(1))} of seams to open")
        decided.say(f"{said(round_it)} of edge")
        work = [("seam opened", float(seams)), ("seam opened", float(round_it))]
        if ties:
            decided.say(f"{ties} ties to take out")
            work.append(("tie out", ties))
        if _quilting(decided):
            decided.say(f"about {said(_quilting(decided), Fraction(1))} of quilting to take out")
            work.append(("quilting out", _quilting(decided)))
        decided.say(f"{hours(*work)} of opening")


def _reset(decided: Any) -> None:
    new, around = read(decided.typed["new_sashing"]), read(decided.typed["new_border"])
    grown = 2 * decided.seam
    triangles: list[tuple[int, Fraction]] = []
    if decided.of.on_point:
        strips, inner, triangles = _diagonal(decided, new)
    else:
        beside, (rows, columns) = 1 if decided.outside else -1, _kept(decided)
        inner = tuple(decided.b * count + new * (count + beside) for count in (columns, rows))
        strips = [(decided.b, rows * (columns + beside)), (inner[0], rows + beside)]
    pieces = []
    for long, count in strips:
        decided.say(f"cut {count} rectangle{'s' * (count != 1)} of {_cut(new + grown, long + grown)} for")
        pieces.append((long + grown, new + grown, count))
    _bought(decided, "new sashing", pieces)
    whole = [side + 2 * around for side in inner]
    decided.say("{} rows of {}".format(*_kept(decided)))
    for words in ("{} in by {} in", "{} by {} in"):
        line = words.format(*(said(side, bare=True) for side in whole))
        if line in decided.text:
            decided.say(line)
    decided.pages.holds(f"set anew it is {size(whole)}", f"{said(whole[0])} by {said(whole[1])}" in decided.text)
    # Butted: two strips as long as the inside, two as long as the whole other way.
    shown = [
        (long, 2)
        for long in (inner[0], inner[1], whole[0], whole[1])
        if f"cut 2 rectangles of {_cut(around + grown, long + grown)} for border" in decided.text
    ]
    long_sides = [long for long, _ in shown]
    decided.pages.holds(
        f"border strips {[str(each) for each in long_sides]}",
        long_sides in ([inner[1], whole[0]], [inner[0], whole[1]]),
    )
    for long in long_sides:
        decided.say(f"cut 2 rectangles of {_cut(around + grown, long + grown)} for border")
    _bought(decided, "new border", [(long + grown, around + grown, 2) for long in long_sides])
    for number, (cut, side) in enumerate(triangles):
        need, each = (4, "once") if number else (2 * (decided.columns - 1) + 2 * (decided.rows - 1), "twice")
        made = cut * (2 if number else 4)
        spare = f", {made - need} to spare" if made > need else ""
        decided.say(
            f"cut {cut} square{'s' * (cut != 1)} of {said(side)}, each {each} on the diagonal: {made} triangles{spare}"
        )
    if triangles:
        _bought(decided, "new setting triangles", [(side, side, cut) for cut, side in triangles])
    seams = 2 * (sum(count for *_, count in pieces) + 4)
    run = 2 * float(sum(long * count for long, _, count in pieces) + sum((long + grown) * 2 for long in long_sides))
    for legs, leg in _legs(decided, new) if triangles else []:
        seams, run = seams + legs, run + legs * leg
    decided.say(f"{hours(('seam', seams), ('inch by machine', run))} to sew them in")
    share = {each["of"]: each["area"] for each in decided.carried.condition["parts"]}
    decided.share = share["blocks"] / share["the front"]
    stands = 1.0 if decided.of.on_point else _kept(decided)[0] * _kept(decided)[1] / (decided.rows * decided.columns)
    decided.say(f"the piecing of the blocks, {part_of(decided.share * stands)} of the front")


def _diagonal(
    decided: Any, new: Fraction
) -> tuple[list[tuple[Fraction, int]], tuple[Fraction, ...], list[tuple[int, Fraction]]]:
    rows = Counter((row + 2 * column + row % 2) // 2 for row, column in decided.of.quilt.blocks)
    counted: Counter[int] = Counter({1: sum(count - 1 for count in rows.values())})
    # A strip between two rows is as long as the blocks that lie on both sides of it.
    across: dict[int, set[int]] = {}
    for row, column in decided.of.quilt.blocks:
        across.setdefault((row + 2 * column + row % 2) // 2, set()).add(row - 2 * column - row % 2)
    counted.update(len(across[one] & across[other]) for one, other in pairwise(sorted(rows)))
    strips = [(decided.b * count + new * (count - 1), many) for count, many in counted.items()]
    inner = tuple(_root2(decided.b * count + new * (count - 1)) for count in (decided.columns, decided.rows))
    sides = 2 * (decided.columns - 1) + 2 * (decided.rows - 1)
    up = [
        Fraction(ceil(float(each) * 8 - 1e-9), 8)
        for each in (_root2(decided.b + new) + Fraction(5, 4), _root2(decided.b) / 2 + Fraction(7, 8))
    ]
    return strips, inner, [(ceil(sides / 4), up[0]), (2, up[1])]


def _legs(decided: Any, new: Fraction) -> list[tuple[int, float]]:
    """Seams of the setting triangles: two legs of each one at the sides, the long side of each at a corner."""
    sides = 2 * (decided.columns - 1) + 2 * (decided.rows - 1)
    return [(2 * sides, float(decided.b + new)), (4, float(decided.b))]


def _bought(decided: Any, fabric: str, pieces: list[tuple[Fraction, Fraction, int]]) -> None:
    """Fabric as strips take it; what fits into the ends of other strips may make it less, and no layout is less than its area."""
    most, least = sums.strips_across(pieces), sum(long * wide * count for long, wide, count in pieces) / sums.WIDE
    shown = re.search(rf"([\d /]+) yd of {fabric}, ([\d.]+) at your price", decided.text)
    inches = read(shown[1]) * 36 if shown else Fraction(0)
    decided.pages.holds(
        f"{fabric}: {float(inches):.2f} in, as strips {float(most):.2f}, its area {float(least):.2f}",
        least <= inches < most + Fraction(9, 2),
    )
    decided.say(f"{yards(inches)} of {fabric}, {price(inches, decided.typed['price'])} at your price")


def _cut(wide: Fraction, long: Fraction) -> str:
    """A piece as it is cut: upward, on eighths of an inch."""
    return size((wide, long), mark=_EIGHTH, way="up")


def _root2(length: Fraction) -> Fraction:
    return Fraction(float(length) * sqrt(2)).limit_denominator(10**9)
