"""Keys, presenter and pedal to commands. Own held-key repeat, so that no backlog runs on after release."""

from collections.abc import Mapping

import pygame

from projector.session.change import STEPPING
from projector.session.commands import Command
from projector.session.keys import own_keys
from projector.session.snapshot import Snapshot

STEPPING_PAUSE_MS = 300
"""A pedal bounces and a foot is slow: next, back and done are taken again only this long after the last one."""
HELD_FIRST_MS, HELD_NEXT_MS = 250, 40
LITTLE_MM, MORE_MM, TURN_DEG, MORE_TURN_DEG = 1.0, 10.0, 0.1, 90.0

CODE_OF: Mapping[str, int] = {
    "enter": pygame.K_RETURN, "keypad enter": pygame.K_KP_ENTER, "page up": pygame.K_PAGEUP, "page down": pygame.K_PAGEDOWN,
}  # fmt: skip
"""Key names that pygame calls otherwise; the rest are its own constants."""
ARROWS: Mapping[int, tuple[float, float]] = {
    pygame.K_LEFT: (-1.0, 0.0), pygame.K_RIGHT: (1.0, 0.0), pygame.K_UP: (0.0, 1.0), pygame.K_DOWN: (0.0, -1.0),
}  # fmt: skip
TURNS: Mapping[int, float] = {pygame.K_q: 1.0, pygame.K_w: -1.0}
SCANCODES: Mapping[str, int] = {"volume up": 128, "volume down": 129}
"""Some camera remotes send only volume keys, which have no code: matched by scancode."""


def code_of(name: str) -> int:
    """pygame's code of a key named as in session.keys."""
    if name in CODE_OF:
        return CODE_OF[name]
    return int(getattr(pygame, f"K_{name if len(name) == 1 else name.upper()}"))


class Keys:
    """Turns key events into commands. Times come from outside, ms."""

    def __init__(self, keys: Mapping[str, str] | None = None) -> None:
        """`keys`: key name to command, over the program's own."""
        asked = {**own_keys(), **(keys or {})}
        self._by_code = {code_of(name): command for name, command in asked.items() if name not in SCANCODES}
        self._by_scancode = {SCANCODES[name]: command for name, command in asked.items() if name in SCANCODES}
        self._stepped_ms = -10_000.0
        self._held: tuple[int, Command] | None = None
        self._again_ms = 0.0
        self._waiting = False

    def down(self, key: int, scancode: int, mods: int, now_ms: float, snapshot: Snapshot) -> Command | None:
        """A key went down while this snapshot was in the light."""
        if key in ARROWS or key in TURNS:
            command = _moving(key, mods)
            self._held, self._again_ms, self._waiting = (key, command), now_ms + HELD_FIRST_MS, True
            return command
        name = self._by_scancode.get(scancode) or self._by_code.get(key)
        if name not in STEPPING:
            return Command(name) if name else None
        if now_ms - self._stepped_ms < STEPPING_PAUSE_MS:
            return None
        self._stepped_ms = now_ms
        return Command(name, {}, snapshot.step)

    def up(self, key: int) -> None:
        """A key was let go: whatever it repeated ends at once."""
        if self._held and self._held[0] == key:
            self._held = None

    def shown(self) -> None:
        """A newer picture is in the light: a held key may move on."""
        self._waiting = False

    def patience_ms(self, now_ms: float) -> float | None:
        """How long until `held` has something to say; None: nothing is held."""
        return None if self._held is None else max(1.0, self._again_ms - now_ms)

    def held(self, now_ms: float) -> Command | None:
        """The held key again, only after its last picture was shown."""
        if self._held is None or self._waiting or now_ms < self._again_ms:
            return None
        self._again_ms, self._waiting = now_ms + HELD_NEXT_MS, True
        return self._held[1]


def _moving(key: int, mods: int) -> Command:
    is_more = bool(mods & pygame.KMOD_SHIFT)
    if key in TURNS:
        return Command("turn", {"deg": TURNS[key] * (MORE_TURN_DEG if is_more else TURN_DEG)})
    size = MORE_MM if is_more else LITTLE_MM
    dx, dy = ARROWS[key]
    return Command("move", {"dx_mm": dx * size, "dy_mm": dy * size})
