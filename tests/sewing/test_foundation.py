"""Foundation piecing: the table of trade facts D1, and an oracle that lays pieces on one at a time, sharing no code."""

from __future__ import annotations

import random
from fractions import Fraction
from itertools import pairwise

import pytest
from numpy.testing import assert_allclose

from seamlore.draft.block import patch
from seamlore.draft.catalogue import all_blocks, find
from seamlore.draft.text.notation import read_block
from seamlore.lengths import length
from seamlore.sewing.foundation import foundations

from .simulator import NEAR, clockwise, floats, near, off

QUARTER = length("1/4 in")
SMALL = [each for each in all_blocks() if 2 <= len(each.patches) <= 9]


def contact(one, two):
    """The stretches along which two outlines lie together."""
    found = []
    for a, b in pairwise([*one, one[0]]):
        for c, d in pairwise([*two, two[0]]):
            (along_c, away_c, long), (along_d, away_d, _) = off(c, a, b), off(d, a, b)
            low, high = max(0.0, min(along_c, along_d)), min(long, max(along_c, along_d))
            if away_c < NEAR and away_d < NEAR and high - low > NEAR:
                found.append(
                    tuple((a[0] + (b[0] - a[0]) * t / long, a[1] + (b[1] - a[1]) * t / long) for t in (low, high))
                )
    return found


def on_one_line(stretches):
    (start, end), *others = stretches
    flat = all(off(at, start, end)[1] < NEAR for each in others for at in each)
    ends = sorted(off(at, start, end)[0] for each in stretches for at in each)
    covered = sum(abs(off(b, a, b)[0]) for a, b in stretches)
    return flat and abs(ends[-1] - ends[0] - covered) < NEAR * 10


def can_be_added(rings, sewn, piece):
    """One straight line must cover the whole joining edge."""
    touching = [stretch for other in sewn for stretch in contact(rings[other], rings[piece])]
    return bool(touching) and on_one_line(touching)


def oracle(rings):
    """Whether some order lays all pieces on one at a time: every order is tried."""
    count, dead = len(rings), set()
    can = {}

    def reach(sewn):
        if len(sewn) == count:
            return True
        if sewn in dead:
            return False
        for piece in range(count):
            if piece in sewn:
                continue
            key = sewn, piece
            if key not in can:
                can[key] = can_be_added(rings, sewn, piece)
            if can[key] and reach(sewn | {piece}):
                return True
        dead.add(sewn)
        return False

    return any(reach(frozenset((first,))) for first in range(count))


def rings_of(given):
    return [clockwise(floats(each.outline)) for each in given.patches]


def of(given):
    return foundations([each.outline for each in given.patches], QUARTER)


RING = "block Ring\nA dark\nB light\n\nA1 A1 A2\nA4 B A2\nA4 A3 A3"
PINWHEEL = "block Pinwheel\nA dark\nB light\n\nA/B A\\B\nB\\A B/A"


# Trade facts D1, the table computed there; sections joined by seams from edge to edge.
@pytest.mark.parametrize(
    ("name", "sections"),
    [
        ("Half-Square Triangle", 1), ("Square in a Square", 1), ("Log Cabin", 1),
        ("Four Patch", 2), ("Nine Patch", 3), ("Hourglass", 2),
    ],
)  # fmt: skip
def test_one_foundation_or_as_many_sections_as_the_table_says(name, sections):
    found = of(find(name))
    assert (len(found.sections), found.fewest) == (sections, True)


# A goose of 6 by 3 in and its two skies.
GOOSE = [[(0, 3), (3, 0), (6, 3)], [(0, 0), (3, 0), (0, 3)], [(3, 0), (6, 0), (6, 3)]]
GOOSE = [tuple((Fraction(x), Fraction(y)) for x, y in ring) for ring in GOOSE]


def test_a_flying_goose_is_sewn_on_one_foundation_the_goose_first():
    (section,) = foundations(GOOSE, QUARTER).sections
    assert section.pieces[0] == 0


def test_a_pinwheel_takes_two_halves():
    found = of(read_block(PINWHEEL))
    assert [len(section.patches) for section in found.sections] == [4, 4]


def test_a_ring_of_strips_needs_a_seam_that_is_not_straight_to_join_its_two_sections():
    found = of(read_block(RING))
    assert len(found.sections) == 2
    assert found.joins[-1].manner == "set in"


@pytest.mark.parametrize("given", SMALL, ids=lambda given: given.name)
def test_one_foundation_is_told_as_the_oracle_tells_it(given):
    assert (len(of(given).sections) == 1) == oracle(rings_of(given))


def random_block(seed):
    """A square parted into rectangles, some cut on a diagonal: by straight cuts, or merged from a grid."""
    dice = random.Random(seed)
    side = dice.choice([3, 4])
    free = {(x, y) for x in range(side) for y in range(side)}
    found = []
    while free:
        x, y = min(free, key=lambda cell: (cell[1], cell[0]))
        wide = high = 1
        while dice.random() < 0.6 and all((x + wide, y + dy) in free for dy in range(high)):
            wide += 1
        while dice.random() < 0.6 and all((x + dx, y + high) in free for dx in range(wide)):
            high += 1
        free -= {(x + dx, y + dy) for dx in range(wide) for dy in range(high)}
        box = [(x, y), (x + wide, y), (x + wide, y + high), (x, y + high)]
        if dice.random() < 0.3:
            found += [[box[0], box[1], box[2]], [box[0], box[2], box[3]]]
        else:
            found.append(box)
    return [patch([(Fraction(x), Fraction(y)) for x, y in ring], "A").outline for ring in found]


def test_random_blocks_are_told_as_the_oracle_tells_them():
    told = {True: 0, False: 0}
    for seed in range(260):
        outlines = random_block(seed)
        if not 3 <= len(outlines) <= 7:
            continue
        answer = oracle([clockwise(floats(ring)) for ring in outlines])
        assert (len(foundations(outlines, QUARTER).sections) == 1) == answer, seed
        told[answer] += 1
    assert min(told.values()) >= 20


@pytest.mark.parametrize("name", ["Sawtooth Star", "Economy Patch", "Log Cabin", "Kansas Troubles", "LeMoyne Star"])
def test_each_section_is_sewn_in_its_order_and_all_pieces_are_in_one(name):
    given = find(name)
    rings = rings_of(given)
    found = of(given)
    assert sorted(piece for section in found.sections for piece in section.pieces) == list(range(len(rings)))
    for section in found.sections:
        for number in range(1, len(section.pieces)):
            assert can_be_added(rings, section.pieces[:number], section.pieces[number])
        assert [each.number for each in section.patches] == list(range(1, len(section.pieces) + 1))


def test_a_foundation_is_printed_mirrored_with_its_allowance_and_every_line():
    (section,) = foundations(GOOSE, QUARTER).sections
    for each in section.patches:
        mirrored = clockwise([(6 - x, y) for x, y in floats(GOOSE[each.piece])])
        assert all(any(near(corner, at) for at in floats(each.outline)) for corner in mirrored)
    assert [bool(each.line) for each in section.patches] == [False] + [True] * (len(section.patches) - 1)
    assert_allclose(section.cutting.min(axis=0), [-0.25, -0.25])


def test_a_rough_piece_covers_its_place_with_allowances_and_a_quarter_inch_to_spare():
    (section,) = of_half().sections
    first, second = section.patches
    # A 3 in square cut on the diagonal: along the seam 3 times the root of two, and half of that high.
    assert_allclose([side.inches_float for side in first.rough], [3 * 2**0.5 + 1, 1.5 * 2**0.5 + 1])
    assert_allclose([side.inches_float for side in second.rough], [3 * 2**0.5 + 1, 1.5 * 2**0.5 + 1])


def of_half():
    half = find("Half-Square Triangle")
    return foundations([tuple((x * 3, y * 3) for x, y in each.outline) for each in half.patches], QUARTER)
