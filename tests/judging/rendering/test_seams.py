"""Which seams can be seen, and which patches look like one."""

from __future__ import annotations

import numpy as np
from numpy.testing import assert_allclose

from judging.rendering.blocks import design
from judging.rendering.cloth import Cloth
from judging.rendering.seams import Seen, seen_block

BLANK = np.zeros((1, 1, 3), np.uint8)
WHITE, BLACK, GRAY = (
    Cloth(name, BLANK, (level, 0.0, 0.0), "light", "plain") for name, level in (("w", 85.0), ("b", 20.0), ("g", 55.0))
)


def _seen(name: str, *, alike: bool = False) -> Seen:
    block = design(name)
    number = {place: 0 if alike else index for index, place in enumerate(block.places)}
    cloths = [tuple(number[each.place] for each in block.patches)]
    return seen_block(block, (0, False), dict.fromkeys(block.places, "light"), [WHITE, BLACK, GRAY], cloths)


def _length(seen: Seen) -> float:
    return float(sum(np.hypot(x1 - x0, y1 - y0) for x0, y0, x1, y1 in seen.seams))


def test_a_nine_patch_of_two_fabrics_shows_its_four_seams() -> None:
    assert_allclose(_length(_seen("Nine Patch")), 4.0)


def test_a_pinwheel_shows_both_diagonals_and_both_middles() -> None:
    # Two diagonals of the square and two lines through its middle.
    assert_allclose(_length(_seen("Pinwheel")), 2 * 2**0.5 + 2)


def test_the_long_seam_of_birds_in_the_air_is_there_though_three_triangles_meet_it() -> None:
    # The diagonal; six short seams along rows and columns; two short diagonals parallel to it.
    assert_allclose(_length(_seen("Birds in the Air")), 2**0.5 + 6 / 3 + 2**0.5, rtol=1e-5)


def test_one_fabric_throughout_hides_every_seam_and_leaves_one_patch() -> None:
    seen = _seen("Nine Patch", alike=True)
    assert seen.seams == ()
    assert len(seen.block.patches) == 1
    assert set(seen.patch_of) == {0}


def test_a_seam_inside_one_fabric_is_hidden_and_counted_once() -> None:
    seen = _seen("Nine Patch", alike=True)
    assert_allclose(sum(np.hypot(x1 - x0, y1 - y0) for x0, y0, x1, y1 in seen.hidden), 4.0)
    assert _seen("Nine Patch").hidden == ()


def test_logs_of_one_fabric_run_together() -> None:
    assert len(_seen("Log Cabin").block.patches) == 3


def test_a_change_in_few_blocks_is_doubtful() -> None:
    block = design("Four Patch")
    same, other = (0, 0, 0, 0), (0, 1, 0, 0)
    seen = seen_block(block, (0, False), {"A": "light", "B": "dark"}, [WHITE, BLACK], [same] * 4 + [other])
    assert seen.seams == ()
    assert len(seen.doubtful) == 2


def test_turning_the_block_turns_its_seams() -> None:
    block = design("Rail Fence")
    cloths = [(0, 1, 2)]
    turned = seen_block(block, (90, False), dict.fromkeys("ABC", "light"), [WHITE, BLACK, GRAY], cloths)
    assert_allclose(sorted({y for _, y, _, _ in turned.seams}), [1 / 3, 2 / 3])
