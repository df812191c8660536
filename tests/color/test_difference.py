"""Color differences against the published pairs."""

from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.testing import assert_allclose
from skimage import color

from seamlore.color.difference import delta_e_2000

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
