import numpy as np
from numpy.testing import assert_allclose, assert_array_equal
from scipy.ndimage import convolve1d

from seamlore.photo.edges.ground import (
    depth_maps,
    kinds_of,
    maps_by_side,
    overlap,
    quilt_over_ground,
    scene_of,
    share_of_kinds,
    with_shadows,
)

# Pictures drawn by the tests, so that their truth is exact: custom, no source.
BINS = (4, 24, 30, 30)


def on_a_floor(seed: int = 1) -> tuple[np.ndarray, np.ndarray]:
    """A reddish quilt on a gray floor, in CIELAB, and where the quilt lies."""
    rng = np.random.default_rng(seed)
    lab = np.empty((90, 120, 3), dtype=np.float32)
    lab[:] = (60, 0, 5)
    inside = np.zeros((90, 120), dtype=bool)
    inside[20:70, 30:95] = True
    lab[inside] = (45, 35, 20)
    return (lab + rng.normal(0, 0.6, lab.shape)).astype(np.float32), inside


def test_cloths_of_two_colors_and_of_two_textures_are_of_different_kinds() -> None:
    lab = np.full((20, 40, 3), (50, 0, 0), dtype=np.float32)
    lab[:, 20:, 1] = 30
    kinds = kinds_of(lab)
    assert kinds[10, 5] != kinds[10, 35]
    rough = np.full((20, 20, 3), (50, 0, 0), dtype=np.float32)
    rough[::2, :, 0] += 8
    assert kinds_of(rough)[10, 10] != kinds[10, 5]


def test_shares_add_up_and_spread_as_a_general_library_spreads_them() -> None:
    kinds = np.random.default_rng(2).integers(0, int(np.prod(BINS)), (30, 30))
    share = share_of_kinds(kinds)
    assert_allclose(share.sum(), 1.0)
    # Checked against scipy: a mean over three neighbors along each axis, the ends repeated.
    expected = np.bincount(kinds.ravel(), minlength=int(np.prod(BINS))).astype(float).reshape(BINS)
    for axis, part in ((0, 0.15), (1, 0.25), (2, 0.25), (3, 0.25)):
        expected = convolve1d(expected, [part, 1 - 2 * part, part], axis=axis, mode="nearest")
    assert_allclose(share, expected.ravel() / expected.sum(), atol=1e-12)


def test_no_pixel_counted_gives_no_share() -> None:
    assert_allclose(share_of_kinds(np.zeros((3, 3), dtype=np.int64), np.zeros((3, 3), dtype=bool)), 0)


def test_a_ground_is_also_what_it_looks_like_in_shadow() -> None:
    lit = share_of_kinds(kinds_of(np.full((9, 9, 3), (60, 10, 10), dtype=np.float32)))
    dark = share_of_kinds(kinds_of(np.full((9, 9, 3), (48, 8, 8), dtype=np.float32)))
    assert overlap(lit, dark) < 0.1
    assert overlap(with_shadows(lit), dark) > 3 * overlap(lit, dark)
    assert_allclose(with_shadows(lit).sum(), 1.0)


def test_what_the_ground_lacks_is_likelier_quilt_and_no_pixel_outvotes_the_rest() -> None:
    lab, inside = on_a_floor()
    kinds = kinds_of(lab)
    said = quilt_over_ground(kinds, share_of_kinds(kinds, inside), share_of_kinds(kinds, ~inside))
    # Its seams with the floor are of neither.
    assert said[30:60, 40:85].min() > 1
    assert np.median(said[~inside]) < -1
    assert np.abs(said).max() <= 3


def test_distances_are_from_all_four_sides() -> None:
    top, right, bottom, left = depth_maps((3, 5))
    assert_array_equal([top[2, 1], right[2, 1], bottom[2, 1], left[2, 1]], [2, 3, 0, 1])


def test_every_side_tells_quilt_from_the_ground_that_it_sees() -> None:
    lab, inside = on_a_floor(3)
    lab[:, :25] = (80, 0, 0)
    scene = scene_of(lab)
    maps = maps_by_side(scene, inside, (15.0, 15.0, 15.0, 20.0), 4.0, np.zeros(4, dtype=bool))
    assert len(maps) == 4
    for said in maps:
        assert np.median(said[inside]) > 1 > np.median(said[~inside])
