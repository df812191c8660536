"""The one problem behind the sums: against general libraries and closed forms."""

import numpy as np
import pytest
from numpy.testing import assert_allclose
from scipy import integrate, special, stats

from seamlore.lengths import Unit
from seamlore.study.fit import MAKERS_CARE_IN, Model, erf, fits


def model(given, sigma, on_slips=None, scales=(), positive=()):
    on_slips = np.zeros((len(given), len(scales))) if on_slips is None else np.array(on_slips, dtype=float)
    names = tuple(f"slip {index}" for index in range(len(scales)))
    return Model(
        ("block",),
        names,
        np.array(scales, dtype=float),
        np.array(positive, dtype=bool),
        np.ones((len(given), 1)),
        on_slips,
        np.array(given, dtype=float),
        np.array(sigma, dtype=float),
    )


def fit(one, unit):
    return fits([one], unit)[0]


def test_the_error_function_agrees_with_scipy():
    x = np.linspace(-4, 4, 401)
    assert_allclose(erf(x), special.erf(x), atol=1.5e-7)


def test_evidence_of_a_slip_agrees_with_numerical_integration():
    # Evidence is the likelihood averaged over the prior of the half-normal slip and over the marks.
    given, sigma, scale = 7.0, 0.1, 2.0
    made = fit(model([8.0, given], [0.02, sigma], [[0.0], [-1.0]], [scale], [True]), Unit.INCH)

    def at(slip, off):
        return (
            stats.norm.pdf(8.0, 8 + off, 0.02)
            * stats.norm.pdf(given, 8 + off - slip, sigma)
            * 2
            * stats.norm.pdf(slip, 0, scale)
            * stats.norm.pdf(off, 0, MAKERS_CARE_IN)
        )

    value, _ = integrate.dblquad(at, -0.2, 0.2, 0, 2.5, epsrel=1e-4)
    # An 8 in block lies on whole inches, halves, quarters, eighths and sixteenths at once.
    weight = 0.35 + 0.25 / 2 + 0.2 / 4 + 0.1 / 8 + 0.1 / 16
    assert made.best["block"] == 8.0
    # Neighboring marks add the last thousandths.
    assert_allclose(np.exp(made.log_evidence), value * weight, rtol=0.02)


def test_the_posterior_agrees_with_weighted_least_squares_when_marks_are_dense():
    given, sigma = [8.1, 7.9, 8.05], [0.6, 0.4, 0.5]
    made = fit(model(given, sigma), Unit.INCH)
    weights = 1 / np.square(sigma)
    expected = np.average(given, weights=weights)
    # The marks pull by no more than the nearest whole inch is away.
    assert 8.0 - 0.01 <= made.mean[0] <= expected + 0.05
    assert made.spread[0, 0] <= 1 / weights.sum() + MAKERS_CARE_IN**2


def test_a_slip_that_cannot_be_negative_is_not():
    made = fit(model([8.0, 8.3], [0.05, 0.1], [[0.0], [-1.0]], [2.0], [True]), Unit.INCH)
    assert made.best["slip 0"] == 0.0


@pytest.mark.parametrize("said", [7.98, 8.0, 8.03])
def test_a_size_goes_to_the_friendly_mark(said):
    assert fit(model([said], [0.06]), Unit.INCH).best == {"block": 8.0}


def test_a_prediction_carries_the_uncertainty_of_what_it_rests_on():
    made = fit(model([8.0], [0.05]), Unit.INCH)
    best, mean, spread = made.predict({"block": 4.0}, 1.0)
    assert best == 33.0
    assert_allclose(mean, 33.0, atol=0.05)
    assert_allclose(spread, 4 * np.sqrt(made.spread[0, 0]))


def test_many_weighed_at_once_come_out_as_each_alone():
    # Of different shapes, and one of them with slips that the others do not have.
    those = [
        model([8.0], [0.05]),
        model([8.0, 8.3], [0.05, 0.1], [[0.0], [-1.0]], [2.0], [True]),
        model([5.0, 7.3], [0.05, 0.1]),
        model([4.0, 5.2], [0.05, 0.3], [[0.0, 0.0], [-1.0, 2.0]], [2.0, 1.0], [True, False]),
    ]
    for together, alone in zip(fits(those, Unit.INCH), [fit(each, Unit.INCH) for each in those], strict=True):
        assert (together.names, list(together.best)) == (alone.names, list(alone.best))
        for name in ("log_evidence", "mean", "spread", "misfit"):
            assert_allclose(getattr(together, name), getattr(alone, name), rtol=1e-9, atol=1e-12)


def test_the_posterior_is_that_of_weighing_each_mark_by_itself():
    # Written out: Gaussian likelihood and prior at each mark, conjugate update by Sherman, Morrison and Woodbury.
    given, sigma, on, scale = np.array([8.02, 7.6]), np.array([0.05, 0.1]), np.array([[0.0], [-1.0]]), 2.0
    made = fit(model(given, sigma, on, [scale], [False]), Unit.INCH)
    marks = np.arange(7 * 16, 9 * 16 + 1) / 16
    friendly = sum(
        share * step * ((marks % step) == 0)
        for step, share in ((1, 0.35), (0.5, 0.25), (0.25, 0.2), (0.125, 0.1), (0.0625, 0.1))
    )
    loose = np.concatenate([on, np.ones((2, 1))], axis=1)
    prior = np.diag([scale**-2, MAKERS_CARE_IN**-2])
    left = np.linalg.inv(prior + loose.T @ np.diag(sigma**-2) @ loose)
    rest = given - marks[:, None]
    slips = rest / sigma**2 @ loose @ left
    covariance = np.diag(sigma**2) + loose @ np.linalg.inv(prior) @ loose.T
    likely = stats.multivariate_normal(np.zeros(2), covariance).pdf(rest) * friendly
    share = likely / likely.sum()
    assert_allclose(made.log_evidence, np.log(likely.sum()), rtol=1e-6)
    assert_allclose(made.mean, share @ np.stack([marks + slips[:, 1], slips[:, 0]], axis=1), rtol=1e-6)
