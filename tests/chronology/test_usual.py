"""Parts that belong together: exact sums against enumeration, and what history allows and what it does not."""

from __future__ import annotations

import itertools

import numpy as np
import pytest
from numpy.testing import assert_allclose

from seamlore.chronology.evidence import Evidence, Fashion
from seamlore.chronology.evidence_file import read_dossier
from seamlore.chronology.inference import infer
from seamlore.chronology.likelihoods import density, waits
from seamlore.chronology.order import Before
from seamlore.chronology.reasons import answers, weigh
from seamlore.chronology.shares import Shares
from seamlore.chronology.spans import Span
from seamlore.chronology.usual import pose_usual
from seamlore.steps.date import date

YEARS = np.arange(1700, 2027)


def clue(part, key, **words):
    lines = [
        f'{word} = "{value}"' if isinstance(value, str) else f"{word} = {value}" for word, value in words.items()
    ]
    return "\n".join(["[[evidence]]", f'part = "{part}"', f'clue = "{key}"', *lines, ""])


def told(part, says, when, trust, **words):
    lines = [f'{word} = "{value}"' for word, value in words.items()]
    return "\n".join(
        ["[[evidence]]", f'part = "{part}"', f'says = "{says}"', f'when = "{when}"', f"trust = {trust}", *lines, ""]
    )


def dated(*entries, head=""):
    """The answers, by part, of a file with the usual order."""
    return {
        each.part: each for each in date(f"usual_order = true\n{head}\n" + "".join(entries), this_year=2026).answers
    }


def enumerated(problem):
    """Joint probability of all years, by listing every assignment of the named and the hidden parts."""
    size, count = len(problem.years), len(problem.log_weights)
    table = np.zeros((size,) * count)
    for at in itertools.product(range(size), repeat=count):
        log = sum(problem.log_weights[row, year] for row, year in enumerate(at))
        log += sum(tie.log[at[tie.one], at[tie.two]] for tie in problem.ties)
        table[at] = np.exp(log)
    return table / table.sum()


@pytest.mark.parametrize("seed", range(40))
def test_bound_parts_agree_with_enumeration_of_every_assignment(seed):
    rng = np.random.default_rng(seed)
    names = ["blocks", "backing", "quilting", "binding", "fabric"]
    parts = sorted(rng.choice(names, size=rng.integers(1, 5), replace=False).tolist())
    evidence = []
    for _ in range(int(rng.integers(0, 4))):
        first, last = sorted(rng.integers(1900, 1905, 2).tolist())
        dates = str(rng.choice(["told", "cloth", "making"]))
        part = parts[rng.integers(len(parts))]
        evidence.append(Evidence(part, "x", Span(first, last), 0.8, dates=dates, eye=0.9, fact=0.9, clue=str(first)))
    order = [Before(parts[0], parts[1], (0, 2))] if len(parts) > 1 and rng.random() < 0.4 else []
    problem, _ = pose_usual((1900, 1904), evidence, order, parts=parts)
    table = enumerated(problem)
    dates_found = infer(problem)
    for row in range(len(parts)):
        wanted = table.sum(axis=tuple(axis for axis in range(table.ndim) if axis != row))
        assert_allclose(dates_found.p[row], wanted, atol=1e-9)


@pytest.mark.parametrize("usual", [True, False])
def test_what_an_answer_would_be_without_a_piece_is_what_it_is_without_it(usual):
    entries = [
        clue("blocks", "turkey red"),
        clue("blocks", "double pink"),
        clue("quilting", "machine quilting", sure=0.7),
    ]
    head = "usual_order = true\n" if usual else ""
    head += 'parts = ["blocks", "quilting"]\n[[order]]\nearlier = "blocks"\nlater = "quilting"\n'
    dossier = read_dossier(head + "".join(entries), this_year=2026)
    found = answers(dossier, weigh(dossier).dates)
    for index, left in enumerate(dossier.evidence):
        rest = read_dossier(head + "".join(entries[:index] + entries[index + 1 :]), this_year=2026)
        again = {each.part: each for each in answers(rest, weigh(rest).dates)}
        for answer in found:
            for move in answer.moved_by:
                if move.evidence.says == left.says:
                    assert (move.median_without, move.most_without) == (
                        again[answer.part].median,
                        again[answer.part].most,
                    )


def test_a_part_of_which_nothing_is_known_moves_no_other():
    alone = dated(clue("blocks", "crazy quilt"))["blocks"]
    beside = dated(
        clue("blocks", "crazy quilt"), head='parts = ["blocks", "setting", "backing", "quilting", "binding"]'
    )
    assert (beside["blocks"].median, beside["blocks"].most) == (alone.median, alone.most)
    # And it does not drift off to the start of the horizon, or to its end.
    assert all(each.most[0] > 1870 and each.most[1] < 1960 for each in beside.values())


def test_cloth_is_used_when_it_is_made_or_later_and_never_before():
    piece = Evidence("blocks", "x", Fashion(1900, 1900, 1910, 1910), 1.0, clue="x", dates="cloth")
    weight = density(piece, YEARS, Shares())
    assert weight[YEARS < 1900].max() == 0
    assert weight[YEARS == 1935] > 0
    assert weight[YEARS == 1905] > 5 * weight[YEARS == 1935]
    assert density(Evidence("fabric", "x", piece.when, 1.0, clue="x", dates="cloth"), YEARS, Shares(), on_cloth=True)[
        YEARS == 1935
    ] == pytest.approx(0)


def test_seven_fabrics_in_ten_are_used_within_five_years_and_few_after_forty():
    chance = waits(300, Shares())
    assert 0.7 < chance[:6].sum() < 0.85
    assert chance[41:].sum() < 0.05


def test_evidence_that_repeats_counts_once():
    once = dated(clue("blocks", "turkey red"))["blocks"]
    twice = dated(clue("blocks", "turkey red"), clue("blocks", "turkey red"))["blocks"]
    assert (twice.most, twice.median) == (once.most, once.median)
    # The better seen of the two is the one that counts.
    unsure = dated(clue("blocks", "turkey red", sure=0.4), clue("blocks", "turkey red"))["blocks"]
    assert unsure.most == once.most


def test_clues_of_one_family_count_once():
    one = dated(clue("edge finish", "bias binding"))["edge finish"]
    both = dated(clue("edge finish", "bias binding"), clue("edge finish", "bought bias tape"))["edge finish"]
    tape = dated(clue("edge finish", "bought bias tape"))["edge finish"]
    # What both say is no more than what the two say by themselves at their closest.
    assert both.most[1] - both.most[0] >= 0.9 * min(one.most[1] - one.most[0], tape.most[1] - tape.most[0])


def test_a_story_told_by_two_of_one_family_counts_once():
    one = dated(told("top", "made for the centennial", "1876", 0.5))["top"]
    two = dated(
        told("top", "made for the centennial", "1876", 0.5, by="a niece"),
        told("top", "made in 1876", "1876", 0.5, by="a grandson"),
    )["top"]
    assert two.most == one.most
    assert one.most[1] - one.most[0] > 40


def test_a_story_of_trust_one_half_is_not_taken_at_its_word_because_a_clue_allows_it():
    answer = dated(told("top", "made for the centennial", "1876", 0.5), clue("top", "lockstitch"))["top"]
    assert answer.most[1] > 1895


def test_prussian_blue_beside_polyester_is_dated_by_the_polyester():
    answer = dated(clue("blocks", "prussian blue"), clue("blocks", "polyester cloth"))["blocks"]
    assert answer.median >= 1953


def test_tape_on_a_quilt_of_1840_does_not_leave_its_edge_open_to_today():
    found = dated(clue("blocks", "prussian blue"), clue("edge finish", "tape binding"))
    assert found["edge finish"].most[1] < 1890
    thirties = dated(
        clue("blocks", "nile green"), clue("blocks", "pastel print"), head='parts = ["blocks", "edge finish"]'
    )
    assert thirties["edge finish"].median < 1955
    assert thirties["edge finish"].most[1] < 2000


def test_the_usual_years_are_no_walls_but_the_first_year_is_one_up_to_the_trust_in_it():
    piece = Evidence("q", "x", Fashion(1876, 1880, 1900, None), 1.0, clue="x", dates="making")
    weight = density(piece, YEARS, Shares())
    assert weight[YEARS == 1875] == 0
    assert 0 < weight[YEARS == 1905] < weight[YEARS == 1895]
    doubted = density(Evidence("q", "x", piece.when, 0.9, clue="x", dates="making", fact=0.9), YEARS, Shares())
    assert 0 < doubted[YEARS == 1870] < 0.1 * doubted[YEARS == 1890]


def test_one_or_two_patches_of_a_late_cloth_are_called_a_replacement_and_a_spread_bounds_the_part():
    few = date(
        "usual_order = true\n"
        + clue("blocks", "madder brown")
        + clue("blocks", "double knit", fabric="F7", patches=1, of=240),
        this_year=2026,
    )
    spread = date(
        "usual_order = true\n"
        + clue("blocks", "madder brown")
        + clue("blocks", "double knit", fabric="F7", patches=60, of=240),
        this_year=2026,
    )
    assert any(each.kind == "replaced" and "1 of 240 patches" in each.sentence for each in few.readings)
    assert any(each.kind == "bounds" and "not made before 1960" in each.sentence for each in spread.readings)
    assert few.answers[0].median < 1910
    assert spread.answers[0].median >= 1963


def test_an_order_written_by_hand_has_no_pull():
    text = (
        "usual_order = true\n"
        + told("blocks", "a letter", "1850", 1.0)
        + '[[order]]\nearlier = "blocks"\nlater = "{}"\n'
    )
    by_hand = date(text.format("quilting"), this_year=2026)
    other = {each.part: each for each in by_hand.answers}["quilting"]
    assert other.most[1] > 1980
    pulled = dated(told("blocks", "a letter", "1850", 1.0), head='parts = ["blocks", "quilting"]')["quilting"]
    assert pulled.most[1] < 1920


def test_the_pull_can_be_switched_off_and_its_shares_changed():
    seen = told("blocks", "a letter", "1850", 1.0)
    head = 'parts = ["blocks", "quilting"]\n'
    off = dated(seen, head=head + "[shares]\npull = false\n")["quilting"]
    often = dated(seen, head=head + "[shares]\nquilting = 0.9\n")["quilting"]
    usual = dated(seen, head=head)["quilting"]
    assert off.most[1] > 1990
    assert often.median > usual.median + 10


def test_a_year_worked_in_is_strong_evidence_but_may_remember_a_birth():
    answer = dated(clue("blocks", "block date name", when="1801"))["blocks"]
    assert answer.median == 1801
    assert answer.most[1] > 1820


def test_without_the_usual_order_a_clue_weighs_as_it_always_did():
    text = clue("top", "flag 49 stars", when="1959/1960", sure=0.5, trust=0.8)
    p = date(text, this_year=2026).dates.of("top")
    assert p[1959 - 1700] == pytest.approx(0.4 / 2 + 0.6 / 327)
    assert p[1700 - 1700] == pytest.approx(0.6 / 327)
