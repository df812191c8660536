"""The fabrics of a draft laid out: every patch of its list, the stash first, no more bought than plain strips take."""

from __future__ import annotations

import datetime
from collections import Counter
from dataclasses import replace
from fractions import Fraction

import pytest

from seamlore.draft.border import border
from seamlore.draft.catalogue import find
from seamlore.draft.repeated import repeated
from seamlore.draft.setting.setting import OnPoint
from seamlore.lengths import Unit, inches
from seamlore.making.plan import Plan, plan
from seamlore.packing.plan import QUICK, places_in
from seamlore.steps.booklet import booklet_content
from seamlore.steps.cutting import of_plan
from seamlore.steps.cutting.of_plan import PlanCut, cut_plan, wishes_of
from seamlore.steps.cutting.words import cuts_in_words
from seamlore.steps.make import as_record
from seamlore.steps.study.sections import Making
from tests.packing.replay import by_the_words, cut_apart

DAY = datetime.date(2026, 11, 30)


def made_of(name: str, rows: int = 6, columns: int = 5, wide: int = 0) -> Plan:
    """A plan of one block of 9 in, repeated; with a plain border where one is asked for."""
    borders = (border(inches(wide)),) if wide else ()
    return plan(repeated("Q", find(name), inches(9), inches(9), rows, columns, borders=borders))


def counted(each: PlanCut) -> Counter[int]:
    """How many of each piece are cut, from what is bought and from the stash."""
    found: Counter[int] = Counter()
    for strip in each.cut.layout.strips if each.cut.layout else ():
        found.update(place.kind for place in places_in(strip))
    for used in each.cut.used:
        for strip in used.strips:
            for place in places_in(strip):
                found[place.kind] += used.times
    return found


@pytest.mark.parametrize("which", ["fitting", "simple", "frugal"])
@pytest.mark.parametrize("name", ["shoo fly", "54-40 or fight", "ohio star"])
def test_every_line_of_the_list_is_cut_and_each_plan_can_be_followed(name: str, which: str) -> None:
    made = made_of(name)
    for each in cut_plan(made, wishes_of(Making(cutting=which), Unit.INCH)):  # type: ignore[arg-type]
        assert counted(each) == Counter({kind: piece.count for kind, piece in enumerate(each.cut.pieces)})
        assert {cut for served in each.sources for cut in served} == set(each.need.cuts)
        by_the_words(cuts_in_words(each.cut), Fraction(42), each.cut.length.inches)
        [line] = [line for line in as_record(made, [each])["fabrics"] if line["fabric"] == each.cut.name][:1]
        assert line["least_length"] <= line["length"]


@pytest.mark.parametrize("name", ["shoo fly", "54-40 or fight", "ohio star", "flying geese"])
def test_no_more_is_bought_than_plain_strips_take(name: str) -> None:
    # Against the arithmetic of paper and ruler, which shares no code with the layouts.
    for each in cut_plan(made_of(name)):
        plain = sum(Fraction(part) for part in each.need.buy.removesuffix(" yd").split())
        assert sum(Fraction(part) for part in each.cut.buy.removesuffix(" yd").split()) <= plain


def test_corners_are_cut_beside_the_sides_of_a_quilt_on_point() -> None:
    # By hand: 3 x 4 blocks of 16 in take 10 sides and 4 corners: three squares of 24 in, one to a strip, which leaves 18 in beside
    # each for the two squares of 12 1/4 in. 72 in; a strip more for the corners alone made it 2 3/8 yd.
    quilt = repeated("q", find("nine patch"), inches(16), inches(16), 4, 3, setting=OnPoint())
    [sides] = [each for each in cut_plan(plan(quilt)) if each.cut.name == "setting triangle"]
    assert (sides.need.length, sides.need.buy, sides.cut.length, sides.cut.buy) == (
        inches(72),
        "2 yd",
        inches(72),
        "2 yd",
    )


def test_the_record_can_be_cut_apart_and_holds_both_plans() -> None:
    made = made_of("shoo fly", wide=4)
    for line in as_record(made, cut_plan(made))["fabrics"]:
        assert cut_apart(line["places"], line["width"], line["length"])
        assert line["plans"]["simple"]["settings"] <= line["plans"]["frugal"]["settings"]
        assert line["plans"]["frugal"]["length"] <= line["plans"]["simple"]["length"]


def test_borders_are_over_long_by_what_is_said_and_cut_along_where_that_takes_no_more() -> None:
    # A top of 45 x 54 in: sides of 54 1/2 in, then 53 1/2 in across; each 2 in longer. Along the fabric, beside each other.
    made = made_of("shoo fly", wide=4)
    each = next(each for each in cut_plan(made) if each.cut.name == "border")
    assert "2 in longer" in " ".join(each.notes)
    heights = {str(piece.height) for piece in each.cut.pieces}
    # Joined strips take 6 of 4 1/2 in, 27 in or 3/4 yd; along it would be 56 1/2 in.
    assert (heights, each.cut.buy) == ({"4 1/2 in"}, "3/4 yd")
    assert "join 6 strips of 4 1/2 in" in " ".join(each.notes)
    wide = cut_plan(made, wishes_of(Making(stash="border: buy 60 in wide"), Unit.INCH))[-1]
    assert {str(piece.height) for piece in wide.cut.pieces} == {"56 1/2 in", "55 1/2 in"}


def test_the_stash_is_followed_to_the_booklet() -> None:
    made = made_of("shoo fly")
    wishes = wishes_of(Making(stash="fabric b: 2 fat quarters\nfabric b: 20 squares of 5 in"), Unit.INCH)
    cuts = cut_plan(made, wishes)
    content = booklet_content(made, printed=DAY, cuts=cuts)
    bought = {each.name: each.buy for each in content.buy}
    plain = {each.name: each.buy for each in booklet_content(made, printed=DAY, cuts=cut_plan(made)).buy}
    assert bought["Fabric A"] == plain["Fabric A"]
    assert bought["Fabric B"] != plain["Fabric B"]
    fabric = next(each for each in content.cutting if each.fabric == "Fabric B")
    assert any("from the stash" in line.strips for line in fabric.lines)
    assert any("from the stash" in laid.said for laid in fabric.laid)
    assert any(step.startswith("From the stash, 2 fat quarters of 21 x 18 in") for step in fabric.steps)


def test_every_numbered_cut_is_drawn() -> None:
    content = booklet_content(made_of("shoo fly"), printed=DAY, cuts=cut_plan(made_of("shoo fly")))
    for fabric in content.cutting:
        told = {int(step.split(".")[0]) for step in fabric.steps}
        drawn = {line.number for laid in fabric.laid for line in laid.lines}
        # The last cut of a full strip falls on its edge: nothing is drawn there.
        assert drawn <= told
        assert {1, 2} <= drawn
        for laid in fabric.laid:
            assert all(
                piece.x >= 0 and piece.x + piece.width <= laid.width.inches_float + 1e-9 for piece in laid.pieces
            )


@pytest.mark.parametrize(
    ("rows", "wide", "stash", "tried"),
    [
        (4, 4, "", ["joined"]),
        (4, 4, "Border: 30 in of 42 in", ["joined", "along"]),
        (9, 12, "", ["joined", "along"]),
    ],
)
def test_long_pieces_are_laid_in_both_ways_unless_one_cannot_take_less(monkeypatch, rows, wide, stash, tried):
    lay, order = of_plan._laid, []

    def told(need, rest, along, across, *given):
        order.append(("along" if along else "joined", lay(need, rest, along, across, *given)))
        return order[-1][1]

    monkeypatch.setattr(of_plan, "_laid", told)
    made = made_of("shoo fly", rows, 4, wide)
    need = made.fabrics[-1]
    wishes = wishes_of(Making(stash=stash.replace("Border", need.fabric)), Unit.INCH)
    chosen = of_plan.cut_plan(made, wishes)[-1]
    assert [way for way, _ in order][-len(tried) :] == tried
    found = [(cut, None) for cut in need.cuts]
    long = [each for each in found if each[0].size[0] > need.width]
    rest = [each for each in found if each not in long]
    how = need.width, made.seam, replace(wishes, plain=need.length, effort=QUICK)
    ways = [lay(need, rest, *each, *how) for each in ((long, []), ([], long))]
    least = min(ways, key=of_plan._bought)
    assert (chosen.cut.plans, chosen.notes) == (least.cut.plans, least.notes)
