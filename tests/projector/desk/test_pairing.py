"""The code thrown on the table: a phone reads it as it is thrown, and it goes when the phone is in; a new one shuts the others out."""

import asyncio
from dataclasses import replace
from pathlib import Path

import cv2
import httpx2
import pytest

from calibration.errors import Refused
from calibration.table import Table
from projector.desk.desk import Desk
from projector.desk.serve import Serving
from projector.picture.painter import Painter
from projector.scene.compose import Scenes
from projector.scene.view import Light, PlainLight
from projector.session.change import NotNow
from projector.session.commands import Command
from projector.session.snapshot import SIDES, Snapshot
from tests.projector.desk.answering import answering
from tests.projector.made_up import SIZE, table, work

WORK = work()
ADDRESS = "http://192.168.178.123:43210/?t=Ab3-_xYz09QwErTy"


def read(shown: Snapshot, light: Light) -> str:
    """What a reader of codes finds in the picture (OpenCV's own, a library apart from the one that makes the code)."""
    picture = Painter(light).rgb(Scenes.of(WORK).scene(shown, light))
    return str(cv2.QRCodeDetector().detectAndDecode(picture)[0])


@pytest.mark.parametrize("light", [None, "check", "ready"])
def test_a_phone_reads_the_code_as_it_is_thrown(light: str | None) -> None:
    desk = Desk(WORK, table(light) if light else None, None, None)
    desk.code_of = lambda is_new: ADDRESS
    desk.apply(Command("code"))
    thrown = table(light) if light else PlainLight(SIZE)
    for side in SIDES if light == "ready" else ("bottom",):
        assert read(replace(desk.snapshot, worker_side=side), thrown) == ADDRESS


def test_the_code_goes_for_work_and_no_cut_is_done_under_it() -> None:
    desk = Desk(WORK, replace(table("ready"), spots=()), None, None)
    with pytest.raises(Refused, match="No phone"):
        desk.apply(Command("code"))
    desk.code_of = lambda is_new: ADDRESS
    desk.apply(Command("code"))
    with pytest.raises(NotNow, match="not marked done"):
        desk.apply(Command("done"))
    assert desk.snapshot.done == ()
    assert (desk.apply(Command("next")).mode, desk.snapshot.code) == ("steps", "")
    desk.apply(Command("code"))
    assert desk.apply(Command("code")).mode == "steps"


def test_paired_by_the_code_the_table_goes_on_and_a_new_code_shuts_the_others_out(tmp_path: Path) -> None:
    async def whole() -> None:
        desk = Desk(WORK, Table.demonstration(SIZE), None, None)
        async with (
            answering(desk, Serving(is_lan=True, book=tmp_path)) as first,
            httpx2.AsyncClient() as phone,
            httpx2.AsyncClient() as other,
        ):
            desk.apply(Command("code"))
            assert desk.snapshot.code == first
            desk.after_code = Command("frame")
            state = first.partition("?")[0] + "state"
            assert (await phone.get(first)).status_code == 200
            assert (desk.snapshot.mode, desk.snapshot.code) == ("frame", "")
            assert (await phone.get(state)).status_code == 200
            desk.apply(Command("new_code"))
            assert desk.snapshot.code != first
            assert (await phone.get(state)).status_code == 403
            assert (await other.get(first)).status_code == 403
            assert (await other.get(desk.snapshot.code)).status_code == 200
            assert (await other.get(state)).status_code == 200
            assert desk.snapshot.mode == "steps"

    asyncio.run(whole())
