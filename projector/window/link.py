"""The desk's end of the window: starts the child process, sends snapshots, hands on what it says. No pygame here."""

import multiprocessing
import signal
import threading
from collections.abc import Callable
from multiprocessing.connection import Connection

from projector.window.messages import Flipped, FromWindow, Load, Quit, Settings, Show, ToWindow

PATIENCE_S = 3.0
HANG_S = 30.0
"""A window that flips nothing for so long is ended (and by that started again); a slow laptop's first start takes a third of it."""


class Outbox:
    """What waits for a window that is slow to read: the newest order and table, then the newest snapshot, then the end.

    A pipe holds a few dozen snapshots; a window that hangs must not hang the desk, so nothing here ever waits for it but its thread.
    """

    def __init__(self) -> None:
        self._waiting: dict[type[ToWindow], ToWindow] = {}
        self._changed = threading.Condition()

    def put(self, message: ToWindow) -> None:
        """The newest of its kind wins."""
        with self._changed:
            self._waiting[type(message)] = message
            self._changed.notify()

    def take(self) -> list[ToWindow]:
        """Wait for messages; all of them, in the order a window wants them."""
        with self._changed:
            self._changed.wait_for(lambda: bool(self._waiting))
            told = [self._waiting[kind] for kind in (Load, Show, Quit) if kind in self._waiting]
            self._waiting.clear()
        return told


def _run(pipe: Connection, settings: Settings) -> None:
    signal.signal(signal.SIGINT, signal.SIG_IGN)  # a terminal's Ctrl+C reaches every process: the desk ends the window in words
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
        self._outbox = Outbox()
        self._asked = -1
        self._hang: threading.Timer | None = None
        threading.Thread(target=self._listen, daemon=True).start()
        threading.Thread(target=self._speak, daemon=True).start()

    @property
    def pid(self) -> int | None:
        """The child's process number."""
        return self._process.pid

    def send(self, message: Load | Show | Quit) -> None:
        """Hand a message over without waiting; a window that has just ended hears nothing (its end is told by `said`)."""
        if isinstance(message, Show):
            self._asked = message.snapshot.number
            self._watch()
        self._outbox.put(message)

    def _watch(self) -> None:
        """One that hangs is ended: while a snapshot waits for its flip a timer runs."""
        if self._hang is None or not self._hang.is_alive():
            self._hang = threading.Timer(HANG_S, self.kill)
            self._hang.daemon = True
            self._hang.start()

    def _calm(self) -> None:
        if self._hang is not None:
            self._hang.cancel()
            self._hang = None

    def _speak(self) -> None:
        while True:
            for message in self._outbox.take():
                try:
                    self._pipe.send(message)
                except (BrokenPipeError, OSError):
                    return
                if isinstance(message, Quit):
                    return

    def _listen(self) -> None:
        while True:
            try:
                message = self._pipe.recv()
            except (EOFError, OSError):
                self._outbox.put(Quit())  # ends the speaking thread
                self._calm()
                self._said(None)
                return
            if isinstance(message, Flipped):
                self._calm()
                if message.number < self._asked:
                    self._watch()
            self._said(message)

    def close(self) -> None:
        """Ask it to end, then make it."""
        self.send(Quit())
        self._process.join(PATIENCE_S)
        if self._process.is_alive():
            self.kill()
            self._process.join(PATIENCE_S)

    def kill(self) -> None:
        """End it at once: one that hangs answers nothing milder."""
        self._process.kill()


def _number(index: int, seconds: float) -> None:
    from projector.window.numbers import show_number

    show_number(index, seconds)


def number_displays(count: int, seconds: float) -> None:
    """Show each display's number on it, then let it go; each by a child of its own."""
    context = multiprocessing.get_context("spawn")
    for index in range(count):
        context.Process(target=_number, args=(index, seconds), daemon=True, name=f"number {index + 1}").start()
