"""Fittings as typed become lines in mm: always, this dress only, body changed."""

import pytest

from calibration.errors import WrongInput
from calibration.units import signed_mm
from projector.book.fittings import pinned
from projector.book.orders import client_from, order_from
from projector.making import garment_of


def _client(*fittings: dict[str, object]) -> object:
    return {"name": "Ottoline Reed", "unit": "in", "measures": {"bust": "36", "waist": "29", "hip": "39"}, "fittings": list(fittings)}


@pytest.mark.parametrize(("text", "mm"), [("+1/2", 12.7), ("-1/4", -6.35), ("10 mm", 10.0), ("- 1 cm", -10.0), ("−3/8 in", -9.525)])
def test_signed_lengths(text: str, mm: float) -> None:
    assert signed_mm(text, "in") == pytest.approx(mm)


def test_what_counts_for_which_dress() -> None:
    client = client_from(
        _client(
            {"day": "2026-05-02", "kind": "figure", "changes": {"shoulder_tip": "-1/4"}, "left": {"side_hip": "1/8"}},
            {"day": "2026-05-09", "kind": "dress", "order": "green silk", "changes": {"side_waist": "1/2"}},
            {"day": "2026-09-01", "kind": "body"},
        )
    )
    green, other = pinned(client, "green silk"), pinned(client, "grey wool")
    assert dict(other.both) == pytest.approx({"shoulder_tip": -6.35})
    assert dict(green.both) == pytest.approx({"shoulder_tip": -6.35, "side_waist": 12.7})
    assert dict(green.left) == pytest.approx({"side_hip": 3.175})
    assert any("body changed" in said for said in green.said)
    assert any("side seam at the hip, front and back each, left: let out by 1/8 in" in said for said in green.said)


def test_an_amount_that_cannot_be_read_names_its_fitting() -> None:
    client = client_from(_client({"day": "2026-05-02", "kind": "figure", "changes": {"hem": "a bit"}}))
    with pytest.raises(WrongInput, match="2026-05-02"):
        pinned(client, "any")


@pytest.mark.parametrize(
    ("bust", "waist", "said"), [("36", "29", "no edge moves"), ("36 1/2", "29 1/2", "the cloth covers all"), ("42", "36", "run short")]
)
def test_a_changed_body_is_held_against_the_cloth_cut_before(bust: str, waist: str, said: str) -> None:
    """Earlier measures in her history, the body changed: does what was cut from them cover the new lines?"""
    before = {"bust": "36", "waist": "29", "hip": "39", "back_half_length": "15 1/2"}
    card = {
        "name": "Ottoline Reed", "unit": "in", "measures": {**before, "bust": bust, "waist": waist},
        "fittings": [{"day": "2026-09-01", "kind": "body"}], "history": [{"day": "2026-05-02", "measures": before}],
    }  # fmt: skip
    warnings = garment_of(order_from({"client": card}, "green silk")).warnings
    (words,) = [warning for warning in warnings if "Cut from the measures of 2026-05-02" in warning]
    assert said in words


@pytest.mark.parametrize(
    ("line", "by", "way", "covered"),
    [("side_waist", "3/8", "let out by 3/8 in", "covers all"), ("hem", "-1/2", "shorter by 1/2 in", "covers all"),
     ("side_waist", "2", "let out by 2 in", "run short"), ("shoulder_tip", "-1/4", "lower by 1/4 in", "covers all"),
     ("neck_front", "3/8", "deeper by 3/8 in", "covers all")],
)  # fmt: skip
@pytest.mark.parametrize("kind", ["figure", "dress"])
def test_the_cloth_cut_before_this_dress_was_fitted_is_held_against_it(kind: str, line: str, by: str, way: str, covered: str) -> None:
    card = {
        "name": "Ottoline Reed", "unit": "in", "measures": {"bust": "36", "waist": "29", "hip": "39", "back_half_length": "15 1/2"},
        "fittings": [{"day": "2026-05-09", "kind": kind, "order": "green silk", "changes": {line: by}}],
    }  # fmt: skip
    warnings = garment_of(order_from({"client": card}, "green silk")).warnings
    (words,) = [warning for warning in warnings if "Cut before the fitting of 2026-05-09" in warning]
    assert covered in words
    assert any(way in warning for warning in warnings)
    other = garment_of(order_from({"client": card}, "grey wool")).warnings
    assert not any("Cut before" in warning for warning in other)  # another dress was not cut before that fitting
