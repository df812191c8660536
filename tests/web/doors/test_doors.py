"""The keys and the cookie: once, in time, for this port, from this table only."""

from __future__ import annotations

import base64
import time
from threading import Thread

import pytest

from seamlore.web import doors as module
from seamlore.web.doors import KEY_LASTS_S, Doors, make_key


@pytest.fixture
def doors():
    return Doors()


def test_a_key_opens_once(doors):
    key = make_key(doors.secret)
    assert doors.admits(key)
    assert not doors.admits(key)


def test_a_key_used_by_many_at_once_opens_for_one(doors):
    key, answers = make_key(doors.secret), []
    threads = [Thread(target=lambda: answers.append(doors.admits(key))) for _ in range(20)]
    for each in threads:
        each.start()
    for each in threads:
        each.join()
    assert sum(answers) == 1


@pytest.mark.parametrize(
    ("after_s", "opens"), [(0, True), (KEY_LASTS_S - 1, True), (KEY_LASTS_S + 1, False), (-60, False)]
)
def test_a_key_opens_only_in_time_even_when_the_clock_is_set_back(doors, monkeypatch, after_s, opens):
    key, now = make_key(doors.secret), time.time()
    monkeypatch.setattr(module.time, "time", lambda: now + after_s)
    assert doors.admits(key) is opens


def changed(key, place):
    """The key with one bit of its bytes turned."""
    held = bytearray(base64.urlsafe_b64decode(key + "=" * (-len(key) % 4)))
    held[place] ^= 1
    return base64.urlsafe_b64encode(bytes(held)).decode().rstrip("=")


@pytest.mark.parametrize("place", [0, 15, 16, 23, 24, 55])
def test_a_key_that_was_changed_does_not_open(doors, place):
    assert not doors.admits(changed(make_key(doors.secret), place))


@pytest.mark.parametrize("key", ["", "x", "=", "é", "A" * 75, "A" * 10_000, "../../etc"])
def test_what_is_no_key_does_not_open(doors, key):
    assert not doors.admits(key)


def test_a_key_of_another_table_does_not_open(doors):
    assert not doors.admits(make_key(Doors().secret))


def test_the_cookie_is_for_its_port_and_its_table(doors):
    assert doors.knows(doors.cookie(4000), 4000)
    assert not doors.knows(doors.cookie(4000), 4001)
    assert not doors.knows(Doors().cookie(4000), 4000)
    assert not doors.knows("seamlore-4000=", 4000)
    # Browsers keep cookies by host: another program's stand beside it.
    assert doors.knows(f"theme=dark; {doors.cookie(4001)}; {doors.cookie(4000)}", 4000)


def test_the_cookie_tells_no_key_and_no_script_and_no_other_site_gets_it(doors):
    told = doors.set_cookie(4000).split("; ")
    assert told[0] == doors.cookie(4000)
    assert set(told[1:]) == {"Path=/", "HttpOnly", "SameSite=Strict"}
    assert doors.secret.hex() not in told[0]
    assert not doors.admits(told[0].split("=", 1)[1])
