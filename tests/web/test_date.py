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


def test_words_and_years_typed_beside_a_chosen_feature_are_kept(send, evidence, desk, demo):
    fields = {
        "kind": "evidence",
        "part": "backing",
        "clue": "printed sack",
        "says": "a blue sack",
        "when": "1937/1942",
    }
    assert send("add", **fields, sure="probably", fabric="F7", patches="1", of="240").status_code == 200
    text = evidence()
    for line in (
        'says = "a blue sack"',
        'when = "1937/1942"',
        "sure = 0.8",
        'fabric = "F7"',
        "patches = 1",
        "of = 240",
    ):
        assert line in text
    (given,) = desk.study(demo).job.dating.dossier.evidence
    assert (given.says, given.patches, given.of) == ("a blue sack", 1, 240)


@pytest.mark.parametrize(("word", "trust"), [("sure", 0.95), ("probably", 0.75), ("perhaps", 0.5), ("0.3", 0.3)])
def test_how_sure_is_said_in_words(send, evidence, word, trust):
    send("add", **{**SACK, "sure": word})
    assert f"trust = {trust}" in evidence()


USUAL = {"setting": "4", "quilting": "6", "backing": "2", "label": "40", "against": "1", "old cloth": "2.5"}


def test_what_is_taken_for_usual_is_shown_changed_and_switched_off(send, evidence, desk, demo):
    page = send("add", **SACK).text
    assert "quilted a long time after the top" in page.casefold()
    assert 'name="quilting" inputmode="decimal" value="6"' in page
    changed = send("shares", shares="given", pull="on", **{**USUAL, "quilting": "30"})
    assert changed.status_code == 200
    assert 'name="quilting" inputmode="decimal" value="30"' in changed.text
    assert evidence().endswith("[shares]\nquilting = 0.3\n")
    assert desk.study(demo).job.dating.dossier.shares.long_gap["quilting"] == 0.3
    send("shares", shares="given", **USUAL)
    assert evidence().endswith("[shares]\npull = false\n")
    send("shares", shares="given", pull="on", **USUAL)
    assert "[shares]" not in evidence()
    assert "sugar sack" in evidence()


def test_a_share_that_is_none_is_named_and_what_was_typed_stays(send, evidence):
    send("add", **SACK)
    before = evidence()
    for wrong in ("130", "many", "-1"):
        answer = send("shares", shares="given", pull="on", **{**USUAL, "quilting": wrong})
        assert answer.status_code == 422
        assert "quilted a long time after the top" in answer.text
        assert "6 is the usual one" in answer.text
        assert f'name="quilting" inputmode="decimal" value="{wrong}"' in answer.text
        assert evidence() == before


def test_a_file_of_the_plain_model_takes_nothing_for_usual(send):
    page = send("text", text='[[evidence]]\npart = "top"\nclue = "crazy quilt"\n').text
    assert 'id="usual"' not in page


def test_clues_are_searched_and_grouped_by_what_is_seen(client, demo):
    found = client.get(f"/study/{demo}/date/clues?part=blocks&q=turkey").text
    assert "Color and dye" in found
    assert 'value="turkey red"' in found
    assert 'value="bias binding"' not in found
    # At the moment of choice: region, what it is mistaken for, usual years, where they are from.
    assert "Mistaken for: later synthetic reds" in found
    assert "usual 1840 to 1900" in found
    assert "Source: " in found
    assert "None of the known features" in client.get(f"/study/{demo}/date/clues?q=zeppelin").text


def test_what_is_dangerous_is_said_at_the_row(client, demo):
    found = client.get(f"/study/{demo}/date/clues?q=arsenic").text
    assert 'class="hazard"' in found
    assert "no bare hands" in found


def test_too_long_a_search_is_refused_in_a_line(client, demo):
    assert client.get(f"/study/{demo}/date/clues?q={'x' * 600}").status_code == 422


def test_every_part_that_is_known_stands_in_the_headline(send, answer_in):
    send("add", kind="evidence", part="top", clue="crazy quilt", sure="sure")
    send("add", kind="evidence", part="backing", clue="printed sack", sure="sure")
    answer = send("add", **SACK)
    assert answer_in(answer.text) == "Pieced about 1880 to 1940; backed about 1939, 9 in 10."


def test_what_is_not_known_closely_promises_no_nine_in_ten(send, answer_in):
    page = send("add", kind="evidence", part="blocks", says="an old top", when="1750/2000", sure="sure").text
    assert answer_in(page) == "Not known closely yet: more evidence is needed."


def test_a_cloth_is_tapped_on_the_quilt_where_its_fabrics_were_read(client, demo):
    page = client.get(f"/study/{demo}/date?fabrics=1").text
    assert 'id="fabric-data"' in page
    assert 'data-fabric="0" data-patches="' in page
    assert "/static/date.js" in page
    assert 'id="fabric-data"' not in client.get(f"/study/{demo}/date").text


def test_every_clue_has_its_small_drawing(client):
    from seamlore.chronology.clues import clues

    drawn = client.get("/clues.svg")
    assert drawn.headers["content-type"].startswith("image/svg+xml")
    assert all(f'<symbol id="{key.replace(" ", "-")}"' in drawn.text for key in clues())


def test_the_label_and_the_sheet_take_the_dates(send, desk, demo):
    import datetime

    from seamlore.steps.sheet_content import study_content
    from seamlore.steps.tell import label_content

    send("add", kind="evidence", part="top", clue="crazy quilt", sure="sure")
    send("add", kind="evidence", part="backing", clue="printed sack", sure="sure")
    send("add", **{**SACK, "part": "quilting", "sure": "sure"})
    job, day = desk.study(demo).job, datetime.date(2026, 11, 30)
    assert (
        "Pieced about 1895, quilted about 1939, as far as the evidence goes" in label_content(job, printed=day).known
    )
    dated = study_content(job, printed=day).dated
    assert dated.headline.startswith("Pieced about 1880 to 19")
    assert any("quilted later" in each for each in dated.means)
