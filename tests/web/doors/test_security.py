"""The guard: only this machine, only a browser that it knows, only its own pages, only so much."""

from __future__ import annotations

import re

import pytest
from starlette.applications import Starlette
from starlette.responses import PlainTextResponse
from starlette.routing import Route
from starlette.testclient import TestClient
from starlette.websockets import WebSocketDisconnect

from seamlore.web.doors import Doors, make_key
from seamlore.web.security import HEADERS, Guard

ADDRESS = "http://127.0.0.1:4000"


class Asked:
    """An application that counts the requests which reach it: a refused one starts no work."""

    def __init__(self):
        self.times = 0
        self.doors = Doors()

        async def page(request):
            self.times += 1
            return PlainTextResponse(str(len(await request.body())))

        app = Starlette(routes=[Route("/{rest:path}", page, methods=["GET", "POST"])])
        self.guard = Guard(app, most_bytes=1000, doors=self.doors)


@pytest.fixture
def asked():
    return Asked()


@pytest.fixture
def stranger(asked):
    return TestClient(asked.guard, base_url=ADDRESS)


@pytest.fixture
def client(asked):
    return TestClient(asked.guard, base_url=ADDRESS, headers={"cookie": asked.doors.cookie(4000)})


def test_a_page_of_this_machine_is_served_with_a_strict_policy(client):
    answer = client.get("/")
    assert answer.status_code == 200
    for name, value in HEADERS.items():
        assert answer.headers[name] == value


@pytest.mark.parametrize(
    "host",
    [
        "evil.example",
        "127.0.0.1.evil.example",
        "",
        "192.168.1.5:4000",
        "127.0.0.1",
        "127.0.0.1:4001",
        "0.0.0.0:4000",
        "[",
    ],
)
def test_another_host_name_or_port_is_refused(client, asked, host):
    assert client.get("/", headers={"host": host}).status_code == 400
    assert client.get("/enter", headers={"host": host}).status_code == 400
    assert asked.times == 0


@pytest.mark.parametrize(
    "origin", ["http://evil.example", "http://127.0.0.1:4001", "https://127.0.0.1:4000", "null", "", "http://["]
)
def test_a_change_from_another_page_is_refused(client, asked, origin):
    assert client.post("/", headers={"origin": origin}).status_code == 403
    assert asked.times == 0


def test_a_change_from_its_own_page_is_taken(client):
    assert client.post("/", content=b"abc", headers={"origin": ADDRESS}).text == "3"
    assert client.post("/", content=b"abc", headers={"referer": f"{ADDRESS}/study/1/look"}).text == "3"


def test_more_than_the_limit_is_refused_whether_it_is_announced_or_not(client):
    origin = {"origin": ADDRESS}
    assert client.post("/", content=b"x" * 2000, headers=origin).status_code == 413
    assert client.post("/", content=(b"x" * 500 for _ in range(4)), headers=origin).status_code == 413


@pytest.mark.parametrize("length", ["²", "-1", "1e9", "9" * 5000, "٣"])
def test_a_length_that_is_no_number_is_refused(client, asked, length):
    headers = {"origin": ADDRESS, "content-length": length.encode()}
    assert client.post("/", headers=headers).status_code == 413
    assert asked.times == 0


# Fetch metadata (W3C, "Fetch Metadata Request Headers"): what a browser says of each kind of request by itself.
FROM_ELSEWHERE = {
    "a picture on another site": {
        "sec-fetch-site": "cross-site",
        "sec-fetch-mode": "no-cors",
        "sec-fetch-dest": "image",
    },
    "a script on another site": {
        "sec-fetch-site": "cross-site",
        "sec-fetch-mode": "no-cors",
        "sec-fetch-dest": "script",
    },
    "a script's question": {
        "sec-fetch-site": "cross-site",
        "sec-fetch-mode": "cors",
        "origin": "http://evil.example",
    },
    "a question of an old browser": {"origin": "http://evil.example"},
    "a picture on a page of another port": {"sec-fetch-site": "same-site", "sec-fetch-mode": "no-cors"},
    "a frame on another site": {
        "sec-fetch-site": "cross-site",
        "sec-fetch-mode": "navigate",
        "sec-fetch-dest": "iframe",
    },
    "a link on another site": {
        "sec-fetch-site": "cross-site",
        "sec-fetch-mode": "navigate",
        "sec-fetch-dest": "document",
    },
    "a link on a page of another port": {"sec-fetch-site": "same-site", "sec-fetch-mode": "navigate"},
}


@pytest.mark.parametrize("kind", FROM_ELSEWHERE)
@pytest.mark.parametrize("method", ["GET", "HEAD", "POST"])
def test_what_comes_from_elsewhere_starts_no_work_though_the_cookie_came_along(client, asked, kind, method):
    assert client.request(method, "/study/1/look", headers=FROM_ELSEWHERE[kind]).status_code == 403
    assert asked.times == 0


@pytest.mark.parametrize("site", ["same-origin", "none"])
def test_her_own_pages_and_her_bookmarks_are_served(client, asked, site):
    # A bookmark, a typed address and a second tab come from nowhere.
    headers = {"sec-fetch-site": site, "sec-fetch-mode": "navigate", "sec-fetch-dest": "document"}
    assert client.get("/study/1/look", headers=headers).status_code == 200
    assert asked.times == 1


@pytest.mark.parametrize("path", ["/", "/study/1/look", "/static/table.js", "/fonts/x.ttf", "/enterprise"])
def test_without_the_cookie_nothing_is_served_but_how_to_open_it_again(stranger, asked, path):
    answer = stranger.get(path)
    assert answer.status_code == 403
    assert "Open Seamlore once more" in answer.text
    assert answer.headers["cache-control"] == "no-store"
    assert stranger.post(path, headers={"origin": ADDRESS}).status_code == 403
    assert asked.times == 0


def test_a_part_of_a_page_and_a_script_are_told_in_their_own_way(stranger):
    part = stranger.get("/", headers={"hx-request": "true"})
    assert part.headers["hx-retarget"] == "#notices"
    assert "<html" not in part.text
    assert set(stranger.get("/", headers={"accept": "application/json"}).json()) == {"error", "says"}


def test_the_style_of_the_page_at_the_door_is_the_one_that_its_policy_names(stranger):
    import base64
    import hashlib

    answer = stranger.get("/")
    style = re.search(r"<style>(.*?)</style>", answer.text, re.S).group(1)
    named = base64.b64encode(hashlib.sha256(style.encode()).digest()).decode()
    assert f"style-src 'sha256-{named}'" in answer.headers["content-security-policy"]


@pytest.mark.parametrize("method", ["GET", "POST"])
def test_a_key_lets_a_browser_in_once_and_leads_it_on_without_the_key(asked, stranger, method):
    key = make_key(asked.doors.secret)
    # From the page that opens it: a file, which browsers count as another site of no origin.
    headers = {"sec-fetch-site": "cross-site", "sec-fetch-mode": "navigate", "origin": "null"}
    given = {"params": {"key": key}} if method == "GET" else {"data": {"key": key}}
    answer = stranger.request(method, "/enter", headers=headers, **given)
    assert answer.status_code == 200
    assert '<meta http-equiv="refresh" content="0; url=/">' in answer.text
    assert key not in answer.text
    assert answer.headers["referrer-policy"] == "no-referrer"
    assert answer.headers["set-cookie"].startswith("seamlore-4000=")
    assert stranger.get("/").status_code == 200
    another = TestClient(asked.guard, base_url=ADDRESS)
    refused = another.request(method, "/enter", headers=headers, **given)
    assert refused.status_code == 403
    assert "set-cookie" not in refused.headers
    # Opened again by her who is known, such as by the way back, it just leads on.
    assert stranger.request(method, "/enter", **given).status_code == 200
    assert asked.times == 1


def test_a_key_is_not_taken_from_a_script_or_a_picture(asked, stranger):
    key = make_key(asked.doors.secret)
    for mode in ("cors", "no-cors", "websocket"):
        assert stranger.get("/enter", params={"key": key}, headers={"sec-fetch-mode": mode}).status_code == 403
    assert stranger.get("/enter", params={"key": key}).status_code == 200


@pytest.mark.parametrize("body", [b"", b"key=", b"key=" + b"x" * 100_000, b"&" * 900, b"\xff\xfe", b"key=%ff%00"])
def test_what_is_no_key_is_shown_the_door(stranger, body):
    assert stranger.post("/enter", content=body).status_code == 403
    assert stranger.get("/enter", params={"key": body[:500]}).status_code == 403


def test_no_other_kind_of_connection_is_taken(client):
    with pytest.raises(WebSocketDisconnect), client.websocket_connect("/"):
        pass
