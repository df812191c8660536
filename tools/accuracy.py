"""Write docs/accuracy.md: what was checked against something outside the project, what was claimed, what was measured.

python tools/accuracy.py            the quick checks anew; the tables of the slow judges as they were last written
python -m judging.scoring.look --set judging --corners both --write docs/accuracy/look.md        (about ten minutes)
python -m judging.scoring.dates --quilts 3000 > docs/accuracy/dates.txt                           (minutes)
python -m judging.making.placement > docs/accuracy/placement.txt
python -m judging.scoring.cloths --count 5 --photos FOLDER > docs/accuracy/cloths.txt
python -m judging.making.patches > docs/accuracy/patches.md
python -m judging.carrying.carried > docs/accuracy/carried.md                                      (three real quilts, minutes)
python -m judging.scoring.labeled > docs/accuracy/labeled.txt
python -m judging.fitting.kinds --each 4 > docs/accuracy/left_out.txt
python -m judging.scoring.grids > docs/accuracy/grids.txt
python -m judging.scoring.ways --each 3 > docs/accuracy/ways.txt
python -m judging.timing.condition > docs/accuracy/condition.txt
python -m judging.timing.speed > docs/accuracy/speed.txt
python -m judging.timing.shelf > docs/accuracy/shelf.txt
python -m judging.timing.pages > docs/accuracy/pages.txt
python tools/mutation.py --list docs/accuracy/unnoticed.txt > docs/accuracy/mutation.txt
python -m judging.timing.table > docs/accuracy/table.txt
python -m judging.timing.kinds > docs/accuracy/kinds.txt
python -m judging.timing.booklet > docs/accuracy/booklet.txt
python -m judging.making.booklets                                                                 (writes docs/accuracy/booklets.txt; half an hour)
python -m judging.making.pressing > docs/accuracy/pressing.txt
python -m judging.fitting.edges, border, block, fabrics, lengths, grid: one after the other into docs/accuracy/fitted.txt
"""

from __future__ import annotations

import csv
import tomllib
from collections.abc import Callable, Iterable
from fractions import Fraction
from itertools import pairwise
from math import comb
from pathlib import Path

import numpy as np

from seamlore.chronology.inference import infer, pose
from seamlore.chronology.order import Before
from seamlore.color.difference import delta_e_2000
from seamlore.draft.arrangements import arrangements
from seamlore.draft.catalogue import find
from seamlore.draft.repeated import repeated
from seamlore.draft.setting.setting import OnPoint
from seamlore.draft.sizes.bed import cover_size, mattress
from seamlore.draft.text.notation import read_block
from seamlore.lengths import Length, Unit, inches, length, on_mark, root2
from seamlore.making.buying import pieces_from
from seamlore.making.finish.backing import backing
from seamlore.making.finish.binding import bias_square, straight_binding
from seamlore.sewing.batches import batches
from seamlore.sewing.foundation import foundations
from seamlore.sewing.top import sewn_top

ROOT = Path(__file__).resolve().parent.parent
DATA = ROOT / "tests" / "data"
SLOW = (
    ("Reading photographs", "look.md"),
    ("Piecing of real quilts labeled cell by cell, corners given", "labeled.txt"),
    ("The same, each photograph left out of the fit of confidence in turn", "left_out.txt"),
    ("Rows, columns and setting of real photographs", "grids.txt"),
    ("Quilts pieced in seven ways, painted, corners given", "ways.txt"),
    ("Figures of the reader, fitted anew", "fitted.txt"),
    ("Dating", "dates.txt"),
    ("The same cloth in other quilts", "cloths.txt"),
    ("Placing fabrics", "placement.txt"),
    ("Patches out of old cloth", "patches.md"),
    ("Three quilts from the first note to the decision", "carried.md"),
    ("The condition of a large quilt", "condition.txt"),
    ("Speed", "speed.txt"),
    ("A shelf of 10,000 quilts", "shelf.txt"),
    ("Pages and commands", "pages.txt"),
    ("The table in the browser", "table.txt"),
    ("Many kinds of blocks on the page of the draft", "kinds.txt"),
    ("Printing a booklet and a lesson, and true sizes in them", "booklet.txt"),
    ("Booklets of blocks and quilts, printed and looked at", "booklets.txt"),
    ("Pressing of every block and of twenty quilts, beside what no pressing can better", "pressing.txt"),
    ("Tests that notice a wrong change", "mutation.txt"),
)
Row = tuple[str, str, str, str]


def table(name: str) -> list[dict[str, str]]:
    """Read a file of check values, its remarks left out."""
    lines = [line for line in (DATA / name).read_text(encoding="utf-8").splitlines() if not line.startswith("#")]
    return list(csv.DictReader(lines))


def share(agree: Iterable[bool]) -> str:
    """Say how many of some comparisons agree."""
    found = list(agree)
    return f"{sum(found)} of {len(found)}"


def quick() -> Iterable[Row]:
    """Compare with published tables and closed forms; quantity, source, claimed, measured."""
    pairs = np.loadtxt(DATA / "ciede2000_pairs.csv", delimiter=",", comments="#")
    off = np.abs(delta_e_2000(pairs[:, 1:4], pairs[:, 4:7]) - pairs[:, 7]).max()
    yield "CIEDE2000, 34 pairs", "Sharma, Wu and Dalal 2005, table 1", "0.00005", f"largest difference {off:.6f}"

    for case in tomllib.loads((DATA / "sewing_allowances.toml").read_text(encoding="utf-8"))["case"]:
        if "triangle" in case["shape"]:
            seam = length(case["seam"])
            exact = seam * 2 + root2(seam, Fraction(1 if case["shape"].startswith("half") else 2))
            printed = length(case["printed"])
            rounded = on_mark(exact.shown_in(printed.unit), "up")
            yield (
                f"{case['shape']}, allowance at {case['seam']}",
                case["source"],
                f"{case['exact']:.6f} in; printed {case['printed']}",
                f"{exact.inches_float:.6f} in; {rounded}",
            )

    rows = table("on_point_triangles.csv")
    yield (
        "setting triangles on point, side and corner",
        "lukas.is-a-geek.org, phoebemoon.com; trade facts A3 (computed)",
        "to 1/8 in, up",
        share(_triangles(row) for row in rows),
    )
    yards = [
        int(count) == pieces_from((_in(row["cut"]),) * 2, *(_in(side) for side in cloth.split("x")))
        for row in table("pieces_from_yardage.csv")
        for cloth, count in row.items()
        if cloth != "cut"
    ]
    yield "squares from a yard, fat quarter, fat eighth", "jajalger2018.org; trade facts A5", "exact", share(yards)
    slips = [
        int(row["printed"]) == pieces_from((_in(row["cut"]),) * 2, _in(row["width"]), _in(row["length"]))
        for row in table("pieces_from_yardage_slips.csv")
    ]
    yield "slips in print (must not agree)", "Hohn 2002; sylviasquiltdepot.com", "0", share(slips)
    strips = [
        straight_binding(
            _in(row["width"]), _in(row["height"]), _in(row["fabric_width"]), joining=_in(row["joining"])
        ).strips
        == int(row["strips"])
        for row in table("binding_strips.csv")
    ]
    yield "binding, strips", "as in tests/data/binding_strips.csv", "exact", share(strips)
    bias = [
        bias_square(_in(row["run"]), _in(row["cut_width"])) == _in(row["square"]) for row in table("binding_bias.csv")
    ]
    yield "bias binding, side of the square", "as in tests/data/binding_bias.csv", "to 1 in, up", share(bias)
    backs = []
    for row in table("backing_panels.csv"):
        made = backing(_in(row["width"]), _in(row["height"]), _in(row["fabric_width"]))
        backs.append(made.buy == row[f"{row['best']}_buy"] + " yd")
    yield "backing, the way that takes less", "trade facts A8 (computed)", "to 1/8 yd, up", share(backs)

    queen = cover_size(mattress("queen"), inches(13))
    yield "queen bed, 13 in drop", "quiltersreview.com", "86 x 93 in", f"{queen[0]} x {queen[1]}"
    plain = read_block("block Plain\nA light\n\nA")
    point = repeated("check", plain, inches(12), inches(12), 5, 4, setting=OnPoint())
    yield "4 by 5 on point, blocks", "apqs.com", "32", str(len(point.spots))
    for size, wanted in ((2, 70), (3, 65536)):
        counted = arrangements(size, "half-square triangle")
        yield (
            f"half-square triangles {size} x {size}, up to turns",
            "Burnside's lemma; trade facts D2 (computed)",
            f"{wanted:,}",
            f"{counted:,}",
        )
    wanted_sections = {"Square in a Square": 1, "Log Cabin": 1, "Four Patch": 2, "Nine Patch": 3, "Hourglass": 2}
    sections = [
        len(foundations([each.outline for each in find(name).patches], inches("1/4")).sections) == count
        for name, count in wanted_sections.items()
    ]
    source = "Leake and others, ACM Transactions on Graphics 2021; trade facts D1 (computed)"
    yield "foundations, fewest sections", source, "exact", share(sections)
    four = repeated("check", find("four patch"), length("1 1/2 in"), length("1 1/2 in"), 2, 2)
    (pairs_of, *_) = batches(sewn_top(four), inches("1/4"), inches(12))
    cut = str(pairs_of.strip_set.from_each) if pairs_of.strip_set else "none"
    yield "segments of 1 1/4 in from a 12 in strip set", "shadywoodquilts.com; trade facts A4, 22", "8", cut
    yield (
        "years of a chain of 6 parts without evidence",
        "order statistics of draws with repetition (closed form)",
        "1e-6",
        # Rounding differs from machine to machine: what matters is that it stays below what any answer shows.
        f"largest difference {'under 1e-12' if (worst := _chain(6, 327)) < 1e-12 else f'{worst:.1e}'}",
    )
    yield (
        "one inch",
        "international yard and pound agreement, 1959",
        "2.54 cm",
        f"{float(inches(1).measured_in(Unit.CM)):g} cm",
    )


def _in(text: str) -> Length:
    return length(f"{text} in")


def _triangles(row: dict[str, str]) -> bool:
    block = inches(row["block"])
    side = on_mark(root2(block) + inches(Fraction(5, 4)), "up")
    corner = on_mark(root2(block, Fraction(1, 2)) + inches(Fraction(7, 8)), "up")
    return (side, corner) == (_in(row["side"]), _in(row["corner"]))


def _chain(count: int, size: int) -> float:
    parts = [f"part {index}" for index in range(count)]
    dates = infer(pose((1, size), [], [Before(one, two) for one, two in pairwise(parts)], parts=parts))
    worst = 0.0
    for k in range(1, count + 1):
        wanted = [
            comb(year + k - 2, k - 1) * comb(size - year + count - k, count - k) / comb(size + count - 1, count)
            for year in range(1, size + 1)
        ]
        worst = max(worst, float(np.abs(dates.p[k - 1] - wanted).max()))
    return worst


def document(read: Callable[[Path], str]) -> str:
    """Put the page together."""
    lines = [
        "# Accuracy",
        "",
        "What was measured against something outside the project, and on quilts whose truth is known. Made by",
        "`python tools/accuracy.py`, which says how each table is made anew. Misses stand as misses.",
        "",
        "## Against published tables and closed forms",
        "",
        "| quantity | source | claimed | measured |",
        "|---|---|---|---|",
        *(f"| {quantity} | {source} | {claimed} | {measured} |" for quantity, source, claimed, measured in quick()),
        "",
        "Each is a test too, with its source beside it; the tests of `tests/data` hold more cases than stand here.",
    ]
    for heading, name in SLOW:
        path = ROOT / "docs" / "accuracy" / name
        if not path.exists():
            continue
        text = read(path).strip()
        lines += ["", f"## {heading}", ""]
        lines += [text] if name.endswith(".md") else ["```", text, "```"]
    return "\n".join(lines) + "\n"


def main() -> None:
    """Write the page."""
    text = document(lambda path: path.read_text(encoding="utf-8"))
    (ROOT / "docs" / "accuracy.md").write_text(text, encoding="utf-8")


if __name__ == "__main__":
    main()
