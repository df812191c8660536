import itertools

import numpy as np
import pytest
from numpy.testing import assert_allclose, assert_array_equal
from scipy.ndimage import gaussian_filter

from seamlore.photo.edges.sides import best_line, best_path, best_ridge, edge_strength, from_turned, to_turned, turned

# Pictures drawn by the tests, so that their truth is exact: custom, no source.


@pytest.mark.parametrize("side", range(4))
def test_a_point_turns_with_its_picture_and_back(side: int) -> None:
    picture = np.zeros((5, 8), dtype=np.float32)
    picture[2, 7] = 1
    x, y = to_turned((7, 2), side, (5, 8))
    assert turned(picture, side)[int(y), int(x)] == 1
    assert from_turned((x, y), side, (5, 8)) == (7, 2)


def test_each_side_comes_to_the_top() -> None:
    picture = np.zeros((4, 6), dtype=np.float32)
    for side, part in enumerate((np.s_[0], np.s_[:, -1], np.s_[-1], np.s_[:, 0])):
        picture[:] = 0
        picture[part] = 1
        assert_array_equal(turned(picture, side)[0], 1)


def test_a_long_edge_is_strong_and_weave_is_not() -> None:
    rng = np.random.default_rng(1)
    lab = rng.normal(50, 6, (60, 80, 3)).astype(np.float32)
    lab[30:, :, 0] += 40
    strength = edge_strength(lab)
    assert strength[29:31, 10:70].min() > 2 * np.median(strength)
    assert 0 <= strength.min() <= strength.max() < 1


def test_the_step_is_that_of_a_general_librarys_smoothing() -> None:
    lab = np.zeros((40, 60, 3), dtype=np.float32)
    lab[20:, :, 0] = 80
    # Checked against scipy's Gaussian filter: the central difference of the smoothed picture, against the usual step.
    calm = gaussian_filter(lab[..., 0].astype(float), (1.2, 5.0), mode="mirror")
    step = (calm[21, 30] - calm[19, 30]) / 2
    assert_allclose(edge_strength(lab)[20, 30], step / (step + 0.8), rtol=0.02)


@pytest.mark.parametrize(("left", "right"), [(20, 20), (14, 60), (90, 18)])
def test_the_line_along_which_an_edge_is_seen_is_found_though_it_slopes(left: int, right: int) -> None:
    seen = np.zeros((256, 256), dtype=np.float32)
    for column in range(20, 240):
        seen[round(left + (right - left) * column / 255), column] = 0.8
    y0, y1, length = best_ridge(seen)
    assert_allclose([y0, y1], [left, right], atol=1.5)
    assert_allclose(length, 0.8 * 220, rtol=0.05)


def test_where_nothing_is_seen_the_line_has_no_length() -> None:
    assert best_ridge(np.zeros((256, 256), dtype=np.float32))[2] == 0.0


@pytest.mark.parametrize(("left", "right"), [(20, 20), (14, 30), (34, 18)])
def test_the_line_between_ground_and_quilt_is_found_though_it_slopes(left: int, right: int) -> None:
    width = 120
    said = np.empty((90, width), dtype=np.float32)
    edge = np.zeros_like(said)
    for column in range(width):
        depth = left + (right - left) * column / (width - 1)
        said[:, column] = np.where(np.arange(90) < depth, -1.0, 1.0)
        edge[round(depth), column] = 0.8
    y0, y1 = best_line(said, edge, (0.0, width - 1.0), 60)
    assert_allclose([y0, y1], [left, right], atol=1.5)


def test_where_all_is_quilt_the_side_is_at_the_rim() -> None:
    said = np.full((60, 80), 2.0, dtype=np.float32)
    assert_allclose(best_line(said, np.zeros_like(said), (0.0, 79.0), 40), 0, atol=1)


def test_no_path_gains_more_than_the_best() -> None:
    gain = np.random.default_rng(4).uniform(0, 3, (5, 5)).astype(np.float32)
    stiffness = 0.4

    def worth(path: tuple[int, ...]) -> float:
        steps = np.diff(path)
        if np.abs(steps).max() > 2:
            return -np.inf
        return float(gain[list(path), range(5)].sum() - stiffness * (steps**2).sum())

    # Every path there is, one by one.
    best = max(itertools.product(range(5), repeat=5), key=worth)
    assert tuple(best_path(gain, stiffness).tolist()) == best


def test_a_stiff_path_does_not_follow_one_spot() -> None:
    gain = np.zeros((9, 20), dtype=np.float32)
    gain[4] = 1
    gain[8, 10] = 5
    assert_array_equal(best_path(gain, 2.0), 4)
