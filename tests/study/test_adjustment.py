"""Do the sums come out, and if not, why not."""

from itertools import pairwise

import numpy as np
import pytest
from numpy.testing import assert_allclose

from seamlore.errors import MeasureError
from seamlore.lengths import centimeters, inches
from seamlore.photo.reading import Edge, Reading, Uncertainty
from seamlore.study.adjustment import adjust
from seamlore.study.causes import Kind
from seamlore.study.measured import What, taken
from seamlore.study.measurements import measurements


def the_check(**changes):
    """7 blocks of 8 in with 3 in sashing between them, in a quilt 70 1/2 in wide: 3 1/2 in short."""
    sizes = {"overall": "70.5", "block": "8", "sashing": "3", **changes}
    return measurements(
        [
            taken(What.OVERALL, inches(sizes["overall"]), "across"),
            taken(What.BLOCK, inches(sizes["block"])),
            taken(What.SASHING, inches(sizes["sashing"])),
        ],
        columns=7,
    )


def kinds(found, count):
    return [tuple(cause.kind for cause in each.causes) for each in found.explanations[:count]]


def test_cut_or_unfinished_come_out_on_top_of_the_check():
    found = adjust(the_check())
    assert not found.comes_out
    assert str(found.sums[0].short) == "3 1/2 in"
    assert set(kinds(found, 2)) == {(Kind.CUT,), (Kind.UNFINISHED,)}
    by_kind = {each.causes[0].kind: each for each in found.explanations[:2]}
    assert by_kind[Kind.CUT].cut == (("left", inches("1.75")), ("right", inches("1.75")))
    assert "1 3/4 in from each side" in by_kind[Kind.CUT].text
    assert by_kind[Kind.UNFINISHED].block[0] == inches("7.5")
    assert "7 x 7 1/2 + 6 x 3 = 70 1/2 in" in by_kind[Kind.UNFINISHED].text


def test_neither_of_two_good_explanations_is_called_sure():
    found = adjust(the_check())
    assert [each.likely for each in found.explanations[:2]] == ["likeliest", "about as likely"]
    assert max(each.weight for each in found.explanations) < 0.6


def test_measurements_that_agree_come_out():
    found = adjust(the_check(overall="74"))
    assert found.comes_out
    assert found.verdict == (
        "The sums come out: 7 blocks of 8 in and 6 sashings of 3 in make 74 in; the quilt is 74 in wide."
    )


def test_a_difference_within_the_tolerances_is_no_trouble():
    assert adjust(the_check(overall="73.75")).comes_out


def test_the_other_axis_rules_out_a_block_measured_unfinished():
    m = the_check()
    both = [*m.lengths, taken(What.OVERALL, inches(85), "down")]
    found = adjust(measurements(both, columns=7, rows=8))
    # 8 blocks of 8 in and 7 sashings of 3 in make 85 in: the block is right as it was measured.
    assert [(cause.kind, cause.along) for cause in found.explanations[0].causes] == [(Kind.CUT, "across")]
    unfinished = [
        each.weight for each in found.explanations if each.causes and each.causes[0].kind is Kind.UNFINISHED
    ]
    assert sum(unfinished) < 0.1 * found.explanations[0].weight


def test_the_other_axis_can_make_unfinished_the_only_good_account():
    m = the_check()
    both = [*m.lengths, taken(What.OVERALL, inches(81), "down")]
    found = adjust(measurements(both, columns=7, rows=8))
    assert (Kind.UNFINISHED,) in kinds(found, 2)


def test_a_span_that_is_measured_settles_it():
    span = {44: Kind.CUT, 42: Kind.UNFINISHED}
    for value, kind in span.items():
        m = the_check()
        more = taken(What.SPAN, inches(value), "across", blocks=4, sashings=4)
        found = adjust(measurements([*m.lengths, more], columns=7))
        assert kinds(found, 1) == [(kind,)]
        assert found.explanations[0].weight > 0.8


def test_a_metric_block_measured_unfinished_is_one_and_a_half_centimeters_too_large():
    # Seam allowance of 0.75 cm where one works in centimeters (common practice).
    m = measurements(
        [
            taken(What.OVERALL, centimeters(150), "across"),
            taken(What.OVERALL, centimeters(180), "down"),
            taken(What.BLOCK, centimeters("16.5")),
        ],
        columns=10,
        rows=12,
    )
    found = adjust(m)
    assert kinds(found, 1) == [(Kind.UNFINISHED,)]
    assert found.explanations[0].block == (centimeters(15), centimeters(15))
    assert "15 cm finished, not 16.5 cm" in found.explanations[0].text


def test_a_block_of_ten_and_a_half_is_ten_finished():
    # timquilts.com 2012/10/22 (V): a block that measures 10 1/2 in unfinished is 10 in finished.
    m = [
        taken(What.OVERALL, inches(80), "across"),
        taken(What.OVERALL, inches(90), "down"),
        taken(What.BLOCK, inches("10.5")),
    ]
    top = adjust(measurements(m, columns=8, rows=9)).explanations[0]
    assert [cause.kind for cause in top.causes] == [Kind.UNFINISHED]
    assert top.block == (inches(10), inches(10))


def test_a_column_too_few_is_found():
    m = the_check(overall="85")
    found = adjust(m)
    assert kinds(found, 1) == [(Kind.MISCOUNT,)]
    assert found.explanations[0].columns == 8
    assert found.explanations[0].text.startswith("There are 8 columns, not 7.")


def test_sashing_round_the_outside_is_found():
    found = adjust(the_check(overall="80"))
    assert kinds(found, 1) == [(Kind.OUTER_SASHING,)]
    assert found.explanations[0].outer_sashing


def test_blocks_on_point_add_up_by_their_diagonals():
    # 4 x 5 of 12 in on point make 67.88 x 84.85 in (computed: block x root of 2).
    found = adjust(
        measurements(
            [
                taken(What.OVERALL, inches("67.75"), "across"),
                taken(What.OVERALL, inches(85), "down"),
                taken(What.BLOCK, inches(12)),
            ],
            columns=4,
            rows=5,
            on_point=True,
        )
    )
    assert found.comes_out
    assert found.verdict.startswith("The sums come out as closely as a tape can tell: 4 blocks of 12 in, on point")
    assert_allclose(found.sums[0].total.inches_float, 12 * 4 * 2**0.5, atol=1e-9)


def test_measurements_that_nothing_explains_are_said_to_be_so():
    m = the_check()
    again = [taken(What.BLOCK, inches(6)), taken(What.BLOCK, inches(9)), taken(What.BLOCK, inches("7.1"))]
    found = adjust(measurements([*m.lengths, *again], columns=7))
    assert not found.fits
    assert found.verdict.endswith("measure the figures that disagree once more.")
    assert adjust(m).fits


def test_no_outer_block_is_cut_by_more_than_itself():
    for overall in ("60", "56", "52", "48"):
        for each in adjust(the_check(overall=overall)).explanations:
            assert all(lost < each.block[0] for _, lost in each.cut)


def test_weights_are_shares_and_ranked():
    weights = [each.weight for each in adjust(the_check()).explanations]
    assert all(one >= two for one, two in pairwise(weights))
    assert 0.97 < sum(weights) <= 1 + 1e-12


def test_the_same_measurements_give_the_same_account():
    one, two = adjust(the_check()), adjust(the_check())
    assert [str(each) for each in one.explanations] == [str(each) for each in two.explanations]
    assert_allclose([each.weight for each in one.explanations], [each.weight for each in two.explanations], rtol=0)


def test_no_block_and_no_count_is_refused():
    with pytest.raises(MeasureError, match="measure one block from seam to seam"):
        adjust(measurements([taken(What.OVERALL, inches(74), "across")]))


def test_nothing_to_add_up_is_said():
    found = adjust(measurements([taken(What.BLOCK, inches(8))], columns=7))
    assert found.verdict.startswith("There is nothing to add up yet")


# How often the true cause stands among the first two accounts of a simulated quilt at once, and after the two
# measurements that Seamlore then asked for. Measured here on 6 quilts each (two decimals, printed):
# sums come out 1.00, 1.00; cut 1.00, 1.00; unfinished 1.00, 1.00; sashing unfinished 0.67, 0.83; a wrong figure
# 0.50, 0.83; miscounted 1.00, 1.00; drawn in 0.17, 1.00; wide seams 0.17, 0.83; outer sashing 1.00, 1.00;
# border 1.00, 1.00. Drawn in and wide seams cannot be told from cut by the sums alone: the misses are real.
RATES = {
    None: (0.9, 0.9),
    Kind.CUT: (0.8, 0.9),
    Kind.UNFINISHED: (0.8, 0.9),
    Kind.SASHING_UNFINISHED: (0.4, 0.8),
    Kind.FIGURE: (0.4, 0.6),
    Kind.MISCOUNT: (0.8, 0.9),
    Kind.SHRUNK: (0.0, 0.3),
    Kind.WIDE_SEAMS: (0.0, 0.3),
    Kind.OUTER_SASHING: (0.8, 0.9),
    Kind.BORDER: (0.7, 0.8),
}


@pytest.mark.parametrize("kind", RATES, ids=lambda kind: kind.name.lower() if kind else "sums come out")
def test_the_true_cause_is_found_as_often_as_is_claimed(kind, simulated, record_property):
    rng = np.random.default_rng(20)
    quilts = [simulated.quilt(kind, rng) for _ in range(6)]
    at_once = np.mean([simulated.rank(adjust(each.measured), kind) <= 1 for each in quilts])
    after_two = np.mean([simulated.rank(simulated.follow(each, 2, rng), kind) <= 1 for each in quilts])
    record_property("among the first two", (float(at_once), float(after_two)))
    print(f"{kind.value if kind else 'nothing is wrong'}: {at_once:.2f} at once, {after_two:.2f} after two more")
    assert at_once >= RATES[kind][0]
    assert after_two >= RATES[kind][1]


def test_the_photograph_settles_which_side_lost_how_much():
    reading = Reading(
        photo_size=(3000, 4000),
        corners=((0, 0), (2999, 0), (2999, 3999), (0, 3999)),
        corners_from="given",
        unit="in",
        size=(70.5, 82.75),
        setting="straight",
        rows=8,
        columns=7,
        block_size=(8.03, 7.96),
        sashing=(2.98, 3.03),
        edge=Edge(left=-2.6, top=-1.1, right=-0.8, bottom=-1.2),
        uncertainty=Uncertainty(block_size=(0.04, 0.04), sashing=(0.04, 0.04), edge=0.15),
    )
    m = the_check()
    both = [*m.lengths, taken(What.OVERALL, inches("82.75"), "down")]
    found = adjust(measurements(both, columns=7, rows=8, reading=reading))
    top = found.explanations[0]
    assert [cause.kind for cause in top.causes] == [Kind.CUT, Kind.CUT]
    assert top.likely == "almost surely"
    lost = {side: length.inches_float for side, length in top.cut}
    assert_allclose([lost["left"], lost["right"]], [2.65, 0.85], atol=0.25)
    assert "at the left and" in top.text
    assert top.block == (inches(8), inches(8))


def test_sashing_between_blocks_on_point_adds_up_by_its_diagonal_too():
    # 4 x 5 of 10 in with 2 in between: 4 x 10 + 3 x 2 = 46 in of blocks and sashing, 65.05 in across the diagonal.
    found = adjust(
        measurements(
            [
                taken(What.OVERALL, inches(65), "across"),
                taken(What.OVERALL, inches(82), "down"),
                taken(What.BLOCK, inches(10)),
                taken(What.SASHING, inches(2)),
            ],
            columns=4,
            rows=5,
            on_point=True,
        )
    )
    assert found.comes_out
    assert [each.gaps for each in found.sums] == [3, 4]
    assert_allclose([each.total.inches_float for each in found.sums], [46 * 2**0.5, 58 * 2**0.5], atol=1e-9)
