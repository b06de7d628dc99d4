"""Values that come with a command, checked."""

from collections.abc import Mapping
from typing import Any

from calibration.units import Unit, mm_from_text
from projector.session.change import number_in


def as_read(args: Mapping[str, Any], unit: Unit) -> float:
    """mm from what was typed: `as_read` in her unit (51 1/4), or `mm`. Raises WrongInput."""
    typed = args.get("as_read")
    return mm_from_text(typed, unit) if isinstance(typed, str) else number_in(args, "mm", told_as="What your tape reads")
