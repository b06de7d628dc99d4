"""lay.json read back and looked through: a damaged lay is told here, before anything is reckoned from it."""

from collections.abc import Iterator, Mapping
from dataclasses import asdict
from typing import Any

from shapely.geometry import Polygon

from calibration.errors import WrongInput
from calibration.records import record_from
from projector.lay.lay import Lay, Placed, Region
from projector.steps.given import NOT_TOLD, lay_from_json

LAY_AGAIN = "Give a lay.json written by the lay command, or lay anew."
FARTHEST_MM = 1e6
"""No cloth on a table reaches a kilometre."""


def lay_read(told: Mapping[str, Any], name: str) -> Lay:
    """The lay of a lay.json; `name`: of its file. Raises WrongInput when a value is of another kind or something it names is not there."""
    try:
        lay = lay_from_json(told)
    except NOT_TOLD as cause:
        raise WrongInput(f"{name} is not a lay.", f"{type(cause).__name__}: {str(cause)[:80]}.", LAY_AGAIN) from cause
    whole = record_from(Lay, asdict(lay), "lay")
    wrong = next((fault for one in whole.lays for fault in _faults(one)), None)
    if wrong:
        raise WrongInput(f"{name} is damaged.", wrong, LAY_AGAIN)
    return whole


def _faults(lay: Lay) -> Iterator[str]:
    """What does not hold together in one cloth's lay, in words."""
    regions = {region.id: region for region in lay.regions}
    if not regions or len(regions) < len(lay.regions) or not lay.placed:
        yield f"Cloth {lay.cloth.name!r} has {len(lay.regions)} regions, {len(regions)} of different names, and {len(lay.placed)} pieces."
    for region in lay.regions:
        yield from _faults_of_region(region)
    for part in lay.parts:
        if part.bundle not in {region.bundle for region in lay.regions} or not _is_box(part.rect):
            yield f"A part lies at {part.rect} of length {part.bundle + 1}."
        if part.slide_from is not None and not 0 <= part.slide_from < len(lay.parts):
            yield f"A part comes after part {part.slide_from + 1} of {len(lay.parts)}."
    for placed in lay.placed:
        yield from _faults_of_piece(placed, regions, len(lay.parts))
    if lay.binding:
        strips, count, part_of = len(lay.binding.strips), len(lay.binding.parts or lay.parts), lay.binding.part_of
        if len(part_of) != strips or not all(0 <= part < count for part in part_of):
            yield f"{strips} bias strips lie in the parts {part_of} of {count}."


def _faults_of_region(region: Region) -> Iterator[str]:
    plies = {ply.id for ply in region.ply}
    if not plies or len(plies) < len(region.ply) or not {name for fold in region.folds for name in fold.joins} <= plies:
        yield f"Region {region.id!r} has the layers {sorted(plies)} and folds between others."
    boxes = [(x[0], y[0], x[1], y[1]) for x, y in ((region.x, region.y), *((ply.x, ply.y) for ply in region.ply))]
    if not all(_is_box(box) for box in boxes):
        yield f"Region {region.id!r} or a layer of it has no extent: {boxes}."


def _faults_of_piece(placed: Placed, regions: Mapping[str, Region], parts: int) -> Iterator[str]:
    region = regions.get(placed.region)
    plies = {ply.id for ply in region.ply} if region else set()
    if not placed.on or not set(placed.on) <= plies or placed.plies != len(plies):
        yield f"{placed.piece} lies on {', '.join(placed.on) or 'nothing'} of region {placed.region!r}, which has {sorted(plies)}."
    if not 0 <= placed.part < parts:
        yield f"{placed.piece} lies in part {placed.part + 1} of {parts}."
    far = max((abs(value) for point in (*placed.outline, placed.shift) for value in point), default=0.0)
    if len(placed.outline) < 3 or far > FARTHEST_MM or not Polygon(placed.outline).is_valid:
        yield f"{placed.piece} has an outline of {len(placed.outline)} points that reaches {far:.3g} mm or crosses itself."


def _is_box(box: tuple[float, float, float, float]) -> bool:
    """Low x, low y, high x, high y."""
    return box[0] < box[2] and box[1] < box[3] and all(abs(value) <= FARTHEST_MM for value in box)
