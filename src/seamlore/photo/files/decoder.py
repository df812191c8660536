"""The process that decodes photographs: started when first needed, asked one picture at a time, ended by its limits."""

from __future__ import annotations

import atexit
import contextlib
import json
import os
import subprocess
import sys
import threading
from collections.abc import Iterator
from pathlib import Path
from typing import IO, TYPE_CHECKING, Any

from seamlore.errors import PhotoError
from seamlore.photo.files.limits import MOST_MEMORY_BYTES, MOST_S, PART

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

_REMEDY = "save it again as a plain JPEG, or make it smaller; 12 megapixels are plenty"


class Decoder:
    """A process that decodes pictures, and what asks it; threads may share one.

    Parameters
    ----------
    most_s : float
        Seconds that one picture may take.
    most_memory_bytes : int
        Memory that the process may take, where the system can hold it to that.

    Notes
    -----
    A decoder works on bytes from anywhere: it can be made to take all memory, to run for hours or to break. So it
    stands in a process that is started anew (not forked: the table has threads), holds itself to a limit of memory,
    and is ended after `most_s`. It ends by itself with the program that asked, however that ends.
    """

    def __init__(self, *, most_s: float = MOST_S, most_memory_bytes: int = MOST_MEMORY_BYTES) -> None:
        self._most_s = most_s
        self._most_memory_bytes = most_memory_bytes
        self._process: subprocess.Popen[bytes] | None = None
        self._one_at_a_time = threading.Lock()
        self._starting = threading.Lock()

    def start(self) -> subprocess.Popen[bytes]:
        """Start the process, when it is not running; it is not waited for.

        Raises
        ------
        PhotoError
            When the system starts none.
        """
        with self._starting:
            if self._process is None or self._process.poll() is not None:
                self._put_away()
                self._process = self._started()
            return self._process

    def _started(self) -> subprocess.Popen[bytes]:
        package = Path(__file__).parents[2]
        search = os.pathsep.join([str(package), *filter(None, [os.environ.get("PYTHONPATH")])])
        try:
            return subprocess.Popen(
                # -P: nothing is imported from the folder that she happens to be in.
                [sys.executable, "-P", "-m", "seamlore.photo.files.serving", str(self._most_memory_bytes)],
                stdin=subprocess.PIPE,
                stdout=subprocess.PIPE,
                stderr=subprocess.DEVNULL,
                # Memory that is only set aside counts too: one store for all threads, no store for each.
                env={**os.environ, "PYTHONPATH": search, "MALLOC_ARENA_MAX": "1", "OPENBLAS_NUM_THREADS": "1"},
                creationflags=getattr(subprocess, "CREATE_NO_WINDOW", 0),
            )
        except OSError as fault:
            raise PhotoError(
                "no photograph can be opened now",
                f"the program that unpacks them does not start ({fault.strerror})",
                "close other programs, then try again",
            ) from fault

    def end(self) -> None:
        """End the process, whatever it does; the next picture starts another."""
        with self._starting:
            if self._process is not None:
                self._process.kill()
            self._put_away()

    def _put_away(self) -> None:
        if self._process is None:
            return
        for pipe in (self._process.stdin, self._process.stdout):
            assert pipe is not None
            with contextlib.suppress(OSError):
                pipe.close()
        self._process.wait()
        self._process = None

    def decode(self, source: Path | bytes) -> tuple[NDArray[np.uint8], tuple[str, ...]]:
        """Decode a picture; others wait until it is done.

        Parameters
        ----------
        source : Path or bytes
            An ordinary file, or its content.

        Returns
        -------
        pixels : ndarray of uint8, shape (h, w, 3)
            Upright, in sRGB.
        notes : tuple of str
            What could not be honored.

        Raises
        ------
        PhotoError
            When it is refused, or takes more time or memory than it may.
        """
        with self._one_at_a_time:
            used_before = self._process is not None
            try:
                return self._once(source)
            except _DiedError:
                if not used_before:
                    raise self._broken() from None
            # It may have been ended by something else while nobody asked it anything.
            try:
                return self._once(source)
            except _DiedError:
                raise self._broken() from None

    def _once(self, source: Path | bytes) -> tuple[NDArray[np.uint8], tuple[str, ...]]:
        process = self.start()
        clock = _Clock(self._most_s, process)
        try:
            return _asked(process, source)
        except PhotoError:
            raise
        except BaseException as fault:
            # Stopped by Ctrl+C, too: what is still to come would be taken for the next picture's.
            self.end()
            if clock.has_struck:
                raise PhotoError(
                    f"a picture that takes more than {self._most_s:g} s to unpack",
                    f"{self._most_s:g} s are the most",
                    _REMEDY,
                ) from None
            if isinstance(fault, MemoryError):
                raise self._broken() from None
            if isinstance(fault, OSError):
                raise _DiedError from None
            raise
        finally:
            if clock.stop():
                self.end()

    def _broken(self) -> PhotoError:
        return PhotoError(
            "a picture that cannot be unpacked",
            f"it breaks what unpacks it, or takes more than {self._most_memory_bytes / 1e9:.1f} GB of memory",
            _REMEDY,
        )


class _Clock:
    """Ends a process after some seconds, unless it is stopped before."""

    def __init__(self, seconds: float, process: subprocess.Popen[bytes]) -> None:
        self.has_struck = False
        self._stopped = False
        self._process = process
        self._lock = threading.Lock()
        self._timer = threading.Timer(seconds, self._strike)
        self._timer.daemon = True
        self._timer.start()

    def _strike(self) -> None:
        with self._lock:
            if not self._stopped:
                self.has_struck = True
                self._process.kill()

    def stop(self) -> bool:
        """Stop it, and say whether it has ended the process already."""
        with self._lock:
            self._stopped = True
        self._timer.cancel()
        return self.has_struck


class _DiedError(Exception):
    """The process ended in the middle of its answer."""


def _asked(process: subprocess.Popen[bytes], source: Path | bytes) -> tuple[NDArray[np.uint8], tuple[str, ...]]:
    import numpy as np  # slow to import, and the process is started before it is needed

    assert process.stdin is not None
    assert process.stdout is not None
    told: dict[str, Any] = {"bytes": len(source)} if isinstance(source, bytes) else {"path": str(source.absolute())}
    process.stdin.write(json.dumps(told).encode() + b"\n")
    if isinstance(source, bytes):
        process.stdin.write(source)
    process.stdin.flush()
    notes: tuple[str, ...] = ()
    pixels = np.empty((0, 0, 3), np.uint8)
    flat, filled = memoryview(b""), 0
    for letter, count in _parts(process.stdout):
        if letter == b"P":
            # Read straight into the picture: its pixels lie in this process once.
            _fill(process.stdout, flat[filled : filled + count])
            filled += count
            continue
        body = bytearray(count)
        _fill(process.stdout, memoryview(body))
        if letter == b"H":
            said = json.loads(body)
            width, height = said["size"]
            pixels, notes = np.empty((height, width, 3), np.uint8), tuple(said["notes"])
            flat = pixels.reshape(-1).data
        elif letter == b"F":
            raise PhotoError(*json.loads(body))
        elif letter == b"M":
            raise MemoryError
        elif letter == b"E" and filled == len(flat):
            return pixels, notes
        else:
            raise _DiedError
    raise _DiedError


def _parts(answers: IO[bytes]) -> Iterator[tuple[bytes, int]]:
    while len(head := answers.read(PART.size)) == PART.size:
        letter, count = PART.unpack(head)
        yield letter, count


def _fill(answers: IO[bytes], place: memoryview) -> None:
    while place:
        count = answers.readinto(place)  # type: ignore[attr-defined]
        if not count:
            raise _DiedError
        place = place[count:]


DECODER = Decoder()
atexit.register(lambda: DECODER.end())


def _anew() -> None:
    # A copy of a program must not speak into the same pipes, nor wait for a thread that it does not have.
    global DECODER
    DECODER = Decoder()


if hasattr(os, "register_at_fork"):
    os.register_at_fork(after_in_child=_anew)
