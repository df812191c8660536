"""What many blocks show together, and the least turn that is told of a block that looks the same turned."""

from __future__ import annotations

from itertools import pairwise

import numpy as np

from seamlore.photo.block.kinds import kinds_of
from seamlore.photo.block.laying import lay_as_drawn
from seamlore.photo.block.seams import ACROSS, ANY, DOWN, SIDE, Sight
from seamlore.photo.stack import cloth, move_square, undo

# The blocks are drawn here, so that their truth is exact: custom, no source.
# Where seams run across and down: however the block is turned, they run elsewhere.
LINES = {ACROSS: (12, 30), DOWN: (20, 48)}


def nine_pieces(missing):
    """What is seen of nine pieces of whose twelve stretches of seam one is worn away."""
    maps = np.full((6, SIDE, SIDE), -4, np.float32)
    number = 0
    for way, other in ((ACROSS, DOWN), (DOWN, ACROSS)):
        for at in LINES[way]:
            for start, end in pairwise((0, *LINES[other], SIDE)):
                if number != missing:
                    for plane in (ANY, way):
                        view = maps[plane] if way == ACROSS else maps[plane].T
                        view[at - 1 : at + 1, start:end] = 4
                number += 1
    return maps


def test_a_stretch_of_seam_worn_away_in_each_block_is_seen_in_what_they_show_together():
    missing = (0, 2, 4, 6, 8, 10)
    places = np.array([[0, k] for k in range(len(missing))])
    (kind,) = kinds_of(Sight(np.stack([nine_pieces(at) for at in missing]), np.zeros((len(missing), 4, 2)), places))
    assert (len(kind.drawing), len(kind.members)) == (9, len(missing))
    # Alone, two patches run together where the stretch is gone.
    (alone,) = kinds_of(Sight(nine_pieces(0)[None], np.zeros((1, 4, 2)), places[:1]))
    assert len(alone.drawing) == 8


HALVES = (((0.0, 0.0), (1.0, 0.0), (0.0, 1.0)), ((1.0, 0.0), (1.0, 1.0), (0.0, 1.0)))


def test_of_scrappy_blocks_that_look_the_same_turned_the_least_turn_is_told():
    # A square cut on one diagonal has its seam there after half a turn, and mirrored when turned by a quarter too; where
    # all cloth is scrappy nothing else tells how it lies: a quarter turn or none.
    rng = np.random.default_rng(4)
    said = [0, 1, 2, 3, 5, 4, 7, 6] * 2
    y, x = np.mgrid[0:SIDE, 0:SIDE]
    blocks = []
    for move in said:
        drawn = np.where((x + y < SIDE)[..., None], *rng.integers(20, 235, (2, 3))).astype(np.uint8)
        blocks.append(move_square(drawn[None], undo(move))[0])
    pixels = np.ascontiguousarray(np.concatenate(blocks, axis=1))
    square = np.array([[0, 0], [1, 0], [1, 1], [0, 1.0]])
    corners = np.array([(square + np.array([k, 0])) * SIDE for k in range(len(said))]) - 0.5
    places = np.array([[0, k] for k in range(len(said))])
    source = cloth(pixels, corners[None], SIDE)
    found = lay_as_drawn(source, places, corners, HALVES, np.array(said, np.intp), SIDE)
    assert {undo(int(move)) for move in found.moves} == {0, 1}
