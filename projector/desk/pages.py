"""What the page may ask beyond the snapshot: dresses drawn, lays, an order put on the table. Joins the book and the worker."""

import asyncio
from pathlib import Path
from typing import Any

from calibration.errors import Refused
from calibration.table import Table
from projector.desk import jobs
from projector.desk.desk import Desk
from projector.desk.hand_lay import HandLay
from projector.desk.on_table import OnTable
from projector.desk.parked import parked
from projector.desk.worker import Worker
from projector.session.snapshot import Message
from projector.steps.step import Step

LAY_LIMIT_S = 120.0
"""Ten times what a lay is given to search: the first lay of a slow laptop is still waited for."""


class Pages:
    """One desk's pages."""

    def __init__(self, desk: Desk, book: Path, on_table: OnTable | None = None) -> None:
        self.desk, self.book, self._on_table = desk, book, on_table
        self._worker, self._layer = Worker(), Worker(LAY_LIMIT_S)
        self._warming: asyncio.Future[Any] | None = None
        self._said: dict[str, tuple[tuple[Step, ...], list[Any]]] = {}
        self._hand = HandLay(book, self._layer.run)

    def warm(self) -> None:
        """A phone has opened the page: have the worker ready before the first number is typed."""
        if self._warming is None:
            self._warming = asyncio.ensure_future(self._worker.run("ready", {}))
            self._warming.add_done_callback(lambda done: done.cancelled() or done.exception())  # told when it is really asked

    async def look(self, order: dict[str, Any], with_pieces: bool) -> Any:
        """The dress drawn and judged."""
        return await self._worker.run("look", {"order": order, "book": self.book, "with_pieces": with_pieces})

    async def lay(self, order: dict[str, Any], fold: str | None, motif: dict[str, Any] | None = None) -> Any:
        """How its cloths are folded and laid; on a worker of its own, so that a long lay holds up no drawing."""
        return await self._hand.make(order, fold, motif, self.desk.table)

    async def by_hand(self, act: dict[str, Any]) -> Any:
        """One piece of that lay moved, turned, flipped, locked; undone."""
        return await self._hand.act(act, self.desk.table)

    async def fitting(self, order: str, pinned: dict[str, Any]) -> Any:
        """What a fitting would do to this order: does the cloth cover it, where it is cut again."""
        return await self._worker.run("fitting", {"order": order, "book": self.book, "pinned": pinned})

    def table(self) -> OnTable:
        """The order on the table. Raises Refused where the desk was started with fixed steps."""
        if self._on_table is None:
            raise Refused("This table shows one order.", "It was started so.", "Start `python -m projector show` with the other.")
        return self._on_table

    async def open_order(self, name: str, order: dict[str, Any] | None = None) -> None:
        """Put an order on the table, on the lay made here of the same `order`. Where another was in hand its journal keeps its step."""
        by_hand = await self._hand.for_table(order, self.desk.table) if order else None
        await self.table().open(name, by_hand)

    def changeable(self, step: Step) -> list[bool]:
        """For each number of a tape check: whether she may change it."""
        return [self._on_table is not None and self._on_table.moves(read) for read in step.tapes]

    async def retape(self, place: int, typed: str) -> None:
        """One number of the tape check now shown, as typed."""
        await self.table().retape(self._worker.run, place, typed)

    async def change_number(self, is_larger: bool) -> None:
        """The number chosen at the table, a little larger or smaller."""
        await self.table().change_number(self._worker.run, is_larger)

    async def small_picture(self, photo: Path) -> bytes:
        """A style picture as a small JPEG of our own."""
        made: bytes = await jobs.run("small_picture", {"photo": photo}, 30.0)
        return made

    async def said(self, language: str) -> list[Any]:
        """Title, sentence and needs of every step on the table in another language; made once for each order and change."""
        on, steps = self.table(), self.desk.work.steps
        if on.prepared is None:
            return []
        if self._said.get(language, ((), []))[0] is not steps:
            arguments = {"order": on.order, "book": self.book, "lay": on.prepared.lay, "changes": on.changes, "steps": steps}
            self._said[language] = (steps, await self._worker.run("said", {**arguments, "language": language}))
        return self._said[language][1]

    async def card(self) -> str:
        """The chalk card of the order on the table, with the step reached."""
        on, now = self.table(), self.desk.snapshot
        reached = f"{now.step + 1} of {now.of}: {now.title}" if now.of else ""
        lay = on.prepared.lay if on.prepared else None
        told: str = await self._worker.run("card", {"order": on.order, "book": self.book, "lay": lay, "reached": reached})
        return told

    def parked(self) -> list[dict[str, Any]]:
        """Orders put aside, each at its step."""
        return parked(self.book)

    async def survey(self, photos: list[Path]) -> None:
        """Learn the spots stuck to the table from photographs of the frame and the spots. Raises Refused and the job's refusal."""
        table = self.desk.table
        if table is None or table.is_demonstration:
            raise Refused("There is no table yet.", "Nothing was calibrated.", "Photograph the frame on the sheets first.")
        async with self.desk.alone(self.desk.table_turn):
            surveyed: Table = await jobs.run("survey", {"photos": photos, "table": table})
        self.desk.take_table(surveyed, Message("note", f"{len(surveyed.spots)} table spots learned."))

    async def close(self) -> None:
        """End the workers."""
        if self._warming is not None:
            self._warming.cancel()
        await self._worker.close()
        await self._layer.close()
