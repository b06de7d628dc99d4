"""A light smaller than the pieces: the lay itself gives a fold that can be cut, or refuses and names one."""

import re
from typing import Any

import pytest

from calibration.errors import Refused
from projector import making
from projector.book.orders import order_from
from projector.garment.pieces import Garment
from projector.lay.cloth import Budget, Light
from projector.lay.errors import FoldRefused
from projector.lay.lay import Lay, Plan
from projector.lay_jobs import search_tools
from projector.making import garment_of, lay_of, steps_for
from projector.steps.make import make_steps
from projector.steps.step import Step
from tests.cutting.product import as_files
from tests.cutting.product import garment as a_garment
from tests.cutting.product import lay as a_lay
from tests.cutting.simulator import prove

LIGHT = Light(900.0, 560.0)
ORDER = {
    "client": {
        "name": "small light", "unit": "mm",
        "measures": {"bust": 920, "waist": 737, "hip": 978, "nape_waist": 400, "stature": 1651, "upper_arm": 286, "wrist": 165},
    },
    "style": {
        "neck": "boat", "back_neck_mm": 120, "princess": "shoulder", "skirt": "circle", "circle_turn": 0.5, "length": "full",
        "lining": False,
    },
    "cloth": {"main": {"width": "1500 mm", "up": "none"}},
}  # fmt: skip


def test_four_layers_of_a_piece_larger_than_the_light() -> None:
    """A half circle's centre-back mark lies in another light than its last cut, and is the front's too: one snip through four layers."""
    order = order_from(ORDER, "dress", None)
    garment = garment_of(order)
    laid = lay_of(order, garment, "quarters_across", Budget(1, 1), search_tools(), LIGHT)
    assert prove(*as_files(garment, laid, steps_for(order, garment, laid))) == []


@pytest.mark.parametrize(
    ("body", "plan", "width", "light", "style"),
    [
        ("big cup", "quarters_across", 1500.0, (760.0, 428.0), {"skirt": "a_line", "flare_mm": 80, "length": "full"}),
        ("apple", "quarters_along", 3200.0, (600.0, 450.0), {"skirt": "circle"}),
    ],
    ids=["a dart longer than what two lights share", "a circle's snip on both layers"],
)
def test_marks_that_no_single_light_shows(body: str, plan: Plan, width: float, light: tuple[float, float], style: dict[str, Any]) -> None:
    dress = a_garment(body, {"lining": False, **style})
    assert prove(*as_files(dress, a_lay(dress, plan, width, Light(*light)))) == []


def test_what_cannot_be_cut_says_what_is_left() -> None:
    """A straight edge on the cloth's own edge, 259 mm of it alone in one light: nothing there lies under a cut."""
    dress = a_garment("pear", {"lining": False, "skirt": "circle", "circle_turn": 0.5, "length": "full"})
    laid = a_lay(dress, "open", 1900.0, Light(500.0, 420.0))
    with pytest.raises(Refused, match="skirt back") as refused:
        make_steps(dress, laid)
    assert re.search(r"\d.* of its line run along the cloth's own edge", refused.value.why)


def test_a_fold_that_cannot_be_cut_in_this_light_is_refused_when_it_is_laid(monkeypatch: pytest.MonkeyPatch) -> None:
    """The lay asks for the order of cuts where a piece is larger than the light; what is refused names a fold that goes."""
    order = order_from(ORDER, "dress", None)
    garment = garment_of(order)

    def never_in_quarters(dress: Garment, laid: Lay) -> tuple[Step, ...]:
        if laid.plan == "quarters_across":
            raise Refused("skirt back would come loose.", "It is larger than the light.", "Choose another fold.")
        return make_steps(dress, laid)

    monkeypatch.setattr(making, "make_steps", never_in_quarters)
    with pytest.raises(FoldRefused, match=r"folds across.*would come loose.*Choose crosswise"):
        lay_of(order, garment, "quarters_across", Budget(1, 1), search_tools(), LIGHT)
