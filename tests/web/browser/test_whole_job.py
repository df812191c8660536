"""The table in a real browser: the whole job, two windows, a killed server."""

from __future__ import annotations

import io
from importlib.resources import files
from pathlib import Path

import pikepdf
from playwright.sync_api import expect

from seamlore.cli.handover import PAGE, Table
from seamlore.web.doors import make_key
from tests.web.browser.driving import PATIENCE_MS, look


def test_the_whole_job_from_the_dropped_photograph_to_the_booklet(page, study):
    look(page, study)
    expect(page.locator("#answer")).to_contain_text("56 blocks, 8 rows of 7")
    expect(page.locator("#reading")).to_contain_text("The sums do not come out")
    page.get_by_role("link", name="On to the draft").click()
    expect(page.locator("#answer")).to_contain_text("56 blocks of 9 in")
    page.goto(f"{study}/make")
    expect(page.locator("#answer")).to_contain_text("78 x 89 1/2 in")
    page.goto(f"{study}/tell")
    with page.expect_download() as saved:
        page.get_by_role("link", name="Save the pattern booklet").click()
    with pikepdf.open(io.BytesIO(Path(saved.value.path()).read_bytes())) as booklet:
        assert len(booklet.pages) > 3
    assert page.faults == []


def test_two_photographs_are_read_at_once_and_a_page_loaded_again_meanwhile_goes_on(browser, server):
    context = browser.new_context()
    server.let_in(context)
    pages = [context.new_page() for _ in range(2)]
    numbers = []
    for index, each in enumerate(pages):
        each.set_default_timeout(2 * PATIENCE_MS)
        # The same quilt, but another file: a line of the picture's bytes tells them apart.
        data = (files("seamlore") / "demo" / "demo.jpg").read_bytes() + bytes(index + 1)
        name = f"another {index}.jpg"
        each.goto(server.address)
        each.set_input_files("#photograph", {"name": name, "mimeType": "image/jpeg", "buffer": data})
        each.wait_for_url("**/look")
        numbers.append(each.url.split("/")[-2])
    for each in pages:
        # On a quick machine it is read before the page is there.
        each.wait_for_selector("#working, #reading")
        each.reload()
    for each in pages:
        each.wait_for_selector("#reading")
        expect(each.locator("#answer")).to_contain_text("blocks")
    assert len(set(numbers)) == 2
    context.close()


def test_two_windows_do_not_overwrite_each_other(page, study, browser, server):
    look(page, study)
    other = browser.new_page()
    server.let_in(other.context)
    other.set_default_timeout(PATIENCE_MS)
    look(other, study)
    with other.expect_response("**/look/tape"):
        other.fill("#tape-block", "9 1/8 in")
        other.press("#tape-block", "Tab")
    other.close()
    page.fill("#tape-sashing", "2 3/8 in")
    page.press("#tape-sashing", "Tab")
    expect(page.locator("#notices")).to_contain_text("Changed in another window")
    expect(page.locator("#tape-sashing")).to_have_value("2 3/8 in")
    with page.expect_navigation():
        page.get_by_role("link", name="See how it stands now").click()
    expect(page.locator("#tape-block")).to_have_value("9 1/8 in")
    # The refusal itself is a console line of the browser's own; nothing else may be.
    assert [each for each in page.faults if "409" not in each] == []


def test_a_server_that_dies_is_said_in_words_and_what_was_typed_goes_in_once_it_is_back(page, study, server):
    page.goto(f"{study}/make")
    page.fill("#make-fabric_width", "40 in")
    server.kill()
    page.press("#make-fabric_width", "Tab")
    expect(page.locator("#notices")).to_contain_text("Seamlore does not answer")
    expect(page.locator("#make-fabric_width")).to_have_value("40 in")
    server.start()
    with page.expect_response("**/make") as answered:
        page.get_by_role("button", name="Try again").click()
    assert answered.value.status == 200
    expect(page.locator("#notices")).to_be_empty()
    page.reload()
    expect(page.locator("#make-fabric_width")).to_have_value("40 in")
    # The browser and the library each note the lost connection on the console; nothing else may be there.
    noted = ("ERR_CONNECTION", "ERR_EMPTY", "htmx:sendError", "htmx:afterRequest", "htmx:afterOnLoad")
    assert [each for each in page.faults if not any(word in each for word in noted)] == []


def test_the_page_that_opens_the_table_lets_the_browser_in_and_leaves_no_key_behind(browser, server, tmp_path):
    context = browser.new_context()
    context.set_default_timeout(PATIENCE_MS)
    page = context.new_page()
    page.goto(f"{server.address}/")
    expect(page.locator("h1")).to_have_text("Please open Seamlore again")
    table = Table(server.port, server.doors.secret)
    key = make_key(table.secret)
    opening = tmp_path / "open.html"
    opening.write_text(PAGE.format(address=table.address, key=key))
    page.goto(opening.as_uri())
    page.wait_for_url(table.address)
    expect(page.locator("#answer")).to_be_visible()
    # Neither the address bar nor the way back holds the key.
    back = context.new_cdp_session(page).send("Page.getNavigationHistory")["entries"]
    assert [each["url"] for each in back if key in each["url"] or "/enter" in each["url"]] == []
    # A second tab, as a bookmark opens it; a page of another port of this machine; a link on a page of another site.
    second = context.new_page()
    assert second.goto(f"{server.address}/studies").status == 200
    page.goto(table.address_with_key())
    page.wait_for_url(table.address)
    elsewhere = tmp_path / "elsewhere.html"
    elsewhere.write_text(f'<a href="{table.address}">quilts</a><img src="{table.address}static/mark.svg">')
    page.goto(elsewhere.as_uri())
    assert page.evaluate("document.querySelector('img').naturalWidth") == 0
    page.click("a")
    expect(page.locator("h1")).to_have_text("Please open Seamlore again")
    page.get_by_role("link", name="go to your quilts").click()
    expect(page.locator("#answer")).to_be_visible()
    # A browser that is not known, told the address, is shown the door.
    stranger = browser.new_context()
    stranger.set_default_timeout(PATIENCE_MS)
    assert stranger.new_page().goto(f"{server.address}/studies").status == 403
    stranger.close()
    context.close()
