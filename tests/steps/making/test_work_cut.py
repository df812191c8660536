"""Hours and costs follow the plan that is cut: every cut of it, in layers, and what is bought for it."""

from fractions import Fraction

import pytest

from seamlore.draft.catalogue import find
from seamlore.draft.repeated import repeated
from seamlore.fabric.stash_text import read_stash
from seamlore.lengths import inches
from seamlore.making.methods import Methods
from seamlore.making.plan import plan
from seamlore.steps.cutting.of_plan import cut_plan
from seamlore.steps.cutting.wanted import Wishes
from seamlore.steps.make import as_record
from seamlore.steps.making.work import costs_of, cuts_made, tasks


def counted_by_hand(lines):
    """Count the blade's runs from the record of a plan: each cut frees one part; the last part of a full row needs none."""
    return sum(plans["cuts"] for plans in lines)


def test_the_hours_are_those_of_the_plan_that_is_followed():
    made = plan(repeated("q", find("shoo fly"), inches(9), inches(9), 5, 4))
    simple, frugal = (cut_plan(made, Wishes(which=which, layers=1)) for which in ("simple", "frugal"))
    for cuts in (simple, frugal):
        record = as_record(made, cuts)
        diagonals = sum(-(-line["needed"] // 2) for line in record["cutting"] if "half-square" in line["shape"])
        straight = counted_by_hand(line["plans"][line["plan"]] for line in record["fabrics"])
        assert record["cut_count"] == cuts_made(made, cuts) == straight + diagonals
        assert record["hours"][0]["amount"] == straight + diagonals


def test_layers_save_cuts_and_are_said():
    made = plan(repeated("q", find("shoo fly"), inches(9), inches(9), 8, 7))
    one, four = (cut_plan(made, Wishes(layers=layers)) for layers in (1, 4))
    assert cuts_made(made, one) / 4 <= cuts_made(made, four) < cuts_made(made, one) / 2
    assert "up to 4 layers at once" in str(tasks(made, four)[0])
    assert "layers" not in str(tasks(made, one)[0])


def test_like_things_of_the_stash_are_cut_in_layers_too():
    made = plan(repeated("q", find("four patch"), inches(8), inches(8), 2, 2))
    stash = read_stash("Fabric A: 8 squares of 5 in\nFabric B: 8 squares of 5 in")
    counts = [cuts_made(made, cut_plan(made, Wishes(stash=stash, layers=layers))) for layers in (1, 4)]
    # By hand: 8 squares of 4 1/2 in of each fabric, each trimmed on two sides; in twos of four layers.
    assert counts == [2 * 8 * 2, 2 * 2 * 2]


def test_what_is_cut_while_units_are_sewn_counts_one_by_one():
    made = plan(repeated("q", find("shoo fly"), inches(9), inches(9), 5, 4), methods=Methods(half_squares="two"))
    later = sum(batch.later for batch in made.batches)
    assert later == 40
    straight = sum(line["plans"][line["plan"]]["layered_cuts"] for line in as_record(made, cut_plan(made))["fabrics"])
    assert cuts_made(made, cut_plan(made)) == straight + later


def test_costs_are_of_what_is_bought_and_a_price_of_its_own_counts_apart():
    made = plan(repeated("q", find("shoo fly"), inches(9), inches(9), 5, 4), price=Fraction(10))
    stash = read_stash("Fabric B: buy at 20 a yard\nFabric A: 5 yd of 42 in")
    cuts = cut_plan(made, Wishes(stash=stash))
    own, rest = costs_of(made, cuts)
    _, b = cuts
    assert (own.called, own.least) == ("Fabric B", b.cut.bought(b.cut.layout).yards * 20)
    # Fabric A is all at hand: only backing and binding are left to the common price.
    yards = sum((-(-each.inches // Fraction(9, 2))) / 8 for each in (made.backing.length, made.edge_finish.length))
    assert float(rest.least) == pytest.approx(yards * 10)
