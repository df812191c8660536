"""The shelf: nothing lost, nothing half-written, no silent overwriting."""

from __future__ import annotations

import datetime
import os
import shutil
import subprocess
import sys
import time
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from seamlore.shelf import history
from seamlore.shelf import shelf as shelf_module
from seamlore.shelf.change import Change, ShelfError, StaleChangeError, StaleMoveError
from seamlore.shelf.database import Database
from seamlore.shelf.shelf import Shelf

from .states import edit

OLD = Path(__file__).parent.parent / "data" / "shelf_of_version_1"


@pytest.fixture
def shelf(tmp_path):
    with Shelf(tmp_path / "shelf") as opened:
        yield opened


def test_a_change_on_a_section_that_has_changed_since_is_refused_and_nothing_written(shelf):
    study = shelf.create("one")
    shelf.apply(study, Change("tape", 0, '"a"', "first"))
    with pytest.raises(StaleChangeError) as caught:
        shelf.apply(study, Change("tape", 0, '"b"', "from another window"))
    assert caught.value.current.value == '"a"'
    assert [done.says for done in shelf.history(study)] == ["first"]


def test_several_changes_are_made_all_or_none(shelf):
    study = shelf.create("one")
    with pytest.raises(StaleChangeError):
        shelf.apply_all(study, [Change("tape", 0, '"a"', "good"), Change("draft", 5, '"b"', "stale")])
    assert shelf.read(study, "tape").value is None


@settings(max_examples=25, deadline=None)
@given(st.lists(st.sampled_from(["change a", "change b", "undo", "redo"]), max_size=30))
def test_any_run_of_changes_undo_and_redo_equals_a_list_with_a_finger_in_it(tmp_path_factory, moves):
    with Shelf(tmp_path_factory.mktemp("shelf")) as shelf:
        study = shelf.create("one")
        states, at = [{}], 0
        for index, move in enumerate(moves):
            if move == "undo":
                assert (shelf.undo(study) is None) == (at == 0)
                at = max(at - 1, 0)
            elif move == "redo":
                assert (shelf.redo(study) is None) == (at == len(states) - 1)
                at = min(at + 1, len(states) - 1)
            else:
                section = move[-1]
                base = shelf.read(study, section).revision
                shelf.apply(study, Change(section, base, str(index), move))
                states, at = [*states[: at + 1], {**states[at], section: str(index)}], at + 1
            now = {name: each.value for name, each in shelf.read_all(study).items() if each.value is not None}
            assert now == states[at]


def test_a_revision_never_comes_back_so_an_undone_edit_is_stale_too(shelf):
    study = shelf.create("one")
    first = shelf.apply(study, Change("tape", 0, '"a"', "first"))
    shelf.undo(study)
    with pytest.raises(StaleChangeError):
        shelf.apply(study, Change("tape", first, '"b"', "made on what was undone"))


def test_a_second_program_is_told_that_the_shelf_is_open(tmp_path):
    with Shelf(tmp_path):
        code = f"from pathlib import Path; from seamlore.shelf.shelf import Shelf; Shelf(Path({str(tmp_path)!r}))"
        done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=False)
    assert "another Seamlore has it open" in done.stderr


def test_a_name_that_is_taken_gets_a_number(shelf):
    names = [shelf.entry(shelf.create("Blue star")).name, shelf.entry(shelf.create("blue  STAR")).name]
    assert names == ["Blue star", "blue STAR 2"]


def test_an_unknown_study_is_refused_and_the_nearest_offered(shelf):
    shelf.create("Blue star")
    with pytest.raises(ShelfError, match='did you mean "Blue star"'):
        shelf.named("blue stra")


def test_what_was_done_at_once_is_undone_at_once_and_said_in_one_sentence(shelf):
    study = shelf.create("one")
    shelf.apply_all(
        study,
        [
            Change("label", 0, '"a"', "changed the label", "tell"),
            Change("about", 0, '"b"', "changed the story", "tell"),
        ],
    )
    undone = shelf.undo(study)
    assert (undone.says, undone.sections, undone.where) == (
        "changed the label and changed the story",
        ("label", "about"),
        "tell",
    )
    assert {name: each.value for name, each in shelf.read_all(study).items()} == {"label": None, "about": None}
    assert shelf.undo(study) is None
    assert shelf.redo(study).says == undone.says
    assert {name: each.value for name, each in shelf.read_all(study).items()} == {"label": '"a"', "about": '"b"'}


def test_a_request_that_is_repeated_undoes_once_and_redoes_once(shelf):
    study = shelf.create("one")
    for number in range(3):
        edit(shelf, study, str(number), "tape", says="the same words")
    meant = shelf.standing(study).moves
    assert shelf.undo(study, meant=meant) == shelf.undo(study, meant=meant)
    assert shelf.read(study, "tape").value == "1"
    meant = shelf.standing(study).moves
    assert shelf.redo(study, meant=meant).says == shelf.redo(study, meant=meant).says
    assert shelf.read(study, "tape").value == "2"


def test_an_undo_that_was_meant_for_another_state_takes_nothing_back(shelf):
    study = shelf.create("one")
    edit(shelf, study, "1", "tape")
    meant = shelf.standing(study).moves
    edit(shelf, study, "2", "tape")
    with pytest.raises(StaleMoveError):
        shelf.undo(study, meant=meant)
    with pytest.raises(StaleMoveError):
        shelf.redo(study, meant=meant)
    assert shelf.read(study, "tape").value == "2"


def test_a_new_name_is_in_the_history_and_is_undone_and_redone(shelf):
    study = shelf.create("one")
    shelf.rename(study, "two", where="draft")
    assert [(done.says, done.where) for done in shelf.history(study)] == [('named it "two"', "draft")]
    shelf.undo(study)
    assert shelf.entry(study).name == "one"
    shelf.redo(study)
    assert shelf.entry(study).name == "two"


def test_a_name_that_was_given_away_meanwhile_is_not_taken_back_and_said(shelf):
    study = shelf.create("one")
    shelf.rename(study, "two")
    shelf.create("one")
    with pytest.raises(ShelfError, match="another study has it"):
        shelf.undo(study)
    assert [entry.name for entry in shelf.studies()] == ["one", "two"]


def test_a_new_name_leaves_no_trace_when_another_study_has_it(shelf):
    study, _ = shelf.create("one"), shelf.create("two")
    with pytest.raises(ShelfError, match="another study has it"):
        shelf.rename(study, "TWO")
    assert shelf.history(study) == ()
    assert shelf.entry(study).name == "one"


def test_the_shelf_asks_the_disk_for_the_strictest(shelf):
    # sqlite.org, PRAGMA synchronous: 3 is EXTRA, which also synchronizes the folder when the journal is gone.
    with shelf._database.reading() as connection:
        assert connection.execute("PRAGMA synchronous").fetchone() == (3,)
        assert connection.execute("PRAGMA journal_mode").fetchone() == ("delete",)
        assert connection.execute("PRAGMA foreign_keys").fetchone() == (1,)


@pytest.mark.skipif(os.name == "nt", reason="Windows has other rights")
def test_all_that_is_kept_is_for_its_owner_only_and_what_was_open_is_closed(tmp_path):
    umask = os.umask(0)
    try:
        for folder in (tmp_path / "new", tmp_path / "old"):
            if folder.name == "old":
                shutil.copytree(OLD, folder)
                for path in [folder, *folder.rglob("*")]:
                    path.chmod(0o777 if path.is_dir() else 0o666)
            with Shelf(folder) as shelf:
                study = shelf.create("Star")
                shelf.add_photograph(b"a picture", "jpg")
                shelf.backup()
                edit(shelf, study, "1", "tape")
            with Shelf(folder, restore="newest"):
                pass
            for path in [folder, *folder.rglob("*")]:
                assert path.stat().st_mode & 0o777 == (0o700 if path.is_dir() else 0o600), path
    finally:
        os.umask(umask)


def test_a_folder_of_hers_with_other_things_in_it_is_left_as_open_as_it_was(tmp_path):
    other = tmp_path / "letter.txt"
    other.write_text("hers", encoding="utf-8")
    other.chmod(0o644)
    tmp_path.chmod(0o755)
    with Shelf(tmp_path):
        pass
    assert (other.stat().st_mode & 0o777, tmp_path.stat().st_mode & 0o777) == (0o644, 0o755)


def test_a_shelf_of_the_version_before_is_brought_up_to_date_with_all_that_was_in_it(tmp_path):
    # Made by the code as it was before, with nothing but a drawing in it.
    shutil.copytree(OLD, tmp_path / "shelf")
    with Shelf(tmp_path / "shelf") as shelf:
        second, first = (entry.number for entry in shelf.studies())
        assert [shelf.entry(number).name for number in (first, second)] == ["Checked and kept", "From memory"]
        kept = shelf.read_all(first)
        assert kept["of a room to come"].value == '{"version":7,"notes":["as it was"]}'
        assert kept["making"].revision == 3
        assert "photograph" not in kept
        assert [done.says for done in shelf.history(first) if not done.stands] == ["changed how it is made"]
        while shelf.undo(first):
            pass
        assert all(each.value is None for each in shelf.read_all(first).values())
        while shelf.redo(first):
            pass
        again = shelf.read_all(first)
        assert {name: each.value for name, each in again.items() if name != "making"} == {
            name: each.value for name, each in kept.items() if name != "making"
        }
        assert '"letter"' in again["making"].value


def test_what_a_page_holds_from_before_a_backup_was_put_back_is_stale(shelf):
    study = shelf.create("Star")
    edit(shelf, study, "1", "tape")
    shelf.backup()
    edit(shelf, study, "2", "tape")
    revision = shelf.read(study, "tape").revision
    moves = shelf.standing(study).moves
    shelf.restore("newest")
    # One more edit would bring a counter that had gone back to where the page's was.
    edit(shelf, study, "3", "tape")
    with pytest.raises(StaleChangeError):
        shelf.apply(study, Change("tape", revision, "4", "from a page of before"))
    with pytest.raises(StaleMoveError):
        shelf.undo(study, meant=moves)
    assert shelf.read(study, "tape").value == "3"


def test_going_back_to_a_backup_can_itself_be_gone_back_on(shelf):
    study = shelf.create("Star")
    edit(shelf, study, "1", "tape")
    first = shelf.backup()
    edit(shelf, study, "2", "tape")
    shelf.restore(first.name)
    assert shelf.read(study, "tape").value == "1"
    shelf.restore("newest")
    assert shelf.read(study, "tape").value == "2"


def test_the_row_of_backups_is_short_and_keeps_the_newest_and_one_for_each_of_seven_days(tmp_path, monkeypatch):
    start = datetime.datetime(2026, 3, 1, 8, tzinfo=datetime.UTC)
    with Shelf(tmp_path) as shelf:
        shelf.create("Star")
        for hours in range(0, 24 * 12, 6):
            monkeypatch.setattr(shelf_module, "utc_now", lambda hours=hours: start + datetime.timedelta(hours=hours))
            shelf.backup()
        made = [each.made for each in shelf.backups()]
    assert len(made) == 9
    assert made == sorted(made, reverse=True)
    last = start + datetime.timedelta(hours=24 * 12 - 6)
    assert made[:4] == [last - datetime.timedelta(hours=hours) for hours in (0, 6, 12, 18)]
    assert len({each.date() for each in made}) == 7


def test_a_backup_is_due_when_something_was_changed_since_the_newest(tmp_path, monkeypatch):
    half, none = datetime.timedelta(minutes=30), datetime.timedelta(0)
    with Shelf(tmp_path) as shelf:
        assert not shelf.backup_is_due(none)
        study = shelf.create("Star")
        assert shelf.backup_is_due(half)
        shelf.backup()
        assert not shelf.backup_is_due(half)
        later = datetime.datetime.now(datetime.UTC) + datetime.timedelta(minutes=31)
        monkeypatch.setattr(history, "now", lambda: (later - datetime.timedelta(minutes=1)).isoformat())
        edit(shelf, study, "1", "tape")
        assert not shelf.backup_is_due(half)
        monkeypatch.setattr(shelf_module, "utc_now", lambda: later)
        assert shelf.backup_is_due(half)


def test_a_shelf_is_looked_through_when_it_is_not_as_it_was_closed_and_once_a_day(tmp_path, monkeypatch):
    looked = []
    real = Database._check
    monkeypatch.setattr(Database, "_check", lambda database: (looked.append(1), real(database)))

    def looks():
        looked.clear()
        with Shelf(tmp_path) as shelf:
            shelf.create("Star")
        return len(looked)

    assert [looks() for _ in range(3)] == [1, 0, 0]
    os.utime(tmp_path / "shelf.sqlite", ns=(1, 1))
    assert [looks() for _ in range(2)] == [1, 0]
    now = time.time()
    monkeypatch.setattr(time, "time", lambda: now + 23 * 3600)
    assert looks() == 0
    monkeypatch.setattr(time, "time", lambda: now + 25 * 3600)
    assert [looks() for _ in range(2)] == [1, 0]
    monkeypatch.setattr(time, "time", lambda: now)
    assert looks() == 1
    (tmp_path / "checked.json").write_text("[]")
    assert looks() == 1


def test_a_shelf_in_which_damage_was_met_with_is_looked_through_when_it_is_opened_again(tmp_path):
    with Shelf(tmp_path) as shelf:
        study = shelf.create("Star")
        for number in range(40):
            edit(shelf, study, str(number) * 3000, "tape")
        shelf.backup()
    before = (tmp_path / "shelf.sqlite").stat()
    with (tmp_path / "shelf.sqlite").open("r+b") as stream:
        stream.seek(4096)
        stream.write(b"\xff" * 4096 * 12)
    # As a failing disk does it: nobody wrote.
    os.utime(tmp_path / "shelf.sqlite", ns=(before.st_atime_ns, before.st_mtime_ns))
    with pytest.raises(ShelfError, match="damaged"), Shelf(tmp_path) as shelf:
        shelf.history(study)
    with pytest.raises(ShelfError, match=r"it is damaged.*the newest backup is of"):
        Shelf(tmp_path)
