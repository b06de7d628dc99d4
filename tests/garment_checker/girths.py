"""P08 to P10, P20: girths by slicing the sewing outlines, against the measures and the ease asked for."""

import re
from collections.abc import Iterator, Mapping

import numpy as np
from shapely.geometry import LineString, Polygon

from tests.garment_checker.fault import Fault
from tests.garment_checker.model import Garment, Piece
from tests.garment_checker.shapes import inside_mm, level_line

EASE = {"standard": (45.0, 22.0, 50.0), "close": (22.0, 12.0, 32.0), "roomy": (70.0, 35.0, 75.0)}
RAISED = re.compile(r"\b(bust|waist|hip) ease is (\d+(?:\.\d+)?) mm instead")
LIMITS = {"bust": (12.0, 125.0), "underbust": (5.0, 400.0), "hip": (25.0, 700.0)}
ASKED_MM = 0.5  # P08 asks for 8; reached: 0.11, flattened curves
WAIST_ASKED_MM = 4.0  # where no dart takes up what a curved waist is longer than a straight one; reached: 3.8 on a waist over the bust
STATED_MM = 0.1  # finished girths against the slices, read to a hundredth; reached: 0.04
WAIST_MM = (10.0, 60.0)  # P09
WAIST_SEAM_MM = 0.1  # P10 asks for 1; reached: 0.054, two flattened curves
HANGS_MM = 2.0  # a quarter: how much wider its hip is left so that the side hangs straight down (reached: 1.5)


def sliced_mm(piece: Piece, name: str) -> float:
    """Length of a level inside the sewing line, darts without a mouth left out."""
    line = level_line(piece.levels[name], piece.shape)
    gone = sum(inside_mm(line, Polygon(dart)) for dart in piece.darts if len(dart) == 4)
    return inside_mm(line, piece.shape) - gone


def girth_mm(garment: Garment, name: str) -> float | None:
    """Whole girth at a level over `of: main` (sleeves: one of the two)."""
    pieces = [piece for piece in garment.main if name in piece.levels and piece.is_sleeve == (name == "biceps")]
    if not pieces:
        return None
    total = sum(sliced_mm(piece, name) * piece.copies for piece in pieces)
    return total / 2 if name == "biceps" else total


def waists_mm(garment: Garment) -> tuple[float | None, float | None]:
    """Sewn waist of bodice and of skirt, by their waist edges."""
    out: list[float | None] = []
    for above in (True, False):
        pieces = [p for p in garment.main if "waist" in p.kinds and is_above(p) == above and "band" not in p.kinds]
        pieces = [p for p in pieces if not p.part.startswith("peplum")] or pieces
        out.append(sum(e.length_mm * p.copies for p in pieces for e in p.edges if e.kind == "waist") if pieces else None)
    return out[0], out[1]


def is_above(piece: Piece) -> bool:
    """Bodice: holds bust, neck, shoulder or armhole."""
    return bool(piece.kinds & {"neck", "shoulder", "armhole"}) or bool({"bust", "underbust", "underarm"} & set(piece.levels))


def asked_mm(garment: Garment, style: Mapping[str, object]) -> dict[str, float]:
    """Ease by girth: the style's, or what a warning says it was raised to (`Bust ease is 69 mm instead of 45 mm`, DRAFT 3.11)."""
    ease = style.get("ease", "standard")
    names = ("bust", "waist", "hip")
    usual = dict(zip(names, EASE["standard" if isinstance(ease, Mapping) else str(ease)], strict=True))
    asked = {name: float(ease.get(f"{name}_mm", mm)) for name, mm in usual.items()} if isinstance(ease, Mapping) else usual
    raised = [RAISED.search(warning.lower()) for warning in garment.warnings]
    return asked | {found[1]: float(found[2]) for found in raised if found}


def levels_inside(garment: Garment) -> Iterator[Fault]:
    """Levels lie strictly inside their piece."""
    for piece in garment.pieces.values():
        for name, level in piece.levels.items():
            _, y0, _, y1 = piece.shape.bounds
            if isinstance(level, int | float):
                if not y0 + 0.5 < level < y1 - 0.5 or sliced_mm(piece, name) < 3.0:
                    yield Fault("level", f"{piece.name}/{name}", f"y {level:.1f} is not inside {y0:.1f} to {y1:.1f}")
            elif not piece.shape.contains(LineString(level)):
                yield Fault("level", f"{piece.name}/{name}", "the line leaves the piece")


def body_girths(garment: Garment, style: Mapping[str, object]) -> Iterator[Fault]:
    """P08: slice minus body within the bounds, near the ease asked for; finished says what the slices say."""
    asked = asked_mm(garment, style)
    fitted_hip = style.get("skirt", "straight") in ("straight", "tapered", "a_line")
    for name in ("bust", "underbust", "hip", "knee"):
        girth, told = girth_mm(garment, name), garment.finished.get(f"{name}_mm")
        if (girth is None) != (told is None):
            yield Fault("P08", name, f"slices give {girth}, finished {told}")
        if girth is not None and told is not None and abs(girth - told) > STATED_MM:
            yield Fault("P08", name, f"finished says {told:.1f}, the slices give {girth:.1f}")
        if girth is None or name not in LIMITS:
            continue
        ease = girth - garment.measures[name]
        low, high = LIMITS[name]
        if not low <= ease <= high and not (name == "hip" and not fitted_hip and ease > high):
            yield Fault("P08", name, f"{girth:.1f} on a body of {garment.measures[name]:.1f}: ease {ease:.1f}")
        elif name not in asked or abs(ease - asked[name]) <= ASKED_MM or (name == "hip" and not fitted_hip):
            continue
        elif name != "hip" or ease < asked[name] or not _hangs_from_waist(garment):
            yield Fault("P08", name, f"ease {ease:.1f}, asked for {asked[name]:.1f}")


def _hangs_from_waist(garment: Garment) -> bool:
    """Both hip quarters were grown until one is as wide as its waist (DRAFT 3.7)."""
    skirts = [p for p in garment.main if "hip" in p.levels and "waist" in p.kinds and not is_above(p)]
    return any(sum(e.length_mm for e in p.edges if e.kind == "waist") > sliced_mm(p, "hip") - HANGS_MM for p in skirts)


def waists(garment: Garment, style: Mapping[str, object]) -> Iterator[Fault]:
    """P09, P10: sewn waist over the body, skirt to bodice."""
    bodice, skirt = waists_mm(garment)
    told = garment.finished.get("waist_mm")
    asked = asked_mm(garment, style)["waist"]
    for name, waist in (("bodice", bodice), ("skirt", skirt)):
        if waist is None:
            continue
        ease = waist - garment.measures["waist"]
        if not WAIST_MM[0] <= ease <= WAIST_MM[1]:
            yield Fault("P09", name, f"waist {waist:.1f} on a body of {garment.measures['waist']:.1f}: ease {ease:.1f}")
        elif abs(ease - asked) > WAIST_ASKED_MM:
            yield Fault("P09", name, f"waist ease {ease:.1f}, asked for {asked:.1f}")
        if told is None or abs(waist - told) > STATED_MM:
            yield Fault("P09", name, f"finished says {told}, its waist edges give {waist:.1f}")
    if bodice is not None and skirt is not None and abs(bodice - skirt) > WAIST_SEAM_MM:
        yield Fault("P10", "waist", f"bodice {bodice:.2f}, skirt {skirt:.2f}")


def hem_mm(garment: Garment) -> float | None:
    """Whole hem of the skirt."""
    pieces = [p for p in garment.main if {"hem", "waist"} <= p.kinds and not p.is_sleeve and not is_above(p)]
    pieces = [p for p in pieces if not p.part.startswith("peplum")] or pieces  # a peplum is the skirt where there is no other
    return sum(e.length_mm * p.copies for p in pieces for e in p.edges if e.kind == "hem") if pieces else None


def step_need_mm(height_mm: float, stature_mm: float, hip_mm: float) -> float:
    """Girth a step needs at a height over the floor (DRAFT 3.9)."""
    hip_height = 0.53 * stature_mm
    z = height_mm / hip_height
    legs = hip_mm * float(np.interp(z, [0.07, 0.5, 0.95], [0.24, 0.38, 0.62]))
    return 2 * 0.8 * 0.41 * stature_mm * (1 - z) + legs


def _hem_top(piece: Piece) -> float:
    """Highest point of a curved hem: below it a level line would miss cloth at the side."""
    return float(min(edge.line[:, 1].min() for edge in piece.edges if edge.kind == "hem"))


def walking(garment: Garment) -> Iterator[Fault]:
    """P20: nowhere below the hip narrower than a step, or a vent that reaches above that place."""
    skirts = [p for p in garment.main if "hem" in p.kinds and "waist" in p.kinds and not p.is_sleeve and not is_above(p)]
    hem, told = hem_mm(garment), garment.finished.get("hem_mm")
    if hem is not None and (told is None or abs(hem - told) > STATED_MM):
        yield Fault("P20", "hem", f"finished says {told}, its hem edges give {hem:.1f}")
    measures = garment.measures
    if not skirts or not all(isinstance(p.levels.get("hip"), int | float) for p in skirts):
        return
    stature, floor, hip_down = measures["stature"], measures["waist_floor"], measures["waist_hip"]
    below = min(_hem_top(p) - float(p.levels["hip"]) for p in skirts) - 1.0
    hem_height = floor - hip_down - below
    top = 0.0
    for down in np.arange(0.0, below, 15.0):
        height = floor - hip_down - down
        girth = 0.0
        for piece in skirts:
            line = level_line(float(piece.levels["hip"]) + float(down), piece.shape)
            girth += inside_mm(line, piece.shape) * piece.copies
        if girth < step_need_mm(height, stature, measures["hip"]) - 5.0:
            top = height - hem_height
            break
    vent = garment.finished.get("vent_from_hem_mm")
    if top > 0 and (vent is None or vent < top - 25.0):
        yield Fault("P20", "walking", f"narrower than a step up to {top:.0f} mm above the hem; vent {vent}")
