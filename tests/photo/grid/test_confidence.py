import numpy as np
from numpy.testing import assert_allclose

from seamlore.photo.grid.candidates import Candidates, candidates
from seamlore.photo.grid.confidence import shares, weights
from seamlore.photo.grid.network import STRIPS, Glance, Strips
from seamlore.photo.grid.repeats import repeats


def seen(*, none: float = 0.1) -> Glance:
    """Four columns and five rows, plainly seen."""

    def strips(count: int) -> Strips:
        lines = np.zeros(STRIPS)
        lines[(np.arange(count) * STRIPS / count).astype(int)] = 0.9
        ends = np.roll(lines, -1)
        return Strips(lines, ends, np.ones(STRIPS))

    return Glance(strips(4), strips(5), 1 - none - 0.01, 0.01, none)


def found_in(what: Glance) -> Candidates:
    return candidates(what, (400, 500), repeats(np.zeros((50, 40, 3), np.uint8)))


def test_shares_leave_a_little_to_a_grid_that_was_not_found() -> None:
    found = found_in(seen())
    part = shares(found, 0.1)
    assert part.shape == (len(found) + 1,)
    assert 0.5 < part.sum() < 1
    assert part.min() >= 0


def test_what_is_plainly_seen_is_the_likeliest() -> None:
    found = found_in(seen())
    best = found[int(shares(found, 0.1)[:-1].argmax())]
    assert (best.down.count, best.across.count, best.on_point) == (5, 4, False)


def test_the_surer_the_network_is_of_no_grid_the_likelier_there_is_none() -> None:
    found = found_in(seen())
    little, much = (float(shares(found, none)[-1]) for none in (0.01, 0.9))
    assert little < much


def test_who_has_counted_leaves_no_share_to_no_grid() -> None:
    assert_allclose(shares(found_in(seen()), 0.0)[-1], 0.0)


def test_no_candidate_leaves_no_grid_alone() -> None:
    assert_allclose(shares(Candidates((), (), (False,), {}), 0.4), [1.0])


def test_weights_name_only_what_candidates_tell() -> None:
    # A name that no candidate tells would break every reading.
    model = weights()
    assert set(model.names) == set(found_in(seen()).told)
    assert len(model.names) == len(model.weight) == len(model.spread)
