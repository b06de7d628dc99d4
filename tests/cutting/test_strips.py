"""Bias strips of the product's own lays, cut on virtual cloth: in what an open lay leaves, beyond a folded one, in a small light."""

from typing import Any

import pytest

from projector.lay.bias import with_binding
from projector.lay.cloth import Cloth, Light
from projector.lay.lay import Lay, Plan
from tests.cutting.product import as_files, garment, lay
from tests.cutting.simulator import prove

STYLE: dict[str, Any] = {"lining": False}


def _bound(plan: Plan, length_mm: float, width_mm: float, cloth_mm: float = 1900.0, light: Light | None = None) -> Lay:
    light = light or Light()
    dress = garment("slim", STYLE)
    made = lay(dress, plan, cloth_mm, light)
    return with_binding(made, Cloth("main", cloth_mm), length_mm, width_mm, light, {piece.name: piece for piece in dress.pieces})


@pytest.mark.parametrize(
    ("plan", "length_mm", "width_mm", "is_apart"),
    [
        ("open", 300.0, 25.0, False),
        ("open", 1500.0, 35.0, False),
        ("off_centre", 900.0, 30.0, True),
        ("lengthwise", 3000.0, 35.0, True),
        ("quarters_along", 9000.0, 50.0, True),
        ("crossed_four", 200.0, 30.0, True),
    ],
)
def test_strips_are_cut_as_wanted(plan: Plan, length_mm: float, width_mm: float, is_apart: bool) -> None:
    made = _bound(plan, length_mm, width_mm)
    assert made.binding is not None
    assert (made.binding.region == "") == is_apart
    files = as_files(garment("slim", STYLE), made)
    assert files[0]["binding"]["wanted_mm"] == length_mm
    assert [str(fault) for fault in prove(*files)] == []


def test_strips_longer_than_the_light_are_cut_in_it_piecemeal() -> None:
    made = _bound("lengthwise", 20_000.0, 40.0, light=Light(700.0, 420.0))
    assert made.binding is not None
    assert len(made.binding.parts) > 1
    assert [str(fault) for fault in prove(*as_files(garment("slim", STYLE), made))] == []
