"""From the phone's command over HTTP to its flip: `python -m tests.bench.phone`. Needs Xvfb. Means little on a busy machine.

A child plays the phone: 500 nudges over one kept connection, each waited for until the window has acknowledged its flip; the clock is the
system's monotonic one, the same in both processes. Goal: two frames of 60 Hz (33 ms) at the 95th percentile, quiet.
"""

import asyncio
import http.client
import json
import os
import statistics
import subprocess
import sys
import tempfile
import time
from dataclasses import replace
from pathlib import Path
from urllib.parse import urlsplit

from calibration.table import Table
from projector.desk.desk import Desk
from projector.desk.serve import Serving
from projector.session.snapshot import ClothAt, Work
from projector.window.messages import Flipped, FromWindow
from tests.bench.latency_runs import SIZE
from tests.bench.render import busy_step
from tests.projector.desk.answering import answering
from tests.projector.window.xserver import xvfb

COMMANDS = 500
RATE_PAUSE_S = 0.045
"""Slower than the page's rate limit (25 a second)."""


class Timed(Desk):
    """A desk that notes when each snapshot was in the light, s of the monotonic clock."""

    flips: dict[int, float]

    def _window_said(self, started: int, message: FromWindow | None) -> None:
        if isinstance(message, Flipped):
            self.flips[message.number] = time.monotonic()
        super()._window_said(started, message)


def phone(port: int, count: int) -> None:
    """The child: one line `number seconds` for each command, when it was sent."""
    line = http.client.HTTPConnection("127.0.0.1", port, timeout=60)
    for number in range(count):
        sent = time.monotonic()
        line.request("POST", "/command", json.dumps({"name": "move", "args": {"dx_mm": 1.0 if number % 2 else -1.0}}))
        print(json.loads(line.getresponse().read())["number"], sent, flush=True)
        time.sleep(RATE_PAUSE_S)


async def _measured(desk: Timed, port: int, count: int) -> list[float]:
    child = await asyncio.create_subprocess_exec(sys.executable, "-m", "tests.bench.phone", str(port), str(count), stdout=subprocess.PIPE)
    told, _ = await child.communicate()
    await desk.until_flipped(desk.snapshot.number)
    sent = {int(number): float(at) for number, at in (line.split() for line in told.decode().splitlines())}
    return [1000 * (desk.flips[number] - at) for number, at in sent.items() if number in desk.flips]


async def _whole(folder: Path) -> None:
    table = replace(Table.demonstration(SIZE), is_demonstration=False, size_percent=0.1)
    desk = Timed(Work("bench", (busy_step(),), arrivals={0: ClothAt(30.0, 20.0)}), table, None, folder / "bench.jsonl")
    desk.flips = {}
    async with answering(desk, Serving(book=folder), lambda: desk.open_window(0)) as url:
        port = int(urlsplit(url).port or 0)
        await desk.until_flipped(desk.snapshot.number)
        await _measured(desk, port, 20)
        took = sorted(await _measured(desk, port, COMMANDS))
    p95 = took[int(0.95 * len(took))]
    print(f"command from the phone to its flip: median {statistics.median(took):.1f} ms, p95 {p95:.1f} ms, {len(took)} commands")


def main() -> None:
    """Print the figures."""
    with tempfile.TemporaryDirectory() as folder, xvfb(SIZE, Path(folder)) as server:
        os.environ["DISPLAY"] = server.name
        asyncio.run(_whole(Path(folder)))


if __name__ == "__main__":
    if len(sys.argv) == 3:
        phone(int(sys.argv[1]), int(sys.argv[2]))
    else:
        main()
