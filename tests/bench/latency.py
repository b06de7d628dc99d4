"""From a command to its picture: `python -m tests.bench.latency`. Needs Xvfb. Wall-clock, so it means little on a busy machine.

500 nudges through the desk to a window of its own on Xvfb, one at a time, each waited for until its flip is acknowledged.
Goals: 16 ms at the 95th percentile, 33 ms while a job runs; first picture within 0.6 s of the window's start when warm.
"""

import asyncio
import os
import statistics
import tempfile
import time
from dataclasses import replace
from pathlib import Path

from calibration.table import Table
from projector.desk import jobs
from projector.desk.desk import Desk
from projector.session.commands import Command
from projector.session.snapshot import ClothAt, Work
from tests.bench.render import busy_step
from tests.projector.window.xserver import xvfb

COMMANDS = 500
SIZE = (1920, 1080)


async def _nudges(desk: Desk, count: int) -> list[float]:
    told = []
    for number in range(count):
        start = time.perf_counter()
        shown = desk.apply(Command("move", {"dx_mm": 1.0 if number % 2 else -1.0, "dy_mm": 0.0}))
        await desk.until_flipped(shown.number)
        told.append(1000 * (time.perf_counter() - start))
    return told


def _line(name: str, told: list[float]) -> str:
    ordered = sorted(told)
    return f"{name}: median {statistics.median(told):.1f} ms, p95 {ordered[int(0.95 * len(ordered))]:.1f} ms, {len(told)} commands"


async def _whole() -> None:
    table = replace(Table.demonstration(SIZE), is_demonstration=False, size_percent=0.1)
    desk = Desk(Work("bench", (busy_step(),), arrivals={0: ClothAt(30.0, 20.0)}), table, None, None)
    start = time.perf_counter()
    desk.open_window(0)
    await desk.until_flipped(desk.snapshot.number)
    print(f"window's start to its first whole picture: {time.perf_counter() - start:.2f} s")
    await _nudges(desk, 20)
    print(_line("quiet", await _nudges(desk, COMMANDS)))
    job = asyncio.ensure_future(jobs.run("prepare", {"order": "configs/orders/sample.yaml", "book": None, "kept": None, "table": table}))
    print(_line("while a job runs", await _nudges(desk, COMMANDS)))
    job.cancel()
    await asyncio.gather(job, return_exceptions=True)
    own = sorted(desk.drawing_ms)
    print(f"window's own part, message to flip: median {statistics.median(own):.1f} ms")
    desk.close()


def main() -> None:
    """Print the figures."""
    with tempfile.TemporaryDirectory() as folder, xvfb(SIZE, Path(folder)) as server:
        os.environ["DISPLAY"] = server.name
        asyncio.run(_whole())


if __name__ == "__main__":
    main()
