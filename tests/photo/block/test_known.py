"""The trade's own blocks as the reading knows them: the file beside the code, and which block is which."""

from __future__ import annotations

import sys
from pathlib import Path

import numpy as np
import pytest

from seamlore.draft.catalogue import all_blocks, find
from seamlore.photo.block import known as module
from seamlore.photo.block.agreement import lay
from seamlore.photo.block.known import is_known, known, known_like

sys.path.insert(0, str(Path(__file__).parents[3] / "tools"))
import known_blocks

ANEW = "run: python tools/known_blocks.py"


def drawing(name: str):
    return tuple(tuple(map(tuple, each.points.tolist())) for each in find(name).patches)


def test_the_file_in_the_package_is_made_of_the_catalogue_as_it_is():
    anew = known_blocks.drawings(all_blocks())
    kept = known().drawings
    assert len(kept) == len(anew), ANEW
    for mine, theirs in zip(kept, anew, strict=True):
        assert len(mine) == len(theirs), ANEW
        for ring, points in zip(mine, theirs, strict=True):
            np.testing.assert_allclose(ring, points, atol=1e-12, err_msg=ANEW)


@pytest.mark.parametrize(
    "name", ["Nine Patch", "Ohio Star", "Schoolhouse", "LeMoyne Star", "Flock of Geese", "Spools"]
)
@pytest.mark.parametrize("move", [0, 3, 6])
def test_a_block_of_the_trade_is_known_however_it_lies(name, move):
    assert is_known(lay(drawing(name), move))


def test_a_block_with_one_unit_otherwise_is_not_known_as_it():
    nine = list(drawing("Nine Patch"))
    square = next(ring for ring in nine if {(1 / 3, 1 / 3), (2 / 3, 2 / 3)} <= set(ring))
    (x0, y0), (x1, y1) = min(square), max(square)
    halves = (((x0, y0), (x1, y0), (x0, y1)), ((x1, y0), (x1, y1), (x0, y1)))
    assert not is_known((*(ring for ring in nine if ring != square), *halves))


def test_what_lies_aside_by_a_tenth_is_not_known():
    at = 0.6
    thirds = (((0.0, 0.0), (at, 0.0), (at, 1.0), (0.0, 1.0)), ((at, 0.0), (1.0, 0.0), (1.0, 1.0), (at, 1.0)))
    assert not is_known(thirds)


@pytest.mark.parametrize("move", range(8))
def test_the_likest_block_lies_as_what_is_seen_does(move):
    geese = lay(drawing("Flock of Geese"), move)
    assert is_known(geese)
    found = known_like(module._as_seen(geese))[0]
    corners = lambda rings: {(round(x, 6), round(y, 6)) for ring in rings for x, y in ring}  # noqa: E731
    assert corners(found) == corners(geese)
