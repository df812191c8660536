"""Among many cloths the same one comes first, and what shows too little is not said to be the same."""

from dataclasses import replace

import numpy as np

from seamlore.photo.cloth.described import Cut
from seamlore.photo.cloth.matching import Figures
from seamlore.photo.cloth.same import chance, known_by, known_from, packed, ratios, unpacked, why_not
from seamlore.photo.cloth.search import SAME, search
from tests.photo.cloth.cloths import cut, other_light, sheet

CLOTHS = [sheet(seed, step=13 + 2.5 * seed, size=4 + seed * 0.7) for seed in range(1, 10)]
FIRST = [Figures((cut(each, 60, 60), cut(each, 130, 60, 90))) for each in CLOTHS]
SECOND = [Figures((other_light(cut(each, 100, 120, 180)), other_light(cut(each, 60, 140, 270)))) for each in CLOTHS]
ROWS = unpacked(packed([known_by(each, 12.0) for each in SECOND]))


def test_each_cloth_is_known_again_in_other_light() -> None:
    for number, figures in enumerate(FIRST):
        found = search(known_by(figures, 12.0), figures, ROWS, lambda at: SECOND[at])
        assert found[0].number == number
        assert found[0].looked_at
        assert all(each.number == number for each in found if (each.chance or 0) >= SAME)


def test_without_its_figures_a_cloth_is_less_surely_known_than_with() -> None:
    figures = FIRST[3]
    alone = search(known_by(figures, 12.0), figures, ROWS, lambda _: None)
    assert not alone[0].looked_at
    assert alone[0].chance is not None


def test_a_plain_cloth_a_coarse_photograph_and_a_scrap_are_not_enough_to_tell() -> None:
    plain = Figures((Cut(np.full((64, 64, 3), 140, np.uint8), np.full((64, 64), 255, np.uint8)),))
    known = known_by(FIRST[0], 12.0)
    for lacking, reason in (
        (known_by(plain, 12.0), "color alone"),
        (replace(known, px_per_cm=3.0), "too coarse: 3.0 pixels"),
        (replace(known, area_cm2=2.0), "too little of it"),
    ):
        assert reason in why_not(lacking)
        assert all(each.chance is None for each in search(lacking, plain, ROWS, lambda at: SECOND[at]))
    assert why_not(known) == ""


def test_a_cloth_that_shows_too_little_is_listed_and_not_called_the_same() -> None:
    coarse = ROWS.copy()
    coarse[:, -2] = 3.0
    found = search(known_by(FIRST[0], 12.0), FIRST[0], coarse, lambda at: SECOND[at])
    assert {each.chance for each in found} == {None}
    assert found[0].number == 0


def test_among_more_cloths_the_same_likeness_says_less() -> None:
    fit = (0.9, 0.85, 24)
    few, many = chance(18.0, fit, 60), chance(18.0, fit, 60_000)
    assert few > many
    odds = few / (1 - few) / (many / (1 - many))
    np.testing.assert_allclose(odds, 59_999 / 59, rtol=1e-6)


def test_on_a_small_shelf_it_is_no_surer_than_among_sixty() -> None:
    assert chance(18.0, (0.9, 0.85, 24), 3) == chance(18.0, (0.9, 0.85, 24), 60)


def test_what_was_not_held_against_each_other_is_never_called_the_same() -> None:
    assert chance(30.0, None, 60) < SAME


def test_better_figures_say_more() -> None:
    assert chance(15.0, (0.95, 0.9, 24), 60) > chance(15.0, (0.5, 0.4, 24), 60)
    assert chance(15.0, (0.7, 0.6, 24), 60) > chance(5.0, (0.7, 0.6, 24), 60)


def test_the_ratio_says_the_same_from_either_side() -> None:
    one, two = known_by(FIRST[2], 12.0).described, known_by(SECOND[5], 12.0).described
    np.testing.assert_allclose(ratios(one, two[None])[0], ratios(two, one[None])[0], rtol=1e-3)


def test_rows_come_back_as_they_were_kept() -> None:
    known = known_by(FIRST[1], 12.5)
    back = known_from(unpacked(packed([known]))[0])
    np.testing.assert_allclose(back.described, known.described, rtol=1e-3, atol=1e-3)
    assert (round(back.area_cm2), back.px_per_cm) == (128, 12.5)


def test_no_cloth_is_found_among_none() -> None:
    assert search(known_by(FIRST[0], 12.0), FIRST[0], ROWS[:0], lambda at: SECOND[at]) == ()
