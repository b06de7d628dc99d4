"""What a chalk card says, on paper and on the phone: its head, how it is read, each table's rows in her tape's numbers."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import groupby

from calibration.units import Unit, length_text
from projector.garment.pieces import Garment, Piece
from projector.paper.card import CardPiece, CardPoint, quarters, tape_words
from projector.paper.drawing import FIRST_CUT_WORDS

Table = tuple[Sequence[str], Sequence[Sequence[str]]]
"""Heads and rows; the first cell of a row names it."""
UNIT_WORDS: Mapping[Unit, str] = {"in": "inches and eighths", "cm": "centimetres", "mm": "millimetres"}


@dataclass(frozen=True, slots=True)
class CardHead:
    """What stands above the numbers."""

    client: str
    order: str
    unit: Unit
    fold_words: Sequence[str] = ()
    reached: str = ""
    made: str = ""


def how_to_read(garment: Garment, unit: Unit) -> str:
    """What stands above the numbers, on paper and on the phone."""
    told = (
        f"All numbers in {UNIT_WORDS[unit]}, on the sewing line unless “cut” is said. Down is from the top of the piece, "
        "out is from its centre line (a piece away from the centre: from its inner edge). "
        "Chalk down first, square out, join: “line” with the ruler, “curve” by hand; "
        f"where its points lie more than {length_text(100.0, unit)} apart, the ruler again."
    )
    if not any(piece.first_cut for piece in garment.pieces):
        return told
    return (
        f"{told} “{FIRST_CUT_WORDS}”: this line is cut for that edge until the fitting (a circle's waist: until it has hung); "
        "“up” is above the piece's top, “back” past its centre line."
    )


def quarter_table(garment: Garment, unit: Unit) -> Table:
    """The plain quarter of her girth beside what front and back measure."""
    rows = [(row.level, *_taped((row.body_mm, row.plain_mm, row.front_mm, row.back_mm), unit)) for row in quarters(garment)]
    return ("", "her girth", "plain quarter", "front, sewn", "back, sewn"), rows


def level_table(card: CardPiece, unit: Unit) -> Table:
    """Widths at the body's levels: from where, to the sewing line, to the cut line."""
    rows = [(at.name, *_taped((at.down_mm, at.inner_mm, at.sewing_mm, at.cutting_mm), unit)) for at in card.levels]
    return ("level", "down", "from", "sew", "cut"), rows


def figure_table(card: CardPiece, unit: Unit) -> Table:
    """Neck and armhole by the numbers they are chalked by."""
    return ("neck and armhole", ""), [(words, tape_words(mm, unit)) for words, mm in card.figures]


def dart_table(card: CardPiece, unit: Unit) -> Table:
    """Every corner of every dart: a mouth dart has leg, tip, leg; one inside the piece has two tips and its widest places."""
    rows = []
    for place, dart in enumerate(card.darts, start=1):
        corners = ("leg", "tip", "leg") if len(dart) == 3 else ("tip", "widest", "tip", "widest")
        for corner, point in zip(corners, dart, strict=True):
            rows.append((f"dart {place}, {corner}", *down_out(point, unit)))
    return ("dart", "down", "out"), rows


@dataclass(frozen=True, slots=True)
class ToldEdge:
    """One edge, or a line cut first: how it is drawn, what is cut beyond it (empty: nothing), its points down and out."""

    name: str
    how: str
    beyond: str
    points: Sequence[tuple[str, str]]


def told_edges(card: CardPiece, unit: Unit) -> list[ToldEdge]:
    """The outline edge by edge, then what is cut instead of an edge until the fitting."""
    told = []
    for edge, points in groupby(card.outline, key=lambda point: point.edge):
        beyond = tape_words(card.allowances[edge], unit) if card.allowances[edge] else ""
        told.append(ToldEdge(_said(edge), "line" if card.straight[edge] else "curve", beyond, [down_out(point, unit) for point in points]))
    for edge, points in groupby(card.first, key=lambda point: point.edge):
        told.append(ToldEdge(_said(edge), FIRST_CUT_WORDS, "", [down_out(point, unit) for point in points]))
    return told


def _said(edge: str) -> str:
    return edge.replace("_", " ")


def _taped(values_mm: Sequence[float], unit: Unit) -> list[str]:
    return [tape_words(value, unit) for value in values_mm]


def down_out(point: CardPoint, unit: Unit) -> tuple[str, str]:
    """Both numbers of a point as the tape reads; above the top and past the centre line in words, for a tape knows no minus."""
    down, out = (tape_words(abs(value), unit) for value in (point.down_mm, point.out_mm))
    return f"{down} up" if point.down_mm < 0 else down, f"{out} back" if point.out_mm < 0 else out


def allowance_words(piece: Piece, unit: Unit) -> str:
    """`side, hem 2 · neck 3/8`: one entry for each different amount, as the tape reads."""
    told: dict[str, list[str]] = {}
    for edge in piece.edges:
        kinds = told.setdefault(tape_words(edge.allowance_mm, unit), []) if edge.allowance_mm else []
        if edge.kind not in kinds:
            kinds.append(edge.kind)
    return " · ".join(f"{', '.join(kinds)} {amount}" for amount, kinds in told.items())
