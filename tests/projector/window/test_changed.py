"""A display whose mode is changed under a running window, and a desktop that is scaled: STOP on table and phone, the step kept;
as it was again, the light comes back."""

import asyncio
from pathlib import Path

import pygame
import pytest

from projector.desk.desk import Desk
from projector.session.commands import Command
from projector.session.words import word
from projector.window.messages import Settings
from projector.window.screen import NoTruePicture, open_screen
from tests.projector.desk.answering import until
from tests.projector.made_up import SIZE, table, work
from tests.projector.window.xserver import Server, other_mode, plug, two_outputs, xvfb

pytestmark = pytest.mark.screen


async def _changed(server: Server, folder: Path) -> None:
    desk = Desk(work(), table("ready"), folder / "table.yaml", None)
    desk.open_window(1)
    await until(desk, lambda: desk.opened is not None)
    desk.apply(Command("leave"))  # the crosses on the table spots
    stood = desk.apply(Command("next"))
    assert (stood.state, stood.step) == ("ready", 1)
    other_mode(server)
    await until(desk, lambda: desk.opened is not None and desk.opened.size != SIZE)
    assert (desk.snapshot.state, desk.snapshot.stop_reason) == ("stop", word("wrong_display")), "the phone says what the table says"
    assert desk.snapshot.step == 1
    plug(server)
    await until(desk, lambda: desk.opened is not None and desk.opened.size == SIZE and desk.snapshot.state == "ready")
    assert (desk.snapshot.step, desk.snapshot.mode) == (1, "spots"), "the crosses come before the first cut line"
    desk.close()


def test_another_mode_is_stop_and_the_step_is_kept(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    with two_outputs(tmp_path) as server:
        monkeypatch.setenv("DISPLAY", server.name)
        asyncio.run(_changed(server, tmp_path))


@pytest.mark.parametrize(("told", "name"), [((1024, 576), "get_desktop_sizes"), ((1600, 900), "get_window_size")])
def test_a_scaled_desktop_is_refused(told: tuple[int, int], name: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """What a scaled desktop does to SDL (its own documentation and reports): the sizes it tells disagree. X cannot be scaled here,
    so that one answer of SDL is put in its place."""
    with xvfb(SIZE, tmp_path) as server:
        monkeypatch.setenv("DISPLAY", server.name)
        monkeypatch.setattr(pygame.display, name, lambda: [told] if name == "get_desktop_sizes" else told)
        try:
            with pytest.raises(NoTruePicture, match="true size") as refused:
                open_screen(Settings(0, SIZE, ""))
        finally:
            pygame.display.quit()
        assert f"{told[0]} x {told[1]}" in refused.value.why
        assert "scaling to 100 %" in refused.value.next_step
