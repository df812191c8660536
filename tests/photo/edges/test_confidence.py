import numpy as np
import pytest
from numpy.testing import assert_allclose, assert_array_equal
from scipy.special import expit
from skimage.draw import polygon2mask

from seamlore.photo.edges.confidence import (
    confidence,
    confidence_by_sight,
    edge_chances,
    evidence,
    inside_mask,
    looks_like_quilt_beyond,
    regions_beyond,
)
from seamlore.photo.edges.ground import maps_by_side, scene_of
from seamlore.photo.frame import Frame

# Pictures drawn by the tests, so that their truth is exact: custom, no source.
TRUE = Frame(((60, 50), (239, 50), (239, 189), (60, 189)), (1.0, 1.0))
CLEAR = [2.5, 1.0, 0.05, 0.05, 5.0, 0.1, 0.9]


def photo() -> np.ndarray:
    rng = np.random.default_rng(1)
    lab = np.empty((240, 300, 3), dtype=np.float32)
    lab[:] = (55, 0, 8)
    lab[50:190, 60:240] = (40, 35, 20)
    return (lab + rng.normal(0, 0.7, lab.shape)).astype(np.float32)


def gathered(frame: Frame) -> np.ndarray:
    lab = photo()
    scene = scene_of(lab)
    inside = inside_mask(frame, scene.shape)
    maps = maps_by_side(scene, inside, (20.0,) * 4, 6.0, np.zeros(4, dtype=bool))
    return evidence(frame, lab, scene, maps)


def test_the_inside_of_a_frame_is_that_of_its_corners() -> None:
    slanted = Frame(((20, 10), (80, 15), (75, 70), (12, 60)), (1.0, 1.0))
    # Checked against scikit-image's polygon, whose rim may differ by a pixel.
    expected = polygon2mask((90, 100), np.array(slanted.corners)[:, ::-1])
    assert (inside_mask(slanted, (90, 100)) != expected).mean() < 0.03


def test_regions_beyond_the_edges_lie_outside_and_share_the_corners() -> None:
    beyond = regions_beyond(TRUE, (240, 300))
    inside = inside_mask(TRUE, (240, 300))
    for region in beyond:
        assert not (region & inside).any()
    assert beyond[0][5, 150]
    assert beyond[1][120, 290]
    assert beyond[2][230, 150]
    assert beyond[3][120, 5]
    assert beyond[0][5, 5]
    assert beyond[3][5, 5]


def test_true_edges_are_trusted_and_edges_drawn_inside_the_quilt_are_not() -> None:
    true = edge_chances(gathered(TRUE))
    inside = edge_chances(gathered(Frame(((90, 80), (209, 80), (209, 159), (90, 159)), (1.0, 1.0))))
    assert true.min() > 0.8
    assert inside.max() < true.min()
    assert inside.max() < 0.5


def test_quilt_is_seen_to_go_on_beyond_an_edge_that_is_none() -> None:
    seam = Frame(((60, 100), (239, 100), (239, 189), (60, 189)), (1.0, 1.0))
    assert_array_equal(looks_like_quilt_beyond(gathered(TRUE)), [False] * 4)
    # Half of what lies above that seam is quilt.
    assert edge_chances(gathered(seam))[0] < edge_chances(gathered(TRUE))[0]
    nothing_beyond = np.array([[0.2, 0.1, 0.9, 0.9, 0.2, 0.0, 0.2], CLEAR])
    assert_array_equal(looks_like_quilt_beyond(nothing_beyond), [True, False])


@pytest.mark.parametrize(("column", "better"), [(1, 1), (3, -1), (4, 1), (6, 1)])
def test_every_sign_weighs_the_way_it_says(column: int, better: int) -> None:
    rows = np.array([CLEAR, CLEAR])
    rows[:, 4] = 1.0
    rows[1, column] += 0.2 * better
    worse, improved = edge_chances(rows)
    assert improved > worse


def test_chances_are_logistic() -> None:
    rows = np.array([CLEAR, [0.8, 0.4, 0.9, 0.9, 0.2, 0.1, 0.4], [0.0] * 7])
    chances = edge_chances(rows)
    # Checked against scipy: the odds add up, so the second differences of the logits vanish along a line.
    ends = np.log(chances / (1 - chances))
    middle = edge_chances((rows[:1] + rows[1:2]) / 2)
    assert_allclose(middle, expit((ends[0] + ends[1]) / 2), rtol=1e-6)


def test_confidence_falls_with_every_doubtful_edge_and_every_edge_at_the_rim() -> None:
    none, one = np.zeros(4, dtype=bool), np.array([True, False, False, False])
    sure, doubtful = np.array([0.95, 0.95, 0.95, 0.95]), np.array([0.95, 0.95, 0.4, 0.95])
    assert 0 < confidence(doubtful, none) < confidence(sure, none) <= 0.95
    assert confidence(sure, one) < confidence(sure, none)


def test_what_is_seen_well_is_trusted_and_every_edge_at_the_rim_costs() -> None:
    none, one = np.zeros(4, dtype=bool), np.array([True, False, False, False])
    well, less = np.full(4, 0.97), np.array([0.97, 0.97, 0.86, 0.97])
    assert 0.5 < confidence_by_sight(less, none) < confidence_by_sight(well, none) < 1
    assert confidence_by_sight(well, one) < 0.6 * confidence_by_sight(well, none) + 0.01
