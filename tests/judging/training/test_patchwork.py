"""Windows of patchwork that the seam network learns from: the same again, and seams where pieces meet."""

from __future__ import annotations

import cv2
import numpy as np
import pytest
from scipy import ndimage

from judging.training.patchwork.bank import Bank
from judging.training.patchwork.blocks import make_block
from judging.training.patchwork.sewing import ACROSS, DOWN, FALLING, OTHER, RISING, Sewn, mark, sew
from judging.training.patchwork.windows import SEED, SIDE, draw_chunk, draw_window

STRAIGHT = np.array([[20.0, 20], [100, 20], [100, 100], [20, 100]])
ASLANT = np.array([[60.0, 20], [100, 60], [60, 100], [20, 60]])


def _rng(number: int) -> np.random.Generator:
    return np.random.default_rng((SEED, number))


def test_the_same_windows_are_drawn_again_and_others_from_other_numbers() -> None:
    once, again = draw_chunk(0, 3), draw_chunk(0, 3)
    for name, array in once.items():
        assert np.array_equal(array, again[name])
    assert (once["pixels"][0] != once["pixels"][1]).any()
    # Numbers count, not where a chunk begins, until its bank is full.
    assert np.array_equal(once["pixels"][2], draw_chunk(2, 1)["pixels"][0])
    full = Bank([np.full((320, 320, 3), 90, np.float32)] * 220)
    assert (draw_window(_rng(2), full).pixels != once["pixels"][2]).any()


def test_a_bank_takes_in_fabrics_until_it_is_full_and_gives_them_again() -> None:
    bank, rng = Bank(), _rng(0)
    bank.fabrics = [np.zeros((1, 1, 3), np.float32)] * 219
    bank.take(rng)
    kept = list(bank.fabrics)
    assert len(kept) == 220
    for _ in range(30):
        bank.take(rng)
    assert len(bank.fabrics) == 220
    assert sum(one is two for one, two in zip(kept, bank.fabrics, strict=True)) > 210


@pytest.mark.parametrize("seed", range(60))
def test_the_patches_of_a_block_cover_it_once(seed: int) -> None:
    block = make_block(np.random.default_rng(seed))
    every = np.concatenate([ring for ring, _ in block])
    assert every.min() == pytest.approx(0, abs=1e-9)
    assert every.max() == pytest.approx(1, abs=1e-9)
    assert sum(cv2.contourArea(ring.astype(np.float32)) for ring, _ in block) == pytest.approx(1, abs=1e-5)
    # Shrunk a little, none lies over another.
    covered = np.zeros((400, 400), np.uint8)
    for ring, _ in block:
        one = np.zeros_like(covered)
        cv2.fillPoly(one, [np.rint(ring * 399 * 16).astype(np.int32)], [1], shift=4)
        covered += cv2.erode(one, np.ones((5, 5), np.uint8))
    assert covered.max() == 1


@pytest.mark.parametrize("number", range(8))
def test_every_seam_lies_where_two_pieces_meet_and_every_meeting_is_a_seam(number: int) -> None:
    rng, side = _rng(number), 90.0
    sewn = sew(rng, Bank(), side, 256)
    seams = mark(sewn).seams > 0
    meet = np.zeros(sewn.pieces.shape, bool)
    meet[:, 1:] |= sewn.pieces[:, 1:] != sewn.pieces[:, :-1]
    meet[1:] |= sewn.pieces[1:] != sewn.pieces[:-1]
    inside = np.s_[8:-8, 8:-8]  # at the rim a piece may end where none is seen
    # Corners stray by a hundredth of the block, so that a piece may end a little under the next.
    off = ndimage.distance_transform_edt(~meet)[inside][seams[inside]]
    assert off.max() <= 3 + 0.12 * side
    assert np.quantile(off, 0.98) <= 3 + 0.03 * side
    assert ndimage.distance_transform_edt(~seams)[inside][meet[inside]].max() <= 2


@pytest.mark.parametrize(
    ("ring", "ways"), [(STRAIGHT, [ACROSS, DOWN, ACROSS, DOWN]), (ASLANT, [FALLING, RISING, FALLING, RISING])]
)
@pytest.mark.parametrize("degrees", [0, 9, -9, 20])
def test_ways_are_those_of_the_sides_as_drafted(ring: np.ndarray, ways: list[int], degrees: float) -> None:
    angle = np.radians(degrees)
    turn = np.array([[np.cos(angle), -np.sin(angle)], [np.sin(angle), np.cos(angle)]])
    laid = (ring - 60) @ turn.T + 60
    picture, pieces = np.zeros((120, 120, 3), np.float32), np.zeros((120, 120), np.int32)
    middles = (laid + np.roll(laid, -1, axis=0)) / 2
    for straighten, want in ((np.eye(2), ways if abs(degrees) < 13 else [OTHER] * 4), (np.linalg.inv(turn), ways)):
        marks = mark(Sewn(picture, pieces, [laid], [0], straighten))
        assert [int(marks.ways[round(y), round(x)]) for x, y in middles] == want
        assert marks.seams[tuple(np.rint(middles[0]).astype(int)[::-1])] == 255


def test_a_seam_between_two_pieces_of_one_fabric_is_faint_and_one_between_two_fabrics_is_not() -> None:
    left = np.array([[0.0, 0], [60, 0], [60, 119], [0, 119]])
    right = np.array([[60.0, 0], [119, 0], [119, 119], [60, 119]])
    pieces = np.ones((120, 120), np.int32)
    pieces[:, 60:] = 2
    for fabrics, faint in (([0, 0], 255), ([0, 1], 0)):
        sewn = Sewn(np.zeros((120, 120, 3), np.float32), pieces, [left, right], fabrics, np.eye(2))
        assert mark(sewn).faint[60, 60] == faint


@pytest.mark.parametrize("number", range(100, 106))
def test_a_window_says_the_way_of_every_seam_and_learns_less_where_none_shows(number: int) -> None:
    window = draw_window(_rng(number), Bank())
    assert window.pixels.shape == (SIDE, SIDE, 3)
    assert (window.ways[window.seams > 100] > 0).all()
    assert set(np.unique(window.ways)) <= {0, ACROSS, DOWN, RISING, FALLING, OTHER}
    assert set(np.unique(window.weight)) <= {50, 60, 255}
    assert 0.01 < (window.seams > 128).mean() < 0.95
    # On the seam itself either all is learned or next to nothing; beside it less than elsewhere.
    assert 60 not in window.weight[window.seams >= 100]
    assert (window.weight[cv2.dilate(window.seams, np.ones((5, 5), np.uint8)) <= 60] != 60).all()
