"""Heavy work in a child process: low priority, limits of time and memory, three sentences back when it fails.

`python -m projector.desk.jobs` is the child: it reads one pickled (task, arguments) and writes one pickled answer.
"""

import asyncio
import contextlib
import os
import pickle
import sys
from importlib import import_module
from typing import Any, BinaryIO

from calibration.errors import Refused, TableError

TIME_LIMIT_S = 300.0
MEMORY_LIMIT_BYTES = 4 * 1024**3
NICENESS = 10
MOST_AT_ONCE = 3
"""Each may take all of its memory; a page that asks for more is told to wait."""


CALLED = {
    "prepare": "Drafting and laying", "solve": "Reading the photographs", "prove": "The check with tape", "by_eye": "The crosses by eye",
    "survey": "Reading the table spots", "small_picture": "Making the picture smaller", "ready": "Getting ready",
    "look": "Drawing the dress", "fitting": "Drawing the fitting", "said": "The words of the steps", "card": "The chalk card",
    "lay": "Laying the pieces", "by_hand": "Moving the piece", "by_hand_again": "Moving the pieces as before", "retape": "Moving the line",
}  # fmt: skip
"""What a task is called where she reads that it failed."""


class JobFailed(Refused):
    """The child ended without an answer."""


async def run(task: str, arguments: dict[str, Any], time_limit_s: float = TIME_LIMIT_S) -> Any:
    """Run `task` (a function in projector.desk.tasks) in a child. Its own refusals come through; anything else is JobFailed.

    Raises Refused when three run already.
    """
    if len(_RUNNING) >= MOST_AT_ONCE:
        raise Refused("The table is still at work.", f"{len(_RUNNING)} things are worked out already.", "Wait a moment, then again.")
    mine = object()
    _RUNNING.add(mine)
    try:
        return await _run(task, arguments, time_limit_s)
    finally:
        _RUNNING.discard(mine)


_RUNNING: set[object] = set()


async def _run(task: str, arguments: dict[str, Any], time_limit_s: float) -> Any:
    called = CALLED.get(task, task)
    child = await asyncio.create_subprocess_exec(
        sys.executable, "-m", "projector.desk.jobs",
        stdin=asyncio.subprocess.PIPE, stdout=asyncio.subprocess.PIPE, stderr=asyncio.subprocess.PIPE,
    )  # fmt: skip
    try:
        told, noise = await asyncio.wait_for(child.communicate(pickle.dumps((task, arguments))), time_limit_s)
    except TimeoutError as late:
        raise JobFailed(f"{called} took too long.", f"It was stopped after {time_limit_s:.0f} s.", "Try again with less.") from late
    finally:
        if child.returncode is None:
            with contextlib.suppress(ProcessLookupError):
                child.kill()
            await child.wait()
    if child.returncode != 0 or not told:
        last = noise.decode(errors="replace").strip().splitlines()[-1:] or ["no word"]
        raise JobFailed(f"{called} did not finish.", f"{last[0]} (code {child.returncode}).", "Try again; if it stays so, report it.")
    is_good, answer = pickle.loads(told)
    if not is_good:
        raise answer
    return answer


def limit_child() -> None:
    """Low priority everywhere; a limit of memory where the system has one."""
    if hasattr(os, "nice"):
        os.nice(NICENESS)
    with contextlib.suppress(ImportError):
        resource = import_module("resource")
        resource.setrlimit(resource.RLIMIT_AS, (MEMORY_LIMIT_BYTES, MEMORY_LIMIT_BYTES))


def hand_over(out: BinaryIO, answer: bytes) -> None:
    """A child's answer; when the desk is gone nobody waits for it, and the child ends without a word."""
    try:
        out.write(answer)
        out.flush()
    except BrokenPipeError:
        os._exit(0)


def _child() -> None:
    limit_child()
    answer_to = os.dup(1)
    os.dup2(2, 1)  # what libraries print is not an answer
    task, arguments = pickle.loads(sys.stdin.buffer.read())
    try:
        answer: tuple[bool, Any] = (True, getattr(import_module("projector.desk.tasks"), task)(**arguments))
    except TableError as error:
        answer = (False, error)
    with os.fdopen(answer_to, "wb") as out:
        hand_over(out, pickle.dumps(answer))


if __name__ == "__main__":
    _child()
