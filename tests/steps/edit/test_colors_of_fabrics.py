"""Names and colors of a draft's fabrics."""

from __future__ import annotations

from dataclasses import replace

import pytest

from seamlore.draft.border import border
from seamlore.draft.catalogue import find
from seamlore.draft.cells import with_cells
from seamlore.draft.kinds import Cell, Kind
from seamlore.draft.quilt import Sashing
from seamlore.draft.repeated import repeated
from seamlore.draft.setting.setting import OnPoint
from seamlore.draft.text.quilt_file import write_quilt
from seamlore.lengths import inches
from seamlore.pictures.palette import quilt_cloths
from seamlore.steps.edit.fabric_names import color_fabrics, colored_parts, name_fabrics, name_given, named_parts
from seamlore.steps.study.inputs import Inputs
from seamlore.steps.study.job import Job
from seamlore.steps.study.sections import Choice


@pytest.fixture
def job():
    gap = Sashing(inches(2), inches(2), cornerstones=True)
    sides = border(inches(4), fabric="border")
    plain = repeated("q", find("shoo fly"), inches(9), inches(9), 2, 3, gap, (sides,), setting=OnPoint())
    quilt = with_cells(plain, {(0, 0): Cell("SF", fabrics={"A": "mourning print"}), (1, 0): Cell("P")}, [
        Kind("P", find("pinwheel"))
    ])  # fmt: skip
    return Job(Inputs(choice=Choice(draft=write_quilt(quilt, find_block=find))))


def after(job: Job, edited) -> Job:
    assert not edited.slips
    return Job(replace(job.inputs, choice=edited.choice))


def test_everything_that_has_a_fabric_can_be_given_a_color_and_shows_it(job):
    keys = [key for key, _ in colored_parts(job.quilt)]
    assert keys == [
        "SF A", "SF B", "P A", "P B", "sashing", "cornerstone", "setting triangle", "border 1", "mourning print",
    ]  # fmt: skip
    for number, key in enumerate(keys):
        color = f"#1020{number + 10}"
        job = after(job, color_fabrics(job, {key: color.upper()}))
        assert quilt_cloths(job.quilt, job.cloths[0])[key] == color
    assert len(job.inputs.choice.cloths) == len(keys)


def test_colors_sent_as_they_are_shown_say_nothing(job):
    shown = {key: str(paint) for key, paint in quilt_cloths(job.quilt, job.cloths[0]).items()}
    assert color_fabrics(job, shown).choice == job.inputs.choice


def test_a_color_said_of_a_letter_in_every_kind_is_taken_back_too(job):
    said = Job(replace(job.inputs, choice=Choice(draft=job.inputs.choice.draft, cloths={"A": "#123456"})))
    assert quilt_cloths(said.quilt, said.cloths[0])["P A"] == "#123456"
    assert color_fabrics(said, {}, "P A").choice.cloths == {}


def test_sides_of_a_border_that_differ_are_named_and_colored_by_themselves(job):
    top, right, bottom, left = job.quilt.borders[0].sides
    own = job.quilt.borders[0].with_sides([replace(top, fabric="chintz"), right, bottom, left])
    quilt = replace(job.quilt, borders=(own,))
    parts = dict(named_parts(quilt))
    assert (parts["border 1 top"], parts["border 1 left"]) == ("Border, top", "Border, left")
    assert (name_given(quilt, "border 1 top"), name_given(quilt, "border 1 left")) == ("chintz", "")
    sided = Job(Inputs(choice=Choice(draft=write_quilt(quilt, find_block=find))))
    named = after(sided, name_fabrics(sided, {"border 1 left": "stripe"}))
    assert [side.fabric for side in named.quilt.borders[0].sides] == ["chintz", "border", "border", "stripe"]


def test_a_border_of_which_nothing_is_known_is_shown_undyed():
    quilt = repeated(
        "q", find("shoo fly"), inches(9), inches(9), 2, 3, borders=(border(inches(4)), border(inches(2)))
    )
    paints = quilt_cloths(quilt)
    for key in ("border 1", "border 2"):
        red, _, blue = (int(str(paints[key])[at : at + 2], 16) for at in (1, 3, 5))
        assert min(red, blue) > 200
