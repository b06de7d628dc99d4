"""One warm worker: a child process that has everything imported, so that a changed measure is drawn again at once.

`python -m projector.desk.worker` is the child: length-prefixed pickles of (task, arguments) in, of (is_good, answer) out.
"""

import asyncio
import os
import pickle
import struct
import sys
from importlib import import_module
from typing import Any, BinaryIO

from calibration.errors import Refused, TableError
from projector.desk.jobs import CALLED, JobFailed, hand_over, limit_child

TIME_LIMIT_S = 90.0
MOST_WAITING = 4
"""More than that behind the one in hand: a page that asks faster than it is answered, or many at once."""
_HEAD = struct.Struct(">Q")


class Worker:
    """Runs functions of projector.desk.page_tasks one after another in one child; starts it again when it ends."""

    def __init__(self, time_limit_s: float = TIME_LIMIT_S) -> None:
        self._time_limit_s = time_limit_s
        self._child: asyncio.subprocess.Process | None = None
        self._turn = asyncio.Lock()
        self._waiting = 0

    async def run(self, task: str, arguments: dict[str, Any]) -> Any:
        """The task's answer. Its own refusals come through; raises JobFailed when the child ends or takes too long, Refused when
        too many wait."""
        if self._waiting > MOST_WAITING:
            raise Refused("The table is still at work.", f"{self._waiting} drawings are asked for.", "Wait a moment, then again.")
        self._waiting += 1
        try:
            return await self._in_turn(task, arguments)
        finally:
            self._waiting -= 1

    @property
    def pid(self) -> int | None:
        """The child's process number, None while there is none."""
        return self._child.pid if self._child is not None and self._child.returncode is None else None

    async def _in_turn(self, task: str, arguments: dict[str, Any]) -> Any:
        async with self._turn:
            child = await self._ready()
            try:
                return await asyncio.wait_for(self._ask(child, task, arguments), self._time_limit_s)
            except (TimeoutError, asyncio.CancelledError, asyncio.IncompleteReadError, OSError) as cause:
                await self._end(child)  # half an answer may still be on its way
                if isinstance(cause, asyncio.CancelledError):
                    raise
                late = isinstance(cause, TimeoutError)
                why = f"It was stopped after {self._time_limit_s:.0f} s." if late else "The process that does it ended before it answered."
                raise JobFailed(f"{CALLED.get(task, task)} did not finish.", why, "Try again; if it stays so, report it.") from cause

    async def _ready(self) -> asyncio.subprocess.Process:
        if self._child is None or self._child.returncode is not None:
            self._child = await asyncio.create_subprocess_exec(
                sys.executable, "-m", "projector.desk.worker", stdin=asyncio.subprocess.PIPE, stdout=asyncio.subprocess.PIPE
            )
        return self._child

    async def _ask(self, child: asyncio.subprocess.Process, task: str, arguments: dict[str, Any]) -> Any:
        assert child.stdin is not None
        assert child.stdout is not None
        packed = pickle.dumps((task, arguments))
        child.stdin.write(_HEAD.pack(len(packed)) + packed)
        await child.stdin.drain()
        (size,) = _HEAD.unpack(await child.stdout.readexactly(_HEAD.size))
        is_good, answer = pickle.loads(await child.stdout.readexactly(size))
        if not is_good:
            raise answer
        return answer

    async def _end(self, child: asyncio.subprocess.Process) -> None:
        if child.returncode is None:
            child.kill()
            await child.wait()

    async def close(self) -> None:
        """End the child."""
        if self._child is not None:
            await self._end(self._child)


def _read(source: BinaryIO, size: int) -> bytes | None:
    data = source.read(size)
    return data if len(data) == size else None


def _child() -> None:
    limit_child()
    answer_to = os.fdopen(os.dup(1), "wb")
    os.dup2(2, 1)  # what libraries print is not an answer
    tasks = import_module("projector.desk.page_tasks")
    source = sys.stdin.buffer
    while (head := _read(source, _HEAD.size)) is not None:
        packed = _read(source, _HEAD.unpack(head)[0])
        if packed is None:
            return
        task, arguments = pickle.loads(packed)
        try:
            answer: tuple[bool, Any] = (True, getattr(tasks, task)(**arguments))
        except TableError as error:
            answer = (False, error)
        told = pickle.dumps(answer)
        hand_over(answer_to, _HEAD.pack(len(told)) + told)


if __name__ == "__main__":
    _child()
