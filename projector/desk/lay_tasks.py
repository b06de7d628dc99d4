"""Lays for the page, on a warm worker: made, moved by hand, told as drawings. A lay and plain data out."""

import re
from collections.abc import Callable, Mapping
from dataclasses import replace
from pathlib import Path
from time import monotonic
from typing import Any

from shapely import LineString

from calibration.errors import WrongInput
from calibration.table import Table
from calibration.units import length_text, yards_text
from projector.book.orders import Order, order_from
from projector.garment.pieces import Garment, Line, Point
from projector.lay.again import eased
from projector.lay.by_hand import flipped, into_region, moved, place_of, renewed, turned, wrong_with
from projector.lay.cloth import Budget, Cloth, Light
from projector.lay.lay import Lay
from projector.lay.print_place import Motif, Partner, partners
from projector.lay.stage import ASSUMED_MM, Ask, lay_out
from projector.lay_jobs import motif_on, search_tools
from projector.making import garment_of, plan_from
from projector.scene.view import lay_light
from projector.steps.stack import cloth_from_piece, frames

PAGE_TRIALS = 300
PATIENCE_S = 12.0
"""A lay on the page is searched no longer than this, however few trials that is on a slow laptop."""
SIMPLE_MM = 1.0
"""Drawings of a lay on the phone: a millimetre of cloth is a fifth of a pixel there."""
SIDES = {"x0": "the cut end", "x1": "the far end", "y0": "the near edge", "y1": "the far edge"}
_BESIDE = re.compile(r"from (x0|x1|y0|y1) of \S+?,")

Made = tuple[Lay, dict[str, Any]]


def _light(table: Table | None) -> Light:
    return lay_light(table) if table else Light()


def lay(order: dict[str, Any], book: Path, fold: str | None, motif: Mapping[str, Any] | None, table: Table | None) -> Made:
    """How the order's cloths are folded and laid, a motif's row kept in step where one is placed. Raises what the stages raise."""
    read = order_from(order, "dress", None, book, book)
    garment = garment_of(read)
    placed = _motif(motif, garment, read) if motif else None
    ask = Ask(plan_from(fold), Budget(PAGE_TRIALS, 1), _light(table), placed)
    end = monotonic() + PATIENCE_S
    whole = lay_out(garment, read.cloths, ask, replace(search_tools(), keep_going=lambda: monotonic() < end))
    return whole, _told(whole, read, garment, placed)


def _motif(typed: Mapping[str, Any], garment: Garment, order: Order) -> Motif:
    """`{piece, level, lower}`: a level of that piece and how far below it. Raises WrongInput."""
    piece, level, lower = (str(typed.get(key) or "") for key in ("piece", "level", "lower"))
    return motif_on(garment, piece, level, lower, order.client.shown)


def by_hand(order: dict[str, Any], book: Path, lay: Lay, act: Mapping[str, Any], locked: frozenset[str], table: Table | None) -> Made:
    """The lay after one thing was done by hand. `act`: {do, cloth, number, dx_mm, dy_mm}; `locked`: pieces that stay.

    Raises WrongInput for a piece or act that is not there, NotByHand for what would spoil the print or a hand.
    """
    read = order_from(order, "dress", None, book, book)
    garment = garment_of(read)
    name, number = str(act.get("cloth", lay.cloth.name)), act.get("number", 0)
    lays = {lay.cloth.name: lay, **lay.others}
    if name not in lays or not isinstance(number, int):
        raise WrongInput(f"There is no cloth {name!r} in this lay.", f"There are {', '.join(lays)}.", "Lay it again.")
    one = lays[name]
    do = str(act.get("do"))
    if do != "tidy" and place_of(one, number).piece in locked:
        raise WrongInput(f"{one.placed[number].piece} is locked.", "It stays where it lies.", "Unlock it first.")
    cloth = read.cloths.get(name) or Cloth(name, ASSUMED_MM.get(name, ASSUMED_MM["lining"]))
    changed = renewed(_done(one, number, do, act, garment, locked), cloth, _light(table))
    top = {**lays, name: changed}[lay.cloth.name]
    whole = replace(top, others={key: changed if key == name else each for key, each in lay.others.items()})
    return whole, _told(whole, read, garment, None)


def _done(one: Lay, number: int, do: str, act: Mapping[str, Any], garment: Garment, locked: frozenset[str]) -> Lay:
    acts: Mapping[str, Callable[[], Lay]] = {
        "move": lambda: moved(one, number, _mm(act, "dx_mm"), _mm(act, "dy_mm")),
        "turn": lambda: turned(one, number),
        "flip": lambda: flipped(one, number, garment.piece(one.placed[number].piece)),
        "stack": lambda: _other_stack(one, number),
        "tidy": lambda: eased(one, locked),
    }
    if do not in acts:
        raise WrongInput(f"{do!r} cannot be done by hand.", f"There are {', '.join(acts)}.", "Choose one of them.")
    return acts[do]()


def _mm(act: Mapping[str, Any], name: str) -> float:
    value = act.get(name, 0.0)
    if isinstance(value, bool) or not isinstance(value, int | float) or not abs(value) <= 5000.0:
        raise WrongInput("That is no way to move.", f"{str(value)[:40]} was asked.", "Give mm, at most 5000.")
    return float(value)


def _other_stack(one: Lay, number: int) -> Lay:
    """The piece in the next stack of as many layers, at its near corner. Raises WrongInput where there is one stack only."""
    placed = place_of(one, number)
    here = next(n for n, region in enumerate(one.regions) if region.id == placed.region)
    others = [region for region in (*one.regions[here + 1 :], *one.regions[:here]) if len(region.ply) == len(one.regions[here].ply)]
    if not others:
        raise WrongInput("There is one stack only.", "No other has as many layers.", "Lay it with another fold.")
    there = others[0]
    return into_region(one, number, there, (there.x[0] + one.cloth.end_mm, there.y[0]))


def told(order: dict[str, Any], book: Path, lay: Lay) -> dict[str, Any]:
    """A lay as the page shows it, unchanged."""
    read = order_from(order, "dress", None, book, book)
    return _told(lay, read, garment_of(read), None)


def _told(whole: Lay, order: Order, garment: Garment, motif: Motif | None) -> dict[str, Any]:
    lays = (whole, *whole.others.values())
    met = _met(garment, motif) if motif else []
    crosses = _crosses(whole, garment, motif, met) if motif else {}
    wrong = [_BESIDE.sub(lambda found: f"from {SIDES[found[1]]},", fault) for one in lays for fault in wrong_with(one)]
    short = [fault for one in lays for fault in _short(one, order)]
    return {
        "cloths": [_cloth(one, order) for one in lays],
        "drawings": [each for one in lays for each in _drawings(one, crosses)],
        "wrong": [*dict.fromkeys(wrong), *short],
        "partners": [{"piece": each.piece, "seam": each.seam} for each in met],
    }


def _short(one: Lay, order: Order) -> list[str]:
    """Cloth in hand that does not reach: each length by itself."""
    named = order.cloths.get(one.cloth.name)
    if named is None or not named.lengths_mm:
        return []
    unit = order.client.shown
    reach = {region.bundle: max(ply.x[1] for ply in region.ply) for region in one.regions}
    return [
        f"{one.cloth.name}: {length_text(far - named.lengths_mm[bundle], unit)} too short."
        for bundle, far in reach.items()
        if far > named.lengths_mm[bundle] + 1.0
    ]


def _cloth(one: Lay, order: Order) -> dict[str, Any]:
    return {
        "name": one.cloth.name,
        "plan": one.plan,
        "needed": f"{one.cloth_needed_mm / 1000:.2f} m ({yards_text(one.cloth_needed_mm)})",
        "why": list(one.why),
        "is_named": one.cloth.name in order.cloths,
    }


def _drawings(one: Lay, crosses: Mapping[Line, list[Point]]) -> list[dict[str, Any]]:
    """One drawing for each length of cloth: y up becomes y down, whole millimetres."""
    told = []
    for bundle in sorted({region.bundle for region in one.regions}):
        regions = [region for region in one.regions if region.bundle == bundle]
        names = {region.id for region in regions}
        plies = [ply for region in regions for ply in region.ply]
        x0, x1 = min(ply.x[0] for ply in plies), max(ply.x[1] for ply in plies)
        y0, y1 = min(ply.y[0] for ply in plies), max(ply.y[1] for ply in plies)
        placed = [
            {
                "number": number, "piece": each.piece, "layers": each.plies, "d": _path(each.outline), "at": _middle(each.outline),
                "is_fold": each.on_fold,
            }
            for number, each in enumerate(one.placed) if each.region in names
        ]  # fmt: skip
        box = [round(x0) - 20, round(-y1) - 20, round(x1 - x0) + 40, round(y1 - y0) + 40]
        told.append(
            {
                "cloth": one.cloth.name, "bundle": bundle, "box": box,
                "regions": [_rect(region.x, region.y) for region in regions],
                "parts": [_rect((p.rect[0], p.rect[2]), (p.rect[1], p.rect[3])) for p in one.parts if p.bundle == bundle],
                "placed": placed,
                "crosses": [[round(x), round(-y)] for each in one.placed if each.region in names for x, y in crosses.get(each.outline, ())],
            }
        )  # fmt: skip
    return told


def _rect(x: tuple[float, float], y: tuple[float, float]) -> list[int]:
    return [round(x[0]), round(-y[1]), round(x[1] - x[0]), round(y[1] - y[0])]


def _path(outline: Line) -> str:
    simple = LineString([*outline, outline[0]]).simplify(SIMPLE_MM).coords
    return "M" + " ".join(f"{x:.0f},{-y:.0f}" for x, y in simple) + "Z"


def _middle(outline: Line) -> list[int]:
    xs, ys = [x for x, _ in outline], [y for _, y in outline]
    return [round((min(xs) + max(xs)) / 2), round(-(min(ys) + max(ys)) / 2)]


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


def _crosses(whole: Lay, garment: Garment, motif: Motif, met: list[Partner]) -> dict[Line, list[Point]]:
    """By outline: where the motif or the same row of the print lies on it; on a piece opened out, on both halves."""
    points: dict[str, list[Point]] = {motif.piece: [motif.point]}
    for partner in met:
        points.setdefault(partner.piece, []).append(partner.point)
    placed = [each for one in (whole, *whole.others.values()) for each in one.placed if each.piece in points]
    return {
        each.outline: [place for frame in frames(garment.piece(each.piece), each) for place in cloth_from_piece(points[each.piece], frame)]
        for each in placed
    }
