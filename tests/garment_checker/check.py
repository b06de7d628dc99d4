"""All checks on one pieces.json."""

from collections.abc import Mapping
from typing import Any

from tests.garment_checker import chosen, cloths, corners, cutting, girths, given, off_shoulder, outline, sewing, shaping
from tests.garment_checker.fault import Fault
from tests.garment_checker.model import Unreadable, read

BY_PIECE = (
    outline.closed, outline.smooth, outline.folded, outline.centred, outline.bridged, outline.sized,
    cutting.outside, cutting.even, cutting.tight, cutting.dart_caps, cutting.snips, cutting.first_cuts,
)  # fmt: skip
BY_GARMENT = (
    sewing.lengths, sewing.partners, sewing.matched, sewing.counted, sewing.princess, sewing.notches_meet,
    corners.declared, corners.run_on, corners.square, cutting.allowances_meet, girths.levels_inside, girths.walking,
    shaping.darts, shaping.armhole, shaping.sleeve, shaping.shoulder, shaping.cup, shaping.front_longer,
    shaping.lowest_at_the_centre, cloths.grains, given.levels, given.notches,
)  # fmt: skip
BY_STYLE = (girths.body_girths, girths.waists, cloths.lining, cloths.facings, *chosen.CHECKS, *off_shoulder.CHECKS)


def faults(told: Mapping[str, Any], style: Mapping[str, Any] | None = None) -> list[Fault]:
    """Every broken property of a pieces.json object. `style`: as given to the draft; {} means all defaults."""
    try:
        garment = read(told)
    except (Unreadable, KeyError, TypeError, ValueError) as cause:
        return [Fault("format", "pieces.json", str(cause))]
    crossed = [fault for piece in garment.pieces.values() for fault in outline.simple(piece)]
    if crossed:
        return crossed  # slices and offsets of a crossed outline mean nothing
    if missing := list(given.measures(garment)):
        return missing
    found = [fault for piece in garment.pieces.values() for check in BY_PIECE for fault in check(piece)]
    found += [fault for check in BY_GARMENT for fault in check(garment)]
    found += [fault for check in BY_STYLE for fault in check(garment, style or {})]
    return found
