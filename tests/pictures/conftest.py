"""What the tests of pictures share: a block, a quilt, a reading, and records kept on file."""

import os
from pathlib import Path

import pytest

from seamlore.draft.border import border
from seamlore.draft.quilt import Sashing
from seamlore.draft.repeated import repeated
from seamlore.draft.text.notation import read_block
from seamlore.drawing.record import record
from seamlore.drawing.shapes import ImageFile
from seamlore.lengths import inches
from seamlore.photo.reading import BlockAt, Edge, Reading

FOLDER = Path(__file__).parent / "recorded"


@pytest.fixture
def shoo_fly():
    return read_block("block Shoo Fly\nA light\nB dark\n\nA/B A A\\B\nA B A\nA\\B A A/B")


@pytest.fixture
def quilt(shoo_fly):
    gap = Sashing(inches(3), inches(3), cornerstones=True)
    indigo = border(inches(4), "indigo")
    return repeated("Trial", shoo_fly, inches(8), inches(8), 3, 2, gap, (indigo,))


@pytest.fixture
def photo():
    return ImageFile("flat.jpg", "image/jpeg", b"\xff\xd8\xff\xd9")


@pytest.fixture
def reading():
    """Two rows of three 8 in blocks with 3 in sashing, 1 in cut off left and right; one block turned."""
    spans = {"rows": ((0.0, 8.0), (11.0, 19.0)), "columns": ((-1.0, 7.0), (10.0, 18.0), (21.0, 29.0))}
    blocks = tuple(
        BlockAt(row=row, column=column, kind=0, turn=90 if (row, column) == (1, 2) else 0, shift=(0.25 * row, 0.0))
        for row in range(2)
        for column in range(3)
    )
    return Reading(
        photo_size=(400, 300),
        corners=((0, 0), (400, 0), (400, 300), (0, 300)),
        corners_from="given",
        unit="in",
        size=(28.0, 19.0),
        setting="straight",
        rows=2,
        columns=3,
        block_size=(8.0, 8.0),
        sashing=(3.0, 3.0),
        edge=Edge(left=-1.0, top=0.0, right=-1.0, bottom=0.0),
        row_spans=spans["rows"],
        column_spans=spans["columns"],
        blocks=blocks,
    )


@pytest.fixture
def as_recorded():
    """Compare a picture's drawing calls with those on file; SEAMLORE_RECORD=1 writes them anew, and fails."""

    def compare(drawn, name):
        file = FOLDER / f"{name}.txt"
        now = record(drawn) + "\n"
        if os.environ.get("SEAMLORE_RECORD") == "1":
            FOLDER.mkdir(exist_ok=True)
            file.write_text(now, encoding="utf-8")
            pytest.fail(f"recorded {name}: look at it, then run without SEAMLORE_RECORD")
        assert now == file.read_text(encoding="utf-8")

    return compare
