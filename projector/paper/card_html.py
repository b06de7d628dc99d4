"""The chalk card for the phone: one file without anything outside itself, so that it opens with laptop and lamp off."""

from html import escape

import numpy as np

from calibration.units import Unit
from projector.garment.pieces import Garment, Piece
from projector.paper.card import CardPiece, card_piece, quarters, tape_words
from projector.paper.card_pdf import CardHead, dart_rows, down_out, how_to_read
from projector.paper.drawing import FIRST_CUT_WORDS, cut_words, piece_words, strokes_of
from projector.paper.svg import path_data

_CSS = """
:root{color-scheme:dark light;--ground:#14161a;--ink:#f2efe6;--soft:#a9adb5;--line:#34383f;--warm:#f0c75e}
@media (prefers-color-scheme:light){:root{--ground:#fbfaf7;--ink:#1d1d1f;--soft:#5b616b;--line:#d8d4c8;--warm:#8a5a00}}
*{box-sizing:border-box}body{margin:0;padding:16px;
background:var(--ground);color:var(--ink);font:18px/1.4 "Noto Sans",system-ui,sans-serif}
h1{font-size:24px;margin:0 0 4px}h2{font-size:22px;margin:0}p{margin:6px 0}
.soft{color:var(--soft)}.reached{color:var(--warm);font-weight:700}
details{border-top:1px solid var(--line);padding:10px 0}summary{min-height:48px;display:flex;align-items:center;cursor:pointer}
svg{display:block;width:100%;max-height:46vh;margin:6px 0 12px}
path{fill:none;stroke:var(--ink);vector-effect:non-scaling-stroke;stroke-width:1}
path.cut,path.first{stroke:var(--warm);stroke-width:2}path.first{stroke-dasharray:3 3}
path.sew{stroke-dasharray:6 4}path.level{stroke:var(--soft);stroke-dasharray:2 4}
table{border-collapse:collapse;width:100%;font-size:17px;font-variant-numeric:tabular-nums;margin-bottom:14px}
th{font-weight:400;color:var(--soft);font-size:15px}th,td{text-align:right;padding:4px 1px 4px 10px;border-bottom:1px solid var(--line)}
td{white-space:nowrap}th:first-child,td:first-child{text-align:left;padding-left:2px;white-space:normal}
"""


def _row(cells: tuple[str, ...], tag: str = "td") -> str:
    return "<tr>" + "".join(f"<{tag}>{escape(cell)}</{tag}>" for cell in cells) + "</tr>"


def _table(heads: tuple[str, ...], rows: list[tuple[str, ...]]) -> str:
    return (
        "<table><thead>" + _row(heads, "th") + "</thead><tbody>" + "".join(_row(row) for row in rows) + "</tbody></table>" if rows else ""
    )


def _figure(piece: Piece) -> str:
    ring = np.array(piece.cut_line)
    low, high = ring.min(axis=0), ring.max(axis=0)
    (x, y), (wide, tall) = low - 4.0, high - low + 8.0
    lines = "".join(f'<path class="{stroke.kind}" d="{path_data(stroke.points, stroke.closed)}"/>' for stroke in strokes_of(piece))
    return f'<svg viewBox="{x:.1f} {y:.1f} {wide:.1f} {tall:.1f}" role="img" aria-label="{escape(piece_words(piece))}">{lines}</svg>'


def _outline(card: CardPiece, unit: Unit) -> list[tuple[str, ...]]:
    rows: list[tuple[str, ...]] = []
    last = ""
    for point in card.outline:
        is_new = point.edge != last
        words = f"{point.edge.replace('_', ' ')} ({'line' if card.straight[point.edge] else 'curve'})" if is_new else ""
        beyond = tape_words(card.allowances[point.edge], unit) if is_new else ""
        rows.append((words, *down_out(point, unit), beyond))
        last = point.edge
    for place, point in enumerate(card.first):
        is_new = not place or point.edge != card.first[place - 1].edge
        rows.append((f"{point.edge.replace('_', ' ')}: {FIRST_CUT_WORDS}" if is_new else "", *down_out(point, unit), ""))
    return rows


def _piece(piece: Piece, unit: Unit) -> str:
    card = card_piece(piece, unit, cut_words(piece))
    levels = [
        (level.name, *(tape_words(v, unit) for v in (level.down_mm, level.inner_mm, level.sewing_mm, level.cutting_mm)))
        for level in card.levels
    ]
    figures: list[tuple[str, ...]] = [(words, tape_words(mm, unit)) for words, mm in card.figures]
    return (
        f"<details><summary><h2>{escape(piece_words(piece))}</h2></summary><p class=soft>{escape(card.words)}, {escape(piece.cloth)}</p>"
        + _figure(piece)
        + _table(("level", "down", "from", "sew", "cut"), levels)
        + _table(("edge", "down", "out", "cut beyond"), _outline(card, unit))
        + _table(("neck and armhole", ""), figures)
        + _table(("dart", "down", "out"), [*dart_rows(card, unit)])
        + "</details>"
    )


def card_html(garment: Garment, head: CardHead) -> str:
    """The card as one HTML file; drawings inside, no script, no font, no picture from elsewhere."""
    unit = head.unit
    rows: list[tuple[str, ...]] = [
        (row.level, *(tape_words(v, unit) for v in (row.body_mm, row.plain_mm, row.front_mm, row.back_mm))) for row in quarters(garment)
    ]
    top = _table(("", "girth", "plain ¼", "front", "back"), rows)
    folds = "".join(f"<p>{escape(line)}</p>" for line in head.fold_words)
    how = escape(how_to_read(garment, unit))
    reached = f"<p class=reached>Step reached: {escape(head.reached)}</p>" if head.reached else ""
    body = "".join(_piece(piece, unit) for piece in garment.pieces)
    return (
        '<!doctype html><html lang="en"><meta charset="utf-8"><meta name="viewport" content="width=device-width,initial-scale=1">'
        f"<title>Chalk card – {escape(head.client)}</title><style>{_CSS}</style><h1>{escape(head.client)}</h1>"
        f"<p class=soft>{escape(head.order)} – {escape(head.made)}</p>{reached}<p>{how}</p>{top}{folds}{body}</html>\n"
    )
