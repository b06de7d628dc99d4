"""Who listens to the snapshot: each page gets the newest, never a backlog."""

import asyncio
from collections.abc import AsyncIterator

from projector.session.snapshot import Snapshot

ALIVE_EVERY_S = 5.0


class Heard:
    """The pages that listen."""

    def __init__(self) -> None:
        self._queues: set[asyncio.Queue[Snapshot | None]] = set()

    def tell(self, snapshot: Snapshot | None) -> None:
        """The newest for everyone; None: it is over."""
        for queue in self._queues:
            while not queue.empty():
                queue.get_nowait()  # a slow page gets the newest only
            queue.put_nowait(snapshot)

    async def listen(self, first: Snapshot) -> AsyncIterator[Snapshot | None]:
        """`first`, then each newer one until the end. None is a sign of life when nothing has changed for a while."""
        queue: asyncio.Queue[Snapshot | None] = asyncio.Queue()
        self._queues.add(queue)
        try:
            newer: Snapshot | None = first
            while newer is not None:
                yield newer
                while not (heard := await _within(queue, ALIVE_EVERY_S)):
                    yield None
                newer = heard[0]
        finally:
            self._queues.discard(queue)


async def _within(queue: "asyncio.Queue[Snapshot | None]", patience_s: float) -> list[Snapshot | None]:
    """One entry of the queue; none when nothing came for so long."""
    try:
        return [await asyncio.wait_for(queue.get(), patience_s)]
    except TimeoutError:
        return []
