"""A watched folder: a photograph that arrives begins a study, once it is all there."""

from __future__ import annotations

import time
from pathlib import Path

import numpy as np
import pytest

from seamlore.photo.encoding import to_jpeg
from seamlore.shelf.shelf import Shelf
from seamlore.web.watch import Watch

PICTURE = to_jpeg(np.full((80, 100, 3), 140, np.uint8))


def until(condition, seconds=8.0):
    end = time.monotonic() + seconds
    while time.monotonic() < end:
        if condition():
            return True
        time.sleep(0.05)
    return False


@pytest.fixture
def watched(tmp_path):
    folder = tmp_path / "arrivals"
    folder.mkdir()
    (folder / "before.jpg").write_bytes(PICTURE)
    with Shelf(tmp_path / "shelf") as shelf:
        watch = Watch(folder, shelf, every_s=0.05)
        yield folder, shelf, watch
        watch.stop()


def test_a_photograph_that_arrives_begins_a_study_and_what_was_there_before_does_not(watched):
    folder, shelf, _ = watched
    (folder / "blue_star.jpg").write_bytes(PICTURE)
    assert until(shelf.studies)
    assert [each.name for each in shelf.studies()] == ["blue star"]


def test_a_file_that_is_no_picture_is_refused_and_left_where_it_is(watched):
    folder, shelf, watch = watched
    (folder / "notes.jpg").write_bytes(b"these are words")
    assert until(lambda: watch.refused)
    assert shelf.studies() == ()
    assert Path(folder / "notes.jpg").exists()
