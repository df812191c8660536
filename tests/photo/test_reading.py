"""The reading as a record: readings of before are read, and what of them was read stays so."""

import json

import msgspec
import pytest

from seamlore.errors import NotationError, PhotoError
from seamlore.photo.reading import VERSION, read_reading
from seamlore.study.record import Study, read_study

PATCH = {"outline": [[0, 0], [1, 0], [1, 1], [0, 1]], "place": "A", "value": "dark"}
OLD = {
    "photo_size": [9, 9],
    "corners": [[0, 0], [9, 0], [9, 9], [0, 9]],
    "corners_from": "given",
    "unit": "width",
    "size": [1, 1],
    "setting": "straight",
    "rows": 1,
    "columns": 3,
    "block": {"divisions": 1, "patches": [PATCH]},
    "blocks": [
        {"row": 0, "column": 0},
        {"row": 0, "column": 1, "turn": 90, "differs": True},
        {"row": 0, "column": 2, "mirrored": True},
    ],
    "confidence": {"grid": 0.9, "block": 0.75},
    "version": 1,
}


def test_a_reading_of_before_gets_its_one_kind_and_none_for_blocks_that_differ():
    reading = read_reading(json.dumps(OLD))
    assert reading.version == VERSION
    (kind,) = reading.kinds
    assert (kind.count, kind.confidence, kind.name) == (2, 0.75, None)
    assert kind.patches == reading.block.patches
    assert [each.kind for each in reading.blocks] == [0, None, 0]
    assert [(each.turn, each.mirrored) for each in reading.blocks] == [(0, False), (90, False), (0, True)]


def test_a_reading_without_a_block_grid_has_no_kinds():
    bare = {key: OLD[key] for key in ("photo_size", "corners", "corners_from", "unit", "size")}
    reading = read_reading(json.dumps(bare | {"setting": "none"}))
    assert (reading.kinds, reading.blocks, reading.between) == (None, None, None)


def test_a_reading_as_written_now_is_read_as_it_stands():
    reading = read_reading(json.dumps(OLD))
    assert read_reading(msgspec.json.encode(reading)) == reading


def test_a_reading_of_a_later_version_is_refused():
    with pytest.raises(
        PhotoError, match=r"r.json, version 99: this program reads up to version 2; use a newer program"
    ):
        read_reading(json.dumps(OLD | {"version": 99}), source="r.json")


@pytest.mark.parametrize("change", [{"blocks": 7}, {"version": "new"}, {"block": {"divisions": 1}}, {"rows": "x"}])
def test_what_is_no_reading_is_refused_in_one_line(change):
    with pytest.raises(PhotoError, match="not a reading") as caught:
        read_reading(json.dumps(OLD | change))
    assert "\n" not in str(caught.value)


def test_a_study_kept_before_has_its_reading_brought_up():
    old = json.loads(msgspec.json.encode(Study(name="q"))) | {"reading": OLD}
    assert read_study(json.dumps(old).encode()).reading == read_reading(json.dumps(OLD))
    with pytest.raises(NotationError):
        read_study(json.dumps(old | {"reading": OLD | {"blocks": 7}}).encode())
