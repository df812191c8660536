"""A program that is killed, whatever it is at: all that was acknowledged is there, and what was not is there whole or not."""

from __future__ import annotations

import json
import os
import shutil
import signal
import subprocess
import sys
from pathlib import Path

import pytest

from seamlore.shelf.change import Change
from seamlore.shelf.collection import Collection
from seamlore.shelf.photographs import is_of
from seamlore.shelf.shelf import Shelf

from .states import ACTIONS, PHOTOGRAPH, edit, snapshot

HERE = Path(__file__).parent
OLD = HERE.parent / "data" / "shelf_of_version_1"

pytestmark = pytest.mark.skipif(os.name == "nt", reason="needs a signal that cannot be caught")

KILLS = (
    ("edit", "statement:BEGIN:1"),
    ("edit", "statement:INSERT INTO changes:1"),
    ("edit", "statement:INSERT INTO sections:1"),
    ("edit", "statement:COMMIT:1"),
    ("edit", "operation:20"),
    ("edit", "operation:60"),
    ("edit", "operation:100"),
    ("edit", "done and not told"),
    ("edit of two sections", "statement:INSERT INTO changes:2"),
    ("edit of two sections", "statement:INSERT INTO sections:2"),
    ("undo", "statement:INSERT INTO sections:1"),
    ("undo", "statement:COMMIT:1"),
    ("redo", "statement:UPDATE studies:1"),
    ("redo", "statement:COMMIT:1"),
    ("rename", "statement:UPDATE studies SET name:1"),
    ("begin", "statement:INSERT INTO changes:1"),
    ("photograph", "fsync:1"),
    ("photograph", "replace:1"),
    ("photograph", "fsync:2"),
    ("backup", "fsync:1"),
    ("backup", "replace:1"),
    ("backup", "replaced:1"),
    ("restore", "replace:2"),
    ("restore", "replaced:2"),
    ("duplicate", "statement:INSERT INTO sections:1"),
    ("duplicate", "statement:COMMIT:1"),
    ("set aside", "statement:COMMIT:1"),
    ("go back", "statement:UPDATE studies SET name:1"),
    ("go back", "statement:COMMIT:1"),
    ("arrive", "replaced:1"),
    ("arrive", "statement:INSERT INTO studies:1"),
    ("arrive", "statement:COMMIT:1"),
    ("cards", "statement:INSERT INTO words:1"),
    ("cards", "statement:COMMIT:1"),
    *(("edits without end", f"time:{seconds}") for seconds in (0.02, 0.05, 0.11, 0.23)),
)


def dying(folder, action, moment):
    done = subprocess.run(
        [sys.executable, str(HERE / "dying.py"), str(folder), action, moment],
        capture_output=True,
        text=True,
        check=False,
        env={**os.environ, "PYTHONPATH": os.pathsep.join(each for each in sys.path if each)},
    )
    assert done.returncode == -signal.SIGKILL, done.stderr
    lines = done.stdout.splitlines()
    # The last line may have been cut by the end.
    return [json.loads(line) for line in lines[:-1]] + [json.loads(line) for line in lines[-1:] if line.endswith("}")]


@pytest.mark.parametrize(("action", "moment"), KILLS)
def test_what_was_acknowledged_outlives_a_program_killed_while_it_is_at(action, moment, tmp_path):
    folder = tmp_path / "shelf"
    acknowledged = dying(folder, action, moment)[-1]
    with Shelf(tmp_path / "before") as before:
        study = before.studies()[0].number
        ACTIONS.get(action, ACTIONS["edit of two sections"])(before, study)
        done = snapshot(before)
    with Shelf(folder) as shelf:
        found = snapshot(shelf)
        if action == "edits without end":
            # One more may have been kept than was told.
            kept, told = (
                [step for step in each["Second name"]["history"] if step[2]] for each in (found, acknowledged)
            )
            assert kept[: len(told)] == told
            assert len(kept) - len(told) in (0, 1)
        else:
            assert found in (acknowledged, done)
        # What lies in the folder is whole.
        for path in (folder / "photographs").iterdir():
            assert is_of(path.name, path.read_bytes())
        assert not list(folder.rglob("*.part"))
        # And the work goes on.
        edit(shelf, study, '"next"', "tape", "label")
        shelf.add_photograph(PHOTOGRAPH, "png")
        shelf.backup()
        assert shelf.read(study, "label").value == '"next"'
    with Shelf(folder, restore="newest") as shelf:
        assert shelf.read(study, "label").value == '"next"'


@pytest.mark.parametrize(
    "moment", ["statement:INSERT OR REPLACE INTO gone:1", "statement:COMMIT:1", "unlink:1", "unlinked:1"]
)
def test_a_study_deleted_for_good_is_there_whole_or_gone_whole_when_the_program_is_killed(moment, tmp_path):
    folder = tmp_path / "shelf"
    with Shelf(folder) as shelf:
        shelf.create("Kept")
        photograph = shelf.add_photograph(b"of one study", "jpg")
        gone = shelf.create("Gone", [Change("photographs", 0, f'"{photograph}"', "added")])
        Collection(shelf).set_aside(gone)
        identity = Collection(shelf).identity(gone)
    dying(folder, "delete", moment)
    with Shelf(folder) as shelf:
        there = Collection(shelf).of_identity(identity)
        if there is not None:
            assert shelf.read(gone, "photographs").value == f'"{photograph}"'
            assert shelf.read_photograph(photograph) == b"of one study"
            Collection(shelf).delete(gone)
        # What the end of the program left of it is cleared when the shelf is opened.
        assert list((folder / "photographs").glob("*.jpg")) == []
        assert [each.name for each in shelf.studies()] == ["Kept"]
        assert shelf.create("Next") > 0


@pytest.mark.parametrize("moment", ["statement:ALTER TABLE:2", "statement:UPDATE changes:1", "statement:COMMIT:1"])
def test_an_old_shelf_outlives_a_program_killed_while_it_brings_it_up_to_date(moment, tmp_path):
    for name in ("one", "other"):
        shutil.copytree(OLD, tmp_path / name)
    dying(tmp_path / "one", "open", moment)
    with Shelf(tmp_path / "one") as one, Shelf(tmp_path / "other") as other:
        assert snapshot(one) == snapshot(other)
        assert len(snapshot(one)) == 2


@pytest.mark.parametrize(
    "moment", ["statement:CREATE TABLE:2", "statement:COMMIT:1", "statement:PRAGMA integrity_check:1"]
)
def test_a_program_killed_while_it_makes_a_new_shelf_leaves_one_that_can_be_made(moment, tmp_path):
    dying(tmp_path / "new", "first opening", moment)
    with Shelf(tmp_path / "new") as shelf:
        assert shelf.studies() == ()
        shelf.create("Star")
