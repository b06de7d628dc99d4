"""The inset: a second, shallower front neckline of another cloth, laid behind a deep V. Half on the fold, mm."""

from projector.draft.bodice import Bodice
from projector.draft.curve import Cubic, line, unit
from projector.draft.neck import CENTRE_HANDLE, POINT_HANDLE
from projector.draft.panel import DraftRefused, Panel, PanelEdge

BEHIND_MM = 10.0
"""The V is stitched onto the inset this far inside the inset's edge. Ours."""
LEAST_MM = 25.0
"""An inset lower than this at the centre is all edge."""


def inset_panel(bodice: Bodice, depth_mm: float) -> Panel:
    """Between the inset's own neckline, `depth_mm` below the neck point at the centre, and the V.

    10 mm lie behind the V.

    Raises DraftRefused when the V is not deep enough.
    """
    v_line = bodice.front_neck.edges[0][1][0]
    point, v_foot = bodice.front.point, v_line.a
    top = complex(0, point.imag + depth_mm)
    v_mm = v_foot.imag - point.imag
    if v_mm - depth_mm < LEAST_MM:
        raise DraftRefused(
            "The inset does not show.",
            f"Its neckline lies {depth_mm:.0f} mm below the neck point, the V {v_mm:.0f} mm; {LEAST_MM:.0f} mm must lie between.",
            f"Choose an inset of {max(40.0, v_mm - LEAST_MM - 5):.0f} mm (style key inset), or drop the V lower.",
        )
    shoulder = unit(bodice.front.tip - point)
    along = unit(point - v_foot)  # up the V
    inward = along * 1j  # clockwise outline: the piece's body lies this side
    out = BEHIND_MM / abs((shoulder.conjugate() * inward).real)
    shoulder_end = point + shoulder * out
    below = v_foot + 1j * BEHIND_MM / abs(along.real)  # 10 mm square to the V, measured down the fold
    chord = abs(point - top)
    neck = Cubic(top, top + CENTRE_HANDLE * chord * 0.9, point + shoulder * 1j * POINT_HANDLE * chord * 0.6, point)
    return Panel(
        "inset",
        "inset",
        (
            PanelEdge("neck", "neck", (neck,)),
            PanelEdge("shoulder", "facing", (line(point, shoulder_end),)),
            PanelEdge("behind", "facing", (line(shoulder_end, below),)),
            PanelEdge("centre", "centre", (line(below, top),), fold=True),
        ),
        count=1,
        mirrored=False,
    )
