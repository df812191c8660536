"""The same quilt with other sizes."""

import pytest

from seamlore.draft.border import Pieced, border
from seamlore.draft.quilt import Sashing
from seamlore.draft.repeated import repeated
from seamlore.draft.setting.setting import Strips
from seamlore.draft.sizes.variants import variants, with_sizes
from seamlore.draft.text.notation import read_block
from seamlore.errors import LengthError, UnknownNameError
from seamlore.lengths import inches

HALF = read_block("block Half\nA dark\nB light\n\nA/B")
QUILT = repeated(
    "q", HALF, inches("8.97"), inches("9.04"), 2, 3, Sashing(inches("1.9"), inches("2.1"), outer=True),
    (border(inches("3.9")), border(inches(1))),
)  # fmt: skip


def test_snapped_sizes_are_taken_over_exactly_and_nothing_else_changes():
    made = with_sizes(QUILT, {"block": inches(9), "sashing": inches(2), "border 1": inches(4)})
    assert made == repeated(
        "q", HALF, inches(9), inches(9), 2, 3, Sashing(inches(2), inches(2), outer=True),
        (border(inches(4)), border(inches(1))),
    )  # fmt: skip


def test_width_and_height_may_differ():
    made = with_sizes(QUILT, {"block height": inches(10), "sashing between rows": inches(3), "border": inches(2)})
    assert (made.block_width, made.block_height) == (inches("8.97"), inches(10))
    assert made.gaps == (inches("1.9"), inches(3))
    assert [each.widths for each in made.borders] == [(inches(2),), (inches(2),)]


def test_strips_have_a_width_too():
    made = with_sizes(
        repeated("q", HALF, inches(8), inches(8), 2, 3, setting=Strips(inches(4))), {"strip": inches(5)}
    )
    assert made.setting == Strips(inches(5))


@pytest.mark.parametrize("name", ["strip", "border 3", "blok"])
def test_a_part_that_is_not_there_is_refused(name):
    with pytest.raises(UnknownNameError, match=f'a size of "{name}"'):
        with_sizes(QUILT, {name: inches(2)})


def test_every_combination_is_tried_and_what_cannot_be_sewn_says_why():
    pieced = border(inches(3), corners="squares", pieced=Pieced("Ha", inches(3)))
    quilt = repeated("q", HALF, inches(9), inches(9), 2, 3, borders=(pieced,))
    found = variants(quilt, {"block": [inches(9), inches(10)], "border": [inches(3), inches(4)]})
    assert [each.label for each in found] == [
        "block 9 in, border 3 in", "block 9 in, border 4 in", "block 10 in, border 3 in", "block 10 in, border 4 in",
    ]  # fmt: skip
    assert [each.quilt is None for each in found] == [False, False, True, True]
    assert "units of 3 in along 20 in" in found[2].why_not


def test_more_variants_than_a_page_holds_are_refused():
    with pytest.raises(LengthError, match="100 variants"):
        variants(QUILT, {name: [inches(number) for number in range(1, 11)] for name in ("block", "sashing")})
