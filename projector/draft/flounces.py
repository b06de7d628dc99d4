"""Peplum, flutter cap, waistband, cuff band, off-shoulder band: ring sectors and straight bands sewn to a dress drafted elsewhere.

Outlines run clockwise as drawn. A band's long edge that is turned in has kind `facing`: it needs no partner of its own.
"""

from projector.draft.curve import Curve, line
from projector.draft.off_shoulder import ShoulderBand
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
BINDING_NET_MM = 16.0
"""Two finished widths of 8 mm; each long edge is turned in by its allowance. Common practice, no source."""


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
                count=2 if is_open else 1,
                mirrored=is_open,
            )
        )
    return panels[0], panels[1]


def flutter(inner_mm: float) -> Panel:
    """The flutter cap: ring sector, its inner arc on the upper armhole, shoulder mark given by the caller's seam. Hem all round."""
    sector = sector_of_edge(inner_mm, FLUTTER_TURN, FLUTTER_DEPTH_MM)
    return Panel(
        "flutter",
        "flutter",
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


def waistbands(front_mm: float, back_mm: float, zip_at: Zip) -> tuple[Panel, ...]:
    """Doubled band on quarter waists, cut across the cloth like the skirt under it.

    Back zip: one half from its fold at centre front to a lap behind. Side zip: front and back half, sewn at one side.
    """
    if zip_at == "back":
        return (_half_band("waistband", front_mm + back_mm, WAISTBAND_OVERLAP_MM),)
    return _half_band("waistband front", front_mm, 0.0), _half_band("waistband back", back_mm, 0.0)


def _half_band(name: str, half_mm: float, lap_mm: float) -> Panel:
    """From the fold at the centre outward; the lower edge is sewn to the waist, the lap beyond it is free."""
    high = 2 * WAISTBAND_HIGH_MM
    top, end, _, centre = _box(half_mm + lap_mm, high)
    at_side = complex(half_mm, high)
    lap = (PanelEdge("lap", "facing", (line(end[-1].d, at_side),)),) if lap_mm else ()
    edges = (
        PanelEdge("inside", "facing", top),
        PanelEdge("end", "facing" if lap_mm else "side", end),
        *lap,
        PanelEdge("waist", "band", (line(at_side, complex(0, high)),)),
        PanelEdge("centre", "centre", centre, fold=True),
    )
    return Panel(name, "waistband", edges, count=1, mirrored=False)


def binding(name: str, edge_mm: float, centre: bool, closed: bool = False, is_open: bool = False) -> Panel:
    """Bias strip for one half of a neck (joined at the centre) or one whole armhole (joined to a ring): sewn edge, turned edge.

    `closed`: a neck without opening, joined behind as well. `is_open`: both ends run on into another seam.
    Cut at 45 degrees on one open layer.
    """
    top, end, bottom, start = _box(edge_mm, BINDING_NET_MM)
    ends = ("end", "centre" if closed else "facing", "centre", "centre") if centre else ("end", "under", "start", "under")
    ends = ("end", "facing", "start", "facing") if is_open else ends
    edges = (
        PanelEdge("edge", "band", top),
        PanelEdge(ends[0], ends[1], end),  # type: ignore[arg-type]
        PanelEdge("inside", "facing", bottom),
        PanelEdge(ends[2], ends[3], start),  # type: ignore[arg-type]
    )
    return Panel(name, "binding", edges, grain_deg=45.0)


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


def shoulder_bands(band: ShoulderBand, zip_at: Zip) -> tuple[Panel, Panel]:
    """Front (on the fold) and back half of an off-shoulder band, doubled, with a seam over the middle of the arm.

    Snips: where the bodice ends and the arm begins, and where the fold comes.
    """
    return _shoulder_band("front", band, band.front_mm, True), _shoulder_band("back", band, band.back_mm, zip_at == "side")


def _shoulder_band(side: str, band: ShoulderBand, joined_mm: float, is_fold: bool) -> Panel:
    """From the centre outward; below, the edge on the bodice's top line and the free one over the arm; above, the inside, turned in."""
    wide, high = joined_mm + band.arm_mm / 2, 2 * band.high_mm
    top, end, bottom, centre = _box(wide, high)
    joint = complex(joined_mm, high)
    edges = (
        PanelEdge("inside", "facing", top),
        PanelEdge("arm seam", "side", end),
        PanelEdge("arm", "hem", (line(bottom[0].a, joint),)),
        PanelEdge("bodice", "band", (line(joint, bottom[0].d),)),
        PanelEdge("centre", "centre", centre, fold=True) if is_fold else PanelEdge("zip", "opening", centre),
    )
    snips = 1 if side == "front" else 2
    marks = (Mark("arm", band.arm_mm / 2, snips), Mark("arm seam", band.high_mm), *(() if is_fold else (Mark("zip", band.high_mm),)))
    return Panel(f"shoulder band {side}", f"shoulder_band_{side}", edges, marks=marks, count=1 if is_fold else 2, mirrored=not is_fold)
