"""For other programs: one call, no file, no clock."""

from collections.abc import Mapping
from typing import Any


def pieces_for(measures_mm: Mapping[str, float], style: Mapping[str, Any]) -> dict[str, Any]:
    """Draft a dress. `measures_mm`: the measures taken, mm, by key; `style`: an order's style keys, {} the default.

    Returns the object of pieces.json. Raises the project's own errors (calibration.errors.TableError) for a key or value
    that is not known, a body whose measures contradict each other, and a draft that cannot be sewn.
    """
    from dataclasses import replace

    from projector.body.complete import complete_measures
    from projector.draft.style import style_from_mapping
    from projector.garment.build import build
    from projector.garment.figure import draft_measures

    chosen = style_from_mapping(style)
    given = {key: mm if isinstance(mm, bool) or not hasattr(mm, "__float__") else float(mm) for key, mm in measures_mm.items()}
    body = complete_measures(given, "waist", needs_sleeve=chosen.is_sleeved, needs_bodice=chosen.bodice)
    body.refuse_stops()
    garment = build(draft_measures(body), chosen)
    doubts = tuple(str(doubt) for doubt in body.doubts)
    return replace(garment, warnings=(*doubts, *garment.warnings)).as_json()
