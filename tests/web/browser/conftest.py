"""A browser, a table for it, and the demo study begun in it; skipped, in one line, where there is no Chromium."""

from __future__ import annotations

from importlib.resources import files
from pathlib import Path

import pytest
from playwright.sync_api import sync_playwright

from tests.web.browser.driving import PATIENCE_MS, Server, until

CHROMIUM = Path("/usr/bin/chromium")
ARGS = (
    "--no-sandbox --disable-gpu --disable-quic --no-first-run --disable-background-networking "
    "--disable-component-update --disable-sync"
)


@pytest.fixture(scope="module")
def server(tmp_path_factory):
    made = Server(tmp_path_factory.mktemp("table") / "shelf")
    yield made
    made.kill()


@pytest.fixture(scope="module")
def browser():
    if not CHROMIUM.exists():
        pytest.skip("no Chromium at /usr/bin/chromium: the browser tests are left out")
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
