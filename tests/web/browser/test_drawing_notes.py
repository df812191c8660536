"""Notes drawn in a real browser: pressed and dragged, corner after corner by the keys, a place tapped; the back laid by its corners.

Skipped, in one line, where there is no Chromium.
"""

from __future__ import annotations

import math
import re

from playwright.sync_api import expect


def layer(page):
    """Where the photograph lies in the window, once it has come to rest."""
    page.evaluate("scrollTo(0, 0)")
    before, box = None, page.locator("#note-view svg.overlay").bounding_box()
    while box != before:
        page.wait_for_timeout(300)
        before, box = box, page.locator("#note-view svg.overlay").bounding_box()
    return lambda u, v: (box["x"] + box["width"] * u, box["y"] + box["height"] * v)


def keep(page, kind):
    page.locator("#note-kind").select_option(kind)
    count = page.locator("li[data-note]").count()
    page.locator("#note-keep").click()
    page.locator("li[data-note]").nth(count).wait_for()


def test_a_spot_is_drawn_by_hand_by_the_keys_and_a_place_is_tapped(page, study):
    page.goto(f"{study}/assess")
    page.wait_for_selector("#note-view canvas")
    at = layer(page)
    # Pressed and dragged round a spot in the middle.
    page.locator("input[name=tool][value=draw]").check()
    page.mouse.move(*at(0.56, 0.5))
    page.mouse.down()
    for step in range(1, 30):
        page.mouse.move(*at(0.5 + 0.06 * math.cos(step / 4.8), 0.5 + 0.05 * math.sin(step / 4.8)))
    page.mouse.up()
    assert "corners" in page.locator("#drawn").text_content()
    page.locator("#note-form input[name=severity][value='4']").check()
    keep(page, "hole")
    assert re.search(r"Of 56 blocks \d+ sound", page.locator("#answer").text_content())
    # By the keys alone: the cross is moved, four corners set, closed.
    page.locator("input[name=tool][value=draw]").check()
    page.locator("#note-view canvas").first.evaluate("each => each.parentElement.parentElement.focus()")
    view = page.locator("#note-view [role=application]")
    view.focus()
    for keys in (
        "Shift+ArrowLeft",
        " ",
        "Shift+ArrowLeft",
        " ",
        "Shift+ArrowDown",
        " ",
        "Shift+ArrowRight",
        " ",
        "Enter",
    ):
        page.keyboard.press(keys)
    assert page.locator("#drawn").text_content().startswith("Drawn with 4 corners")
    keep(page, "stain")
    # A place is tapped for a test by hand.
    page.locator("input[name=tool][value=tap]").check()
    page.mouse.click(*layer(page)(0.5, 0.5))
    page.locator("#note-kind").select_option("hand test")
    assert page.locator("#note-hand").is_visible()
    assert not page.locator(".severities").is_visible()
    keep(page, "hand test")
    words = [each.text_content() for each in page.locator("li[data-note] summary").all()]
    assert [each.split(",")[0].split(":")[0].split()[-1] for each in words][:2] == ["hole", "stain"]
    # A note that is shown lights up, and the list narrows as one types.
    page.locator("li[data-note] summary").first.click()
    page.locator("[data-show]").first.click()
    assert page.locator("#note-view .note.lit").count() == 1
    assert page.faults == []


def outline_of(page, study):
    """The outline of the first note as it is kept, in pixels of the photograph."""
    (item, *_) = page.request.get(f"{study}/assess/notes.json").json()["items"]
    points = re.search(r'points="([^"]+)"', item["target"]["selector"]["value"]).group(1)
    return [tuple(float(part) for part in pair.split(",")) for pair in points.split()]


def test_a_kept_outline_is_reshaped_by_mouse_by_the_keys_and_by_finger(page, study):
    page.goto(f"{study}/assess")
    page.wait_for_selector("#note-view canvas")
    while page.locator("li[data-note]").count():
        page.locator("li[data-note] summary").first.click()
        count = page.locator("li[data-note]").count()
        page.get_by_role("button", name="Take it away").first.click()
        expect(page.locator("li[data-note]")).to_have_count(count - 1)
    at = layer(page)
    page.locator("input[name=tool][value=draw]").check()
    for u, v in ((0.4, 0.4), (0.6, 0.4), (0.6, 0.6), (0.4, 0.6)):
        page.mouse.click(*at(u, v))
        page.wait_for_timeout(400)
    # What is drawn has corners to hold before it is kept; one is taken out and put back by the buttons, as a finger would.
    assert page.locator("#note-view .vertex").count() == 4
    page.locator("#note-view .vertex").nth(1).focus()
    page.get_by_role("button", name="Take this corner out").click()
    assert page.locator("#note-view .vertex").count() == 3
    page.locator("#note-view .vertex").nth(0).focus()
    page.get_by_role("button", name="Add a corner after this one").click()
    assert page.locator("#note-view .vertex").count() == 4
    keep(page, "hole")
    before = outline_of(page, study)
    assert len(before) == 4

    def reshape():
        if not page.locator("[data-reshape]").first.is_visible():
            page.locator("li[data-note] summary").first.click()
        page.locator("[data-reshape]").first.click()
        page.wait_for_selector("#note-view .vertex")

    def change():
        page.get_by_role("button", name="Change it").first.click()
        expect(page.locator("#note-view .vertex")).to_have_count(0)

    # By the mouse: the first corner is dragged left and up.
    reshape()
    at = layer(page)
    page.mouse.move(*at(0.4, 0.4))
    page.mouse.down()
    page.mouse.move(*at(0.35, 0.37), steps=4)
    page.mouse.move(*at(0.3, 0.35), steps=4)
    page.mouse.up()
    change()
    dragged = outline_of(page, study)
    assert math.dist(dragged[0], before[0]) > 50
    assert dragged[1:] == before[1:]
    # By the keys: the second corner steps right, the third goes, one is added after the first.
    reshape()
    page.locator('#note-view [data-vertex="1"]').focus()
    page.keyboard.press("Shift+ArrowRight")
    page.locator('#note-view [data-vertex="2"]').focus()
    page.keyboard.press("Delete")
    page.locator('#note-view [data-vertex="0"]').focus()
    page.keyboard.press("Insert")
    # Fewer than three corners enclose nothing.
    change()
    keyed = outline_of(page, study)
    assert len(keyed) == 4
    assert keyed[0] == dragged[0]
    assert keyed[2][0] > dragged[1][0]
    assert keyed[3] == dragged[3]
    # By a finger: the dot between two corners is pressed and carried off.
    reshape()
    box = page.locator('#note-view [data-gap="0"]').bounding_box()
    x, y = box["x"] + box["width"] / 2, box["y"] + box["height"] / 2
    session = page.context.new_cdp_session(page)
    session.send("Input.dispatchTouchEvent", {"type": "touchStart", "touchPoints": [{"x": x, "y": y}]})
    for step in range(1, 6):
        session.send("Input.dispatchTouchEvent", {"type": "touchMove", "touchPoints": [{"x": x, "y": y - 8 * step}]})
    session.send("Input.dispatchTouchEvent", {"type": "touchEnd", "touchPoints": []})
    change()
    assert len(outline_of(page, study)) == 5
    # Escape leaves a note as it was.
    now = outline_of(page, study)
    reshape()
    page.locator('#note-view [data-vertex="0"]').focus()
    page.keyboard.press("Shift+ArrowDown")
    page.keyboard.press("Escape")
    change()
    assert outline_of(page, study) == now
    assert page.faults == []
