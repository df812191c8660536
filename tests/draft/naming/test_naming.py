"""Naming: a block turned, mirrored, recolored, with seams that do not show, or nearly another."""

from dataclasses import replace

import numpy as np
import pytest
from numpy.testing import assert_allclose
from shapely import Polygon, union_all

from seamlore.draft.block import Place
from seamlore.draft.catalogue import all_blocks, find
from seamlore.draft.naming.index import MOTIONS
from seamlore.draft.naming.naming import name_block
from seamlore.draft.text.notation import read_block
from seamlore.photo.reading import SeenBlock, SeenPatch
from seamlore.study.seen_block import exact_block

CATALOGUE = all_blocks()


def read_from_photo(patches, divisions):
    return exact_block(SeenBlock(divisions=divisions, patches=tuple(patches)))


def kinds(block):
    return {match.block.name: match.kind for match in name_block(block)}


def recolored(block, letters):
    patches = tuple(replace(each, place=letters[each.place]) for each in block.patches)
    return replace(block, patches=patches, places={letters[old]: place for old, place in block.places.items()})


def merged(block):
    """What a photograph shows: patches of one fabric that touch along a side are one."""
    found = []
    for place in block.places:
        # Outside oracle: the union of the geometry library, pieces that touch in a point kept apart.
        whole = union_all([Polygon(each.points) for each in block.patches if each.place == place])
        for part in getattr(whole, "geoms", [whole]):
            found.append(
                SeenPatch(outline=tuple(part.exterior.coords[:-1]), place=place, value=block.places[place].value)
            )
    return found


@pytest.mark.parametrize("each", CATALOGUE, ids=lambda each: each.name)
def test_every_entry_is_named_however_it_lies(each):
    for turn, mirrored in MOTIONS[1::3]:
        moved = each.moved(turn, mirrored=mirrored)
        match = next(match for match in name_block(moved) if match.block.name == each.name)
        assert (match.kind, match.hidden, match.missing, match.extra) == ("same", False, (), ())
        again = each.moved(match.turn, mirrored=match.mirrored)
        assert {one.outline for one in again.patches} == {one.outline for one in moved.patches}


def test_fabrics_that_have_changed_places_make_no_other_block():
    shoo_fly = find("Shoo Fly")
    match = name_block(recolored(shoo_fly, {"A": "B", "B": "A"}))[0]
    assert (match.block.name, match.kind, match.exchanged) == ("Shoo Fly", "same", False)
    swapped = replace(shoo_fly, places={"A": Place("dark"), "B": Place("light")})
    match = name_block(swapped)[0]
    assert (match.block.name, match.kind, match.exchanged, match.places) == (
        "Shoo Fly", "same", True, {"A": ("A",), "B": ("B",)},
    )  # fmt: skip


def test_the_same_seams_with_other_lights_and_darks_are_said_to_be_that():
    assert kinds(find("Broken Dishes"))["Pinwheel"] == "values"


def test_many_fabrics_where_the_catalogue_has_one_are_scrappy():
    text = "block Mine\nA light\nB dark\nC dark\nD dark\nE dark\n\nA/B A C\\A\nA D A\nA\\E A B/A"
    match = name_block(read_block(text))[0]
    assert (match.block.name, match.kind, match.places["B"]) == ("Shoo Fly", "scrappy", ("B", "C", "D", "E"))


def test_a_place_that_is_said_to_be_scrappy_is_scrappy():
    given = find("Ohio Star")
    places = {**given.places, "B": Place("dark", scrappy=True)}
    assert kinds(replace(given, places=places))["Ohio Star"] == "scrappy"


@pytest.mark.parametrize(
    "name", ["Friendship Star", "Sawtooth Star", "Split Nine Patch", "Broken Dishes", "Jacob's Ladder"]
)
def test_seams_within_one_fabric_need_not_show(name):
    entry = find(name)
    pieces = merged(entry)
    assert len(pieces) < len(entry.patches)
    match = next(
        each for each in name_block(read_from_photo(pieces, entry.divisions)) if each.block.name == entry.name
    )
    assert (match.kind, match.hidden, match.extra) == ("same", True, ())


def test_seams_that_do_not_show_are_given_as_what_is_missing():
    entry = find("Friendship Star")
    match = next(each for each in name_block(read_from_photo(merged(entry), 3)) if each.block.name == entry.name)
    assert (match.kind, match.hidden) == ("same", True)
    # Four sides of the middle square, and each corner square's side to the background triangle beside it.
    assert_allclose(sum(np.hypot(x1 - x0, y1 - y0) for (x0, y0), (x1, y1) in match.missing), 4 / 3 + 4 / 3)
    assert match.extra == ()


def test_what_a_near_block_lacks_and_has_too_much_is_said():
    text = "block Mine\nA light\nB dark\n\nA/B A B\\A\nA B A\nA\\B A B"
    match = name_block(read_block(text))[0]
    assert (match.block.name, match.kind, match.extra) == ("Shoo Fly", "near", ())
    (start, end), *others = match.missing
    assert others == []
    assert_allclose(sorted([start, end]), [(2 / 3, 1), (1, 2 / 3)], atol=1e-12)


def test_a_block_that_is_like_no_entry_has_no_name():
    assert (
        name_block(
            read_block("block Mine\ndivisions 9\nA light\nB dark\n\npatch A 0,0 2,0 7,9 0,9\npatch B 2,0 9,0 9,9 7,9")
        )
        == ()
    )


def test_matches_agree_with_brute_force_over_pairs_of_entries():
    outlines = [
        [{one.outline for one in each.moved(turn, mirrored=mirrored).patches} for turn, mirrored in MOTIONS]
        for each in CATALOGUE
    ]
    # A third is named; each of them is held against all.
    for given, moved in list(zip(CATALOGUE, outlines, strict=True))[::3]:
        alike = {
            other.name
            for other, there in zip(CATALOGUE, outlines, strict=True)
            if len(other.patches) == len(given.patches) and any(moved[0] == each for each in there)
        }
        found = {match.block.name for match in name_block(given) if match.kind != "near" and not match.hidden}
        assert found == alike


def test_corners_read_a_little_off_are_named_all_the_same():
    rng = np.random.default_rng(3)
    entry = find("Card Trick")
    seen = [
        SeenPatch(
            outline=tuple(map(tuple, each.points + rng.uniform(-0.02, 0.02, each.points.shape))),
            place=each.place,
            value=entry.places[each.place].value,
        )
        for each in entry.patches
    ]
    assert kinds(read_from_photo(seen, 3))["Card Trick"] == "same"
