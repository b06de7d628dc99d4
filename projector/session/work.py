"""From an order's lay and steps to what the session needs of them."""

from collections.abc import Mapping

from calibration.units import Unit
from projector.garment.pieces import Point
from projector.lay.bias import lays_cut
from projector.lay.lay import Lay, Placed, Ply, Region
from projector.session.place import turned
from projector.session.snapshot import ClothAt, Slide, Work
from projector.steps.place import Rect, places
from projector.steps.step import Step

Length = tuple[str, int]


def work_of(order: str, steps: tuple[Step, ...], lay: Lay, unit: Unit, light: Rect) -> Work:
    """`light`: the lit rectangle in the table frame, mm."""
    lays = lays_cut(lay)
    lies = places(steps, lay, light)
    arrivals: dict[int, ClothAt] = {}
    slides: dict[int, Slide] = {}
    for index, (step, here) in enumerate(zip(steps, lies, strict=True)):
        before = lies[index - 1] if index else None
        if before is not None and step.op == "slide":
            shift = turned((here.x_mm - before.x_mm, here.y_mm - before.y_mm), -here.turn_deg)
            slides[index] = Slide(_marks(step), shift)
        elif here != before:
            arrivals[index] = ClothAt(here.x_mm, here.y_mm, here.turn_deg)
    return Work(order, steps, unit, mirror_refusal(lay), slides, _fold_points(lays), arrivals)


def _marks(step: Step) -> tuple[Point, Point]:
    """The middles of the two crosses of a step that pulls the cloth along."""
    strokes = [line.mm for line in step.lines if line.kind == "slide"]
    middles = [((a[0] + b[0]) / 2.0, (a[1] + b[1]) / 2.0) for a, b in strokes]
    return middles[0], middles[-1]


def _fold_points(lays: Mapping[str, Lay]) -> dict[Length, tuple[Point, Point]]:
    """Fold corner and a place along the fold of each length's first part; the near selvedge where nothing is folded."""
    told: dict[Length, tuple[Point, Point]] = {}
    for name, lay in lays.items():
        for part in lay.parts:
            if part.slide_from is not None or (name, part.bundle) in told:
                continue
            regions = [region for region in lay.regions if region.bundle == part.bundle]
            y = min((_near_y(region) for region in regions), default=part.rect[1])
            x0 = min((region.x[0] for region in regions), default=part.rect[0])
            told[(name, part.bundle)] = ((max(x0, part.rect[0]), y), (part.rect[2], y))
    return told


def _near_y(region: Region) -> float:
    return min(ply.y[0] for ply in region.ply)


def mirror_refusal(lay: Lay) -> str:
    """Why a lay's stack may not lie mirrored; empty when every piece comes in pairs of faces or lies on a fold."""
    for one in lay.lays:
        plies = {ply.id: ply for region in one.regions for ply in region.ply}
        if one.cloth.up in ("along", "across"):
            return f"The print on {one.cloth.name} stands {one.cloth.up} the cloth."
        single = [placed.piece for placed in one.placed if not placed.on_fold and not _is_paired(placed, plies)]
        if single:
            return f"{single[0]} is cut once, as drafted: mirrored it would be the other side."
    return ""


def _is_paired(placed: Placed, plies: Mapping[str, Ply]) -> bool:
    """As many layers keep it right side up as wrong side up."""
    faces = [plies[ply].face for ply in placed.on]
    return faces.count("right") == faces.count("wrong")
