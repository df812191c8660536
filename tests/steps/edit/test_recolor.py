"""Other colors and values for the same quilt."""

from __future__ import annotations

import pytest

from seamlore.draft.border import border
from seamlore.draft.catalogue import find
from seamlore.draft.quilt import Sashing
from seamlore.draft.repeated import repeated
from seamlore.errors import UnknownNameError
from seamlore.lengths import inches
from seamlore.steps.edit.recolor import colors, grays, revalued, values
from seamlore.steps.words import color


@pytest.fixture
def quilt():
    return repeated(
        "q", find("shoo fly"), inches(9), inches(9), 2, 3, Sashing(inches(2), inches(2)), (border(inches(4)),)
    )


def test_colors_go_to_places_and_to_parts_of_the_setting(quilt):
    assert colors(quilt, ["A=#FFFFFF", "sashing=madder", "border 1 = indigo"]) == {
        "A": "#ffffff",
        "sashing": color("madder"),
        "border 1": color("indigo"),
    }


@pytest.mark.parametrize("text", ["A=#fff", "A=puce", "cornerstones=red"])
def test_a_color_or_place_that_is_not_known_is_refused(quilt, text):
    with pytest.raises(UnknownNameError, match="--color"):
        colors(quilt, [text])


def test_a_value_that_is_not_known_is_refused(quilt):
    with pytest.raises(UnknownNameError, match='did you mean "medium"'):
        values(quilt, ["sashing=medum"])


def test_exchanging_twice_changes_nothing(quilt):
    assert revalued(revalued(quilt, {}, negative=True), {}, negative=True) == quilt
    block = find("log cabin")
    assert revalued(revalued(block, {}, negative=True), {}, negative=True) == block


def test_gray_tones_follow_the_values_and_leave_what_is_not_said_white(quilt):
    tones = grays(quilt)
    assert len(set(tones)) == 3
    assert "#ffffff" in tones
    assert "#ffffff" not in grays(quilt, {"sashing": "medium", "border 1": "dark"})
