"""How long the booklet and the block lesson take, how much memory, and whether what is printed at true scale is true.

`python -m judging.timing.booklet` prints the booklet of a quilt of many kinds and a block lesson, each in a process of its own, and
measures every test square and every cutting line in the PDF by its own path, apart from the code that drew it. Targets: 24 pages
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

DAY = datetime.date(2026, 11, 30)
MM_PER_PT = 25.4 / 72
SAMPLER = """quilt Sampler
finished 12 in
row SS OS BP
row CD NP SF
row FP DP BH
sashing 2 in, cornerstones
border 4 in, brown
kind SS Sawtooth Star
kind OS Ohio Star
kind BP Bear's Paw
kind CD Churn Dash
kind NP Nine Patch
kind SF Shoo Fly
kind FP Four Patch
kind DP Dutchman's Puzzle
kind BH Bright Hopes
"""


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


def boxes_mm(pdf: bytes) -> Iterator[tuple[int, float, float]]:
    """Every closed path of a PDF: its page, and the width and height of its box in mm.

    Read from the drawing operators of ISO 32000-1 (8.5.2), through all changes of the coordinate system.
    """
    import numpy as np
    import pikepdf

    with pikepdf.open(io.BytesIO(pdf)) as opened:
        for number, page in enumerate(opened.pages, start=1):
            stack: list[Any] = []
            matrix = np.eye(3)
            points: list[list[float]] = []
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
                elif name in ("m", "l"):
                    points = [values] if name == "m" else [*points, values]
                elif name == "c":
                    points = [*points, values[4:]]
                elif name == "re":
                    x, y, w, h = values
                    points = [[x, y], [x + w, y + h]]
                elif name in ("S", "s", "f", "f*", "B", "B*", "b", "b*", "n") and points:
                    placed = np.column_stack([points, np.ones(len(points))]) @ matrix
                    wide, high = np.ptp(placed[:, :2], axis=0) * MM_PER_PT
                    yield number, float(wide), float(high)
                    points = []


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


if __name__ == "__main__":
    if len(sys.argv) > 1:
        print(json.dumps(measured(sys.argv[1])))
    else:
        main()
