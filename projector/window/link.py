"""The desk's end of the window: starts the child process, sends snapshots, hands on what it says. No pygame here."""

import multiprocessing
import threading
from collections.abc import Callable
from multiprocessing.connection import Connection

from projector.window.messages import FromWindow, Load, Quit, Settings, Show

PATIENCE_S = 3.0


def _run(pipe: Connection, settings: Settings) -> None:
    from projector.window.process import run

    run(pipe, settings)


class WindowLink:
    """One window process. `said` is called from a thread for every message; None when the process has ended."""

    def __init__(self, settings: Settings, said: Callable[[FromWindow | None], None]) -> None:
        context = multiprocessing.get_context("spawn")  # never fork: the parent has an event loop and threads
        self._pipe, theirs = context.Pipe()
        self._process = context.Process(target=_run, args=(theirs, settings), daemon=True, name="window")
        self._process.start()
        theirs.close()
        self._said = said
        threading.Thread(target=self._listen, daemon=True).start()

    @property
    def pid(self) -> int | None:
        """The child's process number."""
        return self._process.pid

    def send(self, message: Load | Show | Quit) -> None:
        """Hand a message over; a window that has just ended hears nothing (its end is told by `said`)."""
        try:
            self._pipe.send(message)
        except (BrokenPipeError, OSError):
            return

    def _listen(self) -> None:
        while True:
            try:
                message = self._pipe.recv()
            except (EOFError, OSError):
                self._said(None)
                return
            self._said(message)

    def close(self) -> None:
        """Ask it to end, then make it."""
        self.send(Quit())
        self._process.join(PATIENCE_S)
        if self._process.is_alive():
            self._process.terminate()
            self._process.join(PATIENCE_S)


def _number(index: int, seconds: float) -> None:
    from projector.window.numbers import show_number

    show_number(index, seconds)


def number_displays(count: int, seconds: float = 8.0) -> None:
    """Show each display's number on it, then let it go; each by a child of its own."""
    context = multiprocessing.get_context("spawn")
    for index in range(count):
        context.Process(target=_number, args=(index, seconds), daemon=True, name=f"number {index + 1}").start()
