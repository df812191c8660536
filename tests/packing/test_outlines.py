"""Patches out of odd pieces of cloth: on sound cloth alone, none over another, never fewer than plain rows."""

from __future__ import annotations

import numpy as np
import pytest
import shapely

from judging.making.patches import FORMS, case
from seamlore.packing.outlines import in_rows, may_lie, most_patches
from seamlore.packing.pieces import Kind


def boxes(spots):
    return [shapely.box(each.x, each.y, each.x + each.width, each.y + each.height) for each in spots]


def holds(shape, kinds, spots):
    """Every patch is of its kind, on the cloth, and meets no other; no more of a kind than are wanted."""
    made = boxes(spots)
    assert all(shapely.buffer(shape, 1e-2).covers(each) for each in made)
    assert shapely.union_all(made).area == pytest.approx(sum(each.area for each in made), rel=1e-5)
    for index, kind in enumerate(kinds):
        of_kind = [each for each in spots if each.kind == index]
        assert len(of_kind) <= kind.count
        for each in of_kind:
            sides = (kind.height, kind.width) if each.turned else (kind.width, kind.height)
            assert (each.width, each.height) == pytest.approx(sides)
            assert kind.may_turn or not each.turned


@pytest.mark.parametrize("seed", range(3))
@pytest.mark.parametrize("form", FORMS)
def test_patches_lie_on_sound_cloth_and_are_never_fewer_than_rows(form, seed):
    shape, kinds = case(form, seed + 100)
    rows, spots = in_rows(shape, kinds), most_patches(shape, kinds)
    holds(shape, kinds, rows)
    holds(shape, kinds, spots)
    assert len(spots) >= len(rows)


@pytest.mark.parametrize("seed", range(3))
def test_where_a_patch_may_lie_is_where_every_point_of_it_is_on_the_cloth(seed):
    """Against trying places one by one."""
    chance = np.random.default_rng(seed)
    shape, _ = case("rag", seed)
    wide, high = chance.uniform(20, 70, 2)
    free = may_lie(shape, wide, high)
    left, top, right, bottom = shape.bounds
    at = np.column_stack([chance.uniform(left, right, 600), chance.uniform(top, bottom, 600)])
    there = shapely.contains(shape, shapely.box(at[:, 0], at[:, 1], at[:, 0] + wide, at[:, 1] + high))
    said = shapely.contains(free, shapely.points(at))
    # Within a hair of the edge both may be right.
    edge = (
        shapely.distance(shapely.boundary(shape), shapely.box(at[:, 0], at[:, 1], at[:, 0] + wide, at[:, 1] + high))
        < 1e-3
    )
    assert (said == there)[~edge].all()
    assert there.sum() > 0 or seed


@pytest.mark.parametrize(
    ("size", "patch", "most"),
    [
        # A pinwheel of four round one in the middle: rows hold fewer. 5 x 5 with 2 x 3, the classic.
        ((5, 5), (3, 2), 4),
        ((7, 5), (3, 2), 5),
        # Nothing is lost: each of these is filled to its last corner.
        ((8, 6), (4, 2), 6),
        ((9, 9), (3, 3), 9),
    ],
)
def test_a_whole_rectangle_holds_what_counting_by_hand_gives(size, patch, most):
    """At most as many as its area holds; the layouts can be drawn by hand."""
    found = most_patches(
        shapely.box(0, 0, *(16 * side for side in size)), [Kind(16 * patch[0], 16 * patch[1], 99, True)]
    )
    assert len(found) == most


def test_a_hole_in_the_middle_leaves_what_lies_round_it():
    ring = shapely.difference(shapely.box(0, 0, 90, 90), shapely.box(30, 30, 60, 60))
    assert len(most_patches(ring, [Kind(30, 30, 99, False)])) == 8
    assert most_patches(ring, [Kind(31, 31, 99, False)]) == ()
    assert len(most_patches(ring, [Kind(30, 30, 3, False)])) == 3


def test_a_patch_of_exactly_the_width_of_a_strip_still_fits():
    strip = shapely.box(0.1, 0.2, 100.1, 30.2)
    assert len(most_patches(strip, [Kind(25, 30, 99, False)])) == 4
    assert most_patches(strip, [Kind(25, 31, 99, False)]) == ()
    assert len(most_patches(strip, [Kind(30, 25, 99, True)])) == 4
    assert len(most_patches(strip, [Kind(30, 25, 99, False)])) == 3


def test_of_two_kinds_the_one_that_does_not_fit_is_left_out():
    spots = most_patches(shapely.box(0, 0, 60, 30), [Kind(90, 90, 5, True), Kind(30, 30, 5, True)])
    assert [each.kind for each in spots] == [1, 1]
