"""Printed pages, read back from the PDF."""

import io
import re
import shutil
import subprocess
from datetime import date

import numpy as np
import pikepdf
import pytest
from numpy.testing import assert_allclose, assert_array_equal
from PIL import Image as Raster

from seamlore.drawing.picture import picture
from seamlore.drawing.shapes import Area, Group, Image, ImageFile, Line, Swatch, Text, box, circle
from seamlore.errors import PageError
from seamlore.printing.content import (
    Beside,
    Column,
    Contents,
    Document,
    Figure,
    Fitted,
    NewPage,
    Note,
    Paragraph,
    Plate,
    Section,
    Space,
    Span,
    Steps,
    Table,
    Title,
    Wide,
)
from seamlore.printing.pages import full_width, main_width, plate_room, to_pdf, to_source

DAY = date(2026, 11, 25)
# The smallest PNG of one gray pixel, written by hand from the PNG specification (W3C, third edition).
PIXEL = bytes.fromhex(
    "89504e470d0a1a0a0000000d49484452000000010000000108000000003a7e9b55"
    "0000000a49444154789c636800000082008177cd72b60000000049454e44ae426082"
)


def closed_paths(page):
    """Every closed path of a page in inches, shape (n, 2) each, by following q, Q, cm, m, l, h (ISO 32000-1, 8.5)."""
    found, stack, matrix, points = [], [], np.eye(3), []
    for operands, operator in pikepdf.parse_content_stream(page):
        name, values = str(operator), operands
        if name == "q":
            stack.append(matrix)
        elif name == "Q":
            matrix = stack.pop()
        elif name == "cm":
            a, b, c, d, e, f = (float(value) for value in values)
            matrix = np.array([[a, b, 0], [c, d, 0], [e, f, 1]]) @ matrix
        elif name in ("m", "l"):
            points = [] if name == "m" else points
            points.append([float(values[0]), float(values[1]), 1.0])
        elif name == "h":
            found.append((np.array(points) @ matrix)[:, :2] / 72)
    return found


def squares(page, side_in):
    """The closed paths of a page that are upright squares of a side, to 1/10,000 in."""
    return [
        each
        for each in closed_paths(page)
        if len(each) == 4
        and np.allclose(np.ptp(each, axis=0), side_in, atol=1e-4)
        and np.allclose(np.hypot(*np.diff(each, axis=0).T), side_in, atol=1e-4)
    ]


def _square(side_mm, title="Square"):
    return picture(side_mm, side_mm, [Area((box(0, 0, side_mm, side_mm),), "#34466b")], title=title, description="d")


def _everything():
    file = ImageFile("pixel 1.png", "image/png", PIXEL)
    shapes = [
        Area((box(0, 0, 40, 30), circle(20, 15, 5)), "#efe7d6", "#2b2622", 0.3, (1, 1)),
        Area((box(5, 5, 9, 9),), Swatch(file, 3, 3)),
        Line((((0, 0), (40, 30)),), "#8a3b35", 0.5, (), "round"),
        Text(20, 15, 'a "b" \\ #let $x$ *y* 3 1/2 in', 9, "middle", True, "bold", True, "#2b2622", 30, "#ffffff"),
        Group((Image(file, 0, 0, 3, 4),), 2, 2, 15, (0, 0, 2, 2), 0.5, "inner"),
        Group(()),
    ]
    drawn = picture(40, 30, shapes, title="All", description="One of each.")
    table = Table((Column("Fabric", share=1), Column("Cut", "tape")), (("Indigo", "3 1/2"), (_square(3), "12")), True)
    return Document(
        "Everything",
        (
            Title("Study", "Every kind of block", ("with a ", Span("span", "italic"))),
            Wide((Beside(((Figure(drawn, "left"),), (Figure(drawn, "right"),)), (2.0, 1.0)),)),
            Section(
                "First",
                (Paragraph("Lead.", "lead"), table, Steps(("one", "two"), False), Space(4)),
                (Paragraph("by tape", "small"),),
            ),
            Paragraph("Between sections."),
            NewPage(),
            Section("Second", (Note("Care", (Paragraph("Close the blade."),), "caution"), Steps(("one", "two")))),
            Plate("Patch A", _square(100), (Paragraph("Cut on the line."),)),
        ),
        DAY,
        "A maker",
        "One of each kind.",
    )


@pytest.fixture(scope="module", params=["letter", "a4"])
def printed(request):
    with pikepdf.open(io.BytesIO(to_pdf(_everything(), request.param))) as pdf:
        yield pdf


def test_every_page_carries_a_square_of_1_in_and_one_of_5_cm(printed):
    # 1 in = 72 pt by ISO 32000-1, 8.3.2.3; 5 cm = 50/25.4 in by the yard and pound agreement of 1959.
    assert len(printed.pages) == 3
    for page in printed.pages:
        assert len(squares(page, 1.0)) == 1
        assert len(squares(page, 50 / 25.4)) == 1


def test_a_drawn_square_of_100_mm_is_100_mm_on_paper(printed):
    assert len(squares(printed.pages[-1], 100 / 25.4)) == 1


def test_nothing_lies_on_the_test_squares(printed):
    for page in printed.pages:
        (test_square,) = squares(page, 50 / 25.4)
        low, high = test_square.min(axis=0), test_square.max(axis=0)
        others = [each for each in closed_paths(page) if len(each) != 4 or each.min(axis=0)[0] < low[0] - 1e-3]
        others += [each for each in closed_paths(page) if each.min(axis=0)[1] > high[1] + 1e-3]
        for each in others:
            clear = (each.min(axis=0) > high - 1e-6).any() or (each.max(axis=0) < low + 1e-6).any()
            assert clear


def test_paper_is_a4_or_letter_to_a_hundredth_of_a_millimeter():
    # ISO 216: A4 is 210 by 297 mm. ANSI Y14.1 size A: 8 1/2 by 11 in.
    for paper, size_mm in (("a4", (210, 297)), ("letter", (215.9, 279.4))):
        with pikepdf.open(io.BytesIO(to_pdf(Document("x", (), DAY), paper))) as pdf:
            box_pt = [float(each) for each in pdf.pages[0].mediabox]
        assert_allclose(np.array(box_pt[2:]) / 72 * 25.4, size_mm, atol=0.01)


def test_the_file_says_that_it_meets_pdf_ua_and_is_tagged(printed):
    # ISO 14289-1, 5: pdfuaid:part is 1. ISO 32000-1, 14.7: MarkInfo and a structure tree.
    assert 'pdfuaid:part="1"' in str(printed.Root.Metadata.read_bytes()) or b"<pdfuaid:part>1<" in (
        printed.Root.Metadata.read_bytes()
    )
    assert printed.Root.MarkInfo.Marked
    assert str(printed.Root.Lang) == "en-US"
    assert printed.Root.StructTreeRoot.K is not None


def test_every_figure_has_words_for_who_cannot_see_it(printed):
    figures = [
        each for each in printed.objects if isinstance(each, pikepdf.Dictionary) and each.get("/S") == "/Figure"
    ]
    assert len(figures) == 3
    assert {str(each.Alt) for each in figures} == {"One of each.", "d"}


def test_every_font_is_embedded_and_from_the_house(printed):
    names = {
        str(each.FontName)
        for each in printed.objects
        if isinstance(each, pikepdf.Dictionary) and each.get("/Type") == "/FontDescriptor"
    }
    assert names
    assert all("SourceSans3" in name for name in names)


def test_the_same_document_is_the_same_file():
    assert to_pdf(_everything()) == to_pdf(_everything())


def test_the_date_in_the_file_is_the_one_passed_in(printed):
    assert str(printed.docinfo["/CreationDate"]).startswith("D:20261125")


def test_the_first_page_says_its_date_in_words():
    assert '#let day = {"November 25, 2026"}' in to_source(Document("x", (), DAY), "a4")


def test_a_picture_wider_than_its_column_is_refused_with_the_sizes():
    with pytest.raises(PageError, match=r"Square, 130 by 130 mm: its place on a4 paper has room for 118 by 263 mm"):
        to_pdf(Document("x", (Section("s", (Figure(_square(130)),)),), DAY), "a4")


def test_a_picture_larger_than_a_plate_is_refused():
    width, height = plate_room("letter")
    fits = picture(width, height, [], title="t", description="d")
    assert to_pdf(Document("x", (Title("", "x"), Plate("p", fits)), DAY), "letter")
    too_long = picture(width, height + 0.1, [], title="t", description="d")
    with pytest.raises(PageError, match="nothing is made smaller to fit"):
        to_pdf(Document("x", (Plate("p", too_long),), DAY), "letter")


def test_a_plate_that_is_full_stays_on_one_page():
    full = picture(*plate_room("a4"), [], title="t", description="d")
    with pikepdf.open(io.BytesIO(to_pdf(Document("x", (Plate("p", full), Plate("q", full)), DAY), "a4"))) as pdf:
        assert len(pdf.pages) == 2


def test_columns_are_as_wide_as_pictures_are_told():
    for paper in ("a4", "letter"):
        assert_allclose(full_width(paper) - main_width(paper), 58)
        wide = picture(main_width(paper), 10, [], title="t", description="d")
        assert to_pdf(Document("x", (Section("s", (Figure(wide),)),), DAY), paper)


def test_letters_that_the_type_lacks_are_refused_by_name():
    with pytest.raises(PageError, match=r'the letters ".*": the printing type has Latin, Greek and Cyrillic'):
        to_pdf(Document("x", (Paragraph("刺し子"),), DAY))


def test_words_cannot_become_commands():
    source = to_source(Document('"); #panic("x', (Paragraph('#panic("out") \\" ]} $'),), DAY), "a4")
    assert '#panic("out")' not in source.replace('\\"', "'")
    assert to_pdf(Document('"); #panic("x', (Paragraph('#panic("out") \\" ]} $'),), DAY), "a4")


@pytest.mark.parametrize("lines", [1, 4, 9])
def test_words_in_the_side_column_end_above_the_test_squares(lines, tmp_path):
    if shutil.which("pdftoppm") is None:
        pytest.skip("pdftoppm is not installed")
    beside = tuple(Paragraph(f"A line beside, number {n}.") for n in range(lines))
    blocks = tuple(Section(f"Section {n}", (Space(5 + 7 * (n % 5)),), beside) for n in range(40))
    (tmp_path / "page.pdf").write_bytes(to_pdf(Document("x", blocks, DAY), "a4"))
    # At 100 dots an inch the lower 51 mm of an A4 page begin at dot 920; both squares end at dot 264.
    crop = ["-x", "60", "-y", "910", "-W", "210", "-H", "210"]
    subprocess.run(["pdftoppm", "-r", "100", *crop, "-png", "page.pdf", "p"], cwd=tmp_path, check=True)
    pages = [np.asarray(Raster.open(file).convert("L")) for file in sorted(tmp_path.glob("p*.png"))]
    assert len(pages) > 3
    # Nothing but the squares is there, so all pages look alike.
    for page in pages[1:]:
        assert_array_equal(page, pages[0])


def test_a_rendered_picture_has_its_colors_where_they_were_drawn(tmp_path):
    if shutil.which("pdftoppm") is None:
        pytest.skip("pdftoppm is not installed")
    colors = [["#33456a", "#efe7d7"], ["#c29a58", "#8f443b"]]
    areas = [
        Area((box(40 * column, 30 * row, 40, 30),), colors[row][column]) for row in range(2) for column in range(2)
    ]
    # A half-faded, moved and turned square lies over the middle: black at 0.5 halves each color.
    faded = Group((Area((box(-8, -8, 16, 16),), "#000000"),), 40, 30, 45, opacity=0.5)
    drawn = picture(80, 60, [*areas, faded], title="Four", description="Four colors.")
    (tmp_path / "page.pdf").write_bytes(to_pdf(Document("x", (Plate("p", drawn),), DAY), "a4"))
    subprocess.run(["pdftoppm", "-r", "100", "-png", "page.pdf", "p"], cwd=tmp_path, check=True)
    (file,) = tmp_path.glob("p*.png")
    page = np.asarray(Raster.open(file).convert("RGB"), dtype=int)
    # The plate begins at the left margin; its top is found by the first painted row.
    left = round(17 / 25.4 * 100)
    top = int(np.flatnonzero((page[:, left + 20] == [0x33, 0x45, 0x6A]).all(axis=1))[0])
    for row in range(2):
        for column in range(2):
            wanted = [int(colors[row][column][at : at + 2], 16) for at in (1, 3, 5)]
            y, x = top + round((15 + 30 * row) / 25.4 * 100), left + round((20 + 40 * column) / 25.4 * 100)
            assert_allclose(page[y, x], wanted, atol=2)
            inner_y, inner_x = top + round((26 + 8 * row) / 25.4 * 100), left + round((36 + 8 * column) / 25.4 * 100)
            assert_allclose(page[inner_y, inner_x], np.array(wanted) / 2, atol=2)


@pytest.mark.parametrize("title", ["1/3", "A 9 1/2 in nine patch"])
def test_a_title_may_hold_a_fraction(title):
    page = Document(title, (Title("Note", title), Paragraph("All is well.")), date(2026, 11, 25))
    assert to_pdf(page)[:5] == b"%PDF-"


def lines_of(*blocks, paper="a4", title="x", **more):
    return to_source(Document(title, blocks, DAY, **more), paper)


def test_the_source_names_its_paper_in_millimeters():
    assert '#let paper = "a4"\n#let (paper-width, paper-height) = (210mm, 297mm)' in lines_of()
    assert '#let paper = "us-letter"\n#let (paper-width, paper-height) = (215.9mm, 279.4mm)' in lines_of(
        paper="letter"
    )


def test_pictures_keep_clear_of_margins_and_test_squares():
    # The house's measures: margins of 17 mm at both sides, 19 and 15 mm above and below, a heading of 11 mm on a plate
    # and 56 mm below for the test squares; a side column of 50 mm and 8 mm beside it.
    assert plate_room("a4") == (210 - 34, 297 - 19 - 15 - 11 - 56)
    assert_allclose(plate_room("letter"), (215.9 - 34, 279.4 - 19 - 15 - 11 - 56))
    assert main_width("a4") == 210 - 34 - 50 - 8


def refused(block, paper="a4"):
    with pytest.raises(PageError, match="nothing is made smaller to fit") as caught:
        to_pdf(Document("x", (block,), DAY), paper)
    return str(caught.value)


def drawn(width, height):
    return picture(width, height, [], title="t", description="d")


@pytest.mark.parametrize(
    ("block", "width", "height"),
    [
        (lambda each: Figure(each), 118, 263),
        (lambda each: Section("s", (Figure(each),)), 118, 263),
        (lambda each: Section("s", (), (Figure(each),)), 118, 263),
        (lambda each: Section("s", (Note("n", (Figure(each),)),)), 118, 263),
        (lambda each: Section("s", (Beside(((Paragraph("a"),), (Figure(each),))),)), 118, 263),
        (lambda each: Table((Column("a"),), ((each,),)), 118, 263),
        (lambda each: Wide((Figure(each),)), 176, 207),
        (lambda each: Plate("p", each), 176, 196),
    ],
)
def test_a_picture_a_little_larger_than_its_place_is_refused_wherever_it_stands(block, width, height):
    from seamlore.printing.pages import _check_places

    _check_places(Document("x", (block(drawn(width, height)),), DAY), "a4")
    for larger in (drawn(width + 0.01, height), drawn(width, height + 0.01)):
        assert f"room for {width} by {height} mm" in refused(block(larger))


def test_every_kind_of_block_is_written_as_what_it_is():
    source = lines_of(
        Title("Booklet", "Shoo Fly", "for cutting"),
        Paragraph("Lead.", "lead"),
        Paragraph("Body."),
        Paragraph("Small.", "small"),
        Paragraph("Quiet.", "quiet"),
        Section("Head", (Steps(("one", "two")), Steps(("three",), numbered=False)), (Paragraph("beside"),)),
        Section("Bare", ()),
        Wide((Paragraph("wide"),)),
        NewPage(),
        Space(12.5),
        Note("Blade", (Paragraph("Take care."),), "caution"),
        Note("", (Paragraph("By the way."),)),
        Section(
            "Both", (Beside(((Paragraph("l"),), (Paragraph("r"),)), (2.0, 1.0), 6.0), Figure(drawn(5, 5), "under"))
        ),
        Section("Even", (Beside(((Paragraph("l"),), (Paragraph("r"),))),)),
        author="S. Tern",
        subject="A booklet",
    )
    for part in (
        'title-block({"Booklet"}, {"Shoo Fly"}, {"for cutting"})',
        'plain({ set text(size: 12.5pt); par({"Lead."}) })',
        'plain({ par({"Body."}) })',
        'plain({ set text(size: 8.8pt); par({"Small."}) })',
        'plain({ set text(fill: quiet); par({"Quiet."}) })',
        'section({"Head"}, {\n{ par({"beside"}) }\n}, {\nenum(tight: false, {"one"}, {"two"})\nlist(tight: false, {"three"})\n}, 2, true)',
        'section({"Bare"}, none, {\n\n}, 2, true)',
        'wide({\n{ par({"wide"}) }\n})',
        "#pagebreak(weak: true)\n",
        "plain(v(12.5mm))",
        'plain(note({"Blade"}, {\n{ par({"Take care."}) }\n}, madder))',
        'plain(note(none, {\n{ par({"By the way."}) }\n}, hair))',
        "block(breakable: false, width: 100%, grid(columns: (2fr, 1fr,), column-gutter: 6mm, {",
        "grid(columns: (1fr, 1fr,), column-gutter: 8mm, {",
        'figure(alt: "d", caption: {"under"}, drawn(5mm, 5mm, {\n}))',
        'author: "S. Tern", description: "A booklet")',
        "date: datetime(year: 2026, month: 11, day: 25)",
    ):
        assert part in source, part
    assert "author" not in lines_of().splitlines()[-1]
    bare = lines_of(Title("", "Only"))
    assert 'title-block(none, {"Only"}, none)' in bare


def test_a_document_that_has_no_title_of_its_own_gets_its_name_and_a_plate_is_a_heading():
    assert 'title-block(none, {"Named"}, none)\n#plain({ par({"a"}) })' in lines_of(Paragraph("a"), title="Named")
    plate = lines_of(Plate("First", drawn(5, 5)), Plate("Second", drawn(5, 5), (Paragraph("use"),)), title="Named")
    assert "title-block(none" not in plate.split("#plate(")[1]
    assert 'heading(level: 1, outlined: true, text(size: 13pt, {"First"}))' in plate
    assert 'heading(level: 2, outlined: true, {"Second"})' in plate
    assert "block(height: 11.0mm, above: 0pt, below: 0pt, heading(" in plate
    assert '})),\n{\n{ par({"use"}) }\n})' in plate
    assert "})),\nnone)" in plate
    continued = lines_of(Plate("First", drawn(5, 5)), Plate("Second", drawn(5, 5), listed=False))
    assert 'heading(level: 2, outlined: false, {"Second"})' in continued


def test_figures_of_a_tape_column_stand_apart_from_their_fractions():
    columns = (Column("Cut", "tape"), Column("For", share=2.0), Column("Count", "right"))
    source = lines_of(Table(columns, (("3 1/2", "A1", "4"), ("12", "B1", ""), ("1/4", "C", "2")), last_strong=True))
    assert "listing((auto, 2fr, auto,), (right, left, right,), " in source
    assert '({"Cut"}, {"For"}, {"Count"}, )' in source
    for cell in ('tape({"3"}, "1/2")', 'tape({"12"}, none)', 'tape({}, "1/4")', '{"A1"}', '{"4"}', "{}"):
        assert f"{cell}, " in source, cell
    assert source.rstrip().endswith(", true))")
    whole = lines_of(Table((Column("", "tape"), Column("")), (("3", "a"), ("12", drawn(2, 3)))))
    # Without a fraction there is nothing to stand apart from, and without headings no head.
    assert "tape(" not in whole.splitlines()[-1] + whole.splitlines()[-2]
    assert "(right, left,), none, (" in whole
    assert "chip(2mm, 3mm, pdf.artifact(drawn(2mm, 3mm, {" in whole
    assert whole.rstrip().endswith(", false))")


def test_what_the_engine_says_of_missing_letters_is_put_in_words_and_nothing_else_is():
    import typst

    from seamlore.printing.pages import _explained

    fault = typst.TypstError('the text `"刺"` could not be displayed')
    assert str(_explained(fault)).startswith('the letters "刺": ')
    other = typst.TypstError("unknown variable")
    assert _explained(other) is other


def test_test_squares_may_stand_on_plates_alone():
    # Nothing is cut from a page that holds no template.
    blocks = (Title("", "x"), Section("s", (Paragraph("a"),)), Plate("p", _square(100)), Section("t", ()))
    for given, wanted in (("every page", [1, 1, 1]), ("plates", [0, 1, 0])):
        with pikepdf.open(io.BytesIO(to_pdf(Document("x", blocks, DAY, squares=given), "a4"))) as pdf:
            assert [len(squares(page, 1.0)) for page in pdf.pages] == wanted
            assert [len(squares(page, 50 / 25.4)) for page in pdf.pages] == wanted


def test_contents_name_every_section_and_the_first_of_plates_with_their_pages():
    blocks = (
        Title("", "x"),
        Contents(),
        NewPage(),
        Section("Cutting", ()),
        Section("One step", (), (), 3),
        Plate("Templates", drawn(5, 5)),
        Plate("Templates, page 2", drawn(5, 5), listed=False),
    )
    with pikepdf.open(io.BytesIO(to_pdf(Document("x", blocks, DAY, squares="plates"), "a4"))) as pdf:
        links = list(pdf.pages[0].Annots)
        pages = [page.objgen for page in pdf.pages]
        assert [pages.index(each.Dest[0].objgen) for each in links] == [1, 2]


def test_a_list_of_contents_does_not_list_itself():
    blocks = (Title("", "x"), Section("Contents", (Contents(),), listed=False), Section("Cutting", ()))
    with pikepdf.open(io.BytesIO(to_pdf(Document("x", blocks, DAY, squares="plates"), "a4"))) as pdf:
        assert len(list(pdf.pages[0].Annots)) == 1


@pytest.mark.parametrize(("lines", "page"), [(1, 0), (14, 0), (24, 1)])
def test_a_picture_that_need_not_be_true_is_as_large_as_its_page_has_room_for(lines, page):
    text = Section("Before", tuple(Paragraph("Words.") for _ in range(lines)))
    fitted = Fitted(Section("Layout", ()), Figure(_square(160)), 0.55)
    with pikepdf.open(
        io.BytesIO(to_pdf(Document("x", (Title("", "x"), text, fitted), DAY, squares="plates"), "a4"))
    ) as pdf:
        boxes = [
            (number, np.ptp(path, axis=0) * 25.4)
            for number, each in enumerate(pdf.pages)
            for path in closed_paths(each)
        ]
        found = [(number, wide) for number, (wide, high) in boxes if abs(wide - high) < 1e-3 and wide > 80]
        ((number, wide),) = found
        assert number == page
        assert wide == pytest.approx(160, abs=0.1) if lines != 14 else 88 <= wide < 159


def test_a_table_has_heads_and_what_has_none_is_read_line_by_line():
    bare = Table((Column(""), Column("")), (("Finished", "9 in"), ("Blocks", "4")))
    headed = Table((Column("Piece"), Column("Cut")), (("A1", "3 in"),))
    for table, tables in ((bare, 0), (headed, 1)):
        with pikepdf.open(
            io.BytesIO(to_pdf(Document("x", (Title("", "x"), Section("s", (table,))), DAY), "a4"))
        ) as pdf:
            kinds = [
                str(each.get("/S")) for each in pdf.objects if isinstance(each, pikepdf.Dictionary) and "/S" in each
            ]
            assert (kinds.count("/Table"), kinds.count("/TH") > 0) == (tables, bool(tables))


def test_a_page_without_color_has_none(tmp_path):
    if shutil.which("pdftoppm") is None:
        pytest.skip("pdftoppm is not installed")
    blocks = (Title("Pattern", "x"), Section("s", (Note("Blade", (Steps(("a", "b")),), "caution"),)))
    (tmp_path / "page.pdf").write_bytes(to_pdf(Document("x", blocks, DAY, plain=True), "a4"))
    subprocess.run(["pdftoppm", "-r", "60", "-png", "page.pdf", "p"], cwd=tmp_path, check=True)
    (file,) = tmp_path.glob("p*.png")
    page = np.asarray(Raster.open(file).convert("RGB"), dtype=int)
    assert np.ptp(page, axis=-1).max() == 0
    assert page.min() < 60


def test_a_long_first_column_leaves_room_for_the_last():
    # Half of 118 mm is for the words of both: none is set a word to a line.
    long = "vertical sashing, horizontal sashing, corner triangle, side triangle"
    source = lines_of(Table((Column("Piece"), Column("Then", share=1)), ((long, "cut twice"),)))
    assert "listing((59mm, 1fr,)" in source
    assert "listing((auto, 1fr,)" in lines_of(Table((Column("Piece"), Column("Then", share=1)), (("A1", "cut"),)))
    # A word that is longer than its part is not broken.
    (width,) = re.findall(
        r"listing\(\(([\d.]+)mm", lines_of(Table((Column("x"), *[Column("")] * 11), (("W" * 14, *[""] * 11),)))
    )
    assert float(width) > 30
