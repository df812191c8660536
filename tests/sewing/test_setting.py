"""Whole quilts of every setting, sewn in the simulator from blocks and pieces to a top of the size reckoned apart."""

from __future__ import annotations

import re
from dataclasses import replace
from fractions import Fraction

import pytest

from seamlore.draft.groups import groups
from seamlore.draft.setting.arranged import arrange
from seamlore.draft.text.quilt_file import read_quilt
from seamlore.draft.where import Where
from seamlore.drawing.shapes import Text, walk
from seamlore.pictures.layout import layout_picture
from seamlore.sewing.row_names import line_of
from seamlore.sewing.setting import TopPiece, joined_top, rounds_of, top_pieces
from seamlore.sewing.top import sewn_top
from tests.reckoning.described import QUILTS, draft_file
from tests.reckoning.reckon import reckon

from .simulator import NotSewnError, floats, near, sew


def no_block(name):
    raise AssertionError(f"{name} is drawn in the file")


@pytest.fixture(scope="module")
def quilt_of():
    kept = {}

    def read(name):
        if name not in kept:
            kept[name] = read_quilt(draft_file(QUILTS[name]), find_block=no_block)
        return kept[name]

    return read


@pytest.mark.parametrize("name", QUILTS)
def test_every_quilt_is_sewn_edge_to_edge_into_a_rectangle_of_the_size_reckoned(name, quilt_of):
    quilt = quilt_of(name)
    pieces = top_pieces(quilt, arrange(quilt), groups(quilt))
    steps = joined_top(rounds_of(pieces), pieces)
    ring = sew([each.outline for each in pieces], [each.name for each in pieces], steps, turning=False)
    wide, high = reckon(QUILTS[name]).size
    assert len(ring) == 4
    assert all(any(near(at, corner) for at in ring) for corner in ((0, 0), (wide, 0), (wide, high), (0, high)))


@pytest.mark.parametrize("name", ["half blocks, crooked", "strips of two kinds", "mirrored slants", "pieced border"])
def test_every_kind_of_spot_is_sewn_from_its_patches(name, quilt_of):
    for made in sewn_top(quilt_of(name)).blocks:
        if made.steps:
            outlines = [part.outline for part in made.group.parts]
            ring = sew(outlines, made.group.labels, made.steps)
            wide, high = (float(side) for side in made.group.size)
            assert max(x for x, _ in ring) - min(x for x, _ in ring) == pytest.approx(wide)
            assert max(y for _, y in ring) - min(y for _, y in ring) == pytest.approx(high)


def joined(name, quilt_of):
    quilt = quilt_of(name)
    pieces = top_pieces(quilt, arrange(quilt), groups(quilt))
    return joined_top(rounds_of(pieces), pieces, line=line_of(quilt))


def test_blocks_on_point_are_joined_in_diagonal_rows_and_corners_are_sewn_on_last(quilt_of):
    steps = joined("plain between, on point", quilt_of)
    field = next(step for step in steps if step.name == "the field")
    assert field.way == "on the diagonal"
    rows = [step for step in steps if step.made == "row"]
    # Trade facts A3: 7 whole rows of 6 give 12 diagonal rows.
    assert len(field.parts) == 7 + 6 - 1
    assert sum(step.count for step in rows) == 12
    assert all("corner triangle" not in dict(step.joins) for step in rows)
    assert steps[-1].joins[0] == ("corner triangle", 2)


def test_sides_of_a_border_are_sewn_on_before_top_and_bottom(quilt_of):
    steps = joined("one block, oblong", quilt_of)
    names = [step.name for step in steps]
    assert names[-2:] == ["the top with border 1 on two sides", "the top"]
    assert [part.name for part in steps[-2].parts] == ["border (sides)", "the field", "border (sides)"]


def test_a_mitered_border_is_sewn_to_all_sides_and_its_corners_last(quilt_of):
    steps = joined("mitered and cornered borders", quilt_of)
    (framed,) = [step for step in steps if step.manner == "mitered"]
    # Four sides from corner to corner, then the corners from the inside outward: common practice, no source.
    assert [seam.manner for seam in framed.seams] == ["stopped"] * 4 + ["mitered"] * 4
    inner = [floats([seam.path[0]])[0] for seam in framed.seams[4:]]
    assert all(any(near(at, corner) for corner in floats(framed.parts[0].outline)) for at in inner)


def test_the_simulator_refuses_a_frame_whose_corner_is_left_open(quilt_of):
    quilt = quilt_of("mitered and cornered borders")
    pieces = top_pieces(quilt, arrange(quilt), groups(quilt))
    steps = [
        replace(step, seams=step.seams[:-1]) if step.manner == "mitered" else step
        for step in joined_top(rounds_of(pieces), pieces)
    ]
    with pytest.raises(NotSewnError, match="a slit is left open"):
        sew([each.outline for each in pieces], [each.name for each in pieces], steps, turning=False)


def test_borders_are_sewn_on_from_the_inside_outward(quilt_of):
    steps = joined("border of three sides", quilt_of)
    first = [number for number, step in enumerate(steps) if "border 1" in step.name]
    second = [number for number, step in enumerate(steps) if "border 2" in step.name] + [len(steps) - 1]
    assert max(first) < min(second)
    assert_made_before_joined(steps)


def assert_made_before_joined(steps):
    made = set()
    for step in steps:
        for part in step.parts:
            assert len(part.pieces) == 1 or part.name in made, f"{step.name} joins {part.name} before it is made"
        made.add(step.name)


# Of each piece the row that the layout numbers: counted from the pieces' places alone, by hand of what each row holds.
@pytest.mark.parametrize("name", QUILTS)
def test_rows_are_called_as_the_layout_numbers_them_and_sewn_in_that_order(name, quilt_of):
    quilt = quilt_of(name)
    top = sewn_top(quilt)
    assert_made_before_joined(top.steps)
    line = line_of(quilt)
    drawn = layout_picture(quilt, 160, 160, title="Layout")
    circles = [int(each.words) for each in walk(drawn.shapes) if isinstance(each, Text) and each.words.isdigit()]
    lines = sorted({piece.line for piece in top.pieces if piece.line})
    assert circles == (lines if len(lines) > 1 else [])
    found = {}
    for step in top.steps:
        if re.fullmatch(rf"{line} \d+", step.name):
            for copy in step.copies:
                (number,) = {top.pieces[piece].line for piece in copy} - {0}
                found[number] = step.name
                # All blocks of the row are in it.
                assert {piece for piece, each in enumerate(top.pieces) if each.line == number} <= set(copy)
            assert step.name == f"{line} {min(n for n, called in found.items() if called == step.name)}"
    alone = [number for number in lines if sum(each.line == number for each in top.pieces) == 1]
    assert set(lines) - set(alone) <= set(found) or len(lines) == 1
    firsts = [int(each.split()[-1]) for each in dict.fromkeys(found.values())]
    assert firsts == sorted(firsts)


def test_rows_are_sewn_before_they_are_joined_whatever_is_not_read(quilt_of):
    steps = joined("here and there, in part", quilt_of)
    assert any(part.name == "block not read" for step in steps for part in step.parts)


def test_the_simulator_refuses_rows_that_do_not_meet(quilt_of):
    quilt = quilt_of("one block")
    pieces = top_pieces(quilt, arrange(quilt), groups(quilt))
    steps = joined_top(rounds_of(pieces), pieces)
    short = [(x * 99 / 100, y) for x, y in floats(pieces[0].outline)]
    outlines = [short, *(each.outline for each in pieces[1:])]
    with pytest.raises(NotSewnError):
        sew(outlines, [each.name for each in pieces], steps, turning=False)


def test_blocks_that_interlock_in_a_ring_begin_one_seam_and_finish_it_last():
    # Four oblong blocks round a small one, each butting the next.
    boxes = {
        "N": (0, 0, 12, 6),
        "E": (12, 0, 18, 12),
        "S": (6, 12, 18, 18),
        "W": (0, 6, 6, 18),
        "middle": (6, 6, 12, 12),
    }
    pieces = [
        TopPiece(
            Where("block", 0, number), name, name, tuple((Fraction(x), Fraction(y)) for x, y in corners_of(*box)), 0
        )
        for number, (name, box) in enumerate(boxes.items())
    ]
    (step,) = joined_top(rounds_of(pieces), pieces)
    assert (step.name, step.parts[0].name) == ("the top", "middle")
    assert [seam.manner for seam in step.seams] == ["begun", "straight", "straight", "straight", "finished"]
    ring = sew([each.outline for each in pieces], [each.name for each in pieces], [step], turning=False)
    assert len(ring) == 4


def corners_of(left, top, right, bottom):
    return (left, top), (right, top), (right, bottom), (left, bottom)
