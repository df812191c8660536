"""A table over a shelf of its own, asked in process; and the demo study on it, read once for all tests."""

from __future__ import annotations

import re

import pytest
from starlette.testclient import TestClient

from seamlore.shelf.shelf import Shelf
from seamlore.steps.demo import demo_inputs
from seamlore.web.app import make_app
from seamlore.web.pages.studies import begin_study
from tests.once import MEMO

ADDRESS = "http://127.0.0.1:4000"


def client_of(app):
    """Give a browser that the table knows."""
    cookies = dict([app.doors.cookie(4000).split("=", 1)])
    return TestClient(
        app, base_url=ADDRESS, headers={"origin": ADDRESS}, cookies=cookies, raise_server_exceptions=False
    )


@pytest.fixture(name="client_of")
def _client_of():
    return client_of


@pytest.fixture
def shelf(tmp_path):
    with Shelf(tmp_path / "shelf") as opened:
        yield opened


@pytest.fixture
def desk(shelf):
    """The desk of a table; its `app` is asked by `client`."""
    app = make_app(shelf)
    found = app.app.state.desk
    found.memo = MEMO
    # What is put on cards beside what goes on is tested by itself.
    found.carding.close()
    found.guarded = app
    yield found
    # What still works in the background when the tests end would take the interpreter down.
    found.close()


@pytest.fixture
def client(desk):
    return client_of(desk.guarded)


@pytest.fixture
def demo(desk):
    """The demo study with all that its owner measured and knows; gives its number."""
    inputs = demo_inputs()
    number = begin_study(desk, inputs.photo, "demo.jpg")
    desk.shelf.rename(number, inputs.about.name)
    sections = (inputs.about, inputs.tape, inputs.choice, inputs.making, inputs.label)
    desk.changes(number, [(section, 0, "entered what is known") for section in sections])
    desk.study(number).job.look  # noqa: B018 - kept by the memo
    return number


@pytest.fixture
def base_of(desk):
    """Give the revision of a section, as a form that was just shown sends it."""
    return lambda number, section: str(desk.study(number).revisions[section])


@pytest.fixture
def answer_in():
    """Give the sentence at the top of a page or of a part of one."""
    return lambda text: " ".join(re.search(r'<h1 id="answer"[^>]*>(.*?)</h1>', text, re.S).group(1).split())
