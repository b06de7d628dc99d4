"""Values that come with a command, checked."""

from collections.abc import Mapping
from typing import Any

from calibration.errors import WrongInput
from calibration.units import Unit, mm_from_text
from projector.session.change import LARGEST_NUMBER


def as_read(args: Mapping[str, Any], unit: Unit) -> float:
    """mm from what was typed: `as_read` in her unit (51 1/4), or `mm`. Raises WrongInput."""
    typed = args.get("as_read")
    return mm_from_text(typed, unit) if isinstance(typed, str) else number_of(args, "mm", "What your tape reads")


def number_of(args: Mapping[str, Any], name: str, told_as: str) -> float:
    """A number of the command. Raises WrongInput."""
    value = args.get(name)
    if isinstance(value, bool) or not isinstance(value, int | float) or not abs(value) < LARGEST_NUMBER:
        raise WrongInput(f"{told_as} is not a number.", f"{str(value)[:40]} was given.", "Type a number.")
    return float(value)
