"""The window against `steps`: every step of a whole order, file by file, pixel by pixel."""

import asyncio
import json
from pathlib import Path

import cv2
import numpy as np
import pytest

from projector.desk.desk import Desk
from projector.desk.on_table import work_from
from projector.desk.tasks import Prepared
from projector.session.commands import Command
from projector.step_jobs import Cut, steps_of, write_steps
from tests.cutting.product import garment, lay
from tests.projector.made_up import SIZE, table
from tests.projector.window.xserver import Server, xvfb

pytestmark = pytest.mark.screen
PATIENCE_S = 60.0


async def _compare(desk: Desk, server: Server, files: Path, count: int) -> int:
    """How many pictures hold a cut line; every one must be equal."""
    desk.open_window(0)
    desk.apply(Command("leave"))  # the crosses on the table spots come first
    cuts = 0
    for number in range(count):
        shown = desk.apply(Command("go", {"step": number})) if number else desk.snapshot
        await asyncio.wait_for(desk.until_flipped(shown.number), PATIENCE_S)
        png = cv2.imread(str(files / f"{number + 1:02d}.png"))
        assert png is not None
        assert (server.picture() == np.asarray(png)[:, :, ::-1]).all(), f"step {number + 1}: {desk.snapshot.title}"
        told = json.loads((files / f"{number + 1:02d}.json").read_text())
        assert (told["title"], told["state"]) == (desk.snapshot.title, "ready")
        cuts += any(line["kind"] == "cut" for line in told["lines"])
    desk.close()
    return cuts


def test_every_step_in_the_window_is_its_file(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    pieces = garment("middle", {"lining": False})
    laid = lay(pieces, "lengthwise")
    cut = Cut("order", pieces, laid, "cm")
    light = table("ready")
    count = write_steps(cut, light, None, tmp_path / "files")
    work = work_from(Prepared("order", "cm", laid, steps_of(cut), {}), light)
    assert count == len(work.steps) > 10
    with xvfb(SIZE, tmp_path) as server:
        monkeypatch.setenv("DISPLAY", server.name)

        async def whole() -> int:
            return await _compare(Desk(work, light, None, None), server, tmp_path / "files", count)

        assert asyncio.run(whole()) > 3
