"""Two plans for the same pieces: settings counted, cuts followed one by one by a checker that reads only their words."""

from __future__ import annotations

import csv
from collections import Counter
from fractions import Fraction
from io import StringIO

import pytest
from shapely.geometry import Polygon, box
from shapely.ops import unary_union

from seamlore.fabric.stash_text import read_stash
from seamlore.lengths import Length, inches
from seamlore.packing.cuts import LAYERS, cuts_of, in_order, lines_in, settings, strokes
from seamlore.packing.pieces import Block, Kind, in_a_row
from seamlore.packing.plan import QUICK, lay_out, two_plans
from seamlore.packing.repeats import Repeat, band, whole_motifs
from seamlore.packing.sheets import fill, fill_sheets
from seamlore.steps.cutting.cut import as_record, cut
from seamlore.steps.cutting.wanted import Which, wishes_for
from seamlore.steps.cutting.words import cuts_in_words
from tests.packing.replay import by_the_words, faults

HEAD = "fabric,piece,width,height,count,may_turn\n"
LISTS = {
    "squares and triangles": "A,square,3.5,3.5,144,yes\nA,half,3.875,3.875,108,yes\n",
    "logs": "".join(f"B,log {n},1.5,{n}.5,42,yes\n" for n in (2, 4, 6, 8)),
    "border first": "C,border,6.5,60,2,no\nC,square,4.5,4.5,80,yes\nC,oblong,2.5,4.5,30,no\n",
    "few": "D,one,9,12,1,no\nD,two,7.25,5,3,yes\n",
}


@pytest.mark.parametrize("which", ["simple", "frugal"])
@pytest.mark.parametrize("name", LISTS)
def test_each_plan_is_followed_cut_by_cut(name: str, which: Which) -> None:
    rows = list(csv.DictReader(StringIO(HEAD + LISTS[name])))
    [fabric] = cut(HEAD + LISTS[name], inches(42), wishes_for(which, effort=QUICK))
    assert faults(as_record([fabric]), rows) == []
    got = by_the_words(cuts_in_words(fabric), Fraction(42), fabric.length.inches)
    assert got == Counter({row["piece"]: int(row["count"]) for row in rows})


def test_the_checker_sees_a_cut_that_the_fabric_has_no_room_for() -> None:
    with pytest.raises(AssertionError):
        by_the_words(['1. Cut 3 strips of 5 in off the fabric: "p", 5 x 5 in.'], Fraction(5), Fraction(14))
    with pytest.raises(AssertionError):
        by_the_words(
            ["1. Cut 1 strip of 5 in off the fabric", '  2. Cross-cut 3 in, 2 in all: "p", 3 x 5 in.'],
            Fraction(5),
            Fraction(5),
        )


@pytest.mark.parametrize("share", [0.0, 0.05, 0.2])
def test_the_simple_plan_needs_fewer_settings_and_no_more_fabric_than_asked(share: float) -> None:
    kinds = [Kind(28, 28, 144, True), Kind(31, 31, 108, True), Kind(28, 52, 60, True)]
    plans = two_plans(kinds, 336, QUICK, share)
    assert plans.simple.length <= plans.frugal.length * (1 + share)
    assert plans.simple.settings <= plans.frugal.settings
    assert plans.simple.least_length == plans.frugal.least_length <= plans.frugal.length
    assert Counter(place.kind for place in plans.simple.places()) == Counter({0: 144, 1: 108, 2: 60})
    assert two_plans(kinds, 336, QUICK, share) == plans


def test_more_fabric_buys_fewer_settings() -> None:
    kinds = [Kind(28, 28, 144, True), Kind(31, 31, 108, True), Kind(28, 52, 60, True)]
    none, some = (two_plans(kinds, 336, QUICK, share).simple for share in (0.0, 0.08))
    # By hand: three kinds in strips of their own take three depths and three widths; two kinds share a depth.
    assert some.settings <= 5 < none.settings


def test_settings_and_strokes_of_a_plan_counted_by_hand() -> None:
    # Five strips of 5, each of eight squares and one oblong that ends at the edge: set to 5, to 5 across, to 2 across.
    strips = in_order([in_a_row([Block(5, 5, 25, True, 0)] * 8 + [Block(2, 5, 10, True, 1)], across=True)] * 5)
    cuts = cuts_of(strips, 42)
    assert settings(cuts) == 3
    # 5 strips, then 8 cuts in each; the oblong is what remains. In layers of 4: the five strips in two piles.
    assert strokes(cuts, 1) == 5 + 5 * 8
    assert strokes(cuts, LAYERS) == 5 + 2 * 8
    assert [line.x0 for line in lines_in(strips[0], cuts[0], 42)] == [0, 5, 10, 15, 20, 25, 30, 35, 40]


def test_a_long_border_is_cut_before_anything_else() -> None:
    [fabric] = cut(HEAD + LISTS["border first"], inches(42), wishes_for("frugal", effort=QUICK))
    words = cuts_in_words(fabric)
    first = next(line for line in words if '"' in line)
    assert '"border", 6 1/2 x 60 in' in first
    assert words[0].startswith("1. Cut 1 strip of 6")


def test_what_lies_beside_long_pieces_is_cut_in_plain_rows() -> None:
    # By hand: seven strips of 3 x 80 1/2 in take 21 of 42 in; beside them 48 of 3 x 9 1/2 in lie seven to a row, seven rows.
    # The ruler is set to 80 1/2 for the length, 3 across, 9 1/2 back and 3 across, and to what is left where it is not 21.
    plans = two_plans([Kind(24, 644, 7, False), Kind(24, 76, 48, True)], 336, QUICK)
    assert plans.simple.length == plans.frugal.length == 644
    assert plans.simple.settings <= 5


def test_a_piece_that_may_not_turn_never_does() -> None:
    [fabric] = cut(HEAD + "A,p,9,2,30,no\nA,q,3,5,30,yes\n", inches(42), wishes_for("frugal", effort=QUICK))
    places = as_record([fabric])["fabrics"][0]["places"]
    assert {place["turned"] for place in places if place["piece"] == "p"} == {False}


def test_a_sheet_is_filled_where_it_can_be() -> None:
    # By hand: 18 x 21 in takes four by four squares of 4 1/2 in.
    assert fill([Kind(9, 9, 99, True)], [99], 42, 36).area == 16 * 81
    got = fill_sheets([Kind(9, 9, 20, True)], [20], [(42, 36), (9, 8), (9, 9)])
    assert (got.left, got.blocks[1]) == ((3,), None)


def test_motifs_stand_a_repeat_apart() -> None:
    kinds = [Kind(10, 8, 9, False), Kind(4, 8, 3, True)]
    # By hand: a motif every 12 in; the first may begin up to 11 in from the edge, so three lie whole on 45 in.
    assert whole_motifs(kinds[0], Repeat(12, 9), 45) == 3
    # On 44 in the third would end at 11 + 2 x 12 + 10 = 45 in.
    assert whole_motifs(kinds[0], Repeat(12, 9), 44) == 2
    made = band(kinds, [9, 3], 0, Repeat(12, 9), 45)
    layout_height = sum(strip.height for strip in made.strips)
    assert layout_height == 9 + 3 * 8 + 2 * 1
    rows = [strip for strip in made.strips if strip.area]
    assert [strip.area for strip in rows] == [3 * 80] * 3
    assert made.least == 2 * 9 + 8


def test_a_million_patches_are_laid_out() -> None:
    layout = lay_out([Kind(28, 28, 600_000, True), Kind(31, 52, 400_000, True)], 336, QUICK)
    assert sum(strip.area for strip in layout.strips) == 600_000 * 28 * 28 + 400_000 * 31 * 52
    assert layout.least_length <= layout.length <= layout.least_length * 1.02


def test_pieces_of_an_odd_scrap_lie_on_sound_fabric_and_not_on_each_other() -> None:
    # Against an independent geometry library.
    line = "A: scrap (0,0) (22,0) (24,17) (3,21) in; spoilt (8,8) (11,8) (10,11)"
    [holding] = read_stash(line).holdings
    sound = Polygon([(float(x), float(y)) for x, y in holding.outline])
    sound = sound.difference(Polygon([(float(x), float(y)) for x, y in holding.spoilt[0]]))
    for rows in ("A,p,2,2,300,no\n", "A,p,1.75,3 3/8,90,no\nA,q,2,2,5,yes\n"):
        [fabric] = cut(HEAD + rows, inches(42), wishes_for("frugal", stash=read_stash(line), effort=QUICK))
        laid = []
        for used in as_record([fabric])["fabrics"][0]["from_stash"]:
            laid += [
                box(each["x"], each["y"], each["x"] + each["width"], each["y"] + each["height"])
                for each in used["places"]
            ]
        assert len(laid) > 30
        assert sum(each.difference(sound).area for each in laid) < 1e-6
        assert unary_union(laid).area == pytest.approx(sum(each.area for each in laid))


def test_a_fabric_that_is_all_at_hand_is_not_bought() -> None:
    wishes = wishes_for("frugal", stash=read_stash("A: 1 yd of 42 in"), buying=False, effort=QUICK)
    [fabric] = cut(HEAD + "A,p,5,5,16,no\n", inches(42), wishes)
    assert fabric.plans is None
    assert fabric.length == Length(Fraction(0))
    assert sum(strip.area for used in fabric.used for strip in used.strips) == 16 * 25


def test_where_more_is_bought_anyway_the_ruler_is_set_less_often() -> None:
    # By hand, in eighths: 24 squares of 3 7/8 in and 12 of 3 1/2 in: three strips and one, 15 1/8 in with four settings, of the
    # half yard that is bought for 14 in as well.
    kinds = [Kind(31, 31, 24, True), Kind(28, 28, 12, True)]
    plans = two_plans(kinds, 336, QUICK, anyway=lambda length: max(length, 144))
    assert plans.frugal.length == 112
    assert plans.simple.length <= 112 * 1.05
    assert (plans.fitting.length, plans.fitting.settings) == (121, 4)
    assert plans.simple.settings > 4
