"""Steps of sewing: every catalogue block sewn in the simulator, units counted, seams that are not straight where few."""

from __future__ import annotations

from collections import Counter, defaultdict
from dataclasses import replace
from fractions import Fraction
from math import atan2, pi

import pytest

from seamlore.draft.catalogue import all_blocks, find
from seamlore.draft.groups import canonical
from seamlore.draft.text.notation import read_block
from seamlore.errors import ShapeError
from seamlore.lengths import inches, length
from seamlore.sewing.measuring import now_measures
from seamlore.sewing.steps import sewing_steps

from .simulator import NotSewnError, area, floats, near, sew

BLOCKS = all_blocks()


def corners(*given):
    return tuple((Fraction(x), Fraction(y)) for x, y in given)


def box(left, top, right, bottom):
    return corners((left, top), (right, top), (right, bottom), (left, bottom))


def labels_of(given):
    """As a cutting list has them: pieces of one place and one shape are one."""
    numbers: dict[tuple[str, object], str] = {}
    return tuple(
        numbers.setdefault((each.place, canonical(each.outline)), f"{each.place}{len(numbers)}")
        for each in given.patches
    )


def steps_of(given):
    return sewing_steps([each.outline for each in given.patches], labels_of(given))


def crossings(given):
    """Interior corners of a block where patches meet and no straight line runs on: each needs one turn, whatever the
    order. From the corners alone."""
    rays: dict[tuple[float, float], set[float]] = defaultdict(set)
    rings = [floats(each.outline) for each in given.patches]
    corners = {(round(x, 6), round(y, 6)) for ring in rings for x, y in ring}
    for ring in rings:
        for start, end in zip(ring, ring[1:] + ring[:1], strict=True):
            for corner in corners:
                away = (end[0] - start[0]) * (corner[1] - start[1]) - (end[1] - start[1]) * (corner[0] - start[0])
                along = (end[0] - start[0]) * (corner[0] - start[0]) + (end[1] - start[1]) * (corner[1] - start[1])
                square = (end[0] - start[0]) ** 2 + (end[1] - start[1]) ** 2
                if abs(away) > 1e-6 or not -1e-6 < along < square + 1e-6:
                    continue
                angle = atan2(end[1] - start[1], end[0] - start[0])
                if along < square - 1e-5:
                    rays[corner].add(round(angle % (2 * pi), 4) % 6.2832)
                if along > 1e-5:
                    rays[corner].add(round((angle + pi) % (2 * pi), 4) % 6.2832)
    return sum(
        0 < x < 1 and 0 < y < 1 and not any(abs((a - b) % 6.2832 - 3.1416) < 1e-3 for a in there for b in there)
        for (x, y), there in rays.items()
    )


def step_named(steps, name):
    return next(step for step in steps if step.name == name)


def test_the_four_hourglasses_of_an_ohio_star_are_one_unit():
    steps = steps_of(find("Ohio Star"))
    units = [step for step in steps if step.made == "unit"]
    assert [(step.count, len(step.pieces)) for step in units] == [(8, 2), (4, 4)]


def test_the_hourglasses_of_a_yankee_puzzle_are_sewn_before_they_are_joined():
    steps = steps_of(find("Yankee Puzzle"))
    assert any(len(step.pieces) == 4 and step.count == 4 for step in steps)
    assert [step.way for step in steps][-2:] == ["up and down", "across"]


@pytest.mark.parametrize("name", ["Lady of the Lake", "Flock of Geese", "Cake Stand"])
def test_squares_of_two_triangles_are_sewn_before_anything_is_joined_to_them(name):
    given = find(name)
    steps = steps_of(given)
    # Two triangles that fill a square between them, by their corners alone.
    pairs = set()
    for one, first in enumerate(given.patches):
        for two, other in enumerate(given.patches[:one]):
            corners = set(first.outline) | set(other.outline)
            if len(first.outline) == len(other.outline) == 3 and len(corners) == 4:
                wide = max(x for x, _ in corners) - min(x for x, _ in corners)
                high = max(y for _, y in corners) - min(y for _, y in corners)
                if wide == high and first.area + other.area == wide * high:
                    pairs.add(frozenset((one, two)))
    made = {frozenset(copy) for step in steps for copy in step.copies}
    assert pairs
    assert pairs <= made


def test_bright_hopes_begins_one_seam_and_finishes_it_last():
    (step,) = steps_of(find("Bright Hopes"))
    assert step.manner == "partial"
    assert [seam.manner for seam in step.seams] == ["begun", "straight", "straight", "straight", "finished"]
    # Sewing begins at the end that the last piece does not touch.
    last = floats(step.parts[-1].outline)
    begins, stays_open = floats(step.seams[0].path)
    assert not any(near(begins, corner) for corner in last)
    assert any(near(stays_open, corner) for corner in last)


def test_a_nine_patch_is_sewn_in_rows():
    steps = steps_of(read_block("block Nine Patch\nA dark\nB light\n\nA B A\nB A B\nA B A"))
    assert [(step.name, step.joins, step.count) for step in steps] == [
        ("row 1", (("A0", 2), ("B1", 1)), 2),
        ("row 2", (("B1", 2), ("A0", 1)), 1),
        ("the block", (("row 1", 2), ("row 2", 1)), 1),
    ]


def test_a_nine_patch_in_a_frame_is_sewn_before_its_frame():
    steps = steps_of(find("Framed Nine Patch"))
    assert any(len(step.pieces) == 9 and area(floats(step.outline)) < 1 for step in steps)


# Sewn widths: trade facts A4, case 20: three strips cut 1 1/2 in make 3 1/2 in.
def test_three_strips_cut_an_inch_and_a_half_now_measure_three_and_a_half():
    rings = [box(x, 0, x + 1, 6) for x in range(3)]
    step = sewing_steps(rings, ["A", "B", "A"])[-1]
    assert now_measures(step.outline, inches("1/4")) == (length("3 1/2 in"), length("6 1/2 in"))


# Trade facts A4, case 3: triangles from 3 7/8 in squares, sewn, make a 3 1/2 in unit.
def test_a_half_square_triangle_of_three_inches_now_measures_three_and_a_half():
    three = [corners((0, 0), (3, 0), (0, 3)), corners((3, 0), (3, 3), (0, 3))]
    assert now_measures(sewing_steps(three, "AB")[-1].outline, inches("1/4")) == (
        length("3 1/2 in"),
        length("3 1/2 in"),
    )


def test_a_row_on_the_diagonal_is_measured_along_and_across_itself():
    # A square of 4 times the root of two, on its corner, and a triangle of that leg: by hand, along the row 8 root 2.
    row = corners((4, 0), (12, 8), (4, 8), (0, 4))
    wide, high = now_measures(row, inches("1/4"))
    assert (wide.inches_float, high.inches_float) == pytest.approx(
        (8 * 2**0.5 + 0.5 + 0.1, 4 * 2**0.5 + 0.5), abs=0.11
    )


def test_pieces_that_no_seam_joins_are_refused_by_name():
    with pytest.raises(ShapeError, match="C: no seam joins it to A, B"):
        sewing_steps([box(0, 0, 1, 1), box(1, 0, 2, 1), box(2, 1, 3, 2)], "ABC")


def test_a_hole_is_refused_and_what_lies_round_it_named():
    round_it = [box(0, 0, 2, 1), box(2, 0, 3, 2), box(1, 2, 3, 3), box(0, 1, 1, 3)]
    with pytest.raises(ShapeError, match="A, B, C, D: a hole is left between them"):
        sewing_steps(round_it, "ABCD")


def test_the_simulator_refuses_a_seam_that_is_not_a_whole_side():
    given = read_block("block Ring\nA dark\nB light\n\nA1 A1 A2\nA4 B A2\nA4 A3 A3")
    steps = steps_of(given)
    (step,) = steps
    wrong = replace(
        step,
        seams=tuple(replace(seam, manner="straight") if seam.manner == "begun" else seam for seam in step.seams[:-1]),
    )
    with pytest.raises(NotSewnError):
        sew([each.outline for each in given.patches], labels_of(given), (wrong,))


def test_what_no_page_shows_twice_has_one_name():
    for given in BLOCKS[::10]:
        names = Counter(step.name for step in steps_of(given))
        assert set(names.values()) <= {1}
