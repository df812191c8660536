"""Edge finishes: how much wider the layers are cut, and how large the quilt then measures."""

import datetime

import pytest

from seamlore.draft.border import border
from seamlore.draft.catalogue import find
from seamlore.draft.repeated import repeated
from seamlore.errors import PlanError
from seamlore.lengths import centimeters, inches
from seamlore.making.finish.edges import KINDS, edge
from seamlore.making.plan import plan
from seamlore.steps.booklet import booklet_content

QUARTER, WIDE = inches("1/4"), inches(42)
FRAMED = repeated("q", find("shoo fly"), inches(9), inches(9), 5, 4, borders=(border(inches(4), "brown"),))


def made(kind, **more):
    return edge(kind, inches(60), inches(72), WIDE, QUARTER, **more)


@pytest.mark.parametrize(
    ("kind", "more"),
    # What is folded round the raw edge leaves it where it is, a seam allowance outside the finished edge; what is turned in
    # at the seam ends there (geometry; common practice).
    [("straight", "1/2"), ("bias", "1/2"), ("back to front", "1/2"), ("front to back", "0"), ("facing", "0"),
     ("pillowcase", "0"), ("knife edge", "0"), ("none", "0")],
)  # fmt: skip
def test_what_each_does_to_the_finished_size(kind, more):
    assert made(kind).measures == (inches(60) + inches(more), inches(72) + inches(more))


def test_a_folded_edge_is_cut_twice_as_wide_as_it_shows():
    # Folded to the raw edge and once more over it: each fold takes as much as shows.
    assert made("back to front").wider == inches(1)
    assert made("front to back", shows=inches("3/4")).wider == inches("1.5")


def test_a_facing_goes_once_round_the_raw_edge():
    found = made("facing")
    # 2 x (60 1/2 + 72 1/2) = 266 in from strips of 42 that lose 1/2 in at each straight join: 7 make 291, 6 make 249 1/2.
    assert (found.strips, found.length, found.buy) == (7, inches("17.5"), "1/2 yd")


def test_metric_edges():
    found = edge("back to front", centimeters(150), centimeters(200), centimeters(107), centimeters("0.75"))
    assert (str(found.shows), str(found.wider), str(found.measures[0])) == ("1.3 cm", "2.5 cm", "151.5 cm")


@pytest.mark.parametrize(
    ("kind", "more", "said"),
    [("lace", {}, "it is straight, bias"), ("back to front", {"shows": inches(0)}, "more than 0 and at most 3 in"),
     ("facing", {"cut_width": inches("1/2")}, "wider than their two seams")],
)  # fmt: skip
def test_what_cannot_be_is_refused(kind, more, said):
    with pytest.raises(PlanError, match=said):
        made(kind, **more)


def test_an_edge_turned_to_the_back_is_cut_with_the_border():
    # Finished 44 x 53 in; a border of 4 in cut 4 1/2 in wide becomes 5 1/4: 1 in beyond its finished edge instead of 1/4.
    plain, turned = plan(FRAMED), plan(FRAMED, binding="front to back")
    widths = [{str(cut.size[1]) for cut in each.cutting if cut.fabric == "brown"} for each in (plain, turned)]
    assert widths == [{"4 1/2 in"}, {"5 1/4 in"}]
    # Top and bottom are cut 44 1/2 in long; turned, 1 in more at both ends than finished.
    longs = [{str(cut.size[0]) for cut in each.cutting if cut.fabric == "brown"} for each in (plain, turned)]
    assert longs == [{"45 1/2 in", "44 1/2 in"}, {"45 1/2 in", "46 in"}]
    assert turned.finished == turned.measures == plain.finished


def test_an_edge_turned_to_the_back_needs_a_border():
    bare = repeated("q", find("shoo fly"), inches(9), inches(9), 5, 4)
    with pytest.raises(
        PlanError, match="an edge turned front to back: it is turned from a plain border on all four sides"
    ):
        plan(bare, binding="front to back")


def test_layers_that_are_turned_are_cut_as_large_as_the_raw_top():
    found = plan(FRAMED, binding="pillowcase")
    assert found.backing.size == (inches("44.5"), inches("53.5"))
    assert found.filling.size == (inches("44.5"), inches("53.5"))


def test_a_backing_that_is_folded_over_is_wide_enough_for_it():
    found = plan(FRAMED, binding="back to front", edge_shows=inches(3), backing_extra=inches(1))
    # 1/4 in to the raw edge, and 6 in to fold.
    assert found.backing.extra == inches("6.25")


@pytest.mark.parametrize("kind", KINDS)
def test_the_booklet_finishes_the_edge_as_it_is_planned(kind):
    found = plan(FRAMED, binding=kind)
    content = booklet_content(found, printed=datetime.date(2026, 11, 30))
    bought = [each.name for each in content.finishing]
    assert ("Binding" in bought) == (kind in ("straight", "bias"))
    assert ("Facing" in bought) == (kind == "facing")
    steps = " ".join(content.finishing_steps)
    assert ("binding strips" in steps) == (kind in ("straight", "bias"))
    if kind != "none":
        assert "The quilt now measures about" in steps
    if kind == "pillowcase":
        assert steps.index("trim the corners, turn") < steps.index("Quilt")
