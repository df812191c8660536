"""Ties, lines and what the filling needs."""

from __future__ import annotations

import numpy as np
import pytest

from seamlore.condition.circle import largest_empty
from seamlore.condition.ground import Ground
from seamlore.condition.holding import FILLINGS, USUAL_APART_IN, held, pattern_lines, pattern_ties
from seamlore.errors import MeasureError

from .test_survey import grid


def sashed(rows, columns, block=8.0, gap=3.0):
    at = [(row, column) for row in range(rows) for column in range(columns)]
    step = block + gap
    corners = [
        [
            [c * step, r * step],
            [c * step + block, r * step],
            [c * step + block, r * step + block],
            [c * step, r * step + block],
        ]
        for r, c in at
    ]
    return Ground((columns * step - gap, rows * step - gap), tuple(at), np.array(corners))


def test_patterns_by_blocks_tie_each_spot_once():
    plain, strips = grid(3, 4), sashed(3, 4)
    assert len(pattern_ties(plain, "crossings")) == 4 * 5
    assert len(pattern_ties(plain, "centers")) == 12
    # Beside sashing every block's own corners are tied.
    assert len(pattern_ties(strips, "crossings")) == 4 * 12
    assert len(pattern_lines(strips, "blocks")) == 12
    with pytest.raises(MeasureError, match="no block grid was read"):
        pattern_ties(Ground((9, 9)), "centers")


@pytest.mark.parametrize("apart", [None, 0.0, -2.0, 0.001])
def test_a_distance_that_makes_no_pattern_is_refused(apart):
    with pytest.raises(MeasureError):
        pattern_ties(Ground((70, 80)), "grid", apart)


def test_what_is_missing_is_put_in_until_the_filling_is_held():
    ground = sashed(4, 5)
    ties = pattern_ties(ground, "centers")
    found = held(ground, ties, (), apart=4, edge_holds=True)
    assert not found.enough
    assert len(found.missing) >= found.fewest > 30
    edge = largest_empty(ground.size, np.vstack([ties, found.missing]), edge_holds=True)
    assert edge.across <= found.allowed * 7 / 6
    assert held(ground, pattern_ties(ground, "grid", 3.9), (), apart=4).enough


def test_lines_as_far_apart_as_the_label_says_hold_and_a_little_wider_do_not():
    ground = Ground((40, 40))
    for apart, enough in ((4.0, True), (4.1, False)):
        found = held(ground, np.zeros((0, 2)), pattern_lines(ground, "across", apart), apart=4, edge_holds=False)
        assert (found.enough, len(found.missing) == 0) == (enough, enough)


@pytest.mark.parametrize(
    ("name", "apart"),
    [
        ("old cotton batting", 2),
        ("needle-punched cotton", 8),
        ("wool batting", 3),
        ("polyester batting", 4),
        ("blanket", None),
    ],
)
def test_fillings_have_the_distances_of_the_trade(name, apart):
    """trade.md A9: quilters' forum (2 in), generations-quilt-patterns.com (8 to 10), melodycrust.blogspot.com (wool 3)."""
    assert FILLINGS[name].apart_in == apart
    assert FILLINGS[name].source
    # Ties 3 to 6 in apart, 4 to 5 when no label says more: magazine, 2019; fabric-mill.com; quiltersconnection.ca.
    assert 3 <= USUAL_APART_IN <= 6
