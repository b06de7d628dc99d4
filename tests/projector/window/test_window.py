"""The window as a process of its own on real X servers: what it shows, hears and refuses. It answers each flip; nothing sleeps."""

import asyncio
import os
import signal
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path
from queue import Queue
from typing import TypeVar

import numpy as np
import pytest
from numpy.typing import NDArray

from calibration.errors import WrongInput
from calibration.table import Table
from projector.desk.desk import Desk
from projector.picture.painter import Painter
from projector.scene.compose import Scenes
from projector.scene.view import Light, PlainLight
from projector.session.change import apply
from projector.session.commands import Command
from projector.session.snapshot import Snapshot
from projector.window.link import WindowLink
from projector.window.messages import DisplayChanged, Flipped, FromWindow, Load, NotOpened, Opened, Pressed, Settings, Show
from projector.window.shown import as_shown
from tests.projector.desk.answering import until
from tests.projector.made_up import SIZE, snapshot, table, work
from tests.projector.window.xserver import Server, plug, pull, two_outputs, xvfb

pytestmark = pytest.mark.screen
WORK = work()
T = TypeVar("T")
LONGEST_S = 60.0


class Watched:
    """A window and everything it said."""

    def __init__(self, shown: Snapshot, light: Table, display: int | None) -> None:
        self.said: Queue[FromWindow | None] = Queue()
        self.link = WindowLink(Settings(display, light.size, "made up"), self.said.put)
        self.link.send(Load(WORK, light))
        self.link.send(Show(shown))

    def until(self, kind: type[T]) -> T:
        """The next message of that kind; the window's end is a failure."""
        while True:
            message = self.said.get(timeout=LONGEST_S)
            assert message is not None, "the window ended"
            if isinstance(message, kind):
                return message

    def shows(self, number: int) -> None:
        """Wait for this snapshot's flip."""
        while self.until(Flipped).number < number:
            pass


@pytest.fixture
def screen(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Server]:
    with xvfb(SIZE, tmp_path) as server:
        monkeypatch.setenv("DISPLAY", server.name)
        yield server


def _as_drawn(shown: Snapshot, light: Light) -> NDArray[np.uint8]:
    return Painter(light).rgb(Scenes.of(WORK).scene(shown, light))


def test_full_screen_is_the_picture_pixel_for_pixel(screen: Server) -> None:
    """READY and CHECK as drawn for files; a demonstration over a whole display is STOP; keys come back; held keys end."""
    window = Watched(snapshot("ready"), table("ready"), 0)
    opened = window.until(Opened)
    assert (opened.size, opened.is_full, opened.driver) == (SIZE, True, "x11")
    window.shows(1)
    assert (screen.picture() == _as_drawn(snapshot("ready"), table("ready"))).all()

    check = replace(snapshot("check"), number=2, step=1)
    window.link.send(Load(WORK, table("check")))
    window.link.send(Show(check))
    window.shows(2)
    assert (screen.picture() == _as_drawn(check, table("check"))).all()

    demo = replace(snapshot("demonstration"), number=3)
    window.link.send(Load(WORK, table("demonstration")))
    window.link.send(Show(demo))
    window.shows(3)
    stopped = as_shown(demo, opened)
    assert stopped.state == "stop"
    assert (screen.picture() == _as_drawn(stopped, table("demonstration"))).all()
    window.link.close()


def test_a_table_of_another_size_is_stop(screen: Server) -> None:
    other = table("ready", (1920, 1080))
    shown = replace(snapshot("ready"), table=replace(snapshot("ready").table, size_px=(1920, 1080)))  # type: ignore[type-var]
    window = Watched(shown, other, 0)
    stopped = as_shown(shown, window.until(Opened))
    assert stopped.state == "stop"
    window.shows(1)
    assert (screen.picture() == _as_drawn(stopped, PlainLight(SIZE))).all(), "pixel by pixel, since no mm are known on this display"
    window.link.close()


def test_keys_presenter_and_a_bouncing_pedal(screen: Server) -> None:
    held = snapshot("ready")
    window = Watched(held, table("ready"), 0)
    window.shows(1)

    def press(*keys: str) -> Command:
        for key in keys:
            screen.run("xdotool", "key", key)
        return window.until(Pressed).command

    assert press("g") == Command("grid")
    assert press("shift+Right") == Command("move", {"dx_mm": 10.0, "dy_mm": 0.0})
    assert press("Next", "Next", "Next", "h") == Command("done", {}, 0)
    assert window.until(Pressed).command == Command("help"), "the pedal bounced: only its first stroke counts"
    screen.run("xdotool", "keydown", "Up")
    for count in range(4):
        moved = window.until(Pressed).command
        assert moved == Command("move", {"dx_mm": 0.0, "dy_mm": 1.0})
        held = apply(held, WORK, moved)
        if count == 3:
            screen.run("xdotool", "keyup", "Up")
        window.link.send(Show(held))
        window.shows(held.number)
    assert press("a") == Command("allowances"), "after release nothing held runs on"
    window.link.close()


def test_no_display_and_a_display_that_is_not_there_are_refused(screen: Server, monkeypatch: pytest.MonkeyPatch) -> None:
    absent = Watched(snapshot("ready"), table("ready"), 3)
    assert "Display 4" in absent.until(NotOpened).what
    monkeypatch.delenv("DISPLAY")
    for name in ("WAYLAND_DISPLAY", "SDL_VIDEODRIVER"):
        monkeypatch.delenv(name, raising=False)
    assert "no display" in Watched(snapshot("ready"), table("ready"), 0).until(NotOpened).what
    monkeypatch.setenv("SDL_VIDEODRIVER", "dummy")
    asked = Watched(snapshot("demonstration"), table("demonstration"), None)
    assert asked.until(Opened).driver == "dummy"
    asked.link.close()


def _desk(tmp_path: Path) -> Desk:
    bare = replace(table("ready"), spots=())
    return Desk(WORK, bare, tmp_path / "table.yaml", tmp_path / "journal" / "sample.jsonl")


def test_the_desk_starts_a_dead_window_again_with_the_same_step(screen: Server, tmp_path: Path) -> None:
    async def whole() -> None:
        desk = _desk(tmp_path)
        desk.open_window(0)
        cut = desk.apply(Command("done"))
        await asyncio.wait_for(desk.until_flipped(cut.number), LONGEST_S)
        first = desk.window_pid
        assert first is not None
        desk.flipped = -1
        os.kill(first, signal.SIGKILL)
        await asyncio.wait_for(desk.until_flipped(cut.number), LONGEST_S)
        assert desk.window_pid not in (None, first)
        assert desk.snapshot.done == (0,)
        assert (screen.picture() == _as_drawn(desk.snapshot, replace(table("ready"), spots=()))).all()
        desk.close()

    asyncio.run(whole())


def test_a_hung_window_holds_up_nothing_and_is_started_again(screen: Server, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """It is stopped, not dead: five hundred commands go on (its pipe holds a few dozen), then it is ended and another shows the last."""

    async def whole() -> None:
        desk = _desk(tmp_path)
        desk.open_window(0)
        await asyncio.wait_for(desk.until_flipped(desk.snapshot.number), LONGEST_S)
        hung = desk.window_pid
        assert hung is not None
        os.kill(hung, signal.SIGSTOP)
        with monkeypatch.context() as short:
            short.setattr("projector.window.link.HANG_S", 0.2)
            desk.apply(Command("grid"))
        for _ in range(500):
            desk.apply(Command("move", {"dx_mm": 0.1}))
        await asyncio.wait_for(desk.until_flipped(desk.snapshot.number), LONGEST_S)
        assert desk.window_pid not in (None, hung)
        assert (screen.picture() == _as_drawn(desk.snapshot, replace(table("ready"), spots=()))).all()
        desk.close()

    asyncio.run(whole())


def test_a_pulled_display_is_stop_and_its_return_goes_on(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Two outputs: the lamp on the second is pulled in mid-cut, then plugged in again."""

    async def whole(server: Server) -> None:
        desk = _desk(tmp_path)
        desk.open_window(1)
        cut = desk.apply(Command("done"))
        await asyncio.wait_for(desk.until_flipped(cut.number), LONGEST_S)
        pull(server)
        await until(desk, lambda: desk.snapshot.state == "stop")
        assert desk.snapshot.step == cut.step
        plug(server)
        await until(desk, lambda: desk.snapshot.state == "ready")
        await asyncio.wait_for(desk.until_flipped(desk.snapshot.number), LONGEST_S)
        assert (desk.snapshot.step, desk.snapshot.done) == (cut.step, cut.done)
        desk.close()

    with two_outputs(tmp_path) as server:
        monkeypatch.setenv("DISPLAY", server.name)
        asyncio.run(whole(server))


def test_from_the_framed_demonstration_to_the_projector(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The demonstration never fills the display: it gives way to what the lamp needs first, on the display she named."""

    async def whole() -> None:
        desk = Desk(WORK, table("demonstration"), tmp_path / "table.yaml", None)
        desk.open_window(None)
        await asyncio.wait_for(desk.until_flipped(desk.snapshot.number), LONGEST_S)
        assert desk.opened is not None
        assert not desk.opened.is_full
        with pytest.raises(WrongInput, match="Display 3"):
            desk.apply(Command("projector", {"display": 3}))
        desk.flipped = -1
        desk.apply(Command("projector", {"display": 2}))
        await until(desk, lambda: desk.opened is not None and desk.opened.is_full)
        await asyncio.wait_for(desk.until_flipped(desk.snapshot.number), LONGEST_S)
        assert (desk.snapshot.state, desk.snapshot.mode, desk.table) == ("stop", "setup", None)
        desk.close()

    with two_outputs(tmp_path) as server:
        monkeypatch.setenv("DISPLAY", server.name)
        asyncio.run(whole())


def test_a_display_that_changes_says_so(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    with two_outputs(tmp_path) as server:
        monkeypatch.setenv("DISPLAY", server.name)
        window = Watched(snapshot("ready"), table("ready"), 1)
        window.shows(1)
        pull(server)
        assert "1280 x 720" in window.until(DisplayChanged).why
