"""Corrections in a real browser: corners, lines, lengths, seams and fabrics, by mouse and by keyboard."""

from __future__ import annotations

import json

from numpy.testing import assert_allclose
from playwright.sync_api import expect

from tests.web.browser.driving import corrected, dragged, laid_out, look, seen, until


def test_a_corner_dragged_by_mouse_shows_the_glass_and_leaves_the_picture_where_it_is(page, study):
    look(page, study)
    before, lies = seen(page)["corners"][0], page.locator("#photo-view .overlay").bounding_box()
    dragged(page, "#corner-0", (4, 3))
    expect(page.locator(".loupe")).to_be_visible()
    corrected(page, page.mouse.up)
    expect(page.locator(".loupe")).to_be_hidden()
    ratio = seen(page)["photo"]["width"] / lies["width"]
    assert_allclose(
        [seen(page)["corners"][0][0] - before[0], seen(page)["corners"][0][1] - before[1]],
        [4 * ratio, 3 * ratio],
        atol=ratio,
    )
    assert page.locator("#photo-view .overlay").bounding_box() == lies
    assert page.evaluate("document.activeElement.id") == "corner-0"
    with page.expect_navigation():
        page.keyboard.press("Control+z")
    page.wait_for_selector("#look-data", state="attached")
    assert_allclose(seen(page)["corners"][0], before)
    assert page.faults == []


def test_a_corner_moves_by_the_keyboard(page, study):
    look(page, study)
    before = seen(page)["corners"][2]
    page.locator("#corner-2").focus()

    def press():
        page.keyboard.press("ArrowLeft")
        page.keyboard.press("Shift+ArrowUp")

    corrected(page, press)
    assert_allclose(seen(page)["corners"][2], [before[0] - 1, before[1] - 10], atol=0.11)
    assert page.faults == []


def test_an_edge_is_bowed_by_its_middle_and_a_line_moves_in_the_picture_laid_flat(page, study):
    look(page, study)
    before = seen(page)["edges"][1][6]
    dragged(page, "#edge-1", (4, 0))
    corrected(page, page.mouse.up)
    assert seen(page)["edges"][1][6][0] > before[0]
    page.check("input[value=flat]")
    laid_out(page, "#flat-view")
    part = seen(page)["columns"][4]["part"]
    dragged(page, "#column-4", (3, 0), down=33)
    corrected(page, page.mouse.up)
    assert seen(page)["columns"][4]["part"] > part
    page.locator("#row-3").focus()
    corrected(page, lambda: page.keyboard.press("ArrowDown"))
    assert page.faults == []


_FRAMES_IN_A_SECOND = """() => new Promise((done) => {
  const ask = OpenSeadragon.requestAnimationFrame;
  let asked = 0;
  OpenSeadragon.requestAnimationFrame = (step) => { asked += 1; return ask(step); };
  setTimeout(() => { OpenSeadragon.requestAnimationFrame = ask; done(asked); }, 1000);
})"""


def test_a_still_picture_takes_no_time_from_the_reading_and_wakes_at_once(page, study):
    fetched = []
    page.on("request", lambda request: fetched.append(request.url))
    look(page, study)
    page.wait_for_timeout(1000)
    # A screen has some 60 frames in a second.
    assert page.evaluate(_FRAMES_IN_A_SECOND) <= 20
    overlay = page.locator("#photo-view .overlay")
    wide = overlay.bounding_box()["width"]
    page.locator("#photo-view").hover()
    page.mouse.wheel(0, -300)
    page.wait_for_timeout(500)
    assert overlay.bounding_box()["width"] > 1.1 * wide
    page.wait_for_timeout(1000)
    page.click("#stage [data-whole]")
    page.wait_for_timeout(500)
    assert_allclose(overlay.bounding_box()["width"], wide, atol=1)
    # The flattened quilt is fetched when it is looked at.
    assert not any("flat.jpg" in address for address in fetched)
    page.check("input[value=flat]")
    laid_out(page, "#flat-view")
    assert sum("flat.jpg" in address for address in fetched) == 1
    assert page.faults == []


def test_a_length_is_measured_by_two_clicks_and_by_the_keyboard(page, study):
    look(page, study)
    page.click("[data-measure]")
    laid_out(page, "#flat-view")
    says = page.locator("#measured")
    expect(says).to_contain_text("±")
    first = says.inner_text()
    box = page.locator("#flat-view").bounding_box()
    for x in (-60, 60):
        page.mouse.click(box["x"] + box["width"] / 2 + x, box["y"] + 200)
        page.wait_for_timeout(350)
    second = says.inner_text()
    assert second != first
    page.locator(".mark").first.focus()
    for _ in range(6):
        page.keyboard.press("ArrowLeft")
    expect(says).not_to_have_text(second)
    assert page.faults == []


def block(page):
    return json.loads(page.get_attribute("#block-data", "data-block"))


def redrawn(page, act):
    before = page.get_attribute("#block-data", "data-block")
    act()
    until(page, lambda: page.get_attribute("#block-data", "data-block") != before)


def at(page, x, y):
    """Where a point of the block, in parts of its side, lies on the page."""
    page.locator("#editor").scroll_into_view_if_needed()
    box = page.locator("#editor svg").bounding_box()
    return box["x"] + box["width"] * (24 + 1000 * x) / 1048, box["y"] + box["height"] * (24 + 1000 * y) / 1048


def test_a_seam_is_drawn_by_a_free_hand_and_a_patch_cut_from_a_fabric_of_the_photograph(page, study):
    page.goto(f"{study}/draft")
    page.wait_for_selector("#editor svg .patch")
    page.check("#free-hand")
    patches = len(block(page)["patches"])
    # Begun a little off the upper edge; it ends in the midst of the large patch and goes on to its side.
    page.mouse.move(*at(page, 0.79, 0.004))
    page.mouse.down()
    page.mouse.move(*at(page, 0.77, 0.5), steps=3)
    redrawn(page, page.mouse.up)
    assert len(block(page)["patches"]) > patches
    assert page.is_checked("#free-hand")
    page.locator("#more-swatches summary").click()
    page.locator("[data-brush='fabric 2']").click()
    redrawn(page, lambda: page.mouse.click(*at(page, 0.9, 0.9)))
    colored = block(page)["places"]
    page.locator("#editor").focus()
    for _ in range(3):
        page.keyboard.press("Shift+ArrowUp")
    for key in ("ArrowLeft", "ArrowUp"):
        page.keyboard.press(key)
    redrawn(page, lambda: page.keyboard.press("+"))
    assert len(block(page)["places"]) <= len(colored)
    for _ in range(3):
        with page.expect_navigation():
            page.get_by_role("button", name="Undo").click()
        page.wait_for_selector("#editor svg .patch")
    assert len(block(page)["patches"]) == patches
    assert page.faults == []


def test_a_fabric_is_named_merged_and_split_and_stays_so_when_a_corner_is_moved(page, study):
    def sent(act):
        with page.expect_navigation():
            act()
        page.wait_for_selector("#found-form")

    def lights():
        return json.loads(page.get_attribute("#fabric-data", "data-fabrics"))["fabrics"]

    page.goto(f"{study}/fabrics")
    before = lights()
    page.click("#fabric-0")
    page.locator("#found summary").click()
    page.fill("#found-name", "madder stripe")
    sent(lambda: page.press("#found-name", "Enter"))
    expect(page.locator("#fabric-0")).to_contain_text("madder stripe")
    expect(page.locator("#found-name")).to_have_value("madder stripe")
    page.select_option("#found-other", "2")
    sent(lambda: page.click("#found-merge"))
    assert len(lights()) == len(before) - 1
    page.select_option("#found-fabric", "1")
    expect(page.locator("#fabric-1")).to_have_attribute("aria-pressed", "true")
    page.click("#found-mark")
    count = len(lights()[1]["patches"])
    page.locator("#found-patches input").first.check()
    # On the quilt itself too: the middle of one more patch of it.
    spot = lights()[1]["patches"][-1]
    x, y = page.evaluate(
        """spot => { const data = JSON.parse(document.getElementById('fabric-data').dataset.fabrics);
        const ring = data.patches[spot], lit = document.getElementById('lit');
        const at = [0, 1].map((axis) => ring.reduce((sum, each) => sum + each[axis], 0) / ring.length);
        lit.scrollIntoView({block: 'center'});
        const put = new DOMPoint(...at).matrixTransform(lit.getScreenCTM()); return [put.x, put.y]; }""",
        spot,
    )
    page.mouse.click(x, y)
    assert page.locator(f"#found-patches input[value='{spot}']").is_checked()
    sent(lambda: page.click("#found-split"))
    assert len(lights()) == len(before)
    assert count - 2 in {len(each["patches"]) for each in lights()}
    look(page, study)
    corner = seen(page)["corners"][0]
    page.focus("#corner-0")
    corrected(page, lambda: page.keyboard.press("ArrowRight"))
    assert seen(page)["corners"][0] != corner
    page.goto(f"{study}/fabrics")
    assert sum(each["called"] == "madder stripe" for each in lights()) == 1
    for _ in range(4):
        with page.expect_navigation():
            page.get_by_role("button", name="Undo").click()
    page.goto(f"{study}/fabrics")
    assert lights() == before
    assert page.faults == []


def test_seams_drawn_faster_than_the_answers_come_are_all_drawn(page, study):
    page.goto(f"{study}/draft")
    page.wait_for_selector("#editor svg .patch")
    page.wait_for_load_state("networkidle")
    parts = 2 * block(page)["divisions"]

    def drawn():
        """The places across of seams that run straight down."""
        return {
            round(seam["at"][0][0] * parts, 3)
            for seam in block(page)["seams"]
            if seam["at"][0][0] == seam["at"][1][0]
        }

    wanted = [column for column in range(1, parts, 2) if column not in drawn()]
    assert len(wanted) > 1
    page.locator("#editor").focus()
    # Keys alone, as fast as they go: to the upper edge and from there to the lower one.
    for column in wanted:
        page.evaluate(
            """(keys) => { for (const key of keys)
              document.getElementById("editor").dispatchEvent(new KeyboardEvent("keydown", { key, bubbles: true })); }""",
            [*["ArrowUp", "ArrowLeft"] * parts, *["ArrowRight"] * column, "Enter", *["ArrowDown"] * parts, "Enter"],
        )
    until(page, lambda: drawn() >= set(wanted))
    for _ in wanted:
        with page.expect_navigation():
            page.get_by_role("button", name="Undo").click()
        page.wait_for_selector("#editor svg .patch")
    assert not drawn() & set(wanted)
    assert page.faults == []


def test_handles_moved_faster_than_the_answers_come_are_all_moved(page, study):
    look(page, study)

    def edges():
        return json.loads(page.get_attribute("#look-data", "data-reading"))["edges"]

    before = edges()
    for index in (0, 1, 2, 0):
        page.locator(f"#edge-{index}").focus()
        page.keyboard.press("ArrowRight" if index == 1 else "ArrowDown")
    moved = [0, 1, 2]
    until(
        page,
        lambda: [edges()[index] == before[index] for index in range(4)] == [index not in moved for index in range(4)],
    )
    assert page.faults == []
