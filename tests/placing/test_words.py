"""Why fabrics cannot be placed, told in numbers: what is given, what they give, and what would help."""

from __future__ import annotations

from types import SimpleNamespace

import numpy as np
import pytest

from seamlore.draft.layout import lay
from seamlore.draft.repeated import repeated
from seamlore.draft.text.notation import read_block
from seamlore.draft.touching import touching_pairs
from seamlore.lengths import inches
from seamlore.placing.answer import Answer
from seamlore.placing.placement import alike_and_touching
from seamlore.placing.slots import Cloth, Slot
from seamlore.placing.why import Reason
from seamlore.placing.words import PlacementError, impossible, listed

BARS = read_block("block Bars\nA dark scrappy\nB dark scrappy\n\nA|B")


def why(kind, fabrics, slots=4, limited=(), most=0, times=9, laid=None, size=2.0, spots=1):
    """The sentence for patches 0, 1, ... that may take all of some fabrics."""
    given = [Slot((number,), "dark", size, (number % spots, 0)) for number in range(slots)]
    all_of = np.arange
    reason = Reason(kind, all_of(slots), all_of(len(fabrics)), np.array(limited, int), most)
    where = laid or [SimpleNamespace(row=-1, column=-1)] * slots
    return impossible(where, given, fabrics, Answer(None, times, 0, reason), "dark")


def cloths(count, patches=None, area=None):
    return [Cloth("pqrstuvwxyzabcd"[number], "dark", patches, area) for number in range(count)]


def test_too_few_patches_from_all_of_them():
    fault = why("amount", cloths(2, 1))
    assert str(fault) == "4 dark patches: the 2 dark fabrics p and q give 2; add another dark fabric"
    assert isinstance(fault, PlacementError)
    assert (fault.patches, fault.fabrics) == ((0, 1, 2, 3), ("p", "q"))
    one = why("amount", cloths(1, 3), limited=[0])
    assert str(one) == "4 dark patches: the one dark fabric p gives 3; find more of p, or another dark fabric"


def test_how_often_a_fabric_may_stand_in_a_block_is_said_where_it_is_what_limits():
    # Four patches of one block: each of three fabrics once, so three.
    assert "the 3 dark fabrics p, q and r give 3, each at most once in a block;" in str(
        why("amount", cloths(3), times=1)
    )
    assert "the one dark fabric p gives 2, at most 2 times in a block;" in str(why("amount", cloths(1), times=2))
    # Of two blocks each fabric is in both.
    two = str(why("amount", cloths(1, 3), times=1, spots=2))
    assert "the one dark fabric p gives 2, at most once in a block;" in two
    assert "at most" not in str(why("amount", cloths(1, 2), times=1, spots=2))


def test_too_little_by_area():
    said = str(why("amount", cloths(2, None, 3.0), size=2.0))
    assert "they take 8 square inches with seams, the 2 dark fabrics p and q give 6;" in said
    assert "they take 8 square inches with seams, the one dark fabric p gives 6;" in str(
        why("amount", cloths(1, None, 6.0))
    )
    enough = str(why("amount", cloths(2, None, 4.0), size=2.0))
    assert "the 2 dark fabrics p and q cannot be shared out among them, each at most 9 times in a block;" in enough


def test_patches_that_must_stand_apart():
    said = str(why("apart", cloths(2), most=1, limited=[1]))
    assert "at most 1 of them can be of one fabric with no two touching, since there are 3 pairs that touch" in said
    assert said.endswith("so the 2 dark fabrics p and q give 2; find more of q, or another dark fabric")
    # By number or by area a fabric gives less than could stand apart.
    assert "give 5;" in str(why("apart", [Cloth("p", "dark", 2), Cloth("q", "dark")], slots=6, most=3))
    assert "give 4;" in str(why("apart", [Cloth("p", "dark", None, 3.9), Cloth("q", "dark")], slots=6, most=3))
    assert "give 5;" in str(why("apart", [Cloth("p", "dark", None, 4.0), Cloth("q", "dark")], slots=6, most=3))


def test_patches_that_touch_and_patches_beside_which_all_lie_already():
    assert "they touch so that the 2 dark fabrics p and q are not enough; add" in str(why("touching", cloths(2)))
    assert "they touch so that the one dark fabric p is not enough; add" in str(why("touching", cloths(1)))
    assert "every fabric of their value already lies beside them; add another dark fabric" in str(why("touching", []))
    assert str(why("touching", [], slots=1)).startswith("1 dark patch: ")


@pytest.mark.parametrize(
    ("limited", "fabrics", "remedy"),
    [
        ([0, 1], 3, "find more of p or q, or another dark fabric"),
        ([0, 1, 2], 3, "find more of p, q or r, or another dark fabric"),
        ([0, 1, 2, 3], 4, "find more of any of them, or another dark fabric"),
        ([0, 1, 2, 3], 5, "find more of p, q, r or s, or another dark fabric"),
    ],
)
def test_what_would_help_is_named(limited, fabrics, remedy):
    assert str(why("touching", cloths(fabrics), limited=limited)).endswith(f"; {remedy}")


@pytest.mark.parametrize(
    ("places", "said"),
    [
        ([(0, 0)] * 4, "patches in row 1 column 1: "),
        ([(1, 2), (0, 0), (1, 2), (0, 1)], "patches in row 1 column 1, row 1 column 2 and row 2 column 3: "),
        ([(0, 0), (0, 1), (0, 2), (0, 3)], "patches: "),
        ([(-1, -1)] * 4, "patches: "),
        ([(-1, 0), (0, 0), (0, 0), (0, 0)], "patches in row 1 column 1: "),
    ],
)
def test_a_few_blocks_are_named_and_many_are_not(places, said):
    laid = [SimpleNamespace(row=row, column=column) for row, column in places]
    assert f"4 dark {said}" in str(why("touching", cloths(1), laid=laid))


def test_where_nothing_was_ruled_out_no_reason_is_made_up():
    slots = [Slot((0,), "dark", 1.0, (0, 0))] * 3
    fault = impossible([], slots, cloths(2), Answer(None, 1, 0, None), "dark")
    assert str(fault) == (
        "3 dark places: no way was found to cut them all from the 2 dark fabrics, though none was ruled out; "
        "allow a little more fabric"
    )
    assert not isinstance(fault, PlacementError)


def test_twelve_names_are_listed_and_more_are_counted():
    assert listed(list("abcdefghijkl")).endswith("j, k and l")
    assert listed(list("abcdefghijklm"), "or") == "a, b, c, d, e, f, g, h, i, j, k, l or 1 more"
    assert listed(["a", "b"], "or") == "a or b"


def test_alike_pieces_that_touch_are_counted_from_the_placement_alone():
    quilt = repeated("q", BARS, inches(6), inches(6), 2, 2)
    pairs = touching_pairs(lay(quilt))
    one = SimpleNamespace(fabrics=["p"] * len(lay(quilt)))
    # Two bars in each of four blocks: one pair in a block, one across each seam between columns, two between rows.
    assert alike_and_touching(one, quilt) == len(pairs) == 4 + 2 + 4
    none = SimpleNamespace(fabrics=[None] * len(lay(quilt)))
    assert alike_and_touching(none, quilt) == 0
    apart = SimpleNamespace(fabrics=[str(number) for number in range(len(lay(quilt)))])
    assert alike_and_touching(apart, quilt) == 0
