"""The ten steps of a first dress as ten small pictures on two strips, for README.md; `tests/pictures.py` calls it.

Screens of the page are taken in a real browser (`tests.browser.screens`), what the lamp throws is drawn by the product, the table
is the virtual one.
"""

import subprocess
import sys
from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path

import cv2
import numpy as np
import pypdfium2 as pdfium

from calibration.arrays import Array
from calibration.frame import frame_picture
from calibration.sheets_files import write_sheets
from calibration.table import Table
from projector.picture.painter import Painter
from projector.scene.compose import Scenes
from projector.session.snapshot import Snapshot
from projector.session.summary import summary_of
from tests.projector.made_up import work
from tests.virtual_table import LANDSCAPE_3MP, good, pages_of, photographs

PANEL_PX = (250, 330)
GAP_PX = 12
PAPER = 245
CODE = "http://192.168.1.20:8000/?token=made-up"


def _panel(number: int, picture: Array) -> Array:
    """The picture shrunk to fit its panel's width, cut to its height, numbered below."""
    w, h = PANEL_PX
    share = w / picture.shape[1]
    small = cv2.resize(picture, (w, max(1, round(picture.shape[0] * share))), interpolation=cv2.INTER_AREA)[: h - 34]
    panel = np.full((h, w, 3), PAPER, np.uint8)
    top = (h - 34 - small.shape[0]) // 2
    panel[top : top + small.shape[0]] = small
    cv2.putText(panel, str(number), (w // 2 - 8 * len(str(number)), h - 8), cv2.FONT_HERSHEY_DUPLEX, 0.8, (40, 40, 40), 1, cv2.LINE_AA)
    return np.asarray(panel)


def _strip(panels: Sequence[Array]) -> Array:
    gap = np.full((PANEL_PX[1], GAP_PX, 3), PAPER, np.uint8)
    return np.hstack([part for panel in panels for part in (panel, gap)][:-1])


def _thrown(snapshot: Snapshot, table: Table) -> Array:
    painter = Painter(table)
    return np.ascontiguousarray(painter.rgb(Scenes.of(work()).scene(snapshot, table))[..., ::-1])


def _screens(folder: Path) -> dict[str, Array]:
    subprocess.run([sys.executable, "-m", "tests.browser.screens", "--out", str(folder)], check=True, stdout=subprocess.DEVNULL)
    told: dict[str, Array] = {}
    for file in folder.glob("light-*.png"):
        picture = cv2.imread(str(file))
        assert picture is not None
        told[file.stem.removeprefix("light-")] = np.asarray(picture)
    return told


def strips(folder: Path, placing: Array, cutting: Array) -> tuple[Array, Array]:
    """Steps 1 to 5 and 6 to 10. `placing`: the light at fold corner and edge; `cutting`: the table during a cut."""
    write_sheets(folder / "sheets", "a4", 4, 300.0)
    page = np.asarray(pdfium.PdfDocument(folder / "sheets" / "sheets.pdf")[0].render(scale=1.0).to_numpy())[..., :3]
    scene = good(7, pages_of(folder / "sheets"), photographs=1, phone_px=LANDSCAPE_3MP)
    photo = cv2.imread(str(photographs(scene, [np.ascontiguousarray(frame_picture((1920, 1080))[..., ::-1])], folder / "photo")[0]))
    assert photo is not None
    table = replace(Table.demonstration((1920, 1080)), is_demonstration=False)
    shown = Snapshot(of=1, state="check", table=summary_of(table))
    screens = _screens(folder / "screens")
    cloth = screens["cloth"]
    first = [
        page, _thrown(replace(shown, mode="code", code=CODE), table), np.asarray(photo), _thrown(replace(shown, mode="proof"), table),
        screens["client"],
    ]  # fmt: skip
    second = [screens["dress"], cloth[cloth.shape[0] // 2 :], placing, cutting, screens["fitting"]]
    return (
        _strip([_panel(number, picture) for number, picture in enumerate(first, 1)]),
        _strip([_panel(number, picture) for number, picture in enumerate(second, 6)]),
    )
