"""The table of clues as others read it: every key with its fields, what it dates in one of two words."""

from __future__ import annotations

import re

from seamlore.steps.clues import clues_record, found_clues

WHEN = re.compile(
    r"(\.\.|\d{4})/(\.\.|\d{4})(, usual (\.\.|\d{4})/(\.\.|\d{4}))?\Z|\d{3}X|\d{4}\Z|.*usual \d{2,4}X*\Z"
)


def test_each_row_has_the_fields_that_others_rely_on():
    for row in clues_record():
        assert {"key", "parts", "when", "strength", "dates", "source"} <= row.keys()
        assert row["dates"] in ("cloth", "making")
        assert WHEN.match(row["when"]), (row["key"], row["when"])


def test_a_search_finds_by_any_of_its_words_and_leaves_out_other_parts():
    keys = [clue.key for _, group in found_clues("polyester thread", "quilting") for clue in group]
    assert keys == ["polyester thread"]
    assert all("filling" in clue.parts for _, group in found_clues("", "batting") for clue in group)
    assert found_clues("no such thing", "") == []
