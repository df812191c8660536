"""Carry photographs from the first note to the recorded decision, and reckon again all that the pages say of them.

    python -m judging.carrying.carried > docs/accuracy/carried.md        (three real quilts beside the checkout, minutes)
    python -m judging.carrying.carried --folder FOLDER --shelf SHELF     (the shelf is kept, to look at the pages: seamlore open --shelf SHELF)

Notes, sizes by tape and all that is typed are a scenario of our own (`judging.carrying.quilt`).
"""

from __future__ import annotations

import argparse
import json
import sys
import tempfile
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from starlette.testclient import TestClient

from judging.carrying.pages import Pages
from judging.carrying.quilt import Carried, Quilt, carry
from judging.carrying.replayed import replay
from judging.scoring.look import REAL
from seamlore.shelf.shelf import Shelf
from seamlore.web.app import make_app

_ADDRESS = "http://127.0.0.1:4000"
_TIED = {"object": "comforter", "lines": "none"}
_HEAD = """Three photographs of real quilts were carried from the first note to the recorded decision: eleven to thirteen notes each (two on a
photograph of a back laid on the quilt), what it is and what holds it, fading, allowance, wished size, new sashing and border, price, box
with last year's folds, patches, a fabric at hand, loose blocks, a test block, a thing of her own, a stage, the decision. Sizes by tape are invented.

Every number on the pages Assess and Decide was then reckoned again without any code of Seamlore (`judging/carrying`), and looked for on the page:
areas, shares, verdicts, the widest bare circle, colors, folds, pieces to cut and inches to sew, hours, yards, prices, seams, strips, triangles, blocks,
the smaller quilt, things, trimming, frames, cloth, patches, backing. Of what is packed (patches, backing for things, fabric out of strips) it was
reckoned that it lies within sound cloth and on no other, and that plain rows give no more; missing ties, that with them no circle is wider than
it may be. What a new one takes is as the page Make says it; sums and prices of it were reckoned. Where edges bow, how far the cloth between them
goes along is not known: the record says by how much that may change an area.

A test carries the demo in the same way, its cut blocks left out (`tests/web/test_carried.py`).

| quilt | read as | numbers on the pages | findings alike | not alike | numbers not reckoned | largest difference of an area |
|---|---|---|---|---|---|---|"""


def quilts(folder: Path) -> Iterator[Quilt]:
    """Give the three: of several kinds with sashing round each block, on point, plain with a border and bowed edges."""
    field = {
        each["file"]: each["field"] for each in json.loads((folder / "piecing.json").read_text(encoding="utf-8"))
    }
    truth = json.loads((folder / "truth.json").read_text(encoding="utf-8"))
    outer = {
        each["file"]: each["outer_corners_px"] for each in (truth if isinstance(truth, list) else truth.values())
    }
    back = (folder / "ed_back.jpg").read_bytes()
    yield Quilt(
        name="Sampler", photograph=(folder / "ct_red.jpg").read_bytes(), back=back, corners=field["ct_red.jpg"],
        tape={"width": "84 in", "height": "60 in"},
    )  # fmt: skip
    yield Quilt(
        name="On point", photograph=(folder / "hb_museum_bw.jpg").read_bytes(), block="plain",
        corners=[[155.5, 144.4], [1281.4, 144.4], [1267.5, 1409.1], [150.6, 1396.6]], tape={"width": "78 in", "height": "88 in"},
        condition={**_TIED, "ties": "grid", "tie_every": "9", "filling": "old cotton batting"}, decided={"new_sashing": "1 1/2"},
    )  # fmt: skip
    yield Quilt(
        name="Pictures", photograph=(folder / "ct_5x3.jpg").read_bytes(), back=back, corners=outer["ct_5x3.jpg"],
        tape={"width": "50 in", "height": "78 in"}, condition={**_TIED, "ties": "crossings"},
    )  # fmt: skip


def carried(shelf: Path, folder: Path) -> Iterator[tuple[Quilt, Carried, Pages]]:
    """Carry the three over a table of their own, each with its pages as they were replayed."""
    with Shelf(shelf) as opened:
        app: Any = make_app(opened)
        client = TestClient(
            app,
            base_url=_ADDRESS,
            headers={"origin": _ADDRESS},
            cookies=dict([app.doors.cookie(4000).split("=", 1)]),
        )
        for quilt in quilts(folder):
            found = carry(client, app.app.state.desk, quilt)
            yield quilt, found, replay(found)


def row(quilt: Quilt, found: Carried, pages: Pages) -> str:
    """Give a line of the table."""
    reading = found.reading
    wide, high = reading["size"]
    kinds = len(reading["kinds"] or [])
    read = f"{reading['setting']}, {reading['rows']} rows of {reading['columns']}, {kinds} kind{'s' * (kinds != 1)}, {wide:g} x {high:g} in"
    worst = next(each.partition(": ")[2] for each in pages.agreed + pages.missed if each.startswith("areas of notes"))
    cells = (quilt.name, read, pages.numbers, len(pages.agreed), len(pages.missed), len(pages.not_reckoned()), worst)
    return "| " + " | ".join(map(str, cells)) + " |"


def main(args: list[str] | None = None) -> int:
    """Carry the quilts and print the table; 1 where something is not alike."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--folder", type=Path, default=REAL)
    parser.add_argument("--shelf", type=Path)
    given = parser.parse_args(args)
    with tempfile.TemporaryDirectory() as room:
        print(_HEAD, flush=True)
        wrong: list[str] = []
        for quilt, found, pages in carried(given.shelf or Path(room) / "shelf", given.folder):
            print(row(quilt, found, pages), flush=True)
            wrong += [f"{quilt.name}: {each}" for each in pages.missed + pages.not_reckoned()]
    print(*wrong, sep="\n", file=sys.stderr)
    return int(bool(wrong))


if __name__ == "__main__":
    sys.exit(main())
