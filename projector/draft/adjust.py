"""What a fitting pinned, at named lines of the draft: the draft is drawn with the lines moved, so every seam still meets.

Amounts in mm, positive: out, longer, deeper, higher. Side lines count for each edge of the seam, front and back alike.
"""

from collections.abc import Mapping
from dataclasses import dataclass, fields

from calibration.errors import WrongInput
from calibration.names import unknown_name

MOST_MM = 60.0
"""More than this is another measure, not an alteration."""


@dataclass(frozen=True, slots=True)
class Adjust:
    """Every line that a fitting may move; all zero: the draft as it is."""

    side_underarm: float = 0.0
    side_waist: float = 0.0
    side_hip: float = 0.0
    side_hem: float = 0.0
    hem: float = 0.0
    neck_front: float = 0.0
    neck_back: float = 0.0
    shoulder_tip: float = 0.0
    centre_back_waist: float = 0.0
    sleeve_length: float = 0.0

    def plus(self, other: "Adjust") -> "Adjust":
        """Both together."""
        return Adjust(**{line.name: getattr(self, line.name) + getattr(other, line.name) for line in fields(Adjust)})


NO_CHANGE = Adjust()

LINES: dict[str, str] = {
    "side_underarm": "side seam at the underarm, front and back each: out or in",
    "side_waist": "side seam at the waist, front and back each: out or in",
    "side_hip": "side seam at the hip, front and back each: out or in",
    "side_hem": "side seam at the hem, front and back each: out or in",
    "hem": "hem of the skirt: longer or shorter",
    "neck_front": "front neck at the centre: deeper or higher",
    "neck_back": "back neck at the centre: deeper or higher",
    "shoulder_tip": "shoulder at the arm: higher or lower",
    "centre_back_waist": "centre-back seam at the waist, each half: out or in",
    "sleeve_length": "sleeve: longer or shorter",
}
"""The lines in words."""


def adjust_from(changes: Mapping[str, float]) -> Adjust:
    """Lines and amounts in mm. Raises WrongInput for a line that is not known or an amount that is no alteration."""
    for name, mm in changes.items():
        if name not in LINES:
            raise unknown_name(name, tuple(LINES), "fitting", "the line")
        if not abs(mm) <= MOST_MM:
            raise WrongInput(
                f"{name} cannot be altered by {mm:.0f} mm.",
                f"{MOST_MM:.0f} mm is the most that one line moves.",
                "Measure again and draft anew instead.",
            )
    return Adjust(**dict(changes))
