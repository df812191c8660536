"""The demo: every number on its sheets agrees with its truth within the stated uncertainty."""

from __future__ import annotations

import datetime
import json
from dataclasses import replace
from importlib.resources import files
from types import SimpleNamespace

import msgspec
import pytest

from seamlore.draft.catalogue import find
from seamlore.draft.cells import with_cells, with_lies
from seamlore.draft.kinds import NOT_READ, Turned
from seamlore.draft.text.quilt_file import write_quilt
from seamlore.draft.unread import not_read_words
from seamlore.lengths import inches
from seamlore.photo.reading import TO_SHOW
from seamlore.steps.booklet import booklet_content, booklet_lead
from seamlore.steps.demo import demo, demo_inputs
from seamlore.steps.sheet_content import remarks, study_content
from seamlore.steps.study.job import Job
from seamlore.steps.study.sections import Choice
from seamlore.steps.tell import label_content
from tests.once import MEMO

TODAY = datetime.date(2026, 11, 25)
TRUTH = json.loads((files("seamlore") / "demo" / "truth.json").read_text(encoding="utf-8"))
# Two standard uncertainties hold 95 in 100; a little more, so that a test of six numbers is not a lottery.
COVER = 2.5


@pytest.fixture(scope="module")
def job():
    return Job(demo_inputs(), memo=MEMO)


def test_rows_columns_and_setting_are_exact(job):
    reading = job.reading
    assert (reading.rows, reading.columns, reading.setting) == (TRUTH["rows"], TRUTH["columns"], TRUTH["setting"])


@pytest.mark.parametrize("axis", [0, 1])
@pytest.mark.parametrize("what", ["block_size", "sashing"])
def test_a_size_on_the_photograph_is_true_within_its_uncertainty(job, what, axis):
    found, sigma = getattr(job.reading, what)[axis], getattr(job.reading.uncertainty, what)[axis]
    assert abs(found - TRUTH[what][axis]) <= COVER * sigma


@pytest.mark.parametrize("side", ["left", "top", "right", "bottom"])
def test_what_the_edge_cuts_off_is_true_within_its_uncertainty(job, side):
    found = getattr(job.reading.edge, side)
    assert abs(found - TRUTH["edge"][side]) <= COVER * job.reading.uncertainty.edge


def test_every_seam_of_the_block_is_read_and_none_invented(job):
    wanted = {
        tuple(sorted((round(x, 2), round(y, 2)) for x, y in each["outline"])) for each in TRUTH["block"]["patches"]
    }
    found = {tuple(sorted((round(x, 2), round(y, 2)) for x, y in each.outline)) for each in job.reading.block.patches}
    assert found == wanted


def test_turned_blocks_are_found_with_their_turns(job):
    wanted = {(b["row"], b["column"]): b["turn"] for b in TRUTH["blocks"] if b["turn"] or b["mirrored"]}
    found = {(b.row, b.column): b.turn for b in job.reading.blocks if b.turn or b.mirrored}
    assert found == wanted


def test_the_draft_is_the_quilt_as_its_maker_pieced_it(job):
    quilt = job.quilt
    assert [kind.block.name for kind in quilt.kinds] == [TRUTH["notes"]["design"]]
    assert quilt.not_read == ()
    assert [side.inches_float for side in quilt.finished_size] == TRUTH["drafted_size"]
    assert (quilt.block_width, quilt.gaps[0]) == (inches(TRUTH["block_size"][0]), inches(TRUTH["sashing"][0]))


def test_the_sums_are_explained_by_what_was_cut_off(job):
    top = job.adjustment.explanations[0]
    lost = {side: length.inches_float for side, length in top.cut}
    for side in ("left", "right"):
        assert abs(lost[side] - TRUTH["cut_off"][side]) <= COVER * job.reading.uncertainty.edge
    assert sum(lost.values()) == pytest.approx(sum(TRUTH["cut_off"].values()), abs=0.25)


def test_the_study_sheet_says_how_every_figure_is_known_and_what_is_not(job):
    content = study_content(job, printed=TODAY)
    assert all(fact.known for fact in content.facts)
    assert content.unknown
    assert any("turned" in each for each in content.remarks)


def test_the_booklet_cuts_every_piece_of_the_quilt(job):
    content = booklet_content(job.plan, printed=TODAY)
    needed = sum(cut.needed for cut in job.plan.cutting)
    (kind,) = job.quilt.kinds
    patches = len(job.quilt.spots) * len(kind.block.patches)
    # 8 rows of 7: 6 upright strips a row and 7 full strips between rows.
    assert needed == patches + 8 * 6 + 7
    # One template serves all patches of one shape, and names them: the small triangles are of two fabrics.
    served = {template.label: " ".join(template.lines) for template in content.templates}
    assert "also A1" in served["B1"]
    assert "C1" in served


def test_the_label_leaves_the_maker_unknown_unless_told(job):
    assert label_content(job, printed=TODAY).maker == "Maker unknown"


def test_the_results_are_all_written_and_nothing_else(tmp_path):
    shown = demo(tmp_path / "out", today=TODAY)
    assert sorted(each.name for each in (tmp_path / "out").iterdir()) == sorted(name for name, _ in shown.files)
    assert (tmp_path / "out" / "study-sheet.pdf").read_bytes().startswith(b"%PDF")


def test_a_pattern_says_how_its_blocks_are_known_and_which_are_not(job):
    assert booklet_lead(job).endswith("its blocks whole, as read from its photograph.")
    gone = with_cells(job.quilt, {(0, 0): NOT_READ})
    partly = Job(replace(job.inputs, choice=Choice(draft=write_quilt(gone, find_block=find))))
    assert booklet_lead(partly).endswith(
        "the blocks that are known, whole, as read from its photograph and set right by hand; those marked ? are not."
    )


def test_a_sheet_tells_of_a_draft_by_hand_what_stands_in_it_and_not_what_the_photograph_left_open(job, monkeypatch):
    own = replace(
        with_lies(job.quilt, {(1, 2): Turned(90), (1, 3): Turned(90)}), block_width=inches(8), block_height=inches(8)
    )
    by_hand = Job(replace(job.inputs, choice=Choice(draft=write_quilt(own, find_block=find))), memo=job.memo)
    asked = f"2 of 56 blocks were not read: {TO_SHOW} how they are pieced."
    seen = msgspec.structs.replace(job.reading, warnings=[*job.reading.warnings, asked])
    monkeypatch.setattr(Job, "reading", seen)
    assert asked not in list(remarks(by_hand))
    assert "2 blocks are turned 90 degrees: row 2, columns 3 and 4" in list(remarks(by_hand))
    sheet = study_content(by_hand, printed=TODAY)
    facts = {fact.what: (fact.value, fact.known) for fact in sheet.facts}
    assert facts["block width, as drafted"] == ("8 in", "as you drafted it; what was measured comes to 9 in")
    assert facts["sashing between rows, as drafted"][1].startswith("computed: ")
    assert "2 of 56 blocks lie turned or mirrored: row 2, columns 3 and 4" in " ".join(
        each.says for each in sheet.noticed
    )


def test_a_block_not_read_is_not_called_different_from_the_rest(job):
    (first, second, *rest) = job.reading.blocks
    blocks = (
        msgspec.structs.replace(first, kind=None, differs=True),
        msgspec.structs.replace(second, differs=True),
        *rest,
    )
    gone = with_cells(job.quilt, {(0, 0): NOT_READ})
    seen = SimpleNamespace(
        inputs=job.inputs,
        reading=msgspec.structs.replace(job.reading, blocks=blocks),
        adjustment=job.adjustment,
        chosen=job.chosen,
        drafted=SimpleNamespace(notes=(not_read_words(gone),)),
        quilt=gone,
        memo=job.memo,
        look_key=job.look_key,
        look=job.look,
    )
    said = list(remarks(seen))
    assert "1 block is different from the rest: row 1, column 2" in said
    assert not any("different from the rest: row 1, column 1" in line for line in said)
    assert sum("not read: row 1, column 1." in line for line in said) == 1
