"""From as found to as drafted."""

from collections import Counter

import pytest

from seamlore.draft.kinds import Turned
from seamlore.draft.setting.setting import STRAIGHT, OnPoint
from seamlore.draft.text.notation import read_block
from seamlore.errors import MeasureError
from seamlore.lengths import inches
from seamlore.photo.reading import BlockAt, Edge, Reading, SeenBlock, SeenKind, SeenPatch, Uncertainty, one_kind
from seamlore.study.adjustment import adjust
from seamlore.study.causes import Kind
from seamlore.study.drafting import as_drafted
from seamlore.study.measured import What, taken
from seamlore.study.measurements import measurements
from seamlore.study.seen_cells import drafted_cells

# Neither a turn nor a mirror image leaves it as it is.
CROOKED = read_block("block Crooked\nA light\nB dark\nC medium\n\nA B\nC A/B")


def reading(block=CROOKED, blocks=(), **changes):
    seen = SeenBlock(
        divisions=block.divisions,
        patches=tuple(
            SeenPatch(
                outline=tuple((float(x), float(y)) for x, y in each.outline),
                place=each.place,
                value=block.places[each.place].value,
            )
            for each in block.patches
        ),
    )
    fields = {
        "photo_size": (3000, 4000),
        "corners": ((0, 0), (2999, 0), (2999, 3999), (0, 3999)),
        "corners_from": "given",
        "unit": "in",
        "size": (70.5, 82.75),
        "setting": "straight",
        "rows": 8,
        "columns": 7,
        "block_size": (8.02, 7.97),
        "sashing": (2.97, 3.02),
        "edge": Edge(left=-1.7, top=-1.1, right=-1.8, bottom=-1.2),
        "uncertainty": Uncertainty(block_size=(0.05, 0.05), sashing=(0.05, 0.05), edge=0.12),
        "block": seen,
    }
    fields |= changes
    told = {(each.row, each.column): each for each in blocks}
    whole = [
        told.get((row, column), BlockAt(row=row, column=column))
        for row in range(fields["rows"])
        for column in range(fields["columns"])
    ]
    if "kinds" in changes:
        return Reading(**fields, blocks=tuple(blocks))
    fields["kinds"], fields["blocks"] = one_kind(seen, whole, 0.9)
    return Reading(**fields)


def found(seen=None, **changes):
    tape = [
        taken(What.OVERALL, inches("70.5"), "across"),
        taken(What.OVERALL, inches("82.75"), "down"),
        taken(What.BLOCK, inches(8)),
        taken(What.SASHING, inches(3)),
    ]
    return adjust(measurements(tape, reading=seen, **{"columns": 7, "rows": 8, **changes}))


def test_a_cut_quilt_is_drafted_uncropped():
    seen = reading()
    drafted = as_drafted(found(seen), reading=seen)
    assert drafted.quilt.finished_size == (inches(74), inches(85))
    assert drafted.quilt.cut is None
    (kind,) = drafted.quilt.kinds
    assert kind.block.places == CROOKED.places
    assert drafted.quilt.counts == {kind.name: 56}


def test_the_quilt_as_found_is_cut_to_what_the_tape_says():
    drafted = as_drafted(found(), block_drawn=CROOKED)
    assert drafted.as_found.finished_size == (inches("70.5"), inches("82.75"))


def test_each_size_is_listed_with_its_reason():
    drafted = as_drafted(found(), block_drawn=CROOKED)
    assert [each.what for each in drafted.snaps] == [
        "block width",
        "block height",
        "sashing between columns",
        "sashing between rows",
    ]
    assert str(drafted.snaps[0]).startswith("block width: found 8 in ± ")
    assert all(each.reason for each in drafted.snaps)


def test_the_chosen_explanation_decides():
    width_only = [each for each in found().measured.lengths if each.along != "down"]
    m = adjust(measurements(width_only, columns=7, rows=8))
    other = next(each for each in m.explanations if [cause.kind for cause in each.causes] == [Kind.UNFINISHED])
    assert as_drafted(m, explanation=other, block_drawn=CROOKED).quilt.block_width == inches("7.5")


def test_the_users_word_overrules():
    told = {"block": inches("7.75"), "sashing between rows": inches(2), "border": inches(4)}
    quilt = as_drafted(found(), block_drawn=CROOKED, told=told).quilt
    assert (quilt.block_width, quilt.block_height) == (inches("7.75"), inches("7.75"))
    assert quilt.gaps == (inches(3), inches(2))
    assert quilt.borders[0].widths == (inches(4),)


def test_a_word_for_something_unknown_is_refused():
    with pytest.raises(MeasureError, match='a size for "binding": sizes are told for block'):
        as_drafted(found(), block_drawn=CROOKED, told={"binding": inches(1)})


def test_no_block_at_all_is_refused():
    with pytest.raises(MeasureError, match="name one, draw one, or give a photograph"):
        as_drafted(found())


@pytest.mark.parametrize("turn", [0, 90, 180, 270])
@pytest.mark.parametrize("mirrored", [False, True])
def test_turned_blocks_lie_in_the_draft_as_on_the_photograph(turn, mirrored):
    # The block drawn is the block seen, turned and mirrored: what lies on the quilt must stay the same.
    drawn = CROOKED.moved(turn, mirrored=mirrored)
    for at in [BlockAt(row=2, column=3, turn=90), BlockAt(row=2, column=3, turn=180, mirrored=True)]:
        seen = reading(blocks=(at, BlockAt(row=0, column=0)))
        quilt = as_drafted(found(seen), reading=seen, block_drawn=drawn).quilt
        for spot, truth in [((2, 3), at), ((0, 0), BlockAt(row=0, column=0))]:
            lies = quilt.turned.get(spot, Turned())
            expected = CROOKED.moved(truth.turn, mirrored=truth.mirrored)
            assert drawn.moved(lies.turn, mirrored=lies.mirrored).patches == expected.patches


def test_a_block_that_is_not_the_one_seen_is_said():
    four = read_block("block Four Patch\nA dark\nB light\n\nA B\nB A")
    seen = reading(blocks=(BlockAt(row=0, column=0, turn=90),))
    assert any(
        "not the block on the photograph" in note
        for note in as_drafted(found(seen), reading=seen, block_drawn=four).notes
    )


def test_a_reading_of_another_number_of_blocks_leaves_turns_out_and_says_so():
    seen = reading(blocks=(BlockAt(row=0, column=0, turn=90),), rows=7)
    drafted = as_drafted(found(), reading=seen)
    assert not drafted.quilt.turned
    assert any("Turned blocks are left out" in note for note in drafted.notes)


def test_blocks_that_were_not_read_are_not_drafted_as_if_they_were():
    seen = reading(blocks=(BlockAt(row=0, column=0, differs=True), BlockAt(row=2, column=3, differs=True)))
    drafted = as_drafted(found(seen), reading=seen)
    assert drafted.quilt.not_read == ((0, 0), (2, 3))
    assert sum(drafted.quilt.counts.values()) == 54
    assert any(note.startswith("2 of 56 blocks are not read") for note in drafted.notes)
    # A block named instead of the one seen says nothing of those that differ from it.
    named = as_drafted(found(seen), reading=seen, block_drawn=CROOKED)
    assert named.quilt.not_read == ((0, 0), (2, 3))


def kinds_of(*blocks):
    return tuple(
        SeenKind(
            divisions=block.divisions,
            patches=tuple(
                SeenPatch(
                    outline=tuple((float(x), float(y)) for x, y in each.outline),
                    place=each.place,
                    value=block.places[each.place].value,
                )
                for each in block.patches
            ),
            count=1,
            confidence=0.9,
            name=name,
        )
        for block, name in blocks
    )


HALF = read_block("block Half\nA light\nB dark\n\nA/B")
PLAIN = read_block("block Plain\nA medium\n\nA")


def test_every_kind_that_was_read_stands_where_it_was_seen_as_it_lies():
    blocks = [
        BlockAt(row=row, column=column, kind=(row + column) % 2, turn=90 if (row + column) % 2 else 0)
        for row in range(8)
        for column in range(7)
    ]
    blocks[5] = BlockAt(row=0, column=5)
    seen = reading(kinds=kinds_of((PLAIN, None), (HALF, "Half")), blocks=tuple(blocks))
    drafted = as_drafted(found(seen), reading=seen)
    quilt = drafted.quilt
    assert [kind.block.name for kind in quilt.kinds] == ["plain", "Half"]
    assert [note for note in drafted.notes if "not read" in note] == ["1 of 56 blocks is not read: row 1, column 6."]
    assert dict(quilt.counts) == {quilt.kinds[0].name: 28, quilt.kinds[1].name: 27}
    assert quilt.not_read == ((0, 5),)
    assert set(quilt.turned.values()) == {Turned(90)}


def test_on_point_the_rows_between_take_the_blocks_seen_between():
    whole = tuple(BlockAt(row=row, column=column, kind=1) for row in range(8) for column in range(7))
    between = tuple(
        BlockAt(row=row, column=column, kind=0 if column else None) for row in range(7) for column in range(6)
    )
    changes = {"setting": "on point", "sashing": (0.0, 0.0), "kinds": kinds_of((PLAIN, None), (HALF, None))}
    seen = reading(**changes, blocks=whole, between=between)
    notes = []
    kinds, cells = drafted_cells(OnPoint(), 8, 7, seen, None, notes)
    counts = Counter(cell.kind for row in cells for cell in row)
    assert (len(cells), counts[kinds[0].name], counts[kinds[1].name], counts[""]) == (15, 35, 56, 7)
    assert [cell.read for cell in cells[1]] == [False] + [True] * 5
    # Blocks between that were not looked at are not known.
    unseen = drafted_cells(OnPoint(), 8, 7, reading(**changes, blocks=whole), None, [])[1]
    assert sum(not cell.read for row in unseen for cell in row) == 42


def test_kinds_of_another_number_of_blocks_are_left_out():
    blocks = tuple(BlockAt(row=row, column=column, kind=column % 2) for row in range(8) for column in range(7))
    seen = reading(kinds=kinds_of((PLAIN, None), (HALF, None)), blocks=blocks)
    notes = []
    _, cells = drafted_cells(STRAIGHT, 8, 8, seen, None, notes)
    assert not any(cell.read for row in cells for cell in row)
    assert notes[0].startswith("Which block stands where is left out")


def test_a_border_on_the_photograph_is_drafted():
    seen = reading(size=(82.0, 93.0), edge=Edge(left=4.02, top=3.98, right=4.0, bottom=4.05))
    tape = [
        taken(What.OVERALL, inches(82), "across"),
        taken(What.OVERALL, inches(93), "down"),
        taken(What.BLOCK, inches(8)),
        taken(What.SASHING, inches(3)),
    ]
    whole = adjust(measurements(tape, columns=7, rows=8, reading=seen))
    assert whole.comes_out
    assert as_drafted(whole, reading=seen).quilt.borders[0].widths == (inches(4),)
