"""What the page may ask beyond the snapshot: dresses drawn, lays, an order put on the table. Joins the book and the worker."""

from pathlib import Path
from typing import Any

from calibration.errors import Refused
from projector.desk.desk import Desk
from projector.desk.on_table import OnTable
from projector.desk.worker import Worker
from projector.steps.step import Step


class Pages:
    """One desk's pages."""

    def __init__(self, desk: Desk, book: Path, on_table: OnTable | None = None) -> None:
        self.desk, self.book, self._on_table = desk, book, on_table
        self._worker, self._layer = Worker(), Worker()

    async def look(self, order: dict[str, Any]) -> Any:
        """The dress drawn and judged."""
        return await self._worker.run("look", {"order": order, "book": self.book})

    async def lay(self, order: dict[str, Any], fold: str | None) -> Any:
        """How its cloths are folded and laid; on a worker of its own, so that a long lay holds up no drawing."""
        return await self._layer.run("lay", {"order": order, "book": self.book, "fold": fold})

    def table(self) -> OnTable:
        """The order on the table. Raises Refused where the desk was started with fixed steps."""
        if self._on_table is None:
            raise Refused("This table shows one order.", "It was started so.", "Start `python -m projector show` with the other.")
        return self._on_table

    async def open_order(self, name: str) -> None:
        """Put an order on the table. Where another was in hand its journal keeps its step."""
        await self.table().open(name)

    def changeable(self, step: Step) -> list[bool]:
        """For each number of a tape check: whether she may change it."""
        return [self._on_table is not None and self._on_table.moves(read) for read in step.tapes]

    async def retape(self, place: int, typed: str) -> None:
        """One number of the tape check now shown, as typed."""
        await self.table().retape(self._worker.run, place, typed)

    async def close(self) -> None:
        """End the workers."""
        await self._worker.close()
        await self._layer.close()
