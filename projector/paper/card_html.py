"""The chalk card for the phone: one file without anything outside itself, so that it opens with laptop and lamp off."""

from collections.abc import Sequence
from html import escape

from calibration.units import Unit
from projector.garment.pieces import Garment, Piece
from projector.paper.card import CardPiece, card_piece
from projector.paper.card_words import CardHead, Table, dart_table, figure_table, how_to_read, level_table, quarter_table, told_edges
from projector.paper.drawing import FIRST_CUT_WORDS, bounds_of, cut_words, piece_words, strokes_of
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


def _row(cells: Sequence[str], tag: str = "td") -> str:
    return "<tr>" + "".join(f"<{tag}>{escape(cell)}</{tag}>" for cell in cells) + "</tr>"


def _table(table: Table) -> str:
    heads, rows = table
    return f"<table><thead>{_row(heads, 'th')}</thead><tbody>{''.join(map(_row, rows))}</tbody></table>" if rows else ""


def _figure(piece: Piece) -> str:
    x0, y0, x1, y1 = bounds_of(piece)
    box = f"{x0 - 4.0:.1f} {y0 - 4.0:.1f} {x1 - x0 + 8.0:.1f} {y1 - y0 + 8.0:.1f}"
    lines = "".join(f'<path class="{stroke.kind}" d="{path_data(stroke.points, stroke.closed)}"/>' for stroke in strokes_of(piece))
    return f'<svg viewBox="{box}" role="img" aria-label="{escape(piece_words(piece))}">{lines}</svg>'


def _outline(card: CardPiece, unit: Unit) -> Table:
    """Every edge's points, the first row of each naming it."""
    rows: list[Sequence[str]] = []
    for edge in told_edges(card, unit):
        name = f"{edge.name}: {edge.how}" if edge.how == FIRST_CUT_WORDS else f"{edge.name} ({edge.how})"
        first, *others = edge.points
        rows += [(name, *first, edge.beyond), *(("", *point, "") for point in others)]
    return ("edge", "down", "out", "cut beyond"), rows


def _piece(piece: Piece, unit: Unit) -> str:
    card = card_piece(piece, unit)
    tables = (level_table(card, unit), _outline(card, unit), figure_table(card, unit), dart_table(card, unit))
    return (
        f"<details><summary><h2>{escape(piece_words(piece))}</h2></summary>"
        f"<p class=soft>{escape(cut_words(piece))}, {escape(piece.cloth)}</p>{_figure(piece)}{''.join(map(_table, tables))}</details>"
    )


def card_html(garment: Garment, head: CardHead) -> str:
    """The card as one HTML file; drawings inside, no script, no font, no picture from elsewhere."""
    unit = head.unit
    top = _table(quarter_table(garment, unit))
    folds = "".join(f"<p>{escape(line)}</p>" for line in head.fold_words)
    how = escape(how_to_read(garment, unit))
    reached = f"<p class=reached>Step reached: {escape(head.reached)}</p>" if head.reached else ""
    body = "".join(_piece(piece, unit) for piece in garment.pieces)
    return (
        '<!doctype html><html lang="en"><meta charset="utf-8"><meta name="viewport" content="width=device-width,initial-scale=1">'
        f"<title>Chalk card – {escape(head.client)}</title><style>{_CSS}</style><h1>{escape(head.client)}</h1>"
        f"<p class=soft>{escape(head.order)} – {escape(head.made)}</p>{reached}<p>{how}</p>{top}{folds}{body}</html>\n"
    )
