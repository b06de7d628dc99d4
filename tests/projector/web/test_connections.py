"""Which lines are ended as slow, look by look, on a connection of its own: no server, no clock."""

import asyncio
from typing import Any

from uvicorn import Config
from uvicorn.server import ServerState

from projector.web.connections import HEAD_LOOKS, LEAST_BYTES, SLOW_LOOKS, CarefulConnection

ASK = b"GET / HTTP/1.1\r\nHost: a\r\n\r\n"
SEND = b"POST / HTTP/1.1\r\nHost: a\r\nContent-Length: 9000000\r\n\r\n"


class Line(asyncio.Transport):
    """The other end of the wire: what was written, whether it was ended."""

    def __init__(self) -> None:
        super().__init__({"peername": ("192.0.2.9", 5)})
        self.is_ended = False

    def write(self, data: Any) -> None:
        pass

    def abort(self) -> None:
        self.is_ended = True

    def close(self) -> None:
        pass

    def is_closing(self) -> bool:
        return self.is_ended

    def pause_reading(self) -> None:
        pass

    def resume_reading(self) -> None:
        pass


async def answer(scope: Any, receive: Any, send: Any) -> None:
    while (await receive()).get("more_body"):
        pass
    await send({"type": "http.response.start", "status": 200, "headers": [(b"content-length", b"0")]})
    await send({"type": "http.response.body", "body": b""})


async def looks(parts: list[bytes]) -> int:
    """A look after each part; how many until the line was ended, 0: it lives."""
    line = Line()
    connection = CarefulConnection(Config(answer, lifespan="off"), ServerState(), {}, asyncio.get_running_loop())
    connection.connection_made(line)
    ended = 0
    for number, part in enumerate(parts, 1):
        if part:
            connection.data_received(part)
            for _ in range(5):  # the answer's own turns
                await asyncio.sleep(0)
        connection._look_at()
        if line.is_ended:
            ended = number
            break
    connection.connection_lost(None)
    return ended


def test_slow_lines_are_ended_and_used_ones_live() -> None:
    piece = b"x" * LEAST_BYTES
    cases = {
        "says nothing": ([b""] * 9, HEAD_LOOKS),
        "drips its head": ([b"GET / HTTP/1.1\r\n", *[b"X: y\r\n"] * 9], HEAD_LOOKS),
        "asks again and again": ([ASK, b""] * 9, 0),
        "sends half and stops": ([SEND, piece, piece, *[b""] * 9], 3 + SLOW_LOOKS),
        "drips its body": ([SEND, *[b"x"] * 9], SLOW_LOOKS),
        "sends slowly but sends": ([SEND, *[piece] * 40], 0),
        "stops for a moment": ([SEND, piece, b"", b"", piece, b"", b"", piece], 0),
    }
    for name, (parts, ended) in cases.items():
        assert asyncio.run(looks(parts)) == ended, name
