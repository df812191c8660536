"""Files and folders of the shelf: for their owner only, there whole or not at all, and there after a power cut."""

from __future__ import annotations

import os
import threading
from collections.abc import Iterable
from contextlib import suppress
from pathlib import Path

_FOLDER, _FILE = 0o700, 0o600


def own_folder(folder: Path) -> None:
    """Make a folder that only its owner can look into, the folders over it as usual.

    Raises
    ------
    OSError
        When it cannot be made.
    """
    missing = [each for each in (folder, *folder.parents) if not each.exists()]
    folder.mkdir(mode=_FOLDER, parents=True, exist_ok=True)
    for made in missing:
        sync_folder(made.parent)


def close_to_others(folder: Path, files: Iterable[Path]) -> None:
    """Close a folder and files in it to everybody but their owner, where others could look into the folder."""
    if os.name != "nt" and folder.stat().st_mode & 0o077:
        # What the disk or another owner does not allow is no reason not to work there.
        with suppress(OSError):
            for each in files:
                if each.is_file() and not each.is_symlink():
                    each.chmod(_FILE)
            folder.chmod(_FOLDER)


def sync_folder(folder: Path) -> None:
    """Have the disk keep a folder's list of names, so that what was renamed there outlives a power cut."""
    if os.name == "nt":
        # Windows keeps it with the file, and opens no folder.
        return
    opened = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(opened)
    finally:
        os.close(opened)


def begin_file(path: Path) -> None:
    """Make an empty file for its owner only; one that is there already stays."""
    os.close(os.open(path, os.O_RDWR | os.O_CREAT, _FILE))


def put_in_place(part: Path, path: Path) -> None:
    """Give a finished file its name, replacing what had it; there is never a moment with half a file."""
    opened = os.open(part, os.O_RDWR)
    try:
        os.fsync(opened)
    finally:
        os.close(opened)
    part.replace(path)
    sync_folder(path.parent)


def write_whole(path: Path, data: bytes) -> None:
    """Write a file so that it is there whole or not at all, and for its owner only.

    Raises
    ------
    OSError
        When it cannot be written; nothing is left of it.
    """
    # A name of its own: the same file may be on its way twice.
    part = path.with_name(f"{path.name}.{threading.get_ident()}.part")
    try:
        begin_file(part)
        with part.open("wb") as stream:
            stream.write(data)
        put_in_place(part, path)
    except BaseException:
        part.unlink(missing_ok=True)
        raise


def clear_parts(folder: Path) -> None:
    """Remove what a program that was killed left half-written; only whoever holds the shelf's lock may."""
    for part in folder.glob("*.part"):
        with suppress(OSError):
            part.unlink()
