import numpy as np
from numpy.testing import assert_allclose

from seamlore.photo.candidates import candidates, look
from seamlore.photo.confidence import shares, weights
from seamlore.photo.steps_energy import gather


def checkerboard() -> np.ndarray:
    squares = np.indices((6, 5)).sum(axis=0) % 2 * 160 + 40
    return np.kron(squares, np.ones((40, 40)))[..., None].repeat(3, axis=2).astype(np.uint8)


def test_shares_of_all_grids_and_of_none_add_up_to_one() -> None:
    found = candidates(look(gather(checkerboard())))
    part = shares(found)
    assert part.shape == (len(found) + 1,)
    assert_allclose(part.sum(), 1.0)
    assert part.min() >= 0


def test_no_candidate_leaves_no_grid_alone() -> None:
    assert_allclose(shares([]), [1.0])


def test_weights_name_only_what_candidates_tell() -> None:
    # A name that no candidate tells would break every reading.
    found = candidates(look(gather(checkerboard())))
    assert found
    assert len(set(weights().names)) == len(weights().names) == len(weights().weight)


def test_the_worth_of_something_never_met_is_held() -> None:
    model = weights()
    usual = model.usual[None]
    far, further = (model.worth(usual + spreads * model.spread) for spreads in (6.0, 600.0))
    assert_allclose(far, further)
