"""Files that a user names: text read from them, results written to them, whole or not at all."""

from __future__ import annotations

import contextlib
import os
import stat
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

from seamlore import limits
from seamlore.errors import SeamloreError


@dataclass(frozen=True, slots=True)
class Written:
    """One file to be written.

    Parameters
    ----------
    path : Path
        As the user named it.
    data : str or bytes
        Text is written as UTF-8.
    what : str
        What it is, for messages.
    """

    path: Path
    data: str | bytes
    what: str

    @property
    def content(self) -> bytes:
        """What is written."""
        return self.data.encode("utf-8", "backslashreplace") if isinstance(self.data, str) else self.data


def read_text(path: Path, what: str, *, most: int = limits.FILE_BYTES) -> str:
    """Read a text file that a user named.

    Parameters
    ----------
    path : Path
    what : str
        What it should be, for messages.
    most : int
        So many bytes at most.

    Raises
    ------
    SeamloreError
        When it is not there, is a folder, is too large, or is not text.
    """
    try:
        with path.open("rb") as stream:
            data = stream.read(most + 1)
        if len(data) > most:
            raise SeamloreError(
                str(path), f"{what} has at most {most:,} bytes, and this has more", "check the name of the file"
            )
        return data.decode("utf-8-sig").replace("\r\n", "\n").replace("\r", "\n")
    except UnicodeDecodeError:
        raise SeamloreError(path.name, f"{what} is a text file in UTF-8", "save it as plain text") from None
    except (OSError, ValueError) as fault:
        raise SeamloreError(
            str(path), f"{what} cannot be read: {_reason(fault)}", "check the name of the file"
        ) from None


def write(files: Sequence[Written], *, inputs: Sequence[Path] = ()) -> None:
    """Write files, each whole or not at all; none when one of them cannot be written.

    A link is followed and stays a link. A file that is replaced keeps its mode. A device or a pipe is written into and
    never replaced.

    Parameters
    ----------
    files : sequence of Written
    inputs : sequence of Path
        Files that were read for this; none of them may be written over.

    Raises
    ------
    SeamloreError
        When one cannot be written, is read-only, or two of all the files are one.
    """
    targets = [_target(each) for each in files]
    _check_apart(files, targets, inputs)
    with contextlib.ExitStack() as beside:
        ready = []
        for each, target in zip(files, targets, strict=True):
            with _told(each):
                ready.append((each, target, beside.enter_context(_part(each, target)) if target else None))
        for each, target, part in ready:
            with _told(each):
                if part and target:
                    part.replace(target)
                else:
                    _pour(each)


def _reason(fault: Exception) -> str:
    return (getattr(fault, "strerror", None) or "no file can have that name").lower()


@contextlib.contextmanager
def _told(each: Written) -> Iterator[None]:
    try:
        yield
    except (OSError, ValueError) as fault:
        raise SeamloreError(
            str(each.path), f"{each.what} cannot be written: {_reason(fault)}", "choose another place"
        ) from None


def _target(each: Written) -> Path | None:
    """Where a file is put, links followed; None for a device or a pipe."""
    with _told(each):
        try:
            mode = each.path.stat().st_mode
        except FileNotFoundError:
            return Path(os.path.realpath(each.path))
    if stat.S_ISDIR(mode):
        raise SeamloreError(str(each.path), f"{each.what} cannot be written: it is a folder", "name a file in it")
    if not stat.S_ISREG(mode) or _printed_to(each.path):
        return None
    # Marked read-only it is meant to stay, even where whoever runs this could replace it.
    if not mode & 0o222 or not os.access(each.path, os.W_OK):
        raise SeamloreError(str(each.path), f"{each.what} cannot be written: it is read-only", "choose another place")
    return Path(os.path.realpath(each.path))


def _check_apart(files: Sequence[Written], targets: Sequence[Path | None], inputs: Sequence[Path]) -> None:
    taken = {os.path.realpath(path): "it is read here" for path in inputs}
    for each, target in zip(files, targets, strict=True):
        if target is not None and (why := taken.get(str(target))):
            raise SeamloreError(str(each.path), f"{why}, and {each.what} would replace it", "choose another place")
        taken[str(target)] = "something else is written there"


@contextlib.contextmanager
def _part(each: Written, target: Path) -> Iterator[Path]:
    """Write the whole beside its place; what has not been put there in the end is taken away."""
    # A name of its own length: the target's may be as long as a name can be.
    part = target.with_name(f".{os.urandom(8).hex()}.part")
    try:
        with part.open("xb") as stream:
            stream.write(each.content)
        if target.exists():
            part.chmod(stat.S_IMODE(target.stat().st_mode))
        yield part
    finally:
        part.unlink(missing_ok=True)


def _printed_to(path: Path) -> int:
    """The stream, 1 or 2, that this program prints to a file of this very path; 0 when it is neither."""
    for number in (1, 2):
        with contextlib.suppress(OSError):
            if os.path.samestat(os.fstat(number), path.stat()):
                return number
    return 0


def _pour(each: Written) -> None:
    """Write into a device, a pipe or a stream that is open already."""
    if number := _printed_to(each.path):
        descriptor = os.dup(number)
    else:
        # A pipe that nobody reads from would keep her waiting without end.
        descriptor = os.open(each.path, os.O_WRONLY | getattr(os, "O_NONBLOCK", 0))
        if hasattr(os, "set_blocking"):
            os.set_blocking(descriptor, True)
    with open(descriptor, "wb") as stream:
        stream.write(each.content)
