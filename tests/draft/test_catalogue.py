"""The catalogue: found by any name, every entry covering its square."""

import csv
import subprocess
import sys
from pathlib import Path

import pytest

from seamlore.draft import catalogue
from seamlore.draft.block import move
from seamlore.draft.catalogue import FROM_MEMORY, all_blocks, claims, entries, find, find_all, names, source_of
from seamlore.draft.exact.outlines import fills_square, whole_numbers
from seamlore.draft.families.families import FAMILIES, member
from seamlore.draft.naming.symmetry import MOTIONS, symmetry
from seamlore.errors import UnknownNameError

DATA = Path(__file__).parents[1] / "data"

# The first dozen that the project asked for.
FIRST = (
    "shoo fly", "churn dash", "nine patch", "four patch", "Ohio star", "sawtooth star", "pinwheel", "rail fence",
    "log cabin", "flying geese", "broken dishes", "bow tie", "jacob's ladder",
)  # fmt: skip


@pytest.mark.parametrize("name", FIRST)
def test_the_first_dozen_are_there(name):
    assert name.casefold() in [each.casefold() for each in find(name).names]


def test_a_block_is_found_by_any_of_its_names_in_any_spelling():
    assert find("Hole in the Barn Door") is find("churn dash") is find("CHURN-DASH")
    assert find("jacobs ladder").name == "Jacob's Ladder"


def test_a_name_of_two_drawings_gives_both():
    assert [each.name for each in find_all("Monkey Wrench")] == [
        "Churn Dash",
        "Double Monkey Wrench",
        "Snail's Trail",
    ]
    assert claims(find("Snail's Trail")) == {"Monkey Wrench": ("Churn Dash", "Double Monkey Wrench")}


def test_an_unknown_name_is_refused_with_the_nearest_offered():
    with pytest.raises(UnknownNameError, match='did you mean "Shoo Fly"'):
        find("shoofly pie")


def test_no_two_entries_have_one_name():
    names = [each.name.casefold() for each in all_blocks()]
    assert len(set(names)) == len(names)


@pytest.mark.parametrize("each", all_blocks(), ids=lambda each: each.name)
def test_patches_of_every_entry_have_the_area_of_the_block(each):
    assert sum(patch.area for patch in each.patches) == 1


@pytest.mark.parametrize("each", all_blocks(), ids=lambda each: each.name)
def test_every_entry_says_its_family_and_something_about_sewing_it(each):
    assert each.family
    assert each.notes
    assert 1 <= each.divisions <= 16


def test_finding_one_block_reads_no_other_and_brings_in_no_geometry_library():
    code = (
        "import sys; from seamlore.draft import catalogue; catalogue.find('bow tie'); "
        "print(catalogue._read.cache_info().currsize, 'shapely' in sys.modules)"
    )
    said = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True).stdout
    assert said.split() == ["1", "False"]


def test_there_are_at_least_160_entries():
    assert len(entries()) >= 160


EVERY = [block for entry in entries() for block in entry.drawings]


@pytest.mark.parametrize("each", EVERY, ids=lambda each: each.name)
def test_every_drawing_covers_its_square_with_no_rounding_at_all(each):
    assert fills_square(*whole_numbers([one.outline for one in each.patches]))


def laid(block, fabrics):
    """A drawing in all eight ways of laying it: which patches are of one fabric, or only which patches there are."""
    for turn, mirrored in MOTIONS:
        alike = {}
        for each in block.patches:
            there = frozenset(move(corner, turn, mirrored) for corner in each.outline)
            alike.setdefault(each.place if fabrics else "", set()).add(there)
        yield frozenset(map(frozenset, alike.values()))


def test_no_two_drawings_are_the_same_up_to_turning_mirroring_and_exchange_of_fabrics():
    seen = {}
    for each in EVERY:
        ways = list(laid(each, fabrics=True))
        assert [seen[way] for way in ways if way in seen] == [], each.name
        seen[ways[0]] = each.name


# Other drawings in other fabrics, though their seams are the same.
SAME_SEAMS = {
    ("Anvil", "Crosses and Losses"), ("Basket Weave", "Rail Fence"), ("Broken Dishes", "Pinwheel"), ("Five-Strip Basket Weave", "Five-Strip Rail Fence"),
    ("Forty-Nine Patch", "Trip Around the World"), ("Forty-Nine Patch", "Triple Irish Chain"),
    ("Four-Ring Trip Around the World", "Eighty-One Patch"), ("Four-Round Housetop", "Four-Round Log Cabin"),
    ("Housetop", "Log Cabin"), ("Sixty-Four Patch", "Postage Stamp"), ("Double Irish Chain", "Twenty-Five Patch"),
    ("Two-Ring Trip Around the World", "Twenty-Five Patch"), ("Two-Round Housetop", "Two-Round Log Cabin"),
}  # fmt: skip


def test_drawings_with_the_same_seams_are_those_that_are_known():
    seen, found = {}, set()
    for each in EVERY:
        ways = list(laid(each, fabrics=False))
        first = next((seen[way] for way in ways if way in seen), None)
        if first:
            found.add(frozenset((first, each.name)))
        else:
            seen[ways[0]] = each.name
    assert found == set(map(frozenset, SAME_SEAMS))


def table(name):
    return list(csv.DictReader((DATA / name).read_text(encoding="utf-8").splitlines()))


@pytest.mark.parametrize("row", table("catalogue_pieces.csv"), ids=lambda row: row["drawing"])
def test_a_drawing_has_as_many_pieces_as_its_published_cutting_list(row):
    assert len(find(row["drawing"]).patches) == int(row["pieces"]), row["source"]


@pytest.mark.parametrize("row", table("catalogue_drawings.csv"), ids=lambda row: row["drawing"])
def test_a_drawing_is_the_one_that_was_looked_at(row):
    # Written down when the contact sheets were looked at, drawing by drawing; not from elsewhere.
    each = find(row["drawing"])
    found = symmetry(each)
    assert (each.divisions, len(each.patches), found.turns, len(found.mirrors)) == tuple(
        int(row[key]) for key in ("divisions", "patches", "turns", "mirrors")
    )


def test_every_drawing_was_looked_at():
    assert {row["drawing"] for row in table("catalogue_drawings.csv")} == {each.name for each in EVERY}


def test_every_source_is_that_of_an_entry_and_the_rest_is_marked_as_from_memory():
    by_name = {each.name: each.source for each in entries()}
    listed = {row["drawing"] for row in table("catalogue_pieces.csv")}
    assert listed <= by_name.keys()
    assert all(FROM_MEMORY not in by_name[name] for name in listed)
    assert by_name["Shoo Fly"] == FROM_MEMORY


# Names of files that the catalogue had before its families were drawn by their number.
BEFORE = (
    "Eighty-One Patch", "Five-Round Log Cabin", "Five-Strip Basket Weave", "Five-Strip Rail Fence",
    "Five-Strip Roman Stripe", "Forty-Nine Patch", "Four-Round Courthouse Steps", "Four-Round Housetop",
    "Four-Round Log Cabin", "Four-Row Birds in the Air", "Four-Strip Rail Fence", "Hundred Patch",
    "Large Quarter Log Cabin", "Large Trip Around the World", "Sixteen Patch", "Sixty-Four Patch",
    "Small Courthouse Steps", "Small Housetop", "Small Log Cabin", "Small Quarter Log Cabin",
    "Small Trip Around the World", "Snowball with Small Corners", "Thirty-Six Patch", "Three-Strip Roman Stripe",
    "Twenty-Five Patch", "Two-Strip Rail Fence", "Attic Windows with Narrow Frame", "Double Irish Chain",
    "Triple Irish Chain", "Double Irish Chain Alternate", "Triple Irish Chain Alternate",
)  # fmt: skip


@pytest.mark.parametrize("name", BEFORE)
def test_old_names_are_found_still(name):
    assert name in find(name).names
    assert name in names()


@pytest.mark.parametrize(
    ("asked", "name", "patches"),
    [
        # By hand: a middle and four logs a round; strips four times over; two diamonds squared, eight times, and eight.
        ("log cabin of 6 rounds", "Six-Round Log Cabin", 1 + 4 * 6), ("6-round log cabin", "Six-Round Log Cabin", 25),
        ("rail fence of seven strips", "Seven-Strip Rail Fence", 4 * 7), ("lone star 5", "Five-Diamond Lone Star", 8 * 25 + 8),
        ("checkerboard of 12 squares", "Twelve-Square Checkerboard", 144), ("Log Cabin", "Log Cabin", 13),
        ("broken star of 2 diamonds", "Two-Diamond Broken Star", 32 * 4 + 8 + 12 + 8),
    ],
)  # fmt: skip
def test_any_number_of_a_family_is_drawn_when_it_is_asked_for(asked, name, patches):
    found = find(asked)
    assert (found.name, len(found.patches)) == (name, patches)


@pytest.mark.parametrize("family", FAMILIES, ids=lambda family: family.name)
def test_the_smallest_and_the_largest_of_a_family_cover_their_square(family):
    for number in (min(family.numbers), max(family.numbers)):
        each = member(family, number)
        assert fills_square(*whole_numbers([one.outline for one in each.patches]))
        assert find(each.name) == each


def test_a_lone_star_is_divided_at_its_edge_as_an_eight_pointed_star():
    # Theory: 1 : sqrt2 : 1, whatever the number of diamonds; corner squares as wide as a point's side is long.
    for number in (2, 5):
        corner = next(each for each in member(FAMILIES[LONE], number).patches if each.outline[0] == (0, 0))
        assert float(corner.bounds[2]) == pytest.approx(1 / (2 + 2**0.5), abs=1e-15)


LONE = next(index for index, each in enumerate(FAMILIES) if each.name == "Lone Star")


def test_the_source_of_a_name_is_that_of_the_drawing_it_heads():
    told = [(each.name, each.source) for each in entries()]
    assert [(name, source_of(name)) for name, _ in told] == told
    assert any(source != FROM_MEMORY for _, source in told)
    # "Wedding Ring" is another block's second name too.
    assert "slanting ends" in source_of("Wedding Ring")


def test_headings_names_and_notes_read_without_a_drawing_are_those_of_the_drawings():
    assert catalogue.headings() == tuple(each.name for each in all_blocks())
    assert set(names()) == {name for each in all_blocks() for name in each.names}
    assert catalogue.notes() == {note for each in all_blocks() for note in each.notes}


def test_a_heading_finds_the_drawing_that_it_heads():
    assert [find(name) for name in catalogue.headings()] == list(all_blocks())


def test_a_changed_block_file_has_another_fingerprint(monkeypatch):
    before, texts = catalogue.fingerprint(), catalogue._texts()
    name = next(iter(texts))
    monkeypatch.setattr(catalogue, "_texts", lambda: texts | {name: texts[name] + "\n"})
    assert catalogue.fingerprint() != before
