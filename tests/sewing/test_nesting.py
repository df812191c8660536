"""Pressing over a whole quilt: neighbors nest, rows take turns, seams lie toward the plainer side."""

from __future__ import annotations

from itertools import product
from math import hypot

import pytest

from seamlore.draft.catalogue import find
from seamlore.draft.groups import groups
from seamlore.draft.repeated import repeated
from seamlore.draft.setting.arranged import arrange
from seamlore.draft.text.quilt_file import read_quilt
from seamlore.lengths import inches
from seamlore.sewing import ends, nesting
from seamlore.sewing.setting import rounds_of, top_pieces
from seamlore.sewing.top import _pressed, sewn_top
from tests.reckoning.described import QUILTS, draft_file

from .simulator import NEAR, floats, near, off

NINE = inches(9)


def quilt_of(name):
    return read_quilt(draft_file(QUILTS[name]), find_block=None)


def of_block(name, rows, columns):
    return sewn_top(repeated("q", find(name), NINE, NINE, rows, columns))


def clashes(top):
    """Seams of two blocks that meet on one line and are pressed to the same side: from their ends alone."""
    found = []
    ends = [(number, end) for number, each in top.lying.ends.items() for end in each]
    for place, (one, mine) in enumerate(ends):
        for other, theirs in ends[:place]:
            straight_on = hypot(mine.ray[0] + theirs.ray[0], mine.ray[1] + theirs.ray[1]) < 1e-6
            meet = one != other and near(mine.at, theirs.at) and straight_on and mine.lean and theirs.lean
            if meet and hypot(mine.lean[0] - theirs.lean[0], mine.lean[1] - theirs.lean[1]) < 1e-6:
                found.append(mine.at)
    return found


@pytest.mark.parametrize("name", ["nine patch", "four patch", "pinwheel", "ohio star", "shoo fly"])
def test_seams_that_go_on_into_the_next_block_nest(name):
    top = of_block(name, 3, 4)
    assert clashes(top) == []
    assert (len(top.lying.clashes), top.lying.bound) == (0, 0)


@pytest.mark.parametrize("name", QUILTS)
def test_no_way_of_laying_and_pressing_the_blocks_of_any_quilt_is_better(name):
    top = sewn_top(quilt_of(name))
    assert len(top.lying.clashes) == top.lying.bound
    assert len(top.clashes) == top.bound


def test_the_ends_of_seams_are_those_of_the_steps_and_lean_where_the_steps_press_them():
    (block,) = of_block("nine patch", 1, 1).blocks
    top = of_block("nine patch", 1, 1)
    found = []
    for step in block.steps:
        for copy, presses in zip(step.copies, step.presses, strict=True):
            if copy != step.pieces:
                continue
            for seam, press in zip(step.seams, presses, strict=True):
                start, end = floats(seam.path)
                side = seam.first if press == "first" else seam.second
                ring = floats(step.parts[side[0]].outline)
                middle = (sum(x for x, _ in ring) / len(ring), sum(y for _, y in ring) / len(ring))
                found += [(tip, start, end, middle) for tip in (start, end)]
    (ends,) = top.lying.ends.values()
    told = 0
    for tip, start, end, middle in found:
        for each in ends:
            if (
                near(each.at, tip)
                and off(tip, start, end)[1] < NEAR
                and abs(_dot(each.ray, _unit(start, end))) > 0.99
            ):
                toward = middle[0] - tip[0], middle[1] - tip[1]
                assert _dot(each.lean, toward) > 0
                told += 1
    assert told >= 6


def _dot(one, other):
    return one[0] * other[0] + one[1] * other[1]


def _unit(start, end):
    long = hypot(end[0] - start[0], end[1] - start[1])
    return (end[0] - start[0]) / long, (end[1] - start[1]) / long


def test_rows_are_pressed_by_turns():
    top = of_block("four patch", 4, 5)
    toward = {}
    for step in top.steps:
        if step.made != "row":
            continue
        for copy, presses in zip(step.copies, step.presses, strict=True):
            row = top.pieces[copy[0]].where.row
            # Blocks of a row are numbered from the left: the second side of a seam is on its right.
            toward[row] = set(presses)
    assert [len(each) for each in toward.values()] == [1, 1, 1, 1]
    assert all(toward[row] != toward[row + 1] for row in range(3))


@pytest.mark.parametrize(
    ("name", "border"),
    [
        ("one block, oblong", "border (sides)"),
        ("unequal border", "border (sides)"),
        ("mitered and cornered borders", "border 2 (sides)"),
    ],
)
def test_seams_lie_toward_the_border(name, border):
    top = sewn_top(quilt_of(name))
    looked = 0
    for step in top.steps:
        for seam in step.seams:
            for side, way in ((seam.first, "first"), (seam.second, "second")):
                if [step.parts[each].name for each in side] == [border]:
                    assert seam.press == way
                    looked += 1
    assert looked == 2


@pytest.mark.parametrize("name", ["sashing", "sashing, cornerstones, outside", "two by turns, 5 x 5"])
def test_seams_lie_toward_sashing_and_plain_blocks(name):
    top = sewn_top(quilt_of(name))
    pieced = {number for number in top.lying.ends if top.lying.ends[number]}
    looked = 0
    for step in top.steps:
        for seam in step.seams:
            sides = [step.parts[side[0]].pieces[0] in pieced for side in (seam.first, seam.second)]
            if sides[0] != sides[1]:
                assert seam.press == ("second" if sides[0] else "first")
                looked += 1
    assert looked


def test_every_way_of_laying_four_blocks_was_no_better():
    top = of_block("sawtooth star", 2, 2)
    counts = []
    quilt = repeated("q", find("sawtooth star"), NINE, NINE, 2, 2)
    arranged, (group,) = arrange(quilt), groups(quilt)
    ways = _pressed(group, in_the_ditch=False)
    known: dict = {}
    choices = [ends.choices_of(spot, group, ways, known) for spot in arranged.spots]
    (field,) = rounds_of(top_pieces(quilt, arranged, (group,)))
    meetings = list(nesting._meetings([(field.of.net, [0, 1, 2, 3])], dict(enumerate(choices))))
    for chosen in product(*choices):
        counts.append(
            sum(len(list(nesting._clashes(each, chosen[each.one], chosen[each.other]))) for each in meetings)
        )
    assert len(top.lying.clashes) == min(counts)


def top_ends(top):
    """Where the seams that join the top end: the point, the direction in which each leads away, where it is pressed."""
    found = []
    for step in top.steps:
        first = [corner for piece in step.pieces for corner in floats(top.pieces[piece].outline)]
        for copy, presses in zip(step.copies, step.presses, strict=True):
            here = [corner for piece in copy for corner in floats(top.pieces[piece].outline)]
            dx, dy = (min(at[axis] for at in here) - min(at[axis] for at in first) for axis in (0, 1))
            for seam, press in zip(step.seams, presses, strict=True):
                start, end = floats(seam.path)
                side = seam.first if press == "first" else seam.second
                ring = floats(step.parts[side[0]].outline)
                middle = (sum(x for x, _ in ring) / len(ring), sum(y for _, y in ring) / len(ring))
                t = _unit(start, end)
                n = -t[1], t[0]
                toward = _dot(n, (middle[0] - start[0], middle[1] - start[1]))
                lean = n if toward > 0 else (-n[0], -n[1])
                found.append(((start[0] + dx, start[1] + dy), t, lean))
                found.append(((end[0] + dx, end[1] + dy), (-t[0], -t[1]), lean))
    return found


@pytest.mark.parametrize("name", ["offset", "two pieced by turns", "here and there", "pieced border"])
def test_seams_of_the_top_that_go_on_into_another_seam_are_counted_where_they_do_not_nest(name):
    top = sewn_top(quilt_of(name))
    tops = top_ends(top)
    blocks = [(each.at, each.ray, each.lean) for ends_ in top.lying.ends.values() for each in ends_ if each.lean]

    def goes_on(one, other):
        straight_on = hypot(one[1][0] + other[1][0], one[1][1] + other[1][1]) < 1e-6
        return near(one[0], other[0]) and straight_on

    met = [(one, other) for one in tops for other in blocks if goes_on(one, other)]
    met += [(one, other) for place, one in enumerate(tops) for other in tops[:place] if goes_on(one, other)]
    unsewn = [pair for pair in met if hypot(pair[0][2][0] - pair[1][2][0], pair[0][2][1] - pair[1][2][1]) < 1e-6]
    assert met
    assert len(unsewn) == len(top.clashes)
