"""The desk: one snapshot, everything that may change it, everyone who is told. One asyncio loop; no step computes long."""

import asyncio
from collections.abc import AsyncIterator, Awaitable, Callable, Mapping
from contextlib import asynccontextmanager
from dataclasses import replace
from functools import partial
from pathlib import Path
from time import time
from typing import Any

import numpy as np

from calibration.errors import Refused, TableError, WrongInput
from calibration.keep import NotKept
from calibration.table import Table
from projector.desk import jobs
from projector.desk.asked import as_read
from projector.desk.first import first_snapshot, newest_photographs
from projector.desk.heard import Heard
from projector.desk.journal import Journal
from projector.desk.tasks import Solved
from projector.scene.states import long_line_mm
from projector.scene.view import view_of
from projector.session.change import apply, number_in, with_message, with_stop, with_table
from projector.session.commands import DESKS, Command
from projector.session.snapshot import Message, Snapshot, TableSummary, Work
from projector.session.summary import summary_of
from projector.session.words import word
from projector.window.displays import displays
from projector.window.link import WindowLink, number_displays
from projector.window.messages import (
    Closed,
    DisplayChanged,
    Flipped,
    FromWindow,
    Load,
    NotOpened,
    Opened,
    Pressed,
    Settings,
    Show,
)
from projector.window.shown import DEMONSTRATION_TITLE

FRAMED_PX = (1280, 720)
"""Of the window that fills no display."""
RESTARTS_IN_A_ROW = 5
LOOK_AGAIN_S = 1.0
NUMBERS_SHOWN_S = 8.0
KEPT_MODES = ("setup", "frame", "proof", "shadow", "spots")  # she is at the table itself: they stay when its order is laid anew


class Desk:
    """`apply`, `subscribe`, `solve`, `prove` are what the page uses; `snapshot` is always the newest."""

    def __init__(self, work: Work, table: Table | None, table_path: Path | None, journal_path: Path | None) -> None:
        self.work, self.table, self._table_path = work, table, table_path
        is_real = table is None or not table.is_demonstration
        self._journal = Journal(journal_path if is_real else None, work)
        self.snapshot = self._first()
        self._heard = Heard()
        self.keys: Mapping[str, str] = {}
        """Keys of keyboard, presenter and foot switch beside the program's own: key name to command."""
        self._loop: asyncio.AbstractEventLoop | None = None
        self._window: WindowLink | None = None
        self._settings: Settings | None = None
        self._started = self._restarts = 0
        self._is_set_up = table is not None  # else the shadow is tried once the line is taped
        self.flipped = -1
        self.drawing_ms: list[float] = []
        self.opened: Opened | None = None
        self.ended = asyncio.Event()
        self.sheets: Path | None = None
        self.photos: Path | None = None
        self.lay_again: Callable[[], Awaitable[None]] | None = None
        """Called when the first table is known: the lay and its parts are made for what this light reaches."""
        self.code_of: Callable[[bool], str] | None = None
        """The address a phone needs; True: a new one, the phones paired so far are out. None: no phone can pair."""
        self.after_code: Command = Command("leave")
        self.change_number: Callable[[bool], Awaitable[Any]] | None = None
        self._frame_since = 0.0
        self._numbers_until = 0.0
        self.turn, self.table_turn = asyncio.Lock(), asyncio.Lock()
        """Held by whatever works in a child on the order, on the table: one after another."""
        self._news = asyncio.Event()

    def take_work(self, work: Work, journal_path: Path | None) -> None:
        """Put an order on the table: its steps, and where its journal says she stood."""
        is_real = self.table is None or not self.table.is_demonstration
        self.work = work
        self._journal = Journal(journal_path if is_real else None, work)
        first = replace(self._first(), number=self.snapshot.number + 1)
        if (self.snapshot.order == work.order and self.snapshot.mode in KEPT_MODES) or self.snapshot.mode == "code":
            told = ("mode", "proof_mm", "spot", "spot_moves", "message", "code")
            first = replace(first, **{name: getattr(self.snapshot, name) for name in told})
        first = self._crosses_first(first) if self.opened is not None or self._settings is not None else first
        if self._window is not None:
            self._window.send(Load(work, self.table))
        self.publish(first, "order")

    # The snapshot ------------------------------------------------------------------------------------------------
    def _first(self) -> Snapshot:
        return first_snapshot(self.work, self._summary(self.table) if self.table else None, self._journal.resumed)

    def _summary(self, table: Table) -> TableSummary:
        return summary_of(table, self._table_path.stem if self._table_path else "")

    def publish(self, snapshot: Snapshot, command: str) -> Snapshot:
        """Keep it, write it down, tell window and pages. A fact is on the disk before its picture is shown.

        Raises NotKept when a fact cannot be written (then nothing changed); anything less goes on and says so.
        """
        if snapshot.number == self.snapshot.number:
            return snapshot
        try:
            self._journal.write(snapshot, command)
        except NotKept as error:
            if snapshot.done != self.snapshot.done:
                raise
            snapshot = replace(snapshot, message=Message("refusal", error.what, error.why, error.next_step))
        if snapshot.mode == "frame" and self.snapshot.mode != "frame":
            self._frame_since = time()
        self.snapshot = snapshot
        if self._window is not None:
            self._window.send(Show(snapshot))
        self._heard.tell(snapshot)
        return snapshot

    def apply(self, command: Command) -> Snapshot:
        """The snapshot after one command. Raises WrongInput or Refused; then nothing changed."""
        if command.name in DESKS:
            self._do(command)
            return self.snapshot
        return self.publish(apply(self.snapshot, self.work, command), command.name)

    def _do(self, command: Command) -> None:
        if command.name in ("code", "new_code"):
            self.show_code(command.name == "new_code")
        elif command.name == "taped":
            self._later(self.prove(as_read(command.args, self.snapshot.unit)))
        elif command.name == "spots_true":
            self._later(self.true_by_eye())
        elif command.name == "read_photographs":
            self._later(self.solve(self.new_photographs(), self.sheets))
        elif command.name in ("longer", "shorter") and self.change_number is not None:
            self._later(self.change_number(command.name == "longer"))
        elif command.name == "numbers" and time() >= self._numbers_until:
            self._numbers_until = time() + NUMBERS_SHOWN_S
            number_displays(len(displays().rects), NUMBERS_SHOWN_S)
        elif command.name == "projector":
            self.use_display(round(number_in(command.args, "display", told_as="The display")) - 1)

    def show_code(self, is_new: bool = False) -> None:
        """Throw the code that opens the page on a phone; asked again it goes."""
        if self.code_of is None:
            raise Refused("No phone can open the page.", "It answers this machine alone.", "Start with --lan.")
        if self.snapshot.mode == "code" and not is_new:
            self.publish(apply(self.snapshot, self.work, Command("leave")), "code")
            return
        shown = with_message(replace(self.snapshot, align=None, is_help=False), None)
        self.publish(replace(shown, mode="code", code=self.code_of(is_new)), "code")

    def paired(self) -> None:
        """A phone has read the code: the light goes on with what comes next."""
        if self.snapshot.mode == "code":
            left = apply(self.snapshot, self.work, Command("leave"))
            self.publish(self._crosses_first(apply(left, self.work, self.after_code)), "paired")
            self.after_code = Command("leave")

    @asynccontextmanager
    async def alone(self, turn: asyncio.Lock | None = None) -> AsyncIterator[None]:
        """One job at a time: a second one is refused at once, or a hundred presses would start a hundred children."""
        turn = turn or self.turn
        if turn.locked():
            raise Refused("The table is still at work.", "It does one thing after another.", "Wait until it is done, then again.")
        async with turn:
            yield

    def _later(self, work: Any) -> None:
        task = asyncio.ensure_future(work)
        task.add_done_callback(self._job_done)

    def _job_done(self, task: "asyncio.Task[Any]") -> None:
        error = task.exception() if not task.cancelled() else None
        if isinstance(error, TableError):
            self.refuse(error)
        elif error is not None:
            raise error

    def refuse(self, error: TableError) -> None:
        """Show a refusal's three sentences; no job runs any more."""
        message = Message("refusal", error.what, error.why, error.next_step)
        self.publish(with_message(self.snapshot, message, job=""), "refused")

    def subscribe(self) -> AsyncIterator[Snapshot | None]:
        """The newest snapshot now, then each newer one until the desk closes; None is a sign of life: a page that hears none is stale."""
        return self._heard.listen(self.snapshot)

    # The table ---------------------------------------------------------------------------------------------------
    def new_photographs(self) -> list[Path]:
        """The newest photographs in the folder named at the start, taken since the frame was first thrown."""
        return newest_photographs(self.photos, self._frame_since)

    async def solve(self, photos: list[Path], sheets: Path | None, bar_x_mm: float | None = None, bar_y_mm: float | None = None) -> Solved:
        """Photographs of the frame to a table; shows the long line next. Raises the job's refusal, also shown."""
        if sheets is None:
            raise WrongInput("The printed sheets are not known.", "No sheets.json was named.", "Start with --sheets sheets.json.")
        size = self.opened.size if self.opened and self.opened.is_full else self.table.size if self.table else None
        if size is None:
            raise WrongInput(
                "The lamp's pixels are not known.", "No picture is thrown over a whole display.", "Open the window on the projector."
            )
        count = f"{len(photos)} photograph" + ("s" if len(photos) > 1 else "")
        arguments = {"photos": photos, "sheets": sheets, "size": size, "bar_x_mm": bar_x_mm, "bar_y_mm": bar_y_mm}
        async with self.alone(self.table_turn):
            self.publish(with_message(self.snapshot, None, job=f"reading {count}"), "solve")
            try:
                solved: Solved = await jobs.run("solve", arguments)
            except TableError as error:
                self.refuse(error)
                raise
        self.take_table(solved.table, Message("note", solved.what, solved.why, solved.next_step))
        self.apply(Command("proof", {"mm": self.shown_mm()}))  # the phone tells how long the line is
        return solved

    async def prove(self, taped_mm: float) -> Table:
        """The long line as her tape reads it. Raises Refused; the table is written before it is used."""
        if self.table is None or self.table.is_demonstration:
            raise Refused("There is no line to tape.", "No table was calibrated.", "Photograph the frame on the sheets first.")
        async with self.alone(self.table_turn):
            proved: Table = await jobs.run("prove", {"table": self.table, "shown_mm": self.shown_mm(), "taped_mm": taped_mm})
        self.take_table(proved, Message("note", "Size proved: ready."))
        after, self._is_set_up = Command("leave" if self._is_set_up else "shadow"), True
        self.publish(apply(self.snapshot, self.work, after), "taped")
        return proved

    async def true_by_eye(self) -> Table:
        """The crosses as they were moved, as a new map with its own honest error."""
        table, snapshot = self.table, self.snapshot
        if table is None or snapshot.mode != "spots" or not snapshot.spot_moves:
            raise Refused("No crosses are being moved.", "The crosses on the table spots are not shown.", "Show them first.")
        at = np.array([spot.at_mm for spot in table.spots]) + np.array(snapshot.spot_moves)
        px = np.asarray(table.px_from_mm(at))
        crosses = {spot.id: (float(x), float(y)) for spot, (x, y) in zip(table.spots, px, strict=True)}
        async with self.alone(self.table_turn):
            made: Table = await jobs.run("by_eye", {"table": table, "crosses_px": crosses})
        self.take_table(made, Message("note", "Made true by eye, within 1 mm."))
        self.publish(apply(self.snapshot, self.work, Command("leave")), "spots_true")
        return made

    def shown_mm(self) -> float:
        """Length of the long line now shown, table mm."""
        if self.table is None:
            return 0.0
        return self.snapshot.proof_mm or long_line_mm(view_of(self.table, 0.0, self.snapshot.worker_side), self.snapshot.unit)

    def take_table(self, table: Table, message: Message) -> None:
        """Keep a new table, use it and tell it."""
        if self._table_path is not None:
            table.write(self._table_path)
        is_first = self.table is None
        self.table = table
        if self._window is not None:
            self._window.send(Load(self.work, table))
        now = replace(self.snapshot, stop_reason=self._wrong_display()) if self.opened else self.snapshot
        shown = with_message(with_table(now, self._summary(table)), message, job="")
        self.publish(shown, "table")
        if is_first and self.lay_again is not None and not self.snapshot.done:
            self._later(self.lay_again())

    # The window --------------------------------------------------------------------------------------------------
    def open_window(self, display: int | None) -> None:
        """Start the window's process. `display` None: framed, for the demonstration."""
        wanted = self.table.size if self.table else FRAMED_PX
        self._loop = asyncio.get_running_loop()
        self._settings = Settings(display, wanted, DEMONSTRATION_TITLE if display is None else "", keys=self.keys)
        if display is not None:
            self.publish(self._crosses_first(self.snapshot), "window")
        self._start_window()

    def use_display(self, display: int) -> None:
        """Leave the demonstration (or another display) and throw on this one; without a table the frame to photograph."""
        count = len(displays().rects)
        if not 0 <= display < count:
            raise WrongInput(f"Display {display + 1} is not there.", f"{count} answered.", "Plug it in, or choose another.")
        if self._window is not None:
            self._settings = None
            self._window.close()
        if self.table is not None and self.table.is_demonstration:
            self.table = None
            self.publish(apply(with_table(self.snapshot, None), self.work, Command("set_up")), "projector")
        self._loop = self._loop or asyncio.get_running_loop()
        self._settings = Settings(display, displays().rects[display][2:], keys=self.keys)
        self._start_window()

    def _wrong_display(self) -> str:
        """Why the display that is filled is not the one the table was made for; empty when it is, or nothing is filled."""
        is_other = self.opened is not None and self.opened.is_full and self.table is not None and self.table.size != self.opened.size
        return word("wrong_display") if is_other else ""

    def _crosses_first(self, snapshot: Snapshot) -> Snapshot:
        """After the lamp was switched on the crosses on the table spots come before the first cut line."""
        is_real = snapshot.state in ("check", "ready")
        if is_real and snapshot.table is not None and snapshot.table.spots and snapshot.mode == "steps":
            return apply(snapshot, self.work, Command("spots"))
        return snapshot

    def _start_window(self) -> None:
        assert self._settings is not None
        self._started += 1
        self._window = WindowLink(self._settings, partial(self._hand_over, self._started))
        self._window.send(Load(self.work, self.table))
        self._window.send(Show(self.snapshot))

    def _hand_over(self, started: int, message: FromWindow | None) -> None:
        if self._loop is not None and not self._loop.is_closed():
            self._loop.call_soon_threadsafe(self._window_said, started, message)

    def _window_said(self, started: int, message: FromWindow | None) -> None:
        if started != self._started:
            return  # the last word of a window that another has followed
        if isinstance(message, Pressed):
            try:
                self.apply(message.command)
            except TableError as error:
                self.refuse(error)
        elif isinstance(message, Flipped):
            self.flipped, self._restarts = message.number, 0
            self.drawing_ms = [*self.drawing_ms[-999:], message.drawing_ms]
        elif isinstance(message, Opened):
            self.opened = message
            reason = self._wrong_display()
            if self.snapshot.stop_reason != reason:
                self.publish(self._crosses_first(with_stop(self.snapshot, reason)), "display")
        elif isinstance(message, NotOpened):
            self.opened = None
            if self.snapshot.stop_reason:
                return  # a display that was there went away: wait for it
            self._settings = None
            self.refuse(Refused(message.what, message.why, message.next_step))
        elif isinstance(message, DisplayChanged):
            self.publish(with_stop(self.snapshot, word("display_changed")), "display")
        elif isinstance(message, Closed):
            self._settings = None
            self.ended.set()
        else:
            self._window_ended()
        self._news.set()

    def _window_ended(self) -> None:
        """It died, or left because a display changed: start it again with the last snapshot, more and more patiently."""
        self._window, self.opened = None, None
        if self._settings is None or self._loop is None or self.ended.is_set():
            return
        if self.snapshot.stop_reason:
            self._loop.call_later(LOOK_AGAIN_S, self._start_when_back)
            return
        self._restarts += 1
        if self._restarts > RESTARTS_IN_A_ROW:
            self._settings = None
            self.refuse(Refused("The window does not stay open.", f"It ended {self._restarts} times.", "Look at the display's cable."))
            return
        self._loop.call_later(0.3 * 2 ** (self._restarts - 1), self._start_if_wanted)

    def _start_when_back(self) -> None:
        """After a display went: start the window once as many displays are there again as it needs."""
        wanted = self._settings.display if self._settings is not None else None
        if wanted is None or len(displays().rects) > wanted:
            self._start_if_wanted()
        elif self._loop is not None and not self.ended.is_set():
            self._loop.call_later(LOOK_AGAIN_S, self._start_when_back)

    def _start_if_wanted(self) -> None:
        if self._settings is not None and self._window is None and not self.ended.is_set():
            self._start_window()

    async def until_news(self) -> None:
        """Wait for the window to say something."""
        self._news.clear()
        await self._news.wait()

    async def until_flipped(self, number: int) -> None:
        """Wait until this snapshot (or a newer one) is in the light."""
        while self.flipped < number:
            await self.until_news()

    @property
    def window_pid(self) -> int | None:
        """The window's process number, None while there is none."""
        return self._window.pid if self._window else None

    def close(self) -> None:
        """End the window; the journal goes to the disk."""
        self.ended.set()
        self._journal.sync()
        self._heard.tell(None)
        if self._window is not None:
            self._window.close()
