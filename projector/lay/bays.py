"""Fold plans as exact geometry: which stacks of plies a fold gives (regions), where shapes may lie in them (bays), what a length costs.

A bay is a rectangle of one region in which shapes are laid beside each other on the same plies. Bays share no ply or no
place, so a shape meets only shapes of its own bay. Sources: DRAFT R1 (quarters), LAY sections 4a and 5.
"""

from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Literal

from projector.lay.cloth import Cloth
from projector.lay.lay import QUARTERS, Fold, Plan, Ply, Region, Span

Face = Literal["right", "wrong"]
FOLDS_ACROSS: tuple[Plan, ...] = ("crosswise", "quarters_across")


@dataclass(frozen=True, slots=True)
class Bay:
    """Room on one set of plies. x is open towards the end of the cloth.

    `origin`: the least (x, y) at which a shape's true box may start when it lies on a fold or at a cut end.
    `inset`: (x, y) added for shapes that are not on a fold. `top`: highest y of a true box. `faces`, `turned` per ply.
    `folds`: sides on which a piece can be laid on the fold, with the plies joined there.
    """

    region: str
    bundle: int
    plies: tuple[str, ...]
    faces: tuple[Face, ...]
    turned: tuple[Literal[0, 180], ...]
    origin: tuple[float, float]
    inset: tuple[float, float]
    top: float
    folds: tuple[Fold, ...] = ()

    def side(self, side: str) -> tuple[tuple[str, str], ...]:
        """Pairs of plies joined at that side."""
        return tuple(fold.joins for fold in self.folds if fold.side == side)


@dataclass(frozen=True, slots=True)
class FoldedCloth:
    """One length folded by one plan: bays to lay in, and how far x reaches costs how much cloth.

    used = `fixed` + `times` * (highest x of a true box + `beyond`). `folded_x`: the fold lies at the far end.
    """

    plan: Plan
    cloth: Cloth
    bundle: int
    bays: tuple[Bay, ...]
    times: float
    fixed: float
    beyond: float
    depth: float = 0.0
    overhang: float = 0.0

    def used_mm(self, reach: float) -> float:
        """Cloth used when the furthest true box ends at x = reach."""
        return self.fixed + self.times * (reach + self.beyond)

    def reach_for(self, length: float) -> float:
        """How far true boxes may reach in a length of cloth."""
        return (length - self.fixed) / self.times - self.beyond


def ply_name(region: str, number: int) -> str:
    """Ids count from the top."""
    return f"{region}.{number}"


def fold_cloth(
    cloth: Cloth, plan: Plan, bundle: int, depth: float = 0.0, overhang: float = 0.0, *, is_print_out: bool = False
) -> FoldedCloth:
    """Fold one length by a plan. `depth`: of the doubled part (off centre); `overhang`: z of the quarters (R1).

    `is_print_out`: wrong sides together, so that a print that is placed or matched can be seen (R6).
    """
    length = cloth, f"{cloth.name}-{bundle + 1}", bundle
    makers: dict[Plan, Callable[[], FoldedCloth]] = {
        "open": lambda: _open(*length),
        "lengthwise": lambda: _lengthwise(*length),
        "off_centre": lambda: _off_centre(*length, depth),
        "crosswise": lambda: _crosswise(*length),
        "quarters_along": lambda: _quarters_along(*length, overhang),
        "quarters_across": lambda: _quarters_across(*length, overhang),
        "crossed_four": lambda: _crossed_four(*length),
    }
    made = replace(makers[plan](), depth=depth, overhang=overhang)
    return replace(made, bays=tuple(_turned_out(bay) for bay in made.bays)) if is_print_out else made


def _turned_out(bay: Bay) -> Bay:
    """Right side out; the single layer beside a fold lies right side up as before: then the edge is folded under."""
    return bay if len(bay.plies) == 1 else replace(bay, faces=tuple("wrong" if face == "right" else "right" for face in bay.faces))


def _open(cloth: Cloth, name: str, bundle: int) -> FoldedCloth:
    bay = Bay(
        name,
        bundle,
        (ply_name(name, 1),),
        ("right",),
        (0,),
        (cloth.end_mm, cloth.selvedge_mm),
        (0.0, 0.0),
        cloth.width_mm - cloth.selvedge_mm,
    )
    return FoldedCloth("open", cloth, bundle, (bay,), 1.0, 0.0, cloth.end_mm)


def _doubled(cloth: Cloth, name: str, bundle: int, top: float) -> Bay:
    """Right side in: the top ply lies wrong side up."""
    plies = (ply_name(name, 1), ply_name(name, 2))
    return Bay(
        name, bundle, plies, ("wrong", "right"), (0, 0), (cloth.end_mm, 0.0), (0.0, cloth.gap_mm / 2), top, (Fold("y0", plies),)
    )  # fmt: skip


def _lengthwise(cloth: Cloth, name: str, bundle: int) -> FoldedCloth:
    bay = _doubled(cloth, name, bundle, cloth.width_mm / 2 - cloth.selvedge_mm)
    return FoldedCloth("lengthwise", cloth, bundle, (bay,), 1.0, 0.0, cloth.end_mm)


def _off_centre(cloth: Cloth, name: str, bundle: int, depth: float) -> FoldedCloth:
    """The single layer begins beyond the upper layer's selvedge, which is never cut through; it goes on from the layer of its face, so
    that a narrow selvedge leaves what is missing of the gap to be kept from there."""
    doubled = _doubled(cloth, name, bundle, depth)
    other = f"{name}s"
    start, stop = depth + cloth.selvedge_mm, cloth.usable_mm - depth
    inset = (0.0, max(0.0, cloth.gap_mm - cloth.selvedge_mm))
    single = Bay(other, bundle, (ply_name(other, 1),), ("right",), (0,), (cloth.end_mm, start), inset, stop)
    bays = (doubled, single) if stop - start > 20.0 else (doubled,)
    return FoldedCloth("off_centre", cloth, bundle, bays, 1.0, 0.0, cloth.end_mm)


def _crosswise(cloth: Cloth, name: str, bundle: int) -> FoldedCloth:
    plies = (ply_name(name, 1), ply_name(name, 2))
    bay = Bay(
        name, bundle, plies, ("wrong", "right"), (180, 0), (0.0, cloth.selvedge_mm), (cloth.gap_mm / 2, 0.0),
        cloth.width_mm - cloth.selvedge_mm, (Fold("x0", plies),),
    )  # fmt: skip
    return FoldedCloth("crosswise", cloth, bundle, (bay,), 2.0, 0.0, cloth.end_mm)


def _quarters_along(cloth: Cloth, name: str, bundle: int, overhang: float) -> FoldedCloth:
    """R1: fronts on plies 1, 2 from y = 0 to Q, backs on 3, 4 from -z; Q = (C - 2z)/4, C the cloth's width."""
    ids = tuple(ply_name(name, n) for n in (1, 2, 3, 4))
    quarter, half_gap = (cloth.width_mm - 2 * overhang) / 4, cloth.gap_mm / 2
    fronts = Bay(
        name, bundle, ids[:2], ("wrong", "right"), (0, 0), (cloth.end_mm, 0.0), (0.0, half_gap), quarter - half_gap,
        (Fold("y0", (ids[0], ids[1])),),
    )  # fmt: skip
    backs = Bay(
        name, bundle, ids[2:], ("wrong", "right"), (0, 0), (cloth.end_mm, -overhang + cloth.selvedge_mm), (0.0, 0.0), quarter - half_gap
    )
    return FoldedCloth("quarters_along", cloth, bundle, (fronts, backs), 1.0, 0.0, cloth.end_mm)


def _quarters_across(cloth: Cloth, name: str, bundle: int, overhang: float) -> FoldedCloth:
    """R1 with x and y exchanged: C is the length used, 4Q + 2z."""
    ids = tuple(ply_name(name, n) for n in (1, 2, 3, 4))
    half_gap, trim = cloth.gap_mm / 2, cloth.selvedge_mm
    top = cloth.width_mm - trim
    fronts = Bay(name, bundle, ids[:2], ("wrong", "right"), (180, 0), (0.0, trim), (half_gap, 0.0), top, (Fold("x0", (ids[0], ids[1])),))
    backs = Bay(name, bundle, ids[2:], ("wrong", "right"), (180, 0), (-overhang + cloth.end_mm, trim), (0.0, 0.0), top)
    return FoldedCloth("quarters_across", cloth, bundle, (fronts, backs), 4.0, 2 * overhang, half_gap)


def _crossed_four(cloth: Cloth, name: str, bundle: int) -> FoldedCloth:
    """Folded across, then along: all four plies are cut together."""
    ids = tuple(ply_name(name, n) for n in (1, 2, 3, 4))
    half_gap = cloth.gap_mm / 2
    folds = (
        Fold("y0", (ids[1], ids[2])), Fold("y0", (ids[0], ids[3])),
        Fold("x0", (ids[0], ids[1])), Fold("x0", (ids[2], ids[3])),
    )  # fmt: skip
    bay = Bay(
        name, bundle, ids, ("wrong", "right", "wrong", "right"), (0, 180, 180, 0), (0.0, 0.0), (half_gap, half_gap),
        cloth.width_mm / 2 - cloth.selvedge_mm, folds,
    )  # fmt: skip
    return FoldedCloth("crossed_four", cloth, bundle, (bay,), 2.0, 0.0, cloth.end_mm)


def regions_of(folded: FoldedCloth, reach: float) -> tuple[Region, ...]:
    """The regions as they lie when the furthest true box ends at x = reach. Each ply has its own extent."""
    if folded.plan in QUARTERS:
        return (_quarters_region(folded, reach),)
    stop = reach + folded.beyond
    made = []
    for bay in folded.bays:
        y = (bay.origin[1], bay.top)
        plies = tuple(Ply(name, (0.0, stop), y, turn, face) for name, turn, face in zip(bay.plies, bay.turned, bay.faces, strict=True))
        made.append(Region(bay.region, bay.bundle, (0.0, stop), y, plies, bay.folds))
    return tuple(made)


def _quarters_region(folded: FoldedCloth, reach: float) -> Region:
    fronts, backs = folded.bays
    cloth, z = folded.cloth, folded.overhang
    ids = (*fronts.plies, *backs.plies)
    faces, turned = (*fronts.faces, *backs.faces), (*fronts.turned, *backs.turned)
    if folded.plan == "quarters_along":
        stop = reach + folded.beyond
        quarter = (cloth.width_mm - 2 * z) / 4
        xs: tuple[Span, Span] = ((0.0, stop), (0.0, stop))
        ys: tuple[Span, Span] = ((0.0, quarter), (-z + cloth.selvedge_mm, quarter))
        sides: tuple[Literal["x0", "x1", "y0", "y1"], ...] = ("y0", "y1", "y1")
    else:
        quarter = reach + folded.beyond
        span = (cloth.selvedge_mm, cloth.width_mm - cloth.selvedge_mm)
        xs, ys = ((0.0, quarter), (-z, quarter)), (span, span)
        sides = ("x0", "x1", "x1")
    plies = tuple(Ply(ids[n], xs[n // 2], ys[n // 2], turned[n], faces[n]) for n in range(4))
    folds = (Fold(sides[0], (ids[0], ids[1])), Fold(sides[1], (ids[0], ids[3])), Fold(sides[2], (ids[1], ids[2])))
    x = (min(ply.x[0] for ply in plies), max(ply.x[1] for ply in plies))
    y = (min(ply.y[0] for ply in plies), max(ply.y[1] for ply in plies))
    return Region(fronts.region, fronts.bundle, x, y, plies, folds)
