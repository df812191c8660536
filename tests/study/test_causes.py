"""Which explanations are weighed, and how each sees the measurements."""

from seamlore.draft.text.notation import read_block
from seamlore.lengths import inches
from seamlore.photo.reading import Reading, Uncertainty
from seamlore.study.adjustment import adjust
from seamlore.study.causes import Cause, Kind, explanations, log_odds
from seamlore.study.drafting import as_drafted
from seamlore.study.measured import What, taken
from seamlore.study.measurements import measurements
from seamlore.study.unknowns import models, row

PLAIN = measurements(
    [
        taken(What.OVERALL, inches("70.5"), "across"),
        taken(What.BLOCK, inches(8)),
        taken(What.SASHING, inches(3)),
    ],
    columns=7,
)


def test_nothing_wrong_is_weighed_first():
    assert next(explanations(PLAIN)) == ()


def test_a_cause_in_the_block_holds_on_both_axes_at_once():
    unfinished = [causes for causes in explanations(PLAIN) if causes and causes[0].kind is Kind.UNFINISHED]
    assert all(causes[0].along == "both" for causes in unfinished)


def test_the_sum_counts_every_block_and_every_sashing_between():
    on, constant = row(PLAIN, (), PLAIN.lengths[0])
    assert on == {"block": 7.0, "sashing": 6.0}
    assert constant == 0.0


def test_sashing_round_the_outside_adds_two():
    on, _ = row(PLAIN, (Cause(Kind.OUTER_SASHING),), PLAIN.lengths[0])
    assert on["sashing"] == 8.0


def test_an_unfinished_block_was_said_two_seam_allowances_too_large():
    _, constant = row(PLAIN, (Cause(Kind.UNFINISHED),), PLAIN.lengths[1])
    assert constant == 0.5


def test_a_span_inside_knows_nothing_of_the_edges():
    span = taken(What.SPAN, inches(44), "across", blocks=4, sashings=4)
    on, _ = row(PLAIN, (Cause(Kind.CUT, "across"),), span)
    assert on == {"block": 4.0, "sashing": 4.0}


def test_an_overall_size_without_a_count_says_nothing():
    long = taken(What.OVERALL, inches(80), "down")
    assert row(PLAIN, (), long) is None
    assert len(models(PLAIN, [()])[0].given) == 3


def test_blocks_that_clearly_differ_both_ways_are_not_made_square():
    oblong = measurements([taken(What.BLOCK, inches(8), "across"), taken(What.BLOCK, inches(9), "down")])
    near = measurements([taken(What.BLOCK, inches(8), "across"), taken(What.BLOCK, inches("8.0625"), "down")])
    assert oblong.size_name(What.BLOCK, "down") == "block down"
    assert near.size_name(What.BLOCK, "down") == "block"


def test_strips_between_columns_only_add_nothing_to_the_length():
    reading = Reading(
        photo_size=(9, 9),
        corners=((0, 0), (9, 0), (9, 9), (0, 9)),
        corners_from="given",
        unit="in",
        size=(74, 64),
        setting="straight",
        rows=8,
        columns=7,
        block_size=(8.0, 8.0),
        sashing=(3.0, 0.05),
        uncertainty=Uncertainty(block_size=(0.05, 0.05), sashing=(0.05, 0.05), edge=0.1),
    )
    tape = [taken(What.OVERALL, inches(74), "across"), taken(What.OVERALL, inches(64), "down")]
    found = adjust(measurements(tape, reading=reading))
    assert found.comes_out
    assert found.explanations[0].sashing == (inches(3), inches(0))
    plain = read_block("block Plain\nA light\n\nA")
    assert as_drafted(found, block_drawn=plain).quilt.finished_size == (inches(74), inches(64))


def test_trimmed_all_round_is_likelier_than_two_independent_accidents():
    both = measurements([*PLAIN.lengths, taken(What.OVERALL, inches(80), "down")], columns=7, rows=8)
    one = log_odds(both, (Cause(Kind.CUT, "across"),)) - log_odds(both, ())
    two = log_odds(both, (Cause(Kind.CUT, "across"), Cause(Kind.CUT, "down"))) - log_odds(both, ())
    assert two > 2 * one
