"""The page on deciding: ways side by side, what the quilt gives, stages, things, the decision in her words."""

from __future__ import annotations

import re

import pytest

HX = {"hx-request": "true"}


@pytest.fixture
def post(client, demo, base_of):
    def send(where="", **given):
        data = {"base": base_of(demo, "decision"), **given}
        return client.post(f"/study/{demo}/decide{where}", data=data, headers=HX)

    return send


def test_the_page_counts_whole_and_cut_blocks_and_decides_nothing(client, demo, answer_in):
    """The demo has 8 rows of 7 blocks, cut at the left and right: 5 x 8 whole, 16 on the edge."""
    page = client.get(f"/study/{demo}/decide").text
    assert answer_in(page) == (
        "Not decided yet. It could give 40 whole sound blocks, if nothing is damaged: nothing is noted yet"
    )
    assert "40 whole, 16 on the edge and 0 at corners are sound" in page
    assert "5 across and 8 down" in page
    for way in ("Keep and support", "Repair", "Re-set", "Take apart and re-use", "Reproduce it"):
        assert way in page
    assert "Photograph first: the whole back." in page
    assert "A family or a community" not in page
    assert "nobody was asked yet".capitalize() in page


def test_what_it_rests_on_is_kept_field_by_field_and_reckoned_with(client, demo, post):
    answer = post(allowance="1/8", wished="50 x 60", least="1", most="x")
    assert answer.status_code == 422
    assert 'value="x"' in answer.text
    assert "1/8 in of every point along the edges is lost" in answer.text
    good = post(most="3", new_sashing="2", price="10", box="30 x 24")
    assert good.status_code == 200
    assert "off what was wished" in good.text
    assert "of seams to open" in good.text
    assert "at your price" in good.text
    assert "to sew them in (common practice, no source)" in good.text
    assert "from the left: crossing no weak cloth" in good.text
    assert "no 7 folds of a side" in post(box="1 x 1").text


def test_loose_blocks_have_a_common_size(post):
    assert "Trim to 8 1/2 in" in words_of(post(loose="8 1/2 x 8 1/2\n8 1/2 x 8 5/8\n8 1/4 x 8 1/4").text)
    assert post(loose="8 1/2 x").status_code == 422
    # The largest side is 8 5/8 in: two inches more, up to the half, are 11 in; strips are (11 - 8 1/2) / 2 + 2 x 1/4 in.
    page = words_of(post(allowance="").text)
    assert "to 11 in raw edge to raw edge" in page
    assert "block 1: 1 3/4 in and 1 3/4 in" in page


def test_a_test_block_shows_what_her_own_seam_takes(post):
    """Three strips of 1 1/2 in sewn to 3 1/2 in: a quarter inch (trade handbooks' seam test: quiltcentric.com, 2012)."""
    assert "Your seam takes up 1/4 in" in post(strip_cut="1 1/2", strips_sewn="3 1/2", strips="3").text
    assert "sewn they are narrower than side by side" in post(strips_sewn="5").text
    assert post(strips="x").status_code == 422


def test_a_thing_of_hers_is_added_and_taken_away(post):
    made = post("/thing", name="piano stool", width="15", height="15")
    assert made.status_code == 200
    assert "Piano stool" in made.text
    assert "there is one of that name" in post("/thing", name="piano stool", width="15", height="15").text
    assert post("/thing", name="x", width="0", height="2").status_code == 422
    assert "Piano stool" not in post("/thing/remove", name="piano stool").text


def test_the_decision_is_kept_in_her_words_with_its_date_and_told_on_the_sheet(client, desk, demo, post, answer_in):
    from seamlore.steps.decide.decide import decide
    from seamlore.steps.decide.ways import decision_lines

    kept = post(way="keep", words="It stays whole.", decided_on="2026-11-30", decided_by="I", asked="her daughter")
    assert answer_in(kept.text) == "Decided, 2026-11-30: keep and support"
    assert "nobody was asked yet".capitalize() not in kept.text
    post(**{"stage-corner": "an older quilt inside"})
    job = desk.study(demo).job
    assert decision_lines(job, decide(job)) == (
        "Keep and support (2026-11-30, I)", "It stays whole.", "Asked: her daughter", "One corner opened: an older quilt inside",
    )  # fmt: skip
    assert client.get(f"/study/{demo}/tell/study-sheet.pdf").content.startswith(b"%PDF")
    assert post(way="", decided_on="soon").status_code == 422


def test_drafts_and_the_sheet_for_taking_apart_are_given(client, demo):
    draft = client.get(f"/study/{demo}/decide/draft/0.txt").text
    assert "rows 8" in draft
    assert "columns 5" in draft
    assert client.get(f"/study/{demo}/decide/draft/99.txt").status_code == 422
    assert client.get(f"/study/{demo}/decide/taking-apart.pdf").content.startswith(b"%PDF")


def test_every_thing_has_a_draft_and_a_plan_of_its_own_size(desk, demo, post):
    """What is added or trimmed away is in the draft: it measures what the thing is to measure."""
    from seamlore.steps.decide.decide import decide
    from seamlore.steps.decide.things import draft_text, plan_text, thing

    post(allowance="1/8")
    job = desk.study(demo).job
    basis = decide(job)
    for number, fit in enumerate(basis.fits, start=1):
        assert thing(job, basis, number).finished_size == (fit.project.width, fit.project.height)
        assert draft_text(job, basis, number).startswith(f"quilt {fit.project.name}")
    assert thing(job, basis, 0).finished_size == (basis.small.width, basis.small.height)
    tote = next(number for number, fit in enumerate(basis.fits, start=1) if fit.project.name == "tote")
    said = plan_text(job, basis, tote)
    assert "20 come out of the old blocks, 0 left.\nEach takes 2 such parts." in said
    assert "Also: lining" in said


def test_things_that_touch_skin_come_last_until_hazards_are_ruled_out(post):
    before = post(ruled_out="").text
    assert before.index("Wall piece") < before.index("Cushion")
    assert "only once hazards are ruled out" in before
    assert "only once hazards are ruled out" not in post(ruled_out="tested by the county laboratory, 2026").text


def lay_the_back(client, demo, base_of):
    """Add a photograph of the whole back and lay it on the quilt."""
    import hashlib
    import io

    from PIL import Image

    data = io.BytesIO()
    Image.new("RGB", (400, 500), (200, 190, 170)).save(data, "PNG")
    client.post(
        f"/study/{demo}/assess/photograph",
        data={"base": base_of(demo, "photographs"), "shows": "back"},
        files={"photograph": ("back.png", data.getvalue())},
    )
    sha = hashlib.sha256(data.getvalue()).hexdigest()
    corners = "[[0,0],[399,0],[399,499],[0,499]]"
    given = {"base": base_of(demo, "photographs"), "photograph": sha, "shows": "back", "corners": corners}
    assert client.post(f"/study/{demo}/assess/photograph/change", data=given, headers=HX).status_code == 200


def test_its_cloth_is_listed_patches_are_laid_into_it_and_it_becomes_stash(client, demo, post):
    from seamlore.fabric.stash_text import read_stash

    page = client.get(f"/study/{demo}/decide").text
    assert "Its cloth, fabric by fabric" in page
    # Of the demo's strips only the sashing, 2 1/2 in and an allowance at each side, is so long.
    laid = post(patches="2 x 30, 5")
    assert "2 x 30 in: 5 from all cloths together" in words_of(laid.text)
    bad = post(patches="20 x 20, none")
    assert bad.status_code == 422
    assert "a number from 1 to 999" in bad.text
    stash = read_stash(client.get(f"/study/{demo}/decide/stash.txt").text)
    assert "Old sashing" in stash.fabrics
    # Nobody has seen the back.
    assert "Old backing" not in stash.fabrics
    assert client.get(f"/study/{demo}/decide/cloth.svg").text.startswith("<svg")


def test_whether_the_old_backing_serves_is_said_once_the_back_was_seen(client, demo, base_of, post):
    assert "photograph the whole back" in client.get(f"/study/{demo}/decide").text
    lay_the_back(client, demo, base_of)
    page = words_of(client.get(f"/study/{demo}/decide").text)
    assert "100 % of it is sound as noted" in page
    assert client.get(f"/study/{demo}/decide/backing.svg").text.startswith("<svg")
    assert "Old backing: scrap" in client.get(f"/study/{demo}/decide/stash.txt").text
    assert "it serves for 12 of 13 things" in page
    assert "Small lap quilt touches skin: only once hazards are ruled out 48 x 56 in" in page
    client.post(
        f"/study/{demo}/assess/condition", data={"base": base_of(demo, "condition"), "object": "top"}, headers=HX
    )
    assert "There is no backing: it is a pieced top" in client.get(f"/study/{demo}/decide").text


@pytest.mark.parametrize("step", ["look", "draft", "fabrics", "date", "decide"])
def test_every_photograph_can_be_looked_at_again_on_every_page_where_that_helps(client, demo, base_of, step):
    lay_the_back(client, demo, base_of)
    page = client.get(f"/study/{demo}/{step}").text
    strip = page.partition('aria-label="Photographs of this quilt"')[2].partition("</ul>")[0]
    assert [strip.count(each) for each in ("<li>", "<span>front", "<span>back")] == [2, 1, 1]
    assert client.get(re.findall(r'href="([^"]+)"', strip)[1].replace("&amp;", "&")).content.startswith(b"\xff\xd8")


def test_a_fabric_at_hand_is_set_beside_the_damaged_cloth(client, desk, demo, base_of, post):
    from seamlore.steps.study.sections import Photographs

    sha = desk.study(demo).section(Photographs).front.sha
    outline = "[[500, 600], [620, 600], [620, 700], [500, 700]]"
    given = {"base": base_of(demo, "notes"), "photograph": sha, "kind": "hole", "severity": "3", "outline": outline}
    client.post(f"/study/{demo}/assess/note", data=given, headers=HX)
    assert "no fabric at hand was entered" in client.get(f"/study/{demo}/decide").text

    def add(**fabric):
        return client.post(
            f"/study/{demo}/decide/fabric", data={"base": base_of(demo, "decision"), **fabric}, headers=HX
        )

    assert "brown sprig (CIEDE2000" in add(name="brown sprig", color="#7a5034", print="small print").text
    for wrong, why in (
        ({"name": ""}, "needs one"),
        ({"color": "red"}, "six figures"),
        ({"print": "paisley"}, "it is plain"),
    ):
        refused = add(**{"name": "red", "color": "#aa0000", "print": "plain", **wrong})
        assert refused.status_code == 422
        assert why in refused.text
    found = desk.study(demo)
    from seamlore.steps.decide.decide import decide

    named = decide(found.job).nearest[0]
    chosen = post(**{f"print-{named.id}": "stripe"})
    assert "but small print" in chosen.text
    gone = client.post(
        f"/study/{demo}/decide/fabric/remove",
        data={"base": base_of(demo, "decision"), "name": "brown sprig"},
        headers=HX,
    )
    assert "no fabric at hand was entered" in gone.text


def test_what_is_to_be_opened_and_how_long_it_takes_is_said(client, demo, base_of, post):
    page = client.get(f"/study/{demo}/decide").text
    assert "of seams to open" in page
    assert "ties or quilting: not entered" in page
    client.post(
        f"/study/{demo}/assess/condition", data={"base": base_of(demo, "condition"), "ties": "centers"}, headers=HX
    )
    page = client.get(f"/study/{demo}/decide").text
    assert "56 ties to take out" in page
    assert "hours of opening (common practice, no source)" in page
    bordered = words_of(post(new_border="3 in").text)
    # 7 blocks of 9 in with 6 strips of 2 1/2 between, 8 with 7, the old sashing kept in width; two sides, two ends.
    assert "new border: cut 2 rectangles of 3 1/2 x" in bordered


def test_narrow_allowances_cost_points_and_what_keeps_them_has_a_size(post):
    page = words_of(post(allowance="1/8 in").text)
    assert "1/8 in of every point along the edges is lost" in page
    # By hand: 9 in blocks raw 9 1/4 in, framed to finish at 10 in: (10 1/2 - 9 1/4) / 2 + 1/4 = 7/8.
    assert "framing strips sewn on with the 1/8 in that is left, cut 7/8 in wide for the sides" in page
    assert "a foundation under each, 9 1/2 x 9 1/2 in" in page


def test_what_becomes_of_cut_blocks_is_chosen_and_changes_draft_and_picture(client, demo, post):
    """The demo is 7 blocks wide, those at the left and right cut: without them 5 x 9 + 4 x 2 = 53 in, whole 7 x 9 + 6 x 2 = 75."""
    assert "Blocks that the edge cuts" in post(new_sashing="2").text
    sizes = {}
    for choice in ("", "completed", "left out"):
        page = words_of(post(cut_blocks=choice).text)
        assert ("16 cut blocks completed" in page) == (choice == "completed")
        draft = client.get(f"/study/{demo}/decide/reset.txt").text
        sizes[choice] = ("columns 5" in draft, "columns 7" in draft, "\ncut left" in draft)
    assert sizes == {"": (False, True, True), "completed": (False, True, False), "left out": (True, False, False)}
    drawn = client.get(f"/study/{demo}/decide/reset.svg").text
    assert "8 rows of 5" in drawn
    assert post(cut_blocks="burned").status_code == 200
    assert 'value="left out" checked' in client.get(f"/study/{demo}/decide").text


def test_what_comes_out_in_one_piece_is_listed_with_what_it_finishes_at(client, demo, post):
    """The demo: 40 whole blocks, 8 cut at each side, 48 short strips of 2 1/2 x 9 in and 7 long ones; raw with 1/4 in round them."""
    page = words_of(client.get(f"/study/{demo}/decide").text)
    assert "Whole blocks 40 of 40 9 1/2 x 9 1/2 in 9 x 9 in" in page
    assert "Blocks cut at the left" in page
    assert "Vertical sashing, between the blocks of a row 48 of 48" in page
    assert "Horizontal sashing, between rows 7 of 7" in page
    page = words_of(post(allowance="1/8").text)
    assert "smaller by what the seam takes more" in page


def test_weak_sashing_is_named_and_none_of_it_is_given(client, desk, demo, base_of):
    from seamlore.steps.assess.assess import assess, holding

    job = desk.study(demo).job
    found = assess(job)
    (sha,) = found.placed
    at = dict(zip(found.ground.block_at, found.ground.blocks, strict=True))
    between = (at[0, 1][1] + at[0, 2][3]) / 2
    spot = found.placed[sha].to_photo([between])[0].tolist()
    client.post(
        f"/study/{demo}/assess/condition", data={"base": base_of(demo, "condition"), "ties": "centers"}, headers=HX
    )
    before = holding(desk.study(demo).job)
    given = {
        "base": base_of(demo, "notes"),
        "photograph": sha,
        "kind": "hand test",
        "result": "weak",
        "outline": f"[{spot}]",
    }
    page = client.post(f"/study/{demo}/assess/note", data=given, headers=HX)
    assert "Sashing: weak when tried; all of the sashing is suspect" in words_of(page.text)
    assert "a cloth: weak" not in words_of(page.text)
    # What is no tie does not make the ties be reckoned again.
    assert holding(desk.study(demo).job) is before
    page = words_of(client.get(f"/study/{demo}/decide").text)
    assert "Vertical sashing, between the blocks of a row 0 of 48" in page
    assert "Horizontal sashing, between rows 0 of 7" in page


def words_of(page):
    import html
    import re

    return " ".join(html.unescape(re.sub(r"<[^>]+>", " ", page)).split())
