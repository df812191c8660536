"""Patches cut for foundations: wider on every side than their seam, odd shapes as rectangles, one by one."""

from __future__ import annotations

import pytest

from seamlore.draft.border import border
from seamlore.draft.catalogue import find
from seamlore.draft.repeated import repeated
from seamlore.errors import PlanError
from seamlore.fabric.stash_text import read_stash
from seamlore.lengths import centimeters, inches
from seamlore.making.methods import Methods
from seamlore.making.plan import plan
from seamlore.steps.cutting.of_plan import cut_plan
from seamlore.steps.cutting.words import difference_said

QUARTER = inches("1/4")


def cut_of(made, label):
    return next(cut for cut in made.cutting if label in cut.labels)


def test_the_margin_widens_every_side_as_a_wider_seam_would():
    # By hand, with 1/4 in of seam and 1/4 in of margin: squares finished + 1; half squares 1/2 (2 + sqrt 2) = 1.707, so 1 3/4.
    quilt = repeated("q", find("shoo fly"), inches(9), inches(9), 2, 2, borders=(border(inches(4)),))
    made = plan(quilt, foundation=QUARTER)
    assert cut_of(made, "A2").size == (inches(4), inches(4))
    assert cut_of(made, "A1").size == (inches("4.75"), inches("4.75"))
    # Borders are sewn as ever.
    plain = plan(quilt)
    assert [cut.size for cut in made.cutting if cut.fabric == "border"] == [
        cut.size for cut in plain.cutting if cut.fabric == "border"
    ]
    assert [cut.count for cut in made.cutting] == [cut.count for cut in plain.cutting]


def test_odd_shapes_are_cut_as_rectangles():
    quilt = repeated("q", find("spool"), inches(12), inches(12), 1, 1)
    [cut] = [cut for cut in plan(quilt, foundation=QUARTER).cutting if "A1" in cut.labels]
    # A spool's end is 12 in long and 3 in deep (finished): 1/2 in more on every side.
    assert (cut.shape, cut.nest, cut.yields, cut.size) == ("rectangle", None, 1, (inches(13), inches(4)))


def test_nothing_is_made_several_at_a_time_and_the_margin_is_said():
    quilt = repeated("q", find("shoo fly"), inches(9), inches(9), 2, 2)
    made = plan(quilt, foundation=QUARTER, methods=Methods("two"))
    assert not made.batches
    assert "1/4 in wider still on every side" in difference_said(made.seam, made.margin)
    assert "wider" not in difference_said(made.seam)


def test_a_one_way_print_stands_upright_on_foundations_too():
    quilt = repeated("q", find("spool"), inches(12), inches(12), 1, 1)
    stash = read_stash("Fabric A: one-way")
    made = plan(quilt, foundation=QUARTER, prints=stash.prints)
    [cut] = [cut for cut in made.cutting if "A1" in cut.labels]
    assert (cut.size, cut.lies, cut.nest) == ((inches(13), inches(4)), "along", None)
    assert cut_plan(made)


@pytest.mark.parametrize("margin", [inches(0), inches(-1), centimeters(6)])
def test_what_is_no_margin_is_refused(margin):
    with pytest.raises(PlanError, match="wider"):
        plan(repeated("q", find("shoo fly"), inches(9), inches(9), 2, 2), foundation=margin)
