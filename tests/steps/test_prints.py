"""Prints of a draft's fabrics: one way up, and motifs at their repeat; what falls is counted from the layout's places."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace

import pytest

from seamlore.draft.border import border
from seamlore.draft.catalogue import find
from seamlore.draft.kinds import Turned
from seamlore.draft.repeated import repeated
from seamlore.draft.text.notation import read_block
from seamlore.errors import NotationError, PlanError
from seamlore.fabric.stash_text import read_stash
from seamlore.lengths import inches
from seamlore.making.plan import plan
from seamlore.steps.cutting.cut import as_record as as_list
from seamlore.steps.cutting.cut import cut
from seamlore.steps.cutting.of_plan import cut_plan
from seamlore.steps.cutting.wanted import Wishes
from seamlore.steps.make import as_record
from tests.packing.replay import cut_apart

BARS = read_block("block Bars\nA dark\nB light\n\nA B")
NINE = read_block("block Nine\nA dark\nB light\n\nA B A\nB A B\nA B A")


def laid(quilt, text):
    stash = read_stash(text)
    made = plan(quilt, prints=stash.prints)
    cuts = cut_plan(made, Wishes(stash=stash))
    return {line["fabric"]: line for line in as_record(made, cuts)["fabrics"]}, cuts


def sizes(line):
    return Counter((each["width"], each["height"]) for each in line["places"])


@pytest.mark.parametrize("across", [0, 5, 12])
def test_oblongs_of_a_one_way_print_lie_as_they_stand_in_the_quilt(across):
    # By hand: bars of 4 x 8 in stand upright where the block is not turned, and lie across where it is.
    quilt = repeated("q", BARS, inches(8), inches(8), 3, 4)
    cells = [
        [replace(cell, lies=Turned(90)) if 4 * r + c < across else cell for c, cell in enumerate(row)]
        for r, row in enumerate(quilt.cells)
    ]
    quilt = replace(quilt, cells=tuple(tuple(row) for row in cells))
    lines, _ = laid(quilt, "Fabric A: one-way")
    assert sizes(lines["Fabric A"]) == +Counter({(8.5, 4.5): across, (4.5, 8.5): 12 - across})
    assert not any(each["turned"] and each["width"] != each["height"] for each in lines["Fabric A"]["places"])
    assert cut_apart(lines["Fabric A"]["places"], 42, lines["Fabric A"]["length"])


def test_borders_of_a_one_way_print_run_both_ways():
    quilt = repeated("q", NINE, inches(9), inches(9), 7, 6, borders=(border(inches(4)),))
    lines, cuts = laid(quilt, "border: one-way")
    [of_border] = [each for each in cuts if each.cut.name == "border"]
    # By hand: the sides, 63 in finished, stand upright and run along the fabric; top and bottom, 62 in, lie across it and are
    # joined out of strips across, 62 1/2 and 2 in more each: 129 in, four strips of 42 in.
    found = sizes(lines["border"])
    assert found == Counter({(4.5, 65.5): 2, (42, 4.5): 4})
    assert any("printed one way" in note for note in of_border.notes)


def test_without_a_print_nothing_changes():
    quilt = repeated("q", BARS, inches(8), inches(8), 3, 4)
    one, two = (laid(quilt, text)[0] for text in ("", "Fabric Z: one-way"))
    assert one == two


@pytest.mark.parametrize("repeat", [(8, 6), (5, 5)])
def test_motifs_stand_a_repeat_apart_wherever_the_first_one_lies(repeat):
    quilt = repeated("q", NINE, inches(9), inches(9), 3, 3)
    lines, _ = laid(quilt, f"Fabric A: motif {repeat[0]} x {repeat[1]} in for A1")
    line = lines["Fabric A"]
    assert sizes(line) == Counter({(3.5, 3.5): 45})
    xs, ys = ({each[side] for each in line["places"]} for side in ("x", "y"))
    assert {(x - min(xs)) % repeat[0] for x in xs} == {0}
    assert {(y - min(ys)) % repeat[1] for y in ys} == {0}
    # Up to a repeat is left to find the first motif, and all lie whole on what is bought.
    assert min(xs) >= repeat[0] - 1 / 8
    assert max(xs) + 3.5 <= 42
    assert line["length"] >= (repeat[1] if repeat[1] > 0 else 0) + 3.5


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("Fabric A: motif 8 x 6 in for A9", "A9"),
        ("Fabric A: motif 60 x 6 in for A2", "60 in"),
        ("Fabric A: motif 8 x 6 in for A1", "not cut piece by piece"),
    ],
)
def test_motifs_that_cannot_be_are_refused(text, said):
    stash = read_stash(text)
    made = plan(repeated("q", find("shoo fly"), inches(9), inches(9), 2, 2), prints=stash.prints)
    with pytest.raises(PlanError, match=said):
        cut_plan(made, Wishes(stash=stash))


@pytest.mark.parametrize("what", ["motif", "motif 8 in", "motif 0 x 6 in for A1", "motif 8 x 6 for"])
def test_a_print_that_cannot_be_read_is_refused_with_its_line(what):
    with pytest.raises(NotationError, match="line 1"):
        read_stash(f"Red: {what}")


def test_a_list_is_cut_as_its_fabric_is_printed():
    head = "fabric,piece,width,height,count,may_turn\n"
    rows = "Red,bar,3,14,3,yes\nRed,rose,4,4,4,no\n"
    [plain] = cut(head + rows, inches(42))
    [printed] = cut(
        head + rows, inches(42), Wishes("frugal", stash=read_stash("Red: one-way\nRed: motif 8 x 6 in for rose"))
    )
    assert plain.length < printed.length
    record = as_list([printed])["fabrics"][0]["places"]
    assert not any(each["turned"] for each in record)
    roses = sorted(each["x"] for each in record if each["piece"] == "rose")
    assert [x - roses[0] for x in roses] == [0, 8, 16, 24]
    with pytest.raises(PlanError, match="rosy"):
        cut(head + rows, inches(42), Wishes("frugal", stash=read_stash("Red: motif 8 x 6 in for rosy")))
