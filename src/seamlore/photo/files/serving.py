"""The process that decodes pictures: started and ended by `decoder`, within limits of memory."""

from __future__ import annotations

import contextlib
import io
import json
import os
import signal
import sys
from typing import BinaryIO

from seamlore.errors import PhotoError
from seamlore.photo.files.decoding import decode, plain
from seamlore.photo.files.limits import KINDS, PART

# The process. A request is one line of JSON, {"path": ...} or {"bytes": n} and then so many bytes; an answer is made of
# parts, each a letter, a length and its bytes: F a refusal (JSON), H size and notes (JSON), P rows of pixels, E the end.


def serve(requests: BinaryIO, answers: BinaryIO) -> None:
    """Answer requests until there are no more."""

    def tell(letter: bytes, body: bytes = b"") -> None:
        answers.write(PART.pack(letter, len(body)))
        answers.write(body)

    while line := requests.readline():
        asked = json.loads(line)
        try:
            with (
                open(asked["path"], "rb")
                if "path" in asked
                else io.BytesIO(_exactly(requests, asked["bytes"])) as file
            ):
                found = decode(file)
                tell(b"H", json.dumps({"size": found.size_px, "notes": found.notes}).encode())
                for strip in found.strips():
                    tell(b"P", strip)
            tell(b"E")
        except PhotoError as fault:
            tell(b"F", json.dumps([fault.given, fault.limit, fault.remedy]).encode())
        except OSError as fault:
            told = [f"the file cannot be opened ({plain(fault)})", KINDS, "check that it may be read"]
            tell(b"F", json.dumps(told).encode())
        except (MemoryError, ImportError):
            # A library that does not load has no room for itself.
            # What is left in memory by a decoder that was cut off is nobody's to say: the next one begins anew.
            tell(b"M")
            answers.flush()
            return
        answers.flush()
        found = file = None  # type: ignore[assignment]  # a large picture is not kept until the next one comes


def _exactly(requests: BinaryIO, count: int) -> bytes:
    held = requests.read(count)
    if len(held) < count:
        raise EOFError
    return held


def main(most_memory_bytes: int) -> None:
    """Run as the process that decodes, within its limits, until nobody asks any more."""
    # Decoders write their complaints where they like; what is asked for is told on a file of its own.
    answers = os.fdopen(os.dup(1), "wb")
    nowhere = os.open(os.devnull, os.O_WRONLY)
    os.dup2(nowhere, 1)
    os.dup2(nowhere, 2)
    # Ctrl+C is for the program that asks; when it ends, there are no more requests.
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    if sys.platform != "win32":
        import resource  # not there on Windows

        for kind, most in ((resource.RLIMIT_AS, most_memory_bytes), (resource.RLIMIT_CORE, 0)):
            # Where a system does not keep one of them, the bytes counted above are the limit.
            with contextlib.suppress(ValueError, OSError):
                resource.setrlimit(kind, (most, most))
    with contextlib.suppress(EOFError, BrokenPipeError):
        serve(sys.stdin.buffer, answers)


if __name__ == "__main__":
    main(int(sys.argv[1]))
