"""What the booklet says follows how the quilt is made, to its last step."""

import datetime
from math import hypot

import pytest

from seamlore.draft.catalogue import find
from seamlore.draft.groups import groups
from seamlore.draft.pieces import pieces
from seamlore.draft.repeated import repeated
from seamlore.draft.setting.arranged import arrange
from seamlore.draft.setting.setting import OnPoint
from seamlore.draft.text.quilt_file import read_quilt
from seamlore.drawing.shapes import Area, walk
from seamlore.lengths import inches
from seamlore.making.plan import plan
from seamlore.pictures.palette import CLOTHS
from seamlore.printing.content import Figure, Section
from seamlore.printing.pages import main_width
from seamlore.sheets.booklet import booklet
from seamlore.steps.booklet import booklet_content
from seamlore.steps.make import as_record

QUILT = repeated("Q", find("shoo fly"), inches(9), inches(9), 7, 8)


def said(**given):
    made = plan(QUILT, **given)
    content = booklet_content(made, printed=datetime.date(2026, 11, 30))
    return [each.name for each in content.finishing], " ".join(content.finishing_steps), as_record(made)["filling"]


def test_batting_is_called_batting():
    bought, steps, record = said()
    assert bought == ["Backing", "Batting", "Binding"]
    assert "Layer backing, batting and top" in steps
    assert "the batting's label" in steps
    assert (record["kind"], record["size"]) == ("batting", (80, 71))


@pytest.mark.parametrize("kind", ["blanket", "older quilt"])
def test_a_blanket_or_an_older_quilt_is_named_so_and_has_no_package(kind):
    bought, steps, record = said(filled_with=kind)
    assert bought == ["Backing", kind.capitalize(), "Binding"]
    assert f"Layer backing, {kind} and top" in steps
    assert "batting" not in steps
    assert (record["kind"], record["package"]) == (kind, "")


def test_a_quilt_of_two_layers_has_no_filling():
    bought, steps, record = said(filled_with="none")
    assert bought == ["Backing", "Binding"]
    assert "two layers" in steps
    assert (record["kind"], record["size"]) == ("none", None)


def chirality(ring):
    """Of a right triangle with legs of two lengths: whether the longer one leaves the right angle, clockwise as seen."""
    ring = [(float(x), float(y)) for x, y in ring]
    if sum(x0 * y1 - x1 * y0 for (x0, y0), (x1, y1) in zip(ring, ring[1:] + ring[:1], strict=True)) < 0:
        ring.reverse()
    for before, (x, y), after in zip(ring[-1:] + ring[:-1], ring, ring[1:] + ring[:1], strict=True):
        leaving, coming = (after[0] - x, after[1] - y), (before[0] - x, before[1] - y)
        if abs(leaving[0] * coming[0] + leaving[1] * coming[1]) < 1e-9:
            return hypot(*leaving) > hypot(*coming)
    raise AssertionError("no right angle")


@pytest.mark.parametrize("name", ["54-40 or Fight", "Storm at Sea", "Three-Row Thousand Pyramids"])
def test_triangles_cut_as_the_diagram_shows_are_not_mirror_images(name):
    # Rectangles of one size, cut rising for a triangle and falling for its mirror image, lying or standing in the strip.
    quilt = repeated("q", find(name), inches(9), inches(9), 3, 4)
    outlines = {(piece.fabric, piece.label): piece.outline for piece in pieces(quilt)}
    looked = 0
    for fabric in booklet_content(plan(quilt), printed=datetime.date(2026, 11, 30)).cutting:
        halves = {line.label for line in fabric.lines if "rectangle" not in line.cut and "right side up" in line.then}
        for strip in fabric.strips:
            for piece in strip.pieces:
                wide, high = piece.along.inches, (piece.deep or strip.width).inches
                if piece.label not in halves or piece.then not in ("/", "\\") or wide == high:
                    continue
                # The corner above a rising cut, the corner above a falling one.
                at = (0, 0) if piece.then == "/" else (wide, 0)
                ends = ((wide, 0), (0, high)) if piece.then == "/" else ((0, 0), (wide, high))
                for label in piece.label.split(", "):
                    assert chirality((at, *ends)) == chirality(outlines[fabric.fabric, label])
                    looked += 1
    assert looked


def test_each_side_of_a_triangle_is_said_once():
    # The hypotenuse of a quarter-square triangle is its one long side; the two short sides of a half square are equal.
    quilt = repeated("q", find("ohio star"), inches(9), inches(9), 3, 3)
    lines = [
        line
        for fabric in booklet_content(plan(quilt), printed=datetime.date(2026, 11, 30)).cutting
        for line in fabric.lines
    ]
    assert {line.finished for line in lines} == {"3 in along the long side", "3 in square"}


def test_the_top_is_drawn_step_by_step_with_the_cloths_of_its_blocks():
    point = repeated("Q", find("shoo fly"), inches(9), inches(9), 2, 2, setting=OnPoint())
    content = booklet_content(plan(point), printed=datetime.date(2026, 11, 30))
    titles = [step.title for step in content.top]
    assert titles[:4] == ["Diagonal row 1", "Diagonal row 2", "Diagonal row 3", "The field"]
    assert titles[-1] == "The top"
    blocks = [each for each in booklet(content).blocks if isinstance(each, Section) and each.level == 3]
    drawn = [each.body[0].picture for each in blocks if each.heading.endswith(("row 2", "The top"))]
    fills = [{shape.fill for shape in walk(each.shapes) if isinstance(shape, Area)} for each in drawn]
    # Both cloths of the block; the setting triangles' in the top.
    assert {CLOTHS["indigo"], CLOTHS["muslin"]} <= fills[-1]
    # The block's own steps come first, and their numbers run on.
    numbers = [int(each.heading.split()[0]) for each in blocks if each.heading[0].isdigit()]
    assert numbers == list(range(1, len(numbers) + 1))


def test_every_step_of_every_kind_of_spot_is_in_the_booklet():
    # Half blocks, quarter blocks, two kinds, a pieced border: none is left without its steps.
    text = (
        "quilt Q\nfinished 6 in\nrow N P N/90\nrow P N P\nkind N Nine Patch\nkind P Half-Square Triangle\n"
        "border 2 in, squares\n  repeat 2 in of Half-Square Triangle\n"
    )
    quilt = read_quilt(text, find_block=find)
    content = booklet_content(plan(quilt), printed=datetime.date(2026, 11, 30))
    spots = {each.where for each in arrange(quilt).spots}
    names = [each.name for each in content.blocks]
    assert len(names) == len(set(names)) == len(groups(quilt))
    assert all(each.steps and each.steps[-1].step.made == "whole" for each in content.blocks)
    told = {piece.where for piece in content.top_pieces}
    assert spots <= told
    assert set(content.top[-1].step.pieces) == set(range(len(content.top_pieces)))


@pytest.mark.parametrize(
    "setting", ["on point", "on point, half blocks", "strips 4 in, outside, on point", "offset", "strips 4 in"]
)
def test_every_setting_has_its_top_drawn_within_the_page(setting):
    text = f"quilt Q\nmade of Pinwheel\nfinished 6 in\nrows 3\ncolumns 3\nset {setting}\nborder 2 in, mitered\n"
    content = booklet_content(plan(read_quilt(text, find_block=find)), printed=datetime.date(2026, 11, 30))
    for each in booklet(content, "a4").blocks:
        if isinstance(each, Section) and each.level == 3 and isinstance(each.body[0], Figure):
            assert each.body[0].picture.width_mm <= main_width("a4")
