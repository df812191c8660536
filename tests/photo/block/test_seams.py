"""What the seam network sees, and how its maps are moved."""

from __future__ import annotations

from pathlib import Path

import cv2
import numpy as np
import pytest
from numpy.testing import assert_allclose

from seamlore.photo.block.seams import ACROSS, ANY, DOWN, FALLING, RISING, SEAMS, moved, see_seams

CHECK = Path(__file__).parent / "network.check.npz"
RED, WHITE = (170, 40, 50), (235, 230, 220)


def halves(lie: str, side: int = 96) -> np.ndarray:
    """A block of two cloths, cut across, down or from corner to corner."""
    picture = np.full((side, side, 3), WHITE, np.uint8)
    ends = {
        "down": [(side // 2, 0), (side, 0), (side, side), (side // 2, side)],
        "across": [(0, side // 2), (side, side // 2), (side, side), (0, side)],
        "rising": [(side, 0), (side, side), (0, side)],
        "falling": [(0, 0), (side, side), (0, side)],
    }[lie]
    cv2.fillPoly(picture, [np.array(ends)], RED)
    return picture


def test_the_network_is_the_one_that_was_trained():
    probe = np.linspace(-1, 1, 3 * 128 * 128, dtype=np.float32).reshape(1, 3, 128, 128)
    (said,) = SEAMS.run(probe)
    # Within what two ways of adding up single precision may differ by.
    assert_allclose(said[..., ::8, ::8], np.load(CHECK)["seams"], atol=2e-3)


@pytest.mark.parametrize(
    ("lie", "way"), [("across", ACROSS), ("down", DOWN), ("rising", RISING), ("falling", FALLING)]
)
def test_a_seam_is_seen_where_it_runs_and_the_way_it_runs(lie, way):
    block = np.tile(halves(lie), (2, 2, 1))
    cells = np.array(
        [[np.array([[x, y], [x + 96, y], [x + 96, y + 96], [x, y + 96]]) for x in (0, 96)] for y in (0, 96)], float
    )
    maps = see_seams(block, cells - 0.5).maps[0]
    line = {"across": maps[way, 31:33, 12:52], "down": maps[way, 12:52, 31:33].T}.get(lie)
    if line is None:
        at = np.arange(14, 50)
        line = maps[way, at, 63 - at if lie == "rising" else at][None]
    assert line.max(axis=0).mean() > 1
    others = [each for each in (ACROSS, DOWN, RISING, FALLING) if each != way]
    assert maps[others][:, 14:50, 14:50].max(axis=(1, 2)).max() < line.max(axis=0).mean()


def test_a_plain_block_shows_no_seam_inside():
    maps = see_seams(
        np.full((96, 96, 3), RED, np.uint8), np.array([[[[0, 0], [96, 0], [96, 96], [0, 96.0]]]]) - 0.5
    ).maps
    assert maps[0, ANY, 10:54, 10:54].max() < 0


def test_corners_are_set_by_the_seams_around_a_block():
    picture = np.full((160, 160, 3), WHITE, np.uint8)
    picture[34:130, 34:130] = RED
    loose = np.array([[[[30, 36], [131, 33], [128, 133], [37, 128.0]]]]) - 0.5
    true = np.array([[34, 34], [130, 34], [130, 130], [34, 130.0]]) - 0.5
    seen = see_seams(picture, loose)
    assert np.abs(seen.corners[0] - true).max() < 2.0 < np.abs(loose[0, 0] - true).max()


@pytest.mark.parametrize("move", range(8))
def test_maps_are_moved_as_pictures_are_and_ways_turn_with_them(move):
    maps = np.zeros((6, 8, 8), np.float32)
    maps[RISING, range(8), range(7, -1, -1)] = 1
    maps[DOWN, :, 1] = 1
    there = moved(maps, move)
    # By hand: mirrored left to right first, then turned clockwise.
    rising = move % 4 in (0, 2) if move < 4 else move % 4 in (1, 3)
    assert there[RISING if rising else FALLING].sum() == 8
    assert there[DOWN if move % 2 == 0 else ACROSS].sum() == 8
