"""A perfect reading scores in full, and each fault lowers the measure that it concerns."""

from __future__ import annotations

from collections.abc import Callable

import msgspec
from numpy.testing import assert_allclose

from judging.rendering.quilts import make_quilt
from judging.scoring.measures import corner_error, inner_seams, score
from judging.truth import Truth
from seamlore.photo.reading import Reading, SeenBlock, SeenPatch

Perfect = Callable[..., Reading]


def test_a_perfect_reading_scores_in_full(plain_truth: Truth, perfect: Perfect) -> None:
    found = score("a", perfect(plain_truth), plain_truth, 1.0)
    assert found.lattice is True
    assert_allclose(found.pitch_error, (0, 0), atol=1e-12)
    assert_allclose(found.seams or (), (1, 1, 1))
    assert found.turns == (2, 2, 0, 18)
    assert found.fabrics == (1, 1, len(plain_truth.fabrics or ()), len(plain_truth.fabrics or ()))
    assert found.texels == (20, 20)
    # Straight from above every block lies where the even grid says.
    assert max(found.texel_errors) < 0.01


def test_fabrics_all_taken_for_one_lose_precision_and_no_recall(plain_truth: Truth, perfect: Perfect) -> None:
    fabrics = plain_truth.fabrics or ()
    one = msgspec.structs.replace(fabrics[0], patches=tuple(spot for each in fabrics for spot in each.patches))
    found = score("a", perfect(plain_truth, fabrics=(one,)), plain_truth, 1.0).fabrics
    assert found is not None
    assert found[0] < 0.8
    assert found[1:] == (1, 1, len(fabrics))


def test_half_the_pitch_is_not_the_lattice(plain_truth: Truth, perfect: Perfect) -> None:
    found = score("a", perfect(plain_truth, rows=8, columns=10), plain_truth, 1.0)
    assert found.lattice is False
    assert found.seams is None


def test_a_pitch_one_in_a_hundred_too_large_is_measured_as_that(plain_truth: Truth, perfect: Perfect) -> None:
    assert plain_truth.column_spans is not None
    wide = tuple((a * 1.01, b * 1.01) for a, b in plain_truth.column_spans)
    found = score("a", perfect(plain_truth, column_spans=wide), plain_truth, 1.0)
    assert_allclose(found.pitch_error, (0.01, 0), atol=1e-9)


def test_a_reading_in_widths_is_brought_to_the_truths_size(plain_truth: Truth, perfect: Perfect) -> None:
    assert plain_truth.column_spans is not None
    assert plain_truth.row_spans is not None
    inch = 1 / 50
    changed = perfect(
        plain_truth, unit="width", size=(1.0, 0.8),
        column_spans=tuple((a * inch, b * inch) for a, b in plain_truth.column_spans),
        row_spans=tuple((a * inch, b * inch) for a, b in plain_truth.row_spans),
    )  # fmt: skip
    assert_allclose(score("a", changed, plain_truth, 1.0).pitch_error, (0, 0), atol=1e-12)


def test_a_turn_not_found_and_a_turn_made_up_both_count(plain_truth: Truth, perfect: Perfect) -> None:
    assert plain_truth.blocks is not None
    turned = next(each for each in plain_truth.blocks if each.turn)
    straight = next(each for each in plain_truth.blocks if not each.turn)
    said = {turned: msgspec.structs.replace(turned, turn=0), straight: msgspec.structs.replace(straight, turn=180)}
    changed = perfect(plain_truth, blocks=tuple(said.get(each, each) for each in plain_truth.blocks))
    assert score("a", changed, plain_truth, 1.0).turns == (1, 2, 1, 18)


def test_a_block_read_lying_otherwise_than_most_still_has_its_turns(perfect: Perfect) -> None:
    _, truth = make_quilt(
        8, kind="straight", design="Rail Fence", rows=4, columns=4, turning="alternate", turned=0, mirrored=0,
        recolored=0, repieced=0, long_side_px=300,
    )  # fmt: skip
    assert truth.blocks is not None
    # The reader took the other half of the blocks for the way that most lie.
    other = tuple(msgspec.structs.replace(each, turn=90 - each.turn) for each in truth.blocks)
    found = score("a", perfect(truth, blocks=other), truth, 1.0)
    assert found.turns is not None
    assert found.turns[0] == found.turns[1]
    assert found.turns[2] == 0


def test_a_seam_made_up_lowers_precision_only(plain_truth: Truth, perfect: Perfect) -> None:
    assert plain_truth.block is not None
    extra = SeenPatch(outline=((0.45, 0.9), (0.95, 0.9), (0.95, 0.5)), place="C", value="medium")
    more = SeenBlock(divisions=3, patches=(*plain_truth.block.patches, extra))
    precision, recall, _ = score("a", perfect(plain_truth, block=more), plain_truth, 1.0).seams or (0, 0, 0)
    assert_allclose(recall, 1)
    assert 0.6 < precision < 0.95


def test_a_seam_that_is_sewn_inside_one_fabric_is_not_false(plain_truth: Truth, perfect: Perfect) -> None:
    assert plain_truth.block is not None
    extra = SeenPatch(outline=((0.45, 0.9), (0.95, 0.9), (0.95, 0.5)), place="C", value="medium")
    more = SeenBlock(divisions=3, patches=(*plain_truth.block.patches, extra))
    sewn = ((0.45, 0.9, 0.95, 0.9), (0.95, 0.5, 0.95, 0.9), (0.45, 0.9, 0.95, 0.5))
    truth = msgspec.structs.replace(plain_truth, hidden_seams=sewn)
    found = score("a", perfect(truth, block=more), truth, 1.0)
    assert_allclose(found.seams or (), (1, 1, 1))
    assert found.seams_by_change is not None
    assert found.seams_by_change < 0.97


def test_a_seam_not_found_lowers_recall_only(plain_truth: Truth, perfect: Perfect) -> None:
    whole = SeenPatch(outline=((0.0, 0.0), (1.0, 0.0), (0.0, 1.0)), place="B", value="dark")
    large = SeenPatch(outline=((1.0, 0.0), (1.0, 1.0), (0.0, 1.0)), place="C", value="medium")
    fewer = SeenBlock(divisions=3, patches=(whole, large))
    precision, recall, _ = score("a", perfect(plain_truth, block=fewer), plain_truth, 1.0).seams or (0, 0, 0)
    assert_allclose(precision, 1)
    # Only the long seam, the square root of 2 out of twice that and 2; where short seams meet it, their ends are near
    # enough to count.
    assert_allclose(recall, 2**0.5 / (2 * 2**0.5 + 2), atol=0.05)


def test_the_blocks_own_sides_are_no_seams() -> None:
    whole = SeenPatch(outline=((0.0, 0.0), (1.0, 0.0), (1.0, 1.0), (0.0, 1.0)), place="A", value="light")
    assert inner_seams(SeenBlock(divisions=1, patches=(whole,))) == []


def test_found_corners_are_measured_in_widths_of_the_quilt(plain_truth: Truth, perfect: Perfect) -> None:
    assert plain_truth.corners is not None
    (x, y), *others = plain_truth.corners
    off = ((x + 0.02 * (others[0][0] - x), y), *others)
    assert_allclose(corner_error(off, plain_truth.corners), 0.02, rtol=1e-6)
    found = score("a", perfect(plain_truth, corners=off, corners_from="found"), plain_truth, 1.0)
    assert_allclose(found.corner_error or 0, 0.02, rtol=1e-6)


def test_none_is_right_where_there_is_no_grid(perfect: Perfect) -> None:
    _, truth = make_quilt(4, kind="crazy", long_side_px=240)
    found = score("a", perfect(truth), truth, 1.0)
    assert found.has_grid is False
    assert found.said_grid is False
    assert found.lattice is None
