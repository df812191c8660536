"""The block notation: what it reads, what it refuses, and that it writes what it reads."""

import re
from fractions import Fraction
from pathlib import Path

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from seamlore.draft.block import Place, block, patch
from seamlore.draft.catalogue import all_blocks, find
from seamlore.draft.text.cells import divide
from seamlore.draft.text.notation import read_block, write_block
from seamlore.draft.text.writing import even_parts
from seamlore.errors import NotationError, SeamloreError, ShapeError

HEAD = "block X\nA light\nB dark\nC medium\n"
PAGE = Path(__file__).parents[3] / "docs" / "notation.md"
EXAMPLES = re.findall(r"```block\n(.*?)```", PAGE.read_text(encoding="utf-8"), flags=re.DOTALL)


def areas(text):
    return sorted((each.place, each.area) for each in read_block(text).patches)


def test_the_page_on_notation_has_twelve_examples():
    assert len(EXAMPLES) == 12


@pytest.mark.parametrize("text", EXAMPLES, ids=lambda text: text.splitlines()[0].removeprefix("block "))
def test_an_example_of_the_page_on_notation_reads_and_comes_back_unchanged(text):
    made = read_block(text)
    assert read_block(write_block(made)) == made


def test_the_page_says_how_many_patches_each_example_has():
    said = [int(count) for count in re.findall(r"\*\*(\d+) patch(?:es)?\*\*", PAGE.read_text(encoding="utf-8"))]
    assert said == [len(read_block(text).patches) for text in EXAMPLES]


@pytest.mark.parametrize("each", all_blocks(), ids=lambda each: each.name)
def test_every_catalogue_entry_is_written_and_read_back_unchanged(each):
    assert read_block(write_block(each)) == each


def test_a_seam_lies_as_it_is_drawn():
    upper = read_block("block X\nA light\nB dark\n\nA/B").patches[0]
    assert upper == patch([(0, 0), (1, 0), (0, 1)], "A")
    lower = read_block("block X\nA light\nB dark\n\nA\\B").patches
    assert patch([(0, 0), (1, 1), (0, 1)], "A") in lower


def test_crossing_seams_are_named_from_the_top_clockwise():
    four = read_block(HEAD + "D dark\n\nAxBxCxD")
    middle = (Fraction(1, 2), Fraction(1, 2))
    assert patch([(0, 0), (1, 0), middle], "A") in four.patches
    assert patch([(1, 0), (1, 1), middle], "B") in four.patches
    assert patch([(0, 1), (1, 1), middle], "C") in four.patches
    assert patch([(0, 0), (0, 1), middle], "D") in four.patches


def test_strips_divide_a_part_evenly():
    assert areas(HEAD + "\nA|B|C") == [(place, Fraction(1, 3)) for place in "ABC"]
    assert areas("block X\nA light\nB dark\n\nA-B") == [("A", Fraction(1, 2)), ("B", Fraction(1, 2))]


def test_brackets_divide_a_part_again():
    assert areas(HEAD + "\nA/(B\\C)") == [("A", Fraction(1, 2)), ("B", Fraction(1, 4)), ("C", Fraction(1, 4))]


def test_a_numbered_patch_runs_through_its_squares():
    made = read_block("block X\nA light\nB dark\n\nA1 A1 B\nA1 B B\nB B B")
    assert patch([(0, 0), (2, 0), (2, 1), (1, 1), (1, 2), (0, 2)], "A").area / 9 in {
        each.area for each in made.patches
    }
    assert len(made.patches) == 7


def test_uneven_columns_and_rows_are_widths_in_one_unit():
    made = read_block("block X\ncolumns 1 2 1\nrows 1 2 1\nA light\nB dark\n\nA B A\nB A B\nA B A")
    assert made.divisions == 4
    assert max(each.area for each in made.patches) == Fraction(1, 4)


def test_corners_are_counted_in_divisions_and_may_lie_anywhere():
    text = "block X\ndivisions 6\nA light\nB dark\n\npatch A 0,0 6,0 1-1/2,6 0,6\npatch B 6,0 6,6 1.5,6"
    assert areas(text) == [("A", Fraction(5, 8)), ("B", Fraction(3, 8))]


def test_words_after_a_number_sign_and_a_byte_order_mark_are_passed_over():
    assert read_block("\ufeff# mine\nblock X # the name\nA light\n\nA # all of it").name == "X"


WRONG = {
    "A A\nA A": (1, "no line that begins with block"),
    "block": (1, "block with nothing after it"),
    "block X\nA dark": (2, "no squares"),
    "block X\nblock Y\nA dark\n\nA": (2, "block again"),
    "block X\nA dark\nA light\n\nA": (3, "place A again"),
    "block X\nA drak\n\nA": (2, "light, medium or dark"),
    "block X\nA dark scrapy\n\nA": (2, "light, medium or dark"),
    "block X\nfamly star\nA dark\n\nA": (2, 'did you mean "family"'),
    "block X\nA dark\n\nA A\nA": (5, "1 square in this row"),
    "block X\nA dark\n\nA A\nA b": (5, "capital letters"),
    "block X\nA dark\n\na a": (4, "capital letters"),
    "block X\nA dark\n\nA A\nA B": (5, "place B, which is not described"),
    "block X\nA dark\nB light\n\nA": (3, "no patch takes it"),
    "block X\nA dark\n\nAB": (4, '"AB" is not a place'),
    "block X\nA dark\n\nA/": (4, "a part has no place"),
    "block X\nA dark\n\nA//A": (4, "one diagonal seam divides a part in two"),
    "block X\nA dark\n\nA|A-A": (4, "two kinds of seam"),
    "block X\nA dark\n\nA/(A|A": (4, "bracket is not closed"),
    "block X\nA dark\n\nA/A)": (4, "bracket is closed that was not opened"),
    "block X\nA dark\n\nA/(A/A)": (4, "does not cross"),
    "block X\nA dark\n\nAxAxA": (4, "two places or four"),
    "block X\nA dark\n\n" + "(" * 12 + "A" + ")" * 12: (4, "deep"),
    "block X\nA dark\n\n" + "|".join("A" * 17): (4, "at most 16 strips"),
    "block X\nA dark\n\nA1 A\nA A1": (4, "one piece of cloth"),
    "block X\nA dark\nB light\n\nA1 A1 A1\nA1 B A1\nA1 A1 A1": (5, "without a hole"),
    "block X\ndivisions 0\nA dark\n\nA": (2, "from 1 to 64"),
    "block X\ndivisions 2.5\nA dark\n\nA": (2, "from 1 to 64"),
    "block X\ncolumns 1 2\nA dark\n\nA": (2, "1 columns are drawn"),
    "block X\ncolumns 1 0\nA dark\n\nA A": (2, "more than 0"),
    "block X\ncolumns 1 -2\nA dark\n\nA A": (2, "a number is written"),
    "block X\ncolumns 1 1/0\nA dark\n\nA A": (2, "a number is written"),
    "block X\ncolumns 1 2\nrows 1 1\nA dark\n\nA A\nA A": (3, "a block is square"),
    "block X\ncolumns 1 70\nA dark\n\nA A": (5, "no even grid"),
    "block X\nA dark\n\n" + " ".join("A" * 65): (4, "65 squares in this row"),
    "block X\nalso P,,Q\nA dark\n\nA": (2, "a name stands between commas"),
    "block X\nA dark\n\npatch A 0,0 1,0 1,1": (4, "corners are in divisions"),
    "block X\ndivisions 1\nA dark\n\npatch a 0,0 1,0 1,1": (5, "begins with its place"),
    "block X\ndivisions 1\nA dark\n\npatch A 0,0 1,0": (5, "2 corners"),
    "block X\ndivisions 1\nA dark\n\npatch A 0,0 1,0 1": (5, "a corner is x,y"),
    "block X\ndivisions 1\nA dark\n\npatch A 0,0 1,0 1,1e3": (5, "a number is written"),
    "block X\ndivisions 1\nA dark\n\npatch A 0,0 1,0 ~0.5 1,1": (5, "kept for curved sides"),
    "block X\ndivisions 1\nA dark\n\npatch A 0,0 1,0 0.5,0": (5, "encloses an area"),
}


@pytest.mark.parametrize(("text", "fault"), WRONG.items(), ids=[fault for _, fault in WRONG.values()])
def test_a_wrong_line_is_refused_with_its_number_and_reason(text, fault):
    line, reason = fault
    with pytest.raises(NotationError, match=re.escape(reason)) as caught:
        read_block(text, source="x.block")
    assert caught.value.where == f"x.block, line {line}"
    assert "\n" not in str(caught.value)


def test_patches_that_do_not_cover_are_refused_by_the_lines_that_drew_them():
    text = "block X\nA light\nB dark\n\nA A\nA .\npatch B 0.5,1 2,1 2,2 0.5,2"
    with pytest.raises(ShapeError, match=r"patch A of line 6 and patch B of line 7 overlap by 0\.5 by 1"):
        read_block(text)


LETTERS = "ABC"
LABEL = st.sampled_from(LETTERS)


@st.composite
def joined(draw, parts):
    seam = draw(st.sampled_from("/\\|-x"))
    count = draw(st.sampled_from([2, 4]) if seam == "x" else st.integers(2, 2 if seam in "/\\" else 4))
    words = [draw(parts) for _ in range(count)]
    return seam.join(word if len(word) == 1 else f"({word})" for word in words)


CELL = st.recursive(LABEL, joined, max_leaves=5)


@st.composite
def block_texts(draw):
    """A block of random words, with a patch that runs through several squares and two cut by corners at any slope."""
    columns, rows = draw(st.integers(1, 4)), draw(st.integers(1, 4))
    words = [[draw(CELL) for _ in range(columns)] for _ in range(rows)]
    for word in (word for row in words for word in row):
        try:
            divide(word)
        except NotationError:
            assume(False)
    widths = [draw(st.lists(st.sampled_from([1, 2, 3]), min_size=n, max_size=n)) for n in (columns, rows)]
    even = draw(st.booleans())
    widths = [[1] * len(each) for each in widths] if even else widths
    if not even:
        total = sum(widths[0]) * sum(widths[1])
        widths = [[Fraction(width * total, sum(each)) for width in each] for each in widths]
    divisions = even_parts(*[[Fraction(width) for width in each] for each in widths])
    assume(divisions <= 64)
    lines = [[Fraction(sum(each[:at]) * divisions, sum(each)) for at in range(len(each) + 1)] for each in widths]
    if draw(st.booleans()):
        wide, high = draw(st.integers(1, columns)), draw(st.integers(1, rows))
        for row in words[:high]:
            row[:wide] = ["A1"] * wide
    corners = []
    if draw(st.booleans()):
        words[-1][-1] = "."
        x0, x1, y0, y1 = lines[0][-2], lines[0][-1], lines[1][-2], lines[1][-1]
        high, low = (Fraction(draw(st.integers(1, 6)), 7) for _ in range(2))
        top, bottom = (x0 + (x1 - x0) * high, y0), (x0 + (x1 - x0) * low, y1)
        corners = [[(x0, y0), top, bottom, (x0, y1)], [top, (x1, y0), (x1, y1), bottom]]
    assume(corners or any(word != "." for row in words for word in row))
    text = ["block Random"]
    if not even:
        text += [f"{name} {' '.join(map(str, each))}" for name, each in zip(("columns", "rows"), widths, strict=True)]
    drawn = "".join(word for row in words for word in row) + "AB" * bool(corners)
    text += [
        f"{letter} {draw(st.sampled_from(['light', 'medium', 'dark', 'dark scrappy']))}"
        for letter in LETTERS
        if letter in drawn
    ]
    text += [" ".join(row) for row in words]
    for letter, ring in zip("AB", corners, strict=False):
        text.append(f"patch {letter} " + " ".join(f"{x},{y}" for x, y in ring))
    return "\n".join(text)


@settings(max_examples=60, deadline=None, derandomize=True)
@given(block_texts())
def test_any_block_is_written_and_read_back_exactly(text):
    made = read_block(text)
    assert sum(each.area for each in made.patches) == 1
    assert read_block(write_block(made)) == made
    turned = made.moved(90, mirrored=True)
    assert read_block(write_block(turned)) == turned


@settings(max_examples=200, deadline=None, derandomize=True)
@given(st.text(alphabet="ABCx/\\|-()., 0123\nblockpatchdividarklightmedn#~", max_size=120))
def test_any_text_is_read_or_refused_in_one_line(text):
    said = "read"
    try:
        read_block("block X\nA light\n" + text)
    except SeamloreError as fault:
        said = str(fault)
    assert len(said.strip().splitlines()) == 1


def test_a_bent_patch_that_no_word_shows_is_written_by_its_corners():
    ring = [(0, 0), (4, 0), (4, 4), (0, 4), (0, 3), (3, 3), (3, 1), (0, 1)]
    bent = patch([(Fraction(x, 4), Fraction(y, 4)) for x, y in ring], "A")
    inner = patch([(Fraction(x, 4), Fraction(y, 4)) for x, y in [(0, 1), (3, 1), (3, 3), (0, 3)]], "B")
    made = block("Bent", 4, [bent, inner], {"A": Place("dark"), "B": Place("light")})
    assert read_block(write_block(made)) == made


def test_a_block_keeps_its_names_family_and_notes_in_the_file():
    made = find("Churn Dash")
    again = read_block(write_block(made))
    assert (again.names, again.family, again.notes) == (made.names, made.family, made.notes)
