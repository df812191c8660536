"""The page on assessing: notes kept, refused, changed and undone; photographs; what holds; paper and records."""

from __future__ import annotations

import hashlib
import io
import json
import re

import pikepdf
import pytest
from PIL import Image

HX = {"hx-request": "true"}
ROUND = "[[500, 600], [620, 600], [620, 700], [500, 700]]"


@pytest.fixture
def post(client, desk, demo, base_of):
    """Send a form of the page, made on what it shows now."""

    def send(where, section="condition", **given):
        data = {"base": base_of(demo, section), **given}
        return client.post(f"/study/{demo}/assess/{where}", data=data, headers=HX)

    return send


@pytest.fixture
def sha(desk, demo):
    from seamlore.steps.study.sections import Photographs

    return desk.study(demo).section(Photographs).front.sha


def keys(client, demo):
    return [each["id"] for each in client.get(f"/study/{demo}/assess/notes.json").json()["items"]]


def test_before_anything_is_noted_the_page_says_how_to_begin(client, demo, answer_in):
    page = client.get(f"/study/{demo}/assess")
    assert page.status_code == 200
    assert answer_in(page.text) == "Nothing is noted yet. Draw round the first spot that you see."
    assert "Before it comes into the house" in page.text
    assert "Canadian Conservation Institute" in page.text


def test_a_note_is_kept_where_it_was_drawn_changed_and_taken_away_and_each_can_be_undone(
    client, demo, post, sha, answer_in
):
    kept = post("note", "notes", photograph=sha, kind="hole", severity="4", says='by "M"', outline=ROUND)
    assert kept.status_code == 200
    assert answer_in(kept.text).startswith("Of 56 blocks ")
    (item,) = client.get(f"/study/{demo}/assess/notes.json").json()["items"]
    assert item["target"]["selector"]["value"].count(",") == 4
    assert [each["value"] for each in item["body"]] == ["hole", "gone", 'by "M"']
    changed = post("note/change", "notes", key=item["id"], kind="hole", severity="1", says="a pinprick")
    assert "a pinprick" in changed.text
    assert "sound" in answer_in(changed.text)
    gone = post("note/remove", "notes", key=item["id"])
    assert answer_in(gone.text).startswith("Nothing is noted yet")
    moves = re.search(r'name="moves" value="(\d+)"', gone.text).group(1)
    client.post(f"/study/{demo}/undo", data={"moves": moves})
    assert keys(client, demo) == [item["id"]]
    assert "Taken back: took away a note: hole." in client.get(f"/study/{demo}/assess").text


@pytest.mark.parametrize(
    ("given", "why"),
    [
        ({"outline": "[[500, 600], [620, 700], [620, 600], [500, 700]]"}, "an outline that crosses itself"),
        ({"outline": "[[500, 600], [9000, 700], [620, 600]]"}, "draw inside the picture"),
        ({"outline": "[[500, 600], [500, 600], [500, 600]]"}, "draw round it"),
        ({"outline": ""}, "it is drawn on the picture"),
        ({"outline": '[["x", 1]]'}, "it is drawn on the picture"),
        ({"outline": "[[1, 2], [3], [4, 5]]"}, "it is drawn on the picture"),
        ({"kind": "rip"}, "a note of the kind"),
        ({"severity": "9"}, "it is 1 slight"),
        ({"kind": "hand test", "outline": "[[500, 600]]", "result": "fine"}, "as what came of it"),
        ({"photograph": "0" * 64}, "no such photograph"),
    ],
)
def test_what_cannot_be_a_note_is_refused_in_words_and_nothing_is_kept(client, demo, post, sha, given, why):
    answer = post("note", "notes", **{"photograph": sha, "kind": "tear", "severity": "2", "outline": ROUND, **given})
    assert answer.status_code == 422
    assert why in answer.text
    assert keys(client, demo) == []


def test_a_note_made_on_an_older_page_overwrites_nothing(client, demo, post, sha):
    post("note", "notes", photograph=sha, kind="tear", severity="2", outline=ROUND)
    late = client.post(
        f"/study/{demo}/assess/note", headers=HX,
        data={"base": "0", "photograph": sha, "kind": "tear", "severity": "2", "outline": ROUND},
    )  # fmt: skip
    assert late.status_code == 409
    assert len(keys(client, demo)) == 1


def test_a_hand_test_on_a_fabric_makes_its_blocks_doubtful(client, demo, post, sha, answer_in):
    post("note", "notes", photograph=sha, kind="tear", severity="2", outline=ROUND)
    answer = post(
        "note", "notes", photograph=sha, kind="hand test", result="weak", of="brown sprig", outline="[[545, 640]]"
    )
    found = client.get(f"/study/{demo}/assess/condition.json").json()
    if found["suspect"]:
        assert found["suspect"][0]["fabric"] == "brown sprig"
        assert "every patch of it is suspect" in answer.text
        doubtful = sum(each["verdict"] == "doubtful" for each in found["blocks"])
        assert doubtful == found["suspect"][0]["blocks"]
    else:
        assert "where its other patches are was not read" in answer.text


def test_what_is_said_of_it_is_kept_field_by_field(client, demo, post):
    answer = post(
        "condition", object="comforter", ties="centers", filling="wool batting", apart="x", edge_asked="yes"
    )
    assert answer.status_code == 422
    assert 'value="x"' in answer.text
    assert "Not there: quilting" in answer.text
    assert "The widest place that nothing holds" in answer.text
    assert "more ties put in one by one" in answer.text
    held = post("condition", apart="30 in")
    assert "It is held as it should be" in held.text
    assert post("block", row="2", column="3", verdict="lost", why="burnt").status_code == 200
    assert "row 2, column 3" in client.get(f"/study/{demo}/assess").text
    assert post("block", row="99", column="3", verdict="lost").status_code == 422


def test_two_places_of_a_cloth_are_compared(client, demo, post, sha):
    answer = post("fading", photograph=sha, spots="[[500, 600], [700, 900]]", of="cheddar")
    assert "no grade without a white card" in answer.text
    assert post("fading", photograph=sha, spots="[[500, 600]]").status_code == 422
    assert "cheddar" not in post("fading/remove", number="0").text.split("Faded?")[1].split("</form>")[0]


def test_the_back_is_added_laid_and_noted_on_and_lies_mirrored(client, demo, base_of, post):
    data = io.BytesIO()
    Image.new("RGB", (400, 500), (200, 190, 170)).save(data, "PNG")
    added = client.post(
        f"/study/{demo}/assess/photograph",
        data={"base": base_of(demo, "photographs"), "shows": "back", "taken": "2026-11-30"},
        files={"photograph": ("back.png", data.getvalue())},
    )
    assert added.status_code == 200
    back = hashlib.sha256(data.getvalue()).hexdigest()
    assert client.get(f"/study/{demo}/picture/photograph/1.jpg").headers["content-type"] == "image/jpeg"
    assert client.get(f"/study/{demo}/picture/photograph/7.jpg").status_code == 422
    laid = post(
        "photograph/change", "photographs", photograph=back, shows="back", corners="[[0,0],[399,0],[399,499],[0,499]]"
    )
    assert "laid on the quilt" in laid.text
    noted = post(
        "note", "notes", photograph=back, kind="stain", severity="2", outline="[[5,5],[45,5],[45,50],[5,50]]"
    )
    assert "row 1, column 7" in noted.text
    assert "Backing: " in noted.text
    for step in ("date", "fabrics", "decide"):
        assert "/picture/photograph/1.jpg" in client.get(f"/study/{demo}/{step}").text
    assert post("photograph/remove", "photographs", photograph=back).status_code == 200


def test_the_sheet_and_the_card_are_printed_and_the_record_saved(client, demo, post, sha):
    post("note", "notes", photograph=sha, kind="hole", severity="4", says="eaten", outline=ROUND)
    sheet = client.get(f"/study/{demo}/tell/study-sheet.pdf")
    text = "".join(str(page.Contents.read_bytes()) for page in pikepdf.open(io.BytesIO(sheet.content)).pages)
    assert sheet.status_code == 200
    assert len(text) > 1000
    card = client.get(f"/study/{demo}/assess/pocket-card.pdf")
    assert card.content.startswith(b"%PDF")
    record = json.loads(client.get(f"/study/{demo}/assess/condition.json").content)
    assert record["unit"] == "in"
    assert record["notes"][0]["area"] > 0


@pytest.mark.parametrize("step", ["look", "date", "assess"])
def test_cautions_stand_where_she_handles_the_quilt(client, demo, step):
    page = client.get(f"/study/{demo}/{step}").text
    assert "Take care" in page
    assert {"look": "Pins and needles", "date": "No burn test", "assess": "dye test"}[step] in page


def test_a_fabric_at_hand_is_kept_by_its_color_on_a_photograph(client, desk, demo, base_of, post):
    from seamlore.steps.study.condition import Decision

    data = io.BytesIO()
    Image.new("RGB", (300, 200), (122, 80, 52)).save(data, "PNG")
    client.post(
        f"/study/{demo}/assess/photograph",
        data={"base": base_of(demo, "photographs"), "shows": "fabric"},
        files={"photograph": ("cloth.png", data.getvalue())},
    )
    cloth = hashlib.sha256(data.getvalue()).hexdigest()
    kept = post(
        "fabric", "decision", photograph=cloth, spots="[[20, 20], [150, 100]]", name="brown sprig", print="dots"
    )
    assert "brown sprig, dots" in kept.text
    (made,) = desk.study(demo).section(Decision).at_hand
    assert (made.name, made.color, made.print) == ("brown sprig", "#7a5034", "dots")
    for given, why in (
        ({"spots": ""}, "tap the cloth first"),
        ({"spots": "[[400, 20]]"}, "the picture is 300 wide"),
        ({"photograph": "0" * 64}, "no such photograph"),
        ({"name": ""}, "it needs one"),
    ):
        refused = post(
            "fabric", "decision", **{"photograph": cloth, "spots": "[[20, 20]]", "name": "x", "print": "", **given}
        )
        assert refused.status_code == 422
        assert why in refused.text


def test_a_note_is_reshaped_and_what_is_no_outline_leaves_it(client, demo, post, sha):
    post("note", "notes", photograph=sha, kind="hole", severity="4", outline=ROUND)
    (item,) = client.get(f"/study/{demo}/assess/notes.json").json()["items"]
    moved = "[[510, 600], [620, 600], [620, 700], [500, 700], [490, 650]]"
    answer = post("note/change", "notes", key=item["id"], kind="hole", severity="4", outline=moved)
    assert answer.status_code == 200
    (again,) = client.get(f"/study/{demo}/assess/notes.json").json()["items"]
    assert again["id"] == item["id"]
    assert again["target"]["selector"]["value"].count(",") == 5
    for bad in ("[[1, 2]]", "[[500, 600], [620, 700], [620, 600], [500, 700]]", "nonsense"):
        refused = post("note/change", "notes", key=item["id"], kind="hole", severity="4", outline=bad)
        assert refused.status_code == 422
    assert client.get(f"/study/{demo}/assess/notes.json").json()["items"] == [again]
