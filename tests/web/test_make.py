"""The page on making, asked in process."""

import re
import threading

import msgspec
import pytest

from seamlore.errors import SeamloreError
from seamlore.steps.study.job import Job
from seamlore.steps.study.memo import Memo
from seamlore.steps.study.sections import Making

PART = {"hx-request": "true"}


@pytest.fixture
def send(client, demo, base_of):
    def sent(base=None, **fields):
        values = {"base": base_of(demo, "making") if base is None else base, **fields}
        return client.post(f"/study/{demo}/make", data=values, headers=PART)

    return sent


@pytest.fixture
def making(desk, demo):
    return lambda: desk.study(demo).section(Making)


def test_the_answer_counts_pieces_and_fabrics(client, demo, desk, answer_in):
    plan = desk.study(demo).job.plan
    said = answer_in(client.get(f"/study/{demo}/make").text)
    # Of its four fabrics that of the sashing alone is one; all places of its block are scrappy.
    assert len(plan.fabrics) == 4
    assert said == (
        f"78 x 89 1/2 in finished: {sum(cut.needed for cut in plan.cutting):,} pieces "
        "from 1 fabric and many for scrappy places"
    )


def test_narrower_fabric_is_reckoned_at_once(send, desk, demo, making):
    answer = send(fabric_width="36")
    assert answer.status_code == 200
    assert making().fabric_width == "36 in"
    assert "Fabric is reckoned 36 in wide" in answer.text


def test_a_slip_in_one_field_is_said_there_and_the_others_are_kept(send, making):
    answer = send(fabric_width="wide", seam_allowance="3/8 in")
    assert answer.status_code == 422
    assert 'value="wide" aria-invalid="true"' in answer.text
    assert making().seam_allowance == "3/8 in"


def test_a_seam_wider_than_its_patch_is_said_in_words(send):
    answer = send(seam_allowance="4 in")
    assert "a seam allowance of 4 in" in answer.text


def test_without_a_binding_none_is_bought(send):
    assert '<th scope="row">Binding</th>' in send(binding="straight").text
    assert '<th scope="row">Binding</th>' not in send(binding="none").text


@pytest.mark.parametrize("step", ["make", "tell"])
def test_while_the_photograph_is_read_the_page_says_how_far_that_is(client, demo, desk, monkeypatch, step):
    gate = threading.Event()

    def look(job):
        job._progress("reading the blocks", 0.65)
        gate.wait(5)
        raise SeamloreError("the reading", "it was only begun", "nothing")

    monkeypatch.setattr(Job, "look", property(look))
    monkeypatch.setattr(desk, "memo", Memo())
    page = client.get(f"/study/{demo}/{step}").text
    gate.set()
    assert 'id="working"' in page
    assert "Stop" in page


def test_a_binding_that_there_is_not_changes_nothing(send, making):
    before = making().binding
    send(binding="velcro", paper="papyrus")
    assert making().binding == before


def test_what_was_set_on_an_old_page_is_not_kept(send, making):
    send(fabric_width="40 in")
    assert send(base="0", fabric_width="44 in").status_code == 409
    assert making().fabric_width == "40 in"


def test_a_study_without_draft_says_what_comes_first(client, shelf, answer_in):
    number = shelf.create("Bare")
    page = client.get(f"/study/{number}/make").text
    assert answer_in(page) == "There is no draft to make from yet."
    assert f"/study/{number}/draft" in page


def test_what_lies_between_is_chosen_and_named_so(client, demo, base_of, making):
    page = client.post(f"/study/{demo}/make", data={"filling": "older quilt", "base": base_of(demo, "making")}).text
    assert making().filling == "older quilt"
    assert '<th scope="row">Older quilt</th>' in page
    assert '<th scope="row">Batting</th>' not in page


def test_units_made_several_at_a_time_are_chosen_kept_and_told(send, making, desk, demo):
    answer = send(strips="sets", half_squares="eight", geese="ten")
    assert (making().strips, making().half_squares, making().geese) == ("sets", "eight", "one")
    for batch in desk.study(demo).job.plan.batches:
        assert f"<h3>{batch.name}</h3>" in answer.text
    assert desk.study(demo).job.plan.batches


def test_a_spare_is_shown_beside_what_is_needed(send, making, desk, demo):
    assert send(spare="-2").status_code == 422
    send(spare="1 yd")
    need = desk.study(demo).job.plan.fabrics[0]
    assert need.spare.inches == 36
    assert need.buy != need.buy_with_spare


def test_prints_are_written_where_what_is_at_hand_is(send, making, desk, demo):
    name = desk.study(demo).job.plan.fabrics[0].fabric
    answer = send(stash=f"{name}: one-way")
    assert answer.status_code == 200
    assert making().stash == f"{name}: one-way"
    assert f"{name} is printed one way" in answer.text
    refused = send(stash=f"{name}: motif 8 in")
    assert refused.status_code == 422
    assert "how far apart motifs stand" in refused.text
    assert making().stash == f"{name}: one-way"


def test_motifs_for_no_piece_are_refused_beside_their_field_and_the_plan_stays(send, making, desk, demo):
    need = desk.study(demo).job.plan.fabrics[0]
    refused = send(stash=f"{need.fabric}: motif 8 x 6 in for Z9", pace="2")
    assert refused.status_code == 422
    assert re.search(r'class="slip" id="about-stash" role="alert">[^<]*motifs for Z9', refused.text)
    assert f"Cut from {need.fabric}" in refused.text
    assert (making().stash, making().pace) == ("", "2")


def test_a_motif_whose_piece_the_draft_has_no_more_is_said_above_a_plan_without_it(client, desk, demo, making):
    study = desk.study(demo)
    fabric = study.job.plan.fabrics[0].fabric
    kept = msgspec.structs.replace(making(), stash=f"{fabric}: motif 8 x 6 in for Z9")
    desk.change(demo, kept, study.revisions["making"], "as kept when the draft had such a piece")
    page = client.get(f"/study/{demo}/make").text
    assert "motifs for Z9" in page
    assert "reckoned strip by strip" in page
    assert f"Cut from {fabric}" in page


def test_foundations_layers_and_the_share_of_a_simple_plan_are_asked_for_and_kept(send, making, desk, demo):
    answer = send(foundation="1/4", layers="2", extra="10%", cutting="simple")
    assert (making().foundation, making().layers, making().extra) == ("1/4 in", "2", "10%")
    assert "1/4 in wider still on every side" in answer.text
    wishes = desk.study(demo).job.cuts[0].cut.wishes
    assert (wishes.layers, round(wishes.share, 3), wishes.which) == (2, 0.1, "simple")
    refused = send(foundation="4", layers="20", extra="much")
    assert refused.status_code == 422
    for said in ("at most 2 in on every side", "1 to 12", "a number of percent"):
        assert said in refused.text
    assert (making().foundation, making().layers, making().extra) == ("1/4 in", "2", "10%")


def test_papers_for_hexagons_are_printed_with_the_seam_of_the_plan(client, demo):
    address = f"/study/{demo}/make/hexagons.pdf"
    answer = client.get(address, params={"side": "1", "count": "60"})
    assert answer.headers["content-type"] == "application/pdf"
    assert answer.content.startswith(b"%PDF")
    for side, count in (("1", "many"), ("wide", "60"), ("1", "0"), ("9", "60")):
        assert client.get(address, params={"side": side, "count": count}).status_code == 422
