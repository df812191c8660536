"""Labelled folders keep what is known, and those made by hand can be read."""

from __future__ import annotations

import json
from pathlib import Path

import numpy as np
import pytest
from PIL import Image

from judging.truth import Photo, Truth, load_labelled


def test_a_labelled_folder_gives_its_truth_back(plain_quilt: tuple[Photo, Truth], tmp_path: Path) -> None:
    photo, truth = plain_quilt
    path = truth.to_labelled(tmp_path, photo)
    [(found, again)] = load_labelled(tmp_path)
    assert found == path
    assert again.blocks == truth.blocks
    assert again.seams == truth.seams
    assert again.corners == truth.corners


def test_writing_a_photograph_again_replaces_its_record(plain_quilt: tuple[Photo, Truth], tmp_path: Path) -> None:
    photo, truth = plain_quilt
    truth.to_labelled(tmp_path, photo)
    truth.to_labelled(tmp_path, photo)
    assert len(list(load_labelled(tmp_path))) == 1


def _by_hand(folder: Path, **changes: object) -> Truth:
    Image.fromarray(np.zeros((60, 80, 3), np.uint8)).save(folder / "a.png")
    record = {
        "file": "a.png", "rows": 3, "columns": 4, "setting": "straight", "visible": "whole", "certainty": "good",
        "description": "check", "outer_corners_px": [[1, 2], [70, 2], [70, 50], [1, 50]],
        "block_field_corners_px": [[5, 6], [60, 6], [60, 45], [5, 45]],
    }  # fmt: skip
    (folder / "truth.json").write_text(json.dumps([record | changes]))
    [(_, truth)] = load_labelled(folder)
    return truth


def test_outer_corners_made_by_hand_are_the_quilts(tmp_path: Path) -> None:
    truth = _by_hand(tmp_path)
    assert (truth.rows, truth.columns, truth.corners_of) == (3, 4, "quilt")
    assert truth.corners == ((1.0, 2.0), (70.0, 2.0), (70.0, 50.0), (1.0, 50.0))


def test_corners_of_the_field_stand_in_where_the_outer_ones_are_missing(tmp_path: Path) -> None:
    truth = _by_hand(tmp_path, outer_corners_px=None)
    assert truth.corners_of == "field"
    assert truth.corners == ((5.0, 6.0), (60.0, 6.0), (60.0, 45.0), (5.0, 45.0))


def test_a_setting_that_looks_otherwise_is_still_that_setting(tmp_path: Path) -> None:
    assert _by_hand(tmp_path, setting="straight (looks on point)").setting == "straight"


def test_a_negative_case_made_by_hand_has_no_grid(tmp_path: Path) -> None:
    assert _by_hand(tmp_path, rows=None, columns=None, setting="-", certainty="negative case").setting == "none"


def test_what_is_neither_counted_nor_negative_is_not_known(tmp_path: Path) -> None:
    assert _by_hand(tmp_path, rows=1, columns=1, setting="medallion").setting is None


def test_a_picture_turned_by_its_camera_is_refused(tmp_path: Path) -> None:
    turned = Image.Exif()
    turned[0x0112] = 6
    _by_hand(tmp_path)
    Image.fromarray(np.zeros((60, 80, 3), np.uint8)).save(tmp_path / "a.png", exif=turned)
    with pytest.raises(ValueError, match="orientation is 6"):
        list(load_labelled(tmp_path))
