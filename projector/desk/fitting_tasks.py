"""What a fitting would do, on the warm worker: does the cloth that is left cover it, where the opened piece is cut again."""

from collections.abc import Mapping
from dataclasses import replace
from pathlib import Path
from typing import Any

from calibration.records import record_from
from calibration.units import Unit, length_text
from projector.book.cards import Fitting
from projector.book.orders import Order, load_order
from projector.garment.alter import LEAST_TRIM_MM, Altered, Trim, covers, trims
from projector.garment.pieces import Garment, Piece
from projector.garment.seam_check import seam_report
from projector.making import altered_of, garment_of
from projector.paper.svg import path_data

MARGIN_MM = 20.0


def fitting(order: str, book: Path, pinned: Mapping[str, Any]) -> dict[str, Any]:
    """Before anything is kept: `{covers, trims, seams}` of this order with one fitting more. Raises what the draft refuses.

    The pieces already cut are the order's own with its allowances; the new lines keep those allowances, so that only what the
    fitting moved is trimmed.
    """
    before = load_order(order, book)
    card = before.client.card
    new = record_from(Fitting, pinned, "fitting")
    after: Order = replace(before, client=replace(before.client, card=replace(card, fittings=(*card.fittings, new))))
    was, now = garment_of(before), garment_of(after)
    unit = before.client.shown
    bad = [each.says for each in seam_report(now, unit) if not each.is_good]
    sides = _sides(altered_of(after))
    return {
        "covers": [
            {"says": f"{side}: {each.says(unit)}" if side else each.says(unit), "is_covered": each.is_covered}
            for side, sewn in sides
            for each in covers(was, sewn)
        ],
        "trims": [told for side, sewn in sides for told in _trims(was, sewn, unit, side)],
        "seams": {"count": len(now.seams), "bad": bad},
    }


def own_lines(altered: Altered, unit: Unit) -> list[dict[str, Any]]:
    """Left and right differ: where the side that is narrower than the cloth cut for both is trimmed; none where they are alike."""
    return [] if altered.is_even else [told for side, sewn in _sides(altered) for told in _trims(altered.cut, sewn, unit, side)]


def _sides(altered: Altered) -> tuple[tuple[str, Garment], ...]:
    """As it is sewn: once where both sides are alike, else her left and her right."""
    return (("", altered.cut),) if altered.is_even else (("left", altered.left), ("right", altered.right))


def _trims(was: Garment, sewn: Garment, unit: Unit, side: str) -> list[dict[str, Any]]:
    found = [_trim(trim, was, unit, side) for trim in trims(was, sewn) if was.piece(trim.piece).of != "interfacing"]
    return [told for told in found if told is not None]


def _trim(trim: Trim, was: Garment, unit: Unit, side: str) -> dict[str, Any] | None:
    """One line to cut again on the opened piece, beside the edge as it was cut; y down as she chalks. None: less than shears trim."""
    piece = was.piece(trim.piece)
    box = _box(piece)
    most = max(_away(point, piece) for point in trim.points)
    if most < LEAST_TRIM_MM:
        return None
    return {
        "piece": trim.piece, "edge": trim.edge, "side": side, "most": length_text(most, unit), "box": box,
        "was": path_data(piece.cut_line, True), "now": path_data(trim.points),
    }  # fmt: skip


def _box(piece: Piece) -> list[float]:
    x, y = [p[0] for p in piece.cut_line], [p[1] for p in piece.cut_line]
    return [
        round(min(x) - MARGIN_MM), round(min(y) - MARGIN_MM), round(max(x) - min(x) + 2 * MARGIN_MM), round(max(y) - min(y) + 2 * MARGIN_MM)
    ]  # fmt: skip


def _away(point: tuple[float, float], piece: Piece) -> float:
    from shapely import LinearRing, Point

    return float(LinearRing(piece.cut_line).distance(Point(point)))
