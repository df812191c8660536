from itertools import pairwise

import numpy as np
from numpy.testing import assert_allclose, assert_array_equal

from seamlore.photo.merging import Pieces, merge


def chain(values: list[float]) -> Pieces:
    count = len(values)
    pairs = np.stack([np.arange(count - 1), np.arange(1, count)], axis=-1)
    return Pieces(np.array(values)[:, None], np.ones(count), pairs, np.ones(count - 1))


def ward(pieces: Pieces) -> np.ndarray:
    one, two = pieces.pairs.T
    shared = pieces.counts[one] * pieces.counts[two] / (pieces.counts[one] + pieces.counts[two])
    return shared * (pieces.means[one, 0] - pieces.means[two, 0]) ** 2


def test_neighbors_that_agree_become_one_and_others_do_not() -> None:
    labels, merged = merge(chain([1.0, 1.1, 0.9, 7.0, 7.2, 1.0]), ward, limit=2.0)
    assert_array_equal(labels, [0, 0, 0, 1, 1, 2])
    assert_allclose(merged.means[:, 0], [1.0, 7.1, 1.0])
    assert_allclose(merged.counts, [3, 2, 1])


def test_merging_in_rounds_gives_what_merging_one_pair_at_a_time_gives() -> None:
    # Outside check: a plain loop that merges the least pair first.
    rng = np.random.default_rng(8)
    values = rng.normal(0, 3, 40).tolist()
    labels, _ = merge(chain(values), ward, limit=6.0)
    groups = [[value] for value in values]
    while len(groups) > 1:
        lost = [len(a) * len(b) / (len(a) + len(b)) * (np.mean(a) - np.mean(b)) ** 2 for a, b in pairwise(groups)]
        least = int(np.argmin(lost))
        if lost[least] >= 6.0:
            break
        groups[least] += groups.pop(least + 1)
    assert_array_equal(np.bincount(labels), [len(group) for group in groups])


def test_shared_sides_add_up_when_pieces_merge() -> None:
    square = Pieces(
        np.array([[0.0], [0.1], [9.0]]), np.ones(3), np.array([[0, 1], [0, 2], [1, 2]]), np.array([1.0, 2.0, 3.0])
    )
    _, merged = merge(square, ward, limit=1.0)
    assert_array_equal(merged.pairs, [[0, 1]])
    assert_allclose(merged.lengths, [5.0])
