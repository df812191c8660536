"""`seamlore assess` on files: notes and a reading in, one JSON object or words out."""

from __future__ import annotations

import json
from dataclasses import replace

import msgspec
import pytest

from seamlore.cli.main import run
from seamlore.condition.annotation import page, to_annotation
from seamlore.condition.notes import Note

from ..condition.test_ground import reading

HOLE = Note(
    "urn:uuid:1",
    "a" * 64,
    "hole",
    ((95.0, 5.0), (155.0, 5.0), (155.0, 65.0), (95.0, 65.0)),
    4,
    noted="2026-11-30T10:00:00Z",
)


@pytest.fixture
def files(tmp_path):
    notes, seen = tmp_path / "notes.json", tmp_path / "reading.json"
    notes.write_text(json.dumps(page([to_annotation(HOLE)])))
    seen.write_bytes(msgspec.json.encode(reading()))
    return notes, seen


def test_areas_shares_and_verdicts_come_as_json(files, capsys):
    """By hand: 280 x 190 pixels are 28 x 19 in, so that 60 x 60 pixels are 6.02 x 6.03 in."""
    assert run(["assess", *map(str, files), "--json"]) == 0
    found = json.loads(capsys.readouterr().out)
    assert found["notes"][0]["area"] == pytest.approx((60 * 28 / 279) * (60 * 19 / 189), rel=1e-3)
    verdicts = {(each["row"], each["column"]): each["verdict"] for each in found["blocks"]}
    assert [verdicts[0, column] for column in range(3)] == ["sound", "lost", "sound"]
    assert {(each["row"], each["column"]) for each in found["blocks"] if each["cut"]} == {(0, 0), (1, 0)}


def test_in_words_the_lost_are_named(files, capsys):
    assert run(["assess", *map(str, files)]) == 0
    said = capsys.readouterr().out
    assert said.startswith("Of 6 blocks 5 sound, 0 doubtful, 1 lost")
    assert "row 1, column 2: hole, gone" in said


def test_notes_of_several_photographs_are_told_apart_by_the_one_that_was_read(files, tmp_path, capsys):
    import hashlib

    front = tmp_path / "front.jpg"
    front.write_bytes(b"front")
    mine = replace(HOLE, key="urn:uuid:2", photograph=hashlib.sha256(b"front").hexdigest())
    files[0].write_text(json.dumps(page([to_annotation(HOLE), to_annotation(mine)])))
    assert run(["assess", *map(str, files)]) == 2
    assert "notes of 2 photographs: a reading is of one; say which it is with --photograph" in capsys.readouterr().err
    assert run(["assess", *map(str, files), "--photograph", str(front)]) == 0
    assert "Left out: 1 note of other photographs." in capsys.readouterr().out
    front.write_bytes(b"another")
    for path, why in ((front, "2 notes, none of that photograph"), (tmp_path, "it is no file")):
        assert run(["assess", *map(str, files), "--photograph", str(path)]) == 2
        assert why in capsys.readouterr().err


def test_cloth_that_a_hand_test_found_weak_is_named_though_its_fabric_was_not_read(files, capsys):
    test = replace(HOLE, kind="hand test", severity=0, result="weak", of="brown sprig", outline=((200.0, 100.0),))
    files[0].write_text(json.dumps(page([to_annotation(test)])))
    assert run(["assess", *map(str, files)]) == 0
    said = capsys.readouterr().out.partition("Weak cloth\n")[2]
    assert "all of the sashing is suspect, for its seams and fabrics were not read" in said
    assert "brown sprig: weak; where its other patches are was not read" in said
    assert run(["assess", *map(str, files), "--json"]) == 0
    found = json.loads(capsys.readouterr().out)["weak"]
    assert [each.strip() for each in said.splitlines() if each] == found


def test_what_is_no_file_of_notes_is_refused_in_one_line(files, capsys):
    assert run(["assess", str(files[1]), str(files[1])]) == 2
    assert "it is no page of notes" in capsys.readouterr().err
    assert run(["assess", str(files[0]), str(files[0])]) == 2
    assert capsys.readouterr().err.count("\n") == 1


@pytest.mark.parametrize(
    ("kind", "outline", "why"),
    [
        ("hole", ((50, 50), (90, 90), (90, 50), (50, 90)), "note 1, at (70, 70): an outline that crosses itself"),
        ("hole", ((50, 50), (90, 90), (70, 70)), "note 1: an outline that encloses nothing"),
        ("stain", ((50, 50), (900, 50), (50, 90)), "note 1: a corner at 900, 50: the picture is 280 wide"),
        ("tie", ((1, 1),), "a tie at 1, 1: it lies off the quilt"),
    ],
)
def test_what_could_not_be_drawn_on_the_page_is_refused_with_its_place(files, capsys, kind, outline, why):
    notes, seen = files
    found = msgspec.json.decode(seen.read_bytes())
    found["corners"] = [[40, 40], [279, 40], [279, 189], [40, 189]]
    seen.write_bytes(msgspec.json.encode(found))
    wrong = Note("urn:uuid:2", "a" * 64, kind, outline, 0 if kind == "tie" else 3, noted=HOLE.noted)
    notes.write_text(json.dumps(page([to_annotation(wrong)])))
    assert run(["assess", str(notes), str(seen), "--json"]) == 2
    said = capsys.readouterr()
    assert (said.out, said.err.count("\n")) == ("", 1)
    assert why in said.err
