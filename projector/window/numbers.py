"""A display's own number, large, for a few seconds: so that she chooses the projector by what she sees on it."""

from projector.window.hints import set_hints

set_hints()

import pygame  # noqa: E402

from calibration.errors import TableError  # noqa: E402
from projector.window.messages import Settings  # noqa: E402
from projector.window.screen import open_screen  # noqa: E402


def show_number(display: int, seconds: float) -> None:
    """Fill one display with its number (1 for the first), then leave. A display that cannot be filled shows none."""
    try:
        screen = open_screen(Settings(display, (0, 0)))
    except TableError:
        return
    from projector.picture.painter import Painter
    from projector.scene.primitives import Label, Scene
    from projector.scene.view import PlainLight

    light = PlainLight(screen.size)
    label = Label(str(display + 1), (640.0, 250.0), 300.0, 0.0, "words", 1.0, True)
    Painter(light).into(Scene("stop", "white", 0.0, (), (label,), ()), screen.pixels())
    pygame.display.flip()
    end = pygame.time.get_ticks() + round(1000 * seconds)
    while (left := end - pygame.time.get_ticks()) > 0:
        event = pygame.event.wait(left)
        if event.type in (pygame.KEYDOWN, pygame.QUIT):
            return
