"""The trainings as they are written down: no picture twice, the same pictures each time, whatever the clock does."""

from __future__ import annotations

from itertools import pairwise
from pathlib import Path

import numpy as np
import pytest

from judging.rendering.quilts import JUDGING_SEEDS, TUNING_SEEDS
from judging.training.courses import COURSES, Training
from judging.training.pictures import Pictures, chunk_path, make_chunk
from judging.training.samples import TRAINING_SEEDS

TINY = Training(first=10, pictures=2, steps=8, held=1, chunk=1)


@pytest.mark.parametrize("what", sorted(COURSES))
def test_no_training_of_a_course_sees_a_picture_again_or_one_held_out(what: str) -> None:
    seen: set[int] = set()
    for training in COURSES[what]:
        mine = {start + k for start, held in training.chunks() if not held for k in range(training.chunk)}
        kept = {start + k for start, held in training.chunks() if held for k in range(training.chunk)}
        assert len(mine) == training.pictures
        assert not mine & (seen | kept)
        seen |= mine
    assert max(seen) + TRAINING_SEEDS > max(JUDGING_SEEDS, TUNING_SEEDS) + 10**6


def test_the_edges_share_their_pictures_with_one_training_of_the_eye() -> None:
    (edges,) = COURSES["edges"]
    assert edges.chunks() in [each.chunks() for each in COURSES["eye"] if each.photographed]


@pytest.mark.parametrize("training", [each for course in COURSES.values() for each in course])
def test_all_pictures_are_there_by_the_middle_and_none_is_taken_back(training: Training) -> None:
    by = [training.chunks_by(step) for step in range(0, training.steps, 500)]
    assert all(one <= two for one, two in pairwise(by))
    assert by[0] > training.held // training.chunk
    assert training.chunks_by(round(training.filled * training.steps)) == len(training.chunks())


def test_the_rate_rises_for_200_steps_and_falls_to_a_fiftieth() -> None:
    training = COURSES["edges"][0]
    rates = np.array([training.rate_at(step) for step in range(training.steps)])
    assert 190 < rates.argmax() < 210
    assert rates[-1] == pytest.approx(training.rate / 50, rel=1e-3)


def test_pictures_are_taken_in_by_the_step_in_their_order_and_are_the_same_each_time(tmp_path: Path) -> None:
    for start, _ in TINY.chunks():
        make_chunk((tmp_path, start, TINY.chunk, False))
    # None are to be made: they lie there already.
    pictures = Pictures(TINY, tmp_path, processes=0)
    taken = [pictures.due(step) for step in range(TINY.steps)]
    assert [[held for held, _ in each] for each in taken] == [[True, False], [], [False], [], [], [], [], []]
    with np.load(chunk_path(tmp_path, 12, photographed=False)) as stored:
        once = {name: stored[name] for name in stored.files}
    make_chunk((tmp_path, 12, 1, False))
    with np.load(chunk_path(tmp_path, 12, photographed=False)) as stored:
        for name, array in once.items():
            assert np.array_equal(array, stored[name], equal_nan=name == "lines")
    assert np.array_equal(taken[2][0][1]["pixels"], once["pixels"])
