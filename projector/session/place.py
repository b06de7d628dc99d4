"""Where the cloth lies: moving, turning, two points, pulling along. Table mm; pure sums over the snapshot."""

from collections.abc import Iterable
from dataclasses import replace
from math import atan2, cos, degrees, hypot, radians, sin

from projector.garment.pieces import Point
from projector.session.snapshot import WORKER_TURN_DEG, Align, ClothAt, Snapshot, Work
from projector.steps.step import Step

TWO_POINTS_MAY_DIFFER_MM = 3.0
"""By eye each point is good to 1 mm, cloth gives a little: more than this apart from the lay is worth a word."""


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


def after_slide(at: ClothAt, shift_mm: Point, is_back: bool = False) -> ClothAt:
    """The place after the cloth was pulled along by `shift_mm` (cloth frame)."""
    sign = -1.0 if is_back else 1.0
    flip = -1.0 if at.mirrored else 1.0
    return moved(at, turned((sign * shift_mm[0], sign * flip * shift_mm[1]), at.turn_deg))


def _lengths(step: Step) -> tuple[str, int]:
    return (step.cloth, step.bundle)


def at_step(snapshot: Snapshot, work: Work, index: int) -> Snapshot:
    """The snapshot at another step: slides passed on the way pull the cloth along (or back), another length has its own place."""
    places = {(cloth, bundle): at for cloth, bundle, at in snapshot.places}
    at = snapshot.cloth_at
    way = range(snapshot.step, index) if index > snapshot.step else range(snapshot.step, index, -1)
    for here in way:
        there = here + (1 if index > snapshot.step else -1)
        if _lengths(work.steps[here]) != _lengths(work.steps[there]):
            places[_lengths(work.steps[here])] = at
            at = places.get(_lengths(work.steps[there])) or work.starts.get(_lengths(work.steps[there]), ClothAt())
        if there > here and there in work.slides:
            at = after_slide(at, work.slides[there].shift_mm)
        elif there < here and here in work.slides:
            at = after_slide(at, work.slides[here].shift_mm, is_back=True)
    kept = tuple((cloth, bundle, place) for (cloth, bundle), place in sorted(places.items()))
    is_same = _lengths(work.steps[snapshot.step]) == _lengths(work.steps[index])
    is_true = snapshot.is_cloth_true if is_same else not has_cuts(snapshot, work, index)
    return replace(snapshot, step=index, cloth_at=at, places=kept, is_cloth_true=is_true)


def has_cuts(snapshot: Snapshot, work: Work, index: int) -> bool:
    """Something was already cut on the length that lies there at that step."""
    here = _lengths(work.steps[index])
    return any(work.steps[done].is_fact and _lengths(work.steps[done]) == here for done in snapshot.done)


def _inside(lit: tuple[Point, ...], point: Point) -> bool:
    sides = [(bx - ax) * (point[1] - ay) - (by - ay) * (point[0] - ax) for (ax, ay), (bx, by) in zip(lit, (*lit[1:], lit[0]), strict=True)]
    return all(side >= 0 for side in sides) or all(side <= 0 for side in sides)


def _cut_places(snapshot: Snapshot, work: Work) -> Iterable[Point]:
    here = _lengths(work.steps[snapshot.step])
    for done in snapshot.done:
        step = work.steps[done]
        if _lengths(step) == here:
            for line in step.lines:
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
    fold = work.fold_points.get(_lengths(work.steps[snapshot.step])) if work.steps else None
    if fold is None:
        return None
    return Align("place", fold, (at.table_from_cloth(fold[0]), at.table_from_cloth(fold[1])))
