"""Pictures of steps of sewing."""

from dataclasses import replace
from itertools import combinations

import numpy as np
import pytest
from shapely import Point, Polygon

from seamlore.draft.catalogue import find
from seamlore.drawing.shapes import Area, Group, Line, Text, walk
from seamlore.lengths import centimeters, inches
from seamlore.pictures.palette import INK
from seamlore.pictures.sewing.steps import step_picture
from seamlore.sewing.steps import sewing_steps

QUARTER = inches("1/4")
BLOCKS = ("sawtooth star", "bright hopes", "lemoyne star", "bear's paw", "log cabin", "snowball")


def steps_of(name, side=12):
    block = find(name)
    outlines = [tuple((x * side, y * side) for x, y in each.outline) for each in block.patches]
    labels = [f"{each.place}1" for each in block.patches]
    return sewing_steps(outlines, labels), outlines, labels


def drawn(step, outlines, labels, allowance=QUARTER):
    return step_picture(step, outlines, labels, ["#efe7d7"] * len(labels), 118, allowance=allowance, title="Step")


def halves(picture):
    """What stands apart at the left, and what is joined at the right."""
    return [shape for shape in picture.shapes if isinstance(shape, Group)]


def heavy(group):
    return [
        Polygon(ring)
        for shape in group.shapes
        if isinstance(shape, Area) and shape.fill is None and shape.stroke_mm == 0.3
        for ring in shape.rings
    ]


@pytest.mark.parametrize("name", BLOCKS)
def test_what_is_joined_stands_apart_and_nothing_lies_over_another(name):
    steps, outlines, labels = steps_of(name)
    for step in steps:
        picture = drawn(step, outlines, labels)
        assert picture.width_mm <= 118
        left, right = halves(picture)
        parts = heavy(left)
        assert len(parts) == len(step.parts)
        for one, other in combinations(parts, 2):
            assert one.distance(other) > 0.8
        # Nothing is made larger or smaller: what is apart is what is joined.
        (whole,) = heavy(right)
        assert sum(part.area for part in parts) == pytest.approx(whole.area, rel=1e-6)


def test_the_picture_says_what_the_tape_should_show():
    steps, outlines, labels = steps_of("sawtooth star")
    said = [
        [shape.words for shape in walk(drawn(step, outlines, labels).shapes) if isinstance(shape, Text)]
        for step in steps
    ]
    # A 12 in block of four divisions, 1/4 in allowance: geese 6 1/2 by 3 1/2 (trade facts A4, 12), rows 12 1/2 wide.
    assert said[1][-2:] == ["6 1/2 in", "3 1/2 in"]
    assert said[-1][-2:] == ["12 1/2 in", "12 1/2 in"]
    metric = drawn(steps[-1], outlines, labels, centimeters("0.75"))
    # 12 in are 30.48 cm; with 0.75 cm at both sides 31.98 cm, 32 on a tape of millimeters.
    assert [shape.words for shape in walk(metric.shapes) if isinstance(shape, Text)][-1] == "32 cm"


@pytest.mark.parametrize("name", ["star of the east", "kaleidoscope", "storm at sea"])
def test_sizes_stand_along_the_sides_that_the_tape_is_laid_to(name):
    for step in steps_of(name)[0]:
        _, right = halves(drawn(step, *steps_of(name)[1:]))
        (whole,) = heavy(right)
        lines = [shape for shape in walk([right]) if isinstance(shape, Line) and len(shape.runs) == 3]
        words = [shape for shape in walk([right]) if isinstance(shape, Text) and shape.words.endswith(" in")]
        assert len(lines) == len(words) == 2
        along = []
        for line in lines:
            start, end = (np.array(at[:2]) for at in line.runs[0])
            way = (end - start) / np.hypot(*(end - start))
            reach = np.array(whole.exterior.coords) @ way
            # As long as what is drawn, and beside it from end to end.
            assert sorted([start @ way, end @ way]) == pytest.approx([reach.min(), reach.max()], abs=1e-6)
            along.append(way)
        assert along[0] @ along[1] == pytest.approx(0, abs=1e-9)
        # Read from the foot of the page or from its right side; the first lies along the first line.
        assert all(-90 - 1e-6 <= each.turn_deg <= 90 for each in words)
        turn = np.radians(words[0].turn_deg)
        assert abs(along[0] @ np.array([np.cos(turn), np.sin(turn)])) == pytest.approx(1)


@pytest.mark.parametrize("name", ["sawtooth star", "churn dash"])
@pytest.mark.parametrize("way", ["first", "second"])
def test_the_arrow_points_to_the_side_on_which_the_allowances_lie(name, way):
    steps, outlines, labels = steps_of(name)
    for step in steps:
        pressed = replace(step, seams=tuple(replace(seam, press=way) for seam in step.seams))
        _, right = halves(drawn(pressed, outlines, labels))
        tips = [
            shape.rings[0][0]
            for shape in right.shapes
            if isinstance(shape, Area) and shape.fill == INK and len(shape.rings[0]) == 3
        ]
        assert len(tips) == len(step.seams)
        (whole,) = heavy(right)
        scale = (whole.area / Polygon([(float(x), float(y)) for x, y in step.outline]).area) ** 0.5
        for seam, tip in zip(step.seams, tips, strict=True):
            side = seam.first if way == "first" else seam.second
            inside = [
                Polygon([(float(x) * scale, float(y) * scale) for x, y in step.parts[at].outline]) for at in side
            ]
            assert any(part.buffer(0.01).contains(Point(tip)) for part in inside)


def test_a_seam_pressed_open_has_two_arrows_and_one_not_told_has_none():
    steps, outlines, labels = steps_of("four patch")
    for press, count in (("open", 2), ("", 0)):
        step = replace(steps[0], seams=tuple(replace(seam, press=press) for seam in steps[0].seams))
        _, right = halves(drawn(step, outlines, labels))
        heads = [
            each for each in right.shapes if isinstance(each, Area) and each.fill == INK and len(each.rings[0]) == 3
        ]
        assert len(heads) == count


def test_seams_that_have_an_order_are_numbered():
    steps, outlines, labels = steps_of("bright hopes")
    _, right = halves(drawn(steps[-1], outlines, labels))
    assert [shape.words for shape in right.shapes if isinstance(shape, Text)][:5] == ["1", "2", "3", "4", "5"]
