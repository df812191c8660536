"""Connections that the clock ends: one that says nothing, or only a drop at a time, holds nothing open."""

from __future__ import annotations

import asyncio
from typing import Any

import h11
from uvicorn.protocols.http.h11_impl import H11Protocol

# A browser sends the head of a request at once, and a photograph over the loopback at more than 100 MB a second.
HEAD_S = 10.0
TICK_S = 15.0
LEAST_BYTES = 150_000
UNREAD_S = 120.0


class Timed(H11Protocol):
    """HTTP as uvicorn speaks it, with an end to waiting.

    A connection is closed when the whole head of its next request has not come `head_s` after it was made or after
    the first byte of that head; when less than `least_bytes` of a body that is waited for come in `tick_s`; when what
    is sent is not read for `unread_s`. Between requests uvicorn's own keep-alive limit ends it.
    """

    head_s, tick_s, least_bytes, unread_s = HEAD_S, TICK_S, LEAST_BYTES, UNREAD_S

    def __init__(self, *given: Any, **more: Any) -> None:
        super().__init__(*given, **more)
        self._head: asyncio.TimerHandle | None = None
        self._body: asyncio.TimerHandle | None = None
        self._unread: asyncio.TimerHandle | None = None
        self._came = 0

    def connection_made(self, transport: asyncio.Transport) -> None:  # type: ignore[override]
        """Begin to wait for the first head."""
        super().connection_made(transport)
        self._head = self.loop.call_later(self.head_s, self._end)

    def connection_lost(self, exc: Exception | None) -> None:
        """Wait for nothing more."""
        for timer in (self._head, self._body, self._unread):
            if timer is not None:
                timer.cancel()
        super().connection_lost(exc)

    def data_received(self, data: bytes) -> None:
        """Count what came, and see what is waited for now."""
        self._came += len(data)
        super().data_received(data)
        self._look()

    def on_response_complete(self) -> None:
        """See what is waited for now; requests that came early are begun by this."""
        super().on_response_complete()
        self._look()

    def _look(self) -> None:
        state = self.conn.their_state
        # Between requests the keep-alive limit holds; the first byte of a head ends it.
        within_head = state is h11.IDLE and self.timeout_keep_alive_task is None
        if self._head is not None and not within_head:
            self._head.cancel()
            self._head = None
        elif self._head is None and within_head:
            self._head = self.loop.call_later(self.head_s, self._end)
        if state is h11.SEND_BODY and self._body is None:
            self._came = 0
            self._body = self.loop.call_later(self.tick_s, self._tick)

    def _tick(self) -> None:
        self._body = None
        if self.conn.their_state is not h11.SEND_BODY:
            return
        # While the table itself is busy with what came, it takes no more in; that is not the sender's fault.
        if self._came < self.least_bytes and not self.flow.read_paused:
            self._end()
            return
        self._look()

    def pause_writing(self) -> None:
        """Begin to wait for a reader that has stopped reading."""
        super().pause_writing()
        self._unread = self.loop.call_later(self.unread_s, self._end)

    def resume_writing(self) -> None:
        """The reader goes on."""
        super().resume_writing()
        if self._unread is not None:
            self._unread.cancel()
            self._unread = None

    def _end(self) -> None:
        # Aborted, not closed: what is still to be written would be waited for.
        self.transport.abort()
