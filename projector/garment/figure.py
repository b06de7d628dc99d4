"""From a body with its stand-ins to the plain measures that the draft works with."""

from projector.body.body import Body

ONLY_WHEN_TAKEN = ("front_waist", "scye_depth", "shoulder_underbust", "round_shoulders")
"""These change how the draft is made when they were measured; a stand-in of theirs is what the draft would do anyway."""


def draft_measures(body: Body) -> dict[str, float]:
    """Complete measures in mm; the optional ones only when they were taken."""
    measures = body.in_mm()
    for key in ONLY_WHEN_TAKEN:
        if body.given_mm(key) is None:
            measures.pop(key, None)
    return measures
