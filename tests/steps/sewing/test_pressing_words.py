"""Pressing and batches in words."""

from seamlore.draft.catalogue import find
from seamlore.draft.repeated import repeated
from seamlore.lengths import inches
from seamlore.sewing.batches import batches
from seamlore.sewing.top import sewn_top
from seamlore.steps.sewing.batches import batch_words, hours_words
from seamlore.steps.sewing.pressing import _which, block_pressing, top_pressing


def of_block(name, rows, columns):
    return sewn_top(repeated("q", find(name), inches(9), inches(9), rows, columns))


def test_every_other_block_is_pressed_against_the_arrows():
    top = of_block("nine patch", 3, 3)
    (line,) = block_pressing(top.blocks[0], top)
    assert line.startswith("In 4 of the 9 press every seam against the arrows")
    assert line.endswith("every other block, as on a checkerboard.")


def test_single_blocks_are_named():
    top = of_block("nine patch", 1, 3)
    (line,) = block_pressing(top.blocks[0], top)
    assert line.endswith("row 1, column 2.")


def test_blocks_that_look_the_same_are_turned():
    lines = list(top_pressing(of_block("four patch", 4, 4)))
    assert lines == [
        "Give 8 blocks a half turn, which changes nothing that is seen, so that seams nest: every other column, beginning "
        "with the first."
    ]
    # Where every patch may be another scrap, a turn is seen.
    (line,) = top_pressing(of_block("four patch", 4, 4), scrappy=True)
    assert line.startswith("Give 8 blocks a half turn, which moves no seam, only scraps, so that seams nest: ")


def test_many_blocks_that_lie_in_no_order_are_named_row_by_row():
    of = [(row, column) for row in range(4) for column in range(6)]
    some = [(0, 0), (0, 1), (0, 2), (0, 4), *((1, column) for column in range(6)), (3, 2), (3, 3), (3, 5)]
    assert _which(some, of) == ": row 1, columns 1 to 3 and 5; all of row 2; row 4, columns 3, 4 and 6"


def test_what_never_nests_is_counted_in_the_block():
    top = of_block("heart", 1, 1)
    assert list(block_pressing(top.blocks[0], top)) == [
        "At 1 point of it seams do not nest, whichever way they are pressed: pin there, or press open."
    ]


def test_batches_and_hours_are_said():
    top = of_block("shoo fly", 2, 3)
    found = batches(top, inches("1/4"), inches(40))
    units, rows = batch_words(found, ["The block"])
    assert units == "Unit 1: 24 in all, one after the other without cutting the thread."
    assert rows.startswith("Row 1: 6 in all")
    assert "Or from 1 strip set of A2, B2 and A2, cut 3 1/2 in wide" in rows
    assert "no source" in hours_words(found, top)


def test_units_of_which_as_many_are_made_are_told_in_one_line():
    top = of_block("dutchman's puzzle", 1, 1)
    (line,) = batch_words(batches(top, inches("1/4"), inches(40)), ["The block"])
    assert line == "Unit 1 and unit 2: 4 of each, one after the other without cutting the thread."
