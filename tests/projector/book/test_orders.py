"""Orders as typed: names, files, inline cards; units; mistakes answered with line, column and the nearest name."""

from pathlib import Path

import pytest

from calibration.errors import WrongInput
from projector.book.book import add
from projector.book.orders import files_of, load_order, names_in, read_client
from projector.book.places import configs_folder

CARD = "name: Ida Fenn\nunit: in\nmeasures: {bust: 36 1/4, waist: 28, hip: 39, half_length: 17}\n"


def test_every_sample_order_is_read_and_only_a_waist_over_the_hip_is_doubted() -> None:
    assert len(names_in("clients")) >= 5
    assert len(names_in("orders")) >= 5
    for name in names_in("orders"):
        body = load_order(name).body()
        assert not body.stops, name
        assert {doubt.key for doubt in body.doubts} <= {"hip", "waist"}, name


def test_a_shop_card_in_inches_from_the_shoulder_passes_without_a_word(tmp_path: Path) -> None:
    client = read_client(configs_folder() / "clients" / "marisol.yaml")
    body = client.body()
    assert client.given_mm["half_length"] == 16 * 25.4
    assert not body.stops
    assert not body.doubts
    assert body.mm("waist_hip") == pytest.approx((25 - 16) * 25.4)  # hip line less half length, both from the shoulder


def test_client_as_file_name_and_inline_are_the_same(tmp_path: Path) -> None:
    (tmp_path / "ida.yaml").write_text(CARD)
    inline = "\n".join(f"  {line}" for line in CARD.splitlines())
    told = []
    for client in ("ida.yaml", "ida", f"\n{inline}"):
        (tmp_path / "o.yaml").write_text(f"client: {client}\ncloth: {{main: {{width: 45}}}}\n")
        order = load_order(str(tmp_path / "o.yaml"))
        told.append((order.client.given_mm, order.cloths["main"].width_mm, order.name))
    assert told[0] == told[1] == told[2]
    assert told[0][1] == 45 * 25.4  # a bare width takes the client's unit


def test_measures_are_read_as_the_text_typed(tmp_path: Path) -> None:
    (tmp_path / "ida.yaml").write_text(CARD.replace("28,", "28:30,"))
    with pytest.raises(WrongInput, match="28:30") as told:  # plain YAML would read 1710
        read_client(tmp_path / "ida.yaml")
    assert "line 3" in told.value.what


@pytest.mark.parametrize(
    ("typed", "meant"),
    [("measures: {busst: 36}", "`bust`"), ("mesures: {bust: 36}", "`measures`")],
)
def test_unknown_keys_are_answered_with_the_nearest(tmp_path: Path, typed: str, meant: str) -> None:
    (tmp_path / "x.yaml").write_text(f"name: X\nunit: in\n{typed}\n")
    with pytest.raises(WrongInput) as told:
        read_client(tmp_path / "x.yaml")
    assert meant in told.value.next_step
    assert "line 3" in told.value.what


def test_a_number_without_unit_stops(tmp_path: Path) -> None:
    (tmp_path / "x.yaml").write_text("name: X\nmeasures: {bust: 36}\n")
    with pytest.raises(WrongInput, match="no unit"):
        read_client(tmp_path / "x.yaml")


def test_a_recorded_fitting_narrows_the_allowances(tmp_path: Path) -> None:
    (tmp_path / "ida.yaml").write_text(CARD)
    (tmp_path / "o.yaml").write_text("client: ida.yaml\n")
    assert not load_order(str(tmp_path / "o.yaml")).style.fitted
    (tmp_path / "ida.yaml").write_text(CARD + "fittings: [{day: 2026-10-01, kind: figure, changes: {waist: -1/4 in}}]\n")
    assert load_order(str(tmp_path / "o.yaml")).style.fitted


@pytest.mark.parametrize("nothing", ["", "null", "~"])
def test_a_measure_left_empty_is_told_as_empty(tmp_path: Path, nothing: str) -> None:
    """It was once told that it cannot be None."""
    (tmp_path / "a.yaml").write_text(f"name: Ada\nunit: in\nmeasures:\n  bust: 36\n  waist: {nothing}\n")
    with pytest.raises(WrongInput, match="'waist' is empty") as told:
        read_client(tmp_path / "a.yaml")
    assert "line 5" in told.value.what
    assert "take the line out" in told.value.next_step


def test_a_sample_clients_card_in_the_book_is_the_one_her_order_takes(tmp_path: Path) -> None:
    """`book add sample marisol`, then another waist on her card: the sample order once kept the old one."""
    add(tmp_path, configs_folder() / "orders" / "sample.yaml")
    assert load_order("sample", tmp_path).client.card.measures["waist"] == "29"
    card = tmp_path / "clients" / "Marisol Brandt.yaml"
    card.parent.mkdir()
    card.write_text((configs_folder() / "clients" / "marisol.yaml").read_text().replace("waist: 29", "waist: 31"))
    assert load_order("sample", tmp_path).client.card.measures["waist"] == "31"
    assert card in files_of("sample", tmp_path), "and an edit of it is noticed"
