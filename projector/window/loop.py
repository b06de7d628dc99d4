"""What the window holds: the last snapshot, the order's scenes, the painter, the keys."""

from collections.abc import Iterable, Mapping
from time import monotonic

import numpy as np
import pygame
from numpy.typing import NDArray

from calibration.frame import frame_picture
from projector.picture.painter import Painter
from projector.scene.compose import Scenes
from projector.scene.view import Light, PlainLight
from projector.session.commands import Command
from projector.session.keys import keys_shown
from projector.session.snapshot import Snapshot, Work
from projector.window.keys import Keys
from projector.window.messages import Closed, Flipped, FromWindow, Load, Opened, Pressed, Show, ToWindow
from projector.window.screen import Screen
from projector.window.shown import as_shown


class Loop:
    """One open screen. `take` turns events into commands, `show` draws the newest snapshot and flips."""

    def __init__(self, screen: Screen, opened: Opened, keys: Mapping[str, str] | None = None) -> None:
        self.screen, self.opened = screen, opened
        self.keys, self._told_keys = Keys(keys), keys_shown(keys or {})
        self._plain: Light = PlainLight(screen.size)
        self._scenes = Scenes.of(Work("", ()), self._told_keys)
        self._painter = Painter(self._plain)
        self._snapshot: Snapshot | None = None
        self._frame: NDArray[np.uint8] | None = None

    def take(self, events: Iterable[pygame.event.Event], now_ms: float) -> list[FromWindow]:
        """Commands for the desk, in order."""
        told: list[FromWindow] = []
        for event in events:
            if event.type == pygame.QUIT:
                return [*told, Closed()]
            if event.type == pygame.KEYDOWN and self._snapshot is not None:
                command = self.keys.down(event.key, event.scancode, event.mod, now_ms, self._snapshot)
                told += [Pressed(command)] if command else []
            elif event.type == pygame.KEYUP:
                self.keys.up(event.key)
        again: Command | None = self.keys.held(now_ms)
        return [*told, Pressed(again)] if again else told

    def show(self, messages: Iterable[ToWindow], since_ms: float, is_exposed: bool) -> Flipped | None:
        """Take what came, draw the newest snapshot once. None when nothing had to be drawn."""
        is_new = False
        for message in messages:
            if isinstance(message, Load):
                self._load(message)  # drawn with the snapshot that follows: an old one would show a step of the new order
            elif isinstance(message, Show):
                self._snapshot, is_new = message.snapshot, True
        if self._snapshot is None or not (is_new or is_exposed):
            return None
        self._draw(self._snapshot)
        pygame.display.flip()
        self.keys.shown()
        return Flipped(self._snapshot.number, 1000 * monotonic() - since_ms)

    def _load(self, message: Load) -> None:
        if message.work != self._scenes.work:
            self._scenes = Scenes.of(message.work, self._told_keys)
        table = message.table
        self._painter = Painter(table if table and table.size == self.screen.size else self._plain)

    def _draw(self, snapshot: Snapshot) -> None:
        shown = as_shown(snapshot, self.opened)
        pixels = self.screen.pixels()
        if shown.mode == "frame" and shown.see.light == "lines" and self.opened.is_full:
            pixels[:, :, :3] = self._frame_picture()
            return
        self._painter.into(self._scenes.scene(shown, self._painter.table), pixels)

    def _frame_picture(self) -> NDArray[np.uint8]:
        if self._frame is None:
            self._frame = frame_picture(self.screen.size)
        return self._frame
