"""The guard: only this machine, only its own pages, only so much."""

from __future__ import annotations

import pytest
from starlette.applications import Starlette
from starlette.responses import PlainTextResponse
from starlette.routing import Route
from starlette.testclient import TestClient

from seamlore.web.security import HEADERS, Guard


@pytest.fixture
def client():
    async def page(request):
        return PlainTextResponse(str(len(await request.body())))

    app = Guard(Starlette(routes=[Route("/", page, methods=["GET", "POST"])]), most_bytes=1000)
    return TestClient(app, base_url="http://127.0.0.1:4000")


def test_a_page_of_this_machine_is_served_with_a_strict_policy(client):
    answer = client.get("/")
    assert answer.status_code == 200
    for name, value in HEADERS.items():
        assert answer.headers[name] == value


@pytest.mark.parametrize("host", ["evil.example", "127.0.0.1.evil.example", "", "192.168.1.5:4000"])
def test_another_host_name_is_refused(client, host):
    assert client.get("/", headers={"host": host}).status_code == 400


@pytest.mark.parametrize("origin", ["http://evil.example", "http://127.0.0.1:4001", "null", ""])
def test_a_change_from_another_page_is_refused(client, origin):
    assert client.post("/", headers={"origin": origin}).status_code == 403


def test_a_change_from_its_own_page_is_taken(client):
    assert client.post("/", content=b"abc", headers={"origin": "http://127.0.0.1:4000"}).text == "3"


def test_more_than_the_limit_is_refused_whether_it_is_announced_or_not(client):
    origin = {"origin": "http://127.0.0.1:4000"}
    assert client.post("/", content=b"x" * 2000, headers=origin).status_code == 413
    assert client.post("/", content=(b"x" * 500 for _ in range(4)), headers=origin).status_code == 413
