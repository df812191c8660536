"""Bed sizes against published ones, and drafts brought near to them."""

import pytest

from seamlore.draft.border import Pieced, border
from seamlore.draft.quilt import Sashing
from seamlore.draft.repeated import repeated
from seamlore.draft.setting.setting import Offset, OnPoint
from seamlore.draft.sizes.bed import MATTRESSES, corner_drop, cover_size, fit_to, mattress
from seamlore.draft.text.notation import read_block
from seamlore.errors import LengthError
from seamlore.lengths import inches, length, show, show_size

HALF = read_block("block Half\nA dark\nB light\n\nA/B")


@pytest.mark.parametrize(
    ("bed", "drop", "size"),
    [
        # trade.md A11: quiltersreview.com and honeybegood.com (queen, 13), ciaspalette.com (twin, 12),
        # teacherscollegesj.org (full and queen, 12).
        ("queen", "13 in", "86 x 93 in"),
        ("twin", "12 in", "63 x 87 in"),
        ("full", "12 in", "78 x 87 in"),
        ("queen", "12 in", "84 x 92 in"),
    ],
)
def test_covers_have_the_published_sizes(bed, drop, size):
    assert show_size(*cover_size(mattress(bed), length(drop))) == size


def test_a_pillow_tuck_is_added_to_the_length():
    # trade.md A11: twin with 12 in of drop and 15 in of tuck is 63 x 102 (computed there).
    assert show_size(*cover_size(mattress("twin"), inches(12), pillow_tuck=inches(15))) == "63 x 102 in"


def test_corners_hang_down_by_the_diagonal():
    # trade.md A1: 12 in at the side are 16.97 in at the corner (amishcountrylanes.com/quilt-size-measurements).
    assert show(corner_drop(inches(12)), mark=inches("1/100")) == "16 97/100 in"


def test_a_drop_of_less_than_nothing_is_refused():
    with pytest.raises(LengthError, match="a drop of less than 0"):
        cover_size(mattress("queen"), -inches(3))


QUILTS = {
    "border": repeated("q", HALF, inches(9), inches(9), 2, 2, borders=(border(inches(3)), border(inches(4)))),
    "no border": repeated("q", HALF, inches(6), inches(6), 2, 2, Sashing(inches(2), inches(2), outer=True)),
    "on point": repeated("q", HALF, inches(6), inches(6), 2, 2, borders=(border(inches(4)),), setting=OnPoint()),
    "offset": repeated("q", HALF, inches(6), inches(6), 2, 2, setting=Offset()),
    "pieced": repeated(
        "q", HALF, inches(9), inches(9), 2, 2, borders=(border(inches(3), corners="squares", pieced=Pieced("Ha", inches(3))),)
    ),
}  # fmt: skip


@pytest.mark.parametrize("quilt", QUILTS.values(), ids=QUILTS.keys())
@pytest.mark.parametrize("bed", MATTRESSES)
def test_a_draft_comes_within_half_a_block_of_any_bed(quilt, bed):
    size = cover_size(mattress(bed), inches(12))
    for fit in fit_to(quilt, size):
        assert fit.quilt.kinds == quilt.kinds
        assert [side + over for side, over in zip(size, fit.over, strict=True)] == list(fit.quilt.finished_size)
    best = fit_to(quilt, size)[0]
    assert max(abs(over) for over in best.over) <= quilt.block_width * 3 / 4


def test_fits_are_ranked_by_what_they_miss():
    fits = fit_to(QUILTS["border"], (inches(86), inches(93)))
    misses = [max(abs(over) for over in fit.over) for fit in fits]
    assert misses == sorted(misses)
    assert len(fits) == 5


def test_the_outer_border_stays_between_its_limits():
    for fit in fit_to(QUILTS["border"], (inches(86), inches(93)), narrowest=inches(5), widest=inches(6)):
        assert inches(5) <= fit.quilt.borders[-1].top.width <= inches(6)
        assert fit.quilt.borders[0] == QUILTS["border"].borders[0]
