"""Where the cloth lies: moving, turning, two points, pulling along. Table mm; pure sums over the snapshot."""

from collections.abc import Iterable, Mapping
from dataclasses import replace
from math import atan2, cos, degrees, hypot, radians, sin

from projector.garment.pieces import Point
from projector.session.snapshot import SIDES, WORKER_TURN_DEG, Align, ClothAt, Side, Snapshot, Work

TWO_POINTS_MAY_DIFFER_MM = 3.0
"""By eye each point is good to 1 mm, cloth gives a little: more than this apart from the lay is worth a word."""


SIDE_OUT: Mapping[Side, Point] = {"bottom": (0.0, -1.0), "right": (1.0, 0.0), "top": (0.0, 1.0), "left": (-1.0, 0.0)}
"""Which way an edge of the picture lies from its middle, table frame."""


def side_towards(by: Point) -> Side:
    """The edge that lies most nearly that way."""
    return max(SIDES, key=lambda side: SIDE_OUT[side][0] * by[0] + SIDE_OUT[side][1] * by[1])


def turned(point: Point, deg: float) -> Point:
    """One point turned counter-clockwise about the origin."""
    c, s = cos(radians(deg)), sin(radians(deg))
    return (c * point[0] - s * point[1], s * point[0] + c * point[1])


def table_from_worker(snapshot: Snapshot, dx_mm: float, dy_mm: float) -> Point:
    """A move towards her right and away from her, as a move in the table frame."""
    return turned((dx_mm, dy_mm), WORKER_TURN_DEG[snapshot.worker_side])


def moved(at: ClothAt, by: Point) -> ClothAt:
    """The cloth frame shifted by table mm."""
    return replace(at, x_mm=at.x_mm + by[0], y_mm=at.y_mm + by[1])


def turned_about(at: ClothAt, deg: float, about: Point) -> ClothAt:
    """The cloth frame turned counter-clockwise about a place of the table."""
    x, y = turned((at.x_mm - about[0], at.y_mm - about[1]), deg)
    turn = (at.turn_deg + deg + 180.0) % 360.0 - 180.0
    return replace(at, x_mm=x + about[0], y_mm=y + about[1], turn_deg=turn)


def middle_of_light(snapshot: Snapshot) -> Point:
    """The middle of the lit quad, or the cloth frame's origin where there is no table."""
    lit = snapshot.table.lit if snapshot.table else ()
    if not lit:
        return (snapshot.cloth_at.x_mm, snapshot.cloth_at.y_mm)
    return (sum(x for x, _ in lit) / len(lit), sum(y for _, y in lit) / len(lit))


def through_two_points(at: ClothAt, cloth: tuple[Point, Point], table: tuple[Point, Point]) -> tuple[ClothAt, float]:
    """The place that puts cloth[0] on table[0] and cloth[1] in the direction of table[1]; and how much longer table is, mm."""
    (ax, ay), (bx, by) = cloth
    flip = -1.0 if at.mirrored else 1.0
    want = atan2(table[1][1] - table[0][1], table[1][0] - table[0][0])
    have = atan2(flip * (by - ay), bx - ax)
    turn = degrees(want - have)
    base = ClothAt(0.0, 0.0, (turn + 180.0) % 360.0 - 180.0, at.mirrored)
    x, y = base.table_from_cloth(cloth[0])
    longer = hypot(table[1][0] - table[0][0], table[1][1] - table[0][1]) - hypot(bx - ax, by - ay)
    return replace(base, x_mm=table[0][0] - x, y_mm=table[0][1] - y), longer


def after_slide(at: ClothAt, shift_mm: Point, is_back: bool) -> ClothAt:
    """The place after the cloth was pulled along by `shift_mm` (cloth frame), or before it."""
    sign = -1.0 if is_back else 1.0
    flip = -1.0 if at.mirrored else 1.0
    return moved(at, turned((sign * shift_mm[0], sign * flip * shift_mm[1]), at.turn_deg))


def arrival(work: Work, index: int) -> int:
    """The step at which what lies there at step `index` came under the light."""
    return max((step for step in work.arrivals if step <= index), default=0)


def _pulled(at: ClothAt, work: Work, since: int, upto: int, is_back: bool = False) -> ClothAt:
    """The place after the slides of steps since + 1 ... upto, or before them."""
    slides = [work.slides[step].shift_mm for step in range(since + 1, upto + 1) if step in work.slides]
    for shift in reversed(slides) if is_back else slides:
        at = after_slide(at, shift, is_back)
    return at


def at_step(snapshot: Snapshot, work: Work, index: int) -> Snapshot:
    """The snapshot at another step: slides on the way pull the cloth along (or back); what came anew has its own place."""
    here, there = arrival(work, snapshot.step), arrival(work, index)
    places = dict(snapshot.places)
    base = _pulled(snapshot.cloth_at, work, here, snapshot.step, is_back=True)
    if there != here:
        places[here] = base
        base = places.get(there) or work.arrivals.get(there, ClothAt())
    at = _pulled(base, work, there, index)
    is_true = snapshot.is_cloth_true if there == here else not has_cuts(snapshot, work, index)
    return replace(snapshot, step=index, tape=0, cloth_at=at, places=tuple(sorted(places.items())), is_cloth_true=is_true)


def cuts_made(snapshot: Snapshot, work: Work, index: int) -> list[int]:
    """Steps done that cut what lies there at step `index`."""
    here = arrival(work, index)
    return [done for done in snapshot.done if work.steps[done].is_fact and arrival(work, done) == here]


def has_cuts(snapshot: Snapshot, work: Work, index: int) -> bool:
    """Something was already cut of what lies there at that step."""
    return bool(cuts_made(snapshot, work, index))


def _inside(lit: tuple[Point, ...], point: Point) -> bool:
    sides = [(bx - ax) * (point[1] - ay) - (by - ay) * (point[0] - ax) for (ax, ay), (bx, by) in zip(lit, (*lit[1:], lit[0]), strict=True)]
    return all(side >= 0 for side in sides) or all(side <= 0 for side in sides)


def _cut_places(snapshot: Snapshot, work: Work) -> Iterable[Point]:
    for done in cuts_made(snapshot, work, snapshot.step):
        for line in work.steps[done].lines:
            if line.kind == "cut" and line.when == "now" and len(line.mm) > 1:
                yield from _corners(line.mm, line.closed)


def _corners(points: tuple[Point, ...], closed: bool) -> Iterable[Point]:
    """Ends of an open line, and places where it turns by 30 degrees or more: what eyes find on a cut edge."""
    if not closed:
        yield points[0]
        yield points[-1]
    for (ax, ay), (bx, by), (cx, cy) in zip(points, points[1:], points[2:], strict=False):
        turn = abs(degrees(atan2(cy - by, cx - bx) - atan2(by - ay, bx - ax)))
        if min(turn, 360.0 - turn) >= 30.0:
            yield (bx, by)


def _farthest(points: list[Point]) -> tuple[Point, Point] | None:
    best, reach = None, 50.0
    for index, a in enumerate(points):
        for b in points[index + 1 :]:
            apart = hypot(a[0] - b[0], a[1] - b[1])
            if apart > reach:
                best, reach = (a, b), apart
    return best


def align_points(snapshot: Snapshot, work: Work) -> Align | None:
    """Which two places of the cloth to put under the crosses: pinned marks, cut corners, or fold corner and fold."""
    at, lit = snapshot.cloth_at, snapshot.table.lit if snapshot.table else ()
    slide = work.slides.get(snapshot.step)
    if slide is not None and len(slide.spots) == 2:
        cloth = (slide.spots[0], slide.spots[1])
        return Align("slide", cloth, (at.table_from_cloth(cloth[0]), at.table_from_cloth(cloth[1])))
    seen = [point for point in _cut_places(snapshot, work) if not lit or _inside(lit, at.table_from_cloth(point))]
    pair = _farthest(seen[:400])
    if pair is not None:
        return Align("recover", pair, (at.table_from_cloth(pair[0]), at.table_from_cloth(pair[1])))
    step = work.steps[snapshot.step] if work.steps else None
    fold = work.fold_points.get((step.cloth, step.bundle)) if step else None
    if fold is None:
        return None
    return Align("place", fold, (at.table_from_cloth(fold[0]), at.table_from_cloth(fold[1])))
