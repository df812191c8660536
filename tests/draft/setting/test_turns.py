"""Patterns of turned blocks: what lies light and dark across the whole quilt."""

import numpy as np
import pytest
from numpy.testing import assert_array_equal

from seamlore.draft.catalogue import find
from seamlore.draft.cells import with_lies
from seamlore.draft.layout import lay
from seamlore.draft.repeated import repeated
from seamlore.draft.setting.setting import Offset, OnPoint
from seamlore.draft.setting.turns import PATTERNS, dark_corner, turns
from seamlore.draft.text.notation import read_block
from seamlore.errors import ShapeError, UnknownNameError
from seamlore.lengths import inches

HALF = read_block("block Half\nA dark\nB light\n\nA/B")


def darkness(pattern, block=HALF, rows=4, columns=6):
    """Whether it is dark just inside the middle of each side of each block: [row, column, top-right-bottom-left]."""
    quilt = repeated("q", block, inches(4), inches(4), rows, columns)
    quilt = with_lies(quilt, turns(pattern, quilt))
    found = np.zeros((rows, columns, 4), bool)
    for each in lay(quilt):
        middle = each.outline.mean(axis=0) - [each.column * 4 + 2, each.row * 4 + 2]
        for side, way in enumerate([(0, -1), (1, 0), (0, 1), (-1, 0)]):
            if each.key == "A" and middle @ way > 0.5:
                found[each.row, each.column, side] = True
    return found


TOP, RIGHT, BOTTOM, LEFT = range(4)


def test_straight_furrow_runs_in_diagonal_bands():
    dark = darkness("straight furrow")
    assert_array_equal(dark[:, :-1, RIGHT], dark[:, 1:, LEFT])
    assert_array_equal(dark[:-1, :, BOTTOM], dark[1:, :, TOP])
    # A band is one diagonal of half blocks: along it nothing changes.
    assert_array_equal(dark[1:, :-1], dark[:-1, 1:])


def test_sunshine_and_shadow_makes_dark_and_light_diamonds():
    dark = darkness("sunshine and shadow")
    # Round the middle of each group of two by two all is dark, round its corners all is light.
    assert dark[0, 0, [RIGHT, BOTTOM]].all()
    assert dark[1, 1, [LEFT, TOP]].all()
    assert not dark[1, 1, [RIGHT, BOTTOM]].any()
    assert not dark[2, 2, [LEFT, TOP]].any()


def test_barn_raising_makes_rings_round_the_middle():
    dark = darkness("barn raising", rows=6, columns=6)
    for turn in range(4):
        turned = np.roll(np.rot90(dark, -turn), turn, axis=2)
        assert_array_equal(turned, dark)
    # Outward from the middle along a row of blocks: dark, light, light, dark, dark, light.
    outward = np.ravel(dark[3, 3:, [LEFT, RIGHT]].T)
    assert outward.tolist() == [True, False, False, True, True, False]


def test_a_streak_of_lightning_is_as_wide_everywhere():
    dark = darkness("streak of lightning")
    assert dark[::2, :, BOTTOM].all()
    assert dark[1::2, :, TOP].all()
    assert not dark[1::2, :, BOTTOM].any()


@pytest.mark.parametrize("pattern", PATTERNS)
def test_a_pattern_looks_the_same_however_its_block_was_drawn(pattern):
    for turn in (90, 180, 270):
        assert_array_equal(darkness(pattern, HALF.moved(turn)), darkness(pattern))


def test_a_log_cabin_has_a_dark_corner_and_a_nine_patch_has_none():
    assert dark_corner(find("Log Cabin")) in range(4)
    with pytest.raises(ShapeError, match="no corner of the block is darker"):
        dark_corner(find("Nine Patch"))


def test_a_pattern_that_is_not_known_is_refused():
    with pytest.raises(UnknownNameError, match="barn raising"):
        turns("barn rasing", repeated("q", HALF, inches(4), inches(4), 2, 2))


@pytest.mark.parametrize("setting", [OnPoint(), Offset()])
def test_a_pattern_of_light_and_dark_is_refused_where_it_would_not_run_on(setting):
    with pytest.raises(ShapeError, match="run on from block to block"):
        turns("straight furrow", repeated("q", HALF, inches(4), inches(4), 2, 2, setting=setting))


def test_blocks_in_fours_go_round_their_middle():
    quilt = repeated("q", HALF, inches(4), inches(4), 2, 2)
    for pattern, corners in (
        ("in fours", [(0, 0), (8, 0), (8, 8), (0, 8)]),
        ("in mirrored fours", [(0, 0), (8, 0), (8, 8), (0, 8)]),
    ):
        laid = [each for each in lay(with_lies(quilt, turns(pattern, quilt))) if each.key == "A"]
        # The dark half of each block lies in the outer corner of the four.
        for corner in corners:
            assert any(np.allclose(corner, point) for each in laid for point in each.outline)


def test_every_other_block_is_turned_a_quarter():
    quilt = repeated("q", HALF, inches(4), inches(4), 2, 3)
    assert {spot: how.turn for spot, how in turns("every other", quilt).items()} == {
        (0, 1): 90,
        (1, 0): 90,
        (1, 2): 90,
    }
