"""Quilting and ties, no farther apart than the batting allows."""

from math import ceil

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from seamlore.errors import PlanError
from seamlore.lengths import centimeters, inches
from seamlore.making.finish.holding import holding


@settings(max_examples=60, deadline=None)
@given(st.integers(20, 120), st.integers(20, 120), st.integers(2, 24))
def test_no_place_is_farther_from_a_tie_than_is_allowed(width, height, halves):
    gap = inches(halves) / 2
    found = holding(inches(width), inches(height), "ties", gap=gap)
    across, down = found.apart
    assert max(across, down) <= gap
    # Evenly laid, half a step from the edge: they cover the whole, and one less each way would not.
    assert (across * found.across, down * found.down) == (inches(width), inches(height))
    assert found.across == ceil(width * 2 / halves)
    assert found.count == found.across * found.down


def test_ties_without_a_label_are_four_inches_apart():
    # Magazine excerpt 2019-08 (V): 3 to 6 in apart; 4 to 5 where there is no label.
    found = holding(inches(60), inches(72), "ties")
    assert (found.gap, found.count, found.from_label) == (inches(4), 270, False)
    assert str(found).endswith("about 45 yd of thread")


def test_quilting_without_a_label_is_two_inches_apart():
    # bonnysews.com 2019/03 (V): unlabeled batting is held every 1 to 2 in.
    assert holding(inches(60), inches(72)).apart[0] == inches(2)


def test_metric_ties():
    found = holding(centimeters(150), centimeters(200), "ties", gap=centimeters(10))
    assert (found.across, found.down) == (15, 20)


@pytest.mark.parametrize("gap", [inches(0), inches(-3), inches(13), centimeters(31)])
def test_a_distance_that_no_batting_allows_is_refused(gap):
    with pytest.raises(PlanError, match="batting allows more than 0"):
        holding(inches(60), inches(72), gap=gap)


def test_layers_held_by_something_else_are_refused():
    with pytest.raises(PlanError, match="quilting or ties"):
        holding(inches(60), inches(72), "glue")
