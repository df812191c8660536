"""The table served on a port of its own, and a browser's hand: pressed, dragged, waited for."""

from __future__ import annotations

import json
import socket
import threading
import time

import uvicorn
from playwright.sync_api import expect

from seamlore.shelf.shelf import Shelf
from seamlore.web.app import make_app
from seamlore.web.clock import Timed
from seamlore.web.doors import Doors
from tests.once import MEMO

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
