"""Watching: a fixed camera's frames of the virtual table with stuck labels; still, moved, a hand in the way."""

from dataclasses import replace
from pathlib import Path
from types import SimpleNamespace

import cv2
import numpy as np
import pytest
from numpy.typing import NDArray

from calibration import movement as comparing
from calibration.__main__ import app
from calibration.command_line import run_app
from calibration.frame import frame_picture
from calibration.movement import Movement
from calibration.photograph import Photograph
from calibration.sheets_files import write_sheets
from calibration.table import Table
from calibration.watch import ALARM_ONE_MM, ALARM_TEN_MM, TEN, WatchLook, _judged, watch
from tests.calibration.exact import exact_table
from tests.virtual_table import good, labels_of, stuck_labels, truth_of
from tests.virtual_table.hostile import turned_lamp
from tests.virtual_table.lens import Array, Lens
from tests.virtual_table.photo import developed
from tests.virtual_table.render import radiance
from tests.virtual_table.scene import Phone, Scene, Sensor, Thing
from tests.virtual_table.scenes import GOOD, drawn_phone

Frame = NDArray[np.uint8]


def camera(tmp_path: Path) -> tuple[Scene, Phone, Frame]:
    """(table with six labels, a webcam of 1920 x 1080 over it, the light's picture)."""
    write_sheets(tmp_path, "a4", 1, 300.0, labels=True)
    scene, random = good(3, []), np.random.default_rng(1)
    w, h = 1920, 1080
    lens = Lens(0.8 * w, ((w - 1) / 2, (h - 1) / 2), -0.03, 0.01)
    phone = drawn_phone(random, GOOD, scene.lamp, (w, h), Sensor(noise=0.010, quality=85, defocus_px=0.6), lens, turn=0)
    sheets = stuck_labels(random, scene.lamp, list(labels_of(tmp_path).values())[:6])
    return replace(scene, sheets=sheets, phones=(phone,)), phone, np.ascontiguousarray(frame_picture((1920, 1080))[..., ::-1])


def frames(scene: Scene, phone: Phone, picture: Frame, seeds: range) -> list[Frame]:
    """Noisy frames of one state of the table."""
    light = radiance(scene, phone, picture)
    files = [developed(light.copy(), replace(phone, seed=seed)) for seed in seeds]
    return [np.asarray(cv2.imdecode(np.frombuffer(file, np.uint8), cv2.IMREAD_COLOR), dtype=np.uint8) for file in files]


def largest_movement(scene: Scene, degrees: float) -> float:
    """How far the light goes at the worst of its corners and middle, mm."""
    w, h = scene.lamp.size
    px = np.array([[0.0, 0.0], [w - 1.0, 0.0], [w - 1.0, h - 1.0], [0.0, h - 1.0], [w / 2, h / 2]])
    return float(np.linalg.norm(turned_lamp(scene.lamp, degrees).world_from_px(px) - scene.lamp.world_from_px(px), axis=1).max())


def test_alarm_when_the_light_moves_and_only_then(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """12 still frames; a hand; 0.7 mm, 10 mm of true movement; still again. Movement is told within 0.15 mm (a tenth of a pixel)."""
    scene, phone, picture = camera(tmp_path)
    corner = scene.lamp.world_from_px(np.array([400.0, 300.0]))
    hand = replace(scene, things=(Thing((float(corner[0]), float(corner[1])), 120.0, 60.0),))
    still = frames(scene, phone, picture, range(12))
    little = frames(scene, replace(phone, lamp=turned_lamp(scene.lamp, 0.02)), picture, range(20, 22))
    much = frames(scene, replace(phone, lamp=turned_lamp(scene.lamp, 0.3)), picture, range(30, 33))
    table = exact_table(truth_of(scene))
    looks = list(watch([*still, *frames(hand, phone, picture, range(40, 42)), *little, *much, *still[:1]], table))
    told = [look.moved_mm for look in looks]
    assert not any(look.alarm for look in looks[:14])
    assert max(moved for moved in told[:12] if moved is not None) < 0.2
    assert all(moved == pytest.approx(largest_movement(scene, 0.02), abs=0.15) for moved in told[14:16])
    assert all(look.alarm for look in looks[14:16])
    assert looks[18].alarm  # far away: read by its codes at the third look
    assert told[18] == pytest.approx(largest_movement(scene, 0.3), rel=0.25)
    assert not looks[19].alarm
    folder = tmp_path / "frames"
    folder.mkdir()
    for index, frame in enumerate([still[0], little[0]]):
        cv2.imwrite(str(folder / f"{index}.png"), frame)
    table.write(tmp_path / "table.yaml")
    assert run_app(app, ["watch", "--table", str(tmp_path / "table.yaml"), "--frames", str(folder), "--json"]) == 0
    lines = capsys.readouterr().out.splitlines()
    assert [('"alarm": true' in line) for line in lines] == [False, True]


def test_an_hour_of_noise_raises_no_alarm_and_a_slow_drift_does() -> None:
    """3,600 looks with the scatter measured on still frames (sd 0.03 mm at nine places): none; a drift of 0.3 mm: within ten looks."""
    from collections import deque

    random = np.random.default_rng(5)
    offset = random.normal(0.0, 0.03, (9, 2))  # the reference's own noise stays
    last: deque[Movement] = deque(maxlen=TEN)
    judged: list[WatchLook] = []
    for _ in range(3600):
        last.append(Movement(offset + random.normal(0.0, 0.03, (9, 2)), 0.03, 400))
        judged.append(_judged(last))
    assert not any(look.alarm for look in judged)
    assert (judged[0].limit_mm, judged[-1].limit_mm) == (ALARM_ONE_MM, ALARM_TEN_MM)
    for _ in range(TEN):
        last.append(Movement(offset + np.array([0.3, 0.0]) + random.normal(0.0, 0.03, (9, 2)), 0.03, 400))
    assert _judged(last).alarm


def test_nothing_to_watch_is_told(tmp_path: Path) -> None:
    Table.demonstration((1920, 1080)).write(tmp_path / "table.yaml")
    blank = np.full((480, 640, 3), 90, np.uint8)
    looks = list(watch([blank], Table.demonstration((1920, 1080))))
    assert looks == [WatchLook(None, ALARM_ONE_MM, False, 0)]
    asked = ["watch", "--table", str(tmp_path / "table.yaml")]
    assert run_app(app, asked) == 2
    assert run_app(app, [*asked, "--frames", str(tmp_path)]) == 2
    (tmp_path / "a.jpg").write_bytes(b"no picture")
    assert run_app(app, [*asked, "--frames", str(tmp_path)]) == 2


@pytest.mark.parametrize(("share", "goes"), [(0.175, False), (0.185, True)])
def test_table_spots_on_a_heap_are_nothing_to_watch_by(monkeypatch: pytest.MonkeyPatch, share: float, goes: bool) -> None:
    """Their field is drawn out to the light's corners: spread by 0.18 of its width from their middle (ours). Here they lie on a circle of
    that radius, so that each is as far off as their root mean square."""
    table = Table.demonstration((1920, 1080))
    corners = table.mm_from_px(np.array([[0.0, 0.0], [1919.0, 0.0], [959.5, 539.5]]))
    turn = np.linspace(0.0, 2 * np.pi, 24, endpoint=False)
    ring = corners[2] + share * float(np.hypot(*(corners[1] - corners[0]))) * np.column_stack([np.cos(turn), np.sin(turn)])
    light = np.stack(np.meshgrid(np.linspace(60.0, 1860.0, 8), np.array([40.0, 1040.0])), axis=2).reshape(-1, 2)
    seen = [
        SimpleNamespace(board=SimpleNamespace(name=name), places=places, at=at)
        for name, places, at in (("light", light, light), ("ring", ring, table.px_from_mm(ring)))
    ]
    monkeypatch.setattr(comparing, "find_boards", lambda *_, **__: seen[:1])
    monkeypatch.setattr(comparing, "find_labels", lambda *_: seen[1:])

    def as_they_are(_: Photograph, one: SimpleNamespace) -> tuple[Array, ...]:
        count = len(one.at)
        return one.at, np.tile(np.eye(2), (count, 1, 1)), np.full(count, 4.0), np.ones(count), np.zeros((count, 2))

    monkeypatch.setattr(comparing, "_saddles", as_they_are)
    found = comparing.reference_of(np.full((90, 160, 3), 90, np.uint8), table)
    assert (found is not None) == goes
