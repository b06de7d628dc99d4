"""What the page may ask beyond the snapshot: dresses drawn, lays, an order put on the table. Joins the book and the worker."""

from pathlib import Path
from typing import Any

from calibration.errors import Refused
from projector.desk.desk import Desk
from projector.desk.worker import Worker


class Pages:
    """One desk's pages."""

    def __init__(self, desk: Desk, book: Path) -> None:
        self.desk, self.book = desk, book
        self._worker, self._layer = Worker(), Worker()

    async def look(self, order: dict[str, Any]) -> Any:
        """The dress drawn and judged."""
        return await self._worker.run("look", {"order": order, "book": self.book})

    async def lay(self, order: dict[str, Any], fold: str | None) -> Any:
        """How its cloths are folded and laid; on a worker of its own, so that a long lay holds up no drawing."""
        return await self._layer.run("lay", {"order": order, "book": self.book, "fold": fold})

    async def open_order(self, name: str) -> None:
        """Put an order on the table. Where another was in hand its journal keeps its step."""
        if self.desk.open_order is None:
            raise Refused("This table shows one order.", "It was started so.", "Start `python -m projector show` with the other.")
        await self.desk.open_order(name)

    async def close(self) -> None:
        """End the workers."""
        await self._worker.close()
        await self._layer.close()
