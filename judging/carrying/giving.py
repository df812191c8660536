"""What a carried quilt gives and what could be made of it, reckoned again."""

from __future__ import annotations

import re
from collections import Counter
from fractions import Fraction
from itertools import pairwise
from math import ceil
from typing import Any

from judging.carrying import sums
from judging.carrying.sums import part_of, price, read, said, size, yards

_SIXTEENTH = Fraction(1, 16)


def check(decided: Any) -> None:
    """Look for all of it on the page."""
    _given(decided)
    _made_new(decided)
    _small(decided)
    _loose(decided)
    _rows(decided)
    _things(decided)


def _given(decided: Any) -> None:
    count = Counter(decided.of.states.values())
    decided.say(
        f"gives {decided.sound} whole, {decided.edge} edge and {decided.corners} corner blocks that are sound"
    )
    decided.say(
        f"{decided.sound} whole, {decided.edge} on the edge and {decided.corners} at corners are sound; {count['doubtful']} doubtful, {count['lost']} lost"
    )
    decided.say("7 stages")
    decided.say(f"sewn again they finish at {size((decided.sewn, decided.sewn))}")
    decided.say(
        f"sound blocks, about {part_of(decided.share * count['sound'] / len(decided.of.states))} of the front"
    )
    raw = decided.b + 2 * decided.left
    decided.say(
        f"Raw edge to raw edge {size((raw, raw))}; sewn again they finish at {size((decided.sewn, decided.sewn))}"
    )
    if "of every point" in decided.text:
        lost, to = decided.seam - decided.left, decided.b + 1 + 2 * decided.seam
        decided.say(f"{said(lost)} of every point is lost")
        decided.say(f"{said(lost)} of every point along the edges is lost")
        strip = said((to - raw) / 2 + 2 * decided.left)
        decided.say(
            f"with the {said(decided.left)} that is left, cut {strip} wide for the sides and {strip} for top and bottom, so that each finishes at {said(to - 2 * decided.seam)}"
        )
        decided.say(f"a foundation under each, {size((decided.b + 2 * decided.seam,) * 2)}")
    every = Counter(decided.sides.values())
    for which, of in every.items():
        fine = sum(verdict == "sound" and decided.sides[at] == which for at, verdict in decided.of.states.items())
        # A side that is cut has no allowance: the seam is taken from the block.
        raws = [
            decided.b + 2 * decided.left - sum(decided.cut[side] + decided.left for side in which if side in pair)
            for pair in (("left", "right"), ("top", "bottom"))
        ]
        name = f"Blocks cut at the {' and '.join(which)}" if which else "Whole blocks"
        decided.say(f"{fine} of {of} | {size(raws)} | {size([each - 2 * decided.seam for each in raws])}", at=name)


def _made_new(decided: Any) -> None:
    make = decided.carried.files["make"]
    # Of each fabric what the page Make says that it takes, as a shop sells it.
    takes = [read(yard) for yard in re.findall(r"(?m)^[^|]+\|[^|]*\| ([\d /]+) yd \| [\d /]+ yd$", make)]
    decided.say(
        f"{yards(36 * sum(takes))} of fabric for the top, {price(36 * sum(takes), decided.typed['price'])} at your price"
    )
    told = re.search(r"(?m)pieces from (.+?)\.?$", make)
    # Places that are scrappy take as many fabrics as there are at hand: those alone are counted that take one.
    decided.say(told[1] if told and "scrappy" in told[1] else f"{len(takes)} fabrics")
    plan = re.search(r"([\d /]+) x ([\d /]+) in finished: ", make)
    sides = [read(plan[side]) for side in (1, 2)] if plan else [Fraction(0)] * 2
    decided.say(f"{size(sides)} finished")
    spent = re.search(
        r"(?:[\w ]* hours?)(?= in all)",
        next((line for line in decided.pages.lines["decide"] if "in all (page Make)" in line), ""),
    )
    hours = spent[0] if spent else "?"
    decided.pages.holds(f"hours of making as on the page Make: {hours}", f"{hours} of work in all" in make)
    decided.say(hours)
    room = [side + 8 for side in sides]
    ways = []
    for across, along, which in ((room[0], room[1], "vertical"), (room[1], room[0], "horizontal")):
        count = next(number for number in range(1, 9) if number * sums.WIDE - (number - 1) >= across)
        ways.append((count * along, count, along, which))
    _, count, along, which = min(ways)
    decided.say(
        f"backing: {count} lengths of {said(along, Fraction(1), 'up')}, seams {which}: {yards(count * ceil(along))} of"
    )
    whole = [Fraction(ceil(each)) for each in room]
    decided.say(f"batting: {size(whole)}")
    package = re.search(r"from a [a-z]+ package \((\d+) x (\d+) in\)", decided.text)
    if package:
        sold = sorted(Fraction(each) for each in package.groups())
        fits = all(one >= other for one, other in zip(sold, sorted(whole), strict=True))
        decided.pages.holds(f"batting {size(whole)} out of {package[0]}", fits)
        decided.say(package[0])


def _small(decided: Any) -> None:
    wished, gaps = (
        tuple(map(read, text))
        for text in (decided.typed["wished"].split(" x "), (decided.typed["least"], decided.typed["most"]))
    )
    best = sums.smaller(decided.sound, (decided.sewn, decided.sewn), (gaps[0], gaps[1]), (wished[0], wished[1]))
    left = f"{best['left']} left over" if best["left"] else "none left over"
    off = f"; width and height together {said(best['off'])} off what was wished" if best["off"] else ""
    decided.say(
        f"{best['across']} across and {best['down']} down, sashing {said(best['gap'])}: {size(best['sides'])}; {left}{off}"
    )


def _loose(decided: Any) -> None:
    blocks = [
        (read(line.split(" x ")[0]), read(line.split(" x ")[1])) for line in decided.typed["loose"].splitlines()
    ]
    found = sums.trimmed(blocks, decided.left, decided.seam)
    words = (
        f"Trim to {said(found['to'])}, raw edge to raw edge: they finish at {said(found['to'] - 2 * decided.seam)}"
    )
    if found["small"]:
        words += f"; too small and to be framed: {', '.join(map(str, found['small']))}"
    if found["cut"]:
        words += (
            f"; points lost, up to {said(found['most'], _SIXTEENTH, 'up')}, in {', '.join(map(str, found['cut']))}"
        )
    decided.say(words)
    to = Fraction(ceil((max(max(each) for each in blocks) + 2) * 2), 2)
    decided.say(f"to {said(to)} raw edge to raw edge")
    for number, each in enumerate(blocks, 1):
        decided.say(f"block {number}: {' and '.join(said((to - side) / 2 + 2 * decided.left) for side in each)}")
    cut, sewn, strips = (read(decided.typed[name]) for name in ("strip_cut", "strips_sewn", "strips"))
    decided.say(f"Your seam takes up {said((cut * strips - sewn) / (2 * (strips - 1)), Fraction(1, 32))}")


def _rows(decided: Any) -> None:
    weak: Counter[int] = Counter()
    for (row, column), verdict in decided.of.states.items():
        weak[(row + 2 * column + row % 2) // 2 if decided.of.on_point else row] += verdict != "sound"
    rows = sorted(weak)
    order = sorted((weak[one] + weak[other], one) for one, other in pairwise(rows))
    for many, row in order:
        decided.say(f"rows {row + 1} and {row + 2}" + (f" ({many} weak block{'s' * (many != 1)})" if many else ""))
    listed = "; ".join(
        f"rows {row + 1} and {row + 2}" + (f" ({many} weak block{'s' * (many != 1)})" if many else "")
        for many, row in order
    )
    decided.say(
        f"art them in this order: {listed}".replace("art them", "part them" if decided.of.on_point else "Part them")
    )


def _things(decided: Any) -> None:
    rows = [
        line.split(" | ")
        for line in decided.pages.lines["decide"]
        if line.endswith("draft plan") and line.count(" | ") == 5
    ]
    decided.pages.holds(f"{len(rows)} things", len(rows) == 13)
    for cells in rows:
        sides = tuple(map(read, cells[1].split(" x ")))
        faces = 2 if cells[0].startswith(("Tote", "Book cover", "Pouch", "Ornament")) else 1
        found = sums.thing(
            (decided.sewn, decided.sewn),
            (sides[0], sides[1]),
            decided.sound,
            decided.edge + decided.corners,
            faces,
            decided.seam,
        )
        line = " | ".join(cells)
        good = cells[2:5] == [found["takes"], str(found["count"]), str(found["left"])] and cells[5].startswith(
            "; ".join(found["adds"])
        )
        decided.pages.holds(f"{cells[0]}: {found} beside {cells[2:]}", good)
        if good:
            decided.pages.covered(line, (0, len(line)))
