"""What the page on sewing shows: its headline, and the steps of the top as pictures."""

from itertools import takewhile

import numpy as np
import pytest

from seamlore.drawing.picture import Picture
from seamlore.drawing.shapes import Area
from seamlore.sewing.top import sewn_top
from seamlore.steps.sewing.strip import shown
from seamlore.steps.study.inputs import Inputs
from seamlore.steps.study.job import Job
from seamlore.steps.study.sections import Choice

DRAFT = "quilt Mine\nmade of {}\nfinished 6 in\nrows 2\ncolumns 3\n"


@pytest.mark.parametrize(
    ("block", "answer"),
    [
        ("Plain", "By machine: no block that is known is pieced; the top alone is joined"),
        # Two triangles, joined once.
        ("Half-Square Triangle", "By machine: 1 step for 1 kind of block, then 2 for the top"),
    ],
)
def test_only_steps_that_there_are_are_counted(block, answer):
    drawn = DRAFT.format(block) + ("\nblock Plain\nA light\n\nA\n" if block == "Plain" else "")
    if block == "Half-Square Triangle":
        drawn += "\nblock Half-Square Triangle\nA light\nB dark\n\nA/B\n"
    assert shown(Job(Inputs(choice=Choice(draft=drawn)))).answer == answer


POINT = """quilt Point
made of Four Patch
finished 8 in
rows 2
columns 2
set on point
sashing 2 in
border 4 in, butted, brown

block Four Patch
A dark
B light

A B
B A
"""


@pytest.fixture(scope="module")
def point():
    return shown(Job(Inputs(choice=Choice(draft=POINT))))


def _cloths(picture: Picture):
    """The patches of cloth in the picture of a result: they come first, before its seams and arrows."""
    (drawn,) = picture.shapes
    areas = takewhile(lambda each: isinstance(each, Area) and each.fill is not None, drawn.shapes)
    return [ring for each in areas for ring in each.rings]


def test_steps_of_the_top_are_pictures_of_rows_triangles_sashing_and_borders(point):
    first = sum(len(block.steps) for block in point.blocks)
    assert [each.number for each in point.top_steps] == list(range(first + 1, first + 1 + len(point.top_steps)))
    joined = {part.name for each in point.top_steps for part in each.told.step.parts}
    assert {"block", "side triangle", "corner triangle"} <= joined
    assert any("sashing" in name for name in joined)
    assert any(name.startswith("border") for name in joined)
    # Each step's own pictures: named, said and measured as it is.
    for each in point.top_steps:
        assert each.small.title == each.opened.title == f"Point: {each.told.title}"
        for part in each.told.step.parts:
            assert part.shown in each.opened.description
        assert each.opened.description.removesuffix(".").split("measure ")[1].split(" x ")[0] in each.told.size


def test_a_step_of_the_top_shows_the_patches_of_its_pieces_and_no_others(point):
    pieces = sewn_top(Job(Inputs(choice=Choice(draft=POINT))).quilt).pieces
    for each in point.top_steps:
        # A four patch has four patches; a triangle, sashing and a border are each one piece of cloth.
        patches = sum(4 if pieces[number].name == "block" else 1 for number in each.told.step.pieces)
        assert len(_cloths(each.small)) == patches


def test_the_small_picture_has_the_shape_of_what_is_sewn(point):
    for each in point.top_steps:
        sewn = np.array([(float(x), float(y)) for x, y in each.told.step.outline])
        drawn = np.concatenate([np.array([node[-2:] for node in ring]) for ring in _cloths(each.small)])
        wide, high = np.ptp(sewn, axis=0)
        across, down = np.ptp(drawn, axis=0)
        np.testing.assert_allclose(across / down, wide / high, rtol=1e-6)
