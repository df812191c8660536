"""Photographs on the shelf: files as they came, called by their content."""

from __future__ import annotations

import re
import sqlite3
from contextlib import suppress
from pathlib import Path

from seamlore.shelf.change import MissingPhotographError, ShelfError
from seamlore.shelf.faults import in_words
from seamlore.shelf.files import own_folder, write_whole

# Small pictures of the photographs, in their folder: made anew when they are lost.
THUMBNAILS = "thumbnails"
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

    Raises
    ------
    ShelfError
        When it cannot be written; nothing is left of it.

    Examples
    --------
    >>> import tempfile
    >>> with tempfile.TemporaryDirectory() as place:
    ...     reference = keep(Path(place), b"a picture", ".JPG")
    ...     find(Path(place), reference).read_bytes(), reference[-4:]
    (b'a picture', '.jpg')
    """
    reference = reference_of(data, suffix)
    path = _path(folder, reference)
    try:
        # A file under that name may be what a full disk or a careless hand left of it.
        if not (path.is_file() and path.read_bytes() == data):
            write_whole(path, data)
    except OSError as fault:
        raise in_words(fault, "the photograph") from None
    return reference


def reference_of(data: bytes, suffix: str) -> str:
    """Give the reference that a file has by its content."""
    return f"{_digest(data)}.{suffix.lower().lstrip('.')}"


def find(folder: Path, reference: str) -> Path:
    """Give the path of a photograph by its reference.

    Raises
    ------
    MissingPhotographError
        When its photograph is not in the folder.
    ShelfError
        When the reference is not one.
    """
    path = _path(folder, reference)
    if not path.is_file():
        raise MissingPhotographError(
            f"photograph {reference[:12]}...",
            "it is no longer in the folder",
            "put the file back or add it again",
        )
    return path


def read(folder: Path, reference: str) -> bytes:
    """Give a photograph, byte for byte as it came.

    Raises
    ------
    MissingPhotographError
        When it is not in the folder, cannot be read, or is no longer what was put there.
    ShelfError
        When the reference is not one.
    """
    path = find(folder, reference)
    try:
        data = path.read_bytes()
    except OSError as fault:
        raise MissingPhotographError(
            f"photograph {reference[:12]}...",
            f"it cannot be read: {(fault.strerror or 'the disk refused').lower()}",
            "put the file back or add it again",
        ) from None
    if not is_of(reference, data):
        raise MissingPhotographError(
            f"photograph {reference[:12]}...",
            "its file is damaged or was changed since it was put there",
            "put the file back or add it again",
        )
    return data


def is_of(reference: str, data: bytes) -> bool:
    """Whether a file is the photograph that a reference stands for."""
    return _digest(data) == reference.partition(".")[0]


def _digest(data: bytes) -> str:
    import hashlib  # slow to import, and a list of the shelf needs none

    return hashlib.sha256(data).hexdigest()


def remove(folder: Path, reference: str) -> None:
    """Remove a photograph and its thumbnail; one that is not there is gone already.

    Raises
    ------
    OSError
        When the disk refuses.
    """
    _path(folder, reference).unlink(missing_ok=True)
    thumbnail(folder, reference).unlink(missing_ok=True)


def clear_unwanted(database: sqlite3.Connection, folder: Path) -> None:
    """Remove the photographs of studies that were deleted; what the disk refuses now is tried again later.

    Raises
    ------
    ShelfError
        When the disk refuses.
    """
    for (reference,) in database.execute("SELECT reference FROM unwanted").fetchall():
        try:
            remove(folder, reference)
        except OSError as fault:
            raise in_words(fault, "a photograph of a quilt that was deleted") from None
        database.execute("DELETE FROM unwanted WHERE reference = ?", (reference,))


def thumbnail(folder: Path, reference: str) -> Path:
    """Give the path of a photograph's thumbnail, whether it is there or not.

    Raises
    ------
    ShelfError
        When the reference is not one.
    """
    return folder / THUMBNAILS / f"{_path(folder, reference).stem}.jpg"


def keep_thumbnail(folder: Path, reference: str, data: bytes) -> None:
    """Keep a thumbnail for the next time; where the disk refuses, it is made anew then."""
    path = thumbnail(folder, reference)
    with suppress(OSError):
        own_folder(path.parent)
        write_whole(path, data)


def any_in(folder: Path) -> bool:
    """Whether there is a photograph in a folder."""
    return folder.is_dir() and any(_REFERENCE.match(each.name) for each in folder.iterdir())


def _path(folder: Path, reference: str) -> Path:
    # Never a path from outside: only what was made here names a file.
    if not _REFERENCE.match(reference):
        raise ShelfError(f'"{reference[:40]}"', "that is no photograph of this shelf", "choose one of the study's")
    return folder / reference
