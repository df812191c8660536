"""Whatever is measured, there is an answer or one plain line."""

from fractions import Fraction

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from seamlore.draft.text.notation import read_block
from seamlore.errors import SeamloreError
from seamlore.lengths import Unit, in_unit, inches
from seamlore.study.adjustment import adjust
from seamlore.study.drafting import as_drafted
from seamlore.study.measured import SIDES, What, taken
from seamlore.study.measurements import measurements
from seamlore.study.next_measure import next_measure
from seamlore.study.record import measured, read_study, study_of, write_study

PLAIN = read_block("block Plain\nA light\n\nA")

AXIS = st.sampled_from(["across", "down"])
ALONG = st.sampled_from(["across", "down", "both"])


@st.composite
def lines(draw, unit):
    """One measurement of any kind, from a hundredth of an inch to a tent."""
    what = draw(st.sampled_from(list(What)))
    value = in_unit(Fraction(draw(st.integers(1, 4000)), 16), unit)
    if what in (What.OUTER, What.EDGE):
        axis = draw(AXIS)
        return taken(what, value, axis, side=draw(st.sampled_from(SIDES[axis])))
    if what is What.SPAN:
        blocks = draw(st.integers(1, 6))
        return taken(what, value, draw(AXIS), blocks=blocks, sashings=draw(st.sampled_from([0, blocks])))
    return taken(what, value, draw(AXIS if what is What.OVERALL else ALONG))


@settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(st.data())
def test_any_measurements_give_an_answer_or_one_plain_line(data):
    unit = data.draw(st.sampled_from(list(Unit)))
    given_lines = data.draw(st.lists(lines(unit), min_size=1, max_size=5))
    counts = {key: data.draw(st.none() | st.integers(1, 30)) for key in ("columns", "rows")}
    try:
        m = measurements(given_lines, **counts, on_point=data.draw(st.booleans()))
        found = adjust(m)
        asked = next_measure(found)
        study = study_of("any", found)
        as_drafted(found, block_drawn=PLAIN)
    except SeamloreError as fault:
        refused = str(fault)
    else:
        refused = ""
    if refused:
        assert "\n" not in refused
        return
    assert found.explanations
    assert 0 < found.explanations[0].weight <= 1
    assert asked is None or asked.text.startswith("Measure ")
    assert measured(read_study(write_study(study))) == m


def test_a_count_and_a_width_alone_give_a_block():
    found = adjust(measurements([taken(What.OVERALL, inches(56), "across")], columns=7))
    assert found.explanations[0].block[0] == inches(8)
