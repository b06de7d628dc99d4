"""The table ended while a page still waits for an answer: nothing frightening is written where she started it."""

import asyncio
import logging
import socket
from typing import Any, cast

import pytest

from projector.desk.serve import _server
from projector.web.guard import Guard


def test_an_answer_cut_short_at_the_end_is_no_error(capfd: pytest.CaptureFixture[str]) -> None:
    """uvicorn tells each with twenty lines of traceback; any other defect it still tells."""

    reached: set[str] = set()

    async def slow(scope: Any, receive: Any, send: Any) -> None:
        reached.add(scope["path"])
        if scope["path"] == "/defect":
            raise ValueError("a defect")
        await asyncio.sleep(60)

    async def whole() -> None:
        listening = socket.create_server(("127.0.0.1", 0))
        server = _server(cast(Guard, slow))
        running = asyncio.ensure_future(server.serve(sockets=[listening]))
        lines = []
        for path in ("/defect", "/slow"):
            _, line = await asyncio.open_connection(*listening.getsockname())
            line.write(f"GET {path} HTTP/1.1\r\nHost: a\r\n\r\n".encode())
            await line.drain()
            lines.append(line)
        while reached != {"/defect", "/slow"}:
            await asyncio.sleep(0.01)
        server.should_exit = True
        await running
        for line in lines:
            line.close()

    asyncio.run(whole())
    logging.getLogger("uvicorn.error").handlers.clear()
    told = capfd.readouterr().err
    assert "ValueError: a defect" in told
    assert "CancelledError" not in told
    assert "graceful" not in told
