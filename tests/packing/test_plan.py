"""Layouts: what was sliced is found again, replayed cut by cut; bounds hold; the same list gives the same plan."""

from __future__ import annotations

import csv
from fractions import Fraction
from io import StringIO
from itertools import product

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from seamlore.lengths import Length, centimeters, inches
from seamlore.packing.bounds import least_length
from seamlore.packing.merging import ENDLESS, join_all
from seamlore.packing.pieces import Kind, piece
from seamlore.packing.plan import Layout, lay_out
from seamlore.steps.cutting.cut import as_record, cut
from tests.packing.replay import faults

HEAD = "fabric,piece,width,height,count,may_turn\n"


def checked(rows: str, width: Length) -> dict[str, float]:
    """Cut a list, replay it, and give its length and bound."""
    record = as_record(cut(HEAD + rows, width))
    assert faults(record, list(csv.DictReader(StringIO(HEAD + rows)))) == []
    [fabric] = record["fabrics"]
    return {"length": fabric["length"], "least": fabric["least_length"]}


def sliced(seed: int, pieces: int, width: int = 100, length: int = 80) -> list[tuple[int, int]]:
    """Slice a rectangle edge to edge, so that a layout without any waste is known."""
    chance = np.random.default_rng(seed)
    parts = [(width, length)]
    while len(parts) < pieces:
        at = max(range(len(parts)), key=lambda k: parts[k][0] * parts[k][1])
        w, h = parts.pop(at)
        across = w > h
        where = int((w if across else h) * chance.uniform(0.25, 0.75))
        parts += [(where, h), (w - where, h)] if across else [(w, where), (w, h - where)]
    return parts


@pytest.mark.parametrize(("seed", "pieces"), [(1, 8), (2, 12), (3, 16)])
def test_a_sliced_rectangle_is_found_again(seed: int, pieces: int) -> None:
    rows = "".join(f"A,p{k},{w},{h},1,no\n" for k, (w, h) in enumerate(sliced(seed, pieces)))
    assert checked(rows, inches(100)) == {"length": 80, "least": 80}


@pytest.mark.parametrize("turn", ["yes", "no"])
def test_a_large_sliced_rectangle_is_found_within_eight_in_a_hundred(turn: str) -> None:
    rows = "".join(f"A,p{k},{w},{h},1,{turn}\n" for k, (w, h) in enumerate(sliced(5, 24)))
    found = checked(rows, inches(100))
    assert found["least"] <= 80
    assert found["length"] <= 80 * 1.08


def test_like_pieces_fill_whole_strips() -> None:
    # By hand: 42 in holds 16 squares of 2 1/2 in side by side, so 160 take ten strips of 2 1/2 in.
    assert checked("A,p,2.5,2.5,160,no\n", inches(42)) == {"length": 25, "least": 25}


def test_turning_is_used_where_it_is_allowed() -> None:
    # By hand: 14 x 3 lies three times across 42; upright, 3 x 14 would take 14 in for the same three.
    assert checked("A,p,3,14,3,yes\n", inches(42))["length"] == 3
    assert checked("A,p,3,14,3,no\n", inches(42))["length"] == 14


def test_two_fabrics_are_laid_out_apart_and_centimeters_stay_centimeters() -> None:
    record = as_record(cut(HEAD + "A,p,10,10.5,1,no\nB,p,10,20,2,no\n", centimeters(110)))
    assert record["unit"] == "cm"
    assert [(each["fabric"], each["length"], each["width"]) for each in record["fabrics"]] == [
        ("A", 10.5, 110),
        ("B", 20, 110),
    ]


def test_the_same_list_gives_the_same_plan() -> None:
    kinds = [Kind(w, h, 1, True) for w, h in sliced(9, 20)]
    first, second = (lay_out(kinds, 100) for _ in range(2))
    assert first == second


def shortest(kinds: list[Kind], width: int) -> int:
    """The shortest layout, by trying every place on a grid of parts: for a few small pieces; need not be cuttable."""
    pieces = [kind for kind in kinds for _ in range(kind.count)]
    longest = sum(max(kind.width, kind.height) for kind in pieces)

    def fits(at: int, taken: frozenset[tuple[int, int]], length: int) -> bool:
        if at == len(pieces):
            return True
        sides = {(pieces[at].width, pieces[at].height)}
        if pieces[at].may_turn:
            sides.add((pieces[at].height, pieces[at].width))
        for w, h in sorted(sides):
            for x, y in product(range(width - w + 1), range(length - h + 1)):
                cells = frozenset(product(range(x, x + w), range(y, y + h)))
                if not cells & taken and fits(at + 1, taken | cells, length):
                    return True
        return False

    return next(length for length in range(1, longest + 1) if fits(0, frozenset(), length))


small_kinds = st.lists(
    st.builds(Kind, st.integers(1, 4), st.integers(1, 4), st.just(1), st.booleans()), min_size=1, max_size=4
)


@settings(max_examples=30, deadline=None, derandomize=True)
@given(small_kinds)
def test_no_layout_is_shorter_than_the_bound(kinds: list[Kind]) -> None:
    # Against trying every place; a bound of cut layouts must hold for all.
    exact = shortest(kinds, 5)
    assert least_length(kinds, 5, 40) <= exact
    layout: Layout = lay_out(kinds, 5)
    assert layout.least_length <= exact <= layout.length


def test_the_bound_sees_what_does_not_fit_side_by_side() -> None:
    # By hand: two squares of 3 do not lie side by side on 5, so three of them take 9, where their area takes 6.
    assert least_length([Kind(3, 3, 3, True)], 5, 100) == 9


def test_a_join_within_limits_keeps_every_piece() -> None:
    kinds = [Kind(w, h, 1, False) for w, h in sliced(4, 14)]
    whole = join_all([piece(kinds, k) for k in range(14)], 100, ENDLESS, work=20_000, states=200)
    assert whole is not None
    assert whole.area == 8000
    assert whole.width <= 100


def test_thirds_of_an_inch_are_exact() -> None:
    record = cut(HEAD + "A,p,14/3,1/3,9,no\n", inches(42))
    assert record[0].length == Length(Fraction(1, 3))
