"""Blocks laid alike whose drawing is known: their seams decide how they lie, and their cloth where seams do not tell."""

from __future__ import annotations

import numpy as np
import pytest

from seamlore.photo.block.agreement import lay
from seamlore.photo.block.laying import lay_as_drawn
from seamlore.photo.stack import cloth, move_square, undo

HALVES = (((0.0, 0.0), (1.0, 0.0), (0.0, 1.0)), ((1.0, 0.0), (1.0, 1.0), (0.0, 1.0)))
SIDE = 64
DARK, LIGHT = (40, 50, 110), (235, 225, 205)


def quilt(colors, moves):
    """Blocks in a row, each of two halves of the colors given, lying by the move that takes it to the drawing."""
    y, x = np.mgrid[0:SIDE, 0:SIDE]
    blocks = []
    for (one, two), move in zip(colors, moves, strict=True):
        drawn = np.where((x + y < SIDE)[..., None], np.array(one, np.uint8), np.array(two, np.uint8))
        blocks.append(move_square(drawn[None], undo(move))[0])
    pixels = np.concatenate(blocks, axis=1)
    corners = np.array(
        [[[k * SIDE, 0], [(k + 1) * SIDE, 0], [(k + 1) * SIDE, SIDE], [k * SIDE, SIDE]] for k in range(len(moves))],
        float,
    )
    return np.ascontiguousarray(pixels), corners - 0.5


def laid(colors, moves, said):
    pixels, corners = quilt(colors, moves)
    places = np.array([[0, k] for k in range(len(moves))])
    source = cloth(pixels, corners[None], SIDE)
    return lay_as_drawn(source, places, corners, HALVES, np.array(said, np.intp), SIDE)


def slope(move):
    """Whether the seam of a block that is taken to the drawing by a move rises."""
    (ring, _) = lay(HALVES, undo(int(move)))
    return {(0.0, 1.0), (1.0, 0.0)} <= set(ring)


def test_where_all_cloth_is_scrappy_each_block_keeps_the_way_its_seam_runs():
    rng = np.random.default_rng(4)
    moves = [k % 2 for k in range(16)]
    colors = [tuple(rng.integers(20, 235, (2, 3))) for _ in moves]
    found = laid(colors, moves, moves)
    assert [slope(move) for move in found.moves] == [slope(move) for move in moves]


@pytest.mark.parametrize("off", [2, 5, 7])
def test_where_seams_do_not_tell_a_turn_the_cloth_does(off):
    moves = [2 if k in (2, 10) else 0 for k in range(16)]
    said = [off if k in (1, 9) and slope(off) == slope(0) else 0 for k in range(len(moves))]
    found = laid([(DARK, LIGHT)] * len(moves), moves, said)
    # As it looks, up to turning all of them: the two lie otherwise than the rest, and none is called mirrored.
    assert len({int(move) for move, true in zip(found.moves, moves, strict=True) if true == 0}) == 1
    assert len({int(move) for move, true in zip(found.moves, moves, strict=True) if true == 2}) == 1
    assert len({int(move) for move in found.moves}) == 2
    assert all(undo(int(move)) < 4 for move in found.moves)
