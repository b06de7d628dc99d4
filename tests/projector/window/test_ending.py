"""Ctrl+C in a terminal goes to desk and window alike; the window leaves its end to the desk."""

import signal
from typing import Any

import pytest

from projector.window import link, process


def test_ctrl_c_does_not_end_the_window_in_a_traceback(monkeypatch: pytest.MonkeyPatch) -> None:
    handled: list[Any] = []
    monkeypatch.setattr(process, "run", lambda pipe, settings: handled.append(signal.getsignal(signal.SIGINT)))
    before = signal.getsignal(signal.SIGINT)
    try:
        link._run(None, None)  # type: ignore[arg-type]
    finally:
        signal.signal(signal.SIGINT, before)
    assert handled == [signal.SIG_IGN]
