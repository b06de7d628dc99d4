"""The desk without a window: commands, pages, jobs in children, port, signals."""

import asyncio
import json
import signal
import socket
from collections.abc import AsyncIterator, Awaitable, Callable
from pathlib import Path

import httpx2
import numpy as np
import pytest

from calibration.errors import Refused, WrongInput
from calibration.table import Table
from projector.desk import jobs
from projector.desk.desk import Desk
from projector.desk.serve import PortTaken, Serving, bound
from projector.session.commands import Command
from projector.session.snapshot import Snapshot
from tests.projector.desk.answering import PATIENCE_S, answering
from tests.projector.made_up import table, work

WORK = work()
ENDS_PX = np.array([[0.0, 719.0], [1279.0, 0.0]])


def _served(desk: Desk, use: Callable[[httpx2.AsyncClient, str], Awaitable[None]], serving: Serving | None = None) -> None:
    """Serve the desk, run `use` against it, end by the signal a system sends."""

    async def whole() -> None:
        async with answering(desk, serving) as url:
            async with httpx2.AsyncClient() as client:
                await use(client, url)
            signal.raise_signal(signal.SIGTERM)
            await asyncio.wait_for(desk.ended.wait(), PATIENCE_S)

    asyncio.run(whole())


def test_the_page_asks_and_is_told() -> None:
    desk = Desk(WORK, table("ready"), None, None)

    async def use(client: httpx2.AsyncClient, url: str) -> None:
        assert "Cutting table" in (await client.get(url)).text
        state = (await client.get(f"{url}state")).json()
        assert (state["format"], state["step"], state["state"]) == (1, 0, "ready")
        ask = {"name": "done", "from_step": 0}
        for _ in range(2):
            told = (await client.post(f"{url}command", content=json.dumps(ask))).json()
            assert (told["step"], told["done"]) == (1, [0])
        wrong = await client.post(f"{url}command", content=json.dumps({"name": "hop"}))
        assert wrong.status_code == 400
        assert set(wrong.json()["error"]) == {"what", "why", "next"}
        assert (await client.post(f"{url}command", content=b"\xff")).status_code == 400
        for headers in ({"Origin": "http://elsewhere.example"}, {"Host": "elsewhere.example"}):
            answer = await client.post(f"{url}command", content=json.dumps({"name": "next"}), headers=headers)
            assert answer.status_code == 403
        assert desk.snapshot.step == 1

    _served(desk, use)


def test_on_a_network_the_address_holds_a_token() -> None:
    async def use(client: httpx2.AsyncClient, url: str) -> None:
        bare, _, token = url.partition("?t=")
        assert len(token) >= 16
        assert (await client.get(f"{bare}state")).status_code == 403
        assert (await client.get(f"{bare}state?t=guess")).status_code == 403
        assert (await client.get(url)).status_code == 200  # sets the cookie
        assert (await client.get(f"{bare}state")).status_code == 200

    _served(Desk(WORK, table("ready"), None, None), use, Serving(is_lan=True))


def test_a_taken_port_is_told() -> None:
    with socket.socket() as other:
        other.bind(("127.0.0.1", 0))
        other.listen()
        with pytest.raises(PortTaken, match=str(other.getsockname()[1])):
            bound(Serving(port=other.getsockname()[1]))


def test_the_taped_line_proves_the_table_in_a_child_and_is_kept(tmp_path: Path) -> None:
    """Her tape reads 1 mm more than shown: true size grows by that much (to 1e-6), the file is written, the state is READY."""

    async def whole() -> None:
        desk = Desk(WORK, table("check"), tmp_path / "table.yaml", None)
        assert desk.snapshot.state == "check"
        desk.apply(Command("proof"))
        shown = desk.shown_mm()
        assert shown >= 1000
        before = table("check").mm_from_px(ENDS_PX)
        proved = await desk.prove(shown + 1.0)
        assert (desk.snapshot.state, desk.snapshot.mode) == ("ready", "steps")
        assert np.ptp(proved.mm_from_px(ENDS_PX), axis=0) == pytest.approx(np.ptp(before, axis=0) * (shown + 1.0) / shown, rel=1e-6)
        assert Table.read(tmp_path / "table.yaml") == proved == desk.table
        with pytest.raises(Refused):
            await desk.prove(shown * 1.5)
        with pytest.raises(WrongInput):
            desk.apply(Command("taped", {"as_read": "a metre and a bit"}))

    asyncio.run(whole())


def test_crosses_moved_onto_the_spots_make_a_true_map(tmp_path: Path) -> None:
    """The lamp was knocked by 6 mm sideways: the crosses are moved back by keys, the new map puts them on the spots."""

    async def whole() -> None:
        old = table("ready")
        desk = Desk(WORK, old, tmp_path / "table.yaml", None)
        desk.apply(Command("spots"))
        for _ in old.spots:
            desk.apply(Command("move", {"dx_mm": -6.0, "dy_mm": 2.0}))
            desk.apply(Command("fix"))
        new = await desk.true_by_eye()
        for spot in new.spots:
            at = np.array([spot.at_mm])
            (x, y), want = new.px_from_mm(at)[0], old.px_from_mm(at + np.array([-6.0, 2.0]))[0]
            assert (x, y) == pytest.approx(tuple(want), abs=0.8)  # 0.5 mm: a knock is six numbers, the shift is not exactly one
        assert desk.snapshot.mode == "steps"

    asyncio.run(whole())


def test_a_job_that_dies_or_hangs_is_told() -> None:
    async def whole() -> None:
        with pytest.raises(jobs.JobFailed, match="did not finish"):
            await jobs.run("no_such_task", {})
        with pytest.raises(jobs.JobFailed, match="took too long"):
            await jobs.run("prove", {"table": table("check"), "shown_mm": 1300.0, "taped_mm": 1300.0}, time_limit_s=0.01)

    asyncio.run(whole())


async def _next(heard: AsyncIterator[Snapshot | None]) -> Snapshot:
    told = await heard.__anext__()
    assert told is not None
    return told


def test_a_slow_page_gets_the_newest_only() -> None:
    async def whole() -> None:
        desk = Desk(WORK, table("ready"), None, None)
        heard = desk.subscribe()
        first = await _next(heard)
        for _ in range(50):
            desk.apply(Command("grid"))
        assert (await asyncio.wait_for(_next(heard), 5)).number == desk.snapshot.number == first.number + 50
        waiting = asyncio.ensure_future(_next(heard))
        await asyncio.sleep(0)
        desk.apply(Command("grid"))
        assert (await asyncio.wait_for(waiting, 5)).number == desk.snapshot.number, "none of the others comes after it"
        await heard.aclose()  # type: ignore[attr-defined]

    asyncio.run(whole())


def test_without_a_table_there_is_stop_and_no_line_to_tape() -> None:
    desk = Desk(WORK, None, None, None)
    assert (desk.snapshot.state, desk.snapshot.table) == ("stop", None)
    with pytest.raises(Refused):
        desk.apply(Command("proof"))
    shown = desk.apply(Command("frame"))
    assert (shown.mode, shown.state) == ("frame", "stop")
