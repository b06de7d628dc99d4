"""A light smaller than the pieces: the lay itself gives a fold that can be cut, or refuses and names one."""

import pytest

from projector.book.orders import order_from
from projector.lay.cloth import Budget, Light
from projector.lay.errors import FoldRefused
from projector.lay_jobs import search_tools
from projector.making import garment_of, lay_of, steps_for
from tests.cutting.product import as_files
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


def test_a_fold_that_cannot_be_cut_in_this_light_is_refused_when_it_is_laid() -> None:
    """Four layers of a half circle: its centre-back mark lies in another light than its last cut."""
    order = order_from(ORDER, "dress", None)
    garment = garment_of(order)
    with pytest.raises(FoldRefused, match=r"folds across.*would come loose.*Choose crosswise"):
        lay_of(order, garment, "quarters_across", Budget(1, 1), search_tools(), LIGHT)
    laid = lay_of(order, garment, "crosswise", Budget(1, 1), search_tools(), LIGHT)
    assert prove(*as_files(garment, laid, steps_for(order, garment, laid))) == []
