"""Exact inference against enumeration, closed forms and the known distribution of order statistics."""

from __future__ import annotations

import itertools
from math import comb

import numpy as np
import pytest
from numpy.testing import assert_allclose

from seamlore.chronology.evidence import Evidence
from seamlore.chronology.gaps import gap, joint
from seamlore.chronology.inference import infer, pose
from seamlore.chronology.order import Before
from seamlore.chronology.spans import Span
from seamlore.errors import DateError

NAMES = ["fabric", "blocks", "setting", "quilting"]


def random_problem(seed, *, kept=False):
    """Up to four parts, up to seven years, evidence and order drawn at random."""
    rng = np.random.default_rng(seed)
    parts = NAMES[: rng.integers(1, 5)]
    size = int(rng.integers(2, 8))
    evidence = []
    for _ in range(rng.integers(0, 6)):
        first, last = sorted(rng.integers(1900, 1900 + size, 2).tolist())
        part = parts[rng.integers(len(parts))]
        evidence.append(Evidence(part, "seen", Span(first, last), float(rng.choice([0.0, 0.3, 0.8, 0.95]))))
    order = []
    if kept:
        for index in range(1, len(parts)):
            least = int(rng.integers(0, 2))
            order.append(
                Before(parts[rng.integers(index)], parts[index], (least, least + int(rng.integers(0, size))))
            )
    else:
        for one, two in itertools.combinations(range(len(parts)), 2):
            if rng.random() < 0.5:
                order.append(Before(parts[one], parts[two]))
    return pose((1900, 1900 + size - 1), evidence, order, parts=parts)


def enumerated(problem):
    """Joint probability of all years by listing every assignment."""
    size, count = len(problem.years), len(problem.parts)
    table = np.zeros((size,) * count)
    for years in itertools.product(range(size), repeat=count):
        at = dict(zip(problem.parts, years, strict=True))
        allowed = all(
            (each.kept or (0, None))[0] <= at[each.later] - at[each.earlier]
            and (each.kept is None or each.kept[1] is None or at[each.later] - at[each.earlier] <= each.kept[1])
            for each in problem.order
        )
        if allowed:
            table[years] = np.prod([np.exp(problem.log_weights[part, year]) for part, year in enumerate(years)])
    return table / table.sum()


@pytest.mark.parametrize("seed", range(200))
def test_years_agree_with_enumeration_of_every_assignment(seed):
    problem = random_problem(seed)
    table = enumerated(problem)
    dates = infer(problem)
    for part in range(len(problem.parts)):
        others = tuple(axis for axis in range(len(problem.parts)) if axis != part)
        assert_allclose(dates.p[part], table.sum(axis=others), atol=1e-9)


@pytest.mark.parametrize("seed", range(60))
def test_joint_years_of_two_parts_agree_with_enumeration(seed):
    problem = random_problem(seed)
    if len(problem.parts) < 2:
        problem = random_problem(1000 + seed)
    table = enumerated(problem)
    dates = infer(problem)
    for one, two in itertools.permutations(range(len(problem.parts)), 2):
        others = tuple(axis for axis in range(len(problem.parts)) if axis not in (one, two))
        wanted = table.sum(axis=others)
        wanted = wanted if one < two else wanted.T
        assert_allclose(joint(dates, problem.parts[one], problem.parts[two]), wanted, atol=1e-9)


@pytest.mark.parametrize("seed", range(80))
def test_cloth_kept_for_years_agrees_with_enumeration(seed):
    problem = random_problem(seed, kept=True)
    try:
        dates = infer(problem)
    except DateError:
        pytest.skip("no assignment is allowed")
    table = enumerated(problem)
    for part in range(len(problem.parts)):
        others = tuple(axis for axis in range(len(problem.parts)) if axis != part)
        assert_allclose(dates.p[part], table.sum(axis=others), atol=1e-9)
    if len(problem.parts) > 1:
        others = tuple(range(2, len(problem.parts)))
        assert_allclose(joint(dates, *problem.parts[:2]), table.sum(axis=others), atol=1e-9)


@pytest.mark.parametrize(("count", "size"), [(2, 5), (4, 30), (6, 327)])
def test_a_chain_without_evidence_follows_the_order_statistics_of_uniform_draws_with_repetition(count, size):
    # Closed form: weakly increasing sequences are multisets, counted by binomial coefficients
    # (Feller, An Introduction to Probability Theory and Its Applications I, II.5; from memory).
    parts = [f"part {index}" for index in range(count)]
    order = [Before(one, two) for one, two in itertools.pairwise(parts)]
    dates = infer(pose((1, size), [], order, parts=parts))
    for k in range(1, count + 1):
        wanted = [
            comb(year + k - 2, k - 1) * comb(size - year + count - k, count - k) / comb(size + count - 1, count)
            for year in range(1, size + 1)
        ]
        assert_allclose(dates.p[k - 1], wanted, atol=1e-12)


def test_a_long_chain_nears_the_beta_distribution_of_order_statistics():
    # The k-th of n ordered uniform variables is Beta(k, n + 1 - k): David and Nagaraja, Order Statistics (from memory).
    from scipy.stats import beta

    size, count = 2000, 5
    parts = [f"part {index}" for index in range(count)]
    dates = infer(pose((1, size), [], [Before(one, two) for one, two in itertools.pairwise(parts)], parts=parts))
    at = (np.arange(size) + 1) / size
    for k in range(1, count + 1):
        assert_allclose(np.cumsum(dates.p[k - 1]), beta(k, count + 1 - k).cdf(at), atol=5 / size)


def test_evidence_of_trust_one_that_cannot_stand_together_is_refused():
    evidence = [
        Evidence("top", "a", Span(1900, 1905), 1.0),
        Evidence("top", "b", Span(1910, None), 1.0, where="line 9"),
    ]
    with pytest.raises(DateError, match=r"line 9.*one must be wrong"):
        pose((1900, 1950), evidence, [])


def test_evidence_of_trust_one_against_the_order_is_refused():
    evidence = [Evidence("top", "a", Span(1940, None), 1.0), Evidence("finish", "b", Span(None, 1910), 1.0)]
    problem = pose((1900, 1950), evidence, [Before("top", "finish")])
    with pytest.raises(DateError, match="cannot all be true in this order"):
        infer(problem)


def test_a_part_with_an_order_but_no_evidence_is_answered():
    dates = infer(pose((1900, 1902), [Evidence("top", "a", Span(1902, 1902), 1.0)], [Before("top", "finish")]))
    assert_allclose(dates.of("finish"), [0, 0, 1])


def test_kept_years_among_parts_tied_in_a_ring_agree_with_enumeration():
    order = [Before("a", "b", (0, 2)), Before("b", "c"), Before("a", "c", (1, 4))]
    problem = pose((1900, 1906), [Evidence("c", "seen", Span(1903, 1905), 0.7)], order, parts=["a", "b", "c"])
    table = enumerated(problem)
    dates = infer(problem)
    for part in range(3):
        assert_allclose(dates.p[part], table.sum(axis=tuple(axis for axis in range(3) if axis != part)), atol=1e-9)
    assert_allclose(joint(dates, "a", "c"), table.sum(axis=1), atol=1e-9)


def many_to_many(size):
    """Three parts each before three others: no part can be taken out with two ties at a time."""
    evidence = [Evidence(f"early {index}", "seen", Span(1901, 1902), 0.8) for index in range(2)]
    order = [Before(f"early {one}", f"late {two}") for one in range(3) for two in range(3)]
    return pose((1900, 1900 + size - 1), evidence, order)


def test_an_order_too_tangled_for_messages_is_swept_exactly():
    problem = many_to_many(4)
    dates = infer(problem)
    assert dates.solved is None
    table = enumerated(problem)
    for part in range(6):
        assert_allclose(dates.p[part], table.sum(axis=tuple(axis for axis in range(6) if axis != part)), atol=1e-9)
    one, two = problem.parts.index("early 0"), problem.parts.index("late 2")
    both = table.sum(axis=tuple(axis for axis in range(6) if axis not in (one, two)))
    assert_allclose(joint(dates, "early 0", "late 2"), both if one < two else both.T, atol=1e-9)


def test_a_tangle_with_years_kept_is_refused_in_a_sentence():
    problem = many_to_many(4)
    tangled = pose((1900, 1903), [], [*problem.order, Before("early 0", "lid", (0, 1))])
    with pytest.raises(DateError, match="tied in rings"):
        infer(tangled)


def test_evidence_that_would_run_out_of_floats_is_added_up_in_logarithms():
    # 300 pieces each way multiply to less than any float: e to the power of -1,700.
    early = [Evidence("top", "a", Span(1800, 1800), 0.99) for _ in range(300)]
    late = [Evidence("finish", "b", Span(1750, 1750), 0.99) for _ in range(300)]
    dates = infer(pose((1700, 1900), early + late, [Before("top", "finish")]))
    assert_allclose(dates.p.sum(axis=1), 1)
    # Both cannot be right in this order: 1800 leaves the finish 101 years, 1750 leaves the top 51, all as likely.
    assert_allclose(dates.of("top")[100], 101 / 152, atol=1e-9)
    assert_allclose(dates.of("finish")[50], 51 / 152, atol=1e-9)


def forty_parts():
    parts = [f"part {index}" for index in range(40)]
    evidence = [Evidence(parts[index % 40], "x", Span(1780 + index % 100, 1900), 0.8) for index in range(300)]
    return pose((1700, 2026), evidence, [Before(parts[(index - 1) // 2], parts[index]) for index in range(1, 40)])


def test_forty_tied_parts_with_three_hundred_pieces_of_evidence_add_up():
    dates = infer(forty_parts())
    assert_allclose(dates.p.sum(axis=1), 1)
    assert_allclose(gap(dates, "part 3", "part 39").p.sum(), 1)


def test_more_than_can_be_worked_out_is_refused_with_the_limit():
    with pytest.raises(DateError, match="at most 500"):
        pose((1900, 1901), [], [], parts=[f"part {index}" for index in range(501)])
    with pytest.raises(DateError, match="at most 2000"):
        pose((1900, 1901), [Evidence("top", "x", Span(1900, 1900), 0.5)] * 2001, [])
    names = [f"part {index}" for index in range(70)]
    with pytest.raises(DateError, match=r"70 parts tied together.*at most 60"):
        pose((1700, 2026), [], [Before(one, two) for one, two in itertools.pairwise(names)])
