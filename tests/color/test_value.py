"""Light, medium and dark are told against the other fabrics of the quilt."""

import numpy as np
from hypothesis import given
from hypothesis import strategies as st

from seamlore.color.value import USUAL_LIMITS, value_limits, values_of

RANK = {"dark": 0, "medium": 1, "light": 2}


def test_a_faded_quilt_has_its_darks_too():
    assert values_of([60, 62, 85, 88]) == ("dark", "dark", "light", "light")


def test_three_groups_are_light_medium_and_dark():
    assert values_of([15, 18, 50, 53, 55, 88, 90]) == ("dark", "dark", "medium", "medium", "medium", "light", "light")


def test_two_groups_have_no_medium():
    assert set(values_of([30, 31, 33, 70, 72, 75])) == {"dark", "light"}


def test_fabrics_of_one_lightness_are_not_parted():
    assert set(values_of([52, 53, 55, 56])) == {"medium"}


def test_a_single_fabric_is_named_by_the_usual_limits():
    assert values_of([90]) == ("light",)
    assert value_limits([90]) == USUAL_LIMITS


def test_a_weight_of_two_counts_as_two_fabrics():
    assert value_limits([20, 31, 44, 70], [1, 2, 1, 3]) == value_limits([20, 31, 31, 44, 70, 70, 70])


def test_thousands_of_patches_are_parted_as_their_groups_are():
    random = np.random.default_rng(2)
    levels = np.concatenate([random.normal(mean, 2, 2000) for mean in (20, 50, 85)])
    limits = value_limits(levels)
    assert 25 < limits.dark_below < 45
    assert 55 < limits.light_from < 80


@given(st.lists(st.floats(0, 100), max_size=40))
def test_a_lighter_fabric_is_never_named_darker(levels):
    named = [RANK[name] for name in values_of(sorted(levels))]
    assert named == sorted(named)


@given(st.lists(st.floats(0, 100), min_size=1, max_size=30))
def test_the_order_of_fabrics_does_not_matter(levels):
    assert values_of(levels[::-1]) == values_of(levels)[::-1]
