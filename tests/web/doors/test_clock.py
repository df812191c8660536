"""Connections that only wait are ended by the clock; told by raw sockets."""

from __future__ import annotations

import socket
import threading
import time
from concurrent.futures import ThreadPoolExecutor

import pytest
import uvicorn
from starlette.applications import Starlette
from starlette.responses import PlainTextResponse, StreamingResponse
from starlette.routing import Route

from seamlore.web.clock import Timed

HEAD = b"POST / HTTP/1.1\r\nHost: 127.0.0.1\r\nContent-Length: 1000000\r\n\r\n"
GET = b"GET / HTTP/1.1\r\nHost: 127.0.0.1\r\n\r\n"
LARGE = b"GET /large HTTP/1.1\r\nHost: 127.0.0.1\r\n\r\n"


class Quick(Timed):
    head_s, tick_s, least_bytes, unread_s = 2.0, 2.0, 500, 2.0


@pytest.fixture(scope="module")
def port():
    async def page(request):
        return PlainTextResponse(str(len(await request.body())))

    async def deaf(request):
        return PlainTextResponse("refused", 403)

    async def slow(request):
        import asyncio

        await asyncio.sleep(3)
        return PlainTextResponse("done")

    async def large(request):
        return StreamingResponse(b"x" * 65536 for _ in range(2000))

    app = Starlette(
        routes=[
            Route("/", page, methods=["GET", "POST"]),
            Route("/deaf", deaf, methods=["POST"]),
            Route("/slow", slow),
            Route("/large", large),
        ]
    )
    listener = socket.socket()
    listener.bind(("127.0.0.1", 0))
    config = uvicorn.Config(app, http=Quick, ws="none", log_level="error", lifespan="off", timeout_keep_alive=8)
    server = uvicorn.Server(config)
    thread = threading.Thread(target=server.run, kwargs={"sockets": [listener]}, daemon=True)
    thread.start()
    while not server.started:
        time.sleep(0.01)
    yield listener.getsockname()[1]
    server.should_exit = True
    thread.join(10)


def ended(port, first, drop=b"", *, within_s=40.0):
    """Send a beginning, then a drop again and again; whether the other side ends it, and all that it answered."""
    with socket.create_connection(("127.0.0.1", port)) as peer:
        peer.sendall(first)
        peer.settimeout(0.1)
        answer, end = b"", time.monotonic() + within_s
        while time.monotonic() < end:
            try:
                came = peer.recv(65536)
                if not came:
                    return True, answer
                answer += came
            except TimeoutError:
                pass
            except OSError:
                return True, answer
            try:
                peer.sendall(drop)
            except OSError:
                return True, answer
        return False, answer


def until(peer, end):
    """Read until the answer ends so: its head and its body come apart."""
    peer.settimeout(30)
    came = b""
    while not came.endswith(end):
        piece = peer.recv(65536)
        assert piece, came
        came += piece
    return came


WAITING = {
    "nothing": (b"", b""),
    "one letter": (b"G", b""),
    "a head without its end": (GET[:-2], b""),
    "a head by drops": (b"GET / HTTP/1.1\r\nHost: 127.0.0.1\r\n", b"X-A: b\r\n"),
    "a body that does not come": (HEAD, b""),
    "a body by drops": (HEAD, b"x"),
    "a body in pieces by drops": (
        b"POST / HTTP/1.1\r\nHost: 127.0.0.1\r\nTransfer-Encoding: chunked\r\n\r\n",
        b"1\r\nx\r\n",
    ),
    "the body of what was refused by drops": (HEAD.replace(b"/ ", b"/deaf "), b"x"),
    "an idle connection": (GET, b""),
    "a second head by drops": (GET, b"X"),
    "half a second head at once": (GET + GET[:9], b""),
    "a second body by drops": (GET + HEAD, b"x"),
}


def unread(port):
    """How much comes of a large answer that nobody reads for a while."""
    with socket.create_connection(("127.0.0.1", port)) as peer:
        peer.sendall(LARGE)
        time.sleep(5)
        peer.settimeout(30)
        came = 0
        try:
            while piece := peer.recv(1 << 20):
                came += len(piece)
        except OSError:
            pass
        return came


def slow(port):
    return ended(port, b"GET /slow HTTP/1.1\r\nHost: 127.0.0.1\r\nConnection: close\r\n\r\n")[1]


def steady(port):
    with socket.create_connection(("127.0.0.1", port)) as peer:
        peer.sendall(b"POST / HTTP/1.1\r\nHost: 127.0.0.1\r\nContent-Length: 20000\r\n\r\n")
        for _ in range(20):
            time.sleep(0.2)
            peer.sendall(b"x" * 1000)
        return until(peer, b"\r\n\r\n20000")


def two(port):
    answers = []
    with socket.create_connection(("127.0.0.1", port)) as peer:
        for wait in (3, 0):
            peer.sendall(GET)
            answers.append(until(peer, b"\r\n\r\n0"))
            time.sleep(wait)
    return answers


@pytest.fixture(scope="module")
def waited(port):
    """What became of each, all at once: the waiting is the test."""
    with ThreadPoolExecutor(len(WAITING) + 4) as pool:
        asked = {each: pool.submit(each, port) for each in (unread, slow, steady, two)}
        return asked | {name: pool.submit(ended, port, *sent) for name, sent in WAITING.items()}


@pytest.mark.parametrize("kind", WAITING)
def test_a_connection_that_only_waits_is_ended(waited, kind):
    assert waited[kind].result()[0]


def test_a_browser_that_does_not_read_what_it_asked_for_is_ended(waited):
    assert waited[unread].result() < 2000 * 65536


def test_work_that_takes_long_is_waited_for(waited):
    assert b"done" in waited[slow].result()


def test_a_body_that_comes_steadily_is_taken_however_long_it_takes(waited):
    assert waited[steady].result().startswith(b"HTTP/1.1 200")


def test_two_requests_on_one_connection_are_both_answered(waited):
    assert all(each.startswith(b"HTTP/1.1 200") for each in waited[two].result())
