"""Draft files: what is written is read back, and every slip is named with its line."""

import re
from dataclasses import replace
from fractions import Fraction
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from seamlore.draft.border import Border, Pieced, Side, border
from seamlore.draft.catalogue import find
from seamlore.draft.cells import with_lies
from seamlore.draft.kinds import NOT_READ, SIGN, Cell, Kind, Turned, plain_block, reletter
from seamlore.draft.layout import lay
from seamlore.draft.quilt import Quilt, Sashing
from seamlore.draft.repeated import repeated
from seamlore.draft.setting.setting import Cut, Offset, OnPoint, Strips, spots
from seamlore.draft.text.notation import read_block
from seamlore.draft.text.quilt_file import read_quilt, write_quilt
from seamlore.errors import NotationError, SeamloreError
from seamlore.lengths import Length, Unit, inches
from seamlore.limits import BORDER_IN
from seamlore.plane.cover import check_cover

CROOKED = read_block("block Crooked\nA dark\nB light scrappy\nC medium\n\nA1 A1 B\nA1 B C\nA/B C C")
POINTS = read_block("block Points\nD dark\nE light\n\nD/E")

WHOLE = """
# A quilt seen at a fair
quilt Porch
made of Shoo Fly           # the catalogue's
every other Crooked (A as D)
finished 9 x 12 in
rows 2
columns 3
sashing 2 in by 3 in, outside, cornerstones
cut left 1 in, bottom 1/2 in
border 4 in, mitered, brown, faded
border 3 in, squares
  repeat 3 3/4 in of Points (D as B)
  corner Points
turn 0 90 m180
turn 0 0  270
fabric A = muslin
fabric setting triangle = plain, brown

block Crooked
A dark
B light
C medium

A1 A1 B
A1 B C
A/B C C

block Points
D dark
E light

D/E
"""


def read(text):
    return read_quilt(text, find_block=find)


def test_a_draft_file_of_before_says_what_it_said():
    crooked = read_block("block Crooked\nA dark\nB light\nC medium\n\nA1 A1 B\nA1 B C\nA/B C C")
    text = WHOLE.replace("  repeat 3 3/4 in of Points (D as B)\n  corner Points\n", "")
    text = text.replace("(A as D)", "(A as D, B as E, C as F)")
    second = Kind(
        "Cr", reletter(crooked, {"A": "D", "B": "E", "C": "F"}), {letter: f"Fabric {letter}" for letter in "DEF"}
    )
    first = Kind("SF", find("Shoo Fly"), {"A": "muslin", "B": "Fabric B"})
    assert read(text) == Quilt(
        "Porch",
        (first, second),
        (
            (Cell("SF"), Cell("Cr", Turned(90)), Cell("SF", Turned(180, True))),
            (Cell("Cr"), Cell("SF"), Cell("Cr", Turned(270))),
        ),
        inches(9),
        inches(12),
        Sashing(inches(2), inches(3), outer=True, cornerstones=True),
        (border(inches(4), "brown, faded", "mitered"), border(inches(3), corners="squares")),
        {"setting triangle": "plain, brown"},
        cut=Cut(inches(1), inches(0), inches(0), inches("1/2")),
    )


def test_in_a_file_of_before_a_letter_is_one_fabric_in_all_its_blocks():
    text = WHOLE.replace("(A as D)", "(A as D, B as A, C as B)").replace("fabric A", "fabric B")
    made = read(text.replace("cut left 1 in, bottom 1/2 in\n", "").replace("3 3/4 in of", "1 in of"))
    assert made.fabric_of("SF B") == made.fabric_of("Cr B") == "muslin"
    assert made.fabric_of("SF A") == made.fabric_of("Cr A") == "Fabric A"
    assert made.fabric_of("Po B") == "muslin"


CELLS = """
quilt Nine and more
finished 6 in
set straight
row N/90  P  ?
row N     N  M/m270
border 3 in, squares, red
  left 5 in, blue
  repeat top, bottom: 3 in of H
  corner H
kind N Nine Patch
kind M Half
kind P plain medium scrappy
kind H Half
fabric N A = muslin
fabric cornerstone = rose
at row 2, column 1: A = red dot, B = blue, faded

block Half
A light
B dark

A/B

block Half [M]
A light
B dark

A|B
"""


def test_a_draft_file_of_kinds_says_what_stands_where():
    made = read(CELLS)
    assert [kind.name for kind in made.kinds] == ["N", "M", "P", "H"]
    assert [[cell.kind for cell in row] for row in made.cells] == [["N", "P", ""], ["N", "N", "M"]]
    assert made.turned == {(0, 0): Turned(90), (1, 2): Turned(270, True)}
    assert made.cells[1][0].fabrics == {"A": "red dot", "B": "blue, faded"}
    assert (made.kind("P").plain, made.kind("P").block.places["A"].scrappy) == (True, True)
    assert made.kind("H").block.patches != made.kind("M").block.patches
    (band,) = made.borders
    assert [str(side.width) for side in band.sides] == ["3 in", "3 in", "3 in", "5 in"]
    assert [side.fabric for side in band.sides] == ["red", "red", "red", "blue"]
    assert [side.pieced is not None for side in band.sides] == [True, False, True, False]
    assert (band.corner, made.fabric_of("N A"), made.fabric_of("cornerstone")) == ("H", "muslin", "rose")
    assert read(write_quilt(made, find_block=find)) == made == read(write_quilt(made))


def test_a_letter_alone_is_said_of_every_kind_that_has_it():
    made = read(CELLS.replace("fabric N A", "fabric A"))
    assert {made.fabric_of(key) for key in ("N A", "M A", "P A", "H A")} == {"muslin"}


def test_a_quilt_of_one_block_needs_no_kinds():
    text = write_quilt(repeated("q", find("Shoo Fly"), inches(9), inches(9), 2, 3), find_block=find)
    assert text.splitlines() == ["quilt q", "made of Shoo Fly", "finished 9 in", "rows 2", "columns 3"]


def test_a_named_pattern_of_turns_turns_the_blocks():
    text = "quilt q\nmade of Half\nfinished 9in\nrows 2\ncolumns 2\nturn sunshine and shadow\nblock Half\nA dark\nB light\n\nA/B"
    assert read(text).turned == {(0, 0): Turned(180), (0, 1): Turned(270), (1, 0): Turned(90)}


exact = st.builds(
    Length,
    st.fractions(Fraction(1, 97), 300, max_denominator=97),
    st.sampled_from(Unit),
)
names = st.text(
    st.characters(codec="utf-8", exclude_categories=("C", "Z"), exclude_characters="#"), min_size=1, max_size=12
)
ways = st.builds(Turned, st.sampled_from([0, 90, 180, 270]), st.booleans())
strings = st.lists(names, min_size=1, max_size=3).map(" ".join)
sides = st.builds(Side, exact.filter(lambda width: width.inches <= BORDER_IN), strings)


@st.composite
def borders(draw):
    corners, common = draw(st.sampled_from(["butted", "mitered", "squares"])), draw(sides)
    if corners == "mitered":
        return Border(*(replace(common, fabric=draw(strings)) for _ in range(4)), corners)
    return Border(*(draw(st.just(common) | sides) for _ in range(4)), corners)


BLOCKS = [CROOKED, find("Shoo Fly"), find("Log Cabin"), plain_block("X", "dark"), plain_block(), POINTS,
          replace(POINTS, name="Crooked")]  # fmt: skip


@st.composite
def kinds_and_cells(draw, setting, rows, columns):
    """Kinds by turns, all of one, or here and there, some of them not read."""
    signs = draw(st.lists(st.from_regex(SIGN, fullmatch=True), min_size=1, max_size=4, unique=True))
    kinds = {sign: draw(st.sampled_from(BLOCKS)) for sign in signs}
    cells = []
    for row, column in spots(setting, rows, columns):
        cells += [[]] if column == 0 else []
        sign = draw(st.sampled_from([*signs, ""]))
        if not sign:
            cells[row].append(NOT_READ)
            continue
        own = draw(
            st.just({})
            | st.dictionaries(
                st.sampled_from(sorted(kinds[sign].places)),
                strings.filter(lambda name: "=" not in name and "," not in name),
            )
        )
        cells[row].append(Cell(sign, draw(st.just(Turned()) | ways), own))
    used = {cell.kind for row in cells for cell in row}
    named = draw(st.dictionaries(st.sampled_from("AB"), strings))
    return tuple(
        Kind(sign, block, {letter: name for letter, name in named.items() if letter in block.places})
        for sign, block in kinds.items() if sign in used
    ), tuple(map(tuple, cells))  # fmt: skip


@st.composite
def quilts(draw):
    rows, columns, side = draw(st.integers(2, 4)), draw(st.integers(2, 4)), draw(exact)
    kind = draw(st.sampled_from(["straight", "on point", "half", "offset", "strips"]))
    sashing = None
    if kind in ("straight", "on point") and draw(st.booleans()):
        gap = draw(exact)
        other = draw(exact) if kind == "straight" else gap
        sashing = Sashing(gap, other, draw(st.booleans()), draw(st.booleans()))
    setting = {
        "on point": OnPoint(),
        "half": OnPoint("half blocks"),
        "offset": Offset(draw(st.sampled_from(["cut blocks", "plain"]))),
        "strips": Strips(draw(exact), draw(st.booleans()), draw(st.booleans())),
    }.get(kind, Quilt.__dataclass_fields__["setting"].default)
    high = draw(exact) if kind in ("straight", "offset") else side
    cut = (
        Cut(*[draw(st.sampled_from([inches(0), size / 3])) for size in (side, high) * 2])
        if kind == "straight"
        else None
    )
    bands = tuple(draw(st.lists(borders(), max_size=3)))
    if draw(st.booleans()):
        quilt = repeated(
            draw(strings), draw(st.sampled_from(BLOCKS)), side, high, rows, columns, sashing, bands,
            every_other=draw(st.sampled_from([None, *BLOCKS])), setting=setting, cut=cut,
            fabrics=draw(st.dictionaries(st.sampled_from(["A", "setting triangle"]), strings)),
        )  # fmt: skip
        return with_lies(
            quilt, {spot: draw(ways) for spot in draw(st.lists(st.sampled_from(quilt.spots), max_size=4))}
        )
    made, cells = draw(kinds_and_cells(setting, rows, columns))
    return Quilt(
        draw(strings), made, cells, side, high, sashing, bands,
        draw(st.dictionaries(st.just("setting triangle"), strings)), setting, cut,
    )  # fmt: skip


@given(quilts(), st.booleans())
@settings(max_examples=40, deadline=None)
def test_what_is_written_is_read_back_to_the_same_quilt(quilt, by_name):
    text = write_quilt(quilt, find_block=find if by_name else None)
    back = read(text)
    assert back == quilt
    # Equal lengths may be shown in other units; those are kept too.
    assert (str(back), back.block_height.unit) == (str(quilt), quilt.block_height.unit)
    assert write_quilt(back, find_block=find if by_name else None) == text


def test_pieced_borders_and_their_corners_are_read_back():
    quilt = repeated(
        "q", POINTS, inches(9), inches(9), 2, 3, kinds=[Kind("U", POINTS, {"D": "red"})],
        borders=(border(inches(3), "red", "squares", pieced=Pieced("U", inches(3), mirrored=True), corner="Po"),),
    )  # fmt: skip
    text = write_quilt(quilt)
    assert "repeat mirrored 3 in of U\ncorner Po\n" in text
    assert read(text) == quilt


def test_a_block_of_the_catalogue_is_named_when_asked_and_drawn_when_not():
    quilt = repeated("q", find("Shoo Fly"), inches(9), inches(9), 2, 3)
    assert "block Shoo Fly" in write_quilt(quilt)
    assert "block Shoo Fly" not in write_quilt(quilt, find_block=find)


def test_a_changed_block_is_drawn_even_under_a_name_of_the_catalogue():
    quilt = repeated("q", read_block("block Shoo Fly\nA dark\n\nA"), inches(9), inches(9), 2, 3)
    assert read(write_quilt(quilt, find_block=find)) == quilt


@pytest.mark.parametrize("name", ["a # b", "two\nlines", " spaced", ""])
def test_a_name_that_no_line_can_hold_is_refused_when_it_is_written(name):
    quilt = repeated(name, find("Shoo Fly"), inches(9), inches(9), 2, 3)
    with pytest.raises(NotationError):
        write_quilt(quilt)


def test_two_drawings_of_one_name_are_drawn_for_their_kinds():
    other = read_block("block Points\nD dark\nE light\n\nD|E")
    quilt = repeated("q", POINTS, inches(9), inches(9), 2, 3, every_other=other)
    text = write_quilt(quilt)
    assert ("block Points\n" in text, "block Points [P2]\n" in text) == (True, True)
    assert read(text) == quilt


KINDS = ["quilt q", "finished 6 in", "row N P N", "row P N P", "kind N Nine Patch", "kind P plain light"]
BASE = ["quilt q", "made of Shoo Fly", "finished 9 in", "rows 2", "columns 3"]
SLIPS = {
    "a word that is not known": (["quit q"], "line 1: \"quit\".*did you mean \"quilt\""),
    "a word said twice": ([*BASE, "rows 3"], "line 6: rows again"),
    "a word alone": ([*BASE, "border"], "line 6: border with nothing after it"),
    "no block": (["quilt q"], "line 1: no line that begins with made of"),
    "an unknown block": (["quilt q", "made of Shofly", *BASE[2:]], "line 2: .*did you mean \"Shoo Fly\""),
    "a bare number": ([*BASE[:2], "finished 9", *BASE[3:]], "line 3: \"9\" is not a length"),
    "no rows": ([*BASE[:3], "rows 0", BASE[4]], "line 4: \"0\": from 1 to 500"),
    "rows that are no number": ([*BASE[:3], "rows many", BASE[4]], "line 4: \"many\""),
    "an unknown setting": ([*BASE, "set on pont"], "line 6: \"on pont\".*did you mean \"on point\""),
    "an unknown option": ([*BASE, "sashing 2 in, outsid"], "line 6: \"outsid\".*did you mean \"outside\""),
    "an oblong block on point": (
        [*BASE[:2], "finished 9 x 8 in", *BASE[3:], "set on point"], "line 6: a block of 9 in by 8 in on point"
    ),
    "strips of nothing": ([*BASE, "set strips 0 in"], "line 6: strips of 0 in"),
    "a border of nothing": ([*BASE, "border 0 in"], "line 6, border 1: a border of 0 width"),
    "a border that does not divide": (
        [*BASE, "border 3 in, squares", "repeat 4 in of Shoo Fly"],
        "line 7, border 1, top and bottom: units of 4 in along 27 in: 6 of them are 3 in too short, 7 are 1 in too long",
    ),
    "a pieced border that is mitered": ([*BASE, "border 3 in, mitered", "repeat 3 in of Shoo Fly"], "line 7, border 1: .*mitered"),
    "a repeat without a border": ([*BASE, "repeat 3 in of Shoo Fly"], "line 6: repeat: it belongs to the border above"),
    "a corner block without corner squares": ([*BASE, "border 3 in", "corner Shoo Fly"], "line 7, border 1: .*corner squares"),
    "a corner block twice": ([*BASE, "border 3 in, squares", "corner Shoo Fly", "corner Shoo Fly"], "line 8: corner again"),
    "a side without a border": ([*BASE, "left 3 in"], "line 6: left: it belongs to the border above"),
    "a repeat of a side that is not": ([*BASE, "border 3 in", "repeat lift: 3 in of Shoo Fly"], "line 7: \"lift\".*did you mean \"left\""),
    "a hole in the picture": ([*KINDS[:2], "row N . P", *KINDS[3:]], r"line 3, column 2: \"\.\": a cell has a kind, or \?"),
    "a hole that shows by its column": ([*KINDS[:2], "row N   N", *KINDS[3:]], "line 3, column 2: a hole: every place has a kind"),
    "a hole in a lower row": ([*KINDS[:3], "row P   P", *KINDS[4:]], "line 4, column 2: a hole"),
    "a kind that is not there": ([*KINDS[:2], "row N P Q", *KINDS[3:]], "line 3, column 3: \"Q\": no kind is called that; choose one of: N, P"),
    "a row too short": ([*KINDS[:3], "row P N", *KINDS[4:]], "line 4: 2 blocks: this row has 3, as the first row says"),
    "a row too long": ([*KINDS[:3], "row P N P P", *KINDS[4:]], "line 4: 4 blocks: this row has 3"),
    "a row too many on point": ([*KINDS[:2], "set on point", "row N N", "row P", "row N N", "row P", *KINDS[4:]],
                                "line 7: 4 rows of blocks on point"),
    "a row between of the wrong length": ([*KINDS[:2], "set on point", "row N N", "row P P", "row N N", *KINDS[4:]],
                                          "line 5: 2 blocks: this row has 1"),
    "a kind that no cell uses": ([*KINDS, "kind Q Shoo Fly"], "line 7: kind Q: no cell and no border takes it"),
    "a kind said twice": ([*KINDS, "kind N Shoo Fly"], "line 7: kind N again"),
    "a kind of too long a name": ([*KINDS, "kind Nine Shoo Fly"], "line 7: \"kind Nine Shoo Fly\": a kind has a name of one or two"),
    "a kind of no block": ([*KINDS[:5], "kind P"], "line 6: \"kind P\""),
    "a kind of an unknown block": ([*KINDS[:5], "kind P Shofly"], "line 6: .*did you mean \"Shoo Fly\""),
    "an odd turn in the picture": ([*KINDS[:2], "row N/45 P N", *KINDS[3:]], "line 3, column 1: \"N/45\": after the slash"),
    "a picture and one block too": ([*KINDS, "made of Shoo Fly"], "line 7: made of: the rows say what stands where"),
    "a picture and turns too": ([*KINDS, "turn every other"], "line 7: turn: the rows say how each block lies"),
    "a picture that has other counts": ([*KINDS, "rows 3"], "line 7: rows 3: the rows drawn make 2"),
    "a fabric of a letter that is not there": ([*KINDS, "fabric N Q = red"], "line 7: fabric N Q: kind N has A, B"),
    "an own fabric of a letter that is not there": ([*KINDS, "at row 1, column 2: B = red"], "line 7: B = red: its kind P has A"),
    "an own fabric where nothing is": ([*KINDS, "at row 3, column 2: A = red"], "line 7: row 3, column 2: the quilt has 2 rows"),
    "an own fabric where nothing was read": ([*KINDS[:2], "row N ? P", *KINDS[3:], "at row 1, column 2: A = red"],
                                             "line 7: a fabric at row 1, column 2: this block was not read"),
    "a block for a kind that is not there": ([*KINDS, "block Half [Q]", "A dark", "B light", "", "A/B"], "line 6: a block drawn for kind Q"),
    "a letter that is not there": ([*BASE, "every other Shoo Fly (Q as C)"], "line 6: Q as C in Shoo Fly"),
    "too few lines of turns": ([*BASE, "turn 0 0 0"], "line 6: 1 line of turns: the quilt has 2 rows"),
    "too few turns": ([*BASE, "turn 0 0 0", "turn 0 0"], "line 7: 2 turns: this row has 3 blocks"),
    "an odd turn": ([*BASE, "turn 0 0 0", "turn 0 45 0"], "line 7: \"45\""),
    "an unknown pattern": ([*BASE, "turn barn rising"], "line 6: .*did you mean \"barn raising\""),
    "a pattern that does not fit": ([*BASE, "turn barn raising"], "line 6: barn raising with 2 rows of 3"),
    "a cut of a whole block": ([*BASE, "cut left 9 in"], "line 6: a cut as wide as a block"),
    "a cut of an unknown side": ([*BASE, "cut lift 9 in"], "line 6: \"lift\".*did you mean \"left\""),
    "a fabric without a name": ([*BASE, "fabric A muslin"], "line 6: \"A muslin\": a fabric line"),
    "a fabric said twice": ([*BASE, "fabric A = b", "fabric A = c"], "line 7: fabric A again"),
    "a slip in a block": ([*BASE, "block Half", "A dark", "", "A/"], "line 9: \"A/\""),
    "a block that does not cover": ([*BASE, "block Half", "A dark", "divisions 2", "patch A 0,0 1,0 1,1"],
                                    "line 6, block Half, at .*gap"),
    "a block drawn twice": ([*BASE, "block H", "A dark", "", "A", "block H", "A dark", "", "A"], "line 10: block H again"),
}  # fmt: skip


@pytest.mark.parametrize(("lines", "said"), SLIPS.values(), ids=SLIPS.keys())
def test_a_slip_is_named_with_its_line(lines, said):
    with pytest.raises(SeamloreError, match=f"^porch.txt, {said}"):
        read_quilt("\n".join(lines), find_block=find, source="porch.txt")


DOCS = Path(__file__).parents[3] / "docs" / "draft-files.md"


@pytest.mark.parametrize("text", re.findall(r"```\n(quilt .*?)```", DOCS.read_text("utf-8"), re.DOTALL))
def test_every_example_of_the_page_on_draft_files_is_read_and_covers(text):
    quilt = read(text)
    laid = lay(quilt)
    width, height = (side.inches_float for side in quilt.finished_size)
    frame = np.array([[0, 0], [width, 0], [width, height], [0, height]])
    check_cover(frame, [each.outline for each in laid], [each.key for each in laid])


WORDS = st.sampled_from(
    [
        *["quilt", "made", "every", "other", "finished", "rows", "columns", "set", "sashing", "cut", "border", "repeat", "corner", "fabric", "turn", "block", "A", "B/A"],
        *["dark", "light", "scrappy", "9", "in", "1/0", "0", "2", "x", "by", ",", "=", "(", ")", "as", "plain", "Shoo", "Fly", "Log", "Cabin", "on", "point", "strips", "offset", "m90", "90"],
        *["row", "kind", "at", "?", "N", "N/90", "/m", "[N]", "column", "1:", "left", "top:"],
        *["half", "blocks", "barn", "raising", "squares", "mitered", "left", "of", "-", "-3", "9in", "1e9", "½", "outside", "mirrored", "#", "é"],
        "\t", "\x00", '"',
    ]
)  # fmt: skip


def refusal(text):
    try:
        read(text)
    except SeamloreError as fault:
        return fault
    return None


@given(st.lists(WORDS, max_size=5).map(" ".join), st.integers(0, 8), st.booleans())
@settings(max_examples=150, deadline=None)
def test_whatever_is_written_is_read_or_refused_in_one_line(line, where, instead):
    good = [*BASE, "sashing 2 in", "border 3 in, squares", "repeat 3 in of Shoo Fly", "turn every other"]
    good[where : where + instead] = [line]
    fault = refusal("\n".join(good))
    assert fault is None or ("line " in fault.where and "\n" not in str(fault))


@given(st.sampled_from(["set", "sashing", "finished", "border", "repeat", "cut", "turn", "fabric", "every other", "row", "kind", "at", "left"]),
       st.lists(WORDS, max_size=5).map(" ".join))  # fmt: skip
@settings(max_examples=150, deadline=None)
def test_whatever_follows_a_word_is_read_or_refused_in_one_line(word, rest):
    good = [each for each in BASE if not each.startswith(word)]
    fault = refusal("\n".join([*good, "border 3 in, squares", f"{word} {rest}"]))
    assert fault is None or ("line " in fault.where and "\n" not in str(fault))
