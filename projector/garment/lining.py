"""The lining from the dress's own panels: same sewing lines, less what the facings cover; or to the edge, less a roll. mm.

Hems 25 mm shorter (from memory; the trade's 1 in). Edges that the lining shares with a facing are of kind `facing`.
"""

from collections.abc import Sequence
from dataclasses import replace
from math import copysign

import numpy as np
from shapely.geometry import LineString, Polygon

from projector.draft.curve import Points, length, unit, walked
from projector.draft.curve import line as line_of
from projector.draft.panel import Mark, Panel, PanelEdge
from projector.garment.cut_line import offset
from projector.garment.lines import begin_on, bent_to, crossing_of, end_on, head, heading_at_end, length_of, part_up_to, tail, thinned

ROLL_MM = 2.0
HEM_SHORTER_MM = 25.0
KEPT_MARK_MM = 12.0
TIP_CLEAR_MM = 18.0
SHARPEST = np.radians(40.0)
SHARPEST_BEND = np.radians(11.0)
"""Flattened curves turn less between two chords."""
SHORTEST_EDGE_MM, SHORTEST_FACED_MM, NARROWEST_MM = 6.0, 15.0, 8.0
"""What is left of a lining beside a facing: shorter edges cannot be sewn to a line, narrower straps fray. Ours."""


def renamed(panel: Panel) -> Panel:
    """The lining's own name."""
    return replace(panel, name=f"{panel.name} lining")


def _with_edges(panel: Panel, edges: tuple[PanelEdge, ...]) -> Panel:
    """The panel with other edges; marks and levels that no longer lie on it are left out, marks counted from an end stay."""
    # Lengths of the curves themselves, so that partners decide alike which of their marks stay.
    old = {edge.name: length(edge.curve) if edge.drawn is None else length_of(edge.drawn) for edge in panel.edges}
    new = {edge.name: edge for edge in edges}
    marks = []
    for mark in panel.marks:
        if mark.edge not in new:
            continue
        lost = old[mark.edge] - length_of(new[mark.edge].flat())
        # Princess edges lose their upper end, from which their marks are counted.
        place = mark.from_start_mm - (copysign(lost, mark.from_start_mm) if mark.edge == "princess" else 0.0)
        span = length_of(new[mark.edge].flat())
        if KEPT_MARK_MM < abs(place) < span - KEPT_MARK_MM and (place < 0) == (mark.from_start_mm < 0):
            marks.append(Mark(mark.edge, place, mark.count))
    top = min(float(edge.flat().imag.min()) for edge in edges)
    highest = max(float(edge.flat().imag.min()) for edge in edges if edge.kind in ("facing", "neck", "armhole", "side")) if edges else top
    levels = {name: y for name, y in panel.levels.items() if isinstance(y, float) and y > highest + 5}
    outline = np.concatenate([edge.flat() for edge in edges])
    points = tuple(point for point in panel.points if point.imag > float(outline.imag.min()) + 15)
    return replace(panel, edges=edges, marks=tuple(marks), levels=levels, points=points)


def below_neck_facing(panel: Panel, inner: Points) -> Panel:
    """Neck edge replaced by the facing's inner edge (from the centre outward, ending on the shoulder)."""
    if not any(edge.kind == "neck" for edge in panel.edges):
        return panel
    edges: list[PanelEdge] = []
    for edge in panel.edges:
        if edge.kind == "neck":
            if not any(kept.kind == "facing" for kept in edges):
                edges.extend(_facing_edges(inner))
        elif edge.kind == "shoulder":
            points = edge.flat()
            edges.append(replace(edge, curve=(), drawn=np.array([inner[-1], points[-1]])))
        elif edge is panel.edges[-1]:  # the centre, run up to the neck
            edges.append(replace(edge, curve=(), drawn=_up_to(edge.flat(), complex(inner[0]))))
        else:
            edges.append(edge)
    lowered = _lowered_darts(replace(panel, edges=tuple(edges)), inner)
    return _with_edges(replace(panel, darts=lowered.darts), lowered.edges)


def _facing_edges(inner: Points) -> list[PanelEdge]:
    """One edge, or two where the line turns a corner (square neck)."""
    steps = np.diff(inner)
    turns = np.abs(np.angle(steps[1:] / steps[:-1]))
    if len(turns) and turns.max() > 0.4:
        corner = int(turns.argmax()) + 1
        return [
            PanelEdge("facing", "facing", (), drawn=inner[: corner + 1]),
            PanelEdge("facing upright", "facing", (), drawn=inner[corner:]),
        ]
    return [PanelEdge("facing", "facing", (), drawn=inner)]


def _up_to(centre: Points, end: complex) -> Points:
    """A centre line run upwards, ended at `end` on it."""
    return np.append(centre[centre.imag > end.imag + 1e-6], end)


def below_one_facing(panel: Panel, inner: Points, turn: complex, about: complex, rest: float | None) -> tuple[Panel, float]:
    """Everything under a one-piece facing's inner edge (closed place, from the centre outward).

    `turn`: exp(i·theta) for a panel that lies outside the bust dart, else 1; `about`: bust point. `rest`: length that the
    partner's princess edge kept, so that both stay equal. Returns the panel and the princess length kept (0 without).
    """
    cut = about + (inner - about) * turn
    edges = list(panel.edges)
    by_kind = {edge.kind: edge for edge in edges}
    princess = by_kind.get("princess")
    kept_mm = 0.0
    if princess is not None and edges[-1] is princess:  # the side panel: princess runs up, from the waist
        line = princess.flat()
        kept = part_up_to(line, rest if rest is not None else length_of(line) * 0.6)
        top = _started_at(cut, line, complex(kept[-1]))
        return _with_edges(panel, _below(edges, top, replace(princess, curve=(), drawn=kept))), length_of(kept)
    top = cut
    if princess is not None:
        found = crossing_of(cut, princess.flat())
        if found is None:
            return panel, 0.0
        i, j, at = found
        top = head(cut, i, at)
        kept = tail(princess.flat(), j, at)
        kept_mm = length_of(kept)
        edges[edges.index(princess)] = replace(princess, curve=(), drawn=kept)
    last = edges[-1]
    lowered = _lowered_darts(replace(panel, edges=tuple(edges)), top)
    edges, panel = list(lowered.edges), replace(panel, darts=lowered.darts)
    return _with_edges(panel, _below(edges, top, replace(last, curve=(), drawn=_up_to(last.flat(), complex(top[0]))))), kept_mm


def past_the_shoulder_seam(panels: Sequence[Panel], inner: Points, turn: complex, about: complex) -> dict[str, Panel]:
    """By part: front and front side under a neck facing that crosses a shoulder princess seam, as in `below_one_facing`."""
    by_part = {panel.part: panel for panel in panels}
    centre, kept_mm = below_one_facing(by_part["front"], inner, 1 + 0j, about, None)
    side = by_part["front_side"]
    princess = side.edges[-1]
    kept = part_up_to(princess.flat(), kept_mm)
    top = _started_at(about + (inner - about) * turn, princess.flat(), complex(kept[-1]))
    edges = _facing_edges(top)
    for edge in side.edges[:-1]:
        is_shoulder = edge.kind == "shoulder"
        edges.append(replace(edge, curve=(), drawn=np.array([top[-1], edge.flat()[-1]])) if is_shoulder else edge)
    return {"front": centre, "front_side": _with_edges(side, (*edges, replace(princess, curve=(), drawn=kept)))}


def _is_sharp(one: PanelEdge, two: PanelEdge) -> bool:
    """A princess seam meets the facing too sharply, or too bluntly on its partner's side, for allowances that meet."""
    if {one.kind, two.kind} != {"facing", "princess"}:
        return False
    turn = abs(float(np.angle(heading_at_end(two.flat()[:2]) / heading_at_end(one.flat()))))
    return not SHARPEST <= turn <= np.pi - SHARPEST


def _is_bent_sharply(edge: PanelEdge) -> bool:
    """A parallel inside a narrow bend comes out with a corner."""
    steps = np.diff(thinned(edge.flat()))
    return bool(np.abs(np.angle(steps[1:] / steps[:-1])).max(initial=0.0) > SHARPEST_BEND)


def is_sewable(panel: Panel) -> bool:
    """The outline does not cross itself, no edge is a crumb, and the facing's edge is smooth and keeps off all that it does not meet."""
    ring = np.concatenate([edge.flat()[:-1] for edge in panel.edges])
    if min(len(edge.flat()) for edge in panel.edges) < 2 or not Polygon(np.column_stack([ring.real, ring.imag])).is_valid:
        return False
    count = len(panel.edges)
    lines = [LineString(np.column_stack([edge.flat().real, edge.flat().imag])) for edge in panel.edges]
    for place, edge in enumerate(panel.edges):
        if lines[place].length < (SHORTEST_FACED_MM if edge.kind == "facing" else SHORTEST_EDGE_MM):
            return False
        beside = {place, (place + 1) % count, (place - 1) % count}
        if edge.kind == "facing" and _is_bent_sharply(edge):
            return False
        if edge.kind == "facing" and any(_is_sharp(panel.edges[n], panel.edges[(n + 1) % count]) for n in ((place - 1) % count, place)):
            return False
        if edge.kind == "facing" and any(lines[place].distance(lines[n]) < NARROWEST_MM for n in range(count) if n not in beside):
            return False
    return True


def _started_at(cut: Points, princess: Points, start: complex) -> Points:
    """The cut from the princess edge outward, its first 80 mm eased over so that it starts at `start`."""
    found = crossing_of(cut, princess[::-1])
    top = tail(cut, found[0], found[2]) if found is not None else cut[cut.real > start.real]
    return bent_to(top, start)


def _lowered_darts(panel: Panel, top: Points) -> Panel:
    """Dart tips too near the facing's edge slide down their own axis."""
    edges, darts, near = list(panel.edges), [], walked(top, 3.0)
    for inner, tip, outer in panel.darts:
        mouth = (inner + outer) / 2
        axis, moved = unit(mouth - tip), tip
        while (np.abs(near - moved).min() < TIP_CLEAR_MM or _is_above(moved, top)) and abs(moved - mouth) > 30:
            moved += 3 * axis
        darts.append((inner, moved, outer))
        for place, edge in enumerate(edges):
            if edge.kind == "dart" and edge.drawn is None and tip in (edge.curve[0].a, edge.curve[0].d):
                ends = [moved if end == tip else end for end in (edge.curve[0].a, edge.curve[0].d)]
                edges[place] = replace(edge, curve=(line_of(*ends),))
    return replace(panel, edges=tuple(edges), darts=tuple(darts))


def _is_above(point: complex, top: Points) -> bool:
    """Not under the cut at the point's own x."""
    order = np.argsort(top.real)
    return bool(np.interp(point.real, top.real[order], top.imag[order]) > point.imag)


def _below(edges: list[PanelEdge], top: Points, last: PanelEdge) -> tuple[PanelEdge, ...]:
    """The facing edge, then what follows it down the side, round to the trimmed last edge."""
    kept: list[PanelEdge] = [PanelEdge("facing", "facing", (), drawn=top)]
    for edge in edges[:-1]:
        if edge.kind in ("neck", "shoulder", "armhole"):
            continue
        points = edge.flat()
        if len(kept) == 1 and edge.kind == "side":
            kept.append(replace(edge, curve=(), drawn=np.array([top[-1], points[-1]])))
        else:
            kept.append(edge)
    return (*kept, last)


def to_the_edge(panel: Panel, kinds: tuple[str, ...]) -> Panel:
    """Neck and armhole edges 2 mm in, so that the lining's seam rolls out of sight; their neighbours end on them."""
    if not any(edge.kind in kinds for edge in panel.edges):
        return panel
    lines = [offset(edge.flat(), -ROLL_MM) if edge.kind in kinds else edge.flat() for edge in panel.edges]
    count = len(lines)
    for i, edge in enumerate(panel.edges):
        after = (i + 1) % count
        here, there = edge.kind in kinds, panel.edges[after].kind in kinds
        if here == there:
            if here:
                _join_rolled(lines, i, after)
            continue
        kept, rolled = (after, i) if here else (i, after)
        corner = complex(lines[kept][0] if here else lines[kept][-1])
        along = unit(complex(lines[kept][1] - lines[kept][0])) if here else heading_at_end(lines[kept])
        if here:
            lines[rolled] = end_on(lines[rolled], heading_at_end(lines[rolled]), corner, along)
            lines[kept] = _begun(lines[kept], complex(lines[rolled][-1]))
        else:
            lines[rolled] = begin_on(lines[rolled], unit(complex(lines[rolled][1] - lines[rolled][0])), corner, along)
            lines[kept] = _begun(lines[kept][::-1], complex(lines[rolled][0]))[::-1]
    edges = tuple(replace(edge, curve=(), drawn=points) for edge, points in zip(panel.edges, lines, strict=True))
    return _with_edges(panel, edges)


def _begun(line: Points, at: complex) -> Points:
    """The line begun at a place on (or 2 mm along) it."""
    ahead = unit(complex(line[1] - line[0]))
    place = 0
    while place < len(line) - 1 and ((line[place] - at) * np.conj(ahead)).real <= 1e-6:
        place += 1
    return np.concatenate([[at], line[place:]])


def _join_rolled(lines: list[Points], i: int, after: int) -> None:
    """Two rolled edges that follow each other (a square neck's corner) meet again."""
    found = crossing_of(
        lines[i][::-1], np.concatenate([[lines[after][0] - 20 * unit(complex(lines[after][1] - lines[after][0]))], lines[after]])
    )
    if found is None:
        corner = (lines[i][-1] + lines[after][0]) / 2
        a, b = heading_at_end(lines[i]), unit(complex(lines[after][1] - lines[after][0]))
        cross = (a.conjugate() * b).imag
        if abs(cross) > 1e-6:
            corner = lines[i][-1] + a * ((np.conj(lines[after][0] - lines[i][-1]) * b).imag / cross)
        lines[i] = np.append(lines[i], corner)
        lines[after] = np.concatenate([[corner], lines[after]])
