"""`seamlore draft`: what it says, writes and refuses; and that docs/drafting.md says what it does."""

from __future__ import annotations

import json
import re
import shlex
import shutil
from pathlib import Path

import pytest

from seamlore.cli.main import run
from seamlore.draft.text.notation import read_block
from seamlore.draft.text.quilt_file import read_quilt

ROOT = Path(__file__).resolve().parents[2]
FENCE = re.compile(r"^```(sh|refused|text|csv)\n(.*?)^```", re.MULTILINE | re.DOTALL)
QUILT = ("--size", "9in", "--rows", "4", "--columns", "4")
SCRAPS = "fabric,value,patches\n" + "".join(f"scrap {number},dark,9\n" for number in range(10))


def said(capsys, *words):
    code = run(["draft", *words])
    out, err = capsys.readouterr()
    return code, out, err


def record(capsys, *words):
    code, out, err = said(capsys, *words, "--json")
    assert (code, err) == (0, "")
    assert out.count("\n") == 1
    return json.loads(out)


def page():
    """Every command of the page with what it says there: (commands, whether they are refused, lines)."""
    found = []
    for kind, text in FENCE.findall((ROOT / "docs" / "drafting.md").read_text(encoding="utf-8")):
        if kind in ("sh", "refused"):
            found.append((text.strip().splitlines(), kind == "refused", []))
        elif kind == "text":
            found[-1][2].extend(text.strip("\n").splitlines())
    return found


@pytest.mark.parametrize(("commands", "refused", "lines"), page())
def test_the_page_on_drafting_says_what_happens(capsys, tmp_path, monkeypatch, commands, refused, lines):
    if "look" in commands[0]:
        pytest.skip("reading a photograph is timed and tested elsewhere")
    monkeypatch.chdir(tmp_path)
    table = next(text for kind, text in FENCE.findall((ROOT / "docs" / "drafting.md").read_text()) if kind == "csv")
    Path("scraps.csv").write_text(table)
    codes = [run(shlex.split(command)[1:]) for command in commands]
    out, err = capsys.readouterr()
    assert codes == [2 if refused else 0] * len(commands)
    for line in lines:
        assert line in (err if refused else out)
    for name in re.findall(r"--svg (\S+)", " ".join(commands)):
        assert Path(name).read_text().startswith("<svg")


def test_the_page_names_every_option_in_its_group_of_the_help(capsys):
    code, out, _ = said(capsys, "--help")
    assert code == 0
    headings = ("From a block to a quilt:", "Fit it to a bed:", "Fabrics at hand:", "What comes out:")
    assert [heading for heading in headings if heading not in out] == []
    assert out.split("Options:")[1].split() == ["-h,", "--help", "Show", "this", "message", "and", "exit."]


def test_a_block_names_its_near_ones_and_what_differs(capsys):
    # Churn dash is shoo fly with each side cut in two strips: 4 seams more (by hand).
    found = record(capsys, "shoo fly")
    near = next(match for match in found["matches"] if match["name"] == "Churn Dash")
    assert (near["kind"], len(near["only_there"]), len(near["only_here"])) == ("near", 4, 0)


def test_a_block_lists_other_names_of_its_own_drawing(capsys):
    assert "(also Windmill)" in said(capsys, "pinwheel")[1]


def test_a_grid_of_half_square_triangles_tells_its_layouts(capsys):
    # 4 ways in each of 4 squares, and 70 up to turning: Burnside by hand (256 + 4 + 16 + 4) / 4 (trade facts D2).
    layouts = record(capsys, "pinwheel")["layouts"]
    assert (layouts["all"], layouts["turned"]) == (4**4, (256 + 4 + 16 + 4) // 4)
    assert record(capsys, "ohio star")["layouts"] is None


def test_a_block_on_point_with_setting_triangles(capsys):
    # 4 x 5 on point is 32 blocks: trade facts on settings.
    quilt = record(capsys, "nine patch", "--size", "12in", "--rows", "5", "--columns", "4", "--on-point")
    assert quilt["blocks"] == 32


def test_the_words_of_a_draft_file_set_a_quilt(capsys):
    words = ("--set", "strips 5 in, outside", "--border", "3 in, mitered, brown stripe")
    text = said(capsys, "four patch", *QUILT, *words, "--text")[1]
    assert "set strips 5 in, outside" in text
    assert "border 3 in, mitered, brown stripe" in text


def test_borders_said_by_width_alone_are_mitered_when_asked(capsys):
    text = said(
        capsys, "four patch", *QUILT, "--border", "3in", "--border", "2in, butted, red", "--mitered", "--text"
    )[1]
    assert "border 3 in, mitered" in text
    assert "border 2 in, butted, red" in text


def test_blocks_by_turns_are_written_as_a_picture_of_kinds(capsys):
    text = said(capsys, "nine patch", *QUILT, "--every-other", "plain dark", "--text")[1]
    assert "row NP P  NP P\nrow P  NP P  NP\n" in text
    assert "kind NP Nine Patch\nkind P plain dark\n" in text


def test_a_pieced_border_with_a_corner_block_is_read_back(capsys, tmp_path):
    # 36 in of field and units of 3 in: 12 along each side (by hand).
    border = "3 in, squares, red, repeat mirrored 3 in of half-square triangle, corner pinwheel"
    code, text, _ = said(capsys, "nine patch", *QUILT, "--border", border, "--text")
    assert code == 0
    path = tmp_path / "bordered.quilt"
    path.write_text(text)
    again = record(capsys, str(path))
    assert sum(piece["count"] for piece in again["pieces"] if piece["role"] == "border") == 4 * 12 * 2


def test_every_size_that_is_tried_has_its_draft(capsys):
    tried = record(capsys, "shoo fly", *QUILT, "--try", "sashing 1in 2in", "--try", "block: 8in, 9in")["tried"]
    # Four blocks and three strips: 4 x 8 + 3 x 1 and so on, by hand.
    assert [each["finished"][0] for each in tried] == [35, 39, 38, 42]
    from seamlore.draft.catalogue import find

    assert all(read_quilt(each["text"], find_block=find).rows == 4 for each in tried)


def test_a_custom_of_the_trade_is_marked_as_one(capsys):
    customs = record(capsys, "shoo fly", *QUILT, "--sashing", "3in")["customs"]
    assert [(each["what"], each["usual"], each["source"]) for each in customs] == [
        ("sashing to block", True, "common practice, no source")
    ]


def test_a_bed_gives_several_ways(capsys):
    # A queen mattress is 60 x 80 in (trade sizes): with a drop of 13 in the cover is 86 x 93 in.
    fits = record(capsys, "shoo fly", *QUILT, "--border", "4in", "--bed", "queen", "--drop", "13in")["bed"]
    assert len(fits) == 5
    assert [size - over for size, over in zip(fits[0]["finished"], fits[0]["over"], strict=True)] == [86, 93]


def test_values_can_be_exchanged(capsys):
    text = said(capsys, "four patch", "--exchange", "--text")[1]
    assert read_block(text).places["A"].value == "dark"


def test_scraps_are_placed_and_the_assignment_written(capsys, tmp_path):
    (tmp_path / "scraps.csv").write_text(SCRAPS)
    out = tmp_path / "placed.json"
    words = ("--scrappy", "B", "--fabrics", str(tmp_path / "scraps.csv"), "--placed", str(out))
    placed = record(capsys, "shoo fly", *QUILT, *words)["placed"]
    assert json.loads(out.read_text()) == placed
    assert placed["touching"] == 0
    assert placed["bound"] <= placed["shared"]
    counts: dict[str, int] = {}
    for patch in placed["patches"]:
        counts[patch["fabric"]] = counts.get(patch["fabric"], 0) + 1
    # Five dark patches in each of sixteen blocks, and no fabric gives more than nine.
    assert sum(counts.values()) == 5 * 16
    assert max(counts.values()) <= 9


def test_too_little_fabric_is_said_with_what_shows_it(capsys, tmp_path):
    (tmp_path / "few.csv").write_text("fabric,value,patches\nred,dark,30\nblue,dark,30\n")
    code, _, err = said(capsys, "shoo fly", *QUILT, "--scrappy", "B", "--fabrics", str(tmp_path / "few.csv"))
    assert code == 2
    assert err.count("\n") == 1
    assert "red and blue" in err


def test_a_unit_is_drawn_alone(capsys, tmp_path):
    svg = tmp_path / "unit.svg"
    assert said(capsys, "sawtooth star", "--units", "2", "--svg", str(svg))[0] == 0
    assert "unit 2, flying geese" in svg.read_text()


@pytest.fixture
def reading(tmp_path):
    # A quilt of 3 rows of 4 half-square triangles, 8 in each, in sashing of 2 in: 38 by 28 in (by hand).
    half = [[[0, 0], [1, 0], [0, 1]], [[1, 0], [1, 1], [0, 1]]]
    patches = [
        {"outline": ring, "place": place, "value": value}
        for ring, place, value in zip(half, "AB", ("dark", "light"), strict=True)
    ]
    found = {
        "photo_size": [400, 300],
        "corners": [[10, 10], [390, 10], [390, 290], [10, 290]],
        "corners_from": "given",
        "unit": "in",
        "size": [38, 28],
        "setting": "straight",
        "rows": 3,
        "columns": 4,
        "block_size": [8, 8],
        "sashing": [2, 2],
        "edge": {"left": 0, "top": 0, "right": 0, "bottom": 0},
        "row_spans": [[0, 8], [10, 18], [20, 28]],
        "column_spans": [[0, 8], [10, 18], [20, 28], [30, 38]],
        "uncertainty": {"block_size": [0.05, 0.05], "sashing": [0.05, 0.05], "edge": 0.1},
        "block": {"divisions": 1, "patches": patches},
        "blocks": [],
    }
    path = tmp_path / "reading.json"
    path.write_text(json.dumps(found))
    return path, found


def test_the_block_in_a_reading_is_named(capsys, reading):
    found = record(capsys, str(reading[0]))
    assert (found["matches"][0]["name"], found["matches"][0]["kind"]) == ("Half-Square Triangle", "same")


def test_a_reading_is_drafted_as_pieced_with_a_reason_for_each_size(capsys, reading):
    quilt = record(capsys, str(reading[0]), "--uncropped")
    assert (quilt["rows"], quilt["columns"], quilt["finished"]) == (3, 4, [38, 28])
    assert {each["what"]: each["drafted"] for each in quilt["as_found"]["sizes"]}["block width"] == 8
    assert all(each["reason"] for each in quilt["as_found"]["sizes"])


def test_her_word_overrules_a_reading(capsys, reading):
    assert record(capsys, str(reading[0]), "--uncropped", "--size", "8 1/8 in")["block_size"] == [8.125, 8.125]


@pytest.mark.parametrize(
    ("change", "message"),
    [({"unit": "width"}, "without the size"), ({"setting": "none", "block": None}, "no block grid")],
)
def test_a_reading_that_gives_no_quilt_is_refused(capsys, reading, change, message):
    path, found = reading
    path.write_text(json.dumps(found | change))
    code, _, err = said(capsys, str(path), "--uncropped")
    assert (code, err.count("\n")) == (2, 1)
    assert message in err


@pytest.mark.parametrize(
    ("words", "message"),
    [
        (["shoo fly", "--size", "9in"], "a quilt needs all three"),
        (["shoo fly", *QUILT, "--set", "askew"], '--set: "askew"'),
        (["shoo fly", *QUILT, "--sashing", "2"], "no unit"),
        (["shoo fly", *QUILT, "--border", "3in, mitered, red, repeat 3in of pinwheel"], "miter would cut"),
        (["shoo fly", *QUILT, "--border", "3in, corner pinwheel"], "say what it repeats"),
        (["shoo fly", *QUILT, "--border", "5in, squares, red, repeat 5in of pinwheel"], "too short"),
        (["shoo fly", *QUILT, "--turn", "barn rising"], 'did you mean "barn raising"'),
        (["shoo fly", *QUILT, "--try", "sashng 1in"], 'did you mean "sashing"'),
        (["shoo fly", *QUILT, "--try", "sashing 1 2"], "no length with a unit"),
        (["shoo fly", *QUILT, "--try", "sashing 1in", "--try", "sashing 2in"], "tried once"),
        (["shoo fly", *QUILT, "--bed", "quen"], 'did you mean "queen"'),
        (["shoo fly", *QUILT, "--drop", "3in"], "it belongs to --bed"),
        (["shoo fly", "--placed", "out.json"], "it belongs to --fabrics"),
        (["shoo fly", "--color", "Q=red"], "choose one of: A, B"),
        (["shoo fly", "--color", "A"], "write: A=..."),
        (["shoo fly", "--value", "A=drk"], 'did you mean "dark"'),
        (["shoo fly", "--scrappy", "Z"], "Shoo Fly has none"),
        (["shoo fly", "--units", "nine", "--svg", "out.svg"], "it has 4 units"),
        (["shoo fly", "--size", "9in", "--rows", "900", "--columns", "900"], "at most 10,000 blocks"),
        (["shoo fly", *QUILT, "--cut", "left 20in"], "as wide as a block"),
        (["shoo fly", "--size", "9x12in", "--rows", "2", "--columns", "2", "--on-point"], "on point is square"),
        (["shoo fly", "--uncropped"], "it takes a reading"),
        (["--layouts", "40"], "from 1 by 1 to 16 by 16"),
        ([], "no block was named"),
    ],
)
def test_bad_input_is_one_line_and_exit_2(capsys, tmp_path, monkeypatch, words, message):
    monkeypatch.chdir(tmp_path)
    code, out, err = said(capsys, *words)
    assert (code, out, err.count("\n")) == (2, "", 1)
    assert message in err
    assert list(tmp_path.iterdir()) == []


def test_a_draft_file_is_not_changed_by_options_in_silence(capsys, tmp_path):
    path = tmp_path / "q.quilt"
    path.write_text("quilt Porch\nmade of Shoo Fly\nfinished 9 in\nrows 2\ncolumns 2\n")
    code, _, err = said(capsys, str(path), "--border", "3in")
    assert code == 2
    assert "the file says how the quilt is made" in err


def test_a_file_that_is_no_reading_is_refused(capsys, tmp_path):
    path = tmp_path / "odd.json"
    path.write_text("{}")
    code, _, err = said(capsys, str(path))
    assert (code, err.count("\n")) == (2, 1)
    assert "not a reading" in err


def test_the_same_words_draw_the_same_picture(capsys, tmp_path):
    (tmp_path / "scraps.csv").write_text(SCRAPS)
    words = ("shoo fly", *QUILT, "--scrappy", "B", "--fabrics", str(tmp_path / "scraps.csv"), "--svg")
    for name in ("one.svg", "two.svg"):
        assert said(capsys, *words, str(tmp_path / name))[0] == 0
    assert (tmp_path / "one.svg").read_text() == (tmp_path / "two.svg").read_text()
    shutil.rmtree(tmp_path)


def test_a_seam_is_drawn_in_a_block_and_the_block_is_named_anew(capsys):
    code, out, _ = said(capsys, "nine patch", "--draw", "0,0 1/3,1/3", "--text")
    assert code == 0
    assert out.startswith("block Nine Patch variation\n")
    assert len(read_block(out).patches) == 10


def test_a_seam_that_ends_in_cloth_is_refused_with_what_to_do(capsys):
    code, out, err = said(capsys, "nine patch", "--draw", "0,0 1/6,1/6")
    assert (code, out) == (2, "")
    assert "it runs through no patch from side to side" in err
    assert err.count("\n") == 1


def test_a_block_that_is_not_read_is_not_counted_among_those_of_a_kind(capsys, tmp_path):
    draft = tmp_path / "q.draft.txt"
    draft.write_text("quilt q\nfinished 4 in\nrow P ?\nrow P P\nkind P plain light\n", encoding="utf-8")
    _, out, _ = said(capsys, str(draft))
    assert "  3 plain blocks of 4 in, 2 rows of 2\n  1 of 4 blocks is not read: row 1, column 2.\n" in out
    assert "  3 pieces of 1 kind\n" in out
