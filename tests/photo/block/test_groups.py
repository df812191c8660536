"""Which blocks are taken for plain though a seam was seen in them: by how many in such places are plain."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from seamlore.photo.block.bearing_out import round_the_middle
from seamlore.photo.block.confidence import FLOOR, PLAIN_FLOOR, KindSigns, kind_confidence, plain_confidence
from seamlore.photo.block.groups import Group, parted, plain_there, with_plain_ones
from seamlore.photo.block.laying import lay_as_drawn
from seamlore.photo.block.lines import WHOLE
from seamlore.photo.block.seams import Sight
from seamlore.photo.stack import cloth

SIDE = 32
HALVES = (((0.0, 0.0), (0.5, 0.0), (0.5, 1.0), (0.0, 1.0)), ((0.5, 0.0), (1.0, 0.0), (1.0, 1.0), (0.5, 1.0)))


def quilt(rows: int, columns: int):
    """A quilt of one cloth: where its blocks lie, and a function that makes a group of some of them."""
    pixels = np.full((rows * SIDE, columns * SIDE, 3), 200, np.uint8)
    y, x = np.mgrid[0:rows, 0:columns] * SIDE
    cells = np.stack([x, y, x + SIDE, y, x + SIDE, y + SIDE, x, y + SIDE], axis=-1).reshape(rows, columns, 4, 2) - 0.5
    source = cloth(pixels, cells, SIDE)
    places = np.argwhere(np.ones((rows, columns)))

    def group(where, outlines, sure):
        where = np.array(where)
        corners = cells[where[:, 0], where[:, 1]]
        laid = lay_as_drawn(source, where, corners, outlines, np.zeros(len(where), np.intp), SIDE)
        sure = np.asarray(sure, float)
        return Group(laid, sure, sure >= FLOOR)

    return Sight(np.zeros((len(places), 6, 64, 64), np.float32), cells.reshape(-1, 4, 2), places), source, group


def places_of(groups, *, plain):
    return sorted(
        (int(row), int(column))
        for each in groups
        if (len(each.laid.outlines) == 1) == plain
        for row, column in each.laid.stack.places
    )


def test_a_print_among_plain_squares_is_taken_for_plain():
    sight, source, group = quilt(3, 4)
    seen = [tuple(at) for at in sight.places.tolist() if at != [1, 2]]
    found = with_plain_ones([group(seen, (WHOLE,), [0.99] * 11), group([(1, 2)], HALVES, [0.05])], sight, source)
    assert len(found) == 1
    assert places_of(found, plain=True) == sorted([*seen, (1, 2)])
    at = [tuple(each) for each in found[0].laid.stack.places.tolist()].index((1, 2))
    assert 0.5 < found[0].sure[at] < 1
    assert found[0].believed.all()
    assert np.delete(found[0].sure, at) == pytest.approx(0.99)
    # Its cloth is that of the block itself: the corners are those of its place.
    assert found[0].laid.stack.corners[at].min(axis=0) == pytest.approx([2 * SIDE - 0.5, SIDE - 0.5])


@pytest.mark.parametrize(
    ("pieced", "sure", "stay"), [(1, 0.999, 1), (1, FLOOR, 0), (2, FLOOR, 2), (2, FLOOR - 0.01, 0)]
)
def test_a_seam_that_recurs_or_is_surer_than_its_neighbors_make_plain_is_believed(pieced, sure, stay):
    sight, source, group = quilt(3, 4)
    where = [(1, 2), (0, 1)][:pieced]
    seen = [tuple(at) for at in sight.places.tolist() if tuple(at) not in where]
    groups = [group(seen, (WHOLE,), [0.99] * len(seen)), group(where, HALVES, [sure] * pieced)]
    assert len(places_of(with_plain_ones(groups, sight, source), plain=False)) == stay


@pytest.mark.parametrize(("sure", "stay"), [(0.8, 12), (0.69, 0)])
def test_a_drawing_nearly_believed_is_not_read_rather_than_plain_where_few_are_plain(sure, stay):
    sight, source, group = quilt(4, 4)
    plain = [(0, 0), (0, 1), (1, 0), (1, 1)]
    where = [(row, column) for row, column in sight.places.tolist() if (row, column) not in plain]
    groups = [group(plain, (WHOLE,), [0.99] * 4), group(where, HALVES, [sure] * 12)]
    found = with_plain_ones(groups, sight, source)
    assert len(places_of(found, plain=False)) == stay
    assert not any(each.believed.any() for each in found if len(each.laid.outlines) > 1)


def test_by_turns_what_is_doubted_is_plain_only_where_plain_squares_stand():
    sight, source, group = quilt(7, 7)
    dark = [(r, c) for r, c in sight.places.tolist() if (r + c) % 2 == 0 and (r, c) != (2, 2)]
    plain = [(r, c) for r, c in sight.places.tolist() if (r + c) % 2 == 1 and (r, c) != (2, 3)]
    doubted = group([(2, 2), (2, 3)], HALVES, [0.05, 0.05])
    groups = [group(dark, HALVES, [0.99] * len(dark)), group(plain, (WHOLE,), [0.99] * len(plain)), doubted]
    found = with_plain_ones(groups, sight, source)
    assert places_of(found, plain=True) == sorted([*plain, (2, 3)])
    assert places_of(found, plain=False) == sorted([*dark, (2, 2)])


def test_plain_blocks_that_are_not_believed_themselves_speak_for_nothing():
    sight, source, group = quilt(2, 4)
    seen = [tuple(at) for at in sight.places.tolist()[:-1]]
    groups = [group(seen, (WHOLE,), [FLOOR - 0.01] * 7), group([(1, 3)], HALVES, [0.05])]
    assert with_plain_ones(groups, sight, source) is groups


@pytest.mark.parametrize(("others", "stands"), [(0.99, True), (0.71, False)])
def test_a_doubted_plain_block_stands_among_believed_ones_alone(others, stands):
    sight, source, group = quilt(4, 4)
    at = [tuple(each) for each in sight.places.tolist()]
    plain = group(at, (WHOLE,), [0.99] * 3 + [others] * 12 + [0.71])
    plain = replace(plain, believed=plain.sure >= PLAIN_FLOOR)
    (found,) = with_plain_ones([plain], sight, source)
    assert bool(found.believed[at.index((3, 3))]) == stands
    # One that is doubted more is not, whatever stands there.
    (found,) = with_plain_ones([replace(plain, sure=np.where(plain.sure < 0.9, 0.69, plain.sure))], sight, source)
    assert not found.believed[at.index((3, 3))]


def test_of_few_like_places_the_whole_quilt_decides_with():
    places = np.argwhere(np.ones((2, 8)))
    plain = {(0, 0), (0, 2), (0, 4)}
    # Three others in every second place of the row, all but one plain; 3 of 16 in the quilt count as four more.
    assert plain_there(plain, places, 0, 6) == pytest.approx((3 + 4 * 3 / 16) / (3 + 4))


def test_the_surer_a_drawing_the_less_is_its_block_taken_for_plain():
    told = [plain_confidence(0.6, sure, 1.0) for sure in (0.01, 0.1, 0.3, 0.59)]
    assert told == sorted(told, reverse=True)
    assert plain_confidence(0.3, 0.1, 1.0) < plain_confidence(0.6, 0.1, 1.0) < plain_confidence(0.9, 0.1, 1.0)


def test_the_more_seams_are_seen_in_a_block_the_less_is_it_taken_for_plain():
    assert plain_confidence(0.6, 0.05, 0.5) > plain_confidence(0.6, 0.05, 2.0) > plain_confidence(0.6, 0.05, 5.0)


def test_quilting_parts_no_cloth_and_a_seam_between_two_cloths_does():
    # A four patch of two cloths: of its four seams each lies between the two; of a slant through one cloth none does.
    four = np.kron([[0, 1], [2, 3]], np.ones((8, 8), int))
    navy, cream = [20.0, 0, -20], [90.0, 0, 5]
    blocks = np.array([[navy, cream], [cream, cream], [cream, cream], [navy, cream]])
    assert parted(blocks, four).tolist() == [1.0, 0.0]
    # One dark square among light ones: two of its four seams part something.
    assert parted(np.array([[navy], [cream], [cream], [cream]]), four) == pytest.approx([0.5])
    # A cream a little darker on one side, as a shadow makes it, is the same cloth.
    assert parted(np.array([[cream], [[86.0, 0, 5]], [cream], [cream]]), four).tolist() == [0.0]
    assert parted(np.array([[navy]]), np.zeros((8, 8), int)).tolist() == [0.0]


@pytest.mark.parametrize(
    ("moves", "may_be_one"),
    [((0, 1, 3, 2), True), ((0, 1, 1, 0), True), ((0, 0, 0, 0), False), ((0, 0, 1, 1), False)],
)
def test_four_blocks_may_be_one_where_those_across_the_middle_are_alike_and_neighbors_are_not(moves, may_be_one):
    _, _, group = quilt(2, 2)
    four = group([(0, 0), (0, 1), (1, 0), (1, 1)], HALVES, [0.99] * 4)
    four = replace(four, laid=replace(four.laid, moves=np.array(moves)))
    assert round_the_middle([four]) == may_be_one
    # Of plain blocks none is a quarter of another.
    plain = group([(0, 0), (0, 1), (1, 0), (1, 1)], (WHOLE,), [0.99] * 4)
    assert not round_the_middle([replace(plain, laid=replace(plain.laid, moves=np.array(moves)))])


def test_four_of_which_two_across_the_middle_are_pieced_otherwise_are_four():
    _, _, group = quilt(2, 2)
    assert not round_the_middle([group([at], HALVES, [0.99]) for at in ((0, 0), (0, 1), (1, 0), (1, 1))])


def test_what_is_seen_once_or_strays_from_its_kind_is_believed_less():
    often = KindSigns(9, 2, 0.2, 0.9, 0.9, 0.9, 0.9, 2.5, 0.9, known=False)
    assert kind_confidence(replace(often, blocks=1)) < kind_confidence(often)
    # A kind that agrees better in the mean than this block does would speak for it, were it not for that.
    assert kind_confidence(replace(often, together=0.99)) < kind_confidence(often)
