import numpy as np
from numpy.testing import assert_allclose

from seamlore.photo.grid.lines import Axis, place, through


def a_profile(lines: list[float], length: int) -> np.ndarray:
    x = np.arange(length)
    return np.maximum.reduce([2 * np.exp(-(((x - line) / 1.5) ** 2)) for line in lines]) - 0.3


# Straight lines through given points: the least-squares answers are known in advance.


def test_lines_go_to_their_seams_and_the_even_grid_through_them() -> None:
    seams = [50.4, 101.4, 152.4, 203.4]
    placed = place(a_profile(seams, 260), Axis(0.0, 50.0, 0.0, 5))
    assert_allclose(placed.spans[1:, 0], seams, atol=0.3)
    assert_allclose(placed.pitch, 51.0, atol=0.15)


def test_one_uneven_line_hardly_moves_the_even_grid() -> None:
    seams = [50.0, 100.0, 154.0, 200.0, 250.0, 300.0]
    placed = place(a_profile(seams, 350), Axis(0.0, 50.0, 0.0, 7))
    assert_allclose(placed.spans[3, 0], 154.0, atol=0.5)
    assert_allclose(placed.pitch, 50.0, atol=0.2)


def test_sashing_keeps_two_lines_between_blocks() -> None:
    seams = [40.0, 52.0, 92.0, 104.0]
    placed = place(a_profile(seams, 144), Axis(0.0, 52.0, 11.0, 3))
    assert_allclose(placed.gap, 12.0, atol=0.4)
    assert_allclose(placed.spans[1], (52.0, 92.0), atol=0.4)


def test_without_any_seam_the_even_grid_stands() -> None:
    placed = place(np.zeros(200), Axis(0.0, 50.0, 0.0, 4))
    assert_allclose(placed.spans[:, 0], [0, 50, 100, 150], atol=0.5)


def test_a_line_placed_by_hand_is_not_moved() -> None:
    placed = place(a_profile([50.0, 100.0, 150.0], 200), Axis(0.0, 50.0, 0.0, 4), given=[93.0])
    assert_allclose(placed.spans[2, 0], 93.0, atol=1e-9)


def test_a_seam_that_goes_right_through_stands_out() -> None:
    energy = np.random.default_rng(0).uniform(0, 0.2, (80, 200))
    energy[:, ::8] = 0.9
    energy[:8, 101] = 0.9
    profile = through(energy, slice(0, 80))
    assert profile[::8].min() > 0.9
    assert profile[101] < 0.3


def test_lines_of_blocks_from_edge_to_edge_stay_between_blocks_where_a_seam_in_each_is_plainer() -> None:
    # Six blocks of 100 fill 600; in each a seam 8 farther on is plainer than that between it and the next.
    between, inside = a_profile([100, 200, 300, 400, 500], 600), a_profile([8, 108, 208, 308, 408, 508], 600)
    profile = np.maximum(0.75 * between, inside)
    placed = place(profile, Axis(0.0, 100.0, 0.0, 6))
    assert_allclose(placed.spans[1:, 0], [100, 200, 300, 400, 500], atol=3)
    # Blocks that do not fill it may lie so.
    farther = place(profile, Axis(0.0, 100.0, 0.0, 5))
    assert_allclose(farther.spans[1:, 0], [108, 208, 308, 408], atol=3)


def test_a_single_block_that_fills_the_quilt_stays_though_a_seam_in_it_lies_near_its_side() -> None:
    placed = place(a_profile([40], 600), Axis(0.6, 598.8, 0.0, 1))
    assert_allclose(placed.spans, [[0, 600]], atol=8)
    assert_allclose(place(a_profile([40], 640), Axis(0.6, 598.8, 0.0, 1)).spans[0, 0], 40, atol=3)
