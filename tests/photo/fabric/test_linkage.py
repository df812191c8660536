import numpy as np
from numpy.testing import assert_array_equal
from scipy.cluster.hierarchy import fcluster, linkage

from seamlore.photo.fabric.linkage import average_linkage, lumps


def test_groups_are_those_that_a_second_library_finds() -> None:
    # Source: SciPy, average linkage.
    points = np.random.default_rng(5).normal(0, 1, (60, 3))
    apart = np.linalg.norm(points[:, None] - points[None], axis=2)
    wanted = fcluster(linkage(points, "average"), 1.5, "distance")
    found = average_linkage(apart.astype(np.float32), np.ones(60), 1.5)
    assert_array_equal(found[:, None] == found[None], wanted[:, None] == wanted[None])


def test_many_points_are_lumped_and_none_are_torn_far_apart() -> None:
    points = np.random.default_rng(6).normal(0, 3, (3000, 7))
    label = lumps(points, 500)
    assert label.max() < 500
    assert len(np.unique(label)) == label.max() + 1
