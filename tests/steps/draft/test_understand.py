"""What is told of a block and a quilt."""

from __future__ import annotations

from dataclasses import replace

import pytest

from seamlore.draft.catalogue import find
from seamlore.draft.cells import with_counts, with_lies
from seamlore.draft.quilt import Sashing
from seamlore.draft.repeated import repeated
from seamlore.draft.setting.setting import Offset, OnPoint, Strips
from seamlore.draft.setting.turns import turns
from seamlore.lengths import inches
from seamlore.steps.draft.record import block_record
from seamlore.steps.draft.understand import of_block, of_quilt, setting_words


def quilt(name="log cabin", rows=4, columns=4):
    return repeated("q", find(name), inches(9), inches(9), rows, columns)


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
    assert setting_words(with_counts(quilt(), 4, 4, setting)) == expected


@pytest.mark.parametrize("pattern", ["barn raising", "straight furrow", "streak of lightning", "sunshine and shadow"])
def test_a_pattern_of_turns_is_known_again_by_its_name(pattern):
    made = quilt()
    assert setting_words(with_lies(made, turns(pattern, made))) == f"set straight; turned in a {pattern}"


def test_turns_of_no_pattern_are_counted():
    made = quilt()
    some = dict(list(turns("barn raising", made).items())[:1])
    assert setting_words(with_lies(made, some)) == "set straight; 1 block turned"


def test_the_value_of_the_sashing_is_not_guessed():

    made = replace(quilt("shoo fly"), sashing=Sashing(inches(2), inches(2)))
    assert of_quilt(made).proportions.shares["not said"] > 0
    assert of_quilt(made, {"sashing": "medium"}).proportions.shares["not said"] == 0
