"""Pressing: against every way of pressing tried on small blocks, by a count of its own; and the catalogue, proved best."""

from __future__ import annotations

from itertools import pairwise, product
from math import atan2, cos, hypot, pi, sin

import pytest

from seamlore.draft.catalogue import all_blocks, find
from seamlore.draft.text.notation import read_block
from seamlore.sewing.pressing import pressed, pressed_steps
from seamlore.sewing.steps import sewn

from .simulator import floats, near, off

BLOCKS = [each for each in all_blocks() if len(each.patches) > 1]
DARK = {"light": 0, "medium": 1, "dark": 2}


def taken(given):
    labels = tuple(each.place for each in given.patches)
    return sewn(tuple(each.outline for each in given.patches), labels, labels, True)


def values_of(given):
    return [given.places[each.place].value for each in given.patches]


class Count:
    """What comes of a pressing, counted from the ends of seams and the outlines of pieces alone."""

    def __init__(self, given, steps):
        rings = [floats(each.outline) for each in given.patches]
        values = values_of(given)
        self.seams = []
        for step in steps:
            for seam in step.seams:
                if seam.manner == "begun":
                    continue
                sides = [
                    {piece for number in side for piece in step.parts[number].pieces}
                    for side in (seam.first, seam.second)
                ]
                (start, end) = floats(seam.path)
                self.seams.append((start, end, sides[0], sides[1]))
        self.toward = []
        for start, end, _, second in self.seams:
            # Which side of the line its second side lies on: that of the piece whose side runs along it.
            middle = ((start[0] + end[0]) / 2, (start[1] + end[1]) / 2)
            normal = (-(end[1] - start[1]), end[0] - start[0])
            inside = sum(
                normal[0] * (x - middle[0]) + normal[1] * (y - middle[1])
                for piece in second
                if sum(off(at, start, end)[1] < 1e-6 for at in rings[piece]) >= 2
                for x, y in rings[piece]
            )
            long = hypot(*normal)
            sign = (1 if inside > 0 else -1) / long
            self.toward.append((normal[0] * sign, normal[1] * sign))
        self.dark = []
        for start, end, first, second in self.seams:
            both = []
            for side in (first, second):
                along = []
                for piece in side:
                    ring = rings[piece]
                    for a, b in zip(ring, [*ring[1:], ring[0]], strict=True):
                        t0, away0, long = off(a, start, end)
                        t1, away1, _ = off(b, start, end)
                        low, high = max(0, min(t0, t1)), min(long, max(t0, t1))
                        if away0 < 1e-6 and away1 < 1e-6 and high - low > 1e-6:
                            along.append((low, high, DARK[values[piece]]))
                both.append(along)
            marks = sorted({round(mark, 6) for along in both for low, high, _ in along for mark in (low, high)})
            shown = [0, 0]
            for low, high in pairwise(marks):
                at = (low + high) / 2
                one, two = (next((d for a, b, d in along if a < at < b), None) for along in both)
                if one is not None and two is not None and one != two:
                    shown[0 if two > one else 1] += 1
            self.dark.append(shown)

    def of(self, ways):
        """Folded over the more crowded side, clashes, heaps, toward the fuller piece, shadows."""
        shift = {"first": -1, "second": 1}
        folded, clashes, fuller = 0, 0, 0
        for number, (start, end, first, second) in enumerate(self.seams):
            crowd, tips = [0, 0], [0, 0]
            at_end = [[], []]
            for side, pieces in ((0, first), (1, second)):
                for other, (a, b, one, two) in enumerate(self.seams):
                    if other == number or not (one | two) <= pieces:
                        continue
                    for tip, far in ((a, b), (b, a)):
                        along, away, long = off(tip, start, end)
                        if away < 1e-6 and -1e-6 < along < long + 1e-6:
                            at_end[side].append((tip, far, other))
                            (crowd if 1e-6 < along < long - 1e-6 else tips)[side] += 1
            if ways[number] != "open":
                here = int(ways[number] == "second")
                folded += crowd[here] > crowd[1 - here]
                fuller += crowd[0] == crowd[1] and tips[here] > tips[1 - here]
            t = ((end[0] - start[0]), (end[1] - start[1]))
            used = set()
            for mirrored in (False, True):
                for tip, far, one in at_end[0]:
                    for there, beyond, other in at_end[1]:
                        if one in used or other in used or not near(tip, there):
                            continue
                        a = atan2(far[1] - tip[1], far[0] - tip[0])
                        b = atan2(beyond[1] - tip[1], beyond[0] - tip[0])
                        line = atan2(t[1], t[0])
                        wanted = 2 * line - a if mirrored else a + pi
                        if abs((b - wanted + pi) % (2 * pi) - pi) > 1e-4:
                            continue
                        used |= {one, other}
                        many = self.rays(tip) >= 6
                        if "open" in (ways[one], ways[other]):
                            clashes += not many
                            continue
                        leans = [
                            shift[ways[each]] * (self.toward[each][0] * t[0] + self.toward[each][1] * t[1]) > 0
                            for each in (one, other)
                        ]
                        clashes += leans[0] == leans[1]
        corners = []
        for start, end, *_ in self.seams:
            for at in (start, end):
                if not any(near(at, each) for each in corners):
                    corners.append(at)
        heaped = sum(self.rays(at) >= 4 and inner(at) and self.heap(at, ways) > 2 for at in corners)
        shadows = sum(shown[way == "second"] for shown, way in zip(self.dark, ways, strict=True) if way != "open")
        return folded, clashes, heaped, fuller, shadows

    def rays(self, at):
        return len(self._rays(at))

    def _rays(self, at):
        found = []
        for number, (start, end, *_) in enumerate(self.seams):
            along, away, long = off(at, start, end)
            if away > 1e-6 or not -1e-6 < along < long + 1e-6:
                continue
            if along < long - 1e-6:
                found.append((number, end[0] - start[0], end[1] - start[1]))
            if along > 1e-6:
                found.append((number, start[0] - end[0], start[1] - end[1]))
        return found

    def heap(self, at, ways):
        rays = self._rays(at)
        angles = sorted(atan2(y, x) for _, x, y in rays)
        worst = 0
        for one, two in pairwise([*angles, angles[0] + 2 * pi]):
            x, y = cos((one + two) / 2), sin((one + two) / 2)
            lying = 0
            for number, dx, dy in rays:
                if ways[number] == "open" or dx * x + dy * y < 1e-9:
                    continue
                sign = 1 if ways[number] == "second" else -1
                lying += sign * (self.toward[number][0] * x + self.toward[number][1] * y) > 0
            worst = max(worst, lying)
        return worst


def inner(at):
    return 1e-6 < at[0] < 1 - 1e-6 and 1e-6 < at[1] < 1 - 1e-6


# Every seam once: labels are all different, so that each part is the first of its kind.
def alone(given):
    labels = tuple(f"{each.place}{number}" for number, each in enumerate(given.patches))
    return sewn(tuple(each.outline for each in given.patches), labels, labels, True)


NAMES = [
    "Four Patch",
    "Hourglass",
    "Pinwheel",
    "Shoo Fly",
    "Churn Dash",
    "Bright Hopes",
    "Economy Patch",
    "Broken Dishes",
]


@pytest.mark.parametrize("name", NAMES)
def test_no_way_of_pressing_a_small_block_is_better_than_the_one_found(name):
    given = find(name)
    of = alone(given)
    met, found = pressed(of, values_of(given))
    steps = pressed_steps(of, met, found.ways)
    count = Count(given, steps)
    ways = [seam.press for step in steps for seam in step.seams if seam.manner != "begun"]
    may_open = {
        number
        for number, (start, end, *_) in enumerate(count.seams)
        if any(
            count.rays(at) >= 6 and inner(at) and any(each[0] == number for each in count._rays(at))
            for seam in count.seams
            for at in seam[:2]
        )
    }
    mine = count.of(ways)
    assert mine == (0, *found.value)
    choices = [
        ("first", "second", "open") if number in may_open else ("first", "second") for number in range(len(ways))
    ]
    # Of more seams there are too many ways to try them all.
    assert len(ways) > 9 or min(count.of(way) for way in product(*choices)) == mine


def test_the_seams_of_a_four_patch_nest():
    given = read_block("block Four Patch\nA dark\nB light\n\nA B\nB A")
    of = taken(given)
    met, found = pressed(of, values_of(given))
    row, whole = pressed_steps(of, met, found.ways)
    assert found.clashes == ()
    # Both pairs are pressed alike, toward the dark patch; turned, they nest.
    assert row.other_way == 0
    seam = row.seams[0]
    side = seam.first if seam.press == "first" else seam.second
    assert row.parts[side[0]].name == "A"
    assert whole.seams[0].press in ("first", "second")


def test_pairs_of_one_fabric_are_turned_so_that_they_nest():
    given = read_block("block Sheet\nA light\n\nA A A A\nA A A A\nA A A A\nA A A A")
    of = taken(given)
    met, found = pressed(of, values_of(given))
    assert found.value == (0, 0, 0, 0)
    # Rows that are the same when turned are all pressed alike.
    assert all(step.other_way == 0 for step in pressed_steps(of, met, found.ways))


def test_nothing_is_pressed_open_that_is_quilted_in_the_ditch():
    given = find("Pinwheel")
    _, as_usual = pressed(taken(given), values_of(given))
    _, ditch = pressed(taken(given), values_of(given), in_the_ditch=True)
    assert "open" in as_usual.ways
    assert "open" not in ditch.ways
    assert ditch.value >= as_usual.value
