"""Grids that cut blocks, on patterns drawn by the tests, so that their truth is exact: common practice, no source."""

import numpy as np
import pytest

from seamlore.photo.grid.candidates import Candidate
from seamlore.photo.grid.combs import Comb
from seamlore.photo.grid.doubling import whole_blocks

SIDE = 16
HALF = np.triu(np.full((SIDE, SIDE), 60.0)) + 20


def comb(count: int, gap: float = 0.0) -> Comb:
    return Comb(0.0, 1 / count, gap / count, count, 0.0, 0.0, 1.0, 1.0, 0.0)


def counts(cells: list[list[np.ndarray]], *, on_point: bool = False, gap: float = 0.0) -> tuple[int, int]:
    """Rows and columns that remain of a grid with these cells."""
    picture = np.block(cells)
    noise = np.random.default_rng(0).normal(0, 4, (*picture.shape, 3))
    lab = (picture[..., None] + noise).astype(np.float32)
    whole = whole_blocks(lab, Candidate(on_point, comb(len(cells[0]), gap), comb(len(cells), gap), {}))
    return whole.down.count, whole.across.count


def turned(of: int) -> np.ndarray:
    return np.rot90(HALF, of)


PINWHEEL = [[turned((0, 1, 3, 2)[2 * (row % 2) + column % 2]) for column in range(8)] for row in range(6)]


def test_a_pinwheel_cut_into_its_four_squares_is_whole_again() -> None:
    assert counts(PINWHEEL) == (3, 4)


def test_blocks_cut_one_way_only_are_whole_again() -> None:
    assert counts([[turned(column % 2) for column in range(8)] for _ in range(5)]) == (5, 4)


@pytest.mark.parametrize("other", [turned(1), np.full((SIDE, SIDE), 50.0)], ids=["turned", "plain"])
def test_blocks_that_alternate_stay(other: np.ndarray) -> None:
    cells = [[HALF if (row + column) % 2 else other for column in range(8)] for row in range(6)]
    assert counts(cells) == (6, 8)


def test_blocks_turned_about_by_chance_stay() -> None:
    rng = np.random.default_rng(3)
    assert counts([[turned(int(rng.integers(4))) for _ in range(8)] for _ in range(6)]) == (6, 8)


def test_blocks_all_alike_stay() -> None:
    assert counts([[HALF] * 8] * 6) == (6, 8)


def test_sashing_parts_whole_blocks_and_on_point_is_left_alone() -> None:
    assert counts(PINWHEEL, gap=0.2) == (6, 8)
    assert counts(PINWHEEL, on_point=True) == (6, 8)


def test_an_uneven_count_is_not_halved() -> None:
    assert counts([row[:7] for row in PINWHEEL]) == (6, 7)
    assert counts([[turned(row % 2)] * 7 for row in range(6)]) == (3, 7)


def test_columns_that_repeat_by_chance_are_no_halves() -> None:
    # Every second column happens to be alike, but what stands in line is not the same.
    rows = [[turned((row + (column % 2) * (1 + row % 3)) % 4) for column in range(6)] for row in range(5)]
    assert counts(rows) == (5, 6)


@pytest.mark.parametrize(("gap", "rows"), [(0.0, 3), (0.03, 6)], ids=["touching", "with sashing"])
def test_quarters_that_share_the_cloth_of_their_block_are_one_block_unless_sashing_parts_them(gap, rows):
    gen = np.random.default_rng(7)
    # Each block is a checkerboard of four by four in two cloths of its own.
    blocks = [
        np.kron(
            np.where((np.indices((4, 4)).sum(axis=0) % 2)[..., None], *gen.uniform(10, 90, (2, 3))),
            np.ones((8, 8, 1)),
        )
        for _ in range(12)
    ]
    lab = np.concatenate([np.concatenate(blocks[4 * row : 4 * row + 4], axis=1) for row in range(3)]).astype(
        np.float32
    )
    across, down = (Comb(0.0, 1 / n, gap / n * 4, n, 0.0, 0.0, 1.0, 1.0, 0.0) for n in (8, 6))
    found = whole_blocks(lab, Candidate(False, across, down, {}))
    assert found.down.count == rows


def quarter(seed: int) -> np.ndarray:
    """A corner of a block, its lights and darks by chance, 20 pixels a side."""
    return np.kron(np.random.default_rng(seed).uniform(10, 90, (5, 5)), np.ones((4, 4)))


@pytest.mark.parametrize(
    ("wide", "corners", "rows"),
    [
        (10, [quarter(1)] * 4, 1),
        (6, [quarter(1)] * 4, 2),
        (10, [quarter(k) for k in range(4)], 2),
    ],
    ids=["half as wide", "as wide as sashing may be", "corners unlike each other"],
)
def test_four_squares_turned_round_a_cross_too_wide_for_sashing_are_one_block(wide, corners, rows):
    lab = np.full((2 * 20 + wide,) * 2, 50.0)
    for turn, (corner, (down, across)) in enumerate(
        zip(corners, ((0, 0), (0, 20 + wide), (20 + wide,) * 2, (20 + wide, 0)), strict=True)
    ):
        lab[down : down + 20, across : across + 20] = np.rot90(corner, -turn)
    side = len(lab)
    along = Comb(0.0, (20 + wide) / side, wide / side, 2, 0.0, 0.0, 1.0, 1.0, 0.0)
    whole = whole_blocks(lab[..., None].repeat(3, axis=2).astype(np.float32), Candidate(False, along, along, {}))
    assert (whole.down.count, whole.across.count) == (rows, rows)


def test_four_squares_mirrored_about_a_wide_cross_are_one_block_from_edge_to_edge():
    lab = np.full((50, 50), 50.0)
    # Light comes in from the side: turned, a corner is like none of the others.
    lab[:20, :20] = np.linspace(10, 90, 20)
    lab[:, 30:] = lab[:, :20][:, ::-1]
    lab[30:] = lab[:20][::-1]
    along = Comb(0.0, 30 / 50, 10 / 50, 2, 0.0, 0.0, 1.0, 1.0, 0.0)
    whole = whole_blocks(lab[..., None].repeat(3, axis=2).astype(np.float32), Candidate(False, along, along, {}))
    assert (whole.down.count, whole.across.count) == (1, 1)
    assert (whole.across.first, whole.across.last) == pytest.approx((0, 1))
