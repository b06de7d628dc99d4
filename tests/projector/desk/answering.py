"""A desk that answers over HTTP while a block runs: the page as `show` serves it, without a program of its own."""

import asyncio
from collections.abc import AsyncIterator, Callable
from contextlib import asynccontextmanager
from typing import Any

from projector.desk.desk import Desk
from projector.desk.serve import Serving, serve

PATIENCE_S = 60.0


async def until(desk: Desk, is_so: Callable[[], bool]) -> None:
    """Wait for what the window tells the desk until it is so."""
    async with asyncio.timeout(PATIENCE_S):
        while not is_so():
            await desk.until_news()


async def _nothing() -> None:
    """There is no order to prepare."""


@asynccontextmanager
async def answering(desk: Desk, serving: Serving | None = None, open_window: Callable[[], None] = lambda: None) -> AsyncIterator[str]:
    """The page's address, with the code where it asks for one; at the end of the block the desk is ended and waited for."""
    told: asyncio.Future[str] = asyncio.get_running_loop().create_future()
    running = asyncio.ensure_future(serve(desk, serving or Serving(), open_window, _nothing, lambda url, _: told.set_result(url)))
    waited: set[asyncio.Future[Any]] = {told, running}
    await asyncio.wait(waited, timeout=PATIENCE_S, return_when=asyncio.FIRST_COMPLETED)
    if running.done():
        running.result()  # what kept it from answering
    assert told.done(), "it does not answer"
    try:
        yield told.result()
    finally:
        desk.ended.set()
        await asyncio.wait_for(running, PATIENCE_S)
