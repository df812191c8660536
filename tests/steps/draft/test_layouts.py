"""Layouts of half-square triangles, counted."""

from __future__ import annotations

from itertools import product

import pytest

from seamlore.draft.catalogue import find
from seamlore.draft.units import units
from seamlore.steps.draft.layouts import layouts, layouts_of


def test_layouts_agree_with_laying_every_block_out():
    # Brute force over all 256 ways of laying four half-square triangles; a turn moves squares and turns each.
    def turned(block):
        a, b, c, d = block
        return tuple((state + 1) % 4 for state in (c, a, d, b))

    def mirrored(block):
        a, b, c, d = block
        return tuple(state ^ 1 for state in (b, a, d, c))

    def exchanged(block):
        return tuple((state + 2) % 4 for state in block)

    def classes(*motions):
        left, count = set(product(range(4), repeat=4)), 0
        while left:
            found, count = [left.pop()], count + 1
            while found:
                here = found.pop()
                new = {motion(here) for motion in motions} & left
                left -= new
                found += new
        return count

    told = layouts(2)
    assert told.turned == classes(turned)
    assert told.mirrored == classes(turned, mirrored)
    assert told.exchanged == classes(turned, mirrored, exchanged)


@pytest.mark.parametrize(("name", "expected"), [("pinwheel", (2, False)), ("shoo fly", (3, True))])
def test_a_grid_of_triangles_tells_its_size_and_whether_squares_are_plain(name, expected):
    block = find(name)
    found = layouts_of(block, units(block))
    assert found is not None
    assert (found.size, found.plain) == expected


@pytest.mark.parametrize("name", ["nine patch", "ohio star", "birds in the air", "sawtooth star", "jacob's ladder"])
def test_a_block_of_other_units_tells_no_layouts(name):
    block = find(name)
    assert layouts_of(block, units(block)) is None
