"""The page on sewing, asked in process."""

import datetime
import json
import re

import pytest

from seamlore.draft.catalogue import find
from seamlore.draft.quilt import Sashing
from seamlore.draft.repeated import repeated
from seamlore.draft.setting.setting import OnPoint
from seamlore.draft.text.quilt_file import write_quilt
from seamlore.lengths import inches
from seamlore.sewing.top import sewn_top
from seamlore.sheets.booklet import booklet
from seamlore.sheets.lesson import lesson
from seamlore.steps.booklet import booklet_content
from seamlore.steps.sewing.lesson import lesson_of
from seamlore.steps.study.sections import Choice, Making, Sewing

PART = {"hx-request": "true"}
DAY = datetime.date(2026, 11, 30)


@pytest.fixture
def send(client, demo, base_of):
    def sent(**fields):
        values = {"base": base_of(demo, "sewing"), **fields}
        return client.post(f"/study/{demo}/sew", data=values, headers=PART)

    return sent


def test_every_step_is_a_picture_that_opens_to_seams_words_and_size(client, demo, desk):
    page = client.get(f"/study/{demo}/sew").text
    assert page.count("<details>") == page.count('class="opened"') >= 3
    # Two pictures to each step: small in the strip, and opened.
    assert page.count("<svg") >= 2 * page.count("<details>")
    assert "It should now measure" in page
    assert re.search(r"Seams?: \d+ straight", page)


@pytest.fixture
def drafted(desk):
    """A study of a draft alone, without a photograph; gives its number."""
    quilt = repeated(
        "New", find("shoo fly"), inches(9), inches(9), 2, 2, Sashing(inches(2), inches(2)), setting=OnPoint()
    )
    number = desk.begin("New", None, "began")
    desk.change(number, Choice(draft=write_quilt(quilt, find_block=find)), 0, "drafted")
    return number


def _steps_of_the_top(text):
    return re.findall(r"<li><details>(.*?)</details>", text[text.index('id="top-head"') :], re.S)


def test_the_top_too_is_a_strip_of_pictures_that_open_to_its_seams(client, drafted, desk):
    text = client.get(f"/study/{drafted}/sew").text
    steps = _steps_of_the_top(text)
    assert len(steps) == len(sewn_top(desk.study(drafted).job.quilt).steps) >= 2
    for step in steps:
        number, title = re.search(r"<span>(\d+)\. ([^<]+)</span>", step).groups()
        # Small and opened, both of this step.
        assert len(re.findall(rf"<title[^>]*>[^<]*: {re.escape(title)}</title>", step)) == 2, number
        assert step.count("<svg") == 2
        assert "It should now measure" in step
        assert re.search(r"Seams?: \d+ \w+", step)


def test_another_method_draws_the_top_anew(client, drafted, base_of):
    asked = f"/study/{drafted}/sew"
    by_machine = _steps_of_the_top(client.get(asked).text)
    values = {"base": base_of(drafted, "sewing"), "method": "papers"}
    over_papers = _steps_of_the_top(client.post(asked, data=values, headers=PART).text)
    assert len(by_machine) == len(over_papers)
    # Over papers strips have none: each step says how it is sewn all the same, and no arrow is drawn.
    assert all("no papers" in step for step in over_papers if "sashing" in step.casefold())
    assert all(a != b for a, b in zip(by_machine, over_papers, strict=True))
    assert all("pressed" not in step for step in over_papers)
    assert any("pressed" in step for step in by_machine)


def test_another_method_is_kept_and_drawn_at_once(send, desk, demo):
    by_machine = send(method="machine").text
    answer = send(method="papers")
    assert answer.status_code == 200
    assert desk.study(demo).section(Sewing).method == "papers"
    assert "By hand over papers" in answer.text
    assert "fold to fold" in answer.text
    # Sizes in the drawings follow: half an inch of allowance is folded behind.
    assert re.findall(r"measure [^<]+", answer.text) != re.findall(r"measure [^<]+", by_machine)


def test_where_it_is_quilted_is_asked_kept_and_carried_to_pressing_booklet_and_lesson(client, desk, base_of):
    quilt = repeated("Star", find("ohio star"), inches(9), inches(9), 1, 2)
    number = desk.begin("Star", None, "began")
    desk.change(number, Choice(draft=write_quilt(quilt, find_block=find)), 0, "drafted")
    asked = f"/study/{number}/sew"
    off = client.get(asked).text
    assert "Press the seam open." in off
    answer = client.post(asked, data={"base": base_of(number, "sewing"), "quilted": "in the ditch"}, headers=PART)
    assert "Press the seam open." not in answer.text
    assert "No seam is pressed open" in answer.text
    assert '<option value="in the ditch" selected>' in answer.text
    job = desk.study(number).job
    assert job.inputs.sewing.quilted == "in the ditch"
    content = booklet_content(job.plan, printed=DAY, in_the_ditch=True)
    text = str(booklet(content).blocks)
    assert "Quilt in the ditch" in text
    assert "ressed open" not in text.replace("No seam is pressed open", "")
    assert "or press open" not in text
    assert "No seam is pressed open" in str(lesson(lesson_of(job, "", "", printed=DAY)).blocks)


def test_a_method_that_there_is_not_is_refused_and_nothing_changes(send, desk, demo):
    before = desk.study(demo).section(Sewing)
    answer = send(method="by foot")
    assert answer.status_code == 422
    assert "it is machine, hand or papers" in answer.text
    assert desk.study(demo).section(Sewing) == before


def test_a_lesson_comes_as_pdf_and_as_a_page_in_the_sizes_asked_for(client, demo):
    pdf = client.get(f"/study/{demo}/sew/lesson.pdf?sizes=9+in,+12+in")
    assert pdf.status_code == 200
    assert pdf.content.startswith(b"%PDF")
    assert "lesson.pdf" in pdf.headers["content-disposition"]
    page = client.get(f"/study/{demo}/sew/lesson.html?sizes=9+in,+12+in")
    record = json.loads(re.search(r'<script type="application/ld\+json">(.*?)</script>', page.text)[1])
    assert record["@type"] == "HowTo"
    assert record["yield"] == "1 block, 9 in or 12 in finished"


@pytest.mark.parametrize(
    ("sizes", "said"), [("nine", "is not a length"), ("1,2,3,4,5", "4 at most"), ("9in,30cm", "one of them")]
)
def test_sizes_that_make_no_lesson_are_said_in_one_line(client, demo, sizes, said):
    answer = client.get(f"/study/{demo}/sew/lesson.pdf", params={"sizes": sizes})
    assert answer.status_code == 422
    assert said in answer.text


def test_the_booklet_is_printed_as_chosen(client, send, demo, desk):
    colored = client.get(f"/study/{demo}/tell/booklet.pdf").content
    send(ink="black")
    plain = client.get(f"/study/{demo}/tell/booklet.pdf").content
    assert plain.startswith(b"%PDF")
    assert plain != colored
    assert desk.study(demo).section(Making).paper == "letter"


def test_old_cloth_is_warned_of_beside_an_old_quilt_and_not_beside_a_new_one(client, demo, desk):
    quilt = repeated("New", find("shoo fly"), inches(9), inches(9), 2, 2)
    new = desk.begin("New", None, "began")
    desk.change(new, Choice(draft=write_quilt(quilt, find_block=find)), 0, "drafted")
    assert "arsenic" not in client.get(f"/study/{new}/make").text
    assert "arsenic" in client.get(f"/study/{demo}/make").text
    assert client.get(f"/study/{new}/sew").text.count("<details>") == 6
