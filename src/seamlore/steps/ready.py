"""What a command starts before it loads what it needs, so that both are ready at one time."""

from __future__ import annotations

from seamlore.photo.files.decoder import DECODER


def expect_photograph() -> None:
    """Start the process that opens photographs, without waiting for it."""
    DECODER.start()
