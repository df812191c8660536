"""Kinds and cells: how blocks look when they are turned, and what is made alike; no room asks for one block of a quilt."""

import re
from pathlib import Path

import pytest

import seamlore
from seamlore.draft.catalogue import find
from seamlore.draft.cells import every_other, with_cells, with_counts
from seamlore.draft.groups import groups
from seamlore.draft.kinds import NOT_READ, Cell, Kind, Turned, plain_block, sign_for, simplest
from seamlore.draft.pieces import pieces
from seamlore.draft.quilt import Quilt
from seamlore.draft.repeated import repeated
from seamlore.draft.setting.setting import STRAIGHT, Offset, OnPoint, Strips
from seamlore.draft.text.notation import read_block
from seamlore.errors import ShapeError
from seamlore.lengths import inches

SLANT = read_block("block Slant\ndivisions 2\nA dark\nB light\n\npatch A 0,0 1,0 0,2\npatch B 1,0 2,0 2,2 0,2")
WAYS = [Turned(turn, mirrored) for mirrored in (False, True) for turn in (0, 90, 180, 270)]
SOURCE = Path(seamlore.__file__).parent


def counts(quilt):
    return {(group.kind.name, group.part, group.reversed): group.count for group in groups(quilt)}


def test_no_room_outside_draft_asks_for_the_one_block_of_a_quilt():
    asked = re.compile(
        r"quilt\.block\b|quilt\.second\b|block_at\(|takes_second|\.kinds\[0\]|quilt\.rows \* |\.border\.width\b"
    )
    found = [
        f"{path.relative_to(SOURCE)}: {line.strip()}"
        for path in SOURCE.rglob("*.py")
        if path.parts[len(SOURCE.parts)] not in ("draft", "photo")
        for line in path.read_text("utf-8").splitlines()
        if asked.search(line)
    ]
    assert found == []


@pytest.mark.parametrize("name", ["Shoo Fly", "Pinwheel", "Broken Dishes", "Log Cabin", "Flying Geese"])
def test_the_simplest_way_of_lying_looks_the_same(name):
    block = find(name)
    for way in WAYS:
        least = simplest(block, way)
        assert (
            block.moved(least.turn, mirrored=least.mirrored).patches
            == block.moved(way.turn, mirrored=way.mirrored).patches
        )
        assert (least.mirrored, least.turn) <= (way.mirrored, way.turn)


def test_only_a_block_that_no_turn_brings_back_is_reversed():
    assert not simplest(find("Shoo Fly"), Turned(90, True)).mirrored
    assert simplest(SLANT, Turned(90, True)).mirrored


def test_a_mirrored_copy_is_counted_apart_and_its_pieces_are_cut_reversed():
    made = repeated("q", SLANT, inches(8), inches(8), 2, 2, turned={(0, 1): Turned(0, True), (1, 1): Turned(270)})
    assert counts(made) == {("Sl", "whole", False): 3, ("Sl", "whole", True): 1}
    assert {piece.label: piece.count for piece in pieces(made)} == {"A1": 3, "B1": 3, "A1r": 1, "B1r": 1}


# Each worked by hand.
def test_a_checkerboard_of_five_by_five_has_thirteen_pieced_blocks():
    made = repeated("q", find("nine patch"), inches(6), inches(6), 5, 5, every_other=plain_block())
    assert counts(made) == {("NP", "whole", False): 13, ("P", "whole", False): 12}


def test_nine_patches_on_point_with_plain_squares_between_are_as_many_as_the_whole_rows():
    made = repeated("q", find("nine patch"), inches(6), inches(6), 7, 6, every_other=plain_block(), setting=OnPoint())
    assert counts(made) == {("NP", "whole", False): 42, ("P", "whole", False): 30}


def test_four_by_four_with_half_blocks_has_25_whole_12_halves_and_4_quarters():
    made = repeated("q", find("nine patch"), inches(6), inches(6), 4, 4, setting=OnPoint("half blocks"))
    assert counts(made) == {("NP", "whole", False): 25, ("NP", "half", False): 12, ("NP", "quarter", False): 4}


def test_a_block_that_was_not_read_is_in_no_count_and_no_list():
    whole = repeated("q", find("nine patch"), inches(6), inches(6), 2, 2)
    part = with_cells(whole, {(0, 1): NOT_READ})
    assert counts(part) == {("NP", "whole", False): 3}
    assert sum(piece.count for piece in pieces(part)) == 27


def test_a_blocks_own_fabrics_are_listed_apart_under_the_same_label():
    made = repeated("q", find("four patch"), inches(6), inches(6), 1, 3)
    own = with_cells(made, {(0, 1): Cell("FP", fabrics={"A": "red"})})
    assert counts(own) == {("FP", "whole", False): 3}
    found = {(piece.label, piece.fabric): piece.count for piece in pieces(own)}
    assert found == {("A1", "Fabric A"): 4, ("B1", "Fabric B"): 6, ("A1", "red"): 2}


@pytest.mark.parametrize("setting", [STRAIGHT, OnPoint(), OnPoint("half blocks"), Offset(), Strips(inches(3))])
def test_blocks_that_take_turns_go_on_doing_so_in_other_counts(setting):
    made = repeated("q", find("nine patch"), inches(6), inches(6), 3, 3, every_other=plain_block(), setting=setting)
    more = with_counts(made, 5, 4)
    assert every_other(more) == ("NP", "P")
    assert more == repeated(
        "q", find("nine patch"), inches(6), inches(6), 5, 4, every_other=plain_block(), setting=setting
    )
    assert with_counts(more, 3, 3) == made


def test_a_pattern_of_three_kinds_is_carried_on():
    kinds = (Kind("A", find("nine patch")), Kind("B", plain_block()), Kind("C", find("pinwheel")))
    rows = [["A", "B", "C"], ["B", "C", "A"], ["C", "A", "B"]]
    made = Quilt("q", kinds, tuple(tuple(map(Cell, row * 2)) for row in rows * 2), inches(6), inches(6))
    more = with_counts(made, 7, 8)
    assert [[cell.kind for cell in row] for row in more.cells] == [
        [rows[row % 3][column % 3] for column in range(8)] for row in range(7)
    ]


def test_a_kind_has_a_name_of_one_or_two_signs():
    for name in ("", "Nine", "9", "?", "N/"):
        with pytest.raises(ShapeError, match="a name of one or two signs"):
            Kind(name, plain_block())
    taken = set()
    for _ in range(60):
        taken.add(sign_for(SLANT, taken))
    assert len(taken) == 60
