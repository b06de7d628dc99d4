"""A pytest plugin (`-p tests.bench.touched`): writes to the file named in TOUCHED which functions of the product a run calls.

It only notes calls (`sys.settrace` without lines). What runs in child processes is not seen: a run that starts one is marked `*`.
"""

import json
import os
import sys
from pathlib import Path
from types import CodeType, FrameType

_ROOT = str(Path.cwd()) + os.sep
_PACKAGES = (_ROOT + "projector" + os.sep, _ROOT + "calibration" + os.sep)
_seen: set[CodeType] = set()
_children: list[str] = []


def _called(frame: FrameType, event: str, argument: object) -> None:
    _seen.add(frame.f_code)


def _audited(event: str, arguments: tuple[object, ...]) -> None:
    if event in ("subprocess.Popen", "os.fork", "os.posix_spawn"):
        _children.append(event)


def pytest_sessionstart() -> None:
    """From the first import on, so that numbers read by a module's own lines count as its `<module>`."""
    sys.addaudithook(_audited)
    sys.settrace(_called)


def pytest_sessionfinish() -> None:
    """FILE:FUNCTION, one each."""
    sys.settrace(None)
    ours = {f"{code.co_filename.removeprefix(_ROOT)}:{code.co_name}" for code in _seen if code.co_filename.startswith(_PACKAGES)}
    Path(os.environ["TOUCHED"]).write_text(json.dumps(sorted(ours | ({"*"} if _children else set()))), encoding="utf-8")
