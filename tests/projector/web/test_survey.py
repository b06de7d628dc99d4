"""The table spots learned from the page, by photographs of the virtual table sent as a phone sends them."""

import json
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from calibration.frame import frame_picture
from calibration.sheets_files import write_sheets
from calibration.table import Table
from projector.desk.desk import Desk
from projector.desk.pages import Pages
from projector.web.app import make_app
from tests.calibration.exact import exact_table
from tests.projector.made_up import work
from tests.projector.web.asking import OWN, ask, form
from tests.virtual_table import good, labels_of, photographs, stuck_labels, truth_of

SIZE = (1920, 1080)


@pytest.mark.long  # two pictures of 12 megapixels are rendered; the same survey by command is in CI
def test_good_photographs_teach_every_spot(tmp_path: Path) -> None:
    write_sheets(tmp_path, "a4", 1, 300.0, labels=True)
    scene, random = good(3, []), np.random.default_rng(3)
    scene = replace(scene, sheets=stuck_labels(random, scene.lamp, list(labels_of(tmp_path).values())[:6]))
    truth = truth_of(scene)
    photos = photographs(scene, [np.ascontiguousarray(frame_picture(SIZE)[..., ::-1])], tmp_path / "photos")
    file = tmp_path / "table.yaml"
    desk = Desk(work(), exact_table(truth), file, None)
    app = make_app(desk, None, pages=Pages(desk, tmp_path / "book"))
    body, kind = form("photo", *(("IMG.jpg", photo.read_bytes()) for photo in photos))
    told = ask(app, "/survey", "POST", {**OWN, "content-type": kind}, body)
    assert told.status == 200, json.loads(told.body)
    assert desk.snapshot.message is not None
    assert desk.snapshot.message.what == "6 table spots learned."
    spots = Table.read(file).spots
    places = truth.table_from_world(np.array([sheet.at for sheet in scene.sheets]))
    assert [spot.id for spot in spots] == [1, 2, 3, 4, 5, 6]
    assert np.abs(np.array([spot.at_mm for spot in spots]) - places).max() < 0.06  # a label's edge is cut at whole pixels of 0.08 mm
