"""Bias strips for a binding: placed in what a lay leaves or beyond it, judged by the checker; refusals with sizes."""

import pytest

from calibration.errors import WrongInput
from projector.lay.bias import joined_mm, strips_in, with_binding
from projector.lay.cloth import Cloth
from projector.lay.errors import ClothTooSmall
from projector.lay.lay import Lay, Plan
from projector.steps.given import lay_from_json
from tests.lay_checker.binding import binding_faults
from tests.projector.lay.made_up import dress, laid, told

CLOTH = Cloth("main", 1500.0)


@pytest.fixture(name="lays", scope="module")
def _lays() -> dict[str, Lay]:
    plans: tuple[Plan, ...] = ("open", "lengthwise", "off_centre")
    return {plan: laid(dress(), CLOTH, plan, trials=2) for plan in plans}


@pytest.mark.parametrize("plan", ["open", "lengthwise", "off_centre"])
@pytest.mark.parametrize(("length", "width"), [(300.0, 30.0), (1200.0, 35.0), (3000.0, 35.0), (9000.0, 50.0)])
def test_a_binding_is_placed(lays: dict[str, Lay], plan: str, length: float, width: float) -> None:
    bound = with_binding(lays[plan], CLOTH, length, width)
    assert binding_faults(told(bound), length) == []
    assert bound.binding is not None
    assert (bound.binding.extra_mm > 0.0) == (bound.binding.region == "")
    assert bound.binding.extra_mm <= 1.6 * length * width / CLOTH.usable_mm + 400.0  # no cloth without end
    assert lay_from_json(told(bound)).placed == lays[plan].placed


def test_one_short_strip_lies_in_what_an_open_lay_leaves(lays: dict[str, Lay]) -> None:
    bound = with_binding(lays["open"], CLOTH, 200.0, 30.0)
    assert bound.binding is not None
    assert (bound.binding.region, bound.binding.extra_mm) == (lays["open"].regions[0].id, 0.0)


def test_joins_are_counted() -> None:
    """Geometry: four strips from edge to edge of 300 mm, three joins, two ends squared."""
    strips = strips_in(1400.0, 40.0, 700.0, 300.0)
    assert strips is not None
    assert len(strips) == 4
    assert joined_mm(strips, 40.0) == pytest.approx((4 * 300.0 - 6 * 12.0) * 2**0.5 - 40.0)


def test_a_spoiled_binding_is_found(lays: dict[str, Lay]) -> None:
    lay = told(with_binding(lays["lengthwise"], CLOTH, 3000.0, 35.0))
    lay["binding"]["strips"][0][2][0] += 4.0
    assert any("45 degrees" in fault for fault in binding_faults(lay, 3000.0))
    assert any("wanted" in fault for fault in binding_faults(lay, 30_000.0))


def test_what_cannot_be_bound_is_refused_with_sizes(lays: dict[str, Lay]) -> None:
    with pytest.raises(WrongInput):
        with_binding(lays["open"], CLOTH, -1.0, 30.0)
    with pytest.raises(ClothTooSmall, match="finds no room"):
        with_binding(lays["open"], Cloth("main", 200.0), 4000.0, 150.0)
    used = lays["lengthwise"].cloth_needed_mm
    with pytest.raises(ClothTooSmall, match="more of main") as refused:
        with_binding(lays["lengthwise"], Cloth("main", 1500.0, lengths_mm=(used + 50.0,)), 9000.0, 50.0)
    assert "left is 50 mm" in refused.value.why
