"""A real order in the session: where its cloth lies at every step is what the step files say, forward and back."""

from pathlib import Path

import pytest

from projector.book.orders import load_order
from projector.lay.cloth import Budget
from projector.making import Made, make
from projector.session.change import apply
from projector.session.commands import Command
from projector.session.snapshot import Snapshot
from projector.session.work import work_of
from projector.steps.place import places

ROOT = Path(__file__).resolve().parents[3]
LIGHT = (10.0, 5.0, 1340.0, 745.0)


@pytest.fixture(scope="module")
def made() -> Made:
    return make(load_order(str(ROOT / "configs" / "orders" / "sample.yaml")), budget=Budget(40, 1))


def test_the_cloth_lies_where_the_step_files_say(made: Made) -> None:
    work = work_of("sample", made.steps, made.lay, "in", LIGHT)
    lies = places(made.steps, made.lay, LIGHT)
    assert len({(here.x_mm, here.y_mm) for here in lies}) > 2, "nothing moves: the test proves nothing"
    held = Snapshot(cloth_at=work.arrivals[0])
    told = [held.cloth_at]
    for _ in made.steps[1:]:
        held = apply(held, work, Command("next"))
        told.append(held.cloth_at)
    for index, (at, here) in enumerate(zip(told, lies, strict=True)):
        assert (at.x_mm, at.y_mm, at.turn_deg) == pytest.approx((here.x_mm, here.y_mm, here.turn_deg), abs=1e-6), index
    for index in reversed(range(len(made.steps) - 1)):
        held = apply(held, work, Command("back"))
        assert (held.cloth_at.x_mm, held.cloth_at.y_mm) == pytest.approx((lies[index].x_mm, lies[index].y_mm), abs=1e-6), index
    assert set(work.slides) == {index for index, step in enumerate(made.steps) if step.op == "slide"}
