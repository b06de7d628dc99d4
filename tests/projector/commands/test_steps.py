"""`steps` as a program: what stands in the folder, STOP where nothing was taped, a folder left alone when refused."""

import json
from pathlib import Path

import pytest

from calibration.command_line import run_app
from calibration.errors import WrongInput
from calibration.table import Table
from calibration.table_file import write_table
from projector.__main__ import app
from projector.book.orders import load_order
from projector.lay.cloth import Light
from projector.making import garment_of
from projector.step_jobs import read_lay
from tests.cutting.product import lay
from tests.cutting.simulator import prove

ORDER = Path(__file__).resolve().parents[3] / "configs" / "orders" / "sample.yaml"


@pytest.fixture(scope="module")
def laid(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A first lay of the sample order as lay.json."""
    file = tmp_path_factory.mktemp("lay") / "lay.json"
    file.write_text(json.dumps(lay(garment_of(load_order(str(ORDER))), "lengthwise", light=Light()).as_json()))
    return file


def _steps(laid: Path, out: Path, *more: str) -> int:
    return run_app(app, ["steps", str(ORDER), "--lay", str(laid), "--out", str(out), *more])


@pytest.mark.parametrize("bad", ["deep", "others", "huge"])
def test_a_damaged_lay_is_told(bad: str, laid: Path, tmp_path: Path) -> None:
    """Each once ended the command as a defect of ours."""
    told = json.loads(laid.read_text())
    huge = {**told, "placed": [{**told["placed"][0], "outline": [[10**400, 0.0]]}]}
    texts = {"deep": "[" * 100_000, "others": json.dumps({**told, "others": 3.0}), "huge": json.dumps(huge)}
    (tmp_path / "lay.json").write_text(texts[bad])
    with pytest.raises(WrongInput, match="is not a lay"):
        read_lay(tmp_path / "lay.json")


def _told(out: Path) -> list[dict[str, object]]:
    return [json.loads(file.read_text()) for file in sorted(out.glob("[0-9]*.json"))]


def test_the_folder_holds_a_list_that_loses_nothing(laid: Path, tmp_path: Path) -> None:
    (tmp_path / "99.json").write_text("{}")
    assert _steps(laid, tmp_path, "--at", "60,40,90") == 0
    told = _told(tmp_path)
    assert not (tmp_path / "99.json").exists()
    assert not list(tmp_path.glob("*.png"))
    assert told[0]["cloth_at"] == {"x_mm": 60.0, "y_mm": 40.0, "turn_deg": 90.0}
    for step in told:
        assert step["state"] == "stop"
        assert all(line["px"] is None for line in step["lines"])  # type: ignore[attr-defined]
    assert prove(json.loads((tmp_path / "lay.json").read_text()), json.loads((tmp_path / "pieces.json").read_text()), told) == []


def test_a_table_for_which_nothing_was_taped_shows_stop(laid: Path, tmp_path: Path) -> None:
    from dataclasses import replace

    table = replace(Table.demonstration((480, 270)), is_demonstration=False)
    write_table(table, tmp_path / "table.yaml")
    assert _steps(laid, tmp_path / "out", "--table", str(tmp_path / "table.yaml")) == 0
    told = _told(tmp_path / "out")
    assert {step["state"] for step in told} == {"stop"}
    assert not any(line["kind"] == "cut" for step in told for line in step["lines"])  # type: ignore[attr-defined]
    assert len(list((tmp_path / "out").glob("*.png"))) == len(told)


def test_wrong_input_leaves_the_folder_alone(laid: Path, tmp_path: Path) -> None:
    other = tmp_path / "other.json"
    told = json.loads(laid.read_text())
    told["placed"] = told["placed"][1:]
    other.write_text(json.dumps(told))
    out = tmp_path / "out"
    assert _steps(other, out) == 2
    assert _steps(laid, out, "--at", "here") == 2
    assert _steps(laid, out, "--fold", "open") == 2
    assert _steps(tmp_path / "none.json", out) == 2
    assert not out.exists()
