import numpy as np
from numpy.testing import assert_array_equal

from seamlore.photo.block.places import gather_places, values_of


def test_patches_of_one_fabric_in_each_block_take_one_place() -> None:
    rng = np.random.default_rng(1)
    light, dark = (
        rng.uniform([70, -10, -10], [95, 10, 10], (12, 3)),
        rng.uniform([15, -20, -20], [45, 20, 20], (12, 3)),
    )
    means = np.stack([light, dark, light, dark, light]) + rng.normal(0, 1, (5, 12, 3))
    assert_array_equal(gather_places(means, np.full(12, 100.0), np.full(5, 0.2), 96), [0, 1, 0, 1, 0])


def test_patches_that_each_take_any_dark_scrap_are_one_scrappy_place() -> None:
    rng = np.random.default_rng(2)
    background = np.tile([85.0, 2, 8], (30, 1))
    scraps = rng.uniform([15, -25, -25], [45, 25, 25], (3, 30, 3))
    means = np.concatenate([background[None], scraps]) + rng.normal(0, 1, (4, 30, 3))
    assert_array_equal(gather_places(means, np.full(30, 100.0), np.full(4, 0.25), 96), [0, 1, 1, 1])


def test_two_fixed_fabrics_near_in_color_stay_two_places() -> None:
    means = np.stack([np.tile([60.0, 20, 10], (10, 1)), np.tile([60.0, 8, 30], (10, 1))])
    assert_array_equal(gather_places(means, np.full(10, 50.0), np.full(2, 0.5), 96), [0, 1])


def test_values_are_told_against_the_rest_of_the_block() -> None:
    assert values_of(np.array([45.0, 20.0, 33.0])) == ("light", "dark", "medium")


def test_fabrics_nearly_alike_are_called_by_their_own_lightness() -> None:
    assert values_of(np.array([84.0, 80.0])) == ("light", "light")
