"""The shelf: nothing lost, nothing half-written, no silent overwriting."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
import textwrap

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from seamlore.shelf.change import Change, ShelfError, StaleChangeError
from seamlore.shelf.shelf import Shelf


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


@settings(max_examples=40, deadline=None)
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


@pytest.mark.skipif(os.name == "nt", reason="needs a signal that cannot be caught")
def test_a_program_killed_while_it_writes_leaves_a_whole_history(tmp_path):
    code = textwrap.dedent(f"""
        from pathlib import Path
        from seamlore.shelf.shelf import Shelf
        from seamlore.shelf.change import Change
        shelf = Shelf(Path({str(tmp_path)!r})); study = shelf.create("one"); base = 0
        while True:
            base = shelf.apply(study, Change("tape", base, str(base) * 5000, str(base)))
            print(base, flush=True)
    """)
    for round_number in range(3):
        with subprocess.Popen([sys.executable, "-c", code], stdout=subprocess.PIPE, text=True) as program:
            told = [program.stdout.readline() for _ in range(8 + 5 * round_number)]
            program.send_signal(signal.SIGKILL)
        last = int(told[-1])
        with Shelf(tmp_path) as shelf:
            study = shelf.studies()[0].number
            section = shelf.read(study, "tape")
            # Every change that was acknowledged is there, and the last one is whole.
            assert section.revision >= last
            assert section.value == str(section.revision - 1) * 5000
            assert len(shelf.history(study)) == section.revision


def test_a_name_that_is_taken_gets_a_number(shelf):
    names = [shelf.entry(shelf.create("Blue star")).name, shelf.entry(shelf.create("blue  STAR")).name]
    assert names == ["Blue star", "blue STAR 2"]


def test_an_unknown_study_is_refused_and_the_nearest_offered(shelf):
    shelf.create("Blue star")
    with pytest.raises(ShelfError, match='did you mean "Blue star"'):
        shelf.named("blue stra")


def test_a_damaged_database_is_refused_and_left_as_it_is(tmp_path):
    (tmp_path / "shelf.sqlite").write_bytes(b"this is not a database, but it was somebody's file" * 50)
    with pytest.raises(ShelfError, match="cannot be read"):
        Shelf(tmp_path)
    assert (tmp_path / "shelf.sqlite").read_bytes().startswith(b"this is not")
