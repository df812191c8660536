"""The block lesson: one block in several sizes, as PDF and as a page."""

import datetime
import html.parser
import io
import json
import re

import pikepdf
import pytest

from seamlore.draft.block import Block
from seamlore.draft.catalogue import find
from seamlore.draft.text.notation import read_block
from seamlore.errors import SeamloreError
from seamlore.lengths import centimeters, inches
from seamlore.printing.content import Plate
from seamlore.sheets.lesson import lesson
from seamlore.sheets.lesson_page import how_to
from seamlore.steps.sewing.lesson import lesson_content, lesson_page, lesson_pdf, whose_design

DAY = datetime.date(2026, 11, 30)


def square(*sides):
    return [(side, side) for side in sides]


@pytest.fixture(scope="module")
def shoo_fly():
    return lesson_content(find("shoo fly"), square(inches(9), inches(12)), printed=DAY)


def test_cut_sizes_stand_side_by_side_for_each_size(shoo_fly):
    # Trade facts A1: squares + 1/2, half-square triangles + 7/8. Thirds of 9 and 12 in are 3 and 4 in.
    assert {(each.label, each.count, each.then, each.sizes) for each in shoo_fly.cutting} == {
        ("A1", 2, "cut once corner to corner", ("3 7/8 in", "4 7/8 in")),
        ("A2", 4, "", ("3 1/2 in", "4 1/2 in")),
        ("B1", 2, "cut once corner to corner", ("3 7/8 in", "4 7/8 in")),
        ("B2", 1, "", ("3 1/2 in", "4 1/2 in")),
    }


def test_each_step_measures_as_it_should_in_each_size(shoo_fly):
    assert shoo_fly.measures(0) == (
        "9 in block: it should now measure 3 1/2 in square, raw edge to raw edge.",
        "12 in block: it should now measure 4 1/2 in square, raw edge to raw edge.",
    )
    assert len({tuple(step.title for step in sewn.steps) for sewn in shoo_fly.sewn}) == 1


def test_a_metric_lesson_is_metric_throughout():
    content = lesson_content(find("shoo fly"), square(centimeters(30)), printed=DAY)
    # 10 cm and two allowances of 0.75 cm; half-square triangles 10 + 2.5607 up to the next millimeter (trade facts A2).
    assert {each.sizes for each in content.cutting} == {("11.5 cm",), ("12.6 cm",)}
    assert not re.search(r"\d in\b", lesson_page(content))


def test_a_lesson_says_how_its_drawings_are_read_and_its_seams_are_sewn(shoo_fly):
    told = str(lesson(shoo_fly).blocks)
    for words in ("The arrow over it", "from raw edge to raw edge"):
        assert words in told
        assert words in lesson_page(shoo_fly)


def test_a_lesson_by_hand_or_over_papers_is_told_so_throughout():
    by = {
        how: lesson_content(find("shoo fly"), square(inches(9)), printed=DAY, method=how)
        for how in ("hand", "papers")
    }
    assert "from mark to mark" in lesson_page(by["hand"])
    assert "fanned" in lesson_page(by["hand"])
    papers = lesson_page(by["papers"])
    assert "Cut a paper of every piece" in papers
    assert "9 in square, fold to fold" in papers
    assert "raw edge" not in papers
    # Sizes in the drawings are folded too: 9 in, not 9 1/2.
    assert "9 1/2" not in papers
    assert "Papers at finished size" in str(lesson(by["papers"]).blocks)


@pytest.mark.parametrize(
    ("sizes", "said"),
    [
        ([], "in one size at least"),
        (square(*map(inches, range(6, 12))), "6 sizes: a lesson shows 4 at most"),
        (square(inches(9), centimeters(30)), "a lesson is in one of them"),
    ],
)
def test_sizes_that_make_no_lesson_are_refused(sizes, said):
    with pytest.raises(SeamloreError, match=said):
        lesson_content(find("shoo fly"), sizes, printed=DAY)


def test_whose_design_it_may_be_is_said_and_to_ask():
    own = read_block("block Ours\nA dark\nB light\n\nA B\nB A")
    for block in (find("shoo fly"), own):
        assert "ask before you teach" in whose_design(block)
    assert "quilters have long shared" in whose_design(find("shoo fly"))
    assert "not in Seamlore's catalogue" in whose_design(own)
    told = whose_design(find("churn dash")), whose_design(find("lemoyne star"))
    assert told[0].startswith(
        "A block that quilters have long shared; known here from common use, drawn from memory. The block"
    )
    assert re.match(
        r"A block that quilters have long shared; drawn here as it is described there: [^:]+, 2002\. The block",
        told[1],
    )
    # A name alone is not the drawing.
    assert "not in Seamlore's catalogue" in whose_design(Block("Shoo Fly", 2, own.patches, own.places))


def test_the_pdf_is_tagged_and_the_same_each_time(shoo_fly):
    once = lesson_pdf(shoo_fly, "a4")
    assert once == lesson_pdf(shoo_fly, "a4")
    with pikepdf.open(io.BytesIO(once)) as pdf:
        assert pdf.Root.MarkInfo.Marked
        assert str(pdf.docinfo["/Title"]) == "Shoo Fly: block lesson"


class _Seen(html.parser.HTMLParser):
    """Every address that a page would ask for, and the scripts in it."""

    def __init__(self, text):
        super().__init__()
        self.asked, self.scripts, self.ids, self.tags = [], [], [], []
        self._in_script = ""
        self.feed(text)

    def handle_starttag(self, tag, attrs):
        found = dict(attrs)
        self.tags.append(tag)
        self.ids += [found["id"]] if "id" in found else []
        self.asked += [found[key] for key in ("src", "href", "action", "data", "poster", "srcset") if key in found]
        self._in_script = found.get("type", "code") if tag == "script" else ""

    def handle_data(self, data):
        if self._in_script:
            self.scripts.append((self._in_script, data))
            self._in_script = ""


def test_the_page_holds_all_it_needs_and_asks_for_nothing(shoo_fly):
    text = lesson_page(shoo_fly)
    seen = _Seen(text)
    assert seen.asked == []
    assert "url(" not in text.replace("url(#", "")
    assert "@import" not in text
    assert [kind for kind, _ in seen.scripts] == ["application/ld+json"]
    assert seen.tags.count("svg") == 1 + len(shoo_fly.sewn[0].steps)
    assert len(seen.ids) == len(set(seen.ids))
    assert seen.tags.count("h1") == 1


# The terms of schema.org that a HowTo is described with: each looked up in RDFLib 7.6's SDO namespace (generated from
# schema.org, 2021-12-01), but for yield, a word of Python that it leaves out; which type takes which is from memory.
_TERMS = {
    "HowTo": {"name", "description", "inLanguage", "dateModified", "yield", "supply", "tool", "step"},
    "HowToStep": {"position", "name", "itemListElement"},
    "HowToDirection": {"position", "text"},
    "HowToSupply": {"name"},
    "HowToTool": {"name"},
}


def test_the_steps_are_told_to_programs_as_a_how_to_of_schema_org(shoo_fly):
    record = json.loads(_Seen(lesson_page(shoo_fly)).scripts[0][1])
    assert record == how_to(shoo_fly)
    assert record["@context"] == "https://schema.org"
    assert record["@type"] == "HowTo"

    def check(node):
        if isinstance(node, dict):
            extra = {"@context", "@type"} if node["@type"] == "HowTo" else {"@type"}
            assert node.keys() - extra <= _TERMS[node["@type"]]
            for value in node.values():
                check(value)
        elif isinstance(node, list):
            for value in node:
                check(value)

    check(record)
    assert [step["position"] for step in record["step"]] == list(range(1, len(shoo_fly.sewn[0].steps) + 2))
    assert record["step"][0]["name"] == "Cut"
    assert record["step"][-1]["itemListElement"][0]["text"].startswith("Join row 2, row 1 and row 2")


def test_a_name_cannot_end_the_script_or_become_a_tag():
    block = read_block("block Ours\nA dark\nB light\n\nA B\nB A")
    block = Block("</script><img src=x>", block.divisions, block.patches, block.places)
    content = lesson_content(block, square(inches(6)), printed=DAY, fabrics={"A": "<b>red</b>"})
    seen = _Seen(lesson_page(content))
    assert seen.asked == []
    assert "img" not in seen.tags
    assert "b" not in seen.tags
    assert json.loads(seen.scripts[0][1])["name"] == "Sew the </script><img src=x> block"


def test_a_lesson_has_foundations_where_a_block_is_sewn_on_them_and_none_for_squares_in_rows():
    day = datetime.date(2026, 11, 30)
    economy = lesson_content(find("economy patch"), [(inches(side), inches(side)) for side in (4, 6)], printed=day)
    assert [each.name for each in economy.foundations] == ["4 in block", "6 in block"]
    assert "One foundation is enough" in lesson_page(economy)
    plates = [each.heading for each in lesson(economy).blocks if isinstance(each, Plate)]
    assert "Foundations at true scale" in [each.split(", page")[0] for each in plates]
    assert lesson_content(find("nine patch"), [(inches(6), inches(6))], printed=day).foundations == ()
