"""A draft made by hand in a real browser, without a photograph: what stands where, marks, colors, half-drawn seams."""

from __future__ import annotations

import html
import json
import re
from fractions import Fraction

import pytest

from seamlore.draft.catalogue import find
from seamlore.draft.repeated import repeated
from seamlore.draft.text.quilt_file import write_quilt
from seamlore.lengths import inches
from seamlore.steps.study.sections import Choice
from seamlore.web.desk import Desk
from tests.web.browser.driving import until


@pytest.fixture
def drafted(page, server):
    """A quilt of three by four Birds in the Air blocks, open in the browser; gives what its draft is by now."""
    desk = Desk(server.shelf)
    number = desk.begin("By hand", None, "began")
    quilt = repeated("By hand", find("birds in the air"), inches(9), inches(9), 3, 4)
    desk.change(number, Choice(draft=write_quilt(quilt, find_block=find)), 0, "drafted")
    page.goto(f"{server.address}/study/{number}/draft")
    page.wait_for_selector("#editor svg .patch")
    page.evaluate("document.getElementById('more-cells').open = true")
    return lambda: desk.study(number).job.quilt


def sent(page, act, path="cells"):
    """Do something that is an edit, and wait until the page has taken the answer in; gives the answer's text."""
    with page.expect_response(f"**/draft/{path}") as answered:
        act()
    assert answered.value.status == 200, answered.value.text()
    text = answered.value.text()
    until(page, lambda: page.evaluate("!document.querySelector('.htmx-request, .htmx-swapping, .htmx-settling')"))
    return text


def cells_sent(text):
    """The blocks that an answer changes in rows that stay as they are."""
    found = re.search(r'id="cells-patch"[^>]* data-rows="([^"]*)"', text)
    return [cell[0] for row in json.loads(html.unescape(found[1])) for cell in row["cells"]] if found else []


def test_marks_stay_while_blocks_are_turned_and_only_they_are_sent(page, drafted):
    page.check("#cell-0-1")
    page.check("#cell-2-3")
    marked = "[...document.querySelectorAll('input[name=cell]:checked')].map((each) => each.value)"
    texts = [sent(page, lambda: page.click("#cells-turn")) for _ in range(2)]
    assert page.evaluate(marked) == ["0,1", "2,3"]
    assert [drafted().cells[row][column].lies.turn for row, column in ((0, 1), (2, 3), (1, 1))] == [180, 180, 0]
    assert page.locator("#cell-rows .lies-180").count() == 2
    # No other block changed.
    assert all(cells_sent(text) == ["0,1", "2,3"] and 'class="cell-row' not in text for text in texts)
    # Nor did the block: its editor is not sent again, and what is done there next is done on the newest state.
    assert all('id="block-bench"' not in text for text in texts)
    assert page.inner_text("#said").startswith("Turned 2 blocks")
    sent(page, lambda: page.select_option("#value-B", "medium"), "block/value")
    # What was done once is not done again: other blocks are marked for the next.
    page.fill("#cells-name", "plain dark")
    sent(page, lambda: page.click("#cells-new"))
    assert page.evaluate(marked) == []
    assert sorted(drafted().counts.values()) == [2, 10]
    # All of a kind drawn otherwise: their small pictures follow, and what is edited next is sent on the newest state.
    before = page.locator("#cell-rows img").first.get_attribute("src")
    sent(page, lambda: page.select_option("#value-A", "medium"), "block/value")
    until(page, lambda: page.locator("#cell-rows img").first.get_attribute("src") != before)
    page.check("#cell-1-1")
    sent(page, lambda: page.click("#cells-mirror"))
    assert drafted().cells[1][1].lies != drafted().cells[1][2].lies
    # What was patched into the page is what a page loaded anew shows.
    drawing = """[...document.querySelectorAll('#stage use, #stage defs > g, #stage path')].map((each) => each.outerHTML).sort()"""
    patched = page.evaluate(drawing)
    page.reload()
    page.wait_for_selector("#editor svg .patch")
    assert page.evaluate(drawing) == patched
    assert page.faults == []


def test_a_page_changed_by_many_edits_is_the_page_loaded_anew(page, drafted):
    def do(act, *marked, path="cells"):
        for at in marked:
            page.check(f"#cell-{at}")
        return sent(page, act, path)

    do(lambda: page.click("#cells-open"), "0-0", "2-2")
    page.fill("#cells-name", "ohio star")
    do(lambda: page.click("#cells-new"), "0-0", "1-1")
    do(lambda: page.click("#cells-copy"), "1-1")
    do(lambda: page.click("#cells-mirror"), "0-0", "0-1")
    page.fill("#cells-fabric", "madder stripe")
    do(lambda: page.click("#cells-own"), "2-0")
    do(lambda: page.click("#cells-open"), "2-1")
    # A square quilt of one size of block looks the same in any: only its lettering is another.
    text = do(lambda: (page.fill("#set-block_width", "12 in"), page.keyboard.press("Tab")), path="setting")
    assert 'id="stage-picture"' not in text
    assert 'data-others="[]"' not in text
    shown = """(() => {
      const of = (node, ...names) => names.map((name) => node.getAttribute(name));
      return {
        stage: document.querySelector("#sweep-room svg").outerHTML.replace(/<defs>.*<\\/defs>/s, ""),
        stamps: [...document.querySelectorAll("#sweep-room defs > g")].map((each) => each.outerHTML).sort(),
        rows: [...document.querySelectorAll(".cell-row")].map((row) => [row.id, row.dataset.drawn]),
        cells: [...document.querySelectorAll(".cell")].map((cell) => [
          cell.title, ...of(cell.children[0], "id", "value", "aria-label"), cell.children[1].localName, cell.children[1].textContent,
          ...["src", "data-kind", "class"].map((name) => cell.children[1].getAttribute(name) || "")]),
        says: ["answer", "cells-panel", "kinds"].map((id) => document.getElementById(id).innerText),
        prints: [...document.querySelectorAll("#draft [data-drawn]")].map((each) => [each.id, each.dataset.drawn]).sort(),
      }; })()"""
    patched = page.evaluate(shown)
    assert [cell[5] for cell in patched["cells"]].count("?") == 2
    page.goto(page.url + f"?kind={page.input_value('#cells [name=kind]')}")
    page.wait_for_selector("#editor svg .patch")
    anew = page.evaluate(shown)
    for part, what in anew.items():
        assert what == patched[part], part
    assert page.faults == []


def test_a_half_drawn_seam_outlives_loading_the_page_again(page, drafted):
    page.locator("#editor").focus()
    for _ in range(6):
        page.keyboard.press("ArrowUp")
    page.keyboard.press("Enter")
    begun = page.locator("#editor .begun").evaluate("(dot) => [dot.getAttribute('cx'), dot.getAttribute('cy')]")
    page.reload()
    page.wait_for_selector("#editor svg .patch")
    dot = page.locator("#editor .begun:not([hidden])")
    assert dot.evaluate("(dot) => [dot.getAttribute('cx'), dot.getAttribute('cy')]") == begun
    assert "A seam is begun" in page.inner_text("#editor-where")
    page.locator("#editor").focus()
    for _ in range(6):
        page.keyboard.press("ArrowDown")
    with page.expect_request("**/block/seam") as asked:
        sent(page, lambda: page.keyboard.press("Enter"), "block/seam")
    # It begins where it was begun before.
    assert [1000 * float(Fraction(part)) for part in asked.value.post_data_json["start"].split(",")] == [
        float(part) for part in begun
    ]
    page.reload()
    page.wait_for_selector("#editor svg .patch")
    assert page.locator("#editor .begun:not([hidden])").count() == 0
    assert page.faults == []
