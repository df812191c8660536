"""What is told of a block and a quilt."""

from __future__ import annotations

from dataclasses import replace
from itertools import product

import pytest

from seamlore.draft.catalogue import find
from seamlore.draft.quilt import Quilt
from seamlore.draft.settings import Offset, OnPoint, Strips
from seamlore.draft.settings_turns import turns
from seamlore.draft.units import units
from seamlore.lengths import inches
from seamlore.steps.layouts import layouts, layouts_of
from seamlore.steps.understand import block_record, of_block, of_quilt, setting_words


def quilt(name="log cabin", rows=4, columns=4):
    return Quilt("q", find(name), inches(9), inches(9), rows, columns)


def test_layouts_agree_with_laying_every_block_out():
    # Brute force over all 256 ways of laying four half-square triangles; a turn moves squares and turns each.
    def turned(block):
        a, b, c, d = block
        return tuple((state + 1) % 4 for state in (c, a, d, b))

    def mirrored(block):
        a, b, c, d = block
        return tuple(state ^ 1 for state in (b, a, d, c))

    def exchanged(block):
        return tuple((state + 2) % 4 for state in block)

    def classes(*motions):
        left, count = set(product(range(4), repeat=4)), 0
        while left:
            found, count = [left.pop()], count + 1
            while found:
                here = found.pop()
                new = {motion(here) for motion in motions} & left
                left -= new
                found += new
        return count

    told = layouts(2)
    assert told.turned == classes(turned)
    assert told.mirrored == classes(turned, mirrored)
    assert told.exchanged == classes(turned, mirrored, exchanged)


@pytest.mark.parametrize(("name", "expected"), [("pinwheel", (2, False)), ("shoo fly", (3, True))])
def test_a_grid_of_triangles_tells_its_size_and_whether_squares_are_plain(name, expected):
    block = find(name)
    found = layouts_of(block, units(block))
    assert found is not None
    assert (found.size, found.plain) == expected


@pytest.mark.parametrize("name", ["nine patch", "ohio star", "birds in the air", "sawtooth star", "jacob's ladder"])
def test_a_block_of_other_units_tells_no_layouts(name):
    block = find(name)
    assert layouts_of(block, units(block)) is None


def test_every_unit_of_the_record_names_patches_that_fill_its_box():
    record = block_record(of_block(find("jacob's ladder")))
    for unit in record["units"]:
        left, top, right, bottom = unit["box"]
        areas = [record["patches"][index]["area"] for index in unit["patches"]]
        assert sum(areas) == pytest.approx((right - left) * (bottom - top))


@pytest.mark.parametrize(
    ("setting", "expected"),
    [
        (OnPoint(), "set on point, with side and corner triangles"),
        (OnPoint("half blocks"), "set on point, the edge halving blocks"),
        (Offset(), "rows offset by half a block, cut blocks at their ends"),
        (Offset("plain"), "rows offset by half a block, plain pieces at their ends"),
        (Strips(inches(4), on_point=True), "set in strips of 4 in, blocks on point"),
    ],
)
def test_each_setting_is_said_in_words(setting, expected):
    assert setting_words(replace(quilt(), setting=setting)) == expected


@pytest.mark.parametrize("pattern", ["barn raising", "straight furrow", "streak of lightning", "sunshine and shadow"])
def test_a_pattern_of_turns_is_known_again_by_its_name(pattern):
    made = quilt()
    assert setting_words(replace(made, turned=turns(pattern, made))) == f"set straight; turned in a {pattern}"


def test_turns_of_no_pattern_are_counted():
    made = quilt()
    some = dict(list(turns("barn raising", made).items())[:1])
    assert setting_words(replace(made, turned=some)) == "set straight; 1 block turned"


def test_the_value_of_the_sashing_is_not_guessed():
    from seamlore.draft.quilt import Sashing

    made = replace(quilt("shoo fly"), sashing=Sashing(inches(2), inches(2)))
    assert of_quilt(made).proportions.shares["not said"] > 0
    assert of_quilt(made, {"sashing": "medium"}).proportions.shares["not said"] == 0
