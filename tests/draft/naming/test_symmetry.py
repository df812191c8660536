"""Symmetry against brute force over all eight motions."""

import pytest
from shapely import Polygon, symmetric_difference, union_all
from shapely.affinity import rotate, scale

from seamlore.draft.catalogue import all_blocks, find
from seamlore.draft.naming.symmetry import MOTIONS, symmetry
from seamlore.draft.text.notation import read_block


def regions(block):
    """Outside oracle: the union of the patches of each place, made by the geometry library."""
    return {
        place: union_all([Polygon(each.points) for each in block.patches if each.place == place])
        for place in block.places
    }


@pytest.mark.parametrize("each", all_blocks(), ids=lambda each: each.name)
def test_symmetry_with_fabrics_kept_agrees_with_brute_force(each):
    here = regions(each)
    kept = []
    for turn, mirrored in MOTIONS:
        # Mirrored left to right, then turned clockwise about the middle: the library's own motions, y pointing down.
        there = {
            place: rotate(scale(region, -1 if mirrored else 1, 1, origin=(0.5, 0.5)), turn, origin=(0.5, 0.5))
            for place, region in here.items()
        }
        if all(symmetric_difference(here[place], there[place]).area < 1e-9 for place in here):
            kept.append((turn, mirrored))
    assert symmetry(each).motions == tuple(kept)


@pytest.mark.parametrize("each", all_blocks(), ids=lambda each: each.name)
def test_symmetry_of_the_seams_agrees_with_brute_force(each):
    here = {one.outline for one in each.patches}
    kept = [
        motion for motion in MOTIONS if {o.outline for o in each.moved(motion[0], mirrored=motion[1]).patches} == here
    ]
    assert set(kept) == set(symmetry(each, fabrics="ignored").motions)


@pytest.mark.parametrize("each", all_blocks(), ids=lambda each: each.name)
def test_the_motions_are_a_group(each):
    # Group theory (Lagrange): the number of motions divides 8, and two in a row are one of them again.
    for fabrics in ("kept", "exchanged", "ignored"):
        motions = symmetry(each, fabrics=fabrics).motions
        assert 8 % len(motions) == 0
        for turn, mirrored in motions:
            for then, again in motions:
                # Mirroring undoes the sense of an earlier turn.
                both = ((then - turn if again else then + turn) % 360, mirrored != again)
                assert both in motions


@pytest.mark.parametrize(
    ("name", "turns", "ways", "mirrors"),
    [
        ("Nine Patch", 1, 1, {"upright", "lying", "rising", "falling"}),
        ("Pinwheel", 1, 2, set()),
        ("Half-Square Triangle", 4, 4, {"falling"}),
        ("Four Patch", 2, 2, {"rising", "falling"}),
        ("Flying Geese", 4, 4, {"upright"}),
        ("Log Cabin", 4, 4, {"rising"}),
        ("Hourglass", 2, 2, {"upright", "lying"}),
    ],
)
def test_symmetry_of_blocks_that_one_can_check_by_eye(name, turns, ways, mirrors):
    found = symmetry(find(name))
    assert (found.turns, found.ways, set(found.mirrors)) == (turns, ways, mirrors)
    assert found.handed == (not mirrors)


def test_fabrics_that_change_places_make_a_four_patch_the_same_in_every_turn():
    assert symmetry(find("Four Patch"), fabrics="exchanged").turns == 1


def test_a_seam_that_does_not_show_does_not_count_when_fabrics_are_kept():
    two = read_block("block X\nA light\n\nA|A")
    assert symmetry(two).ways == 1
    assert symmetry(two, fabrics="ignored").ways == 2


def test_a_turned_block_has_turned_mirror_lines():
    lines = {"upright": "lying", "lying": "upright", "rising": "falling", "falling": "rising"}
    for each in all_blocks():
        assert {lines[line] for line in symmetry(each).mirrors} == set(symmetry(each.moved(90)).mirrors)


def test_what_is_said_of_symmetry_is_in_plain_words():
    assert str(symmetry(find("Nine Patch"))) == "looks the same in every turn; four mirror lines"
    assert str(symmetry(find("Pinwheel"))) == "looks the same in every turn; no mirror line"
    assert str(symmetry(find("Maple Leaf"))) == "looks different in each of four turns; one mirror line"
