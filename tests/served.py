"""The program itself as a child, asked through raw sockets: what a phone, or somebody hostile, can send and nothing else."""

import http.client
import json
import os
import signal
import socket
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import Any

ROOT = Path(__file__).resolve().parents[1]
PATIENCE_S = 60.0
BARE = {name: value for name, value in os.environ.items() if name not in ("DISPLAY", "WAYLAND_DISPLAY", "SDL_VIDEODRIVER")}


@dataclass(frozen=True, slots=True)
class Served:
    """A running `show`: its process, its page's address with the code, its port."""

    child: subprocess.Popen[str]
    url: str
    port: int

    def cookie(self) -> str:
        """Pair as a phone does; the header to send from then on."""
        told = self.send("GET", f"/?{self.url.partition('?')[2]}")
        return {name.lower(): value for name, value in told.headers}["set-cookie"].split(";")[0]

    def connection(self, source: str = "127.0.0.1") -> http.client.HTTPConnection:
        """One connection from an address of this machine (Linux answers on all of 127/8)."""
        return http.client.HTTPConnection("127.0.0.1", self.port, timeout=PATIENCE_S, source_address=(source, 0))

    def send(
        self, method: str, path: str, body: bytes | None = None, headers: dict[str, str] | None = None, source: str = "127.0.0.1"
    ) -> "Answer":
        """One request and its answer."""
        connection = self.connection(source)
        try:
            connection.request(method, path, body, {**(headers or {}), "Connection": "close"})
            response = connection.getresponse()
            return Answer(response.status, response.getheaders(), response.read())
        finally:
            connection.close()

    def raw(self, data: bytes, source: str = "127.0.0.1", is_ended: bool = False) -> bytes:
        """Bytes on the wire and what comes back until the other end closes; a reset is an end too. `is_ended`: nothing more follows."""
        with socket.create_connection(("127.0.0.1", self.port), PATIENCE_S, (source, 0)) as wire:
            came = b""
            try:
                wire.sendall(data)
                if is_ended:
                    wire.shutdown(socket.SHUT_WR)
                while part := wire.recv(65536):
                    came += part
            except TimeoutError:
                raise
            except OSError:
                pass  # reset, or closed before all was sent
            return came


@dataclass(frozen=True, slots=True)
class Answer:
    """What came back."""

    status: int
    headers: list[tuple[str, str]]
    body: bytes

    @property
    def json(self) -> Any:
        """The body read."""
        return json.loads(self.body)


@contextmanager
def served(order: str, book: Path, *options: str, display: str = "", is_lan: bool = True) -> Iterator[Served]:
    """`show ORDER` until the block ends. `display`: an X server for its window; none: no window."""
    command = [sys.executable, "-m", "projector", "show", order, "--json", "--book", str(book), *options]
    command += (["--lan"] if is_lan else []) + (["--window"] if display else ["--no-window"])
    environment = {**BARE, "PROJECTOR_BOOK": str(book), **({"DISPLAY": display} if display else {})}
    child = subprocess.Popen(command, cwd=ROOT, stdout=subprocess.PIPE, text=True, env=environment)
    assert child.stdout is not None
    try:
        told = json.loads(child.stdout.readline())
        assert "url" in told, told
        yield Served(child, told["url"], told["port"])
    finally:
        child.send_signal(signal.SIGTERM)
        child.wait(PATIENCE_S)
        child.stdout.close()


def children_of(pid: int) -> list[int]:
    """The processes it started and that still run (Linux)."""
    return [int(each) for each in Path(f"/proc/{pid}/task/{pid}/children").read_text("ascii").split()]


def window_of(pid: int) -> int:
    """The window's process among a desk's children: the one that shows pictures."""
    found = [child for child in children_of(pid) if b"spawn_main" in Path(f"/proc/{child}/cmdline").read_bytes()]
    assert len(found) == 1, f"{len(found)} windows"
    return found[0]


def memory_mb(pid: int, kind: str = "VmRSS") -> float:
    """Resident memory now; `VmHWM`: the most it ever was."""
    lines = Path(f"/proc/{pid}/status").read_text("ascii").splitlines()
    return next(int(line.split()[1]) / 1024 for line in lines if line.startswith(kind))
