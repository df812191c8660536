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
from seamlore.photo.limits import MOST_MEMORY_BYTES, MOST_S, PART

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

    Notes
    -----
    A decoder works on bytes from anywhere: it can be made to take all memory, to run for hours or to break. So it
    stands in a process that is started anew (not forked: the table has threads), holds itself to a limit of memory,
    and is ended after `most_s`. It ends by itself with the program that asked, however that ends.
    """

    def __init__(self, *, most_s: float = MOST_S) -> None:
        self._most_s = most_s
        self._process: subprocess.Popen[bytes] | None = None
        self._one_at_a_time = threading.Lock()
        self._starting = threading.Lock()

    def start(self) -> subprocess.Popen[bytes]:
        """Start the process, when it is not running; it is not waited for."""
        with self._starting:
            if self._process is None or self._process.poll() is not None:
                self._put_away()
                package = Path(__file__).parents[2]
                search = os.pathsep.join([str(package), *filter(None, [os.environ.get("PYTHONPATH")])])
                self._process = subprocess.Popen(
                    # -P: nothing is imported from the folder that she happens to be in.
                    [sys.executable, "-P", "-m", "seamlore.photo.decoding"],
                    stdin=subprocess.PIPE,
                    stdout=subprocess.PIPE,
                    stderr=subprocess.DEVNULL,
                    # Memory that is only set aside counts too: one store for all threads, no store for each.
                    env={**os.environ, "PYTHONPATH": search, "MALLOC_ARENA_MAX": "1", "OPENBLAS_NUM_THREADS": "1"},
                    creationflags=getattr(subprocess, "CREATE_NO_WINDOW", 0),
                )
            return self._process

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
            process = self.start()
            late = threading.Event()

            def over() -> None:
                late.set()
                process.kill()

            clock = threading.Timer(self._most_s, over)
            clock.daemon = True
            clock.start()
            try:
                return _asked(process, source)
            except (_DiedError, OSError):
                self.end()
                raise _too_long(self._most_s) if late.is_set() else _too_much() from None
            except PhotoError:
                raise
            except BaseException:
                # Stopped by Ctrl+C, say: what is still to come would be taken for the next picture's.
                self.end()
                raise
            finally:
                clock.cancel()


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


def _too_long(most_s: float) -> PhotoError:
    return PhotoError(f"a picture that takes more than {most_s:g} s to unpack", f"{most_s:g} s are the most", _REMEDY)


def _too_much() -> PhotoError:
    return PhotoError(
        "a picture that cannot be unpacked",
        f"it breaks what unpacks it, or takes more than {MOST_MEMORY_BYTES / 1e9:.1f} GB of memory",
        _REMEDY,
    )


DECODER = Decoder()
atexit.register(lambda: DECODER.end())


def _anew() -> None:
    # A copy of a program must not speak into the same pipes, nor wait for a thread that it does not have.
    global DECODER
    DECODER = Decoder()


if hasattr(os, "register_at_fork"):
    os.register_at_fork(after_in_child=_anew)
