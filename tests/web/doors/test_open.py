"""`seamlore open`: this machine only, the same place each time, and only its owner is shown in."""

from __future__ import annotations

import html
import os
import re
import signal
import socket
import stat
import subprocess
import sys
import time
import urllib.error
import urllib.parse
import urllib.request
from pathlib import Path

import pytest

from seamlore.cli import handover
from seamlore.cli.handover import Table
from seamlore.cli.open import USUAL_PORT, _listening
from seamlore.errors import SeamloreError
from seamlore.shelf.shelf import Shelf

posix = pytest.mark.skipif(os.name == "nt", reason="file modes and signals of POSIX")


def test_it_listens_on_the_loopback_address_only():
    with _listening(0) as listener:
        assert listener.getsockname()[0] == "127.0.0.1"


def test_a_port_that_is_taken_is_refused_when_it_was_asked_for():
    with _listening(0) as first, pytest.raises(SeamloreError, match="another program uses it"):
        _listening(first.getsockname()[1])


def test_without_a_wish_a_second_table_finds_another_port():
    with _listening(None) as first, _listening(None) as second:
        assert first.getsockname()[1] != second.getsockname()[1]
        assert second.getsockname()[1] != USUAL_PORT


@pytest.fixture
def home(tmp_path, monkeypatch):
    """A home of its own, and a browser that only notes what it is asked to open."""
    place = tmp_path / "home"
    place.mkdir()
    browser = tmp_path / "browser"
    browser.write_text(f'#!/bin/sh\nprintf "%s\\n" "$@" >> {tmp_path}/opened\n')
    browser.chmod(0o755)
    monkeypatch.setenv("HOME", str(place))
    monkeypatch.delenv("XDG_STATE_HOME", raising=False)
    monkeypatch.setenv("BROWSER", f"{browser} %s")
    return place


class Running:
    """`seamlore open` as a program of its own, and what it printed."""

    def __init__(self, shelf, *more):
        words = [sys.executable, "-m", "seamlore.cli.main", "open", "--shelf", str(shelf), *more]
        self.process = subprocess.Popen(words, stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True)

    def until(self, wanted):
        said = ""
        for line in self.process.stdout:
            said += line
            if wanted in line:
                return line
        raise AssertionError(said)

    def end(self, how=signal.SIGINT):
        self.process.send_signal(how)
        self.process.wait(20)
        self.process.stdout.close()


def status(address, cookie="", data=None):
    request = urllib.request.Request(address, data=data, headers={"cookie": cookie} if cookie else {})
    try:
        with urllib.request.urlopen(request, timeout=20) as answer:
            return answer.status, answer.headers.get("set-cookie", "")
    except urllib.error.HTTPError as fault:
        return fault.code, ""


def opened_page(tmp_path, count):
    """The text of the last page that the browser was asked to open, once it was asked so many times."""
    end = time.monotonic() + 60
    while time.monotonic() < end:
        noted = (tmp_path / "opened").read_text().split() if (tmp_path / "opened").exists() else []
        if len(noted) == count:
            return Path(urllib.parse.unquote(urllib.parse.urlsplit(noted[-1]).path)), noted[-1]
        time.sleep(0.05)
    raise AssertionError("the browser was not asked")


def form_of(page):
    text = page.read_text()
    return html.unescape(re.search('action="([^"]*)"', text)[1]), html.unescape(re.search('value="([^"]*)"', text)[1])


@posix
@pytest.mark.parametrize("how", [signal.SIGINT, signal.SIGTERM])
def test_the_whole_way_in_and_a_second_open_shows_the_same_table(home, tmp_path, how):
    shelf = tmp_path / "my quilts"
    first = Running(shelf, "--port", "0")
    try:
        address = first.until("open at").split()[-1]
        page, asked = opened_page(tmp_path, 1)
        # What stands on a command line can be read by every user: no key, no secret, only the name of a file.
        assert asked.startswith("file://")
        action, key = form_of(page)
        assert action == f"{address}enter"
        assert key not in asked
        assert status(address)[0] == 403
        entered, cookie = status(action, data=f"key={key}".encode())
        assert entered == 200
        assert status(action, data=f"key={key}".encode())[0] == 403
        cookie = cookie.split(";")[0]
        assert status(address, cookie)[0] == 200

        second = Running(shelf)
        assert address in second.until("open already")
        assert second.process.wait(20) == 0
        action, key = form_of(opened_page(tmp_path, 2)[0])
        assert status(action, data=f"key={key}".encode())[0] == 200
        # The first window is not disturbed.
        assert status(address, cookie)[0] == 200

        third = Running(shelf, "--no-browser")
        assert status(third.until("/enter?key=").split()[-1])[0] == 200
        assert third.process.wait(20) == 0

        watching = Running(shelf, "--watch", str(tmp_path))
        watching.until("close that Seamlore first")
        assert watching.process.wait(20) == 2

        left = [*shelf.rglob("*"), *handover.own_folder().rglob("*"), handover.own_folder()]
        assert len([each for each in left if each.is_file()]) >= 4
        assert [each for each in left if stat.S_IMODE(each.stat().st_mode) & 0o077] == []
    finally:
        first.end(how)
    assert list(handover.own_folder().iterdir()) == []
    assert list(shelf.glob("*.html")) == []


@posix
def test_a_shelf_that_is_held_but_shows_no_table_is_refused_as_before(home, tmp_path):
    folder = tmp_path / "shelf"
    with Shelf(folder):
        # What a table that was killed has left: nothing answers there any more.
        handover.leave(folder, Table(_free_port(), b"x" * 32))
        second = Running(folder)
        second.until("another Seamlore has it open")
        assert second.process.wait(20) == 2


@posix
def test_after_a_kill_the_next_open_starts_anew(home, tmp_path):
    folder = tmp_path / "shelf"
    first = Running(folder, "--port", "0", "--no-browser")
    old = first.until("/enter?key=").split()[-1]
    first.end(signal.SIGKILL)
    second = Running(folder, "--port", "0", "--no-browser")
    try:
        new = second.until("/enter?key=").split()[-1]
        key = old.split("key=")[1]
        assert status(new.split("?")[0] + f"?key={key}")[0] == 403
        assert status(new)[0] == 200
    finally:
        second.end()


def _free_port():
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        return free.getsockname()[1]


@posix
def test_word_of_a_table_that_others_could_have_written_or_read_is_not_believed(home, tmp_path):
    table = Table(4000, b"s" * 32)
    place = handover.leave(tmp_path, table)
    assert handover.find(tmp_path) == table
    place.chmod(0o644)
    assert handover.find(tmp_path) is None
    place.unlink()
    real = tmp_path / "elsewhere"
    assert handover.write_private(real, '{"port": 1, "secret": "00"}')
    place.symlink_to(real)
    assert handover.find(tmp_path) is None


@posix
@pytest.mark.parametrize("text", ["", "{", "[]", '{"port": "x"}', '{"port": 1, "secret": "zz"}', "\0"])
def test_damaged_word_of_a_table_is_not_believed(home, tmp_path, text):
    place = handover.leave(tmp_path, Table(4000, b"s" * 32))
    place.write_text(text)
    assert handover.find(tmp_path) is None


@posix
def test_what_was_there_before_is_made_anew_and_no_link_is_followed(home, tmp_path):
    victim, place = tmp_path / "victim", tmp_path / "page.html"
    victim.write_text("mine")
    place.symlink_to(victim)
    assert handover.write_private(place, "secret")
    assert victim.read_text() == "mine"
    assert not place.is_symlink()
    assert stat.S_IMODE(place.stat().st_mode) == 0o600


@posix
def test_where_the_disk_keeps_nothing_private_nothing_is_written(home, tmp_path, monkeypatch):
    monkeypatch.setattr(handover, "_is_private", lambda place: False)
    assert not handover.write_private(tmp_path / "page.html", "secret")
    assert handover.leave(tmp_path, Table(4000, b"s" * 32)) is None
    assert not handover.show(Table(4000, b"s" * 32), tmp_path)
    assert [each for each in tmp_path.rglob("*") if each.is_file() and "secret" in each.read_text()] == []


@posix
def test_pages_of_keys_that_are_over_are_swept_away_and_others_stay(home, tmp_path):
    old, new = tmp_path / "open-seamlore-1.html", tmp_path / "open-seamlore-2.html"
    for each in (old, new):
        each.write_text("")
    os.utime(old, (1, 1))
    handover.sweep(tmp_path)
    assert [each for each in tmp_path.iterdir() if each.suffix == ".html"] == [new]
    handover.sweep(tmp_path, all_on_shelf=True)
    assert not new.exists()
