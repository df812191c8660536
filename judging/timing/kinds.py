"""How fast a quilt of many kinds of blocks is laid out, drawn and changed. Run it alone: `python -m judging.timing.kinds`.

It prints, for an ordinary quilt of 56 blocks of 3 kinds and for 900 blocks of 30: laying out and drawing; each edit on the page of the draft: processor
time of the server and of the page in the browser, which follow each other, so that their sum is what she waits for on a
machine that does nothing else; and by the clock from the click to the page drawn anew, which on a busy machine says little.
"""

from __future__ import annotations

import html
import json
import os
import re
import sys
import tempfile
import time
from collections.abc import Callable, Iterator
from pathlib import Path
from statistics import median
from typing import Any, Literal

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

from playwright.sync_api import Page, sync_playwright
from starlette.testclient import TestClient

from judging.timing.table import ARGS, CHROMIUM, answered_ms, served, yardstick_ms
from seamlore.draft.catalogue import all_blocks
from seamlore.draft.kinds import Cell, Kind, Turned, sign_for
from seamlore.draft.layout import lay
from seamlore.draft.quilt import Quilt
from seamlore.draft.seams import seams
from seamlore.draft.text.quilt_file import write_quilt
from seamlore.drawing.svg import to_svg
from seamlore.lengths import inches
from seamlore.pictures.quilts import quilt_picture
from seamlore.shelf.shelf import Shelf
from seamlore.steps.study.sections import Choice
from seamlore.web.app import make_app
from seamlore.web.desk import Desk

KINDS, TIMES = 30, 3
_AIM_MS = 150


def of_kinds(rows: int, columns: int, kinds: int = KINDS) -> Quilt:
    """Make a quilt of many kinds by turns, its blocks turned and some mirrored."""
    signs: set[str] = set()
    made = []
    for block in all_blocks()[:: len(all_blocks()) // kinds][:kinds]:
        made.append(Kind(sign_for(block, signs), block))
        signs.add(made[-1].name)
    turns: tuple[Literal[0, 90, 180, 270], ...] = (0, 90, 180, 270)
    cells = tuple(
        tuple(
            Cell(made[(7 * row + column) % kinds].name, Turned(turns[(row + column) % 4], (row * column) % 5 == 0))
            for column in range(columns)
        )
        for row in range(rows)
    )
    return Quilt("Sampler", tuple(made), cells, inches(9), inches(9))


# What is done on the page: the address under the draft's, what the form says, given how often it was done before.
EDITS: tuple[tuple[str, str, Callable[[int, Quilt], dict[str, str]]], ...] = (
    ("turn one block", "cells", lambda n, _: {"cell": f"0,{n}", "do": "turn"}),
    ("put a kind into one", "cells", lambda n, quilt: {"cell": f"1,{n}", "do": "kind", "put": quilt.kinds[n].name}),
    ("a fabric of its own", "cells", lambda n, quilt: {
        "cell": f"2,{n}", "do": "fabric", "letter": min(quilt.kind(quilt.cells[2][n].kind).block.places), "fabric": f"f{n}"}),
    ("leave one open", "cells", lambda n, _: {"cell": f"3,{n}", "do": "open"}),
    ("begin a copy", "cells", lambda n, _: {"cell": f"4,{n}", "do": "copy"}),
    ("turn all of a kind", "cells", lambda n, quilt: {"of": quilt.kinds[n].name, "do": "turn"}),
    ("value of a place", "block/value", lambda n, quilt: {
        "kind": quilt.kinds[n].name, "place": min(quilt.kinds[n].block.places), "value": "medium", "scrappy": "yes"}),
    ("take out a seam", "block/take-out", lambda n, quilt: {
        "kind": quilt.kinds[n].name, **dict(zip(("first", "second"), map(str, seams(quilt.kinds[n].block)[0].patches), strict=True))}),
    ("another size", "size", lambda n, _: {"what": "block", "value": f"{n + 10} in"}),
)  # fmt: skip


def put(shelf: Shelf, quilt: Quilt) -> int:
    """Begin a study with this draft, without a photograph."""
    desk = Desk(shelf)
    number = desk.begin(quilt.name, None, "began")
    desk.change(number, Choice(draft=write_quilt(quilt)), 0, "drafted")
    return number


def in_server_ms(shelf: Shelf, quilt: Quilt) -> dict[str, list[float]]:
    """Milliseconds of each edit from the request to the answer, in this process."""
    app: Any = make_app(shelf)
    cookies = dict([app.doors.cookie(4000).split("=", 1)])
    client = TestClient(
        app, base_url="http://127.0.0.1:4000", headers={"origin": "http://127.0.0.1:4000"}, cookies=cookies
    )
    number = put(shelf, quilt)
    desk = app.app.state.desk
    found: dict[str, list[float]] = {}
    shown = shown_by(client.get(f"/study/{number}/draft").text)
    for name, path, said in EDITS:
        for n in range(TIMES):
            base = str(desk.study(number).revisions["choice"])
            began = time.process_time()
            answer = client.post(
                f"/study/{number}/draft/{path}",
                data={"base": base, **said(n, quilt)},
                # As the page says what it shows already.
                headers={"hx-request": "true", "x-shown-already": " ".join(f"{k}={v}" for k, v in shown.items())},
            )
            found.setdefault(name, []).append(1000 * (time.process_time() - began))
            shown |= shown_by(answer.text)
            assert answer.status_code == 200, (name, answer.text[:2000])
    return found


_SHOWN = re.compile(r'id="([^"]+)" data-drawn="(\w+)"')
_PATCH = re.compile(r'id="stage-patch"[^>]* data-print="(\w+)"')
_ROWS = re.compile(r'id="cells-patch"[^>]* data-rows="([^"]*)"')


def shown_by(text: str) -> dict[str, str]:
    """What a page shows after an answer, as the page's own script knows it: fingerprints of its parts, by their ids."""
    shown = dict(_SHOWN.findall(text))
    drawn = _PATCH.findall(text)
    shown |= dict.fromkeys(("sweep-room",) * bool(drawn), *drawn)
    for rows in _ROWS.findall(text):
        shown |= {each["row"]: each["print"] for each in json.loads(html.unescape(rows))}
    return shown


# From sending to the swapped page drawn.
_POSTED = """([path, values], settled) => new Promise((done) => {
  const sent = performance.now();
  settled(() => done(performance.now() - sent));
  const base = document.querySelector("#setting [name=base]").value;
  window.htmx.ajax("POST", location.pathname + "/" + path, {
    source: "#said", target: "#draft", swap: "outerHTML", values: { base, ...values } });
})"""


def in_browser_ms(page: Page, address: str, number: int, quilt: Quilt) -> dict[str, list[tuple[float, float]]]:
    """Milliseconds of each edit in a browser: processor time of the page's thread; by the clock until it is drawn anew."""
    watch = page.context.new_cdp_session(page)
    watch.send("Performance.enable", {"timeDomain": "threadTicks"})

    def worked() -> float:
        told = {each["name"]: each["value"] for each in watch.send("Performance.getMetrics")["metrics"]}
        return 1000 * float(told["TaskDuration"])

    page.set_default_timeout(240_000)
    page.goto(f"{address}/study/{number}/draft")
    page.wait_for_selector("#editor svg .patch")
    page.wait_for_load_state("networkidle")
    found: dict[str, list[tuple[float, float]]] = {}
    for name, path, said in EDITS:
        for n in range(TIMES):
            before = worked()
            clock = answered_ms(page, _POSTED, [path, said(n, quilt)])
            found.setdefault(name, []).append((worked() - before, clock))
            # What stands aside is fetched half a second after the last edit.
            page.wait_for_timeout(900)
    return found


def drawn_s(quilt: Quilt) -> float:
    """Processor seconds to lay out and draw a quilt that was not seen before."""
    began = time.process_time()
    assert len(lay(quilt)) > len(quilt.spots)
    to_svg(quilt_picture(quilt, 128, 134))
    return time.process_time() - began


def tables(sizes: tuple[tuple[int, int, int], ...]) -> Iterator[str]:
    """Measure, and give the lines to print."""
    with tempfile.TemporaryDirectory() as folder, Shelf(Path(folder)) as shelf, served(shelf) as (address, cookie):
        for rows, columns, kinds in sizes:
            quilt = of_kinds(rows, columns, kinds)
            yield f"{rows * columns} blocks of {len(quilt.kinds)} kinds laid out and drawn: {drawn_s(quilt):.2f} s (aim: 1 s)"
            with tempfile.TemporaryDirectory() as other, Shelf(Path(other)) as own:
                server = in_server_ms(own, quilt)
            with sync_playwright() as play:
                browser = play.chromium.launch(executable_path=CHROMIUM, args=list(ARGS))
                page = browser.new_page(viewport={"width": 1300, "height": 900})
                name, value = cookie.split("=", 1)
                page.context.add_cookies([{"name": name, "value": value, "url": address}])
                seen = in_browser_ms(page, address, put(shelf, quilt), quilt)
                browser.close()
            for name, took in server.items():
                page_ms, clock = (median(each[at] for each in seen[name]) for at in (0, 1))
                both = median(took) + page_ms
                miss = "" if both <= _AIM_MS else "  MISSED"
                yield (
                    f"{name}: server {median(took):.0f} + page {page_ms:.0f} = {both:.0f} ms (aim: {_AIM_MS} ms); "
                    f"by the clock {clock:.0f} ms{miss}"
                )


def main() -> None:
    """Measure and print."""
    print(f"yardstick: {yardstick_ms():.0f} ms")
    for line in tables(tuple((side, side, KINDS) for side in map(int, sys.argv[1:])) or ((8, 7, 3), (30, 30, KINDS))):
        print(line, flush=True)


if __name__ == "__main__":
    main()
