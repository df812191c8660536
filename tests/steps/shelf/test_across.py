"""Across the shelf: figures of all quilts counted, their quartiles, and where one stands."""

from __future__ import annotations

import statistics

import msgspec
import pytest

from seamlore.shelf.collection import Collection
from seamlore.shelf.shelf import Shelf
from seamlore.steps.shelf.across import across
from seamlore.steps.shelf.cards import VERSION, describe
from seamlore.steps.shelf.figures import Figures, Years, rests_on
from seamlore.steps.shelf.find import Wanted, find

BLOCKS = (6.0, 8.0, 9.0, 12.0, 12.0)


@pytest.fixture(scope="module")
def shelf(tmp_path_factory):
    with Shelf(tmp_path_factory.mktemp("shelf")) as opened:
        for size in BLOCKS:
            number = opened.create(f"of {size:g}")
            figures = Figures(
                rests_on="",
                blocks=("Shoo Fly",),
                counted=(4,),
                block=(size, size),
                sashing=(3.0, 3.0),
                years=(
                    Years(part="blocks", median=1890, first=1880, last=1900, edtf="", sentence="", known=size < 10),
                ),
            )

            def worked(standing, before, moves, figures=figures):
                fresh = msgspec.structs.replace(figures, rests_on=rests_on(standing.sections))
                return describe(standing, before, moves, fresh)

            Collection(opened).renew_one(number, worked, version=VERSION)
        opened.create("not worked out")
        yield opened


def test_quartiles_are_those_of_a_general_library_and_bars_count_every_quilt(shelf):
    import numpy as np

    found = across(shelf, 1)
    assert (found.count, found.worked) == (6, 5)
    block = next(each for each in found.measures if each.title == "Size of the block")
    low, high = np.percentile(BLOCKS, [25, 75])
    assert dict(block.table) == {
        "least": "6 in",
        "middle half": f"{low:g} in to {high:g} in",
        "middle": f"{statistics.median(BLOCKS):g} in",
        "most": "12 in",
        "quilts": "5",
    }
    assert block.picture.description == "Size of the block: 6 in: 1 (this quilt); 8 in: 1; 9 in: 1; 12 in: 2."
    assert block.stands == "Its 6 in is smaller than in 4 of the 4 others."


def test_names_are_counted_and_only_what_evidence_dates_is_drawn(shelf):
    found = across(shelf)
    (blocks,) = (each for each in found.counted if each.title == "Blocks")
    assert blocks.rows == (("Shoo Fly", 5),)
    assert found.years.description.count("1880 to 1900") == 3
    assert all(not each.stands for each in found.measures)


def test_a_shelf_without_figures_says_so(tmp_path):
    with Shelf(tmp_path / "shelf") as shelf:
        shelf.create("one")
        found = across(shelf)
        assert (found.says, found.measures, found.years) == (
            "No quilt on the shelf has been worked out yet.", (), None
        )  # fmt: skip
        assert find(shelf, Wanted()).quilts[0].lines == ("not worked out yet: open it",)
