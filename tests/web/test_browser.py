"""The table in a real browser: the whole job, corrections by mouse and keyboard, a killed server, axe on every page.

Skipped, in one line, where there is no Chromium.
"""

from __future__ import annotations

import io
import json
import socket
import threading
import time
from importlib.resources import files
from pathlib import Path

import pikepdf
import pytest
import uvicorn
from numpy.testing import assert_allclose

from seamlore.cli.handover import PAGE, Table
from seamlore.shelf.shelf import Shelf
from seamlore.web.app import make_app
from seamlore.web.clock import Timed
from seamlore.web.doors import Doors, make_key
from tests.once import MEMO

CHROMIUM = Path("/usr/bin/chromium")
if not CHROMIUM.exists():
    pytest.skip("no Chromium at /usr/bin/chromium: the browser tests are left out", allow_module_level=True)

from playwright.sync_api import expect, sync_playwright  # noqa: E402 - only where there is a browser

AXE = (Path(__file__).parent / "axe" / "axe-core-4.14.1.min.js").read_text(encoding="utf-8")
STEPS = ("look", "draft", "fabrics", "date", "assess", "decide", "make", "sew", "tell", "keep")
ARGS = (
    "--no-sandbox --disable-gpu --disable-quic --no-first-run --disable-background-networking "
    "--disable-component-update --disable-sync"
)
# What is measured may take longer on a busy machine; only benchmarks judge time.
PATIENCE_MS = 120_000
expect.set_options(timeout=PATIENCE_MS)


class Server:
    """The table on a port of its own, that can be killed and started again at the same address."""

    def __init__(self, folder):
        self.folder = folder
        self.port = 0
        self.doors = Doors()
        self.start()

    def let_in(self, context):
        """Make a browser known, as opening the table does."""
        name, value = self.doors.cookie(self.port).split("=", 1)
        context.add_cookies(
            [{"name": name, "value": value, "url": self.address, "sameSite": "Strict", "httpOnly": True}]
        )

    def start(self):
        self.shelf = Shelf(self.folder)
        listener = socket.socket()
        listener.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        listener.bind(("127.0.0.1", self.port))
        self.port = listener.getsockname()[1]
        app = make_app(self.shelf, doors=self.doors)
        self.desk = app.app.state.desk
        self.desk.memo = MEMO
        # What a shelf is searched by is put on its cards beside what goes on: here nobody searches it.
        self.desk.carding.close()
        config = uvicorn.Config(
            app, http=Timed, ws="none", log_level="error", lifespan="off", timeout_graceful_shutdown=1
        )
        self.server = uvicorn.Server(config)
        self.thread = threading.Thread(target=self.server.run, kwargs={"sockets": [listener]}, daemon=True)
        self.thread.start()
        while not self.server.started:
            time.sleep(0.02)
        self.address = f"http://127.0.0.1:{self.port}"

    def kill(self):
        self.server.force_exit = self.server.should_exit = True
        self.thread.join(10)
        self.desk.close()
        self.shelf.close()


@pytest.fixture(scope="module")
def server(tmp_path_factory):
    made = Server(tmp_path_factory.mktemp("table") / "shelf")
    yield made
    made.kill()


@pytest.fixture(scope="module")
def browser():
    with sync_playwright() as play:
        opened = play.chromium.launch(executable_path=str(CHROMIUM), args=ARGS.split())
        yield opened
        opened.close()


@pytest.fixture
def page(browser, server):
    """A page that notes each console error and each request to anywhere else."""
    context = browser.new_context(viewport={"width": 1300, "height": 950}, accept_downloads=True)
    server.let_in(context)
    opened = context.new_page()
    opened.set_default_timeout(PATIENCE_MS)
    opened.faults = []

    def guarded(route):
        if not route.request.url.startswith((server.address, "data:", "blob:")):
            opened.faults.append(f"asked elsewhere: {route.request.url}")
        route.continue_()

    context.route("**/*", guarded)
    opened.on("console", lambda said: said.type == "error" and opened.faults.append(said.text))
    opened.on("pageerror", lambda fault: opened.faults.append(str(fault)))
    yield opened
    context.close()


@pytest.fixture(scope="module")
def study(browser, server):
    """The demo photograph dropped on the first page, and the tape's measurements entered; gives its address."""
    page = browser.new_page()
    server.let_in(page.context)
    page.set_default_timeout(PATIENCE_MS)
    page.goto(server.address)
    data = list((files("seamlore") / "demo" / "demo.jpg").read_bytes())
    dropped = page.evaluate_handle(
        """bytes => { const held = new DataTransfer();
        held.items.add(new File([new Uint8Array(bytes)], 'demo.jpg', {type: 'image/jpeg'})); return held; }""",
        data,
    )
    page.dispatch_event("[data-drop]", "drop", {"dataTransfer": dropped})
    page.wait_for_url("**/look")
    page.wait_for_selector("#reading")
    # The page that says how far the reading is gives way to this one: what is typed before its scripts run is not sent.
    page.wait_for_load_state("load")
    for name, value in (
        ("width", "74 1/2 in"),
        ("height", "89 1/2 in"),
        ("block", "9 in"),
        ("sashing", "2 1/2 in"),
        ("columns", "7"),
        ("rows", "8"),
    ):
        with page.expect_response("**/look/tape") as answered:
            page.fill(f"#tape-{name}", value)
            page.press(f"#tape-{name}", "Tab")
        assert answered.value.status == 200
        until(page, lambda: page.evaluate("!document.querySelector('.htmx-request, .htmx-swapping, .htmx-settling')"))
    address = page.url.rsplit("/", 1)[0]
    page.close()
    return address


def until(page, condition):
    """Wait for something; the strict policy of the pages does not let the browser wait for it by itself."""
    end = time.monotonic() + PATIENCE_MS / 1000
    while not condition():
        assert time.monotonic() < end
        page.wait_for_timeout(40)


def look(page, study):
    page.goto(f"{study}/look")
    page.wait_for_selector("#corner-0")
    laid_out(page, "#photo-view")


def laid_out(page, view):
    """Wait until a picture has come to rest; its overlay is there once it is loaded, and moves with it."""
    lay = []

    def still():
        lay.append(
            page.locator(f"{view} .overlay").evaluate_all(
                "found => found.map((each) => each.getBoundingClientRect().toJSON())"
            )
        )
        last = lay[-8:]
        return len(last) == 8 and last[0] and last[0][0]["width"] > 100 and all(each == last[0] for each in last)

    until(page, still)


def seen(page):
    return json.loads(page.get_attribute("#look-data", "data-reading"))


def middle(page, of):
    box = page.locator(of).bounding_box()
    return box["x"] + box["width"] / 2, box["y"] + box["height"] / 2


def dragged(page, of, by, *, down=0):
    x, y = middle(page, of)
    page.mouse.move(x, y + down)
    page.mouse.down()
    page.mouse.move(x + by[0], y + down + by[1], steps=4)


def corrected(page, act):
    before = page.get_attribute("#look-data", "data-reading")
    with page.expect_response("**/look/corrections") as answered:
        act()
    assert answered.value.status == 200
    until(page, lambda: page.get_attribute("#look-data", "data-reading") != before)


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


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_axe_finds_nothing_on_any_page_and_no_page_scrolls_sideways(browser, study, server, scheme):
    context = browser.new_context(viewport={"width": 360, "height": 800}, color_scheme=scheme, bypass_csp=True)
    server.let_in(context)
    page = context.new_page()
    page.set_default_timeout(PATIENCE_MS)
    found = []
    for address in (
        server.address,
        *(f"{study}/{step}" for step in (*STEPS, "noticing")),
        f"{server.address}/across",
        f"{server.address}/nothing",
    ):
        page.goto(address)
        if address.endswith("/look"):
            page.wait_for_selector("#corner-0")
        page.wait_for_load_state("networkidle")
        # 640 px are what a window of 1280 px has at 200 % zoom.
        for width in (360, 640, 1300, 2560) if scheme == "light" else (1300,):
            page.set_viewport_size({"width": width, "height": 800})
            wide = page.evaluate("document.documentElement.scrollWidth")
            found += [f"{address} is {wide} px wide at {width}"] * (wide > width)
        # What stands behind "more" is looked at too.
        page.evaluate("document.querySelectorAll('details').forEach((each) => { each.open = true; })")
        page.wait_for_load_state("networkidle")
        page.evaluate(AXE)
        for fault in page.evaluate("axe.run()")["violations"]:
            found += [f"{address}: {fault['id']}: {node['html'][:160]}" for node in fault["nodes"]]
    context.close()
    assert found == []


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
