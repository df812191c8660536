"""Sections carry their version; what an older version wrote is brought up, what a later one wrote is left alone."""

from __future__ import annotations

import json
import shutil
from pathlib import Path

import pytest

from seamlore.errors import NotationError
from seamlore.shelf.shelf import Shelf
from seamlore.steps.order import CALLED, STEPS
from seamlore.steps.study.inputs import Inputs
from seamlore.steps.study.kept import read_study
from seamlore.steps.study.sections import SECTIONS, Corrections, Photographs
from seamlore.steps.study.tape import Tape
from seamlore.steps.study.versions import UPGRADES, decode, encode, version_of

OLD = Path(__file__).parents[2] / "data" / "shelf_of_version_1"


@pytest.mark.parametrize("name", SECTIONS)
def test_every_section_is_written_with_its_version_and_read_back(name):
    section = SECTIONS[name]()
    text = encode(section)
    assert json.loads(text)["version"] == version_of(name) == len(UPGRADES.get(name, ())) + 1
    assert decode(SECTIONS[name], text) == section


@pytest.mark.parametrize("name", SECTIONS)
def test_a_section_of_a_later_version_is_refused_in_words(name):
    with pytest.raises(NotationError, match="a later Seamlore wrote it"):
        decode(SECTIONS[name], json.dumps({"version": version_of(name) + 1}))


@pytest.mark.parametrize("text", ["", "{", "[]", "3", '{"version": 0}', '{"version": "2"}', '{"width": 3}', "null"])
def test_what_is_no_section_is_refused_in_words(text):
    with pytest.raises(NotationError, match="cannot be read"):
        decode(Tape, text)


def test_every_step_from_each_version_to_the_next_is_taken_in_order(monkeypatch):
    chain = (lambda value: {"width": value["old"] + "a"}, lambda value: {"width": value["width"] + "b"})
    monkeypatch.setitem(UPGRADES, "tape", chain)
    assert decode(Tape, '{"old": "x"}').width == "xab"
    assert decode(Tape, '{"version": 2, "width": "x"}').width == "xb"
    assert decode(Tape, '{"version": 3, "width": "x"}').width == "x"


def test_a_study_of_the_version_before_is_read_with_its_photograph_and_what_was_set_right_on_it(tmp_path):
    # Made by the code as it was before, with nothing but a drawing in it.
    shutil.copytree(OLD, tmp_path / "shelf")
    with Shelf(tmp_path / "shelf") as shelf:
        kept = read_study(shelf.standing(1), shelf.read_photograph)
        (photograph,) = kept.section(Photographs).photographs
        assert (photograph.name, photograph.size, photograph.shows, photograph.taken) == (
            "checked_top.png",
            (120, 90),
            "front",
            None,
        )
        assert kept.inputs.photo.startswith(b"\x89PNG")
        assert (kept.inputs.corrections.rows, kept.inputs.corrections.corners[0]) == (3, (20.0, 15.0))
        assert kept.inputs.tape.width == "40 in"
        assert kept.inputs.about.story == "Found in a trunk."
        assert read_study(shelf.standing(2), shelf.read_photograph).inputs.photo is None


def test_what_a_room_to_come_wrote_is_kept_through_every_edit_undo_and_copy(tmp_path):
    shutil.copytree(OLD, tmp_path / "shelf")
    name, value = "of a room to come", '{"version":7,"notes":["as it was"]}'
    with Shelf(tmp_path / "shelf") as shelf:
        from seamlore.steps.study.kept import changes_for

        kept = read_study(shelf.standing(1), shelf.read_photograph)
        shelf.apply_all(1, changes_for([(Tape(width="41 in"), kept.revisions["tape"], "entered")], None))
        shelf.undo(1)
        shelf.redo(1)
        assert shelf.read(1, name).value == value
        shelf.backup()
    with Shelf(tmp_path / "shelf", restore="newest") as shelf:
        assert shelf.read(1, name).value == value


def test_one_table_names_every_section_its_page_its_command_and_its_parts_of_the_sheet():
    from importlib import import_module

    from seamlore.cli.main import COMMANDS
    from seamlore.sheets.study_sheet import PARTS

    assert set(CALLED) == set(SECTIONS)
    # A study's name is on the shelf, its photographs come as the file itself.
    assert set(SECTIONS) - {"photographs"} <= set(Inputs.__dataclass_fields__)
    assert list(COMMANDS)[: len([step for step in STEPS if step.command])] == [s.name for s in STEPS if s.command]
    for step in STEPS:
        assert import_module(f"seamlore.web.pages.{step.name}").HERE is step
        if step.command:
            assert import_module(f"seamlore.cli.{step.name}").command.name == step.name
    assert [part for step in STEPS for part in step.sheet] == list(PARTS)


def test_corrections_say_which_photograph_they_are_of():
    assert decode(Corrections, '{"rows": 3}') == Corrections(rows=3, of="")
