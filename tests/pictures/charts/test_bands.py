"""The picture of dates: what it shows is what was computed."""

from __future__ import annotations

from numpy.testing import assert_allclose

from seamlore.chronology.evidence import Evidence
from seamlore.chronology.inference import infer, pose
from seamlore.chronology.spans import Span
from seamlore.drawing.shapes import Area, Line, Text
from seamlore.pictures.charts.bands import bands_picture


def drawn(evidence):
    dates = infer(pose((1850, 2000), evidence, []))
    return dates, bands_picture(dates, evidence, 160)


def test_the_band_of_nine_in_ten_lies_over_its_years_on_the_scale():
    seen = [Evidence("backing", "sacks", Span(1924, 1949), 1.0)]
    dates, picture = drawn(seen)
    ticks = {each.words: each.x for each in picture.shapes if isinstance(each, Text) and each.words.isdigit()}
    per_year = (ticks["1940"] - ticks["1930"]) / 10
    band = next(each for each in picture.shapes if isinstance(each, Line) and each.stroke_mm == 0.5)
    (left, _), (right, _) = band.runs[0]
    low, high = dates.year("backing", 0.05), dates.year("backing", 0.95)
    assert_allclose(left, ticks["1930"] + (low - 1930) * per_year)
    assert_allclose(right, ticks["1930"] + (high + 1 - 1930) * per_year)


def test_every_piece_of_evidence_is_named_under_its_part():
    seen = [
        Evidence("backing", "sacks", Span(1924, None), 0.9),
        Evidence("binding", "bias tape", Span(1920, None), 0.5),
    ]
    words = " ".join(each.words for each in drawn(seen)[1].shapes if isinstance(each, Text))
    assert "sacks" in words
    assert "bias tape" in words


def test_a_hill_adds_up_to_its_own_width_only():
    _, picture = drawn([Evidence("backing", "one year", Span(1924, 1924), 1.0)])
    hills = [each for each in picture.shapes if isinstance(each, Area)]
    xs = [node[0] for each in hills for ring in each.rings for node in ring]
    assert max(xs) - min(xs) < 160 / 5
