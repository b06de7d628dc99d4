"""From a dark display to READY without leaving the program: the frame read back from the screen lights the virtual table, its
photographs go in by the page, the long line is taped, and the lines are where the virtual table says."""

import asyncio
from pathlib import Path

import httpx2
import numpy as np
import pytest

from calibration.sheets_files import write_sheets
from calibration.table import Table
from projector.desk.desk import Desk
from projector.desk.serve import Serving
from projector.session.commands import Command
from tests.projector.desk.answering import answering
from tests.projector.made_up import SIZE, work
from tests.projector.window.xserver import Server, xvfb
from tests.virtual_table import LANDSCAPE_3MP, good, pages_of, photographs, truth_of

pytestmark = pytest.mark.screen
PATIENCE_S = 110.0


async def _calibrate(desk: Desk, url: str, server: Server, folder: Path) -> float:
    """Returns how far the long line on the virtual table is from the length shown, mm."""
    desk.open_window(0)
    await asyncio.wait_for(desk.until_flipped(desk.snapshot.number), PATIENCE_S)
    framed = desk.apply(Command("frame"))
    await asyncio.wait_for(desk.until_flipped(framed.number), PATIENCE_S)
    scene = good(5, pages_of(folder), SIZE, phone_px=LANDSCAPE_3MP)
    photos = photographs(scene, [server.picture()], folder / "photos")
    async with httpx2.AsyncClient(timeout=PATIENCE_S) as client:
        answer = await client.post(f"{url}photos", files=[("photo", (photo.name, photo.read_bytes(), "image/jpeg")) for photo in photos])
    assert answer.status_code == 200, answer.text
    told = answer.json()
    assert (told["state"], told["mode"]) == ("stop", "proof"), "nothing is taped yet"
    assert desk.table is not None
    shown = desk.shown_mm()
    middle = desk.table.mm_from_px(np.array([[SIZE[0] / 2, SIZE[1] / 2]]))[0]
    half = np.array([shown / 2, 0.0])
    ends = desk.table.px_from_mm(np.array([middle - half, middle + half]))
    on_table = np.asarray(truth_of(scene).mm_from_px(ends))
    taped = float(np.hypot(*(on_table[1] - on_table[0])))
    await desk.prove(taped)
    assert desk.snapshot.mode == "shadow", "at the first set-up the shadow of lamp and hand is tried"
    desk.apply(Command("done"))
    assert (desk.snapshot.mode, desk.snapshot.step, desk.snapshot.done) == ("steps", 0, ())
    return abs(taped - shown)


def test_from_dark_to_ready_inside(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    write_sheets(tmp_path / "sheets", "a4", 4, 200.0, False)

    async def whole(server: Server) -> None:
        desk = Desk(work(), None, tmp_path / "table.yaml", None)
        async with answering(desk, Serving(sheets=tmp_path / "sheets" / "sheets.json")) as url:
            away = await _calibrate(desk, url, server, tmp_path / "sheets")
            assert away < 1.0  # sheets of the virtual table are printed true; 0.2 mm shape over 1.3 m of line
            assert desk.snapshot.state == "ready"
            await asyncio.wait_for(desk.until_flipped(desk.snapshot.number), PATIENCE_S)

    with xvfb(SIZE, tmp_path) as server:
        monkeypatch.setenv("DISPLAY", server.name)
        asyncio.run(whole(server))
    assert Table.read(tmp_path / "table.yaml").state == "ready"
