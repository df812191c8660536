"""Weights of years reckoned a second time in plain loops, and edges of spans, fashions and orders.

The shares and years that stand in these loops are our own choice from common practice, no source; docs/dating.md lists
them. What is checked is that the sums are made as they are said to be.
"""

from __future__ import annotations

from math import exp

import numpy as np
import pytest
from numpy.testing import assert_allclose

from seamlore.chronology import likelihoods
from seamlore.chronology.clashes import contradictions
from seamlore.chronology.evidence import Evidence, Fashion, describe, level, likelihood, shape
from seamlore.chronology.evidence_file import Dossier
from seamlore.chronology.gaps import gap
from seamlore.chronology.inference import infer, pose
from seamlore.chronology.likelihoods import (
    against,
    carried,
    density,
    fashion_curve,
    few_patches,
    kin,
    together,
    waits,
)
from seamlore.chronology.order import Before, check_order, closed_sets, components, needed
from seamlore.chronology.shares import LONG_GAP, Shares, read_shares
from seamlore.chronology.spans import Span, read_span
from seamlore.errors import DateError

YEARS = np.arange(1800, 2001)
LEVEL = np.full(len(YEARS), 1 / len(YEARS))


def test_a_fashion_is_common_in_its_usual_years_and_fades_at_both_ends():
    curve = dict(zip(YEARS.tolist(), fashion_curve(Fashion(1850, 1860, 1900, 1930), YEARS).tolist(), strict=True))
    tail = min(max(likelihoods._TAIL_SHARE * 40, likelihoods._TAIL_LEAST), likelihoods._TAIL_MOST)
    for year in YEARS.tolist():
        if not 1850 <= year <= 1930:
            wanted = 0.0
        elif year < 1860:
            wanted = max(exp((year - 1860) / tail), likelihoods._RARE)
        elif year > 1900:
            wanted = max(exp((1900 - year) / tail), likelihoods._RARE)
        else:
            wanted = 1.0
        assert curve[year] == pytest.approx(wanted), year


def test_a_fashion_without_an_end_fades_slowly_and_one_without_limits_never_stops():
    open_ended = fashion_curve(Fashion(1850, 1860, None, None), YEARS)
    assert open_ended[YEARS == 1849] == 0
    assert open_ended[YEARS == 1860] == 1
    for since in (1, 30, 140):
        wanted = likelihoods._FADED + (1 - likelihoods._FADED) * exp(-since / likelihoods._FADING_YEARS)
        assert open_ended[1860 + since == YEARS] == pytest.approx(wanted)
    # Without a first or last year nothing is impossible, and nothing is held up by rareness.
    soft = fashion_curve(Fashion(None, 1900, 1910, None), YEARS)
    assert 0 < soft[0] < likelihoods._RARE
    assert 0 < soft[-1] < likelihoods._RARE
    hard = fashion_curve(Fashion(1800, None, None, 1850), YEARS)
    assert (hard[:51] == 1).all()
    assert (hard[51:] == 0).all()


@pytest.mark.parametrize(("length", "tail"), [(0, "_TAIL_LEAST"), (10_000, "_TAIL_MOST")])
def test_a_fashion_fades_over_a_part_of_its_length_within_limits(length, tail):
    assert likelihoods._tail(length) == getattr(likelihoods, tail)


def waits_again(size, scrap_bag=0.18, old_cloth=0.025):
    """How long cloth waits, added up year by year."""
    kinds = (
        (1 - scrap_bag - old_cloth, [exp(-lag / 2.2) for lag in range(size)]),
        (scrap_bag, [1 / (1 + exp((lag - 30) / 8)) for lag in range(size)]),
        (old_cloth, [exp(-lag / 60) for lag in range(size)]),
    )
    return [sum(share * kind[lag] / sum(kind) for share, kind in kinds) for lag in range(size)]


def test_cloth_waits_as_long_as_is_said():
    assert_allclose(waits(200, Shares()), waits_again(200))
    assert waits(200, Shares()).sum() == pytest.approx(1)
    # Shares that come to more than all are scaled down to all.
    assert_allclose(waits(50, Shares(scrap_bag=0.9, old_cloth=0.6)), waits_again(50, 0.6, 0.4))
    assert_allclose(waits(50, Shares(scrap_bag=0.5, old_cloth=0.5)), waits_again(50, 0.5, 0.5))


def test_cloth_is_used_in_the_year_it_was_made_or_after():
    made = np.zeros(len(YEARS))
    made[40] = 1
    used = carried(made, Shares())
    assert (used[:40] == 0).all()
    assert_allclose(used[40:], waits_again(len(YEARS))[: len(YEARS) - 40])


def scaled(weights, start=LEVEL):
    mean = sum(w * s for w, s in zip(weights, start, strict=True))
    return [w / mean for w in weights]


def blurred_again(values, scale):
    """Blur with two exponentials back to back, their sum 1."""
    reach = min(int(4 * scale), len(values) - 1)
    weights = {step: exp(-abs(step) / scale) for step in range(-reach, reach + 1)}
    total = sum(weights.values())
    size = len(values)
    return [
        sum(weights[step] / total * values[at - step] for step in weights if 0 <= at - step < size)
        for at in range(size)
    ]


def test_a_clue_of_the_making_is_right_wrong_by_some_years_or_not_what_was_seen():
    when = Fashion(1850, 1860, 1900, 1930)
    seen = Evidence("top", "x", when, 0.72, dates="making", fact=0.9, eye=0.8)
    right = fashion_curve(when, YEARS).tolist()
    wrong = scaled(blurred_again(right, 15.0))
    wanted = [0.8 * (0.9 * r + 0.1 * w) + 0.2 for r, w in zip(scaled(right), wrong, strict=True)]
    assert_allclose(density(seen, YEARS, Shares()), wanted, rtol=1e-9)
    # Weighed against what is likely beforehand, its mean over that is 1.
    start = np.linspace(1, 3, len(YEARS))
    start /= start.sum()
    assert density(seen, YEARS, Shares(), start=start) @ start == pytest.approx(1)
    assert density(seen, YEARS, Shares()).mean() == pytest.approx(1)


def test_a_clue_of_the_cloth_waits_unless_the_cloth_itself_is_dated():
    seen = Evidence("top", "x", Span(1850, 1859), 0.9, dates="cloth", fact=1.0, eye=1.0)
    right = [float(1850 <= year <= 1859) for year in YEARS]
    assert_allclose(density(seen, YEARS, Shares(), on_cloth=True), scaled(right))
    wait = waits_again(len(YEARS))
    used = [sum(right[at - lag] * wait[lag] for lag in range(at + 1)) for at in range(len(YEARS))]
    assert_allclose(density(seen, YEARS, Shares()), scaled(used), rtol=1e-9)


def test_what_is_seen_in_many_patches_is_less_doubtful_and_in_few_it_may_be_a_repair():
    def seen(**more):
        return Evidence("top", "x", Span(1850, 1859), 0.6, dates="cloth", fact=1.0, eye=0.6, **more)

    sure = density(Evidence("top", "x", Span(1850, 1859), 1.0, dates="cloth", fact=1.0, eye=1.0), YEARS, Shares())
    assert_allclose(density(seen(), YEARS, Shares()), 0.6 * sure + 0.4)
    assert_allclose(density(seen(patches=60, of=240), YEARS, Shares()), 0.9 * sure + 0.1)
    few = density(
        Evidence("top", "x", Span(1850, 1859), 1.0, dates="cloth", fact=1.0, eye=1.0, patches=1, of=240),
        YEARS,
        Shares(),
    )
    ahead = scaled([sum(sure[at:]) for at in range(len(sure))])
    mixed = [0.3 * one + 0.7 * two for one, two in zip(sure, ahead, strict=True)]
    assert_allclose(few, mixed, rtol=1e-9)


@pytest.mark.parametrize(
    ("patches", "of", "dates", "few"),
    [
        (1, None, "cloth", True), (2, None, "cloth", True), (3, None, "cloth", False), (2, 40, "cloth", True),
        (2, 39, "cloth", False), (1, 25, "cloth", True), (1, 24, "cloth", False), (1, 240, "making", False),
        (None, 240, "cloth", False), (3, 1000, "cloth", False),
    ],
)  # fmt: skip
def test_a_patch_or_two_among_many_are_few(patches, of, dates, few):
    assert few_patches(Evidence("top", "x", Span(1963, None), 0.9, dates=dates, patches=patches, of=of)) is few


def test_an_old_look_is_printed_again_since_1976():
    def at(usual_to):
        when = Fashion(1850, 1860, usual_to, None)
        each = Evidence("top", "x", when, 1.0, dates="cloth", fact=1.0, eye=1.0)
        return density(each, YEARS, Shares(reproduction=0.5), on_cloth=True)

    curve = scaled(fashion_curve(Fashion(1850, 1860, 1949, None), YEARS).tolist())
    again = scaled([float(year >= 1976) for year in YEARS])
    assert_allclose(at(1949), [0.5 * one + 0.5 * two for one, two in zip(curve, again, strict=True)])
    assert_allclose(at(1950), scaled(fashion_curve(Fashion(1850, 1860, 1950, None), YEARS).tolist()))


def test_a_claim_that_is_wrong_misses_more_often_toward_a_later_truth():
    told = Evidence("top", "x", Span(1876, 1876), 0.5, dates="told")
    right = [float(year == 1876) for year in YEARS]
    near = []
    for year in YEARS:
        off = int(year) - 1876
        near.append(0.65 / 25 * exp(-off / 25) if off > 0 else 0.35 / 15 * exp(off / 15) if off < 0 else 0.0)
    wanted = [0.5 * r + 0.5 * (0.7 * n + 0.3) for r, n in zip(scaled(right), scaled(near), strict=True)]
    assert_allclose(density(told, YEARS, Shares()), wanted, rtol=1e-9)


def test_a_year_worked_in_is_that_of_the_finish_or_remembers_one_long_before():
    worked = Evidence("top", "x", Span(1850, 1850), 0.9, dates="inscription")
    at = [float(year == 1850) for year in YEARS]
    later = [0.0 if year < 1850 else 1 / (1 + exp((int(year) - 1850 - 50) / 6)) for year in YEARS]
    parts = ((0.86, scaled(at)), (0.06, scaled(blurred_again(at, 2.0))), (0.08, scaled(later)))
    wanted = [0.9 * sum(share * each[i] for share, each in parts) + 0.1 for i in range(len(YEARS))]
    assert_allclose(density(worked, YEARS, Shares()), wanted, rtol=1e-9)


def test_what_says_nothing_weighs_nothing():
    for when in (Fashion(None, None, None, None), Span(2050, 2060)):
        assert_allclose(density(Evidence("top", "x", when, 0.9, dates="making"), YEARS, Shares()), 1)
    assert_allclose(density(Evidence("top", "x", Span(2050, 2060), 0.9, dates="told"), YEARS, Shares()), 1)
    assert against(np.array([0.0, 0.0]), np.array([0.5, 0.5])).tolist() == [1.0, 1.0]


def test_kin_say_no_more_than_the_one_that_says_most():
    one = Evidence("top", "her story", Span(1876, 1876), 0.5, dates="told")
    two = Evidence("top", "his story", Span(1876, 1876), 0.4, dates="told")
    logs = [np.log(density(each, YEARS, Shares())) for each in (one, two)]
    logs = [each - each.max() for each in logs]
    assert len(kin([one, two])) == 1
    assert_allclose(together([one, two], YEARS, Shares()), np.minimum(*logs))
    other = Evidence("top", "a print", Span(1870, 1890), 0.8, dates="making", clue="x", fact=0.9, eye=0.9)
    assert len(kin([one, other])) == 2
    more = np.log(density(other, YEARS, Shares()))
    assert_allclose(together([one, other], YEARS, Shares()), logs[0] + more - more.max())


def test_about_and_lists_and_open_ends_are_level_over_their_years():
    few = np.arange(1895, 1906)
    named = {
        "1900": [1900], "1900~": list(range(1898, 1903)), "[1897,1899,1903]": [1897, 1899, 1903], "1903/..": [1903, 1904, 1905],
        "../1896": [1895, 1896], "[1897,1899~]": list(range(1895, 1902)),
    }  # fmt: skip
    for text, years in named.items():
        assert few[level(read_span(text), few, 2) > 0].tolist() == years, text
    made = Evidence("top", "x", read_span("[1897,1899]"), 0.8)
    assert_allclose(shape(made, few)[[2, 4]], 0.5)
    assert_allclose(likelihood(made, few), [0.2 / 11 + 0.4 * (year in (1897, 1899)) for year in few])
    with pytest.raises(DateError, match="the horizon runs from 1895 to 1905"):
        shape(Evidence("top", "x", Span(1906, None), 0.8), few)


def test_a_trapezium_rises_and_falls_by_even_steps():
    few = np.arange(1898, 1912)
    weights = shape(Evidence("top", "x", Fashion(1900, 1903, 1905, 1909), 1.0), few) * 7.5 - 0
    steps = [0, 0, 1 / 4, 2 / 4, 3 / 4, 1, 1, 1, 4 / 5, 3 / 5, 2 / 5, 1 / 5, 0, 0]
    assert_allclose(weights / weights.max(), steps)


@pytest.mark.parametrize(
    ("when", "said"),
    [
        (Fashion(1868, None, None, None), "1868 or later"),
        (Fashion(None, None, None, 1900), "1900 or earlier"),
        (Fashion(1868, 1875, None, None), "1868 or later, usually 1875 or later"),
        (Span(1884, 1886, years=(1884, 1886)), "1884 or 1886"),
    ],
)
def test_years_are_said_in_words(when, said):
    assert describe(when) == said


@pytest.mark.parametrize("trust", [-0.01, 1.01])
def test_trust_is_from_nothing_to_all(trust):
    with pytest.raises(DateError, match="from 0 to 1"):
        Evidence("top", "x", Span(1900, 1900), trust)
    assert Evidence("top", "x", Span(1900, 1900), 0).trust == 0
    assert Evidence("top", "x", Span(1900, 1900), 1).trust == 1


@pytest.mark.parametrize(
    ("text", "wanted"),
    [
        ("19XX", Span(1900, 1999)),
        ("1885?", Span(1885, 1885, unsure=True)),
        ("1885%", Span(1885, 1885, about=True, unsure=True)),
        ("1840~/1860?", Span(1840, 1860, about=True, unsure=True)),
        ("1840/1840", Span(1840, 1840)),
        ("1885-12-31", Span(1885, 1885)),
        ("1885-41", Span(1885, 1885)),
        ("[1884,1886]", Span(1884, 1886, years=(1884, 1886))),
        ("{1884,1885,1886}", Span(1884, 1886)),
        ("[1884..1886,1888]", Span(1884, 1888, years=(1884, 1885, 1886, 1888))),
        ("[..1884,1888]", Span(None, 1888)),
        ("[1884,1888..]", Span(1884, None)),
        ("[1884~,1888?]", Span(1884, 1888, about=True, unsure=True, years=(1884, 1888))),
        ("1000", Span(1000, 1000)),
    ],
)
def test_each_form_names_its_years(text, wanted):
    assert read_span(text) == wanted


@pytest.mark.parametrize(
    "text",
    ["1885-13", "1885-42", "1885-00", "1885-01-32", "0999", "[1884)", "{1884]", "../..", "[1886..1884]", "1" * 400],
)
def test_what_names_no_years_is_refused(text):
    with pytest.raises(DateError):
        read_span(text)


def test_shares_are_read_one_by_one_within_their_limits():
    made = read_shares(
        {"quilting": 0, "scrap_bag": 1, "old cloth": 0.5, "against": 0.25, "reproduction": 0.75, "pull": True}
    )
    assert made == Shares(True, {**LONG_GAP, "quilting": 0.0}, 0.25, 1.0, 0.5, 0.75)
    assert read_shares({}) == Shares()
    for wrong in (
        {"quilting": -0.1},
        {"quilting": 1.1},
        {"quilting": True},
        {"quilting": "x"},
        {"pull": 1},
        {"sashes": 0.1},
        [],
    ):
        with pytest.raises(DateError):
            read_shares(wrong)


def test_an_order_gives_its_parts_from_first_to_last_and_drops_what_follows():
    assert check_order(["c", "a", "b"], [Before("a", "b"), Before("b", "c")]) == (1, 2, 0)
    chain = [Before("a", "b"), Before("b", "c"), Before("c", "d")]
    assert needed([*chain, Before("a", "d"), Before("a", "c"), Before("b", "d")]) == tuple(chain)
    kept = Before("a", "c", (1, 5))
    assert kept in needed([*chain, kept])
    assert needed([Before("a", "b", (0, 3)), Before("a", "b")]) == (Before("a", "b", (0, 3)),)
    with pytest.raises(DateError, match="circle"):
        check_order(["a", "b"], [Before("a", "b"), Before("b", "a")])


def test_parts_that_are_tied_are_grouped_and_finished_in_order():
    assert components(5, [(0, 2), (2, 4), (1, 3)]) == [[0, 2, 4], [1, 3]]
    assert closed_sets(3, [(0, 1), (1, 2)]) == [0, 1, 3, 7]
    assert closed_sets(3, [(0, 2), (1, 2)]) == [0, 1, 2, 3, 7]
    assert closed_sets(2, []) == [0, 1, 2, 3]


def test_years_between_parts_are_those_of_every_pair_of_years():
    # Two parts in three years, the one not after the other, all six pairs as likely.
    dates = infer(pose((1900, 1902), [], [Before("top", "finish")]))
    found = gap(dates, "top", "finish")
    assert found.years.tolist() == [-2, -1, 0, 1, 2]
    assert_allclose(found.p, [0, 0, 1 / 2, 1 / 3, 1 / 6])
    assert found.at_least(1) == pytest.approx(1 / 2)
    back = gap(dates, "finish", "top")
    assert_allclose(back.p, found.p[::-1])
    loose = infer(pose((1900, 1902), [], [], parts=["a", "b"]))
    assert_allclose(gap(loose, "a", "b").p, [1 / 9, 2 / 9, 3 / 9, 2 / 9, 1 / 9])
    for one, two in (("top", "top"), ("top", "tip")):
        with pytest.raises(DateError):
            gap(dates, one, two)


def dossier(evidence, order=(), parts=("top", "border")):
    return Dossier((1700, 2026), tuple(evidence), tuple(order), parts)


def test_what_no_year_fits_is_a_contradiction_and_what_one_year_fits_is_none():
    def at(part, text):
        return Evidence(part, f"{text} {part}", read_span(text), 0.9)

    assert len(contradictions(dossier([at("top", "1880"), at("top", "1881/..")]))) == 1
    assert contradictions(dossier([at("top", "1880"), at("top", "1880/..")])) == ()
    assert contradictions(dossier([at("top", "1880"), at("border", "1881")])) == ()
    order = [Before("top", "border")]
    assert contradictions(dossier([at("top", "1880"), at("border", "1880")], order)) == ()
    (found,) = contradictions(dossier([at("top", "1881/.."), at("border", "../1880")], order))
    assert found.sentence.endswith("cannot both be right: the top came before the border.")
    later = [Before("top", "border", (5, None))]
    assert len(contradictions(dossier([at("top", "1880"), at("border", "1884")], later))) == 1
    assert contradictions(dossier([at("top", "1880"), at("border", "1885")], later)) == ()
    # Years in a list with holes fit none of another list's although their ends overlap.
    assert len(contradictions(dossier([at("top", "[1880,1890]"), at("top", "1885")]))) == 1
    assert contradictions(dossier([at("top", "[1880,1890]"), at("top", "1890")])) == ()
