"""What is set right by hand and what the tape says, kept as it was given."""

from __future__ import annotations

from dataclasses import replace
from types import SimpleNamespace

import pytest

from seamlore.errors import MeasureError, PhotoError
from seamlore.photo.frame import Frame
from seamlore.steps.edit.edges import bowed, bows_kept
from seamlore.steps.edit.making import remade
from seamlore.steps.edit.measure import corrected, following, taped, uncorrected
from seamlore.steps.study.inputs import Inputs
from seamlore.steps.study.job import Job
from seamlore.steps.study.sections import About, Choice, Corrections, Making
from seamlore.steps.study.tape import Tape

SIZE = (400, 300)
FRAME = Frame(((50.0, 40.0), (350.0, 40.0), (350.0, 240.0), (50.0, 240.0)), (3.0, 2.0), ((0.02,), (), (0.01,), ()))


def read(**given):
    """What a job is asked for here, with a photograph read."""
    inputs = Inputs(corrections=Corrections(**given))
    return SimpleNamespace(inputs=inputs, flat=SimpleNamespace(frame=FRAME))


def test_corners_are_kept_with_the_bows_of_the_edges_that_stayed():
    moved = [[50, 40], [350, 40], [350, 240], [50, 270]]
    made, says, slips = corrected(read(), SIZE, {"corners": moved})
    assert made.corners == tuple((float(x), float(y)) for x, y in moved)
    # The lower left corner went far: the edges that end in it are straight, the top keeps its bow.
    assert made.bows == ((0.02,), (), (), ())
    assert (says, slips) == ("moved a corner", {})
    with pytest.raises(PhotoError):
        corrected(read(), SIZE, {"corners": [[50, 40], [350, 240], [350, 40], [50, 240]]})


def test_an_edge_is_bowed_through_the_point_it_was_drawn_to():
    straight = FRAME.straightened()
    for edge, point in enumerate([(200.0, 34.0), (356.0, 140.0), (200.0, 246.0), (44.0, 140.0)]):
        bow = bowed(straight, edge, point)[edge]
        assert bow == (pytest.approx(6 / 200 if edge % 2 == 0 else 6 / 300),)
        # Drawn inward as far, it bends the other way.
        x, y = point
        inward = (x, 46.0) if edge == 0 else (344.0, y) if edge == 1 else (x, 234.0) if edge == 2 else (56.0, y)
        assert bowed(straight, edge, inward)[edge] == (pytest.approx(-bow[0]),)
    made, says, _ = corrected(read(), SIZE, {"edge": [1, 356, 140]})
    assert made.bows == ((0.02,), (pytest.approx(0.02),), (0.01,), ())
    assert made.corners == FRAME.corners
    assert says == "bowed an edge"


@pytest.mark.parametrize("along", [0.1501, 0.8499])
def test_an_edge_is_taken_hold_of_as_near_to_a_corner_as_is_said(along):
    bowed(FRAME, 0, (50 + 300 * along, 40.0))
    beyond = along - 0.01 if along < 0.5 else along + 0.01
    with pytest.raises(PhotoError, match="beside its corner"):
        bowed(FRAME, 0, (50 + 300 * beyond, 40.0))


def test_an_edge_with_a_bow_of_several_places_follows_its_middle():
    frame = replace(FRAME, bows=((0.0, 0.0, 0.0), (), (), ()))
    # A parabola through the corners: three quarters of its height at a quarter of its length.
    assert bowed(frame, 0, (200.0, 30.0))[0] == pytest.approx((0.0375, 0.05, 0.0375))
    assert bowed(frame, 0, (125.0, 32.5))[0] == pytest.approx((0.0375, 0.05, 0.0375))
    # What was bowed already runs through the point too, and no farther.
    again = replace(FRAME, bows=((0.05,), (), (), ()))
    assert bowed(again, 0, (200.0, 30.0))[0] == pytest.approx((0.05,))


def test_an_edge_is_another_one_only_when_its_corner_moved_far():
    near, far = 300 * 0.02, 300 * 0.02 + 0.01
    corners = [list(corner) for corner in FRAME.corners]
    assert bows_kept(FRAME, [[50, 40 + near], *corners[1:]]) == FRAME.bows
    assert bows_kept(FRAME, [[50, 40 + far], *corners[1:]]) == ((), (), (0.01,), ())
    assert bows_kept(FRAME, [*corners[:2], [350 + far, 240], corners[3]]) == ((0.02,), (), (), ())


@pytest.mark.parametrize(
    "edge", [None, 3, "top", [], [1, 2], [1, 2, 3, 4], ["1", 2, 3], [4, 200, 34], [-1, 200, 34], [0.5, 200, 34]]
)
def test_an_edge_that_is_none_is_refused(edge):
    if edge is None:
        assert corrected(read(), SIZE, {"edge": None}) == (Corrections(), "", {})
    else:
        with pytest.raises(MeasureError, match="edge"):
            corrected(read(), SIZE, {"edge": edge})


def test_a_line_that_is_moved_takes_the_place_of_the_one_moved_before():
    made, says, _ = corrected(read(), SIZE, {"row_line": [0.3, 0.32]})
    assert (made.row_lines, made.column_lines, says) == ((0.32,), None, "moved a line of the rows")
    again, says, _ = corrected(
        read(row_lines=(0.1, 0.32)), SIZE, {"row_line": [0.3205, 0.35], "column_line": [0.9, 1.4]}
    )
    assert (again.row_lines, again.column_lines) == ((0.1, 0.35), (1.0,))
    assert says == "moved a line of the rows and moved a line of the columns"
    third, _, _ = corrected(read(row_lines=(0.1, 0.32)), SIZE, {"row_line": [0.2, -0.4]})
    assert third.row_lines == (0.0, 0.1, 0.32)
    # Nearer than four thousandths of the quilt it is the same line.
    near, _, _ = corrected(read(row_lines=(0.25,)), SIZE, {"row_line": [0.2539, 0.5]})
    off, _, _ = corrected(read(row_lines=(0.25,)), SIZE, {"row_line": [0.2541, 0.5]})
    assert (near.row_lines, off.row_lines) == ((0.5,), (0.25, 0.5))
    for wrong in (3, [0.1], [0.1, 0.2, 0.3], ["a", 0.2]):
        with pytest.raises(MeasureError, match="a line that was moved"):
            corrected(read(), SIZE, {"column_line": wrong})


def test_counts_are_said_and_take_the_lines_of_other_counts_away():
    placed = {"row_lines": (0.5,), "column_lines": (0.4,)}
    made, says, slips = corrected(read(**placed), SIZE, {"rows": "5", "columns": "", "divisions": "4"})
    assert (made.rows, made.columns, made.divisions) == (5, None, 4)
    assert (made.row_lines, made.column_lines) == (None, (0.4,))
    assert (says, slips) == ("said there are 5 rows and said there are 4 divisions", {})
    back, says, _ = corrected(read(columns=7, **placed), SIZE, {"columns": ""})
    assert (back.columns, back.column_lines, back.row_lines) == (None, None, (0.5,))
    assert says == "left the columns to the photograph"
    same, says, _ = corrected(read(rows=5, **placed), SIZE, {"rows": "5"})
    assert (same, says) == (Corrections(rows=5, **placed), "")
    # Lines of the block grid stay when the block alone is divided otherwise.
    divided, _, _ = corrected(read(**placed), SIZE, {"divisions": "3"})
    assert (divided.row_lines, divided.column_lines) == ((0.5,), (0.4,))


@pytest.mark.parametrize(("name", "most"), [("rows", 60), ("columns", 60), ("divisions", 16)])
def test_a_count_beyond_the_limit_is_said_by_its_field(name, most):
    made, says, slips = corrected(read(**{name: 3}), SIZE, {name: str(most + 1)})
    assert (getattr(made, name), says, list(slips)) == (3, "", [name])
    made, _, slips = corrected(read(**{name: 3}), SIZE, {name: str(most)})
    assert (getattr(made, name), slips) == (most, {})


def test_corrections_are_taken_back_and_nothing_is_said_of_none():
    assert uncorrected(Job(Inputs())) == (Corrections(), "")
    some = Job(Inputs(corrections=Corrections(rows=4)))
    assert uncorrected(some) == (Corrections(), "took back all corrections of the reading")


def test_what_the_tape_says_is_kept_with_its_unit_and_a_slip_leaves_what_was():
    before = Tape(width="70 in", rows=9, outer_sashing=True)
    typed = {
        "width": "about so",
        "height": "80 1/2",
        "block": "20 cm",
        "rows": "201",
        "columns": "8",
        "tolerance": "1/4",
    }
    tape, slips = taped(Job(Inputs(tape=before)), typed)
    assert tape == Tape(width="70 in", height="80 1/2 in", block="20 cm", rows=9, columns=8, tolerance="1/4 in")
    assert sorted(slips) == ["rows", "width"]
    tape, slips = taped(Job(Inputs(about=About(unit="cm"))), {"rows": "200", "outer_sashing": "yes", "border": "9"})
    assert (tape, slips) == (Tape(rows=200, outer_sashing=True, border="9 cm"), {})
    assert taped(Job(Inputs(tape=before)), {})[0] == Tape()


def test_an_account_is_followed_by_its_text_and_the_likeliest_when_none_is_named():
    job = Job(Inputs(choice=Choice(block="shoo fly", explanation="this")))
    assert following(job, "that") == Choice(block="shoo fly", explanation="that")
    assert following(job, "") == Choice(block="shoo fly")


def test_how_it_is_made_is_kept_field_by_field():
    job = Job(Inputs(making=Making(fabric_width="44 in", binding_width="2 in", filling="blanket")))
    typed = {
        "fabric_width": "0",
        "backing_width": "108",
        "seam_allowance": "3/8",
        "binding_width": "2 1/4",
        "binding": "bias",
        "filling": "none",
        "paper": "a4",
    }
    made, slips = remade(job, typed)
    assert made == Making(
        fabric_width="44 in",
        backing_width="108 in",
        seam_allowance="3/8 in",
        binding="bias",
        binding_width="2 1/4 in",
        filling="none",
        paper="a4",
    )
    assert list(slips) == ["fabric_width"]
    made, slips = remade(job, {"seam_allowance": "0", "binding_width": "300", "binding": "glue", "paper": "wall"})
    assert made == Making(binding_width="2 in", filling="blanket")
    assert sorted(slips) == ["binding_width", "seam_allowance"]
    for kind in ("batting", "blanket", "older quilt", "none"):
        assert remade(job, {"filling": kind})[0].filling == kind
    for edge in ("straight", "bias", "none"):
        assert remade(job, {"binding": edge})[0].binding == edge
    assert remade(job, {"paper": "letter"})[0].paper == "letter"
