"""Placing fabrics: against trying everything on small problems."""

from dataclasses import replace
from itertools import product

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from numpy.testing import assert_array_equal

from seamlore.placing.answer import place, shortage
from seamlore.placing.bound import pair_bound, shared_bound
from seamlore.placing.fit import faultless, fitted, least_shared
from seamlore.placing.problem import Problem, judge
from seamlore.placing.search import _Search, first_placing, search, sides
from seamlore.placing.slots import Cloth, Slot, as_problem
from seamlore.placing.why import why_not

NONE = np.zeros((0, 2), int)


def pairs(given):
    return np.array(sorted(given), int).reshape(-1, 2)


@st.composite
def problems(draw, sizes=(1.0,)):
    """Two to four blocks of one to three patches, in a row or a ring; two to four fabrics."""
    blocks = draw(st.integers(2, 4))
    per = draw(st.integers(1, 2 if blocks > 3 else 3))
    count = blocks * per
    fabrics = draw(st.integers(2, 3 if count > 6 else 4))
    near = {(block, block + 1) for block in range(blocks - 1)} | ({(0, blocks - 1)} if draw(st.booleans()) else set())
    some = st.tuples(st.integers(0, count - 1), st.integers(0, count - 1)).filter(lambda pair: pair[0] < pair[1])
    return Problem(
        np.array(draw(st.lists(st.sampled_from(sizes), min_size=count, max_size=count))),
        np.ones(count, int),
        np.repeat(np.arange(blocks), per),
        pairs(set(draw(st.lists(some, max_size=4)))),
        pairs(near),
        np.array(draw(st.lists(st.sampled_from([2.0, 3.0, 4.0, np.inf]), min_size=fabrics, max_size=fabrics))),
        np.array(draw(st.lists(st.sampled_from([1.0, 2.0, 3.0, np.inf]), min_size=fabrics, max_size=fabrics))),
        draw(st.integers(1, 2)),
    )


def everything(problem):
    """All placings that keep to the cloth there is."""
    for fabric in product(range(len(problem.cloth)), repeat=len(problem.size)):
        fabric = np.array(fabric)
        cloth = np.bincount(fabric, weights=problem.size, minlength=len(problem.cloth))
        number = np.bincount(fabric, weights=problem.pieces, minlength=len(problem.cloth))
        if (cloth <= problem.cloth + 1e-9).all() and (number <= problem.number).all():
            yield judge(problem, fabric)


@given(problems((1.0, 2.0)))
@settings(max_examples=60, deadline=None)
def test_what_is_found_is_as_good_as_trying_everything_and_no_bound_is_above_it(problem):
    clean = [each.shared for each in everything(problem) if each.touching + each.excess == 0]
    answer = place(problem, highest=problem.most)
    if not clean:
        assert answer.reason is not None or answer.placed is None or answer.placed.touching + answer.placed.excess
        return
    assert answer.reason is None
    assert (answer.placed.touching, answer.placed.excess) == (0, 0)
    assert max(pair_bound(problem), shared_bound(problem), answer.bound) <= min(clean)
    assert answer.placed.shared == min(clean)


def test_the_least_shared_is_found_where_no_exchange_of_two_patches_leads_to_it() -> None:
    tight = Problem(
        np.array([1.0, 1, 1, 2, 1, 1]), np.ones(6, int), np.array([0, 0, 1, 1, 2, 2]), NONE, pairs({(0, 1), (1, 2)}),
        np.array([2.0, 2, 2, 3]), np.array([1.0, 1, 2, 3]),
    )  # fmt: skip
    best = min(each.shared for each in everything(tight) if each.touching + each.excess == 0)
    answer = place(tight, highest=tight.most)
    assert (answer.placed.touching, answer.placed.excess, answer.placed.shared) == (0, 0, best)


def test_a_fault_that_no_exchange_of_two_patches_mends_is_mended() -> None:
    tight = Problem(
        np.array([1.0, 2, 1, 2]), np.ones(4, int), np.array([0, 0, 1, 1]), NONE, pairs({(0, 1)}),
        np.array([2.0, 4.0]), np.array([2.0, 3.0]),
    )  # fmt: skip
    placed = place(tight, highest=1).placed
    assert placed is not None
    assert (placed.touching, placed.excess, placed.shared) == (0, 0, 2)


@given(problems())
@settings(max_examples=60, deadline=None)
def test_a_reason_holds_and_is_as_small_as_it_can_be(problem):
    reason = shortage(problem) or why_not(problem)
    assume(reason is not None)

    def possible(patches):
        kept = np.isin(problem.touching, patches).all(axis=1) if len(problem.touching) else np.zeros(0, bool)
        number = {int(patch): index for index, patch in enumerate(patches)}
        touching = [(number[one], number[two]) for one, two in problem.touching[kept].tolist()]
        part = replace(
            problem, size=problem.size[patches], pieces=problem.pieces[patches], block=problem.block[patches],
            touching=pairs(touching),
        )  # fmt: skip
        return any(each.touching + each.excess == 0 for each in everything(part))

    assert not possible(reason.patches)
    for patch in reason.patches:
        fewer = reason.patches[reason.patches != patch]
        if shortage(problem) is None and len(fewer):
            # Small as the relaxation goes; what it lets pass may still be impossible, but never the other way.
            assert why_not_part(problem, fewer) is None


def why_not_part(problem, patches):
    number = {int(patch): index for index, patch in enumerate(patches)}
    touching = [(number[a], number[b]) for a, b in problem.touching.tolist() if a in number and b in number]
    part = replace(
        problem, size=problem.size[patches], pieces=problem.pieces[patches], block=problem.block[patches],
        touching=pairs(touching),
    )  # fmt: skip
    return why_not(part)


@given(problems((1.0, 2.0)), st.integers(0, 2**32 - 1))
@settings(max_examples=60, deadline=None)
def test_the_change_that_an_exchange_promises_is_the_change_it_makes(problem, seed):
    first = first_placing(problem, 0)
    assume(first is not None)
    searching = _Search(problem, first, seed)
    for step in range(1, 6):
        before = judge(problem, searching.fabric).cost
        patch = int(searching.random.integers(len(first)))
        move = searching._best_move(patch, step, 0)
        if move is None:
            continue
        change, other, fabric = move
        after = searching.fabric.copy()
        if other >= 0:
            after[other] = after[patch]
        after[patch] = fabric
        assert judge(problem, after).cost == before + change
        searching = _Search(problem, after, seed + step)


def grid(rows, columns):
    near = {
        (row * columns + column, row * columns + column + 1) for row in range(rows) for column in range(columns - 1)
    }
    near |= {
        (row * columns + column, (row + 1) * columns + column) for row in range(rows - 1) for column in range(columns)
    }
    return pairs(near)


def test_the_blocks_of_a_grid_are_parted_as_on_a_checkerboard():
    side = sides(Problem(np.ones(12), np.ones(12, int), np.arange(12), NONE, grid(3, 4), np.ones(1), np.ones(1)))
    assert_array_equal(side.reshape(3, 4), side[0] ^ (np.add.outer(np.arange(3), np.arange(4)) % 2))


def test_a_fabric_in_more_than_half_the_blocks_must_be_shared():
    # Theory: on a 4 x 4 board 8 squares can be apart; the ninth lies beside at least two of them.
    problem = Problem(
        np.ones(16), np.ones(16, int), np.arange(16), NONE, grid(4, 4), np.full(2, np.inf), np.array([9.0, 7.0])
    )
    answer = place(problem)
    assert answer.placed.shared == answer.bound == 2


def test_two_fabrics_cannot_go_round_an_odd_ring():
    ring = pairs([(index, (index + 1) % 5) for index in range(5)])
    loose = Problem(np.ones(7), np.ones(7, int), np.arange(7), ring, NONE, np.full(2, np.inf), np.full(2, np.inf))
    assert place(loose).reason.patches.tolist() == [0, 1, 2, 3, 4]


def test_four_patches_that_all_touch_take_four_fabrics():
    clique = pairs([(one, two) for one in range(4) for two in range(one)])
    problem = Problem(np.ones(6), np.ones(6, int), np.arange(6), clique, NONE, np.full(3, np.inf), np.full(3, np.inf))
    reason = place(problem).reason
    assert (reason.kind, reason.patches.tolist()) == ("touching", [0, 1, 2, 3])


def test_a_patch_that_may_take_nothing_is_the_reason_alone():
    barred = np.zeros((4, 2), bool)
    barred[2] = True
    problem = Problem(
        np.ones(4), np.ones(4, int), np.arange(4), NONE, NONE, np.ones(2) * 9, np.ones(2) * 9, 1, barred
    )
    assert why_not(problem).patches.tolist() == [2]


def test_the_same_problem_has_the_same_answer():
    problem = Problem(
        np.ones(60), np.ones(60, int), np.repeat(np.arange(20), 3), NONE, grid(4, 5), np.full(7, np.inf),
        np.array([12.0, 12, 10, 10, 6, 5, 5]),
    )  # fmt: skip
    assert_array_equal(place(problem).placed.fabric, place(problem).placed.fabric)


@pytest.mark.parametrize("amount", [4.0, np.inf])
def test_a_search_with_nothing_to_spare_or_everything_keeps_to_what_there_is(amount):
    problem = Problem(
        np.ones(16),
        np.ones(16, int),
        np.repeat(np.arange(4), 4),
        NONE,
        grid(2, 2),
        np.full(4, np.inf),
        np.full(4, amount),
    )
    found = search(problem, target=0, steps=50)
    assert (np.bincount(found.fabric, minlength=4) <= amount).all()


def test_patches_that_touch_are_the_reason_where_amounts_need_more_patches():
    # Three patches that all touch and two fabrics: no placing, whatever there is of each; a fourth is beside the point.
    problem = Problem(
        np.ones(4), np.ones(4, int), np.array([0, 0, 1, 1]), pairs([(0, 1), (0, 2), (1, 2)]), pairs([(0, 1)]),
        np.array([2.0, 2.0]), np.array([1.0, 2.0]), most=2,
    )  # fmt: skip
    assert why_not(problem).patches.tolist() == [0, 1, 2]


def loose(count, **given):
    """Patches of one piece each in blocks of their own that do not touch; what is given instead."""
    whole = {
        "size": np.ones(count), "pieces": np.ones(count, int), "block": np.arange(count), "touching": NONE,
        "neighbors": NONE, "cloth": np.full(2, np.inf), "number": np.full(2, np.inf),
    }  # fmt: skip
    return Problem(**(whole | given))


def test_more_cloth_helps_where_cloth_is_what_is_short():
    short = loose(2, size=np.full(2, 2.0), cloth=np.array([3.0]), number=np.array([5.0]))
    reason = why_not(short)
    assert (reason.kind, reason.patches.tolist(), reason.limited.tolist()) == ("amount", [0, 1], [0])


def test_patches_that_all_touch_are_found_behind_others_that_do():
    three = [(0, 1), (0, 2), (1, 2)]
    four = [(one, two) for one in range(3, 7) for two in range(3, one)]
    reason = why_not(loose(7, touching=pairs(three + four), cloth=np.full(3, np.inf), number=np.full(3, np.inf)))
    assert (reason.kind, reason.patches.tolist()) == ("touching", [3, 4, 5, 6])


def test_the_fabric_of_which_most_is_left_comes_first_and_varies_within_a_block():
    assert fitted(loose(4, number=np.array([3.0, 1.0]))).tolist() == [0, 0, 0, 1]
    # Five and two pieces, four patches of them in one block: two of each there, though more is left of the first.
    block = np.array([0, 0, 0, 0, 1, 2, 3])
    assert fitted(loose(7, block=block, number=np.array([5.0, 2.0]))).tolist() == [0, 1, 0, 1, 0, 0, 0]


def test_patches_that_touch_are_kept_apart_without_a_fault():
    row = loose(3, touching=pairs([(0, 1), (1, 2)]), number=np.array([2.0, 1.0]))
    assert faultless(row).tolist() == [0, 1, 0]


def test_a_piece_in_no_block_stands_for_a_block_of_its_own():
    slots = [Slot((0,), "dark", 1.0, (0, 0)), Slot((1,), "dark", 1.0, (-1, 0)), Slot((2,), "dark", 1.0, (-1, 1))]
    made = as_problem([], slots, [Cloth("p", "dark", 2), Cloth("q", "dark", None, 3.5)], [], {(0, 0): 0}, [])
    assert made.block.tolist() == [0, 2, 3]
    assert (made.number.tolist(), made.cloth.tolist(), made.most) == ([2.0, np.inf], [np.inf, 3.5], 1)


@given(problems((1.0, 2.0)))
@settings(max_examples=40, deadline=None)
def test_the_placing_found_at_once_shares_as_little_as_any(problem):
    clean = [each.shared for each in everything(problem) if each.touching + each.excess == 0]
    best = least_shared(problem)
    if not clean:
        assert best is None
        return
    told = judge(problem, best)
    assert (told.touching, told.excess, told.shared) == (0, 0, min(clean))
