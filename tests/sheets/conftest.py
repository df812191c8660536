"""What the tests of sheets share: contents of an invented quilt, and how a printed page is measured."""

import io
import shutil
import subprocess
from datetime import date

import numpy as np
import pikepdf
import pytest
from PIL import Image

from seamlore.draft.border import border
from seamlore.draft.quilt import Sashing
from seamlore.draft.repeated import repeated
from seamlore.draft.text.notation import read_block
from seamlore.drawing.shapes import ImageFile
from seamlore.lengths import inches
from seamlore.photo.reading import BlockAt, Edge, Reading
from seamlore.pictures.cutting import Strip, StripPiece
from seamlore.sewing.steps import sewing_steps
from seamlore.sheets.content import Account, Fact, LabelContent, Predicted, StudyContent, ToMeasure
from seamlore.sheets.pattern import (
    BookletContent,
    CutFabric,
    DrawnStep,
    PatchTemplate,
    SewingStep,
    SewnBlock,
    ToBuy,
    ToCut,
)

DAY = date(2026, 11, 25)


@pytest.fixture(scope="session")
def quilt():
    shoo_fly = read_block("block Shoo Fly\nA light\nB dark\n\nA/B A A\\B\nA B A\nA\\B A A/B")
    gap = Sashing(inches(3), inches(3))
    return repeated("Trial", shoo_fly, inches(8), inches(8), 2, 3, gap, (border(inches(4), "indigo"),))


@pytest.fixture(scope="session")
def study(quilt):
    buffer = io.BytesIO()
    Image.new("RGB", (280, 190), "#b0a080").save(buffer, "JPEG")
    blocks = tuple(BlockAt(row=row, column=column, shift=(0.1, 0.2)) for row in range(2) for column in range(3))
    reading = Reading(
        photo_size=(280, 190),
        corners=((0, 0), (280, 0), (280, 190), (0, 190)),
        corners_from="given",
        unit="in",
        size=(28.0, 19.0),
        setting="straight",
        rows=2,
        columns=3,
        block_size=(8.0, 8.0),
        sashing=(3.0, 3.0),
        edge=Edge(left=-1.0, top=0.0, right=-1.0, bottom=0.0),
        row_spans=((0.0, 8.0), (11.0, 19.0)),
        column_spans=((-1.0, 7.0), (10.0, 18.0), (21.0, 29.0)),
        blocks=blocks,
    )
    return StudyContent(
        "Trial quilt",
        DAY,
        reading,
        ImageFile("flat.jpg", "image/jpeg", buffer.getvalue()),
        quilt,
        (inches(1), inches(0), inches(1), inches(0)),
        lead="An invented quilt.",
        facts=(Fact("width", "28 in", "± 1/4 in", "by tape"), Fact("columns", "3", "", "counted")),
        sums=("3 blocks of 8 in and 2 sashings of 3 in make 30 in; the quilt is 28 in wide, 2 in short",),
        accounts=(Account("likely", "Cut down."), Account("hardly", "Shrunk.")),
        to_measure=ToMeasure("over two blocks", (Predicted("22 in", "cut"), Predicted("21 in", "unfinished"))),
        unknown=("who made it",),
        remarks=("one corner is hidden",),
    )


@pytest.fixture(scope="session")
def pattern(quilt):
    triangle = np.array([[0.0, 0], [8 / 3, 0], [0, 8 / 3]])
    square = np.array([[0.0, 0], [8 / 3, 0], [8 / 3, 8 / 3], [0, 8 / 3]])
    strip = Strip(inches("7/2"), tuple(StripPiece(inches("7/2"), "A1", "/") for _ in range(12)), 2)
    patches = quilt.kinds[0].block.patches
    outlines = tuple(tuple((x * 8, y * 8) for x, y in each.outline) for each in patches)
    labels = tuple(f"{each.place}1" for each in patches)
    first = sewing_steps(outlines, labels)[0]
    return BookletContent(
        "Trial pattern",
        DAY,
        quilt,
        inches("1/4"),
        inches(42),
        lead="From an invented quilt.",
        buy=(ToBuy("Muslin", "background (A)", "1 1/4 yd", "A", "no piece is larger than 4 in"),),
        finishing=(ToBuy("Backing", "one length", "1 1/2 yd"),),
        cutting=(CutFabric("muslin", "A", (ToCut("A1", "3 1/2 x 3 1/2 in", 24, "cut once", "2 strips"),), (strip,)),),
        blocks=(
            SewnBlock(
                "The block",
                ("8 in finished. Make 6.",),
                "SF",
                patches,
                labels,
                outlines,
                (
                    DrawnStep(
                        first, "Corners", ("Sew.", "Press."), "Make 4.", "It should now measure 3 1/4 in square."
                    ),
                ),
            ),
        ),
        sewing=(SewingStep("Rows", ("Sew rows.",)),),
        finishing_steps=("Layer.", "Quilt."),
        templates=(PatchTemplate("A1", triangle, ("cut 24",)), PatchTemplate("B1", square, ("cut 6",))),
    )


@pytest.fixture(scope="session")
def label_content():
    return LabelContent(
        "Trial quilt",
        DAY,
        inches(5),
        inches(4),
        known=("Shoo Fly, about 1890", "28 x 19 in, cotton"),
        unknown=("where it was made",),
        repaired=("Binding renewed 2026",),
    )


@pytest.fixture(scope="session")
def rendered(tmp_path_factory):
    """Render the lower left 70 mm of every page of a PDF, or all of it, at 300 dots an inch, as gray arrays."""
    if shutil.which("pdftoppm") is None:
        pytest.skip("pdftoppm is not installed")

    def render(pdf, paper, *, whole=False):
        dots = 827
        top = {"letter": 3300, "a4": 3508}[paper] - dots
        corner = [] if whole else ["-x", "0", "-y", str(top), "-W", str(dots), "-H", str(dots)]
        folder = tmp_path_factory.mktemp("pages")
        (folder / "sheet.pdf").write_bytes(pdf)
        subprocess.run(["pdftoppm", "-r", "300", *corner, "-png", "sheet.pdf", "p"], cwd=folder, check=True)
        return [np.asarray(Image.open(file).convert("L"), dtype=float) for file in sorted(folder.glob("p*.png"))]

    return render


def lines_px(page, left_mm, right_mm):
    """Rows (from the bottom of the page) in which a whole stretch from left to right is ink, one for each line."""
    left, right = (round(each / 25.4 * 300) for each in (left_mm, right_mm))
    inked = (page[::-1, left:right] < 245).all(axis=1)
    starts = np.flatnonzero(inked & ~np.roll(inked, 1))
    ends = np.flatnonzero(inked & ~np.roll(inked, -1))
    return (starts + ends) / 2


@pytest.fixture(scope="session")
def measured():
    """Measure both test squares of a rendered page, in inches and centimeters."""

    def measure(page):
        small = lines_px(page, 19, 40)
        large = lines_px(page, 45, 65)
        return (small[1] - small[0]) / 300, (large[1] - large[0]) / 300 * 2.54

    return measure


@pytest.fixture(scope="session")
def opened():
    def read(pdf):
        return pikepdf.open(io.BytesIO(pdf))

    return read
