"""The small drawings: one for every clue, none too many, each within its frame."""

from __future__ import annotations

import pytest

from seamlore.chronology.clues import clues
from seamlore.drawing.shapes import Area, Line, Text
from seamlore.pictures.clues.ground import HEIGHT_MM, WIDTH_MM
from seamlore.pictures.clues.sheet import clue_mark, marks


def test_every_clue_has_a_drawing_and_every_drawing_a_clue():
    assert marks().keys() == clues().keys()


@pytest.mark.parametrize("key", marks())
def test_a_drawing_shows_something_within_its_frame(key):
    shapes = clue_mark(key).shapes
    assert shapes
    for shape in shapes:
        if isinstance(shape, Area):
            nodes = [node[:2] for ring in shape.rings for node in ring]
        elif isinstance(shape, Line):
            nodes = [node[:2] for run in shape.runs for node in run]
        else:
            assert isinstance(shape, Text)
            nodes = [(shape.x, shape.y)]
        # Some repeats run out of the frame, by no more than one of them.
        assert all(-3 <= x <= WIDTH_MM + 3 and -3 <= y <= HEIGHT_MM + 3 for x, y in nodes)
