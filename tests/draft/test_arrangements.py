"""Counts of patterns against a published table, an exact formula of others, and brute force."""

from itertools import product

import numpy as np
import pytest

from seamlore.draft.arrangements import UNITS, arrangements, unchanged
from seamlore.errors import ShapeError

HST, WITH_PLAIN, PLAIN, SEAM = UNITS

# Computed apart from this project, 2 x 2 and 3 x 3 of them by brute force (tag C): all patterns, then those different
# up to turns, turns and mirroring, turns and exchange, and all three. The totals of 2, 4 and 6 ways were also found in
# a published table of permutations (tag V); the 70 and 43 of the 2 x 2 grid follow the "2 x 2 stamp" counts.
TABLE = {
    (1, HST): (4, 1, 1, 1, 1),
    (2, HST): (256, 70, 43, 38, 27),
    (3, HST): (262_144, 65_536, 32_896, 32_896, 16_576),
    (4, HST): (4_294_967_296, 1_073_758_336, 536_911_936, 536_887_424, 268_476_480),
    (2, WITH_PLAIN): (1_296, 336, 201, 174, 111),
    (3, WITH_PLAIN): (10_077_696, 2_520_108, 1_263_942, 1_260_702, 632_511),
    (4, WITH_PLAIN): (2_821_109_907_456, 705_277_897_416, 352_642_354_596, 352_639_158_984, 176_321_585_700),
    (2, PLAIN): (16, 6, 6, 4, 4),
    (3, PLAIN): (512, 140, 102, 70, 51),
    (4, PLAIN): (65_536, 16_456, 8_548, 8_264, 4_324),
}  # fmt: skip
SEAMS = {2: (16, 6, 6), 3: (512, 136, 84), 4: (65_536, 16_456)}


def counts(size, unit):
    return (
        arrangements(size, unit, turned=False),
        arrangements(size, unit),
        arrangements(size, unit, mirrored=True),
        arrangements(size, unit, exchanged=True),
        arrangements(size, unit, mirrored=True, exchanged=True),
    )


@pytest.mark.parametrize(("case", "expected"), TABLE.items(), ids=[f"{unit} {size}" for size, unit in TABLE])
def test_counts_agree_with_the_table(case, expected):
    assert counts(*case) == expected


@pytest.mark.parametrize(("size", "expected"), SEAMS.items())
def test_counts_of_bare_seams_agree_with_the_table(size, expected):
    assert counts(size, SEAM)[: len(expected)] == expected


def test_the_patterns_that_each_motion_leaves_unchanged_agree_with_the_table():
    turns = [unchanged(2, HST, (False, turn, False)) for turn in range(4)]
    mirrors = [unchanged(2, HST, (True, turn, False)) for turn in range(4)]
    assert (turns, mirrors) == ([256, 4, 16, 4], [16, 16, 16, 16])


def test_256_grids_of_four_look_the_same_in_every_turn():
    # Stated in a book on such tilings (tag V): 4 x 4 half-square triangles with symmetry of a quarter turn.
    assert unchanged(4, HST, (False, 1, False)) == 256


@pytest.mark.parametrize("size", range(1, 7))
def test_plain_grids_agree_with_the_number_of_binary_squares_up_to_turns_and_mirrors(size):
    # From memory: the closed form of the cycle index of a square grid under its eight motions (OEIS A054247 begins
    # 2, 6, 102, 8548, 4211744, 8590557312).
    assert arrangements(size, PLAIN, mirrored=True) == [2, 6, 102, 8548, 4211744, 8590557312][size - 1]


def pictures(size, unit):
    """Brute force: every pattern as a picture of 3 x 3 points for each square, 1 dark, 0 light, 2 on the seam."""
    dark = {
        0: lambda x, y: x + y < 2, 1: lambda x, y: x > y, 2: lambda x, y: x + y > 2, 3: lambda x, y: x < y,
        4: lambda x, y: False, 5: lambda x, y: True,
    }  # fmt: skip
    points = np.mgrid[0:3, 0:3]
    tiles = []
    for state in {HST: range(4), WITH_PLAIN: range(6), PLAIN: (4, 5)}[unit]:
        seam = (points[0] + points[1] == 2) if state in (0, 2) else (points[0] == points[1])
        tile = np.vectorize(lambda y, x, at=state: int(dark[at](x, y)))(*points)
        tiles.append(np.where(seam & (state < 4), 2, tile))
    for states in product(tiles, repeat=size * size):
        yield np.block([list(states[row * size : row * size + size]) for row in range(size)])


def different(size, unit, *, mirrored, exchanged):
    seen = set()
    for picture in pictures(size, unit):
        forms = []
        for flip in (False, True) if mirrored else (False,):
            for turns in range(4):
                moved = np.rot90(np.fliplr(picture) if flip else picture, -turns)
                forms.append(moved.tobytes())
                if exchanged:
                    forms.append(np.array([1, 0, 2])[moved].tobytes())
        seen.add(min(forms))
    return len(seen)


@pytest.mark.parametrize("mirrored", [False, True])
@pytest.mark.parametrize("exchanged", [False, True])
@pytest.mark.parametrize(("size", "unit"), [(1, HST), (2, HST), (2, WITH_PLAIN), (2, PLAIN), (3, PLAIN)])
def test_counts_agree_with_brute_force(size, unit, mirrored, exchanged):
    asked = {"mirrored": mirrored, "exchanged": exchanged}
    assert arrangements(size, unit, **asked) == different(size, unit, **asked)


@pytest.mark.parametrize("size", [0, 17])
def test_a_grid_out_of_range_is_refused(size):
    with pytest.raises(ShapeError, match="from 1 by 1 to 16 by 16"):
        arrangements(size)
