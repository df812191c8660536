"""Color differences against the published pairs and the standard's table."""

from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.testing import assert_allclose
from skimage import color

from seamlore.color.difference import GRAY_SCALE_A02, delta_e_76, delta_e_2000, grade_name, gray_scale_grade

# Source: Sharma, Wu, Dalal 2005, table 1; the citation is in the file.
PAIRS = np.loadtxt(Path(__file__).parents[1] / "data" / "ciede2000_pairs.csv", delimiter=",")
lab = st.tuples(st.floats(0, 100), st.floats(-100, 100), st.floats(-100, 100))


@pytest.mark.parametrize("pair", PAIRS, ids=lambda pair: f"pair {int(pair[0])}")
def test_published_pair_comes_out_to_its_last_place(pair):
    assert_allclose(delta_e_2000(pair[1:4], pair[4:7]), pair[7], atol=5.1e-5)


@pytest.mark.parametrize("pair", PAIRS, ids=lambda pair: f"pair {int(pair[0])}")
def test_published_pair_comes_out_the_other_way_round(pair):
    assert_allclose(delta_e_2000(pair[4:7], pair[1:4]), pair[7], atol=5.1e-5)


def test_a_thousand_random_pairs_agree_with_scikit_image():
    # Source: skimage.color.deltaE_ciede2000.
    random = np.random.default_rng(1)
    one, two = (random.uniform([0, -90, -90], [100, 90, 90], (1000, 3)) for _ in range(2))
    assert_allclose(delta_e_2000(one, two), color.deltaE_ciede2000(one, two), atol=1e-6)


@given(lab)
def test_a_color_does_not_differ_from_itself(one):
    assert_allclose(delta_e_2000(one, one), 0.0, atol=1e-9)


def test_many_against_one_is_matched_as_numpy_matches():
    many = np.zeros((4, 5, 3))
    assert delta_e_2000(many, [50.0, 0, 0]).shape == (4, 5)


def test_plain_difference_agrees_with_scikit_image():
    # Source: skimage.color.deltaE_cie76.
    one, two = [52.0, 10.0, -7.0], [40.0, -3.0, 22.0]
    assert_allclose(delta_e_76(one, two), color.deltaE_cie76(one, two), rtol=1e-12)


@pytest.mark.parametrize(("grade", "difference", "tolerance"), GRAY_SCALE_A02)
def test_a_step_of_the_gray_scale_gets_its_grade_within_the_tolerance(grade, difference, tolerance):
    # Source: ISO 105-A02 (EN 20105-A02:1994), clause 2.4, as transcribed in the module.
    inside = [max(difference - tolerance, 0), difference, difference + tolerance]
    assert_allclose(gray_scale_grade(inside), grade)


@pytest.mark.parametrize(
    ("difference", "grade"), [(0.39, 5), (1.26, 4), (2.09, 4), (2.96, 3), (4.11, 2.5), (8.21, 1.5), (11.61, 1)]
)
def test_limits_between_grades_are_those_of_the_instrumental_method(difference, grade):
    # Source, from memory: ISO 105-A05, whose limits are the midpoints of the steps of A02.
    assert_allclose(gray_scale_grade(difference), grade)


def test_half_grades_are_written_as_the_standard_does():
    assert [grade_name(grade) for grade in (5, 4.5, 1.5, 1)] == ["5", "4-5", "1-2", "1"]
