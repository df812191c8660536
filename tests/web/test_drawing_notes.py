"""Notes drawn in a real browser: pressed and dragged, corner after corner by the keys, a place tapped; the back laid by its corners.

Skipped, in one line, where there is no Chromium.
"""

from __future__ import annotations

import math
import re

from .test_browser import browser, page, server, study  # noqa: F401 - fixtures


def layer(page):  # noqa: F811
    """Where the photograph lies in the window, once it has come to rest."""
    page.evaluate("scrollTo(0, 0)")
    before, box = None, page.locator("#note-view svg.overlay").bounding_box()
    while box != before:
        page.wait_for_timeout(300)
        before, box = box, page.locator("#note-view svg.overlay").bounding_box()
    return lambda u, v: (box["x"] + box["width"] * u, box["y"] + box["height"] * v)


def keep(page, kind):  # noqa: F811
    page.locator("#note-kind").select_option(kind)
    count = page.locator("li[data-note]").count()
    page.locator("#note-keep").click()
    page.locator("li[data-note]").nth(count).wait_for()


def test_a_spot_is_drawn_by_hand_by_the_keys_and_a_place_is_tapped(page, study):  # noqa: F811
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
