"""Quilts that were labelled cell by cell from photographs, entered from their labels, drafted, planned and printed.

`python -m judging.scoring.from_labels [FOLDER]` prints a line for each: whether the booklet makes as many blocks of each kind as
the label counts, how many pages booklet and study sheet have, and how long they took. With a folder the PDFs are put there.
The labels lie beside the project and are not part of it.
"""

from __future__ import annotations

import datetime
import json
import re
import sys
from collections import Counter
from pathlib import Path
from time import perf_counter
from typing import Any

from seamlore.draft.kinds import NOT_READ, Cell, Kind, Turned
from seamlore.draft.quilt import Quilt, Sashing
from seamlore.draft.text.notation import read_block
from seamlore.draft.text.quilt_file import read_quilt, write_quilt
from seamlore.lengths import inches
from seamlore.making.plan import plan
from seamlore.printing.pages import to_pdf
from seamlore.sheets.booklet import booklet
from seamlore.sheets.content import StudyContent
from seamlore.sheets.pattern import BookletContent
from seamlore.sheets.study_sheet import study_sheet
from seamlore.steps.booklet import booklet_content

LABELS = Path(__file__).resolve().parents[3] / "shared" / "photos" / "piecing.json"
DAY = datetime.date(2026, 11, 30)
# The labels say nothing of sizes; a block of a foot leaves every patch wider than its seams.
SIDE, GAP = inches(12), inches(2)


def labels(path: Path = LABELS) -> list[dict[str, Any]]:
    """Read the labels; none where they do not lie beside the project."""
    return json.loads(path.read_text("utf-8")) if path.is_file() else []


def drafted(label: dict[str, Any]) -> Quilt:
    """Enter one quilt from its label."""
    kinds = {name: Kind(name, read_block(said["notation"])) for name, said in label["kinds"].items()}
    cells = tuple(
        tuple(
            Cell(cell["kind"], Turned(cell["turn"], cell["mirrored"])) if cell and cell["visible"] else NOT_READ
            for cell in row
        )
        for row in label["cells"]
    )
    used = {cell.kind for row in cells for cell in row}
    sashed = str(label["sashing"]).startswith("yes")
    posts = "posts" in str(label["sashing"])
    # A strip that runs through the middle alone lies between rows.
    upright = GAP * 0 if "centre strip" in str(label["sashing"]) else GAP
    sashing = Sashing(upright, GAP, outer="outside" in str(label["sashing"]), cornerstones=posts) if sashed else None
    chosen = tuple(kind for kind in kinds.values() if kind.name in used)
    return Quilt(label["file"].partition(".")[0], chosen, cells, SIDE, SIDE, sashing)


def counted(label: dict[str, Any]) -> Counter[str]:
    """Count the visible blocks of each kind by the label alone."""
    return Counter(cell["kind"] for row in label["cells"] for cell in row if cell and cell["visible"])


def made(content: BookletContent) -> Counter[str]:
    """Count the blocks of each kind that a booklet makes."""
    found: Counter[str] = Counter()
    for block in content.blocks:
        said = re.search(r"Make (\d+)\.|cloth, .* (\d+) of them\.", block.said[0])
        assert said is not None, block.said
        found[block.kind] += int(said[1] or said[2])
    return found


def followed(label: dict[str, Any]) -> tuple[Quilt, BookletContent]:
    """Draft a quilt from its label, write it and read it again, plan it, and fill its booklet."""
    quilt = drafted(label)
    again = read_quilt(write_quilt(quilt), find_block=read_block)
    assert again == quilt, label["file"]
    return quilt, booklet_content(plan(quilt), printed=DAY)


def main(folder: Path | None = None) -> None:
    """Print the table, and the PDFs where a folder is given."""
    print(
        f"{'quilt':20} {'blocks':>7} {'kinds':>5} {'unseen':>6} {'as labelled':>11} {'booklet':>7} {'sheet':>5} {'s':>5}"
    )
    for label in labels():
        start = perf_counter()
        quilt, content = followed(label)
        sheet = StudyContent(quilt.name, DAY, drafted=quilt, lead=quilt.name)
        pdfs = {"booklet": to_pdf(booklet(content)), "sheet": to_pdf(study_sheet(sheet))}
        seconds = perf_counter() - start
        pages = [len(re.findall(rb"/Type\s*/Page\b", pdf)) for pdf in pdfs.values()]
        same = made(content) == counted(label)
        print(
            f"{quilt.name:20} {len(quilt.spots):7} {len(quilt.kinds):5} {len(quilt.not_read):6} {'yes' if same else 'NO':>11} "
            f"{pages[0]:7} {pages[1]:5} {seconds:5.1f}"
        )
        for name, pdf in pdfs.items():
            if folder is not None:
                folder.mkdir(parents=True, exist_ok=True)
                (folder / f"{quilt.name}-{name}.pdf").write_bytes(pdf)


if __name__ == "__main__":
    main(Path(sys.argv[1]) if len(sys.argv) > 1 else None)
