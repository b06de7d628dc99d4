"""Peplum, flutter cap, waistband, cuff band: ring sectors and straight bands sewn to a dress drafted elsewhere.

Outlines run clockwise as drawn. A band's long edge that is turned in has kind `facing`: it needs no partner of its own.
"""

from projector.draft.curve import Curve, line
from projector.draft.panel import Mark, Panel, PanelEdge
from projector.draft.ring import Sector, sector_of_edge
from projector.draft.style import Zip

PEPLUM_TURN = 0.75
"""How much of a full circle a peplum is: 0.5 to 1, common practice, no source."""
FLUTTER_SHARE = 0.60
"""The flutter cap hangs from this much of the armhole, its upper part."""
FLUTTER_DEPTH_MM = 100.0
"""80 to 120, common practice, no source."""
FLUTTER_TURN = 0.42
"""Turn of the flutter's inner edge. Ours: its hem then hangs in about two folds."""
WAISTBAND_HIGH_MM = 35.0
WAISTBAND_OVERLAP_MM = 30.0
CUFF_BAND_HIGH_MM = 25.0


def _sector_edges(sector: Sector, centre: PanelEdge) -> tuple[PanelEdge, ...]:
    return (
        PanelEdge("waist", "waist", sector.inner),
        PanelEdge("side", "side", sector.side),
        PanelEdge("hem", "hem", sector.outer),
        centre,
    )


def peplum(front_waist_mm: float, back_waist_mm: float, depth_mm: float, zip_at: Zip) -> tuple[Panel, Panel]:
    """Front on the fold and back (a pair with the zip between, or on the fold), each on its own quarter of the waist.

    Both turn by the same angle and are equally deep, so their sides are equal and the hem runs on square over them.
    """
    panels = []
    for name, quarter_mm in (("front", front_waist_mm), ("back", back_waist_mm)):
        sector = sector_of_edge(quarter_mm, PEPLUM_TURN / 4, depth_mm)
        is_open = name == "back" and zip_at == "back"
        centre = (
            PanelEdge("centre back", "opening", sector.centre)
            if is_open
            else PanelEdge(f"centre {name}", "centre", sector.centre, fold=True)
        )
        edges = _sector_edges(sector, centre)
        panels.append(
            Panel(
                f"peplum {name}",
                f"peplum_{name}",
                edges,
                marks=(Mark("waist", quarter_mm / 2),),
                count=2 if is_open else 1,
                mirrored=is_open,
            )
        )
    return panels[0], panels[1]


def flutter(inner_mm: float, depth_mm: float = FLUTTER_DEPTH_MM) -> Panel:
    """The flutter cap: ring sector, its inner arc on the upper armhole, shoulder mark given by the caller's seam. Hem all round."""
    sector = sector_of_edge(inner_mm, FLUTTER_TURN, depth_mm)
    return Panel(
        "flutter",
        "sleeve",
        (
            PanelEdge("armhole", "gather", sector.inner),
            PanelEdge("front end", "hem", sector.side),
            PanelEdge("hem", "hem", sector.outer),
            PanelEdge("back end", "hem", sector.centre),
        ),
    )


def _box(width: float, height: float) -> tuple[Curve, Curve, Curve, Curve]:
    """Top, right, bottom, left of a rectangle, clockwise, its bottom at y = height."""
    a, b, c, d = 0j, complex(width, 0), complex(width, height), complex(0, height)
    return (line(a, b),), (line(b, c),), (line(c, d),), (line(d, a),)


def waistband(waist_half_mm: float) -> Panel:
    """Half a doubled band from its fold at centre front to the lap behind; cut across the cloth, like the skirt under it.

    The lower edge's first stretch (from the lap) is `lap`, the rest is sewn to the skirt's waist.
    """
    high = 2 * WAISTBAND_HIGH_MM
    top, end, _, centre = _box(waist_half_mm + WAISTBAND_OVERLAP_MM, high)
    lap = line(end[-1].d, complex(waist_half_mm, high))
    return Panel(
        "waistband",
        "waistband",
        (
            PanelEdge("inside", "facing", top),
            PanelEdge("end", "facing", end),
            PanelEdge("lap", "facing", (lap,)),
            PanelEdge("waist", "band", (line(lap.d, complex(0, high)),)),
            PanelEdge("centre front", "centre", centre, fold=True),
        ),
        count=1,
        mirrored=False,
    )


def cuff_band(round_mm: float) -> Panel:
    """Doubled band of a puff sleeve, sewn to a ring; `round_mm`: finished round the arm."""
    top, end, bottom, start = _box(round_mm, 2 * CUFF_BAND_HIGH_MM)
    return Panel(
        "cuff band",
        "sleeve_band",
        (
            PanelEdge("sleeve", "band", top),
            PanelEdge("front under", "under", end),
            PanelEdge("inside", "facing", bottom),
            PanelEdge("back under", "under", start),
        ),
        grain_deg=0.0,
    )
