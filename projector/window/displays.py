"""What displays are plugged in. SDL itself does not notice a pulled cable (measured), so it is asked elsewhere, cheaply.

On X: RandR through the system's own library, under a millisecond. On Windows: the system's list of monitors (documented,
not tried). Elsewhere: a short child process that starts SDL, half a second of one core, so it is asked seldom.
"""

import contextlib
import ctypes
import ctypes.util
import os
import platform
import subprocess
import sys
from collections.abc import Callable
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path
from typing import Any

Rect = tuple[int, int, int, int]


@dataclass(frozen=True, slots=True)
class Displays:
    """x, y, width, height of each, in the system's order; `is_cheap`: may be asked every second; `cables`: which connectors
    the kernel calls connected (Linux: a desktop may go on lighting a connector whose cable is gone)."""

    rects: tuple[Rect, ...]
    is_cheap: bool
    cables: tuple[str, ...] = ()


class _Monitor(ctypes.Structure):
    """XRRMonitorInfo of libXrandr 1.5."""

    _fields_ = [
        ("name", ctypes.c_ulong), ("primary", ctypes.c_int), ("automatic", ctypes.c_int), ("noutput", ctypes.c_int),
        ("x", ctypes.c_int), ("y", ctypes.c_int), ("width", ctypes.c_int), ("height", ctypes.c_int),
        ("mwidth", ctypes.c_int), ("mheight", ctypes.c_int), ("outputs", ctypes.c_void_p),
    ]  # fmt: skip


@lru_cache(maxsize=1)
def _randr() -> tuple[Any, Any] | None:
    """(libX11, libXrandr), None where they are not installed."""
    names = [ctypes.util.find_library("X11"), ctypes.util.find_library("Xrandr")]
    if None in names:
        return None
    x11, randr = ctypes.CDLL(names[0]), ctypes.CDLL(names[1])
    x11.XOpenDisplay.restype = ctypes.c_void_p
    x11.XCloseDisplay.argtypes = [ctypes.c_void_p]
    x11.XDefaultRootWindow.argtypes, x11.XDefaultRootWindow.restype = [ctypes.c_void_p], ctypes.c_ulong
    randr.XRRGetMonitors.argtypes = [ctypes.c_void_p, ctypes.c_ulong, ctypes.c_int, ctypes.POINTER(ctypes.c_int)]
    randr.XRRGetMonitors.restype = ctypes.POINTER(_Monitor)
    randr.XRRFreeMonitors.argtypes = [ctypes.POINTER(_Monitor)]
    return x11, randr


def _by_x() -> Displays | None:
    parts = _randr() if os.environ.get("DISPLAY") else None
    if parts is None:
        return None
    x11, randr = parts
    opened = x11.XOpenDisplay(None)  # opened for each look: Xlib ends the whole process when a kept connection breaks
    if not opened:
        return None
    count = ctypes.c_int(0)
    found = randr.XRRGetMonitors(opened, x11.XDefaultRootWindow(opened), 1, ctypes.byref(count))
    rects = tuple((m.x, m.y, m.width, m.height) for m in (found[index] for index in range(count.value)))
    if found:
        randr.XRRFreeMonitors(found)
    x11.XCloseDisplay(opened)
    return Displays(rects, True, _cables())


def _cables() -> tuple[str, ...]:
    told = []
    for status in sorted(Path("/sys/class/drm").glob("card*-*/status")):
        with contextlib.suppress(OSError):
            if status.read_text().strip() == "connected":
                told.append(status.parent.name)
    return tuple(told)


def _by_windows() -> Displays | None:
    if platform.system() != "Windows":
        return None
    system: Any = ctypes  # its Windows half is not known on other systems
    rects: list[Rect] = []
    kind = system.WINFUNCTYPE(ctypes.c_int, ctypes.c_void_p, ctypes.c_void_p, ctypes.POINTER(ctypes.c_long * 4), ctypes.c_void_p)

    def add(monitor: int, context: int, rect: Any, data: int) -> int:
        left, top, right, bottom = rect.contents
        rects.append((left, top, right - left, bottom - top))
        return 1

    system.windll.user32.EnumDisplayMonitors(None, None, kind(add), None)
    return Displays(tuple(rects), True)


LIST = (
    "import projector.window.hints as h; h.set_hints(); import pygame; pygame.display.init();"
    "print(pygame.display.get_driver(), *('%dx%d' % size for size in pygame.display.get_desktop_sizes()))"
)


def _by_child() -> Displays | None:
    told = subprocess.run([sys.executable, "-c", LIST], capture_output=True, text=True, timeout=20, check=False).stdout.split()
    if not told or (told[0] in ("offscreen", "dummy") and told[0] != os.environ.get("SDL_VIDEODRIVER")):
        return None
    sizes = [text.partition("x") for text in told[1:]]
    return Displays(tuple((0, 0, int(w), int(h)) for w, _, h in sizes), False)


ASKED: tuple[Callable[[], Displays | None], ...] = (_by_x, _by_windows, _by_child)


def displays() -> Displays:
    """What is plugged in now; no rects when there is no display at all."""
    if os.environ.get("SDL_VIDEODRIVER", "") not in ("", "x11", "windows"):
        return _by_child() or Displays((), False)
    for ask in ASKED:
        found = ask()
        if found is not None:
            return found
    return Displays((), False)
