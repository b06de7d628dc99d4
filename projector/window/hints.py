"""What SDL must be told before pygame is imported (SDL 2.28 documentation; each was tried on an X server unless said)."""

import os
import sys

HINTS = {
    "PYGAME_HIDE_SUPPORT_PROMPT": "1",  # it greets on stdout otherwise
    "SDL_VIDEO_MINIMIZE_ON_FOCUS_LOSS": "0",  # a click on the laptop must not take the light away
    "SDL_WINDOWS_DPI_AWARENESS": "permonitorv2",  # Windows scaling would break true pixels (documented, not tried)
    "SDL_FRAMEBUFFER_ACCELERATION": "0",  # plain copy: 0.2 ms a picture; through software OpenGL 10 ms
    "SDL_VIDEO_ALLOW_SCREENSAVER": "0",
    "OPENBLAS_NUM_THREADS": "1",  # maps of 13 000 points: more threads only keep other cores awake
}


def set_hints() -> None:
    """Before the first `import pygame`, which follows here; what the user has set in the environment stays.

    pygame looks for setuptools' pkg_resources to find its own icon, and does without where it is missing: it is hidden from
    that one import, since loading it takes a third of the time to the first picture (0.2 s of 0.6, measured).
    """
    for name, value in HINTS.items():
        os.environ.setdefault(name, value)
    hidden = "pkg_resources"
    if "pygame" in sys.modules or hidden in sys.modules:
        return
    sys.modules[hidden] = None  # type: ignore[assignment]
    try:
        import pygame  # noqa: F401
    finally:
        del sys.modules[hidden]


def is_dummy_asked() -> bool:
    """The user asked for a driver without a screen by name (tests do)."""
    return os.environ.get("SDL_VIDEODRIVER", "") in ("dummy", "offscreen")
