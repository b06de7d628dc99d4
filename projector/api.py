"""For other programs: one call, no file, no clock."""

from collections.abc import Mapping
from typing import Any


def _number(value: Any) -> Any:
    """A plain float of any kind of number; what is none stays as it is and is refused by its name."""
    if isinstance(value, bool) or not hasattr(value, "__float__"):
        return value
    try:
        return float(value)
    except TypeError:  # an array of numbers
        return value


def _lengths_from(given: Mapping[str, Any]) -> str:
    """Where the tape began, once for all lengths of a card: told by a length that can only run from the shoulder."""
    from projector.body.kinds import BY_KEY

    full = given.get("full_length")
    is_long = isinstance(full, float) and full > BY_KEY["waist_floor"].high_mm
    return "shoulder" if is_long or {"shoulder_hip", "shoulder_knee"} & given.keys() else "waist"


def pieces_for(measures_mm: Mapping[str, float], style: Mapping[str, Any]) -> dict[str, Any]:
    """Draft a dress. `measures_mm`: the measures taken, mm, by key; `style`: an order's style keys, {} the default.

    `full_length` counts from the waist, unless it is too long for that or the hip line or knee length is given from the shoulder.
    Returns the object of pieces.json. Raises the project's own errors (calibration.errors.TableError) for a key or value
    that is not known, a body whose measures contradict each other, and a draft that cannot be sewn.
    """
    from dataclasses import replace

    from calibration.errors import WrongInput
    from projector.body.complete import complete_measures
    from projector.draft.style import style_from_mapping
    from projector.garment.build import build
    from projector.garment.figure import draft_measures

    chosen = style_from_mapping(style)
    if not isinstance(measures_mm, Mapping):
        raise WrongInput(f"The measures {measures_mm!r} cannot be read.", "Keys with mm are wanted.", "For example bust: 920, waist: 740.")
    given = {str(key): _number(mm) for key, mm in measures_mm.items()}
    body = complete_measures(given, _lengths_from(given), needs_sleeve=chosen.is_sleeved, needs_bodice=chosen.bodice)
    body.refuse_stops()
    garment = build(draft_measures(body), chosen)
    doubts = tuple(str(doubt) for doubt in body.doubts)
    return replace(garment, warnings=(*doubts, *garment.warnings)).as_json()
