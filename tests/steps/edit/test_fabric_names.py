"""What the draft's fabrics are called: by key, in the choice or in a draft of her own."""

from __future__ import annotations

from dataclasses import replace

import pytest

from seamlore.draft.border import border
from seamlore.draft.catalogue import find
from seamlore.draft.quilt import Sashing
from seamlore.draft.repeated import repeated
from seamlore.draft.setting.setting import OnPoint, Strips
from seamlore.draft.text.quilt_file import write_quilt
from seamlore.lengths import inches
from seamlore.steps.edit.fabric_names import name_fabrics, name_given, named_parts, side_parts
from seamlore.steps.study.inputs import Inputs
from seamlore.steps.study.job import Job
from seamlore.steps.study.sections import Choice
from seamlore.steps.study.tape import Tape

TAPE = Tape(width="74 in", height="74 in", block="8 in", sashing="3 in", columns=7, rows=7)
FLY = find("shoo fly")
GAP = Sashing(inches(2), inches(2), cornerstones=True)


def quilt(**more):
    return repeated("q", FLY, inches(9), inches(9), 2, 3, **more)


@pytest.mark.parametrize(
    ("made", "more"),
    [
        (quilt(sashing=GAP), [("sashing", "Sashing"), ("cornerstone", "Cornerstones")]),
        (quilt(sashing=replace(GAP, cornerstones=False)), [("sashing", "Sashing")]),
        (quilt(setting=OnPoint()), [("setting triangle", "Setting triangles")]),
        (quilt(setting=Strips(inches(4))), [("strip", "Strips")]),
        (quilt(borders=(border(inches(3)),)), [("border 1", "Border")]),
        (quilt(borders=(border(inches(3)), border(inches(2)))), [("border 1", "Border 1"), ("border 2", "Border 2")]),
    ],
)
def test_every_part_that_is_there_can_be_called_by_a_name(made, more):
    assert named_parts(made) == (("A", "Place A, light"), ("B", "Place B, dark"), *more)


def test_places_of_several_blocks_are_told_apart():
    two = quilt(every_other=find("pinwheel"))
    parts = dict(named_parts(two))
    assert len(parts) == 4
    assert all(text.startswith(("Shoo Fly (", "Pinwheel (")) and "), place " in text for text in parts.values())


def test_a_name_that_was_given_is_told_and_a_placeholder_is_not():
    made = quilt(
        fabrics={"A": "muslin", "sashing": "madder"},
        sashing=GAP,
        borders=(border(inches(3)), border(inches(2), "chintz")),
    )
    assert [name_given(made, key) for key in ("A", "B", "sashing", "cornerstone", "border 1", "border 2")] == [
        "muslin", "", "madder", "", "", "chintz",
    ]  # fmt: skip


def test_names_are_kept_changed_and_taken_away():
    job = Job(Inputs(tape=TAPE, choice=Choice(block="shoo fly", fabrics={"A": "muslin", "binding": "stripe"})))
    edited = name_fabrics(job, {"B": "indigo", "sashing": "madder"})
    assert edited.choice.fabrics == {"A": "muslin", "B": "indigo", "sashing": "madder", "binding": "stripe"}
    assert (edited.choice.draft, edited.says, dict(edited.slips)) == (None, "named the fabrics", {})
    gone = name_fabrics(job, {"A": ""})
    assert gone.choice.fabrics == {"binding": "stripe"}


def test_a_name_too_long_or_with_a_sharp_sign_is_said_by_its_key_and_the_rest_is_kept():
    job = Job(Inputs(tape=TAPE, choice=Choice(block="shoo fly", fabrics={"A": "muslin"})))
    edited = name_fabrics(job, {"A": "#madder", "B": "b" * 80, "sashing": "s" * 81})
    assert edited.choice.fabrics == {"A": "muslin", "B": "b" * 80}
    assert sorted(edited.slips) == ["A", "sashing"]


def test_a_draft_of_her_own_carries_the_names_in_its_text():
    text = write_quilt(quilt(sashing=GAP, borders=(border(inches(3)),)), find_block=find)
    job = Job(Inputs(choice=Choice(draft=text)))
    edited = name_fabrics(job, {"A": "muslin", "border 1": "chintz"})
    named = Job(Inputs(choice=edited.choice)).quilt
    assert [name_given(named, key) for key in ("A", "B", "sashing", "border 1")] == ["muslin", "", "", "chintz"]
    assert replace(named.kinds[0], fabrics={}).block == FLY
    # Nothing said leaves the text as she wrote it.
    assert name_fabrics(job, {}).choice.draft == text
    back = name_fabrics(Job(Inputs(choice=edited.choice)), {"A": ""})
    assert name_given(Job(Inputs(choice=back.choice)).quilt, "A") == ""


@pytest.mark.parametrize("drafted", [True, False], ids=["a draft of her own", "a draft that was found"])
def test_one_side_of_a_border_is_called_by_another_name_and_goes_back(drafted):
    text = write_quilt(quilt(borders=(border(inches(3)),)), find_block=find)
    tape = replace_tape(border="3 in")
    choice = Choice(draft=text) if drafted else Choice(block="shoo fly")

    def after(said, choice):
        done = name_fabrics(Job(Inputs(tape=tape, choice=choice)), said).choice
        (made,) = Job(Inputs(tape=tape, choice=done)).quilt.borders
        return done, [side.fabric for side in made.sides]

    # As the page sends it: every field, those of the sides empty but one.
    choice, fabrics = after({"border 1": "chintz", "border 1 top": "", "border 1 left": "ticking"}, choice)
    assert fabrics == ["chintz", "chintz", "chintz", "ticking"]
    made = Job(Inputs(tape=tape, choice=choice)).quilt
    assert [key for key, _ in named_parts(made)][-4:] == [
        f"border 1 {side}" for side in ("top", "right", "bottom", "left")
    ]
    assert side_parts(made) == ()
    choice, fabrics = after({f"border 1 {side}": "chintz" for side in ("top", "right", "bottom", "left")}, choice)
    assert len(set(fabrics)) == 1
    # The whole border again: no side keeps a name of before.
    choice, fabrics = after({"border 1": "sateen"}, choice)
    assert fabrics == ["sateen"] * 4
    _, fabrics = after({"border 1": ""}, choice)
    assert fabrics == ["border"] * 4


def replace_tape(**more):
    return Tape(width="80 in", height="80 in", block="8 in", sashing="3 in", columns=7, rows=7, **more)
