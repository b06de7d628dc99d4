"""Tests of one pytest session run in forked children, each with one number of the loaded product changed. Used by `tests.bench.mutants`.

Everything is imported and collected once; a child changes what is loaded and runs its tests: no import is paid again. What another module
worked out from the number while it was imported stays as it was, and so does what a test drew while it was collected.
"""

import json
import os
import select
import sys
import time
import traceback
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path
from types import CodeType, FrameType, FunctionType, ModuleType
from typing import Any

import pytest
from _pytest.runner import runtestprotocol

DEFECT = "it raised"


@dataclass(frozen=True, slots=True)
class Test:
    """One test: its seconds of processor, what it calls as FILE:FUNCTION (`*`: it starts children, so perhaps anything)."""

    __test__ = False
    seconds: float
    calls: frozenset[str]


class Loop:
    """Plugin: hands the collected tests to `work` instead of running them."""

    def __init__(self, work: Callable[[list[pytest.Item]], None]) -> None:
        self._work = work

    def pytest_runtestloop(self, session: pytest.Session) -> bool:
        """pytest's own hook."""
        self._work(session.items)
        return True


def in_child(job: Callable[[], Any], patience_s: float) -> Any:
    """What `job` gives (plain values) in a forked child; None when it takes longer or dies. Raises RuntimeError with what it raised."""
    ours, its = os.pipe()
    child = os.fork()
    if child == 0:
        os.close(ours)
        nowhere = os.open(os.devnull, os.O_WRONLY)
        os.dup2(nowhere, 1)
        os.dup2(nowhere, 2)
        try:
            answer = json.dumps(job())
        except BaseException:  # it ends here in any case; the parent says it
            answer = json.dumps({DEFECT: traceback.format_exc()})
        with os.fdopen(its, "w", encoding="utf-8") as pipe:
            pipe.write(answer)
        os._exit(0)
    os.close(its)
    told, until = b"", time.monotonic() + patience_s
    while select.select([ours], [], [], max(0.0, until - time.monotonic()))[0]:
        part = os.read(ours, 1 << 16)
        if not part:
            break
        told += part
    else:
        os.kill(child, 9)
        told = b""
    os.close(ours)
    os.waitpid(child, 0)
    found = json.loads(told) if told else None
    if isinstance(found, dict) and DEFECT in found:
        raise RuntimeError(found[DEFECT])
    return found


def first_failure(items: Sequence[pytest.Item]) -> str:
    """Name of the first test that fails, or ""."""
    for item, following in zip(items, [*items[1:], None], strict=True):
        reports = runtestprotocol(item, log=False, nextitem=following)
        if any(report.failed for report in reports):
            return item.nodeid
    return ""


def noted(item: pytest.Item, root: Path) -> tuple[str, float, list[str]]:
    """Run one test unchanged and note what it calls (`sys.settrace` without lines): its name if it fails, seconds, calls."""
    seen: set[CodeType] = set()
    children: list[str] = []
    places = tuple(str(root / part) + os.sep for part in ("projector", "calibration"))

    def called(frame: FrameType, event: str, argument: object) -> None:
        seen.add(frame.f_code)

    def audited(event: str, arguments: tuple[object, ...]) -> None:
        if event in ("subprocess.Popen", "os.fork", "os.posix_spawn"):
            children.append(event)

    sys.addaudithook(audited)
    begun = time.process_time()
    sys.settrace(called)
    failed = first_failure([item])
    sys.settrace(None)
    ours = {f"{code.co_filename.removeprefix(f'{root}{os.sep}')}:{code.co_name}" for code in seen if code.co_filename.startswith(places)}
    return failed, time.process_time() - begun, sorted(ours | ({"*"} if children else set()))


def change_loaded(module: ModuleType, text: str) -> None:
    """Bring a module that is loaded to another source text: its functions' code and defaults, and the values that differ."""
    fresh: dict[str, Any] = {"__name__": module.__name__, "__file__": module.__file__}
    exec(compile(text, str(module.__file__), "exec"), fresh)
    for name, new in fresh.items():
        old = vars(module).get(name)
        is_from_elsewhere = callable(new) and getattr(new, "__module__", module.__name__) != module.__name__
        if name.startswith("__") or isinstance(new, ModuleType) or is_from_elsewhere:
            continue
        if isinstance(new, type) and isinstance(old, type):
            for member, made in vars(new).items():
                _graft(vars(old).get(member), made)
        elif not _graft(old, new) and repr(old) != repr(new) and " at 0x" not in repr(new):
            for other in list(sys.modules.values()):
                if getattr(other, "__dict__", {}).get(name) is old:
                    setattr(other, name, new)


def _graft(old: object, new: object) -> bool:
    """Whether these are functions (or wrap some): then the old one does what the new one does."""
    if isinstance(old, property) and isinstance(new, property):
        return _graft(old.fget, new.fget)
    old, new = (getattr(each, "__wrapped__", getattr(each, "__func__", each)) for each in (old, new))
    if not isinstance(old, FunctionType) or not isinstance(new, FunctionType):
        return False
    old.__code__, old.__defaults__, old.__kwdefaults__ = new.__code__, new.__defaults__, new.__kwdefaults__
    return True
