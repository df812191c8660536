"""The page on looking, asked in process: tape, corrections, explanations, two windows."""

from __future__ import annotations

import json
import re
import threading
import time

import numpy as np
import pytest
from msgspec.structs import replace
from numpy.testing import assert_allclose

from seamlore.lengths import length
from seamlore.steps.study.job import Job
from seamlore.steps.study.sections import Corrections
from seamlore.steps.study.tape import Tape

PART = {"hx-request": "true"}


def post(client, demo, what, **data):
    return client.post(f"/study/{demo}/look/{what}", data=data, headers=PART)


def test_the_page_answers_in_one_sentence(client, demo, answer_in):
    assert answer_in(client.get(f"/study/{demo}/look").text).startswith("56 blocks, 8 rows of 7")


def test_a_slip_is_said_beside_its_field_and_the_rest_is_kept(client, demo, desk, base_of):
    given = {"width": "75 in", "height": "about so", "block": "9 in", "rows": "many", "columns": "7"}
    answer = post(client, demo, "tape", base=base_of(demo, "tape"), **given)
    assert answer.status_code == 422
    assert 'value="about so" aria-invalid="true"' in answer.text
    assert "whole number" in answer.text
    tape = desk.study(demo).section(Tape)
    assert (tape.width, tape.height) == ("75 in", "89 1/2 in")


@pytest.mark.parametrize("nonsense", ["-4 in", "1e999", "9 parsecs", "<b>9</b>", "1/0 in", "9" * 500])
def test_a_length_that_is_nonsense_is_refused_in_words(client, demo, base_of, nonsense):
    answer = post(client, demo, "tape", base=base_of(demo, "tape"), width=nonsense)
    assert answer.status_code == 422
    assert "<b>9" not in answer.text


def test_a_correction_made_on_an_old_page_is_not_made_and_the_panel_stays(client, demo, desk):
    before = desk.study(demo).revisions["tape"]
    answer = post(client, demo, "tape", base=str(before - 1), width="80 in")
    assert answer.status_code == 409
    assert answer.headers["hx-retarget"] == "#notices"
    assert "changed elsewhere" in answer.text
    assert desk.study(demo).revisions["tape"] == before


def test_a_moved_corner_is_read_again_from_there(client, demo, desk, base_of):
    corners = np.array(desk.study(demo).job.reading.corners)
    corners[0] += [6, 5]
    answer = post(
        client, demo, "corrections", base=base_of(demo, "corrections"), corners=json.dumps(corners.tolist())
    )
    assert answer.status_code == 200
    reading = desk.study(demo).job.reading
    assert reading.corners_from == "given"
    assert_allclose(reading.corners, corners)
    assert (reading.rows, reading.columns) == (8, 7)


def test_corners_that_cross_are_refused_and_not_kept(client, demo, desk, base_of):
    corners = [list(each) for each in desk.study(demo).job.reading.corners]
    crossed = [corners[1], corners[0], corners[2], corners[3]]
    answer = post(client, demo, "corrections", base=base_of(demo, "corrections"), corners=json.dumps(crossed))
    assert answer.status_code == 422
    assert desk.study(demo).section(Corrections) == Corrections()


def test_an_edge_runs_through_the_point_that_its_middle_was_dragged_to(client, demo, desk, base_of):
    frame = desk.study(demo).job.flat.frame
    width, height = frame.size
    point = frame.to_photo([[width * 1.02, height / 2]])[0].tolist()
    answer = post(client, demo, "corrections", base=base_of(demo, "corrections"), edge=json.dumps([1, *point]))
    assert answer.status_code == 200
    after = desk.study(demo).job.flat.frame
    # A tenth of a pixel is lost in the form; the edge is drawn in 1000 pieces.
    away = np.linalg.norm(after.edges_px(1000)[1] - point, axis=1)
    assert_allclose(away.min(), 0, atol=2.0)


@pytest.mark.parametrize("field", ["corners", "edge", "row_line"])
@pytest.mark.parametrize("junk", ["[", '"x"', "[1, 2, 3, 4, 5]", "{}", "[[1]]", "7"])
def test_junk_from_a_broken_page_is_refused_and_nothing_is_kept(client, demo, desk, base_of, field, junk):
    answer = post(client, demo, "corrections", base=base_of(demo, "corrections"), **{field: junk})
    assert answer.status_code == 422
    assert desk.study(demo).section(Corrections) == Corrections()


def test_all_lengths_are_said_in_the_unit_that_is_chosen(client, demo, answer_in):
    client.post(f"/study/{demo}/unit", data={"unit": "cm"})
    for _ in range(200):
        text = client.get(f"/study/{demo}/look").text
        if "how-far" not in text:
            break
        time.sleep(0.1)
    assert " cm" in answer_in(text)
    assert " in at" not in text


def test_a_reading_that_was_stopped_can_be_begun_again(client, desk):
    from seamlore.steps.demo import demo_inputs
    from seamlore.steps.study.memo import Memo
    from seamlore.web.pages.studies import begin_study

    desk.memo = Memo()
    number = begin_study(desk, demo_inputs().photo, "demo.jpg")
    assert "Reading the photograph" in client.get(f"/study/{number}/look").text
    stopped = client.post(f"/study/{number}/look/stop")
    assert "The reading was stopped" in stopped.text
    assert "Read it again" in stopped.text
    assert "Reading the photograph" in client.get(f"/study/{number}/look?again=1").text


@pytest.mark.parametrize(("what", "given"), [("corrections", {"divisions": "7"}), ("tape", {"width": "77 in"})])
def test_reading_again_says_how_far_it_is_and_what_was_changed_is_not_kept_when_it_is_stopped(
    client, demo, desk, base_of, monkeypatch, what, given
):
    read = Job.look.func

    def look(job):
        if job.inputs.corrections.divisions != 7 and job.inputs.tape.width != "77 in":
            return read(job)
        for stage in range(500):
            job._progress(f"stage {stage}", stage / 500)
            time.sleep(0.01)
        raise AssertionError("nobody stopped it")

    monkeypatch.setattr(Job, "look", property(look))
    before = desk.study(demo).kept.sections
    assert client.get(f"/study/{demo}/look/again").status_code == 204
    answers = []
    asked = threading.Thread(
        target=lambda: answers.append(post(client, demo, what, base=base_of(demo, what), **given))
    )
    asked.start()
    end = time.monotonic() + 60
    while (told := client.get(f"/study/{demo}/look/again")).status_code == 204:
        assert time.monotonic() < end
        time.sleep(0.02)
    assert told.json()["stage"].startswith("Stage ")
    assert 0 <= told.json()["part"] <= 1
    assert client.post(f"/study/{demo}/look/again/stop").status_code == 204
    asked.join(5)
    assert "what you changed was not kept" in answers[0].text
    assert desk.study(demo).kept.sections == before
    assert client.get(f"/study/{demo}/look/again").status_code == 204


def test_what_was_asked_for_is_typed_beside_it_and_answered_first(client, demo, desk, base_of):
    tape = desk.study(demo).section(Tape)
    desk.change(demo, replace(tape, width="77 in"), int(base_of(demo, "tape")), "measured once more")
    asked = desk.study(demo).job.next_measure
    assert asked is not None
    before = desk.study(demo).job.adjustment
    told = post(client, demo, "next", base=base_of(demo, "tape"), next=str(asked.measure.value))
    assert told.status_code == 200
    after = desk.study(demo).job.adjustment
    assert len(after.measured.lengths) == len(before.measured.lengths) + 1
    name = asked.measure.name
    assert told.text.index(f"{name[0].upper()}{name[1:]} is ") < told.text.index("The sums ")
    # It stands among the measurements from then on, and is taken back where it stands.
    assert f'name="more_0" value="{asked.measure.value}"' in told.text
    gone = post(client, demo, "tape", base=base_of(demo, "tape"), width="77 in", height=tape.height, more_0="")
    assert gone.status_code == 200
    assert desk.study(demo).section(Tape).more == ()


def test_what_was_asked_for_and_is_no_length_is_said_beside_its_field(client, demo, desk, base_of):
    tape = desk.study(demo).section(Tape)
    desk.change(demo, replace(tape, width="77 in"), int(base_of(demo, "tape")), "measured once more")
    told = post(client, demo, "next", base=base_of(demo, "tape"), next="about so")
    assert told.status_code == 422
    assert 'id="about-next" role="alert"' in told.text
    assert desk.study(demo).section(Tape).more == ()


def test_three_widths_are_kept_and_what_the_sums_use_is_said(client, demo, desk, base_of):
    tape = desk.study(demo).section(Tape)
    given = {"width": "74 in", "width_top": "75 in", "width_bottom": "74 1/2 in", "height": tape.height}
    told = post(client, demo, "tape", base=base_of(demo, "tape"), **given)
    assert "the sums use 74 1/2 in, the middle of 3" in told.text
    assert desk.study(demo).section(Tape).readings("across") == tuple(map(length, ("74in", "75in", "74 1/2 in")))


def test_her_count_is_told_before_the_photographs(client, demo, base_of, answer_in):
    post(client, demo, "tape", base=base_of(demo, "tape"), width="74 in", height="92 in", block="8 in", rows="9")
    said = answer_in(client.get(f"/study/{demo}/look").text)
    assert said.startswith("63 blocks, 9 rows of 7 (the photograph shows 8 rows of 7)")


def test_a_count_that_the_sums_do_not_hold_for_is_not_lost(client, demo, desk, base_of, answer_in):
    tape = desk.study(demo).section(Tape)
    desk.change(demo, replace(tape, rows=9), int(base_of(demo, "tape")), "counted once more")
    said = answer_in(client.get(f"/study/{demo}/look").text)
    assert said.startswith("56 blocks, 8 rows of 7, though 9 rows of 7 were counted; the edge cuts off")


def test_the_second_best_grid_is_taken_with_one_tap_and_the_first_offered_back(client, demo, desk, base_of):
    first = desk.study(demo).job.reading
    for wanted in (first.second_grid, first):
        text = client.get(f"/study/{demo}/look").text
        form = re.search(r'<form[^>]*id="other-grid".*?</form>', text, re.S).group(0)
        fields = dict(re.findall(r'name="(\w+)" value="([^"]*)"', form))
        answer = client.post(f"/study/{demo}/look/corrections", data=fields, headers=PART)
        assert answer.status_code == 200
        now = desk.study(demo).job.reading
        assert now.setting == wanted.setting
        assert (now.rows or 0, now.columns or 0) == (wanted.rows, wanted.columns)
