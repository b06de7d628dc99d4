"""Lays for the page, on a warm worker: made, moved by hand, told as drawings. A lay and plain data out."""

from collections.abc import Container, Mapping, Sequence
from dataclasses import replace
from pathlib import Path
from time import monotonic
from typing import Any

from shapely import LineString, Polygon, get_parts

from calibration.errors import WrongInput
from calibration.table import Table
from calibration.units import cloth_text, length_text
from projector.book.orders import Order, order_from
from projector.garment.pieces import Garment, Line, Point
from projector.lay.cloth import Budget, Light
from projector.lay.lay import Lay
from projector.lay.needs import taken_mm
from projector.lay.print_place import Motif, Partner, partners, side_crosses, where_printed
from projector.lay.stage import Ask
from projector.lay_jobs import motif_on, search_tools
from projector.making import bound, garment_of, lay_to_cut, plan_from
from projector.scene.view import lay_light
from projector.session.by_hand import HandWork, InHand, Stood, apply_by_hand, taken_in_hand
from projector.session.commands import Command
from projector.steps.printed import letter_of
from projector.steps.stack import cloth_from_piece, frames

Places = Mapping[Line, Sequence[Point]]
"""By outline, cloth frame."""
PAGE_TRIALS = 300
PATIENCE_S = 12.0
"""A lay on the page is searched no longer than this, however few trials that is on a slow laptop."""
SIMPLE_MM = 1.0
"""Drawings of a lay on the phone: a millimetre of cloth is a fifth of a pixel there."""
NAME_SHARE = 1.0 / 29.0
"""Of a drawing's width: the page writes the names so large (hand.js)."""
ROOM_SHARES = (0.5, 0.4, 0.6, 0.3, 0.7, 0.2, 0.8)
"""Heights of a piece at which its name is tried."""
MIDDLE_SHARE = 0.4
"""A stretch at a piece's edge is chosen only where it is so much longer than one in its middle (0.2 of it at the very edge)."""


def _light(table: Table | None) -> Light:
    return lay_light(table) if table else Light()


def lay(
    order: dict[str, Any], book: Path, fold: str | None, motif: Mapping[str, Any] | None, table: Table | None
) -> tuple[InHand, dict[str, Any]]:
    """How the order's cloths are folded and laid, a motif's row kept in step where one is placed. Raises what the stages raise."""
    read = order_from(order, "dress", None, book, book)
    garment = garment_of(read)
    placed = _motif(motif, garment, read) if motif else None
    ask = Ask(plan_from(fold), Budget(PAGE_TRIALS, 1), _light(table), placed)
    end = monotonic() + PATIENCE_S
    laid = lay_to_cut(garment, read.cloths, ask, replace(search_tools(), keep_going=lambda: monotonic() < end))
    whole = bound(read, garment, laid, ask.light)
    in_hand = taken_in_hand(whole, _work(read, garment, table))
    return in_hand, _told(in_hand.now, read, garment, placed)


def _motif(typed: Mapping[str, Any], garment: Garment, order: Order) -> Motif:
    """`{piece, level, lower, at}`: a level of that piece, how far below it, and where it lies on the cloth. Raises WrongInput."""
    piece, level, lower = (str(typed.get(key) or "") for key in ("piece", "level", "lower"))
    at = typed.get("at")
    if at is not None and not (isinstance(at, list) and len(at) == 2):
        raise WrongInput(
            "A motif's place is two lengths.", f"{str(at)[:40]} was given.", "Type how far from the cut end and from the fold."
        )
    return motif_on(garment, piece, level, lower, order.typed_unit, (str(at[0]), str(at[1])) if at else None)


def by_hand(
    order: dict[str, Any], book: Path, in_hand: InHand, commands: Sequence[Command], motif: Mapping[str, Any] | None, table: Table | None
) -> tuple[InHand, dict[str, Any]]:
    """The lay in hand after these commands, one after the other, and as the page shows it. Raises as `apply_by_hand`."""
    read = order_from(order, "dress", None, book, book)
    garment = garment_of(read)
    work = _work(read, garment, table)
    for command in commands:
        in_hand = apply_by_hand(in_hand, work, command)
    return in_hand, _told(in_hand.now, read, garment, _motif(motif, garment, read) if motif else None)


def by_hand_again(
    order: dict[str, Any], book: Path, lay: Lay, commands: Sequence[Command], motif: Mapping[str, Any] | None, table: Table | None
) -> tuple[InHand, dict[str, Any]]:
    """A lay as it was made and everything done to it since, after the program ended. Raises as `apply_by_hand`."""
    read = order_from(order, "dress", None, book, book)
    in_hand = taken_in_hand(lay, _work(read, garment_of(read), table))
    return by_hand(order, book, in_hand, commands, motif, table)


def _work(order: Order, garment: Garment, table: Table | None) -> HandWork:
    return HandWork({piece.name: piece for piece in garment.pieces}, order.cloths, _light(table), order.client.shown)


def _told(stood: Stood, order: Order, garment: Garment, motif: Motif | None) -> dict[str, Any]:
    whole = stood.lay
    lays = whole.lays
    met = _met(garment, motif) if motif else []
    cloth = garment.piece(motif.piece).cloth if motif else ""
    crosses = _on_cloth(whole, garment, list(where_printed(garment, cloth, motif).items()) if motif else [])
    seams = side_crosses(garment, cloth) if motif else ()
    sides = [(each.level, _on_cloth(whole, garment, [(side.piece, side.point) for side in each.sides])) for each in seams]
    return {
        "cloths": [_cloth(one, order) for one in lays],
        "drawings": [each for one in lays for each in _drawings(one, crosses, sides)],
        "wrong": list(stood.wrong),
        "partners": [{"piece": each.piece, "seam": each.seam} for each in met],
        "binding": _binding(whole, order),
    }


def _binding(whole: Lay, order: Order) -> dict[str, Any] | None:
    """Bias strips as the page tells them; None where there are none."""
    told, unit = whole.binding, order.client.shown
    if told is None or not told.strips:
        return None
    wide, long, extra = (length_text(mm, unit) for mm in (told.width_mm, told.length_mm, told.extra_mm))
    return {"count": len(told.strips), "wide": wide, "long": long, "extra": extra, "is_beyond": not told.region}


def _cloth(one: Lay, order: Order) -> dict[str, Any]:
    return {
        "name": one.cloth.name,
        "plan": one.plan,
        "needed": cloth_text(taken_mm(one)),
        "why": list(one.why),
        "is_named": one.cloth.name in order.cloths,
    }


def _drawings(one: Lay, crosses: Places, sides: Sequence[tuple[str, Places]]) -> list[dict[str, Any]]:
    """One drawing for each length of cloth: y up becomes y down, whole millimetres. crosses: of the motif's row; sides: of the side
    seams, each with its level; letters: as the light shows them at the table."""
    told = []
    for bundle in sorted({region.bundle for region in one.regions}):
        regions = [region for region in one.regions if region.bundle == bundle]
        names = {region.id for region in regions}
        plies = [ply for region in regions for ply in region.ply]
        x0, x1 = min(ply.x[0] for ply in plies), max(ply.x[1] for ply in plies)
        y0, y1 = min(ply.y[0] for ply in plies), max(ply.y[1] for ply in plies)
        placed, half_mm = [], max(x1 - x0 + 40.0, 600.0) * NAME_SHARE / 2.0
        for number, each in enumerate(one.placed):
            if each.region in names:
                at, wide = _room(each.outline, half_mm)
                shape = {"d": _path(each.outline), "at": at, "wide": wide, "is_fold": each.on_fold}
                placed.append({"number": number, "piece": each.piece, "layers": each.plies, **shape})
        box = [round(x0) - 20, round(-y1) - 20, round(x1 - x0) + 40, round(y1 - y0) + 40]
        told.append(
            {
                "cloth": one.cloth.name, "bundle": bundle, "box": box,
                "regions": [_rect(region.x, region.y) for region in regions],
                "parts": [_rect((p.rect[0], p.rect[2]), (p.rect[1], p.rect[3])) for p in one.parts if p.bundle == bundle],
                "placed": placed,
                "strips": [_path(strip) for strip in one.binding.strips] if one.binding and one.binding.region in names else [],
                "crosses": _seen(one, names, crosses),
                "sides": [[*at, level] for level, places in sides for at in _seen(one, names, places)],
                "letters": [
                    [*at, letter_of(number)]
                    for number, places in enumerate((crosses, *(places for _, places in sides)))
                    for at in _seen(one, names, places)
                ],
            }
        )  # fmt: skip
    return told


def _rect(x: tuple[float, float], y: tuple[float, float]) -> list[int]:
    return [round(x[0]), round(-y[1]), round(x[1] - x[0]), round(y[1] - y[0])]


def _path(outline: Line) -> str:
    simple = LineString([*outline, outline[0]]).simplify(SIMPLE_MM).coords
    return "M" + " ".join(f"{x:.0f},{-y:.0f}" for x, y in simple) + "Z"


def _room(outline: Line, half_mm: float) -> tuple[list[int], int]:
    """Where the piece's name has most room along the cloth: the middle of the longest level stretch that keeps `half_mm` (half its
    letters' height) off the outline, and that stretch's length in the piece."""
    shape = Polygon(outline)
    inner = shape.buffer(-half_mm)
    room = shape if inner.is_empty else inner
    x0, y0, x1, y1 = room.bounds
    best: tuple[float, float, float, float] = (0.0, 0.0, (x0 + x1) / 2, (y0 + y1) / 2)
    for share in ROOM_SHARES:
        y = y0 + share * (y1 - y0)
        for part in get_parts(room.intersection(LineString([(x0 - 1.0, y), (x1 + 1.0, y)]))):
            best = max(best, (part.length * (1.0 - MIDDLE_SHARE * abs(share - 0.5)), part.length, part.centroid.x, y))
    _, wide, x, y = best
    return [round(x), round(-y)], round(wide if inner.is_empty else wide + 2.0 * half_mm)


def _met(garment: Garment, motif: Motif) -> list[Partner]:
    """Every place where the motif's row meets another piece, seam by seam from the piece it was placed on."""
    found: list[Partner] = []
    levels, open_ends = {motif.piece: motif.point[1]}, [motif.piece]
    while open_ends:
        here = open_ends.pop(0)
        for partner in partners(garment, here, levels[here]):
            if partner.piece not in levels and partner.piece != here:
                levels[partner.piece] = partner.point[1]
                open_ends.append(partner.piece)
                found.append(partner)
    return found


def _seen(one: Lay, regions: Container[str], places: Places) -> list[list[int]]:
    return [[round(x), round(-y)] for each in one.placed if each.region in regions for x, y in places.get(each.outline, ())]


def _on_cloth(whole: Lay, garment: Garment, told: Sequence[tuple[str, Point]]) -> dict[Line, list[Point]]:
    """By outline: where points of pieces (piece frame) lie on it; on a piece opened out, on both halves."""
    points: dict[str, list[Point]] = {}
    for name, point in told:
        points.setdefault(name, []).append(point)
    placed = [each for one in whole.lays for each in one.placed if each.piece in points]
    return {
        each.outline: [place for frame in frames(garment.piece(each.piece), each) for place in cloth_from_piece(points[each.piece], frame)]
        for each in placed
    }
