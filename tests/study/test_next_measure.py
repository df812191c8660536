"""What to measure next: the one measurement that tells the leading explanations apart."""

from seamlore.lengths import inches
from seamlore.study.adjustment import adjust
from seamlore.study.causes import Kind
from seamlore.study.measured import What, taken
from seamlore.study.measurements import measurements
from seamlore.study.next_measure import next_measure


def the_check(columns=7, overall="70.5"):
    return measurements(
        [
            taken(What.OVERALL, inches(overall), "across"),
            taken(What.BLOCK, inches(8)),
            taken(What.SASHING, inches(3)),
        ],
        columns=columns,
    )


def test_same_edge_to_same_edge_over_four_blocks_settles_the_check():
    asked = next_measure(adjust(the_check()))
    assert (asked.measure.what, asked.measure.blocks, asked.measure.sashings) == (What.SPAN, 4, 4)
    predicted = {each.causes[0].kind: value for each, value in asked.predicts[:2]}
    # 4 x (8 + 3) = 44; 4 x (7 1/2 + 3) = 42.
    assert predicted == {Kind.CUT: inches(44), Kind.UNFINISHED: inches(42)}
    assert asked.text.startswith(
        "Measure same edge to same edge over four blocks, across, leaving the outermost blocks out: "
        "44 in if the outer blocks are cut, 42 in if the block was measured unfinished"
    )


def test_nothing_is_asked_when_the_sums_come_out():
    assert next_measure(adjust(the_check(overall="74"))) is None


def test_nothing_is_asked_once_it_is_settled():
    m = the_check()
    settled = [*m.lengths, taken(What.SPAN, inches(44), "across", blocks=4, sashings=4)]
    assert next_measure(adjust(measurements(settled, columns=7))) is None


def test_a_block_is_not_asked_for_again():
    # Whoever measured it with its seam allowance would do so again.
    for overall in ("70.5", "66", "72", "76"):
        asked = next_measure(adjust(the_check(overall=overall)))
        assert asked is None or asked.measure.what not in (What.BLOCK, What.SASHING)


def test_a_span_is_no_longer_than_a_cloth_tape():
    m = measurements(
        [taken(What.OVERALL, inches(115), "across"), taken(What.BLOCK, inches(10))],
        columns=12,
    )
    asked = next_measure(adjust(m))
    assert asked is not None
    assert asked.measure.value <= inches(60)


def test_expected_information_is_no_more_than_there_is_to_know():
    asked = next_measure(adjust(the_check()))
    assert 0.05 <= asked.bits <= 2.585  # six explanations hold at most log2(6) bits


def test_what_is_predicted_agrees_with_what_the_explanation_says():
    m = measurements(
        [
            taken(What.OVERALL, inches("70.5"), "across"),
            taken(What.OVERALL, inches(81), "down"),
            taken(What.BLOCK, inches(8)),
            taken(What.SASHING, inches(3)),
        ],
        columns=7,
        rows=8,
    )
    found = adjust(m)
    asked = next_measure(found)
    assert asked.measure.what is What.OUTER
    for each, value in asked.predicts:
        if each.cut and len(each.causes) == 2:
            side = dict(each.cut)[asked.measure.side]
            assert value == each.block[1] - side


def test_on_point_the_span_runs_along_a_row_of_blocks():
    m = measurements(
        [
            taken(What.OVERALL, inches("81.25"), "across"),
            taken(What.OVERALL, inches("92.5"), "down"),
            taken(What.BLOCK, inches("8")),
        ],
        columns=8,
        rows=9,
        on_point=True,
    )
    asked = next_measure(adjust(m))
    assert asked is not None
    assert asked.measure.along == "both"
    assert "along a row of blocks" in asked.text


def test_no_more_than_four_values_are_told():
    for overall in ("70.5", "72", "72.5", "71"):
        asked = next_measure(adjust(the_check(overall=overall)))
        if asked is not None:
            assert asked.text.count(" if ") <= 4
