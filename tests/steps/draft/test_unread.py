"""Blocks that were not read: those alike stand together, and the likeliest drawings are offered to be shown with one tap."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace

import msgspec
import numpy as np
import pytest

from seamlore.draft.catalogue import find
from seamlore.draft.cells import with_cells
from seamlore.draft.exact.lookup import move_spots
from seamlore.draft.kinds import NOT_READ, Turned
from seamlore.draft.text.quilt_file import write_quilt
from seamlore.errors import ShapeError
from seamlore.steps.demo import demo_inputs
from seamlore.steps.draft.offered import MOST, offers, shown_as, shown_by_hand, shown_words
from seamlore.steps.draft.partings import labels_of, same_parting
from seamlore.steps.draft.put_together import units
from seamlore.steps.draft.unread import group_at, open_draft, unread_groups
from seamlore.steps.edit.cells import show_unread
from seamlore.steps.study.inputs import Inputs
from seamlore.steps.study.job import Job
from seamlore.steps.study.memo import Memo
from seamlore.steps.study.sections import Choice
from seamlore.steps.study.tape import Tape
from tests.once import MEMO

GONE = [(0, 0), (0, 1), (2, 3), (5, 6), (7, 0)]


def job_of(**given):
    return Job(
        Inputs(photo=demo_inputs().photo, tape=Tape(width="74 1/2 in", height="89 1/2 in"), **given), memo=MEMO
    )


def unread(cells):
    """The demo, as if some of its blocks had not been read; all of them when None."""
    job = job_of()
    look = job.look
    blocks = tuple(
        msgspec.structs.replace(each, kind=None, differs=True)
        if cells is None or (each.row, each.column) in cells
        else each
        for each in look.reading.blocks
    )
    given = {"kinds": None, "block": None, "fabrics": None} if cells is None else {}
    memo = Memo()
    memo.get(
        job.read_key, lambda: replace(look, reading=msgspec.structs.replace(look.reading, blocks=blocks, **given))
    )
    return Job(job.inputs, memo=memo)


@pytest.fixture(scope="module")
def some():
    return unread(GONE)


@pytest.fixture(scope="module")
def nothing():
    return unread(None)


def test_where_all_are_read_nothing_is_asked():
    assert unread_groups(job_of()) == ()
    assert shown_by_hand(job_of()) == frozenset()
    assert shown_words(job_of()) == ""


def test_blocks_that_look_alike_stand_together(some):
    groups = unread_groups(some)
    assert sorted(at for group in groups for at in group.cells) == GONE
    assert len(groups[0].cells) >= 3


def test_the_block_of_the_demo_is_among_the_six_offered(some):
    # Drawn by this project: the demo is of Birds in the Air.
    true = job_of().quilt.kinds[0].block
    given = offers(some, unread_groups(some)[0])
    # One piece of cloth can always be said.
    assert "plain" in {each.key for each in given}
    assert len(given) <= MOST
    assert len({each.key for each in given}) == len(given)
    assert true.name in {each.block.name for each in given} or any(
        same_parting(labels_of(true.moved(turn, mirrored=mirrored)), labels_of(each.block))
        for each in given
        for turn in (0, 90, 180, 270)
        for mirrored in (False, True)
    )


def test_one_tap_puts_a_drawing_into_all_that_look_alike_as_each_lies(some):
    group = unread_groups(some)[0]
    offer = offers(some, group)[0]
    made = shown_as(some, group.first, offer.key, alone=False)
    cells = {at: made.cells[at[0]][at[1]] for at in group.cells}
    assert len({cell.kind for cell in cells.values()}) == 1
    assert made.kind(cells[group.first].kind).block.patches == offer.block.patches
    assert {at: cell.lies for at, cell in cells.items()} == dict(group.cells)
    assert len(made.not_read) == len(GONE) - len(group.cells)
    # What was read stays as it was.
    old = some.quilt
    assert all(made.cells[r][c].lies == old.cells[r][c].lies for r, c in old.spots if (r, c) not in GONE)


def test_alone_it_goes_into_that_block_only(some):
    group = unread_groups(some)[0]
    offer = offers(some, group)[-1]
    made = shown_as(some, group.first, offer.key, alone=True)
    assert len(made.not_read) == len(GONE) - 1
    assert made.cells[group.first[0]][group.first[1]].read


def test_when_the_first_is_shown_alone_the_others_are_told_by_the_next(some):
    group = unread_groups(some)[0]
    done = show_unread(
        some,
        "{},{}".format(*group.first),
        "plain" if "plain" in {each.key for each in offers(some, group)} else offers(some, group)[0].key,
        alone=True,
    )
    now = Job(replace(some.inputs, choice=done.choice), memo=some.memo)
    rest = next(each for each in unread_groups(now) if set(each.cells) <= set(group.cells))
    assert set(rest.cells) == set(group.cells) - {group.first}
    assert rest.cells[rest.first] == Turned()
    # They lie against each other as before.
    one, two = list(rest.cells)[:2]
    lay = {at: find("birds in the air").moved(way.turn, mirrored=way.mirrored) for at, way in group.cells.items()}
    again = {at: lay[one].moved(way.turn, mirrored=way.mirrored) for at, way in rest.cells.items()}
    assert {each.outline for each in again[two].patches} == {each.outline for each in lay[two].patches}
    seams, before = (set(map(len, each.seen.outlines)) for each in (rest, group))
    assert seams == before


def test_blocks_read_but_not_drafted_stand_together_by_kind():
    job = job_of()
    some_open = dict.fromkeys(((3, 3), (4, 4), (6, 2)), NOT_READ)
    text = write_quilt(with_cells(job.quilt, some_open), find_block=find)
    opened = Job(replace(job.inputs, choice=Choice(draft=text)), memo=MEMO)
    (group,) = unread_groups(opened)
    assert sorted(group.cells) == sorted(some_open)
    made = shown_as(opened, group.first, offers(opened, group)[0].key, alone=False)
    assert made.not_read == ()


def test_what_she_showed_is_marked_and_the_rest_asked_again(some):
    group = unread_groups(some)[0]
    done = show_unread(some, "{},{}".format(*group.first), offers(some, group)[0].key)
    assert done.says.startswith(f"showed that {len(group.cells)} blocks are")
    now = Job(replace(some.inputs, choice=done.choice), memo=some.memo)
    assert shown_by_hand(now) == set(group.cells)
    assert shown_words(now) == (
        f"{len(group.cells)} of 56 blocks were not read from the photograph: they are drawn as you showed them."
    )
    assert sorted(at for each in unread_groups(now) for at in each.cells) == sorted(set(GONE) - set(group.cells))


def test_where_nothing_was_read_the_rows_stand_open_and_the_first_tap_begins_the_draft(nothing):
    with pytest.raises(Exception, match="none of those on the photograph was read"):
        nothing.quilt  # noqa: B018 - refused
    quilt = open_draft(nothing)
    assert (quilt.rows, quilt.columns, len(quilt.not_read), quilt.kinds) == (8, 7, 56, ())
    groups = unread_groups(nothing)
    assert sum(len(group.cells) for group in groups) == 56
    assert len(groups[0].cells) > 28
    done = show_unread(nothing, "{},{}".format(*groups[0].first), offers(nothing, groups[0])[0].key)
    now = Job(replace(nothing.inputs, choice=done.choice), memo=nothing.memo).quilt
    assert len(now.not_read) == 56 - len(groups[0].cells)


def test_without_sizes_there_is_nothing_to_show_them_in():
    assert open_draft(Job(Inputs())) is None
    assert unread_groups(Job(Inputs())) == ()


def test_what_was_not_offered_or_was_read_is_refused(some):
    first = unread_groups(some)[0].first
    with pytest.raises(ShapeError, match="reload the page"):
        shown_as(some, first, "0 - No Such Block", alone=False)
    with pytest.raises(ShapeError, match="there is none there"):
        group_at(some, (3, 3))
    with pytest.raises(ShapeError, match="there is none there"):
        group_at(some, (99, 0))


def test_units_fill_their_cell_and_each_is_another():
    found = units()
    assert len(found) == 8
    for rings in found.values():
        area = 0.0
        for ring in rings:
            x, y = np.array(ring, dtype=float).T
            area += abs(np.dot(x, np.roll(y, -1)) - np.dot(y, np.roll(x, -1))) / 2
        assert area == pytest.approx(1.0)
    assert Counter(len(rings) for rings in found.values()) == {1: 1, 2: 2, 4: 1, 3: 4}


def test_the_catalogue_is_offered_in_every_way_of_lying():
    spots = np.array([[0.1, 0.2]])
    # A guard of the order in which ways are told: mirrored first, then turned, as cells lie.
    assert move_spots(spots, 90, mirrored=True).tolist() == pytest.approx(np.array([[0.8, 0.9]]))
    assert find("shoo fly").moved(90) is not None
