"""One connection of the page: limited in number and in the time its request may take to come, so that nobody can hold the table up.

A request's head has to be there within seconds and its body has to keep coming; an answer that nobody takes any more ends.
"""

import asyncio
import socket
from typing import Any

import h11
from uvicorn.protocols.http.h11_impl import H11Protocol

MOST_CONNECTIONS = 300
"""Each is a file number and a few KB; the usual limit of 1024 file numbers leaves room for window, workers and jobs."""
MOST_PER_ADDRESS = 100
LOOK_EVERY_S = 4.0
HEAD_LOOKS = 3
SLOW_LOOKS = 3
LEAST_BYTES = 8 * 1024
"""Between two looks: 2 KB/s, a tenth of the slowest telephone network; a photograph of 4 MB would take half an hour."""
UNHEARD_MS = 30_000


class CarefulConnection(H11Protocol):
    """uvicorn's connection with an eye on the clock."""

    def __init__(self, *args: Any, **named: Any) -> None:
        super().__init__(*args, **named)
        self._came = 0
        self._strikes = 0
        self._look: asyncio.TimerHandle | None = None

    def connection_made(self, transport: asyncio.Transport) -> None:  # type: ignore[override]
        """Take it, unless there are too many already."""
        super().connection_made(transport)
        own = self.address
        from_there = [other for other in self.connections if isinstance(other, CarefulConnection) and other.address == own]
        if len(self.connections) > MOST_CONNECTIONS or len(from_there) > MOST_PER_ADDRESS:
            transport.abort()
            return
        self._hear(transport)
        self._look = self.loop.call_later(LOOK_EVERY_S, self._look_at)

    @property
    def address(self) -> str:
        """Where the other end is."""
        return self.client[0] if self.client else ""

    def _hear(self, transport: asyncio.Transport) -> None:
        """A phone that went out of reach says nothing: what it does not acknowledge for half a minute ends (Linux)."""
        asked = transport.get_extra_info("socket")
        if asked is not None and hasattr(socket, "TCP_USER_TIMEOUT"):
            asked.setsockopt(socket.IPPROTO_TCP, socket.TCP_USER_TIMEOUT, UNHEARD_MS)

    def data_received(self, data: bytes) -> None:
        """Count what comes."""
        self._came += len(data)
        super().data_received(data)

    def on_response_complete(self) -> None:
        """A line that is used is no slow one: counted anew from each answer."""
        self._strikes = 0
        super().on_response_complete()

    def connection_lost(self, exc: Exception | None) -> None:
        """No look any more."""
        if self._look is not None:
            self._look.cancel()
        super().connection_lost(exc)

    def _look_at(self) -> None:
        state, came, self._came = self.conn.their_state, self._came, 0
        if state is h11.IDLE:  # no whole head yet
            self._strikes += 1
            is_over = self._strikes >= HEAD_LOOKS
        elif state is h11.SEND_BODY and not self.flow.read_paused:
            self._strikes = self._strikes + 1 if came < LEAST_BYTES else 0
            is_over = self._strikes >= SLOW_LOOKS
        else:
            self._strikes, is_over = 0, False
        if is_over:
            self.transport.abort()
            return
        self._look = self.loop.call_later(LOOK_EVERY_S, self._look_at)
