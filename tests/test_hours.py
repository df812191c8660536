"""Hours of work, as ranges with their basis."""

from fractions import Fraction

import pytest

from seamlore.errors import PlanError
from seamlore.hours import PACES, Hours, checked_pace, hours


@pytest.mark.parametrize(
    ("work", "amount", "least", "most"),
    # A maker's own log of a quilt of 80 x 75 in, 2009/03 (V): hours for the back, basting, quilting, binding.
    [("square inch of backing", 6000, 2, 2), ("square inch basted", 6000, 2.5, 2.5),
     ("square inch quilted by machine", 6000, 8, 10), ("inch bound", 310, 3, 4)],
)  # fmt: skip
def test_the_log_lies_within_the_range(work, amount, least, most):
    took = hours(work, amount)
    assert took.least <= least + 0.01
    assert took.most >= most - 0.01


def test_binding_sewn_by_hand_as_it_came_out():
    # faithquilter 2012/03 (V): 300 in; reckoned at 16 in in 10 minutes as 3.1 h, and took about 5.
    took = hours("inch bound", 300)
    assert took.least < 3.1 < 5 <= took.most


def test_her_own_pace_stretches_the_range():
    assert Hours(1.0, 3.0, ("a log",)).at(Fraction(2)) == Hours(2.0, 6.0, ("a log",))


@pytest.mark.parametrize("pace", ["0", "11", "quick", "-1", "1.234"])
def test_a_pace_that_is_none_is_refused(pace):
    with pytest.raises(PlanError, match=r"from 0\.1 to 10"):
        checked_pace(pace)


def test_every_pace_says_how_it_is_known():
    assert all(pace.known and 0 < pace.least < pace.most for pace in PACES.values())
