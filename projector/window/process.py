"""The window's own process: pygame on its main thread, snapshots in, pictures out, keys back.

Nothing is drawn unless something changed: the loop waits for an event. A thread reads the pipe and only hands messages over.
"""

from projector.window.hints import is_dummy_asked, set_hints

set_hints()

import os  # noqa: E402
import threading  # noqa: E402
from collections import deque  # noqa: E402
from dataclasses import replace  # noqa: E402
from multiprocessing.connection import Connection  # noqa: E402
from time import monotonic  # noqa: E402

import pygame  # noqa: E402

from calibration.errors import TableError  # noqa: E402
from projector.window.displays import Displays, displays  # noqa: E402
from projector.window.messages import (  # noqa: E402
    Closed,
    DisplayChanged,
    FromWindow,
    NotOpened,
    Opened,
    Quit,
    Settings,
    ToWindow,
)
from projector.window.screen import open_screen  # noqa: E402

LOOK_EVERY_MS = 1000
"""How often a cheap look at the displays is taken: a pulled cable is seen within 3 s."""
LOOK_DEAR_EVERY_MS = 30_000


def run(pipe: Connection, settings: Settings) -> None:
    """Entry of the child process."""
    try:
        screen = open_screen(replace(settings, may_be_dummy=settings.may_be_dummy or is_dummy_asked()))
    except TableError as error:
        pipe.send(NotOpened(error.what, error.why, error.next_step))
        return
    screen.surface.fill((0, 0, 0))
    pygame.display.flip()  # dark at once; OpenCV comes after
    opened = Opened(screen.size, screen.driver, screen.is_full)
    watch = _Watch(screen.is_full)  # from now on: a change while OpenCV loads is seen too
    pipe.send(opened)
    from projector.window.loop import Loop

    messages: deque[ToWindow] = deque()
    wake = pygame.event.custom_type()
    threading.Thread(target=_listen, args=(pipe, messages, wake), daemon=True).start()
    if not _wait_and_draw(pipe, Loop(screen, opened, settings.keys), messages, watch):
        os._exit(0)  # the display went away: SDL's own tidying up of it ends in an X error (measured)
    pygame.display.quit()


def _listen(pipe: Connection, messages: "deque[ToWindow]", wake: int) -> None:
    """Hand messages over and wake the loop; the desk being gone is a quit."""
    while True:
        try:
            message = pipe.recv()
        except (EOFError, OSError):
            message = Quit()
        messages.append(message)
        pygame.event.post(pygame.event.Event(wake))
        if isinstance(message, Quit):
            return


class _Watch:
    """Looks at the displays now and then, and tells what changed."""

    def __init__(self, is_full: bool) -> None:
        self._first: Displays | None = displays() if is_full else None
        self.every_ms = LOOK_EVERY_MS if self._first is None or self._first.is_cheap else LOOK_DEAR_EVERY_MS
        self._next_ms = 1000 * monotonic() + self.every_ms

    def changed(self, now_ms: float, is_urgent: bool) -> str:
        """Why the display is no longer what it was; empty when it is."""
        if self._first is None or (now_ms < self._next_ms and not is_urgent):
            return ""
        self._next_ms = now_ms + self.every_ms
        now = displays()
        if now == self._first:
            return ""
        told = ", ".join(f"{w} x {h}" for _, _, w, h in now.rects) or "none"
        return f"Displays now: {told}."


def _wait_and_draw(
    pipe: Connection,
    loop: "Loop",  # type: ignore[name-defined]  # noqa: F821
    messages: "deque[ToWindow]",
    watch: _Watch,
) -> bool:
    """Until asked to end (True), or until the display changes (False)."""
    while True:
        patience = loop.keys.patience_ms(1000 * monotonic())
        timeout = watch.every_ms if patience is None else min(watch.every_ms, round(patience))
        first = pygame.event.wait(max(1, int(timeout)))
        events = [first, *pygame.event.get()] if first.type != pygame.NOEVENT else pygame.event.get()
        is_exposed = any(event.type in (pygame.VIDEOEXPOSE, pygame.WINDOWEXPOSED) for event in events)
        now = 1000 * monotonic()
        for told in loop.take(events, now):
            _send(pipe, told)
            if isinstance(told, Closed):
                return True
        fresh = list(messages)
        for _ in fresh:
            messages.popleft()
        if any(isinstance(message, Quit) for message in fresh):
            return True
        flipped = loop.show(fresh, now, is_exposed)
        if flipped is not None:
            _send(pipe, flipped)
        why = watch.changed(now, is_exposed and loop.opened.is_full)
        if why:
            _send(pipe, DisplayChanged(why))
            return False


def _send(pipe: Connection, message: FromWindow) -> None:
    """The desk may already be gone; then the listener ends the loop."""
    try:
        pipe.send(message)
    except (BrokenPipeError, OSError):
        return
