"""Which edges are sewn to which in a dress, and which corners run on. Reads the pieces that are there; mm, degrees."""

from collections.abc import Sequence
from dataclasses import dataclass

from projector.body.balance import BACK_SHOULDER_EASE_MM
from projector.draft.sleeve import FRONT_EASE_SHARE
from projector.draft.style import Style
from projector.garment.pieces import Join, Piece, Seam
from projector.garment.seams import CAP_TOL_DEG, smooth_join
from projector.garment.sew_extras import FRONTS, sew_extras
from projector.garment.sewing_table import RUNS_ON, Run, SewingTable

TURNED_MM, TURNED_LONG_MM, LONG_MM = 11.0, 12.0, 400.0
"""Lining to facing, cut flat over a shaped bust: what the turned edge takes up; the second on edges longer than the third. Ours."""
CAP_SLACK_MM = 1.0
FACING_TO_LINING = "facing to lining"
"""How the seams of a facing's inner edge are called, behind `front` or `back`."""


@dataclass(frozen=True, slots=True)
class Sewing:
    """All seams and joins, and what stays unsewn in words."""

    seams: tuple[Seam, ...]
    joins: tuple[Join, ...]
    warnings: tuple[str, ...]


def _bodice_seams(table: SewingTable, tail: str) -> None:
    """Seams of the bodice itself, main (`tail` empty) or lining."""
    centre, side, whole, behind = (f"{name}{tail}" for name in ("front centre", "front side", "front", "back"))
    label = " of the lining" if tail else ""
    table.sew(f"princess{label}", table.kind(centre, "princess"), table.kind(side, "princess"), same_way=False)
    front = side if table.has(side) else whole
    table.sew(f"side{label}", [*table.kind(front, "side"), *table.named(front, "side zip")],
              [*table.kind(behind, "side"), *table.named(behind, "side zip")], same_way=True)  # fmt: skip
    shoulders = [*table.kind(centre, "shoulder"), *table.kind(side, "shoulder"), *table.kind(whole, "shoulder")]
    ease = BACK_SHOULDER_EASE_MM
    table.sew(f"shoulder{label}", table.kind(behind, "shoulder"), shoulders, ease, 1.0)
    if shoulders:
        _shoulder_joins(table, shoulders, behind, label)
    table.sew(
        f"centre back{label}", table.kind(behind, "centre") if not table.all.pieces[behind].on_fold else [], table.kind(behind, "centre")
    )


def _shoulder_joins(table: SewingTable, shoulders: Run, behind: str, label: str) -> None:
    """Neck and armhole run on over the shoulder; over a shoulder princess the shoulder itself does."""
    back_run = table.kind(behind, "shoulder")
    back_start, back_end = table.corners(back_run)
    first, _ = table.corners(shoulders[:1])
    _, last = table.corners(shoulders[-1:])
    for one, two in ((first, back_start), (last, back_end)):
        if one[1] == two[1] and one[1] in RUNS_ON:
            table.joins.append(smooth_join(f"{one[1]} over shoulder{label}", (one[0], two[0])))


def _skirt_seams(table: SewingTable, tail: str) -> None:
    front, behind = f"skirt front{tail}", f"skirt back{tail}"
    if not table.has(front):
        return
    label = " of the lining" if tail else ""
    table.sew(f"skirt side{label}", [*table.named(front, "side zip"), *table.kind(front, "side")],
              [*table.named(behind, "side zip"), *table.kind(behind, "side")], same_way=True)  # fmt: skip
    if not table.all.pieces[behind].on_fold:
        table.sew(f"skirt centre back{label}", table.kind(behind, "centre"), table.kind(behind, "centre"))


def _waist_seams(table: SewingTable, tail: str, is_circle: bool) -> None:
    """Bodice to skirt, front and back apart."""
    label = " of the lining" if tail else ""
    uppers = [name for name in (f"front centre{tail}", f"front side{tail}", f"front{tail}") if table.has(name)]
    over = [edge for name in uppers for edge in reversed(table.kind(name, "waist"))]
    behind = list(reversed(table.kind(f"back{tail}", "waist")))
    if is_circle:  # equal quarters: only front and back together match
        around = [*table.kind(f"skirt front{tail}", "waist"), *table.kind(f"skirt back{tail}", "waist")]
        table.sew(f"waist{label}", [*over, *reversed(behind)], around)
        return
    table.sew(f"waist front{label}", over, table.kind(f"skirt front{tail}", "waist"))
    table.sew(f"waist back{label}", behind, table.kind(f"skirt back{tail}", "waist"))


def _sleeve_seams(table: SewingTable, style: Style, tail: str) -> None:
    sleeve = f"sleeve{tail}"
    if not table.has(sleeve):
        return
    label = " of the lining" if tail else ""
    front = [edge for name in FRONTS for edge in table.kind(f"{name}{tail}", "armhole")]
    ease = style.eases.cap_mm
    table.sew(f"sleeve to front armhole{label}", table.named(sleeve, "cap front"), front, FRONT_EASE_SHARE * ease, CAP_SLACK_MM)
    table.sew(f"sleeve to back armhole{label}", table.named(sleeve, "cap back"), table.kind(f"back{tail}", "armhole"),
              (1 - FRONT_EASE_SHARE) * ease, CAP_SLACK_MM)  # fmt: skip
    table.sew(f"sleeve under{label}", table.named(sleeve, "under front"), table.named(sleeve, "under back"))
    piece = table.all.pieces[sleeve]
    names = [edge.name for edge in piece.edges]
    cap = ((sleeve, names[-1], names[0]), (sleeve, "cap front", "under front"))
    table.joins.append(smooth_join(f"cap over sleeve under{label}", cap, CAP_TOL_DEG))
    table.joins.append(smooth_join(f"hem over sleeve under{label}", ((sleeve, "under front", "hem"), (sleeve, "hem", "under back"))))


def _facing_seams(table: SewingTable) -> None:
    """Facings to the dress, to each other, and to the lining."""
    for side, uppers in (("front", FRONTS), ("back", ("back",))):
        for facing in (f"{side} neck facing", f"{side} facing"):
            if not table.has(facing):
                continue
            for kind in ("neck", "armhole"):
                main = [edge for name in uppers for edge in table.kind(name, kind)]
                table.sew(f"{side} {kind} to its facing", main, table.kind(facing, kind))
            lined = [edge for name in uppers for edge in table.kind(f"{name} lining", "facing")]
            faced = list(reversed(table.kind(facing, "facing")))
            table.sew(f"{side} {FACING_TO_LINING}", lined, faced, slack=TURNED_MM if table.all.run_mm(faced) <= LONG_MM else TURNED_LONG_MM)
    for facing in ("neck facing", "facing"):
        front, behind = f"front {facing}", f"back {facing}"
        if table.has(front):
            table.sew("facing shoulder", table.kind(behind, "shoulder"), table.kind(front, "shoulder"),
                      _facing_shoulder_ease(table, front, behind), 0.5, same_way=True)  # fmt: skip
            table.sew("facing side", table.kind(front, "side"), table.kind(behind, "side"), slack=1.0, same_way=True)


def _facing_shoulder_ease(table: SewingTable, front: str, behind: str) -> float:
    """A neck facing is as wide in front as behind; a whole shoulder keeps the back's ease."""
    return table.all.run_mm(table.kind(behind, "shoulder")) - table.all.run_mm(table.kind(front, "shoulder"))


def _edge_lining_seams(table: SewingTable, style: Style) -> None:
    """Without facings the lining is sewn to the neck (or caught in an off-shoulder band's seam), and to the armhole without sleeve."""
    if (style.facings and not style.is_off_shoulder) or not style.lining:
        return
    for side, uppers in (("front", FRONTS), ("back", ("back",))):
        for kind in ("neck", "armhole") if not style.is_sleeved else ("neck",):
            main = [edge for name in uppers for edge in table.kind(name, kind)]
            lined = [edge for name in uppers for edge in table.kind(f"{name} lining", kind)]
            table.sew(f"{side} {kind} to lining", main, lined, slack=10.0)


def _unsewn_words(style: Style) -> tuple[str, ...]:
    if style.is_off_shoulder and not style.lining:
        return ("The open part of each armhole is bound with a bias strip before the off-shoulder band is sewn on: no lining was chosen.",)
    if not style.bodice or style.facings or style.lining:
        return ()
    bound = "The neck edge is bound" if style.is_sleeved else "Neck and armhole edges are bound"
    return (f"{bound} with bias strips: neither facings nor lining were chosen.",)


def sew(pieces: Sequence[Piece], style: Style) -> Sewing:
    """Seams and joins of all pieces that are there."""
    table = SewingTable(pieces)
    for tail in ("", " lining"):
        if table.has(f"back{tail}"):
            _bodice_seams(table, tail)
            _waist_seams(table, tail, style.skirt == "circle")
        _skirt_seams(table, tail)
        _sleeve_seams(table, style, tail)
    _facing_seams(table)
    _edge_lining_seams(table, style)
    sew_extras(table, style)
    return Sewing(tuple(table.seams), tuple(table.joins), _unsewn_words(style))
