"""What a fitting would do, on the warm worker: does the cloth that is left cover it, where the opened piece is cut again."""

from collections.abc import Mapping
from dataclasses import replace
from pathlib import Path
from typing import Any

from calibration.records import record_from
from calibration.units import Unit, length_text
from projector.book.cards import Fitting
from projector.book.orders import Order, load_order
from projector.garment.alter import Trim, covers, trims
from projector.garment.pieces import Garment, Piece
from projector.garment.seam_check import seam_report
from projector.making import garment_of
from projector.paper.svg import path_data

MARGIN_MM = 20.0
LEAST_TRIM_MM = 1.6
"""1/16 in: less is not trimmed with shears. Common practice, no source."""


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
    return {
        "covers": [{"says": each.says(unit), "is_covered": each.is_covered} for each in covers(was, now)],
        "trims": [
            told for trim in trims(was, now) if was.piece(trim.piece).of != "interfacing" and (told := _trim(trim, was, unit)) is not None
        ],
        "seams": {"count": len(now.seams), "bad": bad},
    }


def _trim(trim: Trim, was: Garment, unit: Unit) -> dict[str, Any] | None:
    """One line to cut again on the opened piece, beside the edge as it was cut; y down as she chalks. None: less than shears trim."""
    piece = was.piece(trim.piece)
    box = _box(piece)
    most = max(_away(point, piece) for point in trim.points)
    if most < LEAST_TRIM_MM:
        return None
    return {
        "piece": trim.piece, "edge": trim.edge, "most": length_text(most, unit), "box": box,
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
