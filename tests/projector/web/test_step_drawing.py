"""The step on the phone: lines and letters where the light throws them, y down. Cloth mm."""

from projector.steps.step import Step, StepLabel, StepLine
from projector.web.step_drawing import step_drawing


def test_crosses_on_the_print_keep_their_letters() -> None:
    """As in the light; piece names and counts stand there too large for a phone and are left out."""
    cross = StepLine("cross", None, "now", ((90.0, 50.0), (110.0, 50.0)))
    labels = (StepLabel("B", (109.0, 59.0)), StepLabel("front", (300.0, 200.0)), StepLabel("2", (10.0, 10.0)))
    drawing = step_drawing(Step("See the print", "", "check", "main", 0, 0, lines=(cross,), labels=labels))
    assert drawing["letters"] == [[109, -59, "B"]]
    assert drawing["paths"] == {"cross now": "M90,-50 110,-50"}


def test_a_letter_at_the_far_edge_is_not_cut_off() -> None:
    """A fourteenth of 660 mm beside a line that ends 9 mm before it: the margin alone would hold 21 mm of it."""
    line = StepLine("sew", None, "now", ((0.0, 0.0), (600.0, 0.0)))
    x, _, wide, _ = step_drawing(Step("See", "", "check", "main", 0, 0, lines=(line,), labels=(StepLabel("C", (609.0, 9.0)),)))["box"]
    assert x + wide == round(609.0 + 660.0 / 14.0)


def test_a_step_without_lines_has_an_empty_drawing() -> None:
    assert step_drawing(Step("Press", "", "prepare", "main", 0, 0)) == {"paths": {}, "box": [0, 0, 1, 1], "letters": []}
