"""The lines of a first dress that lie further out than the cut line: the shallow front neck, and a circle's waist. mm."""

import numpy as np

from projector.draft.curve import unit
from projector.draft.style import Style
from projector.garment.cut_line import offset
from projector.garment.lines import begin_on, end_on
from projector.garment.pieces import Edge, FirstCut, Piece

SHALLOW_MM = 25.0
"""How much higher the front neck of a first dress is cut at the centre. Common practice, no source."""
MOST_SHARE = 0.5
"""Of a neck's depth: a boat neck raised by 25 mm would stand up at the centre. Ours."""
LEAST_MM = 5.0
"""A line raised by less is not worth a second cut. Ours."""
SQUARE_LEAST_MM = 30.0
"""So much of a square neck's upright stays below the shoulder."""
CIRCLE_WAIST_MM = 10.0


def _shallow_neck(piece: Piece) -> FirstCut | None:
    """The front neck's cut line, 25 mm higher at the fold, ended on its own corner at the shoulder.

    Its height over that corner is pressed together, everywhere alike: so it stays level where it was level, at the centre, and a V
    stays straight.
    """
    cut = np.asarray(piece.cut_line)
    neck = [edge for edge in piece.edges if edge.kind == "neck"]
    if not neck:
        return None
    if len(neck) == 2:
        return _shallow_square(*neck)
    end = np.asarray(neck[-1].points[-1])
    start = np.asarray(neck[0].points[0])
    # The cut line begins on the fold and runs out along the neck to the corner nearest to the neck point.
    first = int(np.argmin(np.hypot(cut[:, 0] - start[0], cut[:, 1] - (start[1] - neck[0].allowance_mm))))
    ring = np.roll(cut, -first, axis=0)
    near = np.hypot(ring[:, 0] - end[0], ring[:, 1] - end[1])
    stop = int(np.argmin(np.where(np.arange(len(ring)) < len(ring) // 2, near, np.inf)))
    line = ring[: stop + 1]
    corner_y = line[-1, 1]
    depth = line[0, 1] - corner_y
    rise = min(SHALLOW_MM, MOST_SHARE * depth)
    if rise < LEAST_MM:
        return None
    raised = corner_y + (line[:, 1] - corner_y) * (1.0 - rise / depth)
    return FirstCut(neck[0].name, tuple((round(float(x), 4), round(float(y), 4)) for x, y in zip(line[:, 0], raised, strict=True)))


def _shallow_square(across: Edge, upright: Edge) -> FirstCut | None:
    """A square neck's lower line cut 25 mm higher, from the fold to the upright's own cut line."""
    (x0, y0), (x1, top) = across.points[0], upright.points[-1]
    rise = min(SHALLOW_MM, y0 - top - SQUARE_LEAST_MM)
    if rise < LEAST_MM:
        return None
    y = round(y0 - across.allowance_mm - rise, 4)
    return FirstCut(across.name, ((x0, y), (round(x1 - upright.allowance_mm, 4), y)))


def _short_waist(piece: Piece) -> FirstCut:
    """A circle's waist cut 10 mm short of its cut line, let out once the skirt has hung."""
    waist = next(edge for edge in piece.edges if edge.kind == "waist")
    points = np.asarray(waist.points)
    ring = points[:, 0] + 1j * points[:, 1]
    out = offset(ring, waist.allowance_mm + CIRCLE_WAIST_MM)
    place = piece.edges.index(waist)
    for is_start, edge in ((True, piece.edges[place - 1]), (False, piece.edges[place + 1])):
        ends = np.asarray(edge.points[-2:] if is_start else edge.points[:2])
        run = (ends[:, 0] + 1j * ends[:, 1]).tolist()
        along = unit(run[1] - run[0])
        at = run[0] + along * -1j * edge.allowance_mm
        out = (
            begin_on(out, unit(complex(out[1] - out[0])), at, along)
            if is_start
            else end_on(out, unit(complex(out[-1] - out[-2])), at, along)
        )
    return FirstCut(waist.name, tuple((round(p.real, 4), round(p.imag, 4)) for p in out.tolist()))


def first_cuts(piece: Piece, style: Style) -> tuple[FirstCut, ...]:
    """A circle's waist always; on a first dress (no fitting recorded) the shallow front neck."""
    if style.skirt == "circle" and piece.part in ("skirt_front", "skirt_back"):
        return (_short_waist(piece),)
    if style.fitted or piece.part != "front" or style.is_off_shoulder:
        return ()
    shallow = _shallow_neck(piece)
    return (shallow,) if shallow is not None else ()
