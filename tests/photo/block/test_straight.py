"""Blocks taken apart by straight seams: what is seen of a seam in part, slants, corners that point into a patch."""

from __future__ import annotations

import cv2
import numpy as np
import pytest
import shapely

from seamlore.photo.block.lines import WHOLE
from seamlore.photo.block.seams import ACROSS, ANY, DOWN, FALLING, OTHER, RISING, SIDE
from seamlore.photo.block.straight import completed, cut_through, inward

WAY_OF = {ACROSS: (1.0, 0.0), DOWN: (0.0, 1.0), RISING: (1.0, -1.0), FALLING: (1.0, 1.0)}


def maps_of(lines):
    """What would be seen of seams: each a way and its two ends in 0..1 of the block."""
    maps = np.full((6, SIDE, SIDE), -3, np.float32)
    for way, start, end in lines:
        for plane in (ANY, way):
            one = np.full((SIDE, SIDE), -3, np.float32)
            ends = [tuple(round(at * SIDE - 0.5) for at in each) for each in (start, end)]
            cv2.line(one, ends[0], ends[1], 3.0, 2)
            maps[plane] = np.maximum(maps[plane], one)
    return maps


def areas(drawing):
    return sorted(shapely.Polygon(ring).area for ring in drawing)


def test_a_nine_patch_is_cut_through_twice_each_way():
    thirds = [
        (way, start, end)
        for at in (1 / 3, 2 / 3)
        for way, start, end in ((DOWN, (at, 0), (at, 1)), (ACROSS, (0, at), (1, at)))
    ]
    assert areas(cut_through(maps_of(thirds), least=0.0, total=8.0, ridges=True)) == pytest.approx(
        [1 / 9] * 9, abs=0.012
    )


def test_a_seam_seen_over_most_of_a_part_goes_on_through_the_rest():
    seen = maps_of([(ACROSS, (0, 0.5), (0.7, 0.5))])
    assert areas(cut_through(seen, least=0.0, total=8.0, ridges=True)) == pytest.approx([0.5, 0.5], abs=0.02)
    barely = maps_of([(ACROSS, (0, 0.5), (0.3, 0.5))])
    assert cut_through(barely, least=0.0, total=8.0, ridges=True) == (WHOLE,)


def test_a_seam_ends_at_the_seam_across_it():
    # Halves, and the left one halved again: sewn before the long seam.
    drawn = cut_through(
        maps_of([(DOWN, (0.5, 0), (0.5, 1)), (ACROSS, (0, 0.5), (0.5, 0.5))]), least=0.0, total=8.0, ridges=True
    )
    assert areas(drawn) == pytest.approx([0.25, 0.25, 0.5], abs=0.02)


def test_a_slant_is_laid_as_it_runs():
    # A roof that rises 2 in 5.
    seen = maps_of([(OTHER, (0, 0.7), (1, 0.3))])
    drawn = cut_through(seen, least=0.0, total=8.0, ridges=True)
    assert len(drawn) == 2
    rise = [y for ring in drawn for x, y in ring if x == 0.0 and 0 < y < 1]
    assert rise == pytest.approx([0.7] * len(rise), abs=0.03)
    assert rise


def test_nothing_too_small_to_be_sewn_is_cut_off():
    close = maps_of([(DOWN, (0.02, 0), (0.02, 1))])
    assert cut_through(close, least=0.0, total=8.0, ridges=True) == (WHOLE,)


def test_every_part_is_convex_and_together_they_are_the_block():
    rng = np.random.default_rng(5)
    for _ in range(20):
        lines = []
        for _ in range(int(rng.integers(1, 6))):
            way = int(rng.choice([ACROSS, DOWN, RISING, FALLING]))
            middle, run = rng.uniform(0.2, 0.8, 2), np.array(WAY_OF[way])
            lines.append((way, tuple(middle - run), tuple(middle + run)))
        drawn = cut_through(maps_of(lines), least=0.0, total=8.0, ridges=True)
        assert inward(drawn) == 0
        assert sum(areas(drawn)) == pytest.approx(1.0, abs=1e-6)


def test_a_patch_with_a_corner_into_it_is_parted_where_more_is_seen():
    # An L: the seam could go on either way; faintly seen is the one across.
    ell = ((0.0, 0.0), (1.0, 0.0), (1.0, 0.5), (0.5, 0.5), (0.5, 1.0), (0.0, 1.0))
    rest = ((0.5, 0.5), (1.0, 0.5), (1.0, 1.0), (0.5, 1.0))
    maps = np.full((6, SIDE, SIDE), -3, np.float32)
    maps[ANY, 31:33] = -1
    assert areas(completed([ell, rest], maps)) == pytest.approx([0.25, 0.25, 0.5])
    tops = [ring for ring in completed([ell, rest], maps) if shapely.Polygon(ring).area > 0.4]
    assert max(y for _, y in tops[0]) == pytest.approx(0.5)


def test_what_has_no_corner_into_it_stays_as_it_is():
    halves = (((0.0, 0.0), (1.0, 0.0), (1.0, 0.5), (0.0, 0.5)), ((0.0, 0.5), (1.0, 0.5), (1.0, 1.0), (0.0, 1.0)))
    assert completed(halves, np.zeros((6, SIDE, SIDE), np.float32)) == halves
