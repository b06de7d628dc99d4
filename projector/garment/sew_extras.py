"""Seams of what not every dress has: puff band, flutter, off-shoulder band, peplum, waistband, bias binding. mm."""

from projector.draft.style import Style
from projector.garment.pieces import Join
from projector.garment.sewing_table import Run, SewingTable

FRONTS = ("front centre", "front side", "front")
GATHER_SLACK_MM = 25.0
"""Gathers are pulled to the edge they meet: their seam states how much longer the gathered edge is, give or take this."""
BINDING_SLACK_MM = 1.0


def _gathered(table: SewingTable, name: str, gathered: Run, onto: Run) -> None:
    if gathered and onto:
        table.sew(name, gathered, onto, table.all.run_mm(gathered) - table.all.run_mm(onto), GATHER_SLACK_MM)


def _front(table: SewingTable, *kinds: str) -> Run:
    return [edge for name in FRONTS for edge in table.kind(name, *kinds)]


def _puff(table: SewingTable) -> None:
    """Gathered cap and hem, the band's own seam."""
    _gathered(table, "puff to front armhole", table.named("sleeve", "cap front"), _front(table, "armhole"))
    _gathered(table, "puff to back armhole", table.named("sleeve", "cap back"), table.kind("back", "armhole"))
    _gathered(table, "puff to its band", table.named("sleeve", "hem"), table.named("cuff band", "sleeve"))
    table.sew("band under", table.named("cuff band", "front under"), table.named("cuff band", "back under"))
    table.sew("sleeve under", table.named("sleeve", "under front"), table.named("sleeve", "under back"))


def _flutter(table: SewingTable) -> None:
    front = table.named("front centre", "armhole") if table.has("front centre") and table.kind("front centre", "armhole") else []
    front = front or table.named("front side", "armhole upper") or table.named("front", "armhole upper")
    table.sew("flutter to armhole", table.named("flutter", "armhole"), [*front, *table.named("back", "armhole upper")])


def _shoulder_band(table: SewingTable) -> None:
    """The band to the top lines, which it draws in; its halves over the arm."""
    for side, top in (("front", _front(table, "neck")), ("back", table.kind("back", "neck"))):
        band = table.named(f"shoulder band {side}", "bodice")
        table.sew(f"band to {side} top", band, top, table.all.run_mm(band) - table.all.run_mm(top), 1.0)
    front, behind = (table.named(f"shoulder band {side}", "arm seam") for side in ("front", "back"))
    table.sew("band over the arm", front, behind, same_way=True)
    armholes = [*_front(table, "armhole"), *table.kind("back", "armhole")]
    table.sew("underarm binding", table.kind("underarm binding", "band"), armholes, slack=BINDING_SLACK_MM)


def _peplum(table: SewingTable, tail: str) -> None:
    """On the waist, under the skirt's seam if there is one; sides and hem like a skirt's."""
    front, behind = f"peplum front{tail}", f"peplum back{tail}"
    if not table.has(front):
        return
    label = " of the lining" if tail else ""
    over = [edge for name in FRONTS for edge in reversed(table.kind(f"{name}{tail}", "waist"))]
    table.sew(f"peplum to front waist{label}", table.kind(front, "waist"), over)
    table.sew(f"peplum to back waist{label}", table.kind(behind, "waist"), list(reversed(table.kind(f"back{tail}", "waist"))))
    table.sew(f"peplum side{label}", table.kind(front, "side"), table.kind(behind, "side"), same_way=True)
    if tail:
        for name in ("front", "back"):
            table.sew(f"peplum {name} hem to lining", table.kind(f"peplum {name}", "hem"), table.kind(f"peplum {name} lining", "hem"))


def _waistband(table: SewingTable) -> None:
    """Band to the skirt; the lining is caught in the same seam."""
    if table.has("waistband"):
        table.sew("waistband", table.kind("waistband", "band"), [*_waist("skirt back", table)[::-1], *_waist("skirt front", table)[::-1]])
    for side in ("front", "back"):
        table.sew(f"waistband {side}", table.kind(f"waistband {side}", "band"), _waist(f"skirt {side}", table))
        if not table.has("back"):
            table.sew(f"{side} waist to lining", _waist(f"skirt {side}", table), _waist(f"skirt {side} lining", table), slack=2.0)
    table.sew("waistband side", table.kind("waistband front", "side"), table.kind("waistband back", "side"))


def _waist(piece: str, table: SewingTable) -> Run:
    return table.kind(piece, "waist")


def _binding(table: SewingTable) -> None:
    table.sew(
        "neck binding", table.kind("neck binding", "band"), [*_front(table, "neck"), *table.kind("back", "neck")], slack=BINDING_SLACK_MM
    )
    table.sew("neck binding at the centre", table.named("neck binding", "centre"), table.named("neck binding", "centre"))
    behind = [at for at in table.kind("neck binding", "centre") if at[1] == "end"]
    table.sew("neck binding at centre back", behind, behind)
    table.sew(
        "armhole binding", table.kind("armhole binding", "band"), [*_front(table, "armhole"), *table.kind("back", "armhole")],
        slack=BINDING_SLACK_MM,
    )  # fmt: skip
    table.sew("armhole binding under", table.named("armhole binding", "start"), table.named("armhole binding", "end"))


def _inset(table: SewingTable) -> None:
    """Its neck edge is joined to nothing but its own binding; it is stitched behind the V."""
    if table.has("inset"):
        table.joins.append(Join("inset at the centre", (("inset", "centre", "neck"),), 90.0, 3.0))


def sew_extras(table: SewingTable, style: Style) -> None:
    """Add what is there."""
    if style.sleeve == "puff" and style.bodice:
        table.seams = [seam for seam in table.seams if "sleeve" not in {piece for piece, _ in (*seam.a, *seam.b)}]
        table.joins = [join for join in table.joins if "sleeve" not in {piece for piece, _, _ in join.at}]
        _puff(table)
    if style.sleeve == "flutter":
        _flutter(table)
    if style.is_off_shoulder:
        _shoulder_band(table)
    for tail in ("", " lining"):
        _peplum(table, tail)
    _waistband(table)
    _binding(table)
    _inset(table)
