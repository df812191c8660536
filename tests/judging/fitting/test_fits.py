"""Each fitting script at a tiny size: it runs, and prints what is kept in the program beside what it fits."""

from __future__ import annotations

import re
from functools import partial
from types import ModuleType
from typing import Any

import numpy as np
import pytest

from judging.fitting import block, border, edges, fabrics, grid, lengths, logistic, tuned
from judging.fitting.cases import quilt
from judging.rendering.quilts import make_quilt
from seamlore.photo import written
from seamlore.photo.block import confidence as block_confidence
from seamlore.photo.edges import beyond
from seamlore.photo.edges import confidence as edge_confidence
from seamlore.photo.fabric import fabrics as kept_fabrics
from seamlore.photo.grid.confidence import weights

SMALL = {"kind": "straight", "rows": 3, "columns": 3, "long_side_px": 400}


def small(number: int, **fields: Any) -> Any:
    """A quilt of the tuning set, small and of few blocks."""
    return quilt(number, **{**fields, **SMALL})


def printed(capsys: pytest.CaptureFixture[str], fit: ModuleType, *words: str) -> tuple[str, list[float]]:
    """What a fit prints, and the column of what is kept."""
    fit.main(["--workers", "1", *words])
    text = capsys.readouterr().out
    return text, [float(row) for row in re.findall(r"^.{32} +(-?[\d.]+) +-?[\d.]+ +-?[\d.]+$", text, re.MULTILINE)]


def test_edges(capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(edges, "quilt", small)
    text, kept = printed(capsys, edges, "--count", "4")
    assert kept == edge_confidence._WEIGHTS.tolist()
    assert "16 edges of 4 photographs" in text


def test_a_cropped_edge_lies_beyond_the_picture_and_the_others_stay() -> None:
    photo = np.zeros((300, 400, 3), np.uint8)
    true = np.array([(50.0, 40.0), (350.0, 40.0), (350.0, 260.0), (50.0, 260.0)])
    cut, moved = edges.cropped(photo, true, np.random.default_rng(1))
    height, width = cut.shape[:2]
    outside = [moved[0, 1] < 0, moved[1, 0] > width - 1, moved[2, 1] > height - 1, moved[0, 0] < 0]
    assert 1 <= sum(outside) <= 2
    assert np.allclose(np.diff(moved, axis=0), np.diff(true, axis=0))


def test_border(capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(border, "quilt", small)
    text, kept = printed(capsys, border, "--count", "3")
    assert kept == beyond._WEIGHTS.tolist()
    assert "3 quilts" in text


def test_block(capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(block, "quilt", small)
    # So few are all read well: one is said not to be.
    told = iter([1.0, 0.5, 1.0])
    monkeypatch.setattr(block, "seam_f1", lambda _seen, _truth: (1.0, 1.0, next(told)))
    text, kept = printed(capsys, block, "--count", "3")
    assert kept == [block_confidence._OFFSET, *block_confidence._WEIGHTS]
    assert text.startswith("3 quilts with a grid, 1 with an F1 under 0.93")


def test_fabrics(capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(fabrics, "quilt", small)
    text, kept = printed(capsys, fabrics, "--count", "3")
    assert kept == [*kept_fabrics._SPREAD, *kept_fabrics._PRINT_SPREAD]
    assert text.startswith("2 quilts")


def test_lengths(capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(lengths, "quilt", partial(small, sashing=(2.0, 2.0)))
    text, kept = printed(capsys, lengths, "--count", "1")
    assert kept == [written._STRAIGHT_SIGMA, written._FOLLOWED_SIGMA, written._SASHED_SIDES_PX]
    assert "1 quilts, 2 directions with a pitch" in text


def test_grid(capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(grid, "make_quilt", lambda seed, **fields: make_quilt(seed, **{**fields, **SMALL}))
    before = grid.WEIGHTS.read_bytes()
    text, kept = printed(capsys, grid, "--count", "3")
    model = weights()
    assert kept == np.round([*model.weight, *model.none, model.other], 3).tolist()
    assert "3 pictures" in text
    assert grid.WEIGHTS.read_bytes() == before


@pytest.mark.parametrize("name", sorted(tuned.TRIED))
def test_every_figure_that_is_tried_is_one_of_the_reader(name: str) -> None:
    import importlib

    module, figure = name.rsplit(".", 1)
    kept = getattr(importlib.import_module(f"seamlore.photo.{module}"), figure)
    assert tuned.times(kept, 1.0) == kept
    assert tuned.times(kept, 2.0) != kept


def test_a_figure_is_changed_while_a_quilt_is_read_and_put_back() -> None:
    from seamlore.photo.edges import corners

    one, other = (tuned.judged(3, "edges.corners._SURE", factor, 500) for factor in (1.0, 2.0))
    # Twice as sure as can be is never reached, so that the ground decides.
    assert one.corner_error != other.corner_error
    assert corners._SURE == 0.85
    assert len(tuned.summary([one, other]).split()) == 4


def test_what_is_said_adds_up_to_what_is_right_with_a_constant_and_no_ridge() -> None:
    # A property of the maximum of likelihood of a logistic model with a constant (McCullagh and Nelder 1989, 4.4).
    rng = np.random.default_rng(3)
    table, right = rng.normal(size=(200, 3)), rng.random(200) < 0.3
    said = logistic.chances(logistic.fit(table, right, 0.0), table)
    assert said.sum() == pytest.approx(right.sum(), abs=1e-2)
    assert np.abs(table.T @ (said - right)).max() < 1e-2


def test_a_case_held_back_has_no_say_in_its_own_chance() -> None:
    table = np.linspace(-1, 1, 20)[:, None]
    right = np.arange(20) % 3 == 0
    of = np.arange(20)
    before = logistic.held_back(table, right, of, 0.01, folds=5)
    turned = right.copy()
    turned[of % 5 == 2] ^= True
    after = logistic.held_back(table, turned, of, 0.01, folds=5)
    assert np.allclose(before[of % 5 == 2], after[of % 5 == 2])
    assert not np.allclose(before, after)
