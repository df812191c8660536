import numpy as np
from numpy.testing import assert_allclose

from seamlore.photo.folding import BINS, features, fold, follow, plain_margin
from seamlore.photo.repeats import Pitch
from seamlore.photo.steps_energy import gather

# Pictures are drawn here; what comes out is known in advance.


def test_a_plain_border_is_found_on_all_four_sides() -> None:
    rng = np.random.default_rng(4)
    picture = np.full((500, 640, 3), 120, np.uint8)
    picture[60:440, 60:580] = np.kron(rng.integers(20, 240, (19, 26, 3)), np.ones((20, 20, 1))).astype(np.uint8)
    assert_allclose(plain_margin(gather(picture)), (60, 60, 580, 440), atol=12)


def test_without_a_border_all_is_kept() -> None:
    rng = np.random.default_rng(4)
    picture = np.kron(rng.integers(20, 240, (25, 32, 3)), np.ones((20, 20, 1))).astype(np.uint8)
    assert_allclose(plain_margin(gather(picture)), (0, 0, 640, 500), atol=4)


def test_folding_a_wave_over_its_length_gives_the_wave() -> None:
    x = np.arange(600) + 0.5
    folded = fold(np.sin(2 * np.pi * x / 60), 60.0, np.ones(600))
    expected = np.sin(2 * np.pi * (np.arange(BINS) + 0.5) / BINS)
    assert_allclose(folded, expected, atol=0.03)


def test_what_counts_for_nothing_leaves_no_trace() -> None:
    weight = np.where(np.arange(600) < 300, 1.0, 0.0)
    folded = fold(np.where(np.arange(600) < 300, 1.0, 9.0), 60.0, weight)
    assert_allclose(folded, 1.0)


def bordered() -> np.ndarray:
    rng = np.random.default_rng(6)
    picture = np.full((480, 640, 3), 90, np.uint8)
    block = np.kron(rng.integers(30, 230, (4, 4, 3)), np.ones((20, 20, 1)))
    picture[80:400, 80:560] = np.tile(block, (4, 6, 1)).astype(np.uint8)
    return picture


def test_blocks_follow_their_mean_block_and_a_border_does_not() -> None:
    evidence = gather(bordered())
    pitch = Pitch(80.0, 80.0, 1.0, 1.0, (0.0, 0.0, 0.0))
    folded = follow(features(evidence), pitch, (80, 80, 560, 400), evidence.size, chess=False)
    assert folded.across[200:440].min() > 0.8
    assert folded.across[:30].max() < 0.3
    assert folded.explained > 0.8


def test_a_mirrored_block_is_like_itself_about_its_middle() -> None:
    y, x = np.mgrid[0:80, 0:80]
    block = np.where((abs(x - 39.5) < 15) | (abs(y - 39.5) < 25), 220, 60)
    picture = np.tile(block, (6, 8))[..., None].repeat(3, axis=2).astype(np.uint8)
    evidence = gather(picture)
    pitch = Pitch(80.0, 80.0, 1.0, 1.0, (0.0, 0.0, 0.0))
    folded = follow(features(evidence), pitch, (0, 0, 640, 480), evidence.size, chess=False)
    assert min(folded.mirrored(0.5, 0.5)) > 0.9
    assert folded.half_turned(0.5, 0.5) > 0.9
    assert min(folded.mirrored(0.3, 0.5)) < 0.6
