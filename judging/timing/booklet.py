"""How long the booklet and the block lesson take, how much memory, and whether what is printed at true scale is true.

`python -m judging.timing.booklet` prints the booklet of a quilt of many kinds and a block lesson, each in a process of its own, and
measures every test square, every cutting line, and the slanted lines of templates and foundations in the PDF by their own path, apart from the code that drew it. Targets: 24 pages
in under 3 s and 400 MB, a lesson in under 1 s, sizes right to 0.1 mm.
"""

from __future__ import annotations

import datetime
import io
import json
import re
import resource
import subprocess
import sys
from collections.abc import Iterator
from time import perf_counter, process_time
from typing import Any

from judging.making.booklet_quilts import QUILTS

DAY = datetime.date(2026, 11, 30)
MM_PER_PT = 25.4 / 72
SAMPLER = QUILTS["sampler of nine"]


def booklet(paper: str) -> tuple[bytes, list[float]]:
    """Print the booklet of the sampler; the sides in mm that its templates' cutting lines should have."""
    from seamlore.draft.catalogue import find
    from seamlore.draft.text.quilt_file import read_quilt
    from seamlore.making.plan import plan
    from seamlore.printing.pages import plate_room, to_pdf
    from seamlore.sheets.booklet import booklet as laid_out
    from seamlore.steps.booklet import booklet_content

    # What is larger than the page is cut with the ruler and not printed.
    room = min(plate_room(paper))  # type: ignore[arg-type]
    content = booklet_content(plan(read_quilt(SAMPLER, find_block=find)), printed=DAY)
    # A square template is cut half an inch larger than it finishes: trade facts A1.
    sides = [
        (float(each.outline_in[:, 0].max() - each.outline_in[:, 0].min()) + 0.5) * 25.4
        for each in content.templates
        if len(each.outline_in) == 4 and abs(float(each.outline_in[0, 0] - each.outline_in[3, 0])) < 1e-9
    ]
    return to_pdf(laid_out(content, paper), paper), [side for side in sides if side < room - 1]  # type: ignore[arg-type]


def lesson() -> bytes:
    """Print a block lesson in two sizes."""
    from seamlore.draft.catalogue import find
    from seamlore.lengths import inches
    from seamlore.steps.sewing.lesson import lesson_content, lesson_pdf

    sizes = [(inches(side), inches(side)) for side in (9, 12)]
    return lesson_pdf(lesson_content(find("sawtooth star"), sizes, printed=DAY), "letter")


def paths_mm(pdf: bytes) -> Iterator[tuple[int, Any]]:
    """Every path of a PDF that is drawn: its page, and its corners in mm from the page's top left, shape (n, 2).

    Read from the drawing operators of ISO 32000-1 (8.5.2), through all changes of the coordinate system.
    """
    import numpy as np
    import pikepdf

    with pikepdf.open(io.BytesIO(pdf)) as opened:
        for number, page in enumerate(opened.pages, start=1):
            stack: list[Any] = []
            matrix = np.eye(3)
            top = float(page.mediabox[3])
            done_paths: list[list[list[float]]] = []
            for done in pikepdf.parse_content_stream(page):
                name = str(done.operator)
                values = [float(each) for each in done.operands] if name in ("cm", "m", "l", "c", "re") else []
                if name == "q":
                    stack.append(matrix)
                elif name == "Q":
                    matrix = stack.pop()
                elif name == "cm":
                    a, b, c, d, e, f = values
                    matrix = np.array([[a, b, 0], [c, d, 0], [e, f, 1]]) @ matrix
                elif name == "m":
                    done_paths.append([values])
                elif name in ("l", "c"):
                    done_paths[-1].append(values[-2:])
                elif name == "re":
                    x, y, w, h = values
                    done_paths.append([[x, y], [x + w, y], [x + w, y + h], [x, y + h]])
                elif name in ("S", "s", "f", "f*", "B", "B*", "b", "b*", "n"):
                    for points in done_paths:
                        placed = (np.column_stack([points, np.ones(len(points))]) @ matrix)[:, :2]
                        yield number, np.column_stack([placed[:, 0], top - placed[:, 1]]) * MM_PER_PT
                    done_paths = []


def boxes_mm(pdf: bytes) -> Iterator[tuple[int, float, float]]:
    """Every path of a PDF: its page, and the width and height of its box in mm."""
    import numpy as np

    for number, path in paths_mm(pdf):
        wide, high = np.ptp(path, axis=0)
        yield number, float(wide), float(high)


def corners_of(ring: Any) -> Any:
    """The corners of a ring, those on straight sides and the closing one left out."""
    import numpy as np

    ring = np.asarray(ring, dtype=float)
    ring = ring[np.hypot(*(ring - np.roll(ring, 1, axis=0)).T) > 1e-3]
    before, after = ring - np.roll(ring, 1, axis=0), np.roll(ring, -1, axis=0) - ring
    turn = before[:, 0] * after[:, 1] - before[:, 1] * after[:, 0]
    return ring[np.abs(turn) > 1e-3 * np.hypot(*before.T)]


def least_error(paths: list[Any], wanted: Any, *, mirrored: bool = False) -> float:
    """How much in mm the distances between the corners of a wanted outline differ at most from those of the path most like it.

    Distances of all corners from all others leave open how it is turned; that it is mirrored is told by which way round
    its corners follow each other.
    """
    import numpy as np

    def far(ring: Any) -> Any:
        x, y = ring[:, 0], ring[:, 1]
        round_it = ring if (x * np.roll(y, -1) - np.roll(x, -1) * y).sum() > 0 else ring[::-1]
        return np.hypot(*(round_it[:, None, :] - round_it[None, :, :]).transpose(2, 0, 1))

    here = far(corners_of(wanted) * ((-1, 1) if mirrored else (1, 1)))
    least = float("inf")
    for path in paths:
        if len(path) == len(here):
            there = far(path)
            for first in range(len(here)):
                order = np.roll(np.arange(len(here)), first)
                least = min(least, float(np.abs(here - there[np.ix_(order, order)]).max()))
    return least


def pieces_mm(block: Any, side_mm: float) -> list[Any]:
    """The finished outlines of a block's patches in mm, from the block alone."""
    import numpy as np

    return [np.array([[float(x), float(y)] for x, y in each.outline]) * side_mm for each in block.patches]


def slanted(name: str, side: str, paper: str) -> tuple[int, float, int, float]:
    """Templates and foundations of one block, measured in its booklet: how many outlines, the largest error of each in mm.

    Sewing lines are compared with the patches of the block as the catalogue draws it; of a foundation the places
    on it, which are mirrored.
    """
    from seamlore.draft.catalogue import find
    from seamlore.draft.repeated import repeated
    from seamlore.lengths import inches, length
    from seamlore.printing.content import Document, Title
    from seamlore.printing.pages import to_pdf
    from seamlore.sewing.foundation import foundations
    from seamlore.sewing.top import sewn_top
    from seamlore.sheets.foundation_pages import foundation_plates
    from seamlore.sheets.pattern import BlockFoundation
    from seamlore.sheets.template_pages import template_plates
    from seamlore.steps.sewing.templates import templates

    block, size = find(name), length(side)
    quilt = repeated("q", block, size, size, 1, 1)
    quarter = inches("1/4")
    wanted = pieces_mm(block, float(size.inches) * 25.4)

    def printed(plates: Any) -> list[Any]:
        given = [each for each in plates if type(each).__name__ == "Plate"]
        pdf = to_pdf(Document("x", (Title("", "x"), *given), DAY, squares="plates"), paper)  # type: ignore[arg-type]
        return [corners_of(path) for _, path in paths_mm(pdf) if len(path) > 2]

    paths = printed(template_plates(tuple(templates(quilt, sewn_top(quilt), quarter)), quarter, paper))  # type: ignore[arg-type]
    on_paper = [ring for ring in wanted if max((ring.max(axis=0) - ring.min(axis=0)).tolist()) < 160]
    # A patch that others are mirror images of is printed once, to be turned over.
    errors = [min(least_error(paths, ring), least_error(paths, ring, mirrored=True)) for ring in on_paper]
    exact = [tuple((x * size.inches, y * size.inches) for x, y in each.outline) for each in block.patches]
    found = foundations(exact, quarter)
    given = BlockFoundation(name, tuple(each.place for each in block.patches), found)
    paths = printed(foundation_plates([given], quarter, paper))  # type: ignore[arg-type]
    sections = []
    from shapely import Polygon, unary_union

    for section in found.sections:
        whole = unary_union([Polygon(wanted[piece]).buffer(1e-6, join_style="mitre") for piece in section.pieces])
        if len(section.pieces) > 1:
            sections.append(least_error(paths, list(whole.exterior.coords), mirrored=True))
    return len(errors), max(errors, default=0.0), len(sections), max(sections, default=0.0)


SLANTED = (
    ("54-40 or Fight", "12 in"), ("Kaleidoscope", "9 in"), ("LeMoyne Star", "30 cm"), ("Storm at Sea", "24 cm"),
    ("Economy Patch", "6 in"), ("Snail's Trail", "15 cm"),
)  # fmt: skip


def measured(what: str) -> dict[str, Any]:
    """Make one document and measure it, in this process."""
    clock, work = perf_counter(), process_time()
    data, sides = (lesson(), []) if what == "lesson" else booklet(what)
    clock, work = perf_counter() - clock, process_time() - work
    memory = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
    import pikepdf

    with pikepdf.open(io.BytesIO(data)) as opened:
        pages = len(opened.pages)
        problems = opened.check_pdf_syntax()
        tagged = bool(opened.Root.MarkInfo.Marked)
        ua = re.search(rb"pdfuaid:part\W+1", opened.Root.Metadata.read_bytes()) is not None
    boxes = [(wide, high) for _, wide, high in boxes_mm(data)]
    squares = [(50.0, sum(_near(box, 50.0) for box in boxes)), (25.4, sum(_near(box, 25.4) for box in boxes))]
    off = max((min(max(abs(w - side), abs(h - side)) for w, h in boxes) for side in sides), default=0.0)
    return {
        "pages": pages, "clock": clock, "work": work, "memory": memory, "bytes": len(data), "problems": len(problems),
        "tagged": tagged and ua, "squares": squares, "templates": len(sides), "off": off,
    }  # fmt: skip


def _near(box: tuple[float, float], side: float) -> bool:
    return abs(box[0] - side) < 0.1 and abs(box[1] - side) < 0.1


def main() -> None:
    """Print a line for each document."""
    print(
        f"{'':10}{'pages':>6}{'s':>7}{'work s':>8}{'MB':>6}{'kB':>6}  tagged  syntax  squares (5 cm, 1 in)  largest error of a cutting line, mm"
    )
    for what in ("letter", "a4", "lesson"):
        done = subprocess.run(
            [sys.executable, "-m", "judging.timing.booklet", what], check=True, capture_output=True, text=True
        )
        found = json.loads(done.stdout)
        squares = ", ".join(str(count) for _, count in found["squares"])
        print(
            f"{what:10}{found['pages']:6}{found['clock']:7.2f}{found['work']:8.2f}{found['memory']:6.0f}"
            f"{found['bytes'] / 1000:6.0f}  {'yes' if found['tagged'] else 'no':6}  "
            f"{'good' if not found['problems'] else found['problems']:6}  {squares:20}  "
            f"{found['off']:.4f} of {found['templates']}"
        )
    print("\nslanted lines: sewing lines of templates, sections of foundations: how many, largest error in mm")
    for paper in ("letter", "a4"):
        for name, side in SLANTED:
            count, off, sections, apart = slanted(name, side, paper)
            print(f"{name:18} {side:6} {paper:7} {count:3} {off:.4f}   {sections:3} {apart:.4f}")


if __name__ == "__main__":
    if len(sys.argv) > 1:
        print(json.dumps(measured(sys.argv[1])))
    else:
        main()
