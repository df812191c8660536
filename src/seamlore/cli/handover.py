"""What a running table leaves for its owner: a secret by which a second `seamlore open` shows it, and the page that does.

Keys never stand on a command line, where every user of a computer can read them, nor in a file that others can read.
"""

from __future__ import annotations

import contextlib
import hashlib
import html
import json
import os
import stat
import sys
import time
import webbrowser
from dataclasses import dataclass
from pathlib import Path

from seamlore.web.doors import KEY_LASTS_S, make_key

_PAGES = "open-seamlore-"
PAGE = """<!doctype html>
<html lang="en-US"><head><meta charset="utf-8"><meta name="referrer" content="no-referrer"><title>Seamlore</title></head>
<body><form method="post" action="{address}enter"><input type="hidden" name="key" value="{key}">
<button>Open Seamlore</button></form><script>document.forms[0].submit()</script></body></html>
"""


@dataclass(frozen=True, slots=True)
class Table:
    """A running table: where it is, and the secret that keys to it are made of."""

    port: int
    secret: bytes

    @property
    def address(self) -> str:
        """Its address, without a key."""
        return f"http://127.0.0.1:{self.port}/"

    def address_with_key(self) -> str:
        """Its address with a new key, for her to copy into a browser: it opens the table once."""
        return f"{self.address}enter?key={make_key(self.secret)}"


def own_folder() -> Path:
    """Give the folder for what one user's running tables leave; it is made for its owner only."""
    home = Path.home()
    if sys.platform == "win32":
        above = Path(os.environ.get("LOCALAPPDATA") or home / "AppData" / "Local")
    elif sys.platform == "darwin":
        above = home / "Library" / "Application Support"
    else:
        above = Path(os.environ.get("XDG_STATE_HOME") or home / ".local" / "state")
    folder = above / "seamlore"
    folder.mkdir(parents=True, exist_ok=True, mode=0o700)
    if os.name != "nt":
        folder.chmod(0o700)
    return folder


def leave(shelf: Path, table: Table) -> Path | None:
    """Leave word of a running table for its owner and give the file; None where no file can be kept private."""
    try:
        place = _place(shelf)
        text = json.dumps({"port": table.port, "secret": table.secret.hex()})
        return place if write_private(place, text) else None
    except OSError:
        # Then only the first window knows the table; that is said when a second is asked for.
        return None


def find(shelf: Path) -> Table | None:
    """Find the running table of a shelf, when it left word that only this user can have written and read."""
    try:
        place = _place(shelf)
        if not _is_private(place):
            return None
        said = json.loads(place.read_text(encoding="utf-8"))
        return Table(int(said["port"]), bytes.fromhex(said["secret"]))
    except (OSError, ValueError, KeyError, TypeError):
        return None


def show(table: Table, shelf: Path) -> bool:
    """Open a table in the browser; False where no browser could be started.

    The browser is given a page to open, not the key, since its command line can be read by every user. The table
    itself sweeps the page away when its key is over.
    """
    page = PAGE.format(address=html.escape(table.address), key=html.escape(make_key(table.secret)))
    # First on the shelf: a browser that is kept in a box of its own reads no hidden folder.
    for on_shelf in (True, False):
        try:
            place = (shelf if on_shelf else own_folder()) / f"{_PAGES}{os.getpid()}.html"
            if write_private(place, page):
                return webbrowser.open(place.resolve().as_uri())
        except OSError:
            continue
    return False


def sweep(shelf: Path, *, all_on_shelf: bool = False) -> None:
    """Remove the pages whose key is over; at the end of a table, all that show it."""
    long_ago = time.time() - KEY_LASTS_S
    with contextlib.suppress(OSError):
        for folder in (shelf, own_folder()):
            for page in folder.glob(f"{_PAGES}*.html"):
                if (all_on_shelf and folder == shelf) or page.stat().st_mtime < long_ago:
                    page.unlink(missing_ok=True)


def write_private(place: Path, text: str) -> bool:
    """Write a file that only its owner can read, new each time; False, and no file, where the disk cannot keep that."""
    place.unlink(missing_ok=True)
    # Made anew, so that nobody has it open and no link leads elsewhere.
    file = os.open(place, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600)
    try:
        private = _is_private(place)
        if private:
            os.write(file, text.encode())
    finally:
        os.close(file)
    if not private:
        place.unlink(missing_ok=True)
    return private


def _is_private(place: Path) -> bool:
    if os.name == "nt":
        # The folders of a user are closed to others there.
        return place.is_file()
    status = place.lstat()
    return stat.S_ISREG(status.st_mode) and status.st_mode & 0o077 == 0 and status.st_uid == os.getuid()


def _place(shelf: Path) -> Path:
    return own_folder() / f"table-{hashlib.sha256(os.fsencode(shelf.resolve())).hexdigest()[:24]}.json"
