"""Her own paper blocks from the photograph to the last step: traced, kept, laid, cut."""

import json
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from shapely import Point, Polygon

from calibration.command_line import run_app
from calibration.frame import frame_picture
from calibration.table import Taped
from projector.__main__ import app
from projector.book import book as kept
from projector.book.orders import load_order, read_block
from projector.lay.cloth import Budget
from projector.making import make
from tests.calibration.exact import exact_table
from tests.cutting.product import as_files
from tests.cutting.simulator import prove
from tests.lay_checker.check import faults
from tests.virtual_table import LANDSCAPE_3MP, good, photographs, truth_of
from tests.virtual_table.blocks import bodice_block, sleeve_block, with_blocks

TRACED_MM = 1.0  # the trade cuts necks and armholes within ±1 mm
TURN_DEG = 8.0
ORDER = """client: {name: Own Blocks, unit: cm, measures: {}}
blocks: [old bodice, old sleeve]
cloth: {main: {width: 150 cm, lengths: [3 m]}}
"""


@pytest.fixture(scope="module")
def traced(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder with photograph, table and a book with the same table, into which two blocks were traced."""
    folder = tmp_path_factory.mktemp("blocks")
    scene = good(1, [], photographs=1, phone_px=LANDSCAPE_3MP)
    laid = [(bodice_block(), (0.28, 0.5), TURN_DEG), (sleeve_block(), (0.70, 0.5), TURN_DEG)]
    scene, _ = with_blocks(scene, laid, 0.8, 0.3)
    truth = truth_of(scene)
    photo = photographs(scene, [np.ascontiguousarray(frame_picture((1920, 1080))[..., ::-1])], folder)[0]
    photo.rename(folder / "photo.jpg")
    table = replace(exact_table(truth), size_percent=0.1, taped=Taped(line_shown_mm=1000.0, line_taped_mm=1000.0))
    for place in (folder / "table.yaml", folder / "book" / "tables" / "table.yaml"):
        table.write(place)
    replace(table, size_percent=None, taped=Taped()).write(folder / "untaped.yaml")
    down = TURN_DEG + 270.0 - np.degrees(np.arctan2(truth.along[1], truth.along[0]))
    asked = [
        "blocks", str(folder / "photo.jpg"), "--names", "old bodice, old sleeve",
        "--fold", "left, none", "--down", f"{down % 360:.4f}", "--allowance", "15 mm", "--picture", str(folder / "traced.png"),
    ]  # fmt: skip
    assert run_app(app, [*asked, "--book", str(folder / "book")]) == 0
    return folder


def test_kept_blocks_are_true_and_hang_on_their_fold(traced: Path) -> None:
    for name, outline, on_fold in (("old bodice", bodice_block(), True), ("old sleeve", sleeve_block(), False)):
        block = read_block(traced / "book" / "blocks" / f"{name}.yaml")
        found, true = np.array(block.outline), outline * (1.0, -1.0)
        true = true - (0.0 if on_fold else true[:, 0].min(), true[:, 1].min())
        a, b = Polygon(found).exterior, Polygon(true).exterior
        assert max(a.segmentize(2.0).hausdorff_distance(b), b.segmentize(2.0).hausdorff_distance(a)) < TRACED_MM
        assert block.fold is on_fold
        assert (block.count, block.mirrored) == ((1, False) if on_fold else (2, True))
        assert not on_fold or (found[:, 0] == 0.0).sum() == 2
        assert block.made["photograph"] == "photo.jpg"
    assert (traced / "traced.png").stat().st_size > 10_000


def test_an_order_cuts_them_like_any_piece(traced: Path) -> None:
    """Judged by the lay checker and cut on virtual cloth; the sewing line lies 15 mm inside, on the fold nothing is taken off."""
    (traced / "own.yaml").write_text(ORDER)
    order = kept.add(traced / "book", traced / "own.yaml")
    made = make(load_order("own", traced / "book"), budget=Budget(60, 1))
    assert order.kind == "orders"
    bodice = made.garment.piece("old bodice")
    cut = Polygon(bodice.cut_line).exterior
    apart = [cut.distance(point) for point in map(Point, bodice.seam_line) if point.x > 16.0]
    assert len(apart) > 20
    assert np.allclose(apart, 15.0, atol=0.2)
    assert [edge.allowance_mm for edge in bodice.edges if edge.fold] == [0.0]
    pieces, lay = made.garment.as_json(), made.lay.as_json()
    pieces, lay = json.loads(json.dumps(pieces)), json.loads(json.dumps(lay))
    assert faults(lay, pieces) == []
    assert prove(*as_files(made.garment, made.lay)) == []
    assert any("not checked" in words for words in made.garment.warnings)


def test_wrong_names_and_untaped_tables_are_refused_and_nothing_is_kept(traced: Path, capsys: pytest.CaptureFixture[str]) -> None:
    book = str(traced / "other")
    asked = ["blocks", str(traced / "photo.jpg"), "--book", book, "--json"]
    assert run_app(app, [*asked, "--table", str(traced / "untaped.yaml"), "--names", "a,b"]) == 2
    assert "taped" in json.loads(capsys.readouterr().out)["error"]["why"]
    assert run_app(app, [*asked, "--table", str(traced / "table.yaml"), "--names", "a,b,c"]) == 2
    told = json.loads(capsys.readouterr().out)["error"]
    assert "2 blocks" in told["what"]
    assert "6 corners" in told["why"]
    assert not Path(book).exists()
