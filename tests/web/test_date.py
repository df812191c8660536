"""The page on dating, asked in process."""

import pytest

from seamlore.steps.study.sections import Evidence

PART = {"hx-request": "true"}
SACK = {"kind": "evidence", "part": "backing", "says": "printed sugar sack, 1937", "when": "1937/1942", "sure": "0.9"}


@pytest.fixture
def send(client, demo, base_of):
    def sent(what, base=None, **fields):
        values = {"base": base_of(demo, "evidence") if base is None else base, **fields}
        return client.post(f"/study/{demo}/date/{what}", data=values, headers=PART)

    return sent


@pytest.fixture
def evidence(desk, demo):
    return lambda: desk.study(demo).section(Evidence).text


def test_without_evidence_the_page_says_where_to_begin(client, demo, answer_in):
    page = client.get(f"/study/{demo}/date").text
    assert answer_in(page) == "Nothing speaks to it yet. Begin with one thing that you can see."
    assert "Where to look" in page


def test_one_thing_seen_dates_its_part(send, answer_in, evidence, desk, demo):
    answer = send("add", **SACK)
    assert answer.status_code == 200
    assert answer_in(answer.text) == "Backed about 1940, 9 in 10."
    (backing,) = desk.study(demo).job.dating.answers
    assert 1937 <= backing.median <= 1942
    assert "printed sugar sack, 1937" in evidence()


def test_years_that_cannot_be_read_are_said_and_the_form_keeps_what_was_typed(send, evidence):
    answer = send("add", **{**SACK, "when": "in the war"})
    assert answer.status_code == 422
    assert "in the war" in answer.text
    assert 'value="printed sugar sack, 1937"' in answer.text
    assert evidence() == ""


def test_an_entry_is_taken_out_again(send, evidence):
    send("add", **SACK)
    assert send("remove", kind="evidence", index="0").status_code == 200
    assert "sugar sack" not in evidence()


def test_taking_out_what_is_not_there_is_refused(send, evidence):
    send("add", **SACK)
    before = evidence()
    assert send("remove", kind="evidence", index="7").status_code == 422
    assert evidence() == before


def test_an_order_that_goes_round_in_a_circle_is_refused_and_not_kept(send, evidence):
    send("add", **SACK)
    assert send("add", kind="order", earlier="piecing", later="backing").status_code == 200
    before = evidence()
    answer = send("add", kind="order", earlier="backing", later="piecing")
    assert answer.status_code == 422
    assert "the order goes round in a circle" in answer.text
    assert evidence() == before


def test_evidence_written_as_a_file_is_kept_as_it_was_written(send, evidence):
    text = '# by hand\nhorizon = "1800/2026"\n[[evidence]]\npart = "piecing"\nsays = "madder brown"\nwhen = "1840/1890"\ntrust = 0.6\n'
    assert send("text", text=text).status_code == 200
    assert evidence().strip() == text.strip()


def test_a_file_with_a_slip_stays_in_its_field(send, evidence):
    answer = send("text", text="[[evidence]\npart = ")
    assert answer.status_code == 422
    assert "[[evidence]" in answer.text
    assert evidence() == ""


def test_evidence_entered_on_an_old_page_is_not_kept(send, evidence):
    send("add", **SACK)
    before = evidence()
    assert send("add", base="0", **{**SACK, "says": "older page"}).status_code == 409
    assert evidence() == before
