"""Draft files: what is written is read back, and every slip is named with its line."""

import re
from fractions import Fraction
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from seamlore.draft.catalogue import find
from seamlore.draft.layout import lay
from seamlore.draft.quilt import Border, Pieced, Quilt, Sashing, Turned
from seamlore.draft.setting.letters import plain_block, reletter
from seamlore.draft.setting.setting import Cut, Offset, OnPoint, Strips
from seamlore.draft.text.notation import read_block
from seamlore.draft.text.quilt_file import read_quilt, write_quilt
from seamlore.errors import NotationError, SeamloreError
from seamlore.lengths import Length, Unit, inches
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


def test_a_draft_file_says_what_it_says():
    crooked = read_block("block Crooked\nA dark\nB light\nC medium\n\nA1 A1 B\nA1 B C\nA/B C C")
    text = WHOLE.replace("  repeat 3 3/4 in of Points (D as B)\n  corner Points\n", "")
    shoo_fly = find("Shoo Fly")
    text = text.replace("(A as D)", "(A as D, B as E, C as F)")
    assert read(text) == Quilt(
        "Porch",
        shoo_fly,
        inches(9),
        inches(12),
        2,
        3,
        Sashing(inches(2), inches(3), outer=True, cornerstones=True),
        (Border(inches(4), "brown, faded", "mitered"), Border(inches(3), corners="squares")),
        {(0, 1): Turned(90), (0, 2): Turned(180, True), (1, 2): Turned(270)},
        {"A": "muslin", "setting triangle": "plain, brown"},
        second=reletter(crooked, {"A": "D", "B": "E", "C": "F"}),
        cut=Cut(inches(1), inches(0), inches(0), inches("1/2")),
    )


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
borders = st.builds(Border, exact, strings, st.sampled_from(["butted", "mitered", "squares"]))


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
    block = draw(st.sampled_from([CROOKED, find("Shoo Fly"), find("Log Cabin")]))
    second = draw(st.sampled_from([None, plain_block("X", "dark"), POINTS, reletter(POINTS, {"D": "G", "E": "H"})]))
    quilt = Quilt(
        draw(strings), block, side, high, rows, columns, sashing,
        tuple(draw(st.lists(borders, max_size=3))),
        fabrics=draw(st.dictionaries(st.sampled_from("AB") | st.just("setting triangle"), strings)),
        setting=setting, second=second, cut=cut,
    )  # fmt: skip
    turned = {spot: draw(ways) for spot in draw(st.lists(st.sampled_from(quilt.spots), max_size=4))}
    return Quilt(**{**{name: getattr(quilt, name) for name in quilt.__dataclass_fields__}, "turned": turned})


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
    unit, corner = reletter(POINTS, {"D": "A", "E": "B"}), POINTS
    quilt = Quilt(
        "q", POINTS, inches(9), inches(9), 2, 3,
        borders=(Border(inches(3), "red", "squares", Pieced(unit, inches(3), corner, mirrored=True)),),
    )  # fmt: skip
    text = write_quilt(quilt)
    assert "repeat mirrored 3 in of Points (D as A, E as B)\ncorner Points\n" in text
    assert read(text) == quilt


def test_a_block_of_the_catalogue_is_named_when_asked_and_drawn_when_not():
    quilt = Quilt("q", find("Shoo Fly"), inches(9), inches(9), 2, 3)
    assert "block Shoo Fly" in write_quilt(quilt)
    assert "block Shoo Fly" not in write_quilt(quilt, find_block=find)


def test_a_changed_block_is_drawn_even_under_a_name_of_the_catalogue():
    quilt = Quilt("q", read_block("block Shoo Fly\nA dark\n\nA"), inches(9), inches(9), 2, 3)
    assert read(write_quilt(quilt, find_block=find)) == quilt


@pytest.mark.parametrize("name", ["a # b", "two\nlines", " spaced", ""])
def test_a_name_that_no_line_can_hold_is_refused_when_it_is_written(name):
    quilt = Quilt(name, find("Shoo Fly"), inches(9), inches(9), 2, 3)
    with pytest.raises(NotationError):
        write_quilt(quilt)


def test_two_blocks_of_one_name_are_refused_when_they_are_written():
    other = read_block("block Points\nD dark\nE light\n\nD|E")
    quilt = Quilt("q", POINTS, inches(9), inches(9), 2, 3, second=other)
    with pytest.raises(NotationError, match="two blocks called Points"):
        write_quilt(quilt)


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
    "a border of nothing": ([*BASE, "border 0 in"], "line 6: a block or border of 0 width"),
    "a border that does not divide": (
        [*BASE, "border 3 in, squares", "repeat 4 in of Shoo Fly"],
        "line 7, border 1, top and bottom: units of 4 in along 27 in: 6 of them are 3 in too short, 7 are 1 in too long",
    ),
    "a pieced border that is mitered": ([*BASE, "border 3 in, mitered", "repeat 3 in of Shoo Fly"], "line 7, border 1: .*mitered"),
    "a repeat without a border": ([*BASE, "repeat 3 in of Shoo Fly"], "line 6: repeat: it belongs to the border above"),
    "a corner without a repeat": ([*BASE, "border 3 in", "corner Shoo Fly"], "line 7: corner"),
    "letters that mean two things": ([*BASE, "every other Half", "block Half", "A dark", "B light", "", "A/B"],
                                     "line 6: place A, light in Shoo Fly and dark in Half"),
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


@given(st.sampled_from(["set", "sashing", "finished", "border", "repeat", "cut", "turn", "fabric", "every other"]),
       st.lists(WORDS, max_size=5).map(" ".join))  # fmt: skip
@settings(max_examples=150, deadline=None)
def test_whatever_follows_a_word_is_read_or_refused_in_one_line(word, rest):
    good = [each for each in BASE if not each.startswith(word)]
    fault = refusal("\n".join([*good, "border 3 in, squares", f"{word} {rest}"]))
    assert fault is None or ("line " in fault.where and "\n" not in str(fault))
