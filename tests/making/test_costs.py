"""Costs: only of what a price was given for."""

from fractions import Fraction

import pytest

from seamlore.draft.catalogue import find
from seamlore.draft.repeated import repeated
from seamlore.errors import PlanError
from seamlore.lengths import centimeters, inches
from seamlore.making.finish.costs import checked_price, costs
from seamlore.making.plan import plan
from seamlore.steps.making.work import costs_of


def test_without_prices_nothing_costs_anything():
    assert costs([(inches(36), inches(36))], None, None) == ()


def test_what_is_bought_is_paid_not_what_is_used():
    (cost,) = costs([(inches(19), inches(28)), (inches(1), inches(1))], Fraction(8), None)
    # 5/8 yd and 1/8 yd; with the spare 7/8 and 1/8.
    assert (cost.least, cost.most) == (6, 8)


def test_metric_fabric_is_paid_by_the_meter():
    (cost,) = costs([(centimeters(187), centimeters(200))], Fraction(10), None)
    assert (cost.least, cost.most, cost.basis) == (19, 20, "1.90 to 2.00 m at 10.00")


def test_backing_and_binding_are_paid_as_well():
    found = plan(
        repeated("q", find("shoo fly"), inches(9), inches(9), 5, 4), price=Fraction(1), batting_price=Fraction(9)
    )
    yards = [need.length for need in found.fabrics] + [found.backing.length, found.edge_finish.length]
    fabric, batting = costs_of(found)
    assert fabric.least == sum(-(-each.inches // Fraction(9, 2)) for each in yards) / 8
    assert batting.least == 9


@pytest.mark.parametrize("text", ["free", "-3", "1.234", "1e5", "100000"])
def test_a_price_that_is_none_is_refused(text):
    with pytest.raises(PlanError, match=r"write it as 12\.50"):
        checked_price(text)
