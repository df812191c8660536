"""What is worth noticing, said only where it is so; talk notes and labels for what is made of a quilt."""

from __future__ import annotations

import datetime

import numpy as np
import pytest

from seamlore.errors import SeamloreError
from seamlore.photo.reading import BlockAt, Reading, SeenBlock, SeenFabric, SeenKind, SeenPatch
from seamlore.printing.pages import to_source
from seamlore.sheets.label import label
from seamlore.sheets.talk import talk
from seamlore.shelf.shelf import Shelf
from seamlore.steps.leaving.made_label import MADE, made_content
from seamlore.steps.leaving.record import told_of
from seamlore.steps.leaving.talk import talk_content
from seamlore.steps.shelf.figures import Figures
from seamlore.steps.shelf.noticing import changed, kept, noticed
from seamlore.steps.shelf.working import work_out_all
from seamlore.steps.study.inputs import Inputs
from seamlore.steps.study.job import Job
from seamlore.steps.study.kept import changes_for, read_study
from seamlore.steps.study.sections import About, Choice, Keeping, Noticed
from seamlore.steps.study.tape import Tape

DAY = datetime.date(2026, 11, 30)
BARE = Figures(rests_on="")
PATCHES = (SeenPatch(outline=((0, 0), (1, 0), (1, 1)), place="A", value="dark"),)


class Read(Job):
    """A job whose photograph was read to this."""

    def __init__(self, reading, **inputs):
        super().__init__(Inputs(photo=b"x", **inputs))
        self.given = reading

    reading = property(lambda self: self.given)
    look_key = property(lambda self: ("read", id(self.given)))


COLORS = ("#33456a", "#efe7d7", "#8a3b35", "#3d6b45", "#c79a3b")


def reading(
    rows=8, columns=7, *, shift=lambda row, column: (0.0, 0.0), turn=lambda row, column: 0, fabric=None, colors=COLORS
):
    spans = tuple((10.0 * at, 10.0 * at + 9) for at in range(max(rows, columns)))
    blocks = tuple(
        BlockAt(row=row, column=column, kind=0, turn=turn(row, column), shift=shift(row, column))
        for row in range(rows)
        for column in range(columns)
    )
    seen: dict[int, list[tuple[int, int, int]]] = {}
    for each in blocks if fabric else ():
        seen.setdefault(fabric(each.row, each.column), []).append((each.row, each.column, 0))
    fabrics = tuple(
        SeenFabric(id=f"F{number + 1}", srgb=colors[number], value="dark", patches=tuple(patches))
        for number, patches in sorted(seen.items())
    )
    return Reading(
        photo_size=(900, 900),
        corners=((0, 0), (1, 0), (1, 1), (0, 1)),
        corners_from="given",
        unit="in",
        size=(10.0 * columns, 10.0 * rows),
        setting="straight",
        rows=rows,
        columns=columns,
        row_spans=spans[:rows],
        column_spans=spans[:columns],
        block=SeenBlock(divisions=1, patches=PATCHES),
        kinds=(SeenKind(divisions=1, patches=PATCHES, count=len(blocks), confidence=1.0),),
        blocks=blocks,
        fabrics=fabrics or None,
    )


def said(job, figures=BARE, others=()):
    return {each.key: each.says for each in noticed(job, figures, others, pictures=False)}


def test_an_even_quilt_has_nothing_worth_noticing():
    draw = np.random.default_rng(4)
    unrest = {(r, c): (draw.normal(0, 0.1), draw.normal(0, 0.1)) for r in range(8) for c in range(7)}
    assert said(Read(reading(shift=lambda row, column: unrest[row, column]))) == {}


@pytest.mark.parametrize("sign", [1, -1])
def test_a_row_that_drifts_is_said_with_how_far_and_which_way(sign):
    found = said(Read(reading(shift=lambda row, column: (0.0, sign * 0.25 * column if row == 2 else 0.0))))
    way = "lower" if sign > 0 else "higher"
    assert found == {
        "drift of row 3": f"Row 3 drifts: it lies 1 1/2 in {way} at its right end than at its left, over 60 in."
    }


def test_a_column_drifts_sideways_and_unrest_is_no_drift():
    found = said(Read(reading(shift=lambda row, column: (-0.2 * row if column == 0 else 0.0, 0.0))))
    assert list(found) == ["drift of column 1"]
    assert "further left at its foot" in found["drift of column 1"]
    ragged = said(Read(reading(shift=lambda row, column: (0.0, (-1) ** column * 1.5 + 0.02 * column))))
    assert ragged == {}


def test_turned_blocks_are_counted_unless_turning_is_the_pattern():
    one = said(Read(reading(turn=lambda row, column: 90 if (row, column) == (1, 4) else 0)))
    assert one == {"turns": "1 of 56 blocks lies turned or mirrored: row 2, column 5."}
    assert said(Read(reading(turn=lambda row, column: 90 * ((row + column) % 2)))) == {}


def test_where_a_fabric_stops_is_said_with_what_took_its_place_and_only_then():
    stops = said(Read(reading(fabric=lambda row, column: 0 if row < 5 else 1)))
    assert stops["stop in A"].startswith(
        "In place A the dark fabric 1 stands as far as row 5, in 35 of 35 blocks, and in none beyond."
    )
    assert "There fabric 2 takes its place, in 21 blocks." in stops["stop in A"]
    assert "fewer than 1 in 100" in stops["stop in A"]
    draw = np.random.default_rng(8)
    dealt = draw.integers(0, 5, (8, 7))
    assert "stop in A" not in said(Read(reading(fabric=lambda row, column: int(dealt[row, column]))))


def test_a_stop_is_asked_for_more_the_more_places_are_looked_into(monkeypatch):
    from dataclasses import replace as with_

    from seamlore.steps.shelf import noticed_fabrics as noticing

    job = Read(reading(fabric=lambda row, column: 0 if row < 5 else 1))
    found = noticing._stop_in(job, "A", dict(noticing._by_block(job.reading))["A"])
    monkeypatch.setattr(noticing, "_stop_in", lambda *_: with_(found, p=0.004))
    for many, told in ((1, True), (3, False)):
        held = list(noticing._by_block(job.reading)) * many
        monkeypatch.setattr(noticing, "_by_block", lambda _, held=held: iter(held))
        assert bool(list(noticing.stops_noticed(job, job.reading, None))) == told


def test_one_cloth_in_other_light_is_no_substitute():
    # The upper and lower half of one red, as a photograph of a real quilt has it: 2.8 apart by CIEDE2000.
    shaded = reading(fabric=lambda row, column: 0 if row < 5 else 1, colors=("#c63145", "#bd2c3b"))
    assert "stop in A" not in said(Read(shaded))


def test_proportion_is_compared_with_custom_and_with_the_shelf_only_where_that_is_large_enough():
    def of(block, sashing):
        return Figures(rests_on="", block=(block, block), sashing=(sashing, sashing))

    job = Job(Inputs())
    assert said(job, of(9.0, 3.0)) == {}
    assert "narrower than custom" in said(job, of(9.0, 1.0))["proportion"]
    others = [of(9.0 + 0.1 * at, 0.3 * (9.0 + 0.1 * at)) for at in range(5)]
    assert list(said(job, of(14.0, 4.2), others)) == ["beside the shelf: block size"]
    assert said(job, of(14.0, 4.2), others[:4]) == {}
    (beside,) = noticed(job, of(14.0, 4.2), others)
    assert beside.says == "Size of the block: 14 in is larger than in 5 of the 5 others."
    assert beside.compared == "5 other quilts of this shelf"
    assert "14 in: 1 (this quilt)" in beside.picture.description


def test_each_is_kept_edited_or_dropped_and_hers_stand_beside_them():
    told = Noticed(said={"turns": "One lies on its head."}, own=("The knots are on the front.",))
    job = Read(reading(turn=lambda row, column: 180 if row == column == 0 else 0), noticed=told)
    first, own = noticed(job, BARE, (), pictures=False)
    assert (first.says, first.edited, first.worked_out[:7]) == ("One lies on its head.", True, "1 of 56")
    assert (own.says, own.own) == ("The knots are on the front.", True)
    dropped = changed(told, "turns", drop=True)
    job = Read(job.given, noticed=dropped)
    assert [each.own for each in kept(noticed(job, BARE, (), pictures=False))] == [True]
    assert changed(dropped, "turns", drop=False).dropped == ()
    assert changed(told, "turns", says=" ").said == {}
    assert changed(dropped, "turns", says="x").dropped == ("turns",)
    with pytest.raises(SeamloreError, match="not there any more"):
        changed(told, "own 7", says="x")
    with pytest.raises(SeamloreError, match="at most 60"):
        changed(Noticed(own=("x",) * 60), "own", says="y")


# On a shelf


@pytest.fixture(scope="module")
def shelf(tmp_path_factory):
    with Shelf(tmp_path_factory.mktemp("shelf")) as opened:
        sections = (
            About(name="Star"),
            Tape(width="92 in", height="100 in", block="8 in", sashing="4 in", columns=7, rows=8),
            Choice(block="shoo fly"),
            Keeping(names="none living"),
            Noticed(own=("The knots are on the front.",)),
        )
        opened.create("Star", changes_for([(each, 0, "entered") for each in sections], None))
        work_out_all(opened)
        yield opened


@pytest.fixture(scope="module")
def job(shelf):
    return Job(read_study(shelf.standing(1), shelf.read_photograph).inputs)


def test_what_is_noticed_is_told_outside_too_unless_it_was_dropped(shelf):
    assert told_of(shelf, 1).record.noticed == (
        "The sashing is 1 to 2 of the block: wider than custom, which is a quarter to a third.",
        "The knots are on the front.",
    )
    before = shelf.read(1, "noticed")
    fresh = Noticed(dropped=("proportion",))
    shelf.apply_all(1, changes_for([(fresh, before.revision, "left out")], None))
    try:
        assert told_of(shelf, 1).record.noticed == ()
    finally:
        shelf.undo(1)


def test_the_study_sheet_says_who_it_is_and_what_is_worth_noticing(job):
    from dataclasses import replace

    from seamlore.steps.sheet_content import study_content

    named = Job(replace(job.inputs, keeping=Keeping(accession="2019.4", acquired_how="bought", acquired="May 2019")))
    content = study_content(named, printed=DAY)
    assert [(each.what, each.value) for each in content.facts[:2]] == [
        ("accession number", "2019.4"),
        ("acquired", "bought May 2019"),
    ]
    proportion, own = content.noticed
    assert proportion.says.endswith("a quarter to a third (compared with custom of the trade)")
    assert proportion.picture.title == "Sashing to block"
    assert (own.says, own.picture) == ("The knots are on the front", None)


def test_talk_notes_have_points_minutes_holders_and_stills(shelf, job):
    content = talk_content([(1, job)], shelf, printed=DAY)
    (quilt,) = content.quilts
    assert quilt.points[0].where == "one half-square triangle"
    assert quilt.points[0].still is not None
    assert "The knots are on the front." in [point.says for point in quilt.points]
    # Three points and what it is: 2 + 3 x 1.5 minutes, rounded up; both sides over 80 in: three hold it.
    assert (quilt.minutes, quilt.holders) == (7, 3)
    assert ("Block", "8 in") in quilt.figures
    source = to_source(talk(content), "letter")
    assert "to hold the quilts up" in source


def test_photographs_of_two_quilts_in_one_document_are_two_files():
    from seamlore.steps.shelf.noticed_pictures import small_photo

    names = set()
    for data in (b"one", b"two", b"one"):
        job = Read(reading())
        job.memo.get(("small flat", job.look_key), lambda data=data: data)
        names.add(small_photo(job).name)
    assert len(names) == 2


def test_a_class_gets_kits_for_one_block_each_in_tape_sizes(shelf, job):
    content = talk_content([(1, job)], shelf, printed=DAY, people=12)
    kits = {each.fabric: each.pieces for each in content.kits}
    # A shoo fly of 8 in has three divisions of 2 2/3 in. Squares of that and 1/2 in, and of that and 7/8 in cut once from
    # corner to corner (common rule of the trade), up to the next eighth: 3 1/4 and 3 5/8 in.
    assert kits == {
        "Fabric A": "2 of 3 5/8 x 3 5/8 in, each cut into 2; 4 of 3 1/4 x 3 1/4 in",
        "Fabric B": "2 of 3 5/8 x 3 5/8 in, each cut into 2; 1 of 3 1/4 x 3 1/4 in",
    }
    assert all(each.in_all for each in content.kits)
    for people in (-1, 201):
        with pytest.raises(SeamloreError, match="class of"):
            talk_content([(1, job)], shelf, printed=DAY, people=people)


@pytest.mark.parametrize("made", MADE)
def test_what_is_made_carries_its_own_year_and_says_what_it_comes_from(job, made):
    given = {"year": "2026", "by": "N. F.", "why": "its sashing had rotted", "when": "in 2025"}
    content = made_content(job, made, given, printed=DAY)
    assert "2026" in content.known[0]
    assert '"Star"' in content.known[0]
    assert content.known[1] == "The old quilt: maker unknown, not dated"
    apart = "Taken apart in 2025 because its sashing had rotted" in content.known
    assert apart == (made != "reproduction")
    assert label(content).blocks[0].picture.description.count("2026") >= 1
    with pytest.raises(SeamloreError, match="own year"):
        made_content(job, made, {}, printed=DAY)


def test_a_mirrored_label_is_set_in_a_mirror_and_nothing_else_is(job):
    content = made_content(job, "parts", {"year": "2026"}, printed=DAY)
    plain, mirrored = (to_source(label(content, mirrored=way), "letter") for way in (False, True))
    assert "scale(x: -100%" not in plain
    assert mirrored.count("scale(x: -100%") == 1
    assert "transfer paper" in mirrored
