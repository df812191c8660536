"""Old cloth fabric by fabric, what its backing serves for, and the nearest fabric at hand."""

from __future__ import annotations

import csv
from fractions import Fraction
from pathlib import Path

import numpy as np
import pytest
import shapely

from seamlore.color.difference import delta_e_2000
from seamlore.color.lab import srgb_to_lab
from seamlore.condition.ground import Ground
from seamlore.condition.survey import Laid
from seamlore.draft.where import Where
from seamlore.lengths import Unit, inches
from seamlore.saving.at_hand import AtHand, nearest
from seamlore.saving.backing import backs, cut_from
from seamlore.saving.cloth import Cloth, cloths
from seamlore.saving.projects import PROJECTS


def square(x, y, side):
    return np.array([[x, y], [x + side, y], [x + side, y + side], [x, y + side]], dtype=float)


def quilt(gap=2.0, border=3.0):
    """Two by two blocks of 8 in, each of four patches of two fabrics, with sashing and a border."""
    at = [(row, column) for row in (0, 1) for column in (0, 1)]
    corners = [square(border + column * (8 + gap), border + row * (8 + gap), 8) for row, column in at]
    outlines, where, fabric = [], [], []
    for (row, column), block in zip(at, corners, strict=True):
        for number, (x, y) in enumerate(((0, 0), (4, 0), (0, 4), (4, 4))):
            outlines.append(square(block[0, 0] + x, block[0, 1] + y, 4))
            where.append(Where("block", row, column, number))
            fabric.append(number in (0, 3))
    side = 2 * border + 16 + gap
    return Ground(
        (side, side),
        tuple(at),
        np.array(corners),
        tuple(where),
        outlines,
        np.array(fabric, dtype=int),
        ("light", "dark"),
    )


def named(found):
    return {each.of: each for each in found}


def test_patches_of_blocks_that_are_given_whole_are_not_cut_up():
    found = named(cloths(quilt(), [], {(0, 0), (0, 1), (1, 0)}))
    assert [(len(found[of].pieces), found[of].sound) for of in ("light", "dark")] == [(2, 32.0), (2, 32.0)]
    assert named(cloths(quilt(), [], {(0, 0), (0, 1), (1, 0), (1, 1)})).keys() == {"sashing", "border", "backing"}


def test_each_piece_comes_off_with_what_is_left_of_its_seam_allowance():
    found = named(cloths(quilt(), [], (), allowance=0.25))
    assert found["light"].whole == pytest.approx(8 * 4.5**2)
    # The backing has no seams that were read.
    assert found["backing"].whole == pytest.approx(24**2)


def test_strips_between_and_round_the_blocks_are_pieces_of_their_own():
    found = named(cloths(quilt(), [], ()))
    assert sorted(each.area for each in found["sashing"].pieces) == pytest.approx([16, 16, 36])
    assert sum(each.area for each in found["border"].pieces) == pytest.approx(24**2 - 18**2)
    assert "sashing" not in named(cloths(quilt(gap=0.0), [], ()))
    assert "border" not in named(cloths(quilt(border=0.0), [], ()))
    # Where block is sewn to block, a crooked seam is no strip.
    assert named(cloths(quilt(), [], (), sashed=False)).keys() == {"light", "dark", "border", "backing"}
    assert named(cloths(quilt(), [], (), without={"setting", "border"})).keys() == {"light", "dark", "backing"}


def test_holes_and_spoilt_places_are_left_out_on_the_side_that_they_are_on():
    front, behind = Laid("hole", 4, square(4, 4, 1)), Laid("stain", 3, square(10, 10, 2), behind=True)
    light = Laid("stain", 2, square(8, 4, 1))
    seam = Laid("open seam", 4, square(5, 12, 2))
    found = named(cloths(quilt(), [front, behind, light, seam], ()))
    assert found["dark"].sound == pytest.approx(8 * 16 - 1)
    assert (found["dark"].holes, found["backing"].holes) == (0 + 1, 1)
    assert found["light"].sound == pytest.approx(8 * 16)
    assert found["backing"].sound == pytest.approx(24**2 - 4)


def test_weak_fabric_and_what_bears_writing_are_not_given():
    found = named(
        cloths(
            quilt(),
            [],
            (),
            suspect={1: "weak when tried"},
            written=[square(8, 4, 1)],
            weak_parts={"backing": "powder when tried", "border": "weak when tried"},
        )
    )
    assert found["dark"].pieces == ()
    assert found["dark"].suspect == "weak when tried"
    assert len(found["light"].pieces) == 7
    assert found["backing"].pieces == found["border"].pieces == ()
    assert len(found["sashing"].pieces) == 3


def test_backing_serves_where_a_piece_with_what_lies_beyond_can_be_cut():
    """By hand: a wall piece of 24 in takes 28 in, a lap quilt of 40 x 48 in takes 48 x 56 in."""
    whole = Cloth("backing", (shapely.box(0, 0, 56, 48),), 56 * 48)
    found = {each.project.name: each.count for each in backs(whole, PROJECTS, Unit.INCH)}
    assert found["wall piece"] == 2
    cut = {each.project.name: (str(each.width), str(each.height)) for each in backs(whole, PROJECTS, Unit.INCH)}
    assert (cut["wall piece"], cut["small lap quilt"]) == (("28 in", "28 in"), ("48 in", "56 in"))
    assert found["small lap quilt"] == 1
    hole = Cloth("backing", (shapely.difference(shapely.box(0, 0, 56, 48), shapely.box(27, 23, 29, 25)),), 56 * 48)
    again = {each.project.name: each.count for each in backs(hole, PROJECTS, Unit.INCH)}
    assert again["small lap quilt"] == 0
    assert again["framed block"] > 0
    assert len(PROJECTS) >= 12
    assert {each.project.name for each in backs(hole, PROJECTS, Unit.INCH)} == {each.name for each in PROJECTS}


def test_backs_that_touch_skin_food_or_children_come_last_until_hazards_are_ruled_out():
    whole = Cloth("backing", (shapely.box(0, 0, 80, 90),), 7200)
    touches = [bool(each.project.touches) for each in backs(whole, PROJECTS, Unit.INCH)]
    assert touches == sorted(touches)
    free = [bool(each.project.touches) for each in backs(whole, PROJECTS, Unit.INCH, ruled_out=True)]
    assert free != sorted(free)


def test_patches_are_cut_no_smaller_than_asked_for_in_either_unit():
    (spot,) = cut_from(shapely.box(0, 0, 3.05, 3.05), [(inches(Fraction(6, 5)), inches(Fraction(6, 5)), 1)], Unit.CM)
    assert spot[2] >= 1.2 * 2.54
    assert (
        cut_from(shapely.box(0, 0, 3.04, 3.04), [(inches(Fraction(6, 5)), inches(Fraction(6, 5)), 1)], Unit.CM) == ()
    )


def test_the_nearest_in_color_is_that_of_the_published_formula():
    """CIEDE2000 itself is held to its 34 published pairs elsewhere; here colors in an order that plain distance would change."""
    old = "#7a5034"
    hands = [
        AtHand(f"cloth {number}", color)
        for number, color in enumerate(("#7a5034", "#8a3b35", "#33456a", "#7d5a3a", "#c8b79a"))
    ]
    found = nearest(old, "", hands)
    lab = srgb_to_lab(
        [[int(each[at : at + 2], 16) / 255 for at in (1, 3, 5)] for each in (old, *(each.color for each in hands))]
    )
    apart = delta_e_2000(lab[:1], lab[1:])
    assert [each.difference for each in found] == pytest.approx(sorted(apart))
    assert found[0].fabric.name == "cloth 0"


def test_the_same_print_goes_before_a_nearer_color_and_what_was_not_said_stands_between():
    hands = [AtHand("a", "#101010", "stripe"), AtHand("b", "#7a5034", "plain"), AtHand("c", "#7a5035", "")]
    assert [each.fabric.name for each in nearest("#7a5034", "stripe", hands)] == ["a", "c", "b"]
    assert [each.same_print for each in nearest("#7a5034", "stripe", hands)] == [True, None, False]
    assert [each.fabric.name for each in nearest("#7a5034", "", hands)] == ["b", "c", "a"]


def test_ciede2000_is_that_of_its_published_pairs():
    """Sharma, Wu and Dalal 2005, table 1: the first three pairs."""
    path = Path(__file__).parents[1] / "data" / "ciede2000_pairs.csv"
    rows = [row for row in csv.reader(path.read_text().splitlines()) if row and not row[0].startswith("#")][:3]
    for row in rows:
        numbers = [float(each) for each in row]
        assert float(delta_e_2000(np.array(numbers[1:4]), np.array(numbers[4:7]))) == pytest.approx(
            numbers[7], abs=5e-5
        )
