"""Photographs on the shelf: files as they came, called by their content."""

from __future__ import annotations

import hashlib
import os
import re
from pathlib import Path

from seamlore.shelf.change import ShelfError

_REFERENCE = re.compile(r"[0-9a-f]{64}\.[a-z]{3,4}\Z")


def keep(folder: Path, data: bytes, suffix: str) -> str:
    """Keep a photograph as it came and give its reference; the same photograph is kept once.

    Parameters
    ----------
    folder : Path
        Where photographs are.
    data : bytes
        The file, unchanged.
    suffix : str
        Such as "jpg".

    Examples
    --------
    >>> import tempfile
    >>> with tempfile.TemporaryDirectory() as place:
    ...     reference = keep(Path(place), b"a picture", ".JPG")
    ...     find(Path(place), reference).read_bytes(), reference[-4:]
    (b'a picture', '.jpg')
    """
    reference = f"{hashlib.sha256(data).hexdigest()}.{suffix.lower().lstrip('.')}"
    path = _path(folder, reference)
    if not path.exists():
        write_whole(path, data)
    return reference


def find(folder: Path, reference: str) -> Path:
    """Give the path of a photograph by its reference.

    Raises
    ------
    ShelfError
        When the reference is not one, or its photograph is not in the folder.
    """
    path = _path(folder, reference)
    if not path.is_file():
        raise ShelfError(
            f"photograph {reference[:12]}...",
            "it is no longer in the folder",
            "put the file back or add it again",
        )
    return path


def _path(folder: Path, reference: str) -> Path:
    # Never a path from outside: only what was made here names a file.
    if not _REFERENCE.match(reference):
        raise ShelfError(f'"{reference[:40]}"', "that is no photograph of this shelf", "choose one of the study's")
    return folder / reference


def write_whole(path: Path, data: bytes) -> None:
    """Write a file so that it is there whole or not at all."""
    part = path.with_name(path.name + ".part")
    with part.open("wb") as stream:
        stream.write(data)
        stream.flush()
        os.fsync(stream.fileno())
    part.replace(path)
