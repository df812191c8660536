"""The judges of the dating: they read the records as they stand, and share nothing with what they judge."""

from __future__ import annotations

import numpy as np

from judging.scoring.documented import evidence_of, judged, known_years, summary
from judging.scoring.quilt_lives import PARTS, Habits, made, seen, usual_years

RECORD = {
    "id": "X",
    "year_from": "1870",
    "year_to": "1890",
    "clues": "blocks:turkey red?;blocks:block date name;edge finish:bias binding",
    "more": "filling:cotton batting",
    "parts_dated": "blocks:1870/1890:museum; edge finish:1930~:guess; quilting:later:museum",
    "source": "a museum of nobody",
}


def test_an_inscription_is_left_out_and_a_question_mark_is_half_sure():
    text, named = evidence_of(RECORD, more=False)
    assert named == [("blocks", "turkey red"), ("edge finish", "bias binding")]
    assert "sure = 0.5" in text
    assert "block date name" not in text


def test_parts_of_another_year_are_judged_by_that_year_or_not_at_all():
    assert known_years(RECORD, "blocks") == (1870, 1890)
    assert known_years(RECORD, "edge finish") == (1925, 1935)
    assert known_years(RECORD, "quilting") is None
    assert known_years(RECORD, "filling") is None


def test_made_up_quilts_keep_the_order_of_sewing_and_what_is_seen_was_usual():
    rng = np.random.default_rng(3)
    table = usual_years()
    for _ in range(40):
        years = made(rng, Habits())
        assert years["blocks"] <= years["setting"] <= years["quilting"] <= years["edge finish"]
        for part, key in seen(rng, years, Habits(mistaken=0.0), table):
            spans = [
                (low, high)
                for dates in ("cloth", "making")
                for name, low, high in table.get((part, dates), ())
                if name == key
            ]
            assert any(low <= years[part] and years[part] - 40 <= high for low, high in spans)


def test_the_documented_quilts_are_held_as_far_as_is_promised():
    told = summary(list(judged()))
    assert told["held"] >= 0.85
    assert told["off"] <= 12
    assert told["wide"] <= 60
    assert set(PARTS) == {"blocks", "setting", "backing", "filling", "quilting", "edge finish"}
