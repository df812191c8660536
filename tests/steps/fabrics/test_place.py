"""Fabrics in a table, placed in a quilt."""

from __future__ import annotations

from collections import Counter

import pytest

from seamlore.draft.catalogue import find
from seamlore.draft.repeated import repeated
from seamlore.errors import PlanError
from seamlore.lengths import inches
from seamlore.placing.placement import alike_and_touching, shares
from seamlore.placing.words import PlacementError
from seamlore.steps.draft.words import scrappy
from seamlore.steps.fabrics.place import place, placed_record, placed_words, swatches
from seamlore.steps.fabrics.table import read_fabrics


def table(*rows, heading="fabric,value,patches"):
    return "\n".join([heading, *rows]) + "\n"


@pytest.fixture
def quilt():
    return repeated("q", scrappy(find("shoo fly"), "B"), inches(9), inches(9), 3, 3)


def test_what_is_said_of_a_placement_holds_when_it_is_counted_again(quilt):
    placed = place(quilt, read_fabrics(table(*(f"scrap {number},dark,6" for number in range(8)))))
    made = placed.placement
    assert made.touching + made.together == alike_and_touching(made, quilt)
    assert made.shared == shares(made, quilt)
    counted = Counter(patch["fabric"] for patch in placed_record(placed)["patches"])
    assert counted == {name: count for name, count in made.used.items() if count}
    assert max(counted.values()) <= 6


def test_every_patch_is_drawn_in_the_color_of_its_fabric(quilt):
    placed = place(quilt, read_fabrics(table(*(f"scrap {number},dark,9" for number in range(6)))))
    for color, name in zip(placed.coloring, placed.placement.fabrics, strict=True):
        assert name is None or color == placed.swatches[name]


def test_one_fabric_for_each_place_of_each_block(quilt):
    placed = place(quilt, read_fabrics(table(*(f"scrap {number},dark," for number in range(5)))), each="place")
    blocks: dict[tuple[int, int], set[str]] = {}
    for patch in placed_record(placed)["patches"]:
        blocks.setdefault((patch["row"], patch["column"]), set()).add(patch["fabric"])
    assert [len(found) for found in blocks.values()] == [1] * 9
    assert placed.placement.shared == 0


def test_too_little_is_refused_with_the_patches_and_fabrics_that_show_it(quilt):
    with pytest.raises(PlacementError) as caught:
        place(quilt, read_fabrics(table("red,dark,20", "blue,dark,20")))
    assert caught.value.fabrics == ("red", "blue")
    assert len(caught.value.patches) == 41


def test_a_quilt_without_scrappy_places_says_how_to_make_one():
    plain = repeated("q", find("shoo fly"), inches(9), inches(9), 2, 2)
    with pytest.raises(PlanError, match="--scrappy"):
        place(plain, read_fabrics(table("red,dark,9")))


def test_every_fabric_has_a_color_of_its_own():
    rows = [f"{value} scrap {number},{value}," for number in range(14) for value in ("light", "medium", "dark")]
    assert (
        len(set(swatches(read_fabrics(table(*rows, *(f"red {number},dark," for number in range(9))))).values())) == 51
    )


def test_one_patch_is_said_as_one():
    one = repeated("q", scrappy(find("four patch"), "B"), inches(4), inches(4), 1, 1)
    lines = placed_words(place(one, read_fabrics(table("red,dark,", "blue,dark,"))))
    assert "red: 1 patch" in lines
