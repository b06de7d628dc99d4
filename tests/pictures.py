"""The pictures of README.md, made anew: `python -m tests.pictures [--out configs/pictures]`. Each stays under 300 KB.

The table during a cut is rendered by the virtual table: a computed lamp, table and phone, no photograph of a real one.
"""

import argparse
import json
import sys
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from tempfile import TemporaryDirectory

import cv2
import numpy as np
import pypdfium2 as pdfium

from calibration.arrays import Array
from calibration.command_line import run_app
from calibration.frame import frame_picture
from calibration.outlines import outlines_in
from calibration.table import Table, Taped
from projector.__main__ import app
from projector.block_jobs import picture_png, trace
from tests.calibration.exact import exact_table
from tests.first_dress import strips
from tests.virtual_table import LANDSCAPE_12MP, good, photographs, truth_of
from tests.virtual_table.blocks import bodice_block, sleeve_block, with_blocks
from tests.virtual_table.lens import looking_at
from tests.virtual_table.paper import Page, Sheet
from tests.virtual_table.scene import Ground, Room, Scene

LARGEST_BYTES = 300_000
WIDE_PX = 1100
CLOTH = (70, 92, 128)  # RGB of a plain blue cloth, invented
WOOD = (0.34, 0.24, 0.16)
LAID_MM = (1420.0, 754.375)  # the sample's cloth folded lengthwise; 34 of 64 squares


def _taped(scene: Scene) -> Table:
    """The scene's exact table, its long line taped."""
    return replace(exact_table(truth_of(scene)), size_percent=0.1, taped=Taped(line_shown_mm=1000.0, line_taped_mm=1000.0))


def _small(picture: Array, wide_px: int = WIDE_PX) -> Array:
    share = wide_px / picture.shape[1]
    return picture if share >= 1.0 else np.asarray(cv2.resize(picture, None, fx=share, fy=share, interpolation=cv2.INTER_AREA))


def _cutting(work: Path) -> tuple[Array, Array]:
    """(the table during a cut as a phone sees it, the picture that the lamp throws)."""
    scene = replace(good(7, [], photographs=1), sheets=())
    truth = truth_of(scene)
    _taped(scene).write(work / "table.yaml")
    if run_app(app, ["steps", "sample", "--table", str(work / "table.yaml"), "--out", str(work / "steps")]):
        sys.exit("The sample's steps were not made.")
    step = next(file for file in sorted((work / "steps").glob("[0-9]*.json")) if '"op": "cut"' in file.read_text() and _is_skirt(file))
    thrown = cv2.imread(str(step.with_suffix(".png")))
    assert thrown is not None
    lies = json.loads(step.read_text())["cloth_at"]
    turn = np.radians(lies["turn_deg"])
    along, across = np.array([np.cos(turn), np.sin(turn)]), np.array([-np.sin(turn), np.cos(turn)])
    middle = np.array([lies["x_mm"], lies["y_mm"]]) + along * LAID_MM[0] / 2 + across * LAID_MM[1] / 2
    at, ahead = truth.world_from_table(np.array([middle, middle + along]))
    turned = float(np.degrees(np.arctan2(*(ahead - at)[::-1])))
    cloth = Sheet(Page(np.full((34, 64, 3), CLOTH, np.uint8), LAID_MM[0] / 64, LAID_MM), (float(at[0]), float(at[1])), turned)
    centre = scene.lamp.world_from_px(np.array([(side - 1) / 2 for side in scene.lamp.size]))
    pose = looking_at(np.array([centre[0] - 150.0, centre[1] - 700.0, 1350.0]), np.array([centre[0], centre[1] + 30.0, 0.0]), 0.0)
    phone = replace(scene.phones[0], pose=pose, orientation=1, sensor=replace(scene.phones[0].sensor, exposure=0.5))
    seen = replace(scene, sheets=(cloth,), phones=(phone,), ground=Ground(WOOD, "wood", 3), room=Room(0.09))
    photo = cv2.imread(str(photographs(seen, [np.ascontiguousarray(thrown[..., ::-1])], work / "photo")[0]))
    assert photo is not None
    shown = photo[photo.shape[0] // 5 : photo.shape[0] * 17 // 20]
    return _small(np.asarray(shown)), _small(np.asarray(thrown))


def _is_skirt(file: Path) -> bool:
    return "skirt" in file.read_text().split('"say"')[0]


def _page(pdf: Path, number: int = 0) -> Array:
    """One page of a PDF as a picture."""
    page = pdfium.PdfDocument(pdf)[number].render(scale=1.5).to_numpy()
    return _small(np.asarray(page), 900)


def _blocks(work: Path) -> Array:
    """Two paper blocks traced on the table."""
    laid = [(bodice_block(), (0.28, 0.5), 8.0), (sleeve_block(), (0.70, 0.5), 8.0)]
    scene, _ = with_blocks(good(1, [], photographs=1, phone_px=LANDSCAPE_12MP), laid, 0.8, 0.3)
    photo = photographs(scene, [np.ascontiguousarray(frame_picture((1920, 1080))[..., ::-1])], work / "blocks")[0]
    flat, _ = trace(photo, _taped(scene))
    whole = cv2.imdecode(np.frombuffer(picture_png(flat, outlines_in(flat)), np.uint8), cv2.IMREAD_COLOR)
    return _small(np.asarray(whole))


def _written(file: Path, picture: Array) -> None:
    options = [cv2.IMWRITE_JPEG_QUALITY, 82] if file.suffix == ".jpg" else [cv2.IMWRITE_PNG_COMPRESSION, 9]
    data = cv2.imencode(file.suffix, picture, options)[1].tobytes()
    if len(data) > LARGEST_BYTES:
        sys.exit(f"{file.name} has {len(data)} bytes, more than {LARGEST_BYTES}.")
    file.write_bytes(data)
    print(f"{file} {len(data) // 1024} KB")


def main() -> None:
    """Make all of them, or the one named."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--out", type=Path, default=Path(__file__).parent.parent / "configs" / "pictures")
    out: Path = parser.parse_args().out
    out.mkdir(parents=True, exist_ok=True)
    with TemporaryDirectory() as folder:
        work = Path(folder)
        table, step = _cutting(work)
        if run_app(app, ["paper", "sample", "--ticket", "--card", "--trials", "40", "--out", str(work / "paper")]):
            sys.exit("The sample's papers were not made.")
        steps = sorted((work / "steps").glob("[0-9]*.json"))
        placing = cv2.imread(str(next(file for file in steps if '"op": "place"' in file.read_text()).with_suffix(".png")))
        assert placing is not None
        one_to_five, six_to_ten = strips(work / "first", np.asarray(placing), table)
        made: dict[str, Callable[[], Array]] = {
            "table.jpg": lambda: table,
            "step.png": lambda: step,
            "ticket.png": lambda: _page(work / "paper" / "ticket.pdf"),
            "card.png": lambda: _page(work / "paper" / "card.pdf"),
            "first-1-5.jpg": lambda: one_to_five,
            "first-6-10.jpg": lambda: six_to_ten,
            "blocks.jpg": lambda: _blocks(work),
        }
        for name, picture in made.items():
            _written(out / name, picture())


if __name__ == "__main__":
    main()
