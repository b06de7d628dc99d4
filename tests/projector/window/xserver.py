"""X servers to try the window on: Xvfb, whose picture can be read back from its file, and Xorg's dummy driver with two outputs."""

import os
import subprocess
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

CONFIG = """
Section "Device"
  Identifier "d"
  Driver "dummy"
  VideoRam 65536
EndSection
Section "Monitor"
  Identifier "m"
  HorizSync 5.0-1000.0
  VertRefresh 5.0-200.0
  Modeline "1280x720" 74.48 1280 1336 1472 1664 720 721 724 746
EndSection
Section "Screen"
  Identifier "s"
  Device "d"
  Monitor "m"
  DefaultDepth 24
  SubSection "Display"
    Depth 24
    Modes "1280x720"
    Virtual 2560 720
  EndSubSection
EndSection
Section "ServerFlags"
  Option "AutoAddDevices" "false"
EndSection
"""


@dataclass(frozen=True, slots=True)
class Server:
    """A running X server: `name` for DISPLAY; `picture_file` where Xvfb keeps its frame."""

    name: str
    picture_file: Path | None

    def run(self, *command: str) -> str:
        """A client on this server; what it prints."""
        environment = {**os.environ, "DISPLAY": self.name}
        return subprocess.run(command, env=environment, check=True, capture_output=True, text=True).stdout

    def picture(self) -> NDArray[np.uint8]:
        """(h, w, 3) RGB of the whole screen, from the X window dump that Xvfb keeps (XWDFile.h: 25 numbers, big-endian)."""
        assert self.picture_file is not None
        data = self.picture_file.read_bytes()
        head = np.frombuffer(data[:100], dtype=">u4")
        header_size, width, height, line, colours = int(head[0]), int(head[4]), int(head[5]), int(head[12]), int(head[19])
        start = header_size + 12 * colours
        pixels = np.frombuffer(data, np.uint8, line * height, start).reshape(height, line)[:, : 4 * width].reshape(height, width, 4)
        return np.ascontiguousarray(pixels[:, :, 2::-1])


@contextmanager
def _started(command: list[str], picture_file: Path | None) -> Iterator[Server]:
    reading, writing = os.pipe()
    process = subprocess.Popen(
        [*command, "-displayfd", str(writing)], pass_fds=[writing], stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL
    )
    os.close(writing)
    try:
        with os.fdopen(reading) as told:
            number = told.readline().strip()  # written once the server answers
        assert number, f"{command[0]} did not start"
        yield Server(f":{number}", picture_file)
    finally:
        process.terminate()
        process.wait(10)


@contextmanager
def xvfb(size: tuple[int, int], folder: Path) -> Iterator[Server]:
    """One screen of this size."""
    command = ["Xvfb", "-screen", "0", f"{size[0]}x{size[1]}x24", "-fbdir", str(folder), "-nolisten", "tcp"]
    with _started(command, folder / "Xvfb_screen0") as server:
        yield server


@contextmanager
def two_outputs(folder: Path) -> Iterator[Server]:
    """Xorg's dummy driver with two outputs of 1280x720 side by side."""
    (folder / "xorg.conf").write_text(CONFIG)
    command = ["Xorg", "-config", str(folder / "xorg.conf"), "-logfile", str(folder / "xorg.log"), "-noreset", "-sharevts", "-novtswitch"]
    with _started(command, None) as server:
        server.run("xrandr", "--addmode", "DUMMY1", "1280x720")
        plug(server)
        yield server


def plug(server: Server) -> None:
    """The second output on, right of the first."""
    server.run("xrandr", "--output", "DUMMY1", "--mode", "1280x720", "--right-of", "DUMMY0")
    server.run("xrandr", "--query")  # the dummy driver calls an output connected only when it is asked again


SMALLER = "1024x768"


def other_mode(server: Server) -> None:
    """The second output in another mode than the one it was opened in (VESA timings of 1024x768 at 60 Hz)."""
    timings = ["65.00", "1024", "1048", "1184", "1344", "768", "771", "777", "806"]
    server.run("xrandr", "--newmode", SMALLER, *timings)
    server.run("xrandr", "--addmode", "DUMMY1", SMALLER)
    server.run("xrandr", "--output", "DUMMY1", "--mode", SMALLER)


def pull(server: Server) -> None:
    """The second output off."""
    server.run("xrandr", "--output", "DUMMY1", "--off")
