"""Who may come in: a key that opens the table once, and a cookie that keeps the browser known from then on."""

from __future__ import annotations

import base64
import hashlib
import hmac
import secrets
import threading
import time
from http.cookies import CookieError, SimpleCookie

# A browser that has to be started first can take a minute on an old computer.
KEY_LASTS_S = 180
_NONCE_BYTES = 16
_MAC_BYTES = 32


class Doors:
    """What lets a browser in; one for each running table.

    A key is made by whoever can read the table's secret: the table itself, and a second `seamlore open` of the same
    owner. It says until when it may be used and is believed once. What the browser keeps is a cookie that no key
    tells.

    Parameters
    ----------
    secret : bytes, optional
        At least 32 random bytes; new ones when not given.

    Examples
    --------
    >>> doors = Doors()
    >>> key = make_key(doors.secret)
    >>> doors.admits(key), doors.admits(key)
    (True, False)
    >>> doors.knows(doors.cookie(4000), 4000), doors.knows(doors.cookie(4000), 4001), doors.knows("", 4000)
    (True, False, False)
    """

    def __init__(self, secret: bytes | None = None) -> None:
        self.secret = secret or secrets.token_bytes(32)
        self._kept = _word(hmac.digest(self.secret, b"cookie", "sha256"))
        self._used: dict[bytes, float] = {}
        self._one_at_a_time = threading.Lock()

    def admits(self, key: str) -> bool:
        """Whether a key is a true one, in time and not used before; it is used up by this."""
        try:
            held = base64.urlsafe_b64decode(key.encode("ascii") + b"=" * (-len(key) % 4))
        except ValueError:
            return False
        said, mac = held[:-_MAC_BYTES], held[-_MAC_BYTES:]
        if len(said) != _NONCE_BYTES + 8 or not hmac.compare_digest(mac, _mac(self.secret, said)):
            return False
        until, now = int.from_bytes(said[_NONCE_BYTES:], "big") / 1000, time.time()
        with self._one_at_a_time:
            self._used = {nonce: end for nonce, end in self._used.items() if end > now}
            # A clock that was set back must not make a key last.
            if not now < until <= now + KEY_LASTS_S or said[:_NONCE_BYTES] in self._used:
                return False
            self._used[said[:_NONCE_BYTES]] = until
        return True

    def cookie(self, port: int) -> str:
        """Give the cookie of a known browser, as it sends it."""
        return f"{cookie_name(port)}={self._kept}"

    def set_cookie(self, port: int) -> str:
        """Give the header that makes a browser known until it is closed: host-only, and never sent from another site."""
        return f"{self.cookie(port)}; Path=/; HttpOnly; SameSite=Strict"

    def knows(self, cookies: str, port: int) -> bool:
        """Whether a request's cookies have the right one."""
        try:
            found = SimpleCookie(cookies).get(cookie_name(port))
        except CookieError:
            return False
        return found is not None and hmac.compare_digest(found.value.encode(), self._kept.encode())


def cookie_name(port: int) -> str:
    """Name the cookie: browsers keep cookies by host and not by port, and two tables must not disturb each other."""
    return f"seamlore-{port}"


def make_key(secret: bytes, *, lasts_s: float = KEY_LASTS_S) -> str:
    """Make a key that opens a table once, within the time it lasts."""
    # Rounded down to the millisecond, so that it never lasts longer than the table believes.
    said = secrets.token_bytes(_NONCE_BYTES) + int((time.time() + lasts_s) * 1000).to_bytes(8, "big")
    return _word(said + _mac(secret, said))


def _mac(secret: bytes, said: bytes) -> bytes:
    return hmac.digest(secret, b"key" + said, hashlib.sha256)


def _word(held: bytes) -> str:
    return base64.urlsafe_b64encode(held).rstrip(b"=").decode("ascii")
