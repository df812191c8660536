"""The stash: read as it is written; odd scraps give only sound fabric; what a shop sells."""

from __future__ import annotations

from fractions import Fraction

import pytest
from shapely.geometry import Polygon, box

from seamlore.errors import SeamloreError
from seamlore.fabric.scraps import rectangles
from seamlore.fabric.shop import asked_for, bought, cost
from seamlore.fabric.stash import Offer
from seamlore.fabric.stash_text import read_stash
from seamlore.lengths import Unit, centimeters, inches


def test_every_form_is_read() -> None:
    text = """# at hand
    Red: 1 1/2 yd of 42 in
    Red: 80 cm of 110 cm
    Red: 3 fat quarters
    Red: fat eighth
    Red: 12 strips of 2 1/2 x 42 in
    Red: 2 scraps of 9 x 14 in   # from the old top
    Red: scrap (1,1) (13,1) (15,10) in; spoilt (5,4) (6,4) (6,5)
    Red: buy 44 in wide at 12.50 a yard
    Blue: buy at 21 a meter
    """
    stash = read_stash(text)
    assert [(each.form, each.count, str(each.width), str(each.length)) for each in stash.of("red")] == [
        ("length", 1, "42 in", "54 in"),
        ("length", 1, "110 cm", "80 cm"),
        ("fat quarter", 3, "21 in", "18 in"),
        ("fat eighth", 1, "21 in", "9 in"),
        ("strip", 12, "42 in", "2 1/2 in"),
        ("scrap", 2, "9 in", "14 in"),
        ("scrap", 1, "14 in", "9 in"),
    ]
    assert stash.offer("RED") == Offer("Red", inches(44), Fraction("12.5"), Unit.INCH)
    assert stash.offer("Blue") == Offer("Blue", None, Fraction(21), Unit.CM)
    assert read_stash("A: fat quarter", unit=Unit.CM).holdings[0].width == centimeters(55)


@pytest.mark.parametrize(
    ("line", "named"),
    [
        ("Red", '"Red": a line is a fabric, a colon'),
        ("Red: lots", '"lots"'),
        ("Red: 2 yd", "usable width is not said"),
        ("Red: 0 squares of 5 in", "count"),
        ("Red: squares", "size is not said"),
        ("Red: 0 yd of 42 in", "more than 0"),
        ("Red: buy cheaply", "how it is bought"),
        ("Red: scrap (0,0) (1,0)", "3 to 60 corners"),
        ("Red: scrap (0,0) (1,1) (2,2) x", "3 to 60 corners"),
        ("Red: scrap (0,0) (5,0) (9,0)", "enclose nothing"),
        ("Red: scrap (0,0) (1/0,0) (9,9)", '"1/0"'),
        ("R" * 90 + ": fat quarter", "at most 80"),
    ],
)
def test_a_line_that_is_none_is_named(line: str, named: str) -> None:
    with pytest.raises(SeamloreError, match="line 2") as refused:
        read_stash(f"\n{line}\n")
    assert named in str(refused.value)


@pytest.mark.parametrize(
    "line",
    [
        "scrap (0,0) (12,0) (14,9) (3,11) in; spoilt (4,4) (6,4) (6,7)",
        "scrap (0,0) (10,0) (10,4) (4,4) (4,9) (0,9) in",
        "scrap (0,0) (30,0) (30,20) (0,20) cm; spoilt (10,8) (14,8) (14,12) (10,12); spoilt (0,0) (3,0) (0,3)",
        "scrap (0,5) (6,0) (12,5) (6,14) in",
    ],
)
def test_an_odd_scrap_gives_only_sound_fabric_and_each_rectangle_can_be_cut_free(line: str) -> None:
    # Against an independent geometry library, and a checker that looks for cuts from edge to edge.
    from tests.packing.replay import cut_apart

    [holding] = read_stash(f"A: {line}").holdings
    sound = Polygon([(float(x), float(y)) for x, y in holding.outline])
    for hole in holding.spoilt:
        sound = sound.difference(Polygon([(float(x), float(y)) for x, y in hole]))
    found = rectangles(holding, 1)
    assert found
    for x, y, w, h in found:
        assert box(x, y, x + w, y + h).difference(sound).area < 1e-6
        assert min(w, h) >= 1
    # The largest is at least half of what is sound, or no rectangle could be.
    assert sum(w * h for _, _, w, h in found) > 0.45 * sound.area
    places = [{"x": x, "y": y, "width": w, "height": h} for x, y, w, h in found]
    assert cut_apart(places, holding.width.inches_float + 1, holding.length.inches_float + 1)


def test_a_shop_cuts_eighths_of_a_yard_and_tens_of_centimeters() -> None:
    # An eighth of a yard is 4 1/2 in.
    assert [asked_for(bought(inches(each))) for each in (1, 4.5, 4.6, 36, 100)] == [
        "1/8 yd",
        "1/8 yd",
        "1/4 yd",
        "1 yd",
        "2 7/8 yd",
    ]
    assert [asked_for(bought(centimeters(each))) for each in (1, 10, 187)] == ["0.1 m", "0.1 m", "1.9 m"]
    # 97 in of 100 are left after washing: 97 in are cut from 100 in, 2 7/8 yd.
    assert bought(inches(97), shrinkage=Fraction(3, 100)) == inches("103.5")


def test_a_price_is_a_yards_or_a_meters() -> None:
    assert cost(inches(54), Offer("A", None, Fraction(12), Unit.INCH)) == 18
    # 1 1/2 yd are 1.3716 m.
    assert cost(inches(54), Offer("A", None, Fraction(10), Unit.CM)) == Fraction("13.72")
    assert cost(inches(54), None) is None
