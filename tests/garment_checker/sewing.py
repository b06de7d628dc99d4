"""P04 to P06 and what makes a seam sewable: partners, lengths, ease, equal allowances, notches that meet."""

import itertools
from collections.abc import Iterator

import numpy as np
from shapely.geometry import Point, Polygon

from tests.garment_checker.fault import Fault
from tests.garment_checker.model import Edge, Garment, Piece, Seam

STATED_MM = 0.01  # stated lengths against measured: hundreds of points told to 1e-4 (reached: under 0.0002)
EASE_MM = 0.01
EVEN_MM = 0.01  # partners' allowances
NOTCH_MM = 0.2  # the trade allows 1/16 in along a seam (TRADE 3.3), steps of light and chalk want theirs (reached: 0.03)
PRINCESS_MM = 0.5  # P06 asks for 1; reached: under 0.1
FREE = {"hem", "facing", "opening", "dart"}
"""Kinds that need no partner (DRAFT 3.11); folds neither."""
OFTEN = {"neck", "armhole"}
"""Sewn to facing, lining or binding, else the file warns: `The inset's own neck edge is hemmed or bound`."""

Run = tuple[tuple[str, str], ...]


def edges_of(garment: Garment, run: Run) -> list[Edge]:
    return [garment.pieces[piece].edge(edge) for piece, edge in run]


def pieces_of(garment: Garment, run: Run) -> list[Piece]:
    return [garment.pieces[piece] for piece, _ in run]


def _ease_limit(garment: Garment, seam: Seam) -> tuple[float, float]:
    """What ease a seam of these kinds may ask for, whatever the file states."""
    edges = edges_of(garment, (*seam.a, *seam.b))
    kinds = {edge.kind for edge in edges}
    cloths = {piece.of for piece in pieces_of(garment, (*seam.a, *seam.b))}
    if kinds & {"gather", "band"}:
        return -1e9, 1e9
    if len(cloths) > 1:  # facing or lining to main: turned by a roll of 2 mm along a curve
        return -12.0, 12.0
    if "cap" in kinds:
        return -38.0, 38.0  # 1 1/2 in, TRADE 3.3
    if "shoulder" in kinds:
        return -8.0, 8.0  # 1/4 in and a little, DRAFT 6 row 16
    if "princess" in kinds:
        return -3.0, 3.0
    return -2.0, 2.0


def lengths(garment: Garment) -> Iterator[Fault]:
    """P04: every seam's runs have the stated lengths and meet within the stated, sensible ease."""
    for seam in garment.seams:
        a_mm, b_mm = garment.run_mm(seam.a), garment.run_mm(seam.b)
        for side, told, found in (("a", seam.a_mm, a_mm), ("b", seam.b_mm, b_mm)):
            if abs(told - found) > STATED_MM:
                yield Fault("P04", seam.name, f"{side}_mm {told:.2f} is {found:.2f} along the edges")
        low, high = seam.ease_mm
        if not low - EASE_MM <= a_mm - b_mm <= high + EASE_MM:
            yield Fault("P04", seam.name, f"{a_mm:.2f} on {b_mm:.2f}: {a_mm - b_mm:+.2f} is outside [{low}, {high}]")
        floor, roof = _ease_limit(garment, seam)
        if low > high or high > roof or low < floor:
            yield Fault("P04", seam.name, f"an ease of [{low}, {high}] is not sewn in such a seam")


def partners(garment: Garment) -> Iterator[Fault]:
    """P05: nothing stays unsewn, nothing is sewn twice."""
    times: dict[tuple[str, str], int] = {}
    for seam in garment.seams:
        both = {*seam.a, *seam.b}
        own = {garment.pieces[piece].of for piece, _ in both}
        # a peplum lies between bodice and skirt, a flutter cap between the armhole and what finishes it
        hung = {piece for piece, _ in both if garment.pieces[piece].part.startswith(("peplum", "flutter"))}
        for at in both:
            times.setdefault(at, 0)
            if own == {garment.pieces[at[0]].of} and (not hung or at[0] in hung):
                times[at] += 1
    told = [warning.lower() for warning in garment.warnings]
    for piece in garment.pieces.values():
        if piece.of == "interfacing":
            continue
        for edge in piece.edges:
            at = (piece.name, edge.name)
            if times.get(at, 0) > 1:
                yield Fault("P05", f"{piece.name}/{edge.name}", f"sewn in {times[at]} seams")
            elif at in times and edge.fold:
                yield Fault("P05", f"{piece.name}/{edge.name}", "a fold is sewn")
            elif at not in times and not edge.fold and edge.kind not in FREE and not _is_warned(told, piece, edge):
                yield Fault("P05", f"{piece.name}/{edge.name}", f"a {edge.kind} edge without partner")


def _is_warned(told: list[str], piece: Piece, edge: Edge) -> bool:
    """The file says how this piece's raw edge is finished: by its part and the edge's kind, in one sentence."""
    return edge.kind in OFTEN and any(piece.part.lower() in one and f"{edge.kind} edge is" in one for one in told)


def matched(garment: Garment) -> Iterator[Fault]:
    """As many copies on either side, allowances equal where two edges are sewn edge to edge."""
    for seam in garment.seams:
        a, b = pieces_of(garment, seam.a), pieces_of(garment, seam.b)
        edges = edges_of(garment, (*seam.a, *seam.b))
        if not {edge.kind for edge in edges} & {"band", "gather"}:
            copies = {piece.copies for piece in (*a, *b)}
            if len(copies) > 1:
                yield Fault("count", seam.name, f"cut {sorted(copies)} times: a side stays without partner")
        allowances = [edge.allowance_mm for edge in edges]
        if max(allowances) - min(allowances) > EVEN_MM:
            yield Fault("even", seam.name, f"partners' allowances {sorted(set(allowances))} do not meet")


def counted(garment: Garment) -> Iterator[Fault]:
    """Mirrored pieces come in pairs; a piece on the fold is not mirrored."""
    for piece in garment.pieces.values():
        if piece.count < 1:
            yield Fault("count", piece.name, f"its count is {piece.count}")
        if piece.mirrored and (piece.count % 2 or piece.on_fold):
            yield Fault("count", piece.name, f"mirrored with count {piece.count}, on_fold {piece.on_fold}")
        paired = piece.kinds & {"side", "armhole", "princess", "cap", "centre", "under"}
        if paired and not piece.mirrored and not piece.on_fold and piece.of in ("main", "lining") and not _symmetrical(piece):
            yield Fault("count", piece.name, "neither on the fold nor mirrored: one half of her has no piece")


def _symmetrical(piece: Piece) -> bool:
    seam = piece.seam
    middle = (seam[:, 0].min() + seam[:, 0].max()) / 2
    image = Polygon(np.column_stack([2 * middle - seam[:, 0], seam[:, 1]]))
    return bool(image.symmetric_difference(piece.shape).area < 0.005 * piece.shape.area)


def princess(garment: Garment) -> Iterator[Fault]:
    """P06: princess seams are named so and their edges are equal, above the bust point as below."""
    named = [seam for seam in garment.seams if "princess" in seam.name.lower()]
    for seam in garment.seams:
        if any(edge.kind == "princess" for edge in edges_of(garment, seam.a)) and seam not in named:
            yield Fault("P06", seam.name, "a princess seam whose name does not say so")
    for seam in named:
        a_mm, b_mm = garment.run_mm(seam.a), garment.run_mm(seam.b)
        if abs(a_mm - b_mm) > PRINCESS_MM:
            yield Fault("P06", seam.name, f"edges differ by {a_mm - b_mm:+.2f} mm")


def _stretches(garment: Garment, run: Run) -> list[list[tuple[Edge, bool]]]:
    """The run cut where its direction is free: edges of one piece that follow each other keep together.

    Each is (edge, walked against its points).
    """
    groups: list[list[tuple[Edge, bool]]] = []
    last: tuple[str, int] | None = None
    for piece_name, edge_name in run:
        piece = garment.pieces[piece_name]
        place = piece.index[edge_name]
        edge = piece.edges[place]
        if last is not None and last[0] == piece_name and last[1] != place:
            ahead, behind = (place - last[1]) % len(piece.edges), (last[1] - place) % len(piece.edges)
            groups[-1] = [(old, behind < ahead) for old, _ in groups[-1]]
            groups[-1].append((edge, behind < ahead))
        else:
            groups.append([(edge, False)])
        last = (piece_name, place)
    return groups


Mark = tuple[float, int]


def _marks(garment: Garment, run: Run) -> Iterator[tuple[list[Mark], list[float]]]:
    """All ways to walk a run: (notches as (arc, count), arcs of the edge ends)."""
    groups = _stretches(garment, run)
    own = {
        (piece_name, edge_name): [n for n in garment.pieces[piece_name].notches if n["edge"] == edge_name] for piece_name, edge_name in run
    }
    names = dict(zip([id(e) for e in edges_of(garment, run)], run, strict=True))
    free = [i for i, group in enumerate(groups) if len(group) == 1]
    for flips in itertools.product((False, True), repeat=len(free)):
        turned = dict(zip(free, flips, strict=True))
        marks: list[Mark] = []
        ends = [0.0]
        for i, group in enumerate(groups):
            for edge, backwards in group:
                back = turned.get(i, backwards)
                for notch in own[names[id(edge)]]:
                    arc = float(edge.shape.project(Point(notch["at"])))
                    marks.append((ends[-1] + (edge.length_mm - arc if back else arc), int(notch["count"])))
                ends.append(ends[-1] + edge.length_mm)
        yield sorted(marks), ends


def _miss_mm(a: tuple[list[Mark], list[float]], b: tuple[list[Mark], list[float]]) -> float:
    """Worst distance from a notch of one run to a notch of like count, or an edge's end, of the other."""
    worst = 0.0
    for (marks, _), (others, ends) in ((a, b), (b, a)):
        for arc, count in marks:
            near = [abs(arc - other) for other, other_count in others if other_count == count] + [abs(arc - end) for end in ends]
            worst = max(worst, min(near))
    return worst


def notches_meet(garment: Garment) -> Iterator[Fault]:
    """Notches of partners fall on each other, ease apart."""
    for seam in garment.seams:
        if seam.a == seam.b or any(edge.kind in ("gather", "band") for edge in edges_of(garment, (*seam.a, *seam.b))):
            continue
        if len({piece.of for piece in pieces_of(garment, (*seam.a, *seam.b))}) > 1:
            continue
        names = {piece for piece, _ in (*seam.a, *seam.b)}
        edges = {edge for _, edge in (*seam.a, *seam.b)}
        if not any(n["edge"] in edges for name in names for n in garment.pieces[name].notches):
            continue
        allowed = NOTCH_MM + max(map(abs, seam.ease_mm))
        ways_a, ways_b = list(_marks(garment, seam.a)), list(_marks(garment, seam.b))
        miss = min(_miss_mm(a, b) for a in ways_a for b in ways_b)
        if miss > allowed:
            yield Fault("notch", seam.name, f"a notch falls {miss:.1f} mm from its partner")
