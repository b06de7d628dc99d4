"""Bias strips for a binding: placed in what a lay leaves or beyond it, judged by the checker; refusals with sizes."""

import pytest

from calibration.errors import WrongInput
from projector.book.orders import order_from
from projector.lay.bias import drawn_lays, joined_mm, strips_in, with_binding
from projector.lay.cloth import Budget, Cloth, Light
from projector.lay.errors import ClothTooSmall
from projector.lay.lay import Lay, Plan
from projector.lay.needs import need_of
from projector.making import bound, garment_of, lay_of
from projector.paper.lay_figure import lay_figure
from projector.steps.given import lay_from_json
from tests.lay_checker.binding import binding_faults
from tests.projector.lay.made_up import TOOLS, dress, laid, told

CLOTH = Cloth("main", 1500.0)


@pytest.fixture(name="lays", scope="module")
def _lays() -> dict[str, Lay]:
    plans: tuple[Plan, ...] = ("open", "lengthwise", "off_centre")
    return {plan: laid(dress(), CLOTH, plan, trials=2) for plan in plans}


@pytest.mark.parametrize("plan", ["open", "lengthwise", "off_centre"])
@pytest.mark.parametrize(("length", "width"), [(300.0, 30.0), (1200.0, 35.0), (3000.0, 35.0), (9000.0, 50.0)])
def test_a_binding_is_placed(lays: dict[str, Lay], plan: str, length: float, width: float) -> None:
    made = with_binding(lays[plan], CLOTH, length, width)
    assert binding_faults(told(made), length) == []
    assert made.binding is not None
    assert (made.binding.extra_mm > 0.0) == (made.binding.region == "")
    assert made.binding.extra_mm <= 1.6 * length * width / CLOTH.usable_mm + 400.0  # no cloth without end
    assert lay_from_json(told(made)).placed == lays[plan].placed


def test_one_short_strip_lies_in_what_an_open_lay_leaves(lays: dict[str, Lay]) -> None:
    made = with_binding(lays["open"], CLOTH, 200.0, 30.0)
    assert made.binding is not None
    assert (made.binding.region, made.binding.extra_mm) == (lays["open"].regions[0].id, 0.0)


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


@pytest.mark.parametrize(("plan", "length"), [("open", 200.0), ("lengthwise", 3000.0)])
def test_strips_are_drawn_and_paid_for(lays: dict[str, Lay], plan: str, length: float) -> None:
    """Among the pieces where they lie in what the lay leaves, else on a length of their own; the cloth to buy holds them."""
    lay = lays[plan]
    made = with_binding(lay, CLOTH, length, 30.0)
    assert made.binding is not None
    shown = {each.outline: one for one in drawn_lays(made) for each in one.placed}
    assert set(made.binding.strips) <= set(shown)
    assert {each.outline for each in lay.placed} <= set(shown)
    own = {shown[strip].cloth.name for strip in made.binding.strips}
    assert own == ({"main"} if made.binding.region else {"main, binding"})
    assert need_of(made, CLOTH).buy_mm == pytest.approx(lay.cloth_needed_mm + made.binding.extra_mm)
    assert sum(words.text.startswith("bias strip") for words in lay_figure(made).words) == len(made.binding.strips)


def test_an_orders_binding_is_laid_with_it() -> None:
    """`binding: LENGTH, WIDTH` on the order's card, as `lay --binding` asks it."""
    measures = {"bust": 92, "waist": 74, "hip": 99, "nape_waist": 40, "stature": 165}
    card = {
        "client": {"name": "Ann", "unit": "cm", "lengths_from": "waist", "measures": measures},
        "style": {"lining": False, "facings": False}, "cloth": {"main": {"width": "150 cm"}}, "binding": "2 m, 4 cm",
    }  # fmt: skip
    order = order_from(card, "order")
    garment = garment_of(order)
    lay = lay_of(order, garment, "lengthwise", Budget(2, 1), TOOLS)
    assert binding_faults(told(lay), 2000.0) == []
    with pytest.raises(WrongInput, match="no binding"):
        bound(order_from({**card, "binding": "2 m"}, "order"), garment, lay, Light())
