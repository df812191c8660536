"""The plan as JSON."""

import json

import msgspec

from seamlore.draft.repeated import repeated
from seamlore.draft.text.notation import read_block
from seamlore.lengths import centimeters, inches
from seamlore.making.listing import PlanRecord, record, schema
from seamlore.making.plan import plan

FOUR = read_block("block Four Patch\nA dark\nB light\n\nA B\nB A")


def written(quilt, **choices):
    return json.loads(msgspec.json.encode(record(plan(quilt, **choices))))


def test_the_agreed_keys_are_there():
    made = written(repeated("q", FOUR, inches(8), inches(8), 7, 8))
    assert {"finished", "unit", "cutting", "fabrics", "backing", "filling", "edge_finish"} <= set(made)
    assert {"fabric", "shape", "cut", "yields", "count"} <= set(made["cutting"][0])
    assert {"fabric", "width", "length", "least_length", "buy"} <= set(made["fabrics"][0])


def test_lengths_are_numbers_in_the_unit():
    made = written(repeated("q", FOUR, centimeters(20), centimeters(20), 2, 2))
    assert made["unit"] == "cm"
    assert made["finished"] == [40.0, 40.0]
    assert made["cutting"][0]["cut"] == [11.5, 11.5]


def test_the_record_reads_back_as_it_was_written():
    made = record(plan(repeated("q", FOUR, inches(8), inches(8), 2, 2), binding="none"))
    assert msgspec.json.decode(msgspec.json.encode(made), type=PlanRecord) == made
    assert made.edge_finish.kind == "none"


def test_the_schema_names_every_field():
    assert set(schema()["$defs"]["PlanRecord"]["properties"]) == set(PlanRecord.__struct_fields__)


def test_each_part_says_how_it_is_known():
    made = written(repeated("q", FOUR, inches(8), inches(8), 2, 2))
    assert set(made["known"]) == {"cutting", "fabrics", "backing", "filling", "edge_finish", "holding", "costs"}
