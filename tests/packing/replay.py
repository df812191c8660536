"""An independent checker: it makes the cuts one by one, edge to edge, and counts the pieces. Shares no code with packing."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Sequence
from fractions import Fraction
from typing import Any

Box = tuple[Fraction, Fraction, Fraction, Fraction, int]


def cut_apart(places: Sequence[dict[str, Any]], width: float, length: float) -> bool:
    """Cut a fabric along straight lines from edge to edge until every piece is alone; tell whether that can be done."""
    boxes = []
    for number, place in enumerate(places):
        left, top = Fraction(place["x"]), Fraction(place["y"])
        boxes.append((left, top, left + Fraction(place["width"]), top + Fraction(place["height"]), number))
    sheet = (Fraction(0), Fraction(0), Fraction(width), Fraction(length))
    if any(b[0] < 0 or b[1] < 0 or b[2] > sheet[2] or b[3] > sheet[3] for b in boxes):
        return False
    todo: list[list[Box]] = [boxes]
    while todo:
        part = todo.pop()
        if len(part) < 2:
            continue
        cut = _cut(part, 0) or _cut(part, 1)
        if cut is None:
            return False
        todo += cut
    return True


def _cut(part: Sequence[Box], axis: int) -> tuple[list[Box], list[Box]] | None:
    """Find a line that no piece lies across, with pieces on both sides of it."""
    row = sorted(part, key=lambda box: (box[axis], box[axis + 2]))
    reach = row[0][axis + 2]
    for at in range(1, len(row)):
        if row[at][axis] >= reach:
            return row[:at], row[at:]
        reach = max(reach, row[at][axis + 2])
    return None


def faults(record: dict[str, Any], rows: Sequence[dict[str, str]]) -> list[str]:
    """Say what is wrong with the answer to a cutting list; nothing when it is right."""
    found = []
    wanted: Counter[tuple[str, str]] = Counter()
    sizes: dict[tuple[str, str], list[tuple[float, float, bool]]] = {}
    for row in rows:
        key = row["fabric"], row["piece"]
        wanted[key] += int(row["count"])
        sizes.setdefault(key, []).append((float(row["width"]), float(row["height"]), row["may_turn"] == "yes"))
    cut: Counter[tuple[str, str]] = Counter()
    for fabric in record["fabrics"]:
        if not cut_apart(fabric["places"], fabric["width"], fabric["length"]):
            found.append(f"{fabric['fabric']} cannot be cut edge to edge")
        if fabric["least_length"] > fabric["length"]:
            found.append(f"{fabric['fabric']} is shorter than its bound")
        laid = [(place, 1) for place in fabric["places"]]
        for used in fabric.get("from_stash", ()):
            if not cut_apart(used["places"], used["width"], used["length"]):
                found.append(f"a {used['form']} of {fabric['fabric']} cannot be cut edge to edge")
            laid += [(place, used["times"]) for place in used["places"]]
        for place, times in laid:
            key = fabric["fabric"], place["piece"]
            cut[key] += times
            size = (place["width"], place["height"])
            size = size[::-1] if place["turned"] else size
            if not any(size == (w, h) and (turn or not place["turned"]) for w, h, turn in sizes.get(key, [])):
                found.append(f"{key} is cut {size}")
    if cut != wanted:
        found.append(f"cut {cut - wanted} too many, {wanted - cut} too few")
    return found


_SAID = re.compile(
    r"(?P<in>  )*(?P<number>[0-9]+)\. (?P<how>Cut|Cross-cut|Cut back)(?: (?P<strips>[0-9]+) strips? of)? (?P<size>[0-9/ ]+) in"
    r"(?:, (?P<times>[0-9]+) in all)?(?:, from (?P<of>[0-9]+) that lie alike)?"
)


def by_the_words(lines: Sequence[str], width: Fraction, length: Fraction) -> Counter[str]:
    """Follow printed cuts, one after the other, on paper fabric; count the patches they set free.

    Every part is looked at as one long bar, as many as there are parts: what is cut from it must not be more than it has.
    Cuts must be numbered in order.
    """
    got: Counter[str] = Counter()
    # By depth of indentation: width and length of one part, how many there are, and what of the bar is left.
    parts: list[list[Fraction]] = [[width, length, Fraction(1), length]]
    for expected, line in enumerate(lines, start=1):
        found = _SAID.match(line)
        assert found is not None, line
        assert int(found["number"]) == expected, line
        depth = (len(line) - len(line.lstrip())) // 2
        del parts[depth + 1 :]
        size = sum(Fraction(part) for part in found["size"].split())
        times = int(found["strips"] or found["times"] or 1)
        wide, high, many, left = parts[depth]
        across = found["how"] == "Cross-cut"
        if depth + 1 == len(parts) and left < 0:
            # The first cut of a part decides which way its bar lies.
            left = (wide if across else high) * many
        left -= size * times
        assert left >= 0, line
        parts[depth][3] = left
        inner = (size, high) if across else (wide, size)
        parts.append([*inner, Fraction(times), Fraction(-1)])
        piece = re.search(r': "(.*)", (.*) x (.*) in(, turned)?\.$', line)
        if piece:
            got[piece[1]] += times
            said = [sum(Fraction(part) for part in side.split()) for side in piece.groups()[1:3]]
            assert tuple(said[::-1] if piece[4] else said) == inner, line
    return got
