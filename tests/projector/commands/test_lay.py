"""`lay` as a program: several dresses in one cloth, a motif in step, cloth needed in words; a wrong word is refused and nothing written."""

import json
from dataclasses import replace
from pathlib import Path

import pytest

from calibration.command_line import run_app
from projector.__main__ import app
from projector.book.orders import load_order
from projector.lay_group import shared_cloths

PLAIN = """client:
  name: {name}
  unit: cm
  lengths_from: waist
  measures: {{waist: {waist} cm, hip: {hip} cm, stature: 165 cm, waist_hip: 20 cm, waist_knee: 60 cm}}
style: {{bodice: false, lining: false, facings: false}}
cloth:
  main: {{width: 150 cm, lengths: [4 m], up: along, repeat: 32 cm, price: 10, currency: EUR}}
"""


@pytest.fixture(name="orders")
def _orders(tmp_path: Path) -> list[str]:
    files = []
    for name, waist, hip in (("Abena", 72, 98), ("Esi", 80, 106)):
        files.append(str(tmp_path / f"{name}.yaml"))
        Path(files[-1]).write_text(PLAIN.format(name=name, waist=waist, hip=hip), encoding="utf-8")
    return files


def _lay(out: Path, *words: str) -> int:
    return run_app(app, ["lay", *words, "--out", str(out), "--fold", "open", "--trials", "5"])


def test_two_dresses_lie_in_one_cloth_and_say_what_it_saves(orders: list[str], tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert _lay(tmp_path / "lay.json", *orders, "--binding", "2 m, 35 mm") == 0
    told = capsys.readouterr().err
    assert "2 dresses in one cloth: saves" in told
    assert "yd)" in told
    assert "EUR" in told
    assert "Binding: " in told
    placed = json.loads((tmp_path / "lay.json").read_text())["placed"]
    assert {each["piece"].split(":")[0] for each in placed} == {"Abena", "Esi"}


def test_a_motif_keeps_the_hips_one_row_apart(orders: list[str], tmp_path: Path) -> None:
    """Front and back of one skirt: their hip levels lie a whole number of repeats apart along the cloth (typed repeat 320 mm)."""
    assert _lay(tmp_path / "lay.json", orders[0], "--motif", "skirt front, hip") == 0
    lay = json.loads((tmp_path / "lay.json").read_text())
    assert run_app(app, ["pieces", orders[0], "--out", str(tmp_path / "pieces.json")]) == 0
    pieces = {each["name"]: each for each in json.loads((tmp_path / "pieces.json").read_text())["pieces"]}
    rows = []
    for placed in lay["placed"]:
        piece = pieces[placed["piece"]]
        if "hip" not in piece["levels"]:
            continue
        level = piece["levels"]["hip"]
        y = level if isinstance(level, int | float) else level[0][1]
        top = min(point[1] for point in piece["cut_line"])
        rows.append(min(x for x, _ in placed["outline"]) + y - top)
    assert len(rows) >= 3
    assert all(abs((row - rows[0] + 160.0) % 320.0 - 160.0) < 2.0 for row in rows)  # 2 mm: a side seam's share runs down a curve


@pytest.mark.parametrize("words", [("--motif", "skirt fron, hip"), ("--motif", "hip"), ("--binding", "3 m"), ("--binding", "3, x")])
def test_words_that_are_none_are_refused(orders: list[str], tmp_path: Path, words: tuple[str, str]) -> None:
    assert _lay(tmp_path / "lay.json", orders[0], *words) == 2
    assert not (tmp_path / "lay.json").exists()


def test_cloths_of_several_orders() -> None:
    """The first order's main cloth; what it does not name is the next one's; the same interfacing counts too where it is too little."""
    orders = [load_order("tomasina_plain"), load_order("sample")]
    first, second = (order.cloths for order in orders)
    one, pooled = (shared_cloths(orders, is_pooled) for is_pooled in (False, True))
    assert one == {**second, **first}
    assert pooled["main"] == first["main"]
    assert pooled["lining"] == second["lining"]
    assert pooled["interfacing"].lengths_mm == (*first["interfacing"].lengths_mm, *second["interfacing"].lengths_mm)
    other = replace(orders[1], cloths={"interfacing": replace(second["interfacing"], width_mm=700.0)})
    assert shared_cloths([orders[0], other], is_pooled=True) == first  # another width is another cloth
