"""The record: a round trip without loss, a schema, and what is not known."""

import json

import msgspec
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from seamlore.errors import NotationError
from seamlore.lengths import Unit, in_unit, inches
from seamlore.study.adjustment import adjust
from seamlore.study.measured import What, taken
from seamlore.study.measurements import measurements
from seamlore.study.record import VERSION, Study, measured, read_study, schema, study_of, write_study


def the_check():
    return measurements(
        [
            taken(What.OVERALL, inches("70.5"), "across"),
            taken(What.BLOCK, inches(8)),
            taken(What.SASHING, inches(3)),
        ],
        columns=7,
    )


def test_a_study_reads_back_as_it_was_written():
    study = study_of("Blue quilt", adjust(the_check()), story="Found in Ohio.")
    assert read_study(write_study(study)) == study
    assert measured(study) == the_check()


@settings(max_examples=50, deadline=None)
@given(st.integers(1, 3000), st.sampled_from([Unit.INCH, Unit.CM]))
def test_no_tape_mark_is_lost_in_the_record(marks, unit):
    value = in_unit(marks, unit) / (16 if unit is Unit.INCH else 10)
    m = measurements([taken(What.BLOCK, value)], columns=3)
    back = measured(read_study(write_study(study_of("q", adjust(m)))))
    assert back.lengths[0].value.inches == value.inches


def test_the_schema_names_every_field():
    made = schema()
    fields = made["$defs"]["Study"]["properties"]
    assert set(fields) == set(Study.__struct_fields__)
    assert made["$defs"]["Study"]["required"] == ["name"]


def test_everything_written_is_in_the_schema():
    written = json.loads(write_study(study_of("Blue quilt", adjust(the_check()))))
    made = schema()["$defs"]
    assert set(written) <= set(made["Study"]["properties"])
    assert set(written["measurements"][0]) <= set(made["TapeLine"]["properties"])
    assert made["TapeLine"]["properties"]["unit"]["enum"] == ["cm", "in"]


def test_a_later_version_is_refused():
    later = msgspec.json.encode(Study(name="q", version=VERSION + 1))
    with pytest.raises(NotationError, match="this program reads up to version"):
        read_study(later)


@pytest.mark.parametrize("text", [b"", b"[]", b'{"name": 3}', b'{"name": "q", "unit": "ft"}', b"\xff\xfe"])
def test_a_file_that_is_no_study_is_refused(text):
    with pytest.raises(NotationError, match="give a study that was written here"):
        read_study(text, source="a.json")


def test_what_is_not_known_is_said():
    lines = study_of("Blue quilt", adjust(the_check())).not_known
    assert "Who made it is not known." in lines
    assert any(line.startswith("Which of these holds is not known") for line in lines)
