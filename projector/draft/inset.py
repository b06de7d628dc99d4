"""The inset: a second, shallower front neckline of another cloth, laid behind a deep V. Half on the fold, mm."""

import numpy as np

from projector.draft.bodice import Bodice
from projector.draft.curve import Cubic, line, unit
from projector.draft.neck import CENTRE_HANDLE, POINT_HANDLE
from projector.draft.panel import DraftRefused, Panel, PanelEdge

BEHIND_MM = 10.0
"""The V is stitched onto the inset this far inside the inset's edge. Ours."""
LEAST_MM = 25.0
"""An inset lower than this at the centre is all edge."""
SHALLOWEST_MM, SHALLOWER_MM = 40.0, 2.0
"""An inset too deep for its V is raised by such steps, down to the first."""
FLATTER = (0.9, 0.8, 0.7, 0.6, 0.5, 0.4, 0.3)
HANDLE_LEAST_MM = 22.0
"""A shorter handle at the centre is a corner."""
OPENING = 0.06
"""The neckline's distance from the V, of the way from the neck point. Ours."""


def _neckline(top: complex, point: complex, v_foot: complex, shoulder: complex) -> Cubic | None:
    """From the centre (square) to the neck point, opening away from the V all the way; None: it would dip to the V or bend too sharply."""
    chord, down, across = abs(point - top), unit(v_foot - point), unit(top - point)
    leaving = max(shoulder * 1j, unit(down + across), key=lambda way: (way.conjugate() * across).real)
    most = min(CENTRE_HANDLE * chord, 0.80 * point.real)
    for share in FLATTER:
        neck = Cubic(top, top + share * most, point + leaving * POINT_HANDLE * chord * 0.6, point)
        away = neck.flat()[:-1] - point
        if share * most >= HANDLE_LEAST_MM and ((np.conj(down) * away).imag >= OPENING * np.abs(away)).all():
            return neck
    return None


def _held(bodice: Bodice, depth_mm: float, said: list[str]) -> Cubic:
    """The inset's neckline, as deep as asked for or as it still shows inside the V (told). Raises DraftRefused."""
    point, v_foot = bodice.front.point, bodice.front_neck.centre
    shoulder, v_mm = unit(bodice.front.tip - point), v_foot.imag - point.imag
    depth = min(depth_mm, v_mm - LEAST_MM)
    while depth >= SHALLOWEST_MM:
        neck = _neckline(complex(0, point.imag + depth), point, v_foot, shoulder)
        if neck is not None:
            if depth < depth_mm - 0.5:
                said.append(f"The inset's neckline lies {depth:.0f} mm below the neck point, not {depth_mm:.0f} mm: the V hid it.")
            return neck
        depth -= SHALLOWER_MM
    raise DraftRefused(
        "The inset does not show.",
        f"Its neckline lies {depth_mm:.0f} mm below the neck point, the V {v_mm:.0f} mm; {LEAST_MM:.0f} mm must lie between.",
        "Drop the V lower, or leave the inset out.",
    )


def inset_panel(bodice: Bodice, depth_mm: float, said: list[str]) -> Panel:
    """Between the inset's own neckline, `depth_mm` below the neck point at the centre, and the V.

    10 mm lie behind the V. What is not as asked for is told in `said`.

    Raises DraftRefused when the V is not deep enough.
    """
    point, v_foot = bodice.front.point, bodice.front_neck.centre
    neck = _held(bodice, depth_mm, said)
    top = neck.a
    shoulder = unit(bodice.front.tip - point)
    along = unit(point - v_foot)  # up the V
    inward = along * 1j  # clockwise outline: the piece's body lies this side
    out = BEHIND_MM / abs((shoulder.conjugate() * inward).real)
    shoulder_end = point + shoulder * out
    below = v_foot + 1j * BEHIND_MM / abs(along.real)  # 10 mm square to the V, measured down the fold
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
