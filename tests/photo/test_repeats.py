import numpy as np
from numpy.testing import assert_allclose
from skimage.registration import phase_cross_correlation

from seamlore.photo.repeats import compare, mean_likeness, pitches
from seamlore.photo.steps_energy import gather


def tiled(down: int, across: int, pitch: tuple[int, int]) -> np.ndarray:
    """One block of random patches, laid again and again."""
    rng = np.random.default_rng(2)
    patches = rng.uniform(30, 230, (4, 4, 3))
    rows, columns = np.arange(pitch[1]) * 4 // pitch[1], np.arange(pitch[0]) * 4 // pitch[0]
    block = patches[rows][:, columns]
    return np.tile(block, (down, across, 1)).astype(np.uint8)


def test_the_pitch_of_a_block_laid_again_and_again_is_found() -> None:
    evidence = gather(tiled(8, 8, (80, 80)))
    width, height = evidence.size
    first = pitches(compare(evidence, (0, 0, width, height)))[0]
    assert_allclose((first.across, first.down), (80, 80), rtol=0.01)


def test_blocks_that_are_not_square_have_two_pitches() -> None:
    evidence = gather(tiled(8, 8, (80, 64)))
    width, height = evidence.size
    first = pitches(compare(evidence, (0, 0, width, height)))[0]
    assert_allclose((first.across, first.down), (80, 64), rtol=0.01)


def test_likeness_is_most_where_a_general_library_finds_the_shift() -> None:
    # scikit-image's phase correlation of two cuts of the picture, one pitch and a bit apart.
    picture = tiled(8, 8, (80, 80))
    shift, _, _ = phase_cross_correlation(picture[0:320, 0:320, 0], picture[0:320, 7:327, 0])
    evidence = gather(picture)
    width, height = evidence.size
    likeness = compare(evidence, (0, 0, width, height))
    pitch = 80 + 7 - abs(float(shift[1]))
    assert mean_likeness(likeness, pitch, 80.0) > mean_likeness(likeness, pitch - 10, 80.0) + 0.3


def test_a_picture_without_change_repeats_nowhere() -> None:
    evidence = gather(np.full((200, 240, 3), 128, np.uint8))
    width, height = evidence.size
    table = compare(evidence, (0, 0, width, height)).table
    assert_allclose(table, 0, atol=1e-3)
