"""Hexagons over papers: sizes against a general geometry library, and the papers measured in the printed file."""

import datetime
from math import floor, sqrt

import pytest
from numpy.testing import assert_allclose
from shapely.geometry import Polygon
from shapely.ops import unary_union

from seamlore.cli.main import run
from seamlore.drawing.shapes import Area, walk
from seamlore.errors import PageError, PlanError
from seamlore.lengths import centimeters, inches, length
from seamlore.making.hexagons import hexagons
from seamlore.printing.content import Plate
from seamlore.sheets.hexagon_pages import corners, hexagon_pages

DAY = datetime.date(2026, 11, 30)


@pytest.mark.parametrize("side", ["3/4", "1", "1 1/4", "2 1/8"])
def test_cut_sizes_hold_the_seam_all_round_and_not_a_mark_more(side):
    found = hexagons(length(f"{side} in"), 100, inches(42))
    hexagon = Polygon(corners(found.side.inches_float))
    assert_allclose(hexagon.area, 3 * sqrt(3) / 2 * found.side.inches_float**2)
    left, top, right, bottom = hexagon.buffer(0.25, join_style="mitre").bounds
    for cut, needed in zip(found.cut, (bottom - top, right - left), strict=True):
        assert needed <= cut.inches_float < needed + 1 / 8
    assert found.held == floor(42 / found.cut[0].inches_float)
    assert (found.strips - 1) * found.held < 100 <= found.strips * found.held


def test_metric_hexagons_are_cut_to_the_millimeter():
    # By hand: 2.5 cm sides are 4.330 cm from flat to flat; with 0.75 cm seams 5.830, and 5 + 1.732 = 6.732 cm point to point.
    found = hexagons(centimeters("2.5"), 60, centimeters(107))
    assert [each.number for each in found.cut] == [6.8, 5.9]
    # 15 from a strip, four strips: 23.6 cm.
    assert (found.held, found.strips, found.buy) == (15, 4, "0.3 m")


@pytest.mark.parametrize("paper", ["letter", "a4"])
def test_papers_have_their_finished_size_and_do_not_overlap(paper):
    found = hexagons(inches(1), 120, inches(42))
    plate = [block for block in hexagon_pages(found, paper, DAY).blocks if isinstance(block, Plate)][-1]
    rings = [Polygon(each.rings[0]) for each in walk(plate.picture.shapes) if isinstance(each, Area)]
    assert_allclose([each.area for each in rings], 3 * sqrt(3) / 2 * 25.4**2)
    assert_allclose(unary_union(rings).area, sum(each.area for each in rings))
    assert len(rings) >= 12
    assert f"{len(rings)} papers on a page, 120 are needed" in repr(plate.words)
    assert f"Print this page {-(-120 // len(rings))} times" in repr(plate.words)


def test_what_cannot_be_is_refused_in_a_line():
    for side, count, width in (("1", 0, 42), ("1", 10_001, 42), ("0", 5, 42), ("30", 5, 42), ("1/8", 5, 42)):
        with pytest.raises(PlanError):
            hexagons(inches(side), count, inches(width))
    with pytest.raises(PageError, match="does not go on"):
        hexagon_pages(hexagons(inches(6), 5, inches(42)), "letter", DAY)


def test_the_command_prints_papers(tmp_path, capsys):
    target = tmp_path / "papers.pdf"
    assert run(["cut", "--hexagons", "1in", "--count", "120", "--width", "42in", "--papers", str(target)]) == 0
    assert target.read_bytes().startswith(b"%PDF")
    assert "cut 8 strips of 2 1/4 in" in capsys.readouterr().out


@pytest.mark.parametrize("given", [["--hexagons", "1in"], ["x.csv", "--hexagons", "1in", "--count", "4"], []])
def test_hexagons_without_a_count_or_beside_a_list_are_refused(given, capsys):
    assert run(["cut", *given, "--width", "42in"]) == 2
    assert capsys.readouterr().err.count("\n") == 1
