"""Edits followed to the draft that is made from them: borders by their fields, second kinds, what is asked for next."""

from __future__ import annotations

from dataclasses import replace

import pytest

from seamlore.draft.border import border
from seamlore.draft.catalogue import all_blocks, find
from seamlore.draft.cells import with_cells
from seamlore.draft.kinds import Cell, Kind, plain_block
from seamlore.draft.repeated import repeated
from seamlore.draft.text.quilt_file import write_quilt
from seamlore.errors import UnknownNameError
from seamlore.lengths import inches
from seamlore.steps.edit import draft as edits
from seamlore.steps.edit.cells import change_cells
from seamlore.steps.edit.keep import kept, renamed
from seamlore.steps.edit.making import remade
from seamlore.steps.edit.measure import measured_next
from seamlore.steps.edit.recolor import revalued, values
from seamlore.steps.edit.redraft import changed, fields_of, resized
from seamlore.steps.study.inputs import Inputs
from seamlore.steps.study.job import Job
from seamlore.steps.study.sections import About, Choice, Making
from seamlore.steps.study.tape import Tape

TAPE = Tape(width="74 in", height="74 in", block="8 in", sashing="3 in", columns=7, rows=7)
PLAIN_QUILT = repeated("q", find("shoo fly"), inches(9), inches(9), 4, 3)


def refielded(quilt, **fields):
    new, slips = changed(quilt, {**fields_of(quilt), **fields})
    assert slips == {}
    return new


def widths(quilt):
    return [tuple(str(side.width) for side in each.sides) for each in quilt.borders]


def test_one_width_is_that_of_all_four_sides():
    made = refielded(PLAIN_QUILT, border="4 in")
    # 3 x 9 + 2 x 4 = 35 and 4 x 9 + 2 x 4 = 44.
    assert widths(made) == [("4 in",) * 4]
    assert made.finished_size == (inches(35), inches(44))
    assert [made.borders[0].top.fabric, made.borders[0].corners] == ["border", "butted"]
    assert fields_of(made)["border"] == "4 in"
    assert refielded(made, border="").borders == ()


def test_borders_of_four_widths_stay_so_while_their_field_is_left_alone():
    four = border(inches(4), top=inches(1), right=inches(2), bottom=inches(3), left=inches(4))
    quilt = replace(PLAIN_QUILT, borders=(four,))
    assert fields_of(quilt)["border"] == ""
    assert refielded(quilt, rows="5").borders == (four,)
    assert widths(refielded(quilt, border="6 in")) == [("6 in",) * 4]
    assert refielded(quilt, border="0").borders == ()
    mitered = replace(PLAIN_QUILT, borders=(replace(border(inches(2)), corners="mitered"),))
    assert refielded(mitered, border="3 in").borders[0].corners == "mitered"
    # Others round it stay.
    three = replace(PLAIN_QUILT, borders=tuple(border(inches(wide), f"border {wide}") for wide in (1, 2, 3)))
    assert widths(refielded(three, border="5 in")) == [("5 in",) * 4, ("2 in",) * 4, ("3 in",) * 4]


def test_a_size_of_a_border_that_was_not_there_puts_it_round_and_nothing_takes_it_away():
    made = resized(PLAIN_QUILT, "border", inches(3))
    assert widths(made) == [("3 in",) * 4]
    assert resized(made, "border", inches(0)).borders == ()
    assert widths(resized(made, "border", inches(4))) == [("4 in",) * 4]


# Two kinds: what is asked of the second is done to it, and what is kept names blocks of the catalogue without drawing them.


@pytest.fixture
def two():
    plain = Kind("P", plain_block())
    quilt = with_cells(PLAIN_QUILT, {(0, 1): Cell("P"), (2, 2): Cell("P")}, [plain])
    return Job(Inputs(about=About(name="q"), choice=Choice(draft=write_quilt(quilt, find_block=find))))


def after(job, edited):
    assert not edited.slips
    return Job(replace(job.inputs, choice=edited.choice))


def called(job):
    return {kind.name: kind.block.name for kind in job.quilt.kinds}


def test_a_block_is_put_in_the_place_of_the_kind_that_is_named(two):
    new = after(two, edits.put_block(two, "pinwheel", kind="P"))
    assert sorted(called(new).values()) == ["Pinwheel", "Shoo Fly"]
    assert new.quilt.counts[next(name for name, block in called(new).items() if block == "Pinwheel")] == 2
    commonest = after(two, edits.put_block(two, "pinwheel"))
    assert sorted(called(commonest).values()) == ["Pinwheel", "plain"]
    assert "\npatch" not in new.inputs.choice.draft
    assert "block Pinwheel" not in new.inputs.choice.draft


def test_a_patch_of_the_kind_that_is_named_gets_another_place(two):
    new = after(two, edits.give_place(two, 0, "B", kind="P"))
    blocks = {kind.block.name: kind.block for kind in new.quilt.kinds}
    assert "Shoo Fly" in blocks
    assert [patch.place for name, block in blocks.items() if name != "Shoo Fly" for patch in block.patches] == ["B"]


@pytest.mark.parametrize(
    ("fields", "blocks"),
    [
        ({"name": "pinwheel", "put": "P"}, {"Shoo Fly": 9, "plain": 2, "Pinwheel": 1}),
        ({"put": "P"}, {"Shoo Fly": 9, "plain": 3}),
    ],
)
def test_what_was_typed_goes_before_what_was_chosen(two, fields, blocks):
    new = after(two, change_cells(two, ["3,0"], "typed", fields))
    assert {called(new)[kind]: count for kind, count in new.quilt.counts.items()} == blocks


def test_a_fabric_that_was_typed_is_given_to_the_marked_block(two):
    new = after(two, change_cells(two, ["3,0"], "typed", {"letter": "A", "fabric": "madder", "put": "P"}))
    assert dict(new.quilt.cells[3][0].fabrics) == {"A": "madder"}
    assert called(new) == called(two)


def test_colors_and_names_follow_a_letter_when_a_second_kind_comes_and_goes():
    job = Job(Inputs(tape=TAPE, choice=Choice(block="shoo fly", cloths={"A": "#123456"}, fabrics={"B": "indigo"})))
    sign = job.quilt.kinds[0].name
    more = with_cells(job.quilt, {(0, 0): Cell("P")}, [Kind("P", plain_block())])
    with_two = kept(job, more)
    assert with_two.cloths == {f"{sign} A": "#123456"}
    assert with_two.fabrics == {f"{sign} B": "indigo"}
    again = Job(replace(job.inputs, choice=with_two))
    alone = with_cells(again.quilt, {(0, 0): Cell(sign)})
    back = kept(again, alone)
    assert (back.cloths, back.fabrics) == ({"A": "#123456"}, {"B": "indigo"})


def test_a_border_of_another_width_is_kept_as_a_size():
    job = Job(Inputs(tape=TAPE, choice=Choice(block="shoo fly")))
    made = kept(job, replace(job.quilt, borders=(border(inches(4)),)))
    assert made.sizes == {"border": "4 in"}
    assert made.draft is None
    assert Job(replace(job.inputs, choice=made)).quilt.finished_size == (inches(82), inches(82))
    assert kept(job, job.quilt).sizes == {}


def test_a_block_drawn_as_the_catalogue_draws_it_takes_all_that_the_catalogue_says_of_it():
    entry = next(each for each in all_blocks() if each.family and each.notes and each.also)
    drawn = replace(entry, name="Own block", also=(), family="", notes=())
    found = renamed(drawn)
    assert (found.name, found.also, found.family, found.notes) == (entry.name, entry.also, entry.family, entry.notes)


def test_a_block_takes_the_values_that_are_told_and_exchanges_light_and_dark_only_when_asked():
    four = find("four patch")
    assert {key: place.value for key, place in revalued(four, {"A": "medium"}).places.items()} == {
        "A": "medium",
        "B": "dark",
    }
    negative = revalued(four, {"A": "dark", "sashing": "light"}, negative=True)
    assert {key: place.value for key, place in negative.places.items()} == {"A": "light", "B": "light"}
    with pytest.raises(UnknownNameError, match="--value: "):
        values(four, ["Q=dark"])


# What to measure next: 84 x 85 by tape, 74 x 85 by the sums, so a border at the sides or a column more.


def next_of(**tape):
    return Job(Inputs(tape=Tape(**{"block": "8 in", "sashing": "3 in", "columns": 7, "rows": 8, **tape})))


@pytest.mark.parametrize(("typed", "kept_as"), [("None", "0"), ("none ", "0"), ("5", "5 in"), ("12 cm", "12 cm")])
def test_a_border_that_was_asked_for_goes_into_its_field(typed, kept_as):
    job = next_of(width="84 in", height="85 in")
    assert job.next_measure.measure.name == "the border at the left"
    tape, slips = measured_next(job, typed)
    assert not slips
    assert tape.border_left in (kept_as, f"{kept_as} in")
    assert tape.more == ()


def test_a_span_that_was_asked_for_is_kept_with_what_it_goes_over():
    job = next_of(width="70 1/2 in", height="", rows=None)
    tape, slips = measured_next(job, "44")
    assert not slips
    (line,) = tape.more
    assert (line.what, line.along, line.value, line.blocks, line.sashings) == ("span", "across", "44 in", 4, 4)
    settled = Job(Inputs(tape=tape))
    assert [cause.kind.name for cause in settled.adjustment.explanations[0].causes] == ["CUT"]


def test_what_is_not_typed_of_the_making_stays_and_what_is_emptied_follows_custom():
    job = Job(Inputs(making=Making(fabric_width="44 in", binding="bias")))
    made, slips = remade(job, {"fabric_width": "44 in"})
    assert (made.fabric_width, made.binding, made.seam_allowance, slips) == ("44 in", "bias", "", {})
    assert remade(job, {})[0].fabric_width == ""
