"""Batches, strip sets, hours; and sewing by hand and over papers."""

from __future__ import annotations

import pytest

from seamlore.draft.catalogue import find
from seamlore.draft.repeated import repeated
from seamlore.draft.text.quilt_file import read_quilt
from seamlore.hours import hours
from seamlore.lengths import inches, length
from seamlore.sewing.batches import batches
from seamlore.sewing.seams import seams_of, sewing_hours, together
from seamlore.sewing.top import sewn_top
from tests.reckoning.described import QUILTS, draft_file

QUARTER = length("1/4 in")


FORTY = inches(40)


def gathered(name, side, rows, columns, width=FORTY):
    quilt = repeated("q", find(name), length(side), length(side), rows, columns)
    return batches(sewn_top(quilt), QUARTER, width)


# Trade facts A4, 22: a 12 in strip set of 1 1/4 in strips gives 8 segments of 1 1/4 in, for 4 four patches of 2 in.
def test_a_strip_set_of_twelve_inches_gives_eight_segments_as_printed():
    pairs, whole, *_ = gathered("four patch", "1 1/2 in", 2, 2, inches(12))
    assert [str(width) for _, width in pairs.strip_set.strips] == ["1 1/4 in", "1 1/4 in"]
    assert (str(pairs.strip_set.segment), pairs.strip_set.from_each) == ("1 1/4 in", 8)
    assert (pairs.count, pairs.strip_set.count, whole.count) == (8, 1, 4)


# Trade facts A4, 24: segments of 3 1/2 in, 10 to 12 from the width of the fabric; of 2 in, 18 to 21.
@pytest.mark.parametrize(("side", "least", "most"), [("6 in", 10, 12), ("3 in", 18, 21)])
@pytest.mark.parametrize("width", [40, 42, 44])
def test_segments_from_the_width_of_the_fabric_are_as_many_as_printed(side, least, most, width):
    pairs = gathered("four patch", side, 5, 5, inches(width))[0]
    assert least <= pairs.strip_set.from_each <= most


def test_a_nine_patch_comes_from_strip_sets_of_three():
    found = gathered("nine patch", "9 in", 4, 5)
    rows = [batch for batch in found if batch.strip_set]
    assert [(batch.count, len(batch.strip_set.strips)) for batch in rows] == [(40, 3), (20, 3)]
    # 40 segments of 3 1/2 in, 11 from 40 in: 4 strip sets.
    assert [batch.strip_set.count for batch in rows] == [4, 2]


def test_triangles_are_chained_and_come_from_no_strip_set():
    first = gathered("shoo fly", "9 in", 2, 3)[0]
    assert (first.count, first.chained, first.strip_set) == (24, True, None)
    assert (first.seams.count, first.seams.inches) == (24, pytest.approx(24 * 3 * 2**0.5))


def test_what_is_set_in_is_not_chained():
    assert not any(batch.chained for batch in gathered("attic windows", "9 in", 2, 2) if batch.seams.turns)


def test_units_of_whole_and_cut_blocks_are_one_batch():
    top = sewn_top(read_quilt(draft_file(QUILTS["offset"]), find_block=None))
    found = batches(top, QUARTER, inches(40))
    assert any(len({number for number, _ in batch.steps}) > 1 for batch in found)
    # Every step of every kind of spot is in one batch.
    steps = sum(len(made.steps) for made in top.blocks)
    assert sum(len(batch.steps) for batch in found if batch.steps[0][0] >= 0) == steps


def test_seams_are_one_fewer_than_the_pieces_they_join():
    for name in ("one block", "plain between, on point", "sampler of 30"):
        top = sewn_top(read_quilt(draft_file(QUILTS[name]), find_block=None))
        found = batches(top, QUARTER, inches(40))
        pieces = sum(len(made.group.parts) * made.count for made in top.blocks)
        pieces += len(top.pieces) - sum(made.count for made in top.blocks)
        # A seam joins two things; only a seam round a corner joins more.
        assert sum(batch.seams.count for batch in found) == pieces - 1


def test_what_is_sewn_is_the_same_whether_counted_with_its_pressing_or_without():
    for name in ("offset", "plain between, on point", "sampler of 30"):
        quilt = read_quilt(draft_file(QUILTS[name]), find_block=None)
        found = together(batch.seams for batch in batches(sewn_top(quilt), QUARTER, inches(40)))
        alone = seams_of(quilt)
        assert (alone.count, alone.turns) == (found.count, found.turns)
        assert alone.inches == pytest.approx(found.inches)


# Trade facts E4: 300 in of hand sewing, reckoned at 16 in in 10 minutes as 3.1 hours, took 5.
def test_hours_by_hand_are_those_of_the_log():
    found = hours("inch by hand", 300)
    assert (round(found.least, 1), found.most) == (3.1, 5.0)
    assert "log" in found.known[0]


# Trade facts E4: a top of 80 by 75 in, cut and pieced in 6 to 8 hours; cutting is not in our range.
def test_hours_by_machine_hold_a_quilt_that_was_timed():
    span = sewing_hours(seams_of(repeated("q", find("nine patch"), inches(9), inches(9), 8, 9)), 0)
    assert span.least < 6 < span.most
    assert str(span).endswith("hours")


def test_by_hand_takes_longer_and_over_papers_longest():
    found = seams_of(repeated("q", find("nine patch"), inches(9), inches(9), 4, 4))
    machine, hand, papers = (sewing_hours(found, 144, method) for method in ("machine", "hand", "papers"))
    assert machine.most < hand.most < papers.most


def test_by_hand_allowances_are_fanned_where_seams_cross():
    (made,) = sewn_top(repeated("q", find("nine patch"), inches(9), inches(9), 1, 1), "hand").blocks
    whole = made.steps[-1]
    assert {seam.press for seam in whole.seams} == {"fanned"}
    assert made.clashes == ()


def test_over_papers_nothing_is_pressed():
    (made,) = sewn_top(repeated("q", find("nine patch"), inches(9), inches(9), 1, 1), "papers").blocks
    assert {seam.press for step in made.steps for seam in step.seams} == {""}
