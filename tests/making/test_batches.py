"""Units made several at a time: what is cut for them, and that every patch is provided for."""

from collections import Counter
from dataclasses import replace
from math import sqrt

import pytest

from seamlore.draft.catalogue import all_blocks, find
from seamlore.draft.pieces import pieces
from seamlore.draft.repeated import repeated
from seamlore.draft.text.notation import read_block
from seamlore.errors import PlanError
from seamlore.lengths import centimeters, inches, length
from seamlore.making.batches import batches, cuts_for
from seamlore.making.choosing import cuts_counted
from seamlore.making.cutting import cutting_list
from seamlore.making.methods import SINGLY, Methods, checked_methods
from seamlore.making.plan import plan
from seamlore.making.units import units

QUARTER, WIDE = inches("1/4"), inches(42)
TOGETHER = Methods("eight", "two", "four", "sets")
GOOSE = read_block("block Goose\nA dark\nB light\nC medium\ndivisions 4\n\npatch A 0,4 2,2 4,4\npatch B 0,2 2,2 0,4\npatch B 2,2 4,2 4,4\npatch C 0,0 4,0 4,2 0,2")  # fmt: skip
HALF = read_block("block Half\nA dark\nB light\n\nA/B")
FOUR = read_block("block Four\nA dark\nB light\n\nA B\nB A")


def made(block, side, rows, columns, methods, seam=QUARTER, width=WIDE):
    return batches(units(repeated("q", block, side, side, rows, columns)), methods, seam, width)


def sizes(batch):
    return [(str(cut.size[0]), cut.count) for cut in batch.cuts]


# Finished height x width; large and small squares: alinequilts.blogspot.com 2011/03, members.shaw.ca/beverlysquiltingpage (V).
@pytest.mark.parametrize(
    ("long", "large", "small"),
    [("4 in", "5 1/4 in", "2 7/8 in"), ("3 in", "4 1/4 in", "2 3/8 in"), ("6 in", "7 1/4 in", "3 7/8 in"),
     ("8 in", "9 1/4 in", "4 7/8 in"), ("2 in", "3 1/4 in", "1 7/8 in")],
)  # fmt: skip
def test_geese_four_at_a_time_are_cut_as_in_print(long, large, small):
    (batch,) = made(GOOSE, length(long), 2, 2, Methods(geese="four"))
    assert sizes(batch) == [(large, 1), (small, 4)]


def test_metric_geese_are_cut_no_smaller_than_exact():
    # 10 x 5 cm with 0.75 cm: exact 13.62 and 7.56 cm (computed; weednstitch.blogspot.com 2012/01 prints 13.5 and 7.5, short).
    (batch,) = made(GOOSE, centimeters(10), 2, 2, Methods(geese="four"), centimeters("0.75"), centimeters(107))
    assert sizes(batch) == [("13.7 cm", 1), ("7.6 cm", 4)]


def test_half_squares_eight_at_a_time_are_cut_as_in_print():
    # ewespecial.blogspot.com 2022/05 (Vw): finished 1 1/2 in from squares of 2 x (1 1/2 + 7/8) = 4 3/4 in.
    (batch,) = made(HALF, inches("1.5"), 4, 4, Methods(half_squares="eight"))
    assert sizes(batch) == [("4 3/4 in", 2), ("4 3/4 in", 2)]
    assert batch.name == "16 half-square triangles of Fabric A and Fabric B, eight at a time"
    assert "2 in square with seams" in batch.how


def test_four_patches_from_a_strip_set():
    # shadywoodquilts.com, Trail Mix part 4 (V): a set of 1 1/4 in strips 12 in long gives 8 rows, 4 four patches of 2 in.
    (batch,) = made(FOUR, inches("1.5"), 2, 2, Methods(strips="sets"), width=inches(12))
    assert [(cut.count, str(cut.size[1])) for cut in batch.cuts] == [(1, "1 1/4 in")] * 2
    assert "1 set of Fabric A, Fabric B for 8 rows, at most 9 from each set" in batch.how


def test_a_nine_patch_is_cut_from_two_kinds_of_sets():
    nine = find("nine patch")
    # butterflythreadsquilting.com 2014/01 (V): 20 nine patches of 2 in strips take 100 and 80 squares: 21 rows lie in 42 in.
    (batch,) = made(nine, inches("4.5"), 4, 5, Methods(strips="sets"))
    assert sorted(cut.needed for cut in batch.cuts) == [80, 100]
    assert sorted((cut.count, str(cut.size[1])) for cut in batch.cuts) == [(4, "2 in"), (5, "2 in")]


def test_rails_are_cut_across_their_strips():
    rails = read_block("block Rails\nA dark\nB light\nC medium\ndivisions 3\n\npatch A 0,0 1,0 1,3 0,3\npatch B 1,0 2,0 2,3 1,3\npatch C 2,0 3,0 3,3 2,3")  # fmt: skip
    (batch,) = made(rails, inches(6), 3, 4, Methods(strips="sets"))
    # Strips of 2 1/2 in; rows of 6 1/2 in, six from each set of 42 in.
    assert {(cut.count, cut.size) for cut in batch.cuts} == {(2, (inches(39), inches("2.5")))}


@pytest.mark.parametrize(
    ("field", "way", "kind", "times"),
    [("half_squares", "two", "half-square triangle", 1), ("half_squares", "eight", "half-square triangle", 2),
     ("quarter_squares", "two", "quarter-square triangle", 1)],
)  # fmt: skip
def test_what_is_sewn_comes_out_as_large_as_it_must_and_no_more_than_a_mark_larger(field, way, kind, times):
    # Geometry: a square sewn on both sides of its diagonal and cut loses 2 + root of 2 seams, cut again as much again.
    block = HALF if kind.startswith("half") else find("hourglass")
    for side in ("2", "3", "4.5", "10/3", "6.125"):
        (batch,) = made(block, inches(side), 4, 4, replace(SINGLY, **{field: way}))
        lost = 2 + sqrt(2) if kind.startswith("half") else 2 + 2 * sqrt(2)
        for cut in batch.cuts:
            finished = float(cut.size[0].inches) / times - 0.25 * lost
            assert float(inches(side).inches) <= finished < float(inches(side).inches) + 0.25


@pytest.mark.parametrize("methods", [Methods("two", "two", "four", "sets"), TOGETHER], ids=["two", "eight"])
def test_every_patch_of_every_block_of_the_catalogue_is_provided_for(methods):
    for block in all_blocks():
        quilt = repeated("q", block, inches(12), inches(12), 3, 4)
        listed = pieces(quilt)
        done = batches(units(quilt), methods, QUARTER, WIDE)
        together, taken = cuts_for(done)
        cuts = cutting_list(listed, QUARTER, WIDE, together=together, taken=taken)
        wanted = Counter()
        for piece in listed:
            wanted[piece.fabric] += piece.count
        found = Counter()
        for cut in cuts:
            found[cut.fabric] += cut.needed
            assert cut.count * cut.yields >= cut.needed > 0, block.name
        assert found == wanted, block.name


def test_a_mirrored_or_turned_block_has_its_units_as_well():
    quilt = repeated("q", GOOSE, inches(8), inches(8), 4, 4)
    assert sum(found.count for found in units(quilt).values()) == 16


def test_units_of_one_fabric_are_none():
    quilt = repeated("q", HALF, inches(6), inches(6), 2, 2, fabrics={"A": "muslin", "B": "muslin"})
    assert not units(quilt)


@pytest.mark.parametrize("name", ["jacob's ladder", "ohio star", "dutchman's puzzle"])
def test_what_is_chosen_takes_no_more(name):
    quilt = repeated("q", find(name), inches(12), inches(12), 6, 5)
    plain, sparing, quick = (plan(quilt, choose_by=by) for by in ("as said", "least fabric", "fewest cuts"))

    def taken(made):
        return sum(need.length.inches for need in made.fabrics)

    assert taken(sparing) <= taken(plain)
    assert cuts_counted(quick.fabrics, quick.batches) < cuts_counted(plain.fabrics, plain.batches)
    assert (plain.methods, plain.batches) == (SINGLY, ())


def test_a_way_that_there_is_not_is_refused():
    with pytest.raises(PlanError, match='half-square triangle "ten" at a time: they are made one or two or eight'):
        checked_methods({"half_squares": "ten"})
