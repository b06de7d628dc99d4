"""The lining from the dress's own panels: same sewing lines, less what the facings cover; or to the edge, less a roll. mm.

Hems 25 mm shorter (from memory; the trade's 1 in). Edges that the lining shares with a facing are of kind `facing`.
"""

from dataclasses import replace

import numpy as np

from projector.draft.curve import Points, unit
from projector.draft.panel import Mark, Panel, PanelEdge
from projector.garment.cut_line import offset
from projector.garment.lines import begin_on, crossing_of, end_on, head, heading_at_end, length_of, part_up_to, tail

ROLL_MM = 2.0
HEM_SHORTER_MM = 25.0
KEPT_MARK_MM = 12.0


def renamed(panel: Panel) -> Panel:
    """The lining's own name."""
    return replace(panel, name=f"{panel.name} lining")


def _with_edges(panel: Panel, edges: tuple[PanelEdge, ...]) -> Panel:
    """The panel with other edges; marks and levels that no longer lie on it are left out, marks counted from an end stay."""
    old = {edge.name: length_of(edge.flat()) for edge in panel.edges}
    new = {edge.name: edge for edge in edges}
    marks = []
    for mark in panel.marks:
        if mark.edge not in new:
            continue
        lost = old[mark.edge] - length_of(new[mark.edge].flat())
        place = mark.from_start_mm if mark.from_start_mm < 0 else mark.from_start_mm - (lost if mark.edge in _CUT_AT_START else 0)
        span = length_of(new[mark.edge].flat())
        if KEPT_MARK_MM < abs(place) < span - KEPT_MARK_MM and (place < 0) == (mark.from_start_mm < 0):
            marks.append(Mark(mark.edge, place, mark.count))
    top = min(float(edge.flat().imag.min()) for edge in edges)
    highest = max(float(edge.flat().imag.min()) for edge in edges if edge.kind in ("facing", "neck", "armhole", "side")) if edges else top
    levels = {name: y for name, y in panel.levels.items() if not isinstance(y, float) or y > highest + 5}
    outline = np.concatenate([edge.flat() for edge in edges])
    points = tuple(point for point in panel.points if point.imag > float(outline.imag.min()) + 15)
    return replace(panel, edges=edges, marks=tuple(marks), levels=levels, points=points)


_CUT_AT_START = {"princess", "side"}
"""Edges run downwards from the part that a facing takes away."""


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
    return _with_edges(panel, tuple(edges))


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
        start = complex(kept[-1])
        onward = cut[(cut.real > start.real + 1.5)]
        top = np.concatenate([[start], onward])
        return _with_edges(panel, _below(edges, top, replace(princess, curve=(), drawn=kept), panel)), length_of(kept)
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
    return _with_edges(panel, _below(edges, top, replace(last, curve=(), drawn=_up_to(last.flat(), complex(top[0]))), panel)), kept_mm


def _below(edges: list[PanelEdge], top: Points, last: PanelEdge, panel: Panel) -> tuple[PanelEdge, ...]:
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


def shorter_hem(panel: Panel) -> Panel:
    """A sleeve's lining: hem and under seams 25 mm shorter, the ends kept square (straight hem)."""
    edges = []
    hem_y = max(float(edge.flat().imag.max()) for edge in panel.edges if edge.kind == "hem") - HEM_SHORTER_MM
    for edge in panel.edges:
        points = edge.flat()
        if edge.kind == "under":
            down = points if points[-1].imag > points[0].imag else points[::-1]
            cut = end_on(down, heading_at_end(down), complex(0, hem_y), 1)
            edges.append(replace(edge, curve=(), drawn=cut if points[-1].imag > points[0].imag else cut[::-1]))
        else:
            edges.append(edge)
    ends = [edge.flat() for edge in edges if edge.kind == "under"]
    hem = np.array([ends[0][-1], ends[1][0]])
    return replace(panel, edges=tuple(replace(edge, curve=(), drawn=hem) if edge.kind == "hem" else edge for edge in edges))
