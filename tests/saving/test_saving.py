"""What an old quilt gives, against counting by hand and trying every way."""

from __future__ import annotations

from fractions import Fraction
from itertools import combinations

import numpy as np
import pytest

from seamlore.condition.notes import Note
from seamlore.condition.survey import BlockState, Laid
from seamlore.errors import MeasureError
from seamlore.lengths import Length, Unit, inches, length
from seamlore.saving.folding import folds, shunned, weak
from seamlore.saving.giving import given, grid, resewn
from seamlore.saving.options import WAYS, option
from seamlore.saving.projects import PROJECTS, Project, checked, fit, fits
from seamlore.saving.repair import repairs
from seamlore.saving.small_quilt import MARK, best
from seamlore.saving.stages import STAGES, missing, stops
from seamlore.saving.trimming import common_size, frame, trimmed_to

ALL = {"left", "right", "top", "bottom"}
EIGHT = (inches(8), inches(8))
THREE = (inches(3), inches(3))


def test_of_7_by_8_blocks_with_the_outer_ring_cut_30_are_whole_and_make_5_by_6():
    """Worked case, arithmetic: 22 on the edge, 4 corners; 5 x 8 + 4 x 3 = 52 in, 6 x 8 + 5 x 3 = 63 in."""
    found = given(grid(8, 7), ALL)
    assert (len(found.whole), len(found.edge), len(found.corners)) == (30, 22, 4)
    small = best(len(found.whole), EIGHT, THREE, like=(8, 7))
    assert (small.columns, small.rows, small.width, small.height) == (5, 6, inches(52), inches(63))


def test_blocks_that_are_not_sound_are_not_given():
    states = [BlockState((0, 0), "lost"), BlockState((1, 1), "doubtful"), BlockState((1, 0), "sound")]
    found = given(grid(2, 2), {"left"}, states)
    assert (found.whole, found.edge, found.doubtful, found.lost) == (((0, 1),), ((1, 0),), 1, 1)


def everything(blocks, block, sashing, outer):
    """Every setting of the blocks with every sashing on an eighth of an inch."""
    steps = int((sashing[1] - sashing[0]).inches / MARK.inches)
    for rows in range(1, blocks + 1):
        for columns in range(1, blocks // rows + 1):
            for step in range(steps + 1):
                gap = sashing[0] + MARK * step
                more = 1 if outer else -1
                yield (
                    rows,
                    columns,
                    block[0] * columns + gap * (columns + more),
                    block[1] * rows + gap * (rows + more),
                )


@pytest.mark.parametrize("seed", range(60))
def test_the_best_small_quilt_is_the_best_of_all_that_there_are(seed):
    rng = np.random.default_rng(seed)
    blocks = int(rng.integers(1, 13))
    block = tuple(Length(Fraction(int(rng.integers(32, 100)), 8), Unit.INCH) for _ in range(2))
    low = Length(Fraction(int(rng.integers(0, 16)), 8), Unit.INCH)
    sashing = (low, low + MARK * int(rng.integers(0, 25)))
    outer = bool(seed % 2)
    wished = tuple(Length(Fraction(int(rng.integers(140, 500)), 8), Unit.INCH) for _ in range(2))
    found = best(blocks, block, sashing, wished=wished, outer=outer)
    least = min(
        (abs(w - wished[0]).inches + abs(h - wished[1]).inches, blocks - rows * columns)
        for rows, columns, w, h in everything(blocks, block, sashing, outer)
    )
    assert (found.off.inches, found.left_over) == least
    assert found.off == abs(found.width - wished[0]) + abs(found.height - wished[1])


@pytest.mark.parametrize("blocks", [1, 2, 3, 7, 11, 13, 30, 39])
def test_without_a_wish_most_blocks_are_taken_but_never_as_a_band(blocks):
    """Against every setting: 39 blocks of an old quilt of 8 by 7 are 6 by 6 and not 3 by 13."""
    found = best(blocks, EIGHT, THREE, like=(8, 7))

    def unlike(rows, columns):
        ratio = Fraction(rows * 7, columns * 8)
        return max(ratio, 1 / ratio)

    least = min(
        (unlike(rows, columns) > 2, blocks - rows * columns, unlike(rows, columns))
        for rows, columns, *_ in everything(blocks, EIGHT, THREE, outer=False)
    )
    assert (unlike(found.rows, found.columns) > 2, found.left_over, unlike(found.rows, found.columns)) == least
    if blocks == 39:
        assert (found.rows, found.columns, found.left_over) == (6, 6, 3)


@pytest.mark.parametrize(
    ("blocks", "wished", "why"),
    [(0, None, "no sound block"), (5, (inches(7), inches(9)), "one block alone is 8 in by 8 in")],
)
def test_what_cannot_be_a_small_quilt_is_said_kindly(blocks, wished, why):
    with pytest.raises(MeasureError, match=why):
        best(blocks, EIGHT, THREE, wished=wished)


def test_a_seam_wider_than_what_is_left_costs_points():
    assert resewn(inches(8), inches("1/8"), inches("1/4")).finished == length("7 3/4 in")
    assert resewn(inches(8), inches("3/8"), inches("1/4")).finished == inches(8)
    with pytest.raises(MeasureError, match="nothing is left"):
        resewn(inches("1/2"), inches(0), inches("1/4"))


@pytest.mark.parametrize("of", range(10))
def test_the_common_size_is_the_best_of_every_mark(of):
    """200 sets of one to nine blocks, sides on sixteenths of an inch; the reckoning beside it is in 32nds."""
    for seed in range(of, 200, 10):
        rng = np.random.default_rng(seed)
        blocks = (
            4 * rng.integers(60, 75, (1 + seed % 9, 2)) if seed % 2 else 2 * rng.integers(120, 150, (1 + seed % 9, 2))
        )
        allowance, seam = (8, 12, 4)[seed % 3], (8, 12)[seed // 2 % 2]
        sides = [tuple(Length(Fraction(int(side), 32), Unit.INCH) for side in block) for block in blocks]
        found = common_size(sides, *(Length(Fraction(wide, 32), Unit.INCH) for wide in (allowance, seam)))

        def cost(size, blocks=blocks, beyond=2 * (seam - allowance)):
            reach = blocks[blocks.min(axis=1) >= size]
            # Twice what is lost of a point at each end of a side.
            lost = np.maximum(reach - size + beyond, 0)
            return len(blocks) - len(reach) + int((lost > 0).any(axis=1).sum()), int(lost.sum()), -size

        best_of_all = min(
            cost(size) for size in range(32, int(blocks.max()) + 1, 4) if (blocks.min(axis=1) >= size).any()
        )
        assert cost(int(found.to.inches * 32)) == best_of_all, seed


def test_a_framed_block_finishes_like_the_rest():
    block, to, quarter = (length("7 5/8 in"), length("7 1/2 in")), inches(10), inches("1/4")
    made = frame(block, to, quarter, quarter)
    # Two strips, each sewn on by a seam of a quarter inch: block + 2 strips - 4 seam allowances.
    assert block[0] + made.sides * 2 - quarter * 4 == to
    assert block[1] + made.ends * 2 - quarter * 4 == to
    assert trimmed_to(length("7 1/2 in"), [block], quarter, quarter).points_cut == (0,)


@pytest.mark.parametrize("seed", range(200))
def test_folds_are_the_best_of_all_ways_to_lay_them(seed):
    """200 maps of up to six marked rectangles, overlapping or apart; what a fold crosses of them is counted in cells."""
    rng = np.random.default_rng(seed)
    count, axis = int(rng.integers(3, 11)), seed % 2
    side, across = 10.0, 8.0
    spots = rng.integers(0, 80, (rng.integers(0, 7), 2))
    ends = np.minimum(spots + rng.integers(1, 30, spots.shape), 80)
    marked = [np.array([(a, c), (b, c), (b, d), (a, d)])[:, :: -1 if axis else 1] / (8, 10)[:: -1 if axis else 1]
              for (a, c), (b, d) in zip(spots, ends, strict=True)]  # fmt: skip
    marks, cost = weak(side, across, marked, axis, count)
    assert marks == pytest.approx(side * np.arange(1, count) / count)
    cells = np.zeros((len(marks), 80), dtype=bool)
    for (a, c), (b, d) in zip(spots, ends, strict=True):
        cells[(marks > a / 8) & (marks < b / 8), c:d] = True
    on_edge = np.isclose(marks[:, None] * 8, np.concatenate([spots[:, 0], ends[:, 0]])[None, :]).any(axis=1)
    assert cost[~on_edge] == pytest.approx(cells.sum(axis=1)[~on_edge] / 10)
    most = float(rng.uniform(side / count, side))

    def fits_box(chosen):
        ends = [0.0, *chosen, side]
        return max(np.diff(ends)) <= most + 1e-9

    ways = [
        chosen
        for k in range(count)
        for chosen in combinations(range(count - 1), k)
        if fits_box([marks[i] for i in chosen])
    ]
    if not ways:
        with pytest.raises(MeasureError):
            folds(marks, cost, side, most, most_folds=9)
        return
    fewest = min(map(len, ways))
    least = min(sum(cost[i] for i in way) for way in ways if len(way) == fewest)
    found = folds(marks, cost, side, most, most_folds=9)
    assert len(found.at) == fewest
    assert found.cost == pytest.approx(least)
    assert fits_box(found.at)


def test_a_fold_costs_what_of_it_lies_on_weak_cloth_and_where_it_lay_before():
    hole = np.array([[2.0, 1], [6, 1], [6, 4], [2, 4]])
    marks, cost = weak(10, 8, [hole, hole + np.array([0, 1])], 0, 10)
    assert dict(zip(marks.tolist(), cost.round(9).tolist(), strict=True))[4.0] == 4
    assert dict(zip(marks.tolist(), cost.round(9).tolist(), strict=True))[8.0] == 0
    again = shunned(marks, cost, [8.2], 0.5, 9.0)
    assert again[7] == 9


def test_twelve_things_at_least_are_there_and_those_for_skin_food_and_children_come_last():
    wanted = {"cushion", "tote", "table runner", "wall piece", "small lap quilt", "book cover", "framed block", "pincushion",
              "ornament", "pouch", "bolster", "box lid"}  # fmt: skip
    assert wanted <= {each.name for each in PROJECTS}
    found = fits(30, EIGHT)
    touches = [bool(each.project.touches) for each in found]
    assert touches == sorted(touches)
    assert fits(30, EIGHT, ruled_out=True) != found
    assert all(each.count * each.takes + each.left == 30 for each in found if not each.pieces)
    small = next(each for each in fits(30, EIGHT, cut=26) if each.project.name == "ornament")
    # Half a block of 8 in is 4 x 8: two squares of 3 1/2 in, four ornaments of two from each four.
    assert (small.pieces, small.count, small.left) == (2, 26, 0)


def test_a_thing_of_hers_comes_out_of_the_blocks_too():
    seat = checked(Project("piano stool", inches(15), inches(15), hers=True))
    assert fit(seat, 9, EIGHT).strips == (inches(7), inches(7))
    for wrong in (Project("", inches(1), inches(1)), Project("x", inches(0), inches(1)), seat):
        with pytest.raises(MeasureError):
            checked(wrong, ["piano stool"])


def test_repairs_come_in_their_order_each_with_how_it_is_undone():
    kinds = ["hole", "open seam", "tendered cloth", "tear", "stain", "mold"]
    notes = [Note(str(n), "", kind, (), 2) for n, kind in enumerate(kinds)]
    square = np.array([[1.0, 1], [3.2, 1], [3.2, 2], [1, 2]])
    laid = [Laid(kind, 2, square, number=n) for n, kind in enumerate(kinds)]
    found = repairs(notes, laid, Unit.INCH)
    assert [each.method.name for each in found] == [
        "nothing by hand",
        "net overlay",
        "re-sewn seam",
        "underlay",
        "patch over",
    ]
    assert all(each.method.undone for each in found)
    assert found[-1].size == (length("4 1/4 in"), inches(3))
    # Once round the piece; a seam along its longer side.
    assert found[-1].stitched_in == pytest.approx(2 * (4.25 + 3))
    assert found[2].stitched_in == pytest.approx(2.2, abs=0.02)
    assert repairs(notes, laid, None)[-1].size is None


def test_before_any_cut_what_is_missing_and_what_stops_is_said():
    written = Note("", "", "inscription", (), says="M. 1871")
    assert "the whole back" in missing({"front"}, [], set())
    assert [each.what for each in stops([written], "", False, True)] == [
        "an inscription", "nobody was asked yet", "no dye test", "weak cloth",
    ]  # fmt: skip
    assert [each.key for each in STAGES][:2] == ["corner", "edge"]
    assert {option(way, [], []).way for way in WAYS} == set(WAYS)


def test_rows_are_parted_first_where_no_weak_cloth_lies():
    from seamlore.condition.survey import BlockState
    from seamlore.saving.stages import row_order

    verdicts = {(1, 0): "doubtful", (1, 1): "lost", (3, 1): "doubtful"}
    blocks = [
        BlockState((row, column), verdicts.get((row, column), "sound")) for row in range(5) for column in range(2)
    ]
    # Between rows 1-2: 2 weak, 2-3: 2, 3-4: 1, 4-5: 1.
    assert row_order(blocks) == ((2, 1), (3, 1), (0, 2), (1, 2))
    assert row_order([BlockState((0, 0), "sound")]) == ()
