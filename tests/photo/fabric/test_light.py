import numpy as np
from numpy.testing import assert_allclose

from seamlore.photo.fabric.fabrics import Swatches, gather_fabrics
from seamlore.photo.fabric.light import even_light


def swatches_of(lab: np.ndarray) -> Swatches:
    count = len(lab)
    where = np.stack([np.arange(count), np.zeros(count, int)], axis=-1)
    return Swatches(where, lab, np.zeros((count, 4)), np.full((count, 3), 0.5), np.full(count, 400.0))


def test_light_that_falls_off_over_the_quilt_is_taken_out() -> None:
    rng = np.random.default_rng(2)
    places = np.indices((8, 8)).reshape(2, -1).T
    falling = 6.0 * (places[:, 1] - 3.5) / 3.5
    lab = np.tile([60.0, 0, 0], (64, 1))
    lab[:, 0] += falling + rng.normal(0, 0.5, 64)
    # A little is held back, lest scrappy fabrics be taken for light: a tenth of 6 and the noise.
    found = even_light(swatches_of(lab), places)
    assert_allclose(found[:, 0], falling, atol=0.9)
    assert_allclose(found[:, 1:], 0)


def test_a_shadow_with_an_edge_is_taken_out_of_three_fabrics() -> None:
    rng = np.random.default_rng(3)
    places = np.indices((10, 10)).reshape(2, -1).T
    which = rng.integers(0, 3, 100)
    lab = np.array([[85.0, 2, 8], [55, 30, 20], [30, 5, -25]])[which]
    # Three tenths of the light are gone beyond a line across the quilt.
    dark = 1 / (1 + np.exp(-2 * (places @ [0.8, 0.6] - 7)))
    factor = (1 - 0.3 * dark)[:, None] ** (1 / 3)
    black = np.array([16.0, 0, 0])
    seen = (lab + black) * factor - black + rng.normal(0, 0.4, (100, 3))
    light = even_light(swatches_of(seen), places)
    left = (seen - light)[:, 0]
    spread = [left[which == number].std() for number in range(3)]
    assert max(spread) < 1.2
    assert int(gather_fabrics(swatches_of(seen), light).max()) == 2


def test_too_few_swatches_tell_nothing_of_the_light() -> None:
    lab = np.linspace(40, 60, 6)[:, None] * [1.0, 0, 0]
    assert_allclose(even_light(swatches_of(lab), np.indices((2, 3)).reshape(2, -1).T), 0)
