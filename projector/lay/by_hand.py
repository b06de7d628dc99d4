"""Moving pieces by hand: pure functions from a lay to a lay, and what is wrong with it at once."""

from dataclasses import replace
from types import MappingProxyType

import numpy as np

from calibration.errors import Refused, WrongInput
from projector.garment.pieces import Line, Piece
from projector.lay.bays import fold_cloth
from projector.lay.bias import Pieces, bound_anew
from projector.lay.cloth import Cloth, Light
from projector.lay.lay import Lay, Placed, Region
from projector.lay.parts import make_parts


class NotByHand(Refused):
    """A move that would turn the print or make a piece of the wrong hand."""


def place_of(lay: Lay, number: int) -> Placed:
    """The placed piece of that number. Raises WrongInput."""
    if not 0 <= number < len(lay.placed):
        raise WrongInput(f"There is no piece number {number} on the cloth.", f"It holds {len(lay.placed)}.", "Count from 0.")
    return lay.placed[number]


def _with(lay: Lay, number: int, placed: Placed) -> Lay:
    return replace(lay, placed=(*lay.placed[:number], placed, *lay.placed[number + 1 :]))


def _carried(line: Line, matrix: np.ndarray, about: tuple[float, float]) -> Line:
    told = (np.asarray(line) - about) @ matrix.T + about
    return tuple((float(x), float(y)) for x, y in told)


def moved(lay: Lay, number: int, dx_mm: float, dy_mm: float) -> Lay:
    """Slide one piece; a fold piece stays on its fold."""
    placed = place_of(lay, number)
    if placed.on_fold:
        dx_mm, dy_mm = (0.0, dy_mm) if placed.across else (dx_mm, 0.0)
    return _with(lay, number, placed.moved(dx_mm, dy_mm))


def turned(lay: Lay, number: int) -> Lay:
    """Turn one piece by 180 degrees where it lies. On a fold it is mirrored along it. Raises NotByHand for a print with an up."""
    placed = place_of(lay, number)
    if lay.cloth.up in ("along", "across"):
        raise NotByHand(
            f"{placed.piece} stays the way round it is.", f"The print stands {lay.cloth.up} the cloth.", "Move it without turning it."
        )
    if placed.on_fold:  # the half's fold edge stays on the fold: a half turn and a mirror
        way = np.diag([1.0, -1.0]) if placed.across else np.diag([-1.0, 1.0])
        return _with(lay, number, _remade(placed, way, turn=True, flip=True))
    return _with(lay, number, _remade(placed, -np.eye(2), turn=True, flip=False))


def flipped(lay: Lay, number: int, piece: Piece) -> Lay:
    """Mirror one piece over its length; the plies that keep it change so that the hands stay right. Raises NotByHand."""
    placed = place_of(lay, number)
    region = next(each for each in lay.regions if each.id == placed.region)
    if placed.on_fold:
        raise NotByHand(f"{placed.piece} lies on the fold.", "Its mirror image is its other half.", "Turn it instead.")
    on = placed.on
    if not (piece.on_fold or piece.mirrored):
        faces = {ply.id: ply.face for ply in region.ply}
        on = tuple(ply.id for ply in region.ply if faces[ply.id] not in {faces[each] for each in placed.on})[: len(placed.on)]
        if len(on) < len(placed.on):
            raise NotByHand(f"{placed.piece} would be of the wrong hand.", "No other layer lies the other way up.", "Turn it instead.")
    elif len(placed.on) == 1:
        raise NotByHand(f"{placed.piece} would be of the wrong hand.", "A pair is laid one by one here.", "Turn it instead.")
    way = np.diag([-1.0, 1.0]) if placed.across else np.diag([1.0, -1.0])
    return _with(lay, number, replace(_remade(placed, way, turn=False, flip=True), on=on))


def _remade(placed: Placed, way: np.ndarray, turn: bool, flip: bool) -> Placed:
    """The piece carried by `way` about the middle of its box (along the fold only, when it lies on one)."""
    xs, ys = [x for x, _ in placed.outline], [y for _, y in placed.outline]
    about = ((min(xs) + max(xs)) / 2.0, (min(ys) + max(ys)) / 2.0)
    shift = way @ (np.asarray(placed.shift) - about) + about
    return replace(
        placed,
        outline=_carried(placed.outline, way, about),
        shift=(float(shift[0]), float(shift[1])),
        turned=(180 if placed.turned == 0 else 0) if turn else placed.turned,
        flipped=placed.flipped != flip,
    )


def into_region(lay: Lay, number: int, region: Region, at: tuple[float, float]) -> Lay:
    """Lift a piece into another stack of as many layers, its box's lower left corner at `at`. Raises NotByHand."""
    placed = place_of(lay, number)
    old = next(each for each in lay.regions if each.id == placed.region)
    if len(old.ply) != len(region.ply) or placed.on_fold:
        raise NotByHand(
            f"{placed.piece} is cut through {len(placed.on)} of {len(old.ply)} layers.",
            f"There {len(region.ply)} lie.",
            "Lay the cloth again with another fold.",
        )
    places = [next(n for n, ply in enumerate(old.ply) if ply.id == name) for name in placed.on]
    on = tuple(region.ply[place].id for place in places)
    xs, ys = [x for x, _ in placed.outline], [y for _, y in placed.outline]
    lay = _with(lay, number, replace(placed, region=region.id, on=on))
    return moved(lay, number, at[0] - min(xs), at[1] - min(ys))


def renewed(lay: Lay, cloth: Cloth, light: Light, pieces: Pieces = MappingProxyType({})) -> Lay:
    """Parts, length needed, utilisation and bias strips after moves; the cloth is as long as the furthest piece asks. `pieces`: by name."""
    depth = max((region.y[1] for region in lay.regions if len(region.ply) == 2), default=0.0)
    overhang = max(0.0, -min(min(ply.x[0] for region in lay.regions for ply in region.ply), 0.0))
    regions, used = [], []
    for bundle in sorted({region.bundle for region in lay.regions}):
        here = [region for region in lay.regions if region.bundle == bundle]
        names = {region.id for region in here}
        reach = max((x for placed in lay.placed if placed.region in names for x, _ in placed.outline), default=0.0)
        folded = fold_cloth(cloth, lay.plan, bundle, depth, overhang)
        stop = reach + folded.beyond
        regions += [replace(each, x=(each.x[0], stop), ply=tuple(replace(p, x=(p.x[0], stop)) for p in each.ply)) for each in here]
        used.append(folded.used_mm(reach))
    placed, parts = make_parts(lay.placed, regions, light)
    area, needed = lay.utilisation * lay.cloth_needed_mm, sum(used)
    laid = replace(lay.cloth, lengths_mm=cloth.lengths_mm or tuple(used))
    made = replace(lay, cloth=laid, placed=placed, parts=parts, regions=tuple(regions), cloth_needed_mm=needed, utilisation=area / needed)
    return bound_anew(made, cloth, light, pieces)
