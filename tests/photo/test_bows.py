"""Bows are natural cubic splines, as SciPy draws them."""

import numpy as np
from hypothesis import given
from hypothesis import strategies as st
from numpy.testing import assert_allclose
from scipy.interpolate import CubicSpline

from seamlore.photo.bows import bow_at, bow_slope_at, bow_through

bows = st.lists(st.floats(-0.1, 0.1), min_size=1, max_size=8).map(tuple)
ALONG = np.linspace(0, 1, 101)


def outside(bow):
    # Source: scipy.interpolate.CubicSpline with natural ends.
    heights = [0.0, *bow, 0.0]
    return CubicSpline(np.linspace(0, 1, len(heights)), heights, bc_type="natural")


@given(bows)
def test_bow_agrees_with_scipy(bow):
    assert_allclose(bow_at(bow, ALONG), outside(bow)(ALONG), atol=1e-9)


@given(bows)
def test_slope_of_a_bow_agrees_with_scipy(bow):
    assert_allclose(bow_slope_at(bow, ALONG), outside(bow)(ALONG, 1), atol=1e-7)


@given(bows)
def test_fitting_a_bow_to_itself_gives_it_back(bow):
    assert_allclose(bow_through(ALONG, bow_at(bow, ALONG), len(bow)), bow, atol=1e-4)


@given(bows)
def test_beyond_the_corners_there_is_no_bow(bow):
    assert_allclose(bow_at(bow, [-0.5, 1.5]), 0.0)
    assert_allclose(bow_slope_at(bow, [-0.5, 1.5]), 0.0)


def test_noise_is_averaged_out():
    true = (0.01, 0.03, 0.02)
    noisy = bow_at(true, ALONG) + np.random.default_rng(3).normal(0, 0.001, 101)
    assert_allclose(bow_through(ALONG, noisy, 3), true, atol=0.001)
