"""Tables and calibration say what the scores say."""

from __future__ import annotations

from numpy.testing import assert_allclose

from judging.scoring.measures import Score
from judging.scoring.report import as_text, bins_text, calibration, misses, real_table, table


def _score(
    confidence: float, *, right: bool = True, grid: bool = True, said: bool = True, way: str = "given"
) -> Score:
    return Score("a", way, grid, said, right if grid else None, confidence, "straight 3 x 3 read as straight 3 x 3")


def test_sureness_that_holds_has_no_calibration_error() -> None:
    scores = [_score(0.75, right=index < 3) for index in range(4)]
    bins, error = calibration(scores)
    assert_allclose(error, 0)
    assert bins[7].count == 4
    assert_allclose(bins[7].right, 0.75)


def test_sureness_that_does_not_hold_is_off_by_the_difference() -> None:
    _, error = calibration([_score(0.95, right=False)] * 3)
    assert_allclose(error, 0.95)


def test_none_is_an_answer_as_sure_as_it_says() -> None:
    bins, error = calibration([_score(0.9, grid=False, said=False)])
    assert bins[9].count == 1
    assert_allclose(error, 0.1)


def test_bins_count_every_reading_once() -> None:
    bins, _ = calibration([_score(value / 20) for value in range(21)])
    assert sum(each.count for each in bins) == 21
    assert len(bins) == 10


def test_the_table_passes_what_is_reached_and_misses_what_is_not() -> None:
    rows = {row.name: row for row in table([_score(0.9)] * 98 + [_score(0.9, right=False)] * 2)}
    assert rows["lattice right (rows, columns, setting), corners given"].passed is True
    assert rows["lattice right (rows, columns, setting), corners given"].reached == "98.0%"
    rows = {row.name: row for row in table([_score(0.9)] * 96 + [_score(0.9, right=False)] * 4)}
    assert rows["lattice right (rows, columns, setting), corners given"].passed is False


def test_what_was_not_measured_is_neither_passed_nor_missed() -> None:
    rows = {row.name: row for row in table([_score(0.9)])}
    assert rows["visible turns found"].passed is None
    assert rows["visible turns found"].count == 0


def test_real_photographs_need_four_in_five() -> None:
    [row, *_] = real_table([_score(0.9)] * 4 + [_score(0.9, right=False)])
    assert row.passed is True
    [row, *_] = real_table([_score(0.9)] * 3 + [_score(0.9, right=False)])
    assert row.passed is False


def test_each_miss_has_its_line() -> None:
    lines = misses([_score(0.9), _score(0.8, right=False), _score(0.7, grid=False)])
    assert len(lines) == 2
    assert "confidence 0.80" in lines[0]


def test_tables_are_set_for_the_screen_and_for_a_page() -> None:
    rows = table([_score(0.9)])
    assert "| measure" in as_text(rows, markdown=True)
    assert len(as_text(rows).splitlines()) == len(rows) + 1
    assert len(bins_text(calibration([_score(0.9)])[0], markdown=True).splitlines()) == 12
