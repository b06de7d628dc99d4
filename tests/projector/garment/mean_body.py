"""A body of about the mean measures of the survey's women (tests/published/survey.py), for tests of finished pieces. mm."""

from functools import cache

from projector.body.complete import complete_measures
from projector.garment.figure import draft_measures

BODY = {
    "bust": 947.0, "underbust": 800.0, "waist": 780.0, "hip": 1021.0, "nape_waist": 395.0, "stature": 1628.0, "upper_arm": 290.0,
    "wrist": 155.0,
}  # fmt: skip


@cache
def measures() -> dict[str, float]:
    """As the draft takes them, what was not measured worked out."""
    return draft_measures(complete_measures(BODY, needs_sleeve=True))
