"""From a command to its picture, see latency.py. Needs Xvfb and Linux.

500 nudges through the desk to a window of its own on Xvfb, one at a time, each waited for until its flip is acknowledged.
Goals: 16 ms at the 95th percentile, 33 ms while a job runs; first picture within 0.6 s of the window's start when warm; idle
3 % of a core. Wall-clock means little on a busy machine: beside it stands the CPU time of the desk and of the window, and how
many others wanted a core (the load told by the system).
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
IDLE_S = 20.0
SIZE = (1920, 1080)


async def _nudges(desk: Desk, count: int) -> list[float]:
    told = []
    for number in range(count):
        start = time.perf_counter()
        shown = desk.apply(Command("move", {"dx_mm": 1.0 if number % 2 else -1.0, "dy_mm": 0.0}))
        await desk.until_flipped(shown.number)
        told.append(1000 * (time.perf_counter() - start))
    return told


def _cpu_s(pid: int | None) -> float:
    """CPU time of a process so far, s (fields 14 and 15 of its stat, proc(5))."""
    if pid is None:
        return 0.0
    fields = Path(f"/proc/{pid}/stat").read_text().rpartition(")")[2].split()
    return (int(fields[11]) + int(fields[12])) / os.sysconf("SC_CLK_TCK")


async def _counted(name: str, desk: Desk) -> None:
    """500 nudges, with what they cost."""
    window, own = _cpu_s(desk.window_pid), time.process_time()
    told = await _nudges(desk, COMMANDS)
    window, own = _cpu_s(desk.window_pid) - window, time.process_time() - own
    print(f"{_line(name, told)}; CPU a command: window {1000 * window / COMMANDS:.1f} ms, desk {1000 * own / COMMANDS:.1f} ms")


async def _idle(desk: Desk) -> None:
    """A step in the light, nobody touches anything."""
    window, own, start = _cpu_s(desk.window_pid), time.process_time(), time.perf_counter()
    await asyncio.sleep(IDLE_S)
    lasted = time.perf_counter() - start
    window, own = (_cpu_s(desk.window_pid) - window) / lasted, (time.process_time() - own) / lasted
    print(f"idle: {100 * (window + own):.1f} % of a core (window {100 * window:.1f}, desk {100 * own:.1f})")


def _line(name: str, told: list[float]) -> str:
    ordered = sorted(told)
    return f"{name}: median {statistics.median(told):.1f} ms, p95 {ordered[int(0.95 * len(ordered))]:.1f} ms, {len(told)} commands"


async def _whole() -> None:
    table = replace(Table.demonstration(SIZE), is_demonstration=False, size_percent=0.1)
    desk = Desk(Work("bench", (busy_step(),), arrivals={0: ClothAt(30.0, 20.0)}), table, None, None)
    start = time.perf_counter()
    desk.open_window(0)
    await desk.until_flipped(desk.snapshot.number)
    lasted, used = time.perf_counter() - start, _cpu_s(desk.window_pid)
    print(f"window's start to its first whole picture: {lasted:.2f} s, {used:.2f} s of CPU; load {os.getloadavg()[0]:.1f}")
    await _nudges(desk, 20)
    await _counted("quiet", desk)
    await _idle(desk)
    job = asyncio.ensure_future(jobs.run("prepare", {"order": "configs/orders/sample.yaml", "book": None, "kept": None, "table": table}))
    await _counted("while a job runs", desk)
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
