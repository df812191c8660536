"""The page on fabrics: swatches, where each lies, and the names of the draft's fabrics."""

from __future__ import annotations

import html
import io
import json
import re

import numpy as np
import pytest
from PIL import Image

from seamlore.steps.study.sections import Choice

PART = {"hx-request": "true"}


@pytest.fixture
def page(client, demo):
    return client.get(f"/study/{demo}/fabrics")


@pytest.fixture
def data(page):
    return json.loads(html.unescape(re.search(r"data-fabrics='([^']*)'", page.text).group(1)))


def test_the_answer_counts_what_is_told_apart_and_promises_no_more(client, demo, page, desk, answer_in):
    from importlib.resources import files

    truth = json.loads((files("seamlore") / "demo" / "truth.json").read_text(encoding="utf-8"))
    fabrics = desk.study(demo).job.reading.fabrics
    assert answer_in(page.text).startswith(f"{len(fabrics)} fabrics told apart")
    assert "there may be fewer" in page.text
    assert "there may also be more" in page.text
    # Drawn by this project: the demo's own fabrics are known. The count comes within a fifth of them.
    assert abs(len(fabrics) - len(truth["fabrics"])) <= len(truth["fabrics"]) / 5


def test_every_fabric_is_a_button_that_says_how_often_it_comes(page, data):
    buttons = re.findall(r'data-fabric="(\d+)" aria-pressed="false"', page.text)
    assert sorted(map(int, buttons)) == list(range(len(data["fabrics"])))
    for fabric in data["fabrics"]:
        blocks = {spot.rsplit(",", 1)[0] for spot in fabric["patches"]}
        count = len(fabric["patches"])
        assert fabric["says"] == (
            f"{count} patch{'es' * (count != 1)} in {len(blocks)} block{'s' * (len(blocks) != 1)}"
        )


def test_every_patch_that_lights_up_lies_in_its_block(data):
    for spot, ring in data["patches"].items():
        block = np.array(data["blocks"][spot.rsplit(",", 1)[0]])
        points = np.array(ring)
        room = 1.0
        assert (points.min(axis=0) >= block.min(axis=0) - room).all()
        assert (points.max(axis=0) <= block.max(axis=0) + room).all()


def test_patches_of_a_block_cover_it(data):
    def area(ring):
        x, y = np.array(ring).T
        return abs(np.dot(x, np.roll(y, -1)) - np.dot(y, np.roll(x, -1))) / 2

    inner = "3,3"
    parts = [area(ring) for spot, ring in data["patches"].items() if spot.rsplit(",", 1)[0] == inner]
    np.testing.assert_allclose(sum(parts), area(data["blocks"][inner]), rtol=0.02)


def test_fabrics_of_nearly_one_color_name_each_other(data):
    for index, fabric in enumerate(data["fabrics"]):
        assert all(index in data["fabrics"][other]["alike"] for other in fabric["alike"])


def test_a_swatch_is_cut_from_the_photograph_and_has_its_color(client, demo, desk):
    picture = client.get(f"/study/{demo}/picture/swatch/0.png")
    assert picture.headers["content-type"] == "image/png"
    pixels = np.asarray(Image.open(io.BytesIO(picture.content)))
    assert pixels.shape[2] == 4
    shown = pixels[pixels[..., 3] == 255][:, :3]
    fabric = max(desk.study(demo).job.reading.fabrics, key=lambda each: len(each.patches))
    color = [int(fabric.srgb[at : at + 2], 16) for at in (1, 3, 5)]
    # A print is not of one color; the middle of it comes near.
    np.testing.assert_allclose(np.median(shown, axis=0), color, atol=30)


def test_a_swatch_that_is_not_there_is_refused_in_words(client, demo):
    answer = client.get(f"/study/{demo}/picture/swatch/9999.png")
    assert answer.status_code == 422
    assert "choose one of these" in answer.text


def test_no_inline_style_or_script(page):
    assert " style=" not in page.text
    assert not re.search(r"<script(?![^>]*\bsrc=)", page.text)


def test_the_fabrics_of_the_draft_are_named_and_the_names_reach_the_plan(client, demo, desk, base_of):
    given = {"base": base_of(demo, "choice"), "fabric-A": "cream shirtings", "fabric-sashing": ""}
    answer = client.post(f"/study/{demo}/fabrics/names", data=given, headers=PART)
    assert answer.status_code == 200
    names = desk.study(demo).section(Choice).fabrics
    assert names["A"] == "cream shirtings"
    assert "sashing" not in names
    # What the form did not hold is left alone.
    assert names["B"].startswith("dark scraps")
    assert desk.study(demo).job.quilt.fabric_of("A") == "cream shirtings"


def test_names_reach_a_draft_of_her_own(client, demo, desk, base_of):
    text = "quilt Porch\nmade of Shoo Fly\nfinished 9 in\nrows 2\ncolumns 2\n"
    client.post(f"/study/{demo}/draft/text", data={"base": base_of(demo, "choice"), "text": text})
    given = {"base": base_of(demo, "choice"), "fabric-A": "old muslin"}
    client.post(f"/study/{demo}/fabrics/names", data=given, headers=PART)
    assert desk.study(demo).job.quilt.fabric_of("A") == "old muslin"


def test_a_name_that_no_draft_file_can_hold_is_refused_beside_its_field(client, demo, base_of, desk):
    given = {"base": base_of(demo, "choice"), "fabric-A": "muslin #1", "fabric-B": "indigos"}
    answer = client.post(f"/study/{demo}/fabrics/names", data=given, headers=PART)
    assert answer.status_code == 422
    assert 'value="muslin #1"' in answer.text
    assert "without #" in answer.text
    assert desk.study(demo).section(Choice).fabrics["B"] == "indigos"


def test_names_given_on_an_old_state_are_refused(client, demo, base_of):
    old = base_of(demo, "choice")
    client.post(f"/study/{demo}/fabrics/names", data={"base": old, "fabric-A": "one"}, headers=PART)
    answer = client.post(f"/study/{demo}/fabrics/names", data={"base": old, "fabric-A": "two"}, headers=PART)
    assert answer.status_code == 409


def test_a_study_without_a_photograph_says_what_to_do(client, desk, answer_in):
    number = desk.shelf.create("From memory")
    page = client.get(f"/study/{number}/fabrics")
    assert page.status_code == 200
    assert answer_in(page.text) == "Nothing is known of its fabrics yet."
    assert "Add a photograph" in page.text


def test_a_fabric_is_given_a_color_and_takes_it_back(client, demo, desk, base_of):
    def send(**fields):
        given = {"base": base_of(demo, "choice"), **fields}
        return client.post(f"/study/{demo}/fabrics/names", data=given, headers=PART)

    seen = desk.study(demo).job.cloths[0]["sashing"]
    # Every color is sent, as the page shows it; one of them is another.
    shown = dict(re.findall(r'name="(color-[^"]+)" id="[^"]+" value="([^"]+)"', send().text))
    assert shown["color-sashing"] == seen
    answer = send(**shown | {"color-sashing": "#20608A"})
    assert answer.status_code == 200
    assert desk.study(demo).section(Choice).cloths == {"sashing": "#20608a"}
    assert "#20608a" in client.get(f"/study/{demo}/draft/quilt.svg").text
    assert "As found" in answer.text
    send(**shown | {"color-sashing": "#20608a", "as-found": "sashing"})
    assert desk.study(demo).section(Choice).cloths == {}


def test_what_is_no_color_is_refused_beside_its_fabric(client, demo, desk, base_of):
    given = {"base": base_of(demo, "choice"), "color-A": "puce"}
    answer = client.post(f"/study/{demo}/fabrics/names", data=given, headers=PART)
    assert answer.status_code == 422
    assert "a color is # and six digits" in html.unescape(answer.text)
    assert desk.study(demo).section(Choice).cloths == {}


# What she says of the fabrics of the photograph


def said_of(client, demo, base_of, **given):
    """Send the form on one fabric as the page has it."""
    text = client.get(f"/study/{demo}/fabrics").text
    of = re.search(r'name="of" value="([^"]*)"', text).group(1)
    sent = {"base": base_of(demo, "fabrics"), "of": of, **given}
    return client.post(f"/study/{demo}/fabrics/found", data=sent, follow_redirects=False)


def lights(client, demo):
    text = client.get(f"/study/{demo}/fabrics").text
    return json.loads(html.unescape(re.search(r"data-fabrics='([^']*)'", text).group(1)))


def test_a_fabric_of_the_photograph_is_named_and_goes_by_its_name_on_every_page(client, demo, base_of):
    answer = said_of(client, demo, base_of, do="name", fabric="1", name="Miller’s <brown>")
    assert (answer.status_code, answer.headers["location"]) == (303, f"/study/{demo}/fabrics?fabric=2#found")
    assert lights(client, demo)["fabrics"][1]["called"] == "Miller’s <brown>"
    for page in ("fabrics", "date?fabrics=1"):
        assert "Miller’s &lt;brown&gt;" in client.get(f"/study/{demo}/{page}").text
    text = client.get(f"/study/{demo}/fabrics?fabric=2").text
    assert re.search(r'<details[^>]* id="found" open>', text)
    assert re.search(r'<option value="1" data-said="yes" selected>Miller’s &lt;brown&gt;</option>', text)


def test_fabrics_merged_are_counted_once_and_undone_again(client, demo, base_of, answer_in, desk):
    before = lights(client, demo)["fabrics"]
    count = len(before)
    said_of(client, demo, base_of, do="merge", fabric="0", other="1")
    page = client.get(f"/study/{demo}/fabrics")
    assert answer_in(page.text).startswith(f"{count - 1} fabrics told apart")
    assert sorted(lights(client, demo)["fabrics"][0]["patches"]) == sorted(
        before[0]["patches"] + before[1]["patches"]
    )
    # Its swatch is cut anew.
    assert client.get(f"/study/{demo}/picture/swatch/{count - 1}.png").status_code == 422
    assert "are one cloth" in desk.study(demo).can_undo
    client.post(f"/study/{demo}/undo", data={"step": "fabrics"})
    assert answer_in(client.get(f"/study/{demo}/fabrics").text).startswith(f"{count} fabrics told apart")


def test_all_of_nearly_one_color_are_merged_at_once(client, demo, base_of):
    before = lights(client, demo)["fabrics"]
    at = next(number for number, each in enumerate(before) if len(each["alike"]) > 1)
    said_of(client, demo, base_of, do="merge", fabric=str(at), other="alike")
    assert len(lights(client, demo)["fabrics"]) == len(before) - len(before[at]["alike"])


def test_patches_marked_are_split_off(client, demo, base_of):
    before = lights(client, demo)["fabrics"]
    out = before[0]["patches"][:3]
    said_of(client, demo, base_of, do="split", fabric="0", patch=out)
    after = lights(client, demo)["fabrics"]
    assert len(after) == len(before) + 1
    assert {frozenset(each["patches"]) for each in after} >= {frozenset(out), frozenset(before[0]["patches"][3:])}


def test_what_was_said_of_another_reading_or_in_another_window_is_refused(client, demo, base_of, desk):
    stale = said_of(client, demo, base_of, do="name", fabric="0", name="x", of="another")
    assert (stale.status_code, "the photograph was read anew since" in stale.text) == (422, True)
    late = said_of(client, demo, base_of, do="name", fabric="0", name="x", base="7")
    assert late.status_code == 409
    assert desk.study(demo).job.inputs.fabrics.said == ()


def test_what_could_not_be_found_again_is_said(client, demo, base_of):
    said_of(client, demo, base_of, do="name", fabric="0", name="indigo")
    given = {"base": base_of(demo, "corrections"), "setting": "none"}
    part = client.post(f"/study/{demo}/look/corrections", data=given, headers=PART)
    assert "“indigo” could not be found again in this reading" in part.text
    assert "“indigo” could not be found again in this reading" in client.get(f"/study/{demo}/fabrics").text
