"""Keys, presenter and pedal to commands. Own held-key repeat, so that no backlog runs on after release."""

from collections.abc import Mapping

import pygame

from projector.session.commands import Command
from projector.session.snapshot import Snapshot

STEPPING_PAUSE_MS = 300
"""A pedal bounces and a foot is slow: next, back and done are taken again only this long after the last one."""
HELD_FIRST_MS, HELD_NEXT_MS = 250, 40
LITTLE_MM, MORE_MM, TURN_DEG, MORE_TURN_DEG = 1.0, 10.0, 0.1, 90.0

PLAIN: Mapping[int, str] = {
    pygame.K_a: "allowances", pygame.K_s: "sewing_lines", pygame.K_m: "marks", pygame.K_l: "labels", pygame.K_k: "cloth",
    pygame.K_y: "body_lines", pygame.K_g: "grid", pygame.K_t: "long_line", pygame.K_b: "light_off", pygame.K_p: "plain_light",
    pygame.K_c: "colour", pygame.K_h: "help", pygame.K_F1: "help", pygame.K_x: "mirror", pygame.K_o: "align",
    pygame.K_RETURN: "fix", pygame.K_KP_ENTER: "fix", pygame.K_u: "bumped", pygame.K_BACKSPACE: "leave", pygame.K_f: "frame",
    pygame.K_r: "proof", pygame.K_v: "spots", pygame.K_z: "spots_true",
    pygame.K_d: "read_photographs", pygame.K_j: "shadow", pygame.K_e: "error",
}  # fmt: skip
STEPPING: Mapping[int, str] = {
    pygame.K_n: "next", pygame.K_i: "back", pygame.K_PAGEDOWN: "done", pygame.K_PAGEUP: "back", pygame.K_SPACE: "done",
}  # fmt: skip
"""A presenter sends page down, page up, F5 and Escape in turn, period or b: forward is `done`, as a foot switch."""
PRESENTER: Mapping[int, str] = {pygame.K_F5: "light_off", pygame.K_ESCAPE: "leave", pygame.K_PERIOD: "light_off"}
ARROWS: Mapping[int, tuple[float, float]] = {
    pygame.K_LEFT: (-1.0, 0.0), pygame.K_RIGHT: (1.0, 0.0), pygame.K_UP: (0.0, 1.0), pygame.K_DOWN: (0.0, -1.0),
}  # fmt: skip
TURNS: Mapping[int, float] = {pygame.K_q: 1.0, pygame.K_w: -1.0}
VOLUME_UP_SCANCODE, VOLUME_DOWN_SCANCODE = 128, 129
"""Some camera remotes send only volume keys, which have no name: matched by scancode."""


class Keys:
    """Turns key events into commands. Times come from outside, ms."""

    def __init__(self) -> None:
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
        stepping = STEPPING.get(key) or (scancode in (VOLUME_UP_SCANCODE, VOLUME_DOWN_SCANCODE) and "done") or ""
        if stepping:
            if now_ms - self._stepped_ms < STEPPING_PAUSE_MS:
                return None
            self._stepped_ms = now_ms
            return Command(stepping, {}, snapshot.step)
        name = PRESENTER.get(key) or PLAIN.get(key)
        return Command(name) if name else None

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
