"""What stands where in a draft, changed block by block or all of a kind, as a page asks for it."""

from __future__ import annotations

from dataclasses import replace

import pytest

from seamlore.draft.catalogue import find
from seamlore.draft.cells import with_cells
from seamlore.draft.kinds import Cell, Kind, Turned
from seamlore.draft.layout import lay
from seamlore.draft.quilt import Quilt
from seamlore.draft.repeated import repeated
from seamlore.draft.setting.setting import OnPoint
from seamlore.draft.text.quilt_file import write_quilt
from seamlore.errors import SeamloreError, ShapeError
from seamlore.lengths import inches
from seamlore.steps.edit.cells import change_cells
from seamlore.steps.edit.keep import kept
from seamlore.steps.study.inputs import Inputs
from seamlore.steps.study.job import Job
from seamlore.steps.study.sections import Choice

# One light corner square and no symmetry: how it lies is always seen.
LOPSIDED = "birds in the air"


def job_of(quilt: Quilt, **said) -> Job:
    return Job(Inputs(choice=Choice(draft=write_quilt(quilt, find_block=find), **said)))


@pytest.fixture
def job():
    return job_of(repeated("Unnamed quilt", find(LOPSIDED), inches(9), inches(9), 3, 4))


def after(job: Job, done: str, *cells: str, **said: str) -> Job:
    """The job once a page has asked for a change."""
    edited = change_cells(job, cells, done, said)
    assert not edited.slips
    return Job(replace(job.inputs, choice=edited.choice))


def patches_of(quilt: Quilt, row: int, column: int, *, flipped: bool = False) -> dict[tuple, str]:
    """The patches of one block as they lie in the quilt, or mirrored left to right there: corners and letter."""
    laid = [piece for piece in lay(quilt) if (piece.row, piece.column) == (row, column)]
    across = [x for piece in laid for x in piece.outline[:, 0]]
    middle, way = (min(across) + max(across), -1) if flipped else (0, 1)
    return {
        tuple(sorted((round(middle + way * x, 2) + 0.0, round(y, 2) + 0.0) for x, y in piece.outline)): piece.key
        for piece in laid
    }


def test_a_block_is_turned_four_times_and_lies_as_before(job):
    lies = []
    for _ in range(4):
        job = after(job, "turn", "1,2")
        lies.append(job.quilt.cells[1][2].lies.turn)
    assert lies == [90, 180, 270, 0]
    assert {cell.lies for row in job.quilt.cells for cell in row} == {Turned()}


@pytest.mark.parametrize("turns", range(4))
@pytest.mark.parametrize("setting", ["straight", "on point"])
def test_a_block_is_mirrored_as_it_is_seen(job, turns, setting):
    if setting == "on point":
        job = job_of(repeated("Unnamed quilt", find(LOPSIDED), inches(9), inches(9), 3, 4, setting=OnPoint()))
    for _ in range(turns):
        job = after(job, "turn", "1,1")
    wanted = patches_of(job.quilt, 1, 1, flipped=True)
    mirrored = after(job, "mirror", "1,1")
    assert patches_of(mirrored.quilt, 1, 1) == wanted
    assert after(mirrored, "mirror", "1,1").quilt == job.quilt


def test_all_of_a_kind_are_changed_at_once_and_nothing_else(job):
    two = after(job, "new", "0,0", "2,3", name="pinwheel")
    name = two.quilt.kinds[1].name
    turned = after(two, "turn", of=name)
    assert [at for at in turned.quilt.spots if turned.quilt.cells[at[0]][at[1]].lies != Turned()] in (
        [(0, 0), (2, 3)],
        [],
    )
    emptied = after(two, "open", of=name)
    assert emptied.quilt.not_read == ((0, 0), (2, 3))
    assert len(emptied.quilt.kinds) == 1


def test_blocks_left_open_are_filled_again(job):
    opened = after(job, "open", "0,0", "1,1")
    filled = after(opened, "kind", of="?", put=opened.quilt.kinds[0].name)
    assert filled.quilt == job.quilt


def test_a_plain_square_and_a_block_of_the_catalogue_begin_kinds_and_the_same_again_is_the_same_kind(job):
    one = after(job, "new", "0,0", name="Plain dark")
    plain = one.quilt.kinds[1]
    assert [place.value for place in plain.block.places.values()] == ["dark"]
    two = after(one, "new", "0,1", name="shoo fly")
    assert [kind.block.name for kind in two.quilt.kinds][2] == "Shoo Fly"
    three = after(two, "new", "0,2", name="plain dark")
    assert three.quilt.counts == {job.quilt.kinds[0].name: 9, plain.name: 2, two.quilt.kinds[2].name: 1}


def test_a_copy_keeps_how_its_blocks_lie_and_their_own_fabrics(job):
    turned = after(after(job, "turn", "1,1"), "fabric", "1,1", letter="A", fabric="mourning print")
    copied = after(turned, "copy", "1,1", "1,2")
    new = copied.quilt.kinds[1]
    assert new.block.name == f"{turned.quilt.kinds[0].block.name} 2"
    assert copied.quilt.cells[1][1] == replace(turned.quilt.cells[1][1], kind=new.name)
    assert copied.quilt.cells[1][2].kind == new.name
    assert copied.quilt.counts[new.name] == 2


def test_a_fabric_of_a_block_is_its_own_and_one_of_all_blocks_is_the_kinds(job):
    one = after(job, "fabric", "0,0", letter="A", fabric="madder  stripe")
    assert one.quilt.cells[0][0].fabrics == {"A": "madder stripe"}
    assert after(one, "fabric", "0,0", letter="A", fabric="").quilt == job.quilt
    name = job.quilt.kinds[0].name
    every = after(job, "fabric", of=name, letter="A", fabric="indigo")
    assert every.quilt.kinds[0].fabrics["A"] == "indigo"
    assert not any(cell.fabrics for row in every.quilt.cells for cell in row)


def test_colors_and_names_follow_their_places_when_another_kind_comes_and_goes(job):
    said = job_of(job.quilt, cloths={"A": "#112233", "sashing": "#445566"})
    two = after(said, "new", "0,0", name="pinwheel")
    first, second = two.quilt.kinds
    assert two.inputs.choice.cloths == {f"{first.name} A": "#112233", "sashing": "#445566"}
    gone = after(two, "kind", of=second.name, put=first.name)
    assert gone.inputs.choice.cloths == {"A": "#112233", "sashing": "#445566"}


@pytest.mark.parametrize(
    ("done", "cells", "said", "why"),
    [
        ("turn", [], {}, "none is marked"),
        ("turn", ["9,9"], {}, "none there"),
        ("turn", ["a,1"], {}, "none there"),
        ("turn", [], {"of": "Q"}, "none is marked"),
        ("kind", ["0,0"], {"put": "Q"}, "Q"),
        ("new", ["0,0"], {"name": "no such block"}, "no such block"),
        ("fabric", ["0,0"], {"letter": "Z", "fabric": "red"}, "no such place"),
        ("fabric", ["0,0"], {"letter": "A", "fabric": "#8 red"}, "without #"),
        ("fold", ["0,0"], {}, "nothing that is known"),
    ],
)
def test_what_cannot_be_done_is_refused_in_a_line(job, done, cells, said, why):
    with pytest.raises(SeamloreError, match=why) as refused:
        change_cells(job, cells, done, said)
    assert "\n" not in str(refused.value)


def test_a_copy_of_what_was_not_read_is_refused(job):
    with pytest.raises(ShapeError, match="row 1, column 1"):
        change_cells(after(job, "open", "0,0"), ["0,0"], "copy", {})


def test_a_draft_of_kinds_is_kept_whole_and_comes_back_the_same(job):
    fly = Kind("SF", find("shoo fly"))
    made = with_cells(job.quilt, {(0, 0): Cell("SF", Turned(90), {"A": "rust"})}, [fly])
    assert Job(Inputs(choice=kept(job, made))).quilt == replace(made, name=job.inputs.about.name)
