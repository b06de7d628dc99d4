"""The order on the table: put there, changed at a tape check, put aside for another. Joins jobs, journal and desk."""

import asyncio
from collections.abc import Awaitable, Callable
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Any

from calibration.errors import Refused, TableError, WrongInput
from calibration.table import Table
from calibration.units import MM_PER_INCH, length_text, mm_from_text
from projector.desk import jobs
from projector.desk.desk import Desk
from projector.desk.edited import Edited
from projector.desk.journal import Claim, Journal
from projector.desk.parked import last_stood
from projector.desk.tasks import Prepared
from projector.lay.lay import Lay
from projector.scene.view import view_of
from projector.session.change import told, with_message
from projector.session.snapshot import Message, Snapshot, Work
from projector.session.words import word
from projector.session.work import work_of
from projector.steps.place import NO_TABLE_LIGHT
from projector.steps.step import TapeRead

if TYPE_CHECKING:
    from projector.desk.hand_tasks import TapedAnew

STEP_IN_MM, STEP_CM_MM = MM_PER_INCH / 8, 5.0
"""What one press of a key changes: an eighth, half a centimetre; from the nearest whole one."""
Run = Callable[[str, dict[str, Any]], Awaitable[Any]]
"""The warm worker's `run`."""


def work_from(prepared: Prepared, table: Table | None) -> Work:
    """What the session needs, the lay in the middle of this table's light."""
    light = view_of(table, 0.0, "bottom").inner if table is not None else NO_TABLE_LIGHT
    work = work_of(prepared.order, prepared.steps, prepared.lay, prepared.unit, light)
    return replace(work, mark=prepared.mark)


class OnTable:
    """One desk's order. `journal_of`: where an order's journal is kept on this table; None: nothing is kept."""

    def __init__(self, desk: Desk, order: str, book: Path | None, journal_of: Callable[[str], Path | None]) -> None:
        self.desk, self.order, self.book = desk, order, book
        self.prepared: Prepared | None = None
        self._journal_of, self._claim = journal_of, Claim()
        self.changes: dict[str, float] = {}
        self._again: asyncio.Future[None] | None = None
        self.edited = Edited(book, self._tell_edited)

    def _kept(self, journal: Path | None) -> Path | None:
        """Where the lay is kept: beside the journal, once it is made for a real table's light."""
        return journal.with_suffix(".lay.json") if journal and self.desk.table is not None else None

    async def put(self, name: str, by_hand: Lay | None = None) -> None:
        """Draft, lay and order the cuts of this order, and show it where its journal stands. `by_hand`: the lay made on the page."""
        desk, journal = self.desk, self._journal_of(name)
        with self._claim.taking(journal):
            desk.publish(with_message(desk.snapshot, desk.snapshot.message, job=word("loading")), "prepare")
            await self.edited.read(name)
            arguments = {
                "order": name,
                "book": self.book,
                "kept": self._kept(journal),
                "table": desk.table,
                "by_hand": by_hand,
                "journal": journal,
            }
            prepared: Prepared = await jobs.run("prepare", arguments)
            desk.take_work(work_from(prepared, desk.table), journal)
        self.order, self.prepared, self.changes = name, prepared, {}

    async def again(self) -> None:
        """The same order for another light; given up when another order is wanted meanwhile."""
        async with self.desk.turn:
            self._again = asyncio.ensure_future(self.put(self.order))
            await asyncio.wait({self._again})
        if not self._again.cancelled():
            self._again.result()

    async def open(self, name: str, by_hand: Lay | None = None) -> None:
        """Another order, or the same on another lay; the journal of the one in hand keeps its step. Refused: all stays."""
        if by_hand is not None:
            self._refuse_cut(name)
        if self._again is not None and not self._again.done():
            self._again.cancel()
            async with self.desk.turn:
                pass  # its child is gone
        async with self.desk.alone(self.desk.turn):
            try:
                await self.put(name, by_hand)
            except TableError as error:
                self.desk.refuse(error)
                raise

    def _refuse_cut(self, name: str) -> None:
        """What is cut was cut by its own lay: no other is taken for that order. Raises Refused."""
        journal, desk = self._journal_of(name), self.desk
        stood = last_stood(journal) if journal is not None and journal.is_file() else None
        is_cut = bool(stood and stood["done"])
        if name == self.order:
            is_cut = any(desk.work.steps[number].is_fact for number in desk.snapshot.done)
        if is_cut:
            why = "What is cut lies by its own lay; another would not fit the cloth that is left."
            raise Refused("This order is being cut.", why, "Open it under the orders put aside and go on, or keep it under another name.")

    def _tell_edited(self, files: list[Path]) -> None:
        """Cards of the order on the table were edited: the lines stay until it is opened again."""
        named = ", ".join(f"{file.parent.name}/{file.stem}" for file in files)
        why = "The lines on the table are still those that were read before."
        told = Message("refusal", f"{named} was edited.", why, "Open the order again.")
        self.desk.publish(with_message(self.desk.snapshot, told), "edited")

    def moves(self, read: TapeRead) -> bool:
        """Whether a line stands behind this number of a tape check."""
        return self.prepared is not None and (read.piece, read.where) in self.prepared.moves

    async def retape(self, run: Run, place: int, typed: str) -> Snapshot:
        """A number of the tape check now shown, as typed: the line behind it moves at once.

        Raises WrongInput for a number that cannot be read or is not there, NotByTape as the change is refused.
        """
        desk, prepared = self.desk, self.prepared
        reads = desk.work.steps[desk.snapshot.step].tapes if desk.work.steps else ()
        if prepared is None or not 0 <= place < len(reads):
            raise WrongInput("This step has no such number.", f"It has {len(reads)}.", "Go to a tape check.")
        read, wanted_mm = reads[place], mm_from_text(typed, desk.snapshot.unit)
        async with desk.alone(desk.turn):
            before, journal = desk.snapshot, self._journal_of(self.order)
            made: TapedAnew = await run(
                "retape",
                {
                    "order": self.order, "book": self.book, "kept": self._kept(journal), "table": desk.table, "lay": prepared.lay,
                    "steps": desk.work.steps, "done": before.done, "read": read, "wanted_mm": wanted_mm, "was": self.changes,
                },
            )  # fmt: skip
            self.prepared, self.changes = made.prepared, dict(made.changes)
            await self.edited.read(self.order)
            what = f"{read.piece}, {read.where or 'length'}: {length_text(wanted_mm, desk.snapshot.unit)}. The line has moved."
            return self._carried(made, before, journal, Message("note", what))

    async def change_number(self, run: Run, is_larger: bool) -> Snapshot:
        """The number chosen by keys, an eighth of an inch or 5 mm larger or smaller. Raises as `retape` does."""
        desk = self.desk
        reads = desk.work.steps[desk.snapshot.step].tapes if desk.work.steps else ()
        if not reads:
            raise WrongInput("This step has no number to change.", "It is no tape check.", "Go to a tape check.")
        place = min(desk.snapshot.tape, len(reads) - 1)
        by_mm = STEP_IN_MM if desk.snapshot.unit == "in" else STEP_CM_MM
        wanted_mm = (round(reads[place].sewn_mm / by_mm) + (1 if is_larger else -1)) * by_mm
        shown = await self.retape(run, place, f"{wanted_mm:.3f} mm")
        return desk.publish(replace(shown, tape=place, number=shown.number + 1), "number")

    def _carried(self, made: "TapedAnew", before: Snapshot, journal: Path | None, message: Message) -> Snapshot:
        """The new steps at the same place, what is cut stays a fact; in the journal before anything is shown."""
        desk, work = self.desk, work_from(made.prepared, self.desk.table)
        titles = [step.title for step in work.steps]
        step = before.step if made.is_same_way else titles.index(before.title) if before.title in titles else 0
        done = before.done if made.is_same_way else ()
        carried = told(replace(before, step=step, done=done, message=message, job=""), work)
        if journal is not None:
            Journal(journal, work).write(carried, "retaped")
        desk.take_work(work, journal)
        return desk.publish(replace(carried, number=desk.snapshot.number + 1), "retaped")

    def close(self) -> None:
        """Let the order go for other programs."""
        self._claim.release()
