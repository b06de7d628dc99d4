"""How to fold, as pure lines: the flat cloth with its fold lines, and the layers seen from the cut end. For paper and scene, mm."""

from dataclasses import dataclass

from calibration.units import Unit, length_text
from projector.garment.pieces import Line, Point
from projector.lay.lay import Lay, Ply, Region

LAYER_MM = 14.0
"""How far apart the layers are drawn that are seen from the end."""


@dataclass(frozen=True, slots=True)
class FoldStep:
    """One thing to do with the cloth: bring one line of it onto another. Lines and arrow on the flat or half-folded cloth.

    `made`: the fold that lies there already, () on flat cloth. `top`, `bottom`, `left`: what lies at high y, at y = 0 and at x = 0;
    `face`: the side of the cloth that is seen.
    """

    words: str
    outline: Line
    fold: Line
    arrow: tuple[Point, Point]
    made: Line = ()
    top: str = "selvedge"
    bottom: str = "selvedge"
    left: str = "cut end"
    face: str = "right side up"


@dataclass(frozen=True, slots=True)
class EndView:
    """Layers seen from the cut end, with folds across from the selvedge: one line per ply (top first) and the arcs that join them.

    `right`: right side up.
    """

    plies: tuple[Line, ...]
    right: tuple[bool, ...]
    bends: tuple[Line, ...]
    seen_from: str = "the cut end"


def _rect(along: float, across: float) -> Line:
    return ((0.0, 0.0), (along, 0.0), (along, across), (0.0, across))


def fold_steps(lay: Lay, unit: Unit = "mm") -> tuple[FoldStep, ...]:
    """Edge by edge, amounts as her tape reads them; the first length laid on, the others are folded alike. x along the cloth, y
    across it from one selvedge, as it lies right side up before folding."""
    region, sides = lay.regions[0], _sides(lay)
    width, along = lay.cloth.width_mm, lay.flat_mm(region)
    flat = _rect(along, width)
    if lay.plan == "open":
        return (FoldStep("Open, right side up.", flat, (), ((0.0, 0.0), (0.0, 0.0))),)
    if lay.plan in ("lengthwise", "off_centre"):
        fold = width / 2 if lay.plan == "lengthwise" else region.y[1] + lay.cloth.selvedge_mm
        way = (
            "Selvedge to selvedge"
            if lay.plan == "lengthwise"
            else f"Fold {length_text(fold, unit)} {'under' if 'out' in sides else 'over'}"
        )
        return (FoldStep(f"{way}, {sides}.", flat, ((0.0, fold), (along, fold)), ((along / 2, 0.0), (along / 2, 2 * fold))),)
    if lay.plan == "crosswise":
        return (_across_half(flat, along, width, sides),)
    if lay.plan == "crossed_four":
        half = _rect(along / 2, width)
        second = ((0.0, width / 2), (along / 2, width / 2))
        return (
            _across_half(flat, along, width, sides),
            FoldStep(
                "Then selvedge to selvedge.",
                half,
                second,
                ((along / 4, 0.0), (along / 4, width)),
                ((0.0, 0.0), (0.0, width)),
                left="fold",
                face=f"{region.ply[0].face} side up",
            ),
        )
    return _quarters(lay, region, along, width, unit)


def _sides(lay: Lay) -> str:
    """Which side the first fold leaves outside; a print that is placed or matched lies outside."""
    return "right side out" if any(len(region.ply) > 1 and region.ply[0].face == "right" for region in lay.regions) else "right side in"


def _across_half(flat: Line, along: float, width: float, sides: str) -> FoldStep:
    return FoldStep(
        f"End to end, {sides}.", flat, ((along / 2, 0.0), (along / 2, width)), ((0.0, width / 2), (along, width / 2))
    )  # fmt: skip


def _quarters(lay: Lay, region: Region, along: float, width: float, unit: Unit) -> tuple[FoldStep, ...]:
    """R1: first fold in the middle, then that fold brought over to stop short of the two free edges by the overhang.

    The half that stays is the one with the free edges where the lay has them: at low y, at the cut end.
    """
    flat, size = _rect(along, width), width if lay.plan == "quarters_along" else along
    trim = lay.cloth.selvedge_mm if lay.plan == "quarters_along" else 0.0
    beyond = -min(ply.y[0] if lay.plan == "quarters_along" else ply.x[0] for ply in region.ply) + trim
    middle, double = size / 2, size / 2 - (size - 2 * beyond) / 4
    words = (f"Fold in the middle, {_sides(lay)}.", f"Bring the fold over, {length_text(beyond, unit)} short of the free edges.")
    if lay.plan == "quarters_along":
        half, made = _rect(along, size / 2), ((0.0, middle), (along, middle))
        return (
            FoldStep(words[0], flat, made, ((along / 2, size), (along / 2, 0.0))),
            FoldStep(
                words[1],
                half,
                ((0.0, double), (along, double)),
                ((along / 2, middle), (along / 2, beyond)),
                made,
                top="fold",
                bottom="2 selvedges",
                face=f"{region.ply[0].face} side up",
            ),
        )
    half, made = _rect(size / 2, width), ((middle, 0.0), (middle, width))
    return (
        FoldStep(words[0], flat, made, ((size, width / 2), (0.0, width / 2))),
        FoldStep(
            words[1],
            half,
            ((double, 0.0), (double, width)),
            ((middle, width / 2), (beyond, width / 2)),
            made,
            left="2 cut ends",
            face=f"{region.ply[0].face} side up",
        ),
    )


def end_view(lay: Lay) -> EndView:
    """The first length's stack as seen from its end, layers drawn LAYER_MM apart: across the folds, so y for folds along, x for
    folds across. Where the lowest layer reaches beyond the others (a fold off the middle) it is drawn to its own edge."""
    region, *more = (each for each in lay.regions if each.bundle == lay.regions[0].bundle)
    beyond = max((each.y[1] for each in more), default=None)
    is_across = any(fold.side[0] == "x" for fold in region.folds) and not any(fold.side[0] == "y" for fold in region.folds)

    def span(ply: Ply) -> tuple[float, float]:
        return ply.x if is_across else ply.y

    heights = {ply.id: -LAYER_MM * number for number, ply in enumerate(region.ply)}
    ends = [span(ply) if beyond is None or ply is not region.ply[-1] else (span(ply)[0], beyond) for ply in region.ply]
    lines = tuple(((low, heights[ply.id]), (high, heights[ply.id])) for ply, (low, high) in zip(region.ply, ends, strict=True))
    bends = []
    for fold in region.folds:
        if (fold.side[0] == "x") != is_across:
            continue
        ply = next(each for each in region.ply if each.id == fold.joins[0])
        end, sign = span(ply)[int(fold.side[1])], -1.0 if fold.side[1] == "0" else 1.0
        a, b = sorted(heights[name] for name in fold.joins)
        bulge = sign * min(LAYER_MM / 2, (b - a) / 2)
        bends.append(((end, a), (end + bulge, a + (b - a) / 4), (end + bulge, b - (b - a) / 4), (end, b)))
    return EndView(lines, tuple(ply.face == "right" for ply in region.ply), tuple(bends), "the selvedge" if is_across else "the cut end")
