"""One opened display or framed window: exactly the picture's own pixels, or a refusal."""

from dataclasses import dataclass
from typing import Any

import numpy as np
import pygame
from numpy.typing import NDArray

from calibration.errors import Refused
from projector.window.messages import Settings

NO_SCREEN = ("offscreen", "dummy")


class NoTruePicture(Refused):
    """The display cannot show the picture pixel for pixel."""


@dataclass(slots=True)
class Screen:
    """`surface` is the display's own; `is_full`: the whole display."""

    surface: pygame.Surface
    driver: str
    is_full: bool

    @property
    def size(self) -> tuple[int, int]:
        """Pixels."""
        width, height = self.surface.get_size()
        return (width, height)

    def pixels(self) -> NDArray[np.uint8]:
        """(h, w, 4) BGRX view of the display's memory; fetched anew for every picture."""
        w, h = self.size
        memory: Any = self.surface.get_buffer()  # a buffer, though its stubs do not say so
        return np.asarray(np.frombuffer(memory, dtype=np.uint8).reshape(h, w, 4))


def open_screen(settings: Settings) -> Screen:
    """Open it. Raises NoTruePicture with the reason: no display, no such display, scaled, other pixel order."""
    try:
        pygame.display.init()
    except pygame.error as cause:
        raise NoTruePicture("There is no display.", f"({cause})", "Plug the projector in, or use --no-window.") from cause
    driver = pygame.display.get_driver()
    if driver in NO_SCREEN and not settings.may_be_dummy:
        raise NoTruePicture("There is no display.", f"Only {driver!r} answered, which shows nothing.", "Plug the projector in.")
    surface = _framed(settings) if settings.display is None else _full(settings.display)
    screen = Screen(surface, driver, settings.display is not None)
    if surface.get_pitch() != 4 * screen.size[0] or surface.get_masks()[:3] != (0xFF0000, 0xFF00, 0xFF):
        raise NoTruePicture("This display's memory is laid out another way.", f"{surface}", "Set it to 24 or 32 bit colour.")
    pygame.mouse.set_visible(settings.display is None)
    pygame.key.set_repeat(0, 0)
    return screen


def _framed(settings: Settings) -> pygame.Surface:
    surface = pygame.display.set_mode(settings.wanted_px)
    pygame.display.set_caption(settings.title)
    return surface


def _full(display: int) -> pygame.Surface:
    sizes = pygame.display.get_desktop_sizes()
    if not 0 <= display < len(sizes):
        raise NoTruePicture(f"Display {display + 1} is not there.", f"{len(sizes)} answered.", "Plug it in, or choose another.")
    try:
        surface = pygame.display.set_mode((0, 0), pygame.FULLSCREEN, display=display)
    except pygame.error as cause:
        raise NoTruePicture(f"Display {display + 1} cannot be filled.", f"({cause})", "Choose another display.") from cause
    sizes_told = {surface.get_size(), pygame.display.get_window_size(), sizes[display]}
    if len(sizes_told) != 1:
        raise NoTruePicture(
            "This picture would not be shown at true size.",
            f"The sizes {', '.join(f'{w} x {h}' for w, h in sorted(sizes_told))} disagree: the desktop is scaled.",
            "Set this display's scaling to 100 % in the system's settings.",
        )
    return surface
