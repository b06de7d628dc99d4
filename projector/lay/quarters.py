"""In quarters the trade's way: fronts over backs, matched at the neck point, centre front and centre back on one line (DRAFT R8).

Then the back's neck, shoulder and armhole lie outside the front's: one outer line is cut through four layers, the front deepened, the
rest parted. Skirts lie waistline over waistline, levels on levels. The stacks are held, what is left is laid round them.
Frame here: u down the body from the stack's start, v out from the centre line, as the piece frame turned.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from math import ceil

from shapely.affinity import translate
from shapely.geometry import Polygon

from projector.garment.pieces import Piece
from projector.lay.bays import FoldedCloth
from projector.lay.board import spot_at
from projector.lay.first_cut import first_outline
from projector.lay.lay import QUARTERS
from projector.lay.shapes import half_outline
from projector.lay.task import Task, hold
from projector.lay.wanted import Job, Option

STACKED = (("front", ("front_side",), "back"), ("skirt_front", (), "skirt_back"), ("peplum_front", (), "peplum_back"))
"""Parts that lie over each other: the front on the fold, what lies beside it, the back under them."""
STEP_MM = 0.25
"""Pieces of a stack are moved apart in such steps until the gap is kept."""
FRONTS, BACKS = 0, 1


@dataclass(frozen=True, slots=True)
class _Lies:
    """A piece of a stack: on which pair of layers, its room, and where its own zero lies, u and v."""

    piece: Piece
    pair: int
    room: Polygon
    at: tuple[float, float]

    def moved(self, along: float, out: float = 0.0) -> "_Lies":
        """The same further down or out."""
        return _Lies(self.piece, self.pair, translate(self.room, along, out), (self.at[0] + along, self.at[1] + out))


def stacked(task: Task, pieces: Sequence[Piece]) -> Task | None:
    """The task with its fronts held over its backs. None where there are none, or they do not fit so, or flaws or a placed print decide."""
    if task.plan not in QUARTERS or task.start.spots or any(task.board.repeats_mm):
        return None
    folded = task.board.folded[0]
    lies: list[_Lies] = []
    for front, beside, back in STACKED:
        told = _stack(pieces, front, beside, back, task.cloth.gap_mm)
        if told:
            lies += _after(lies, told, task.cloth.gap_mm)
    if not lies or not _fits(folded, lies):
        return None
    spots = []
    for each in lies:
        job, option = _upright(task, each)
        spots.append(spot_at(job, option, (0.0, 0.0), _on_cloth(folded, each)))
    return hold(task, spots)


def _stack(pieces: Sequence[Piece], front: str, beside: Sequence[str], back: str, gap_mm: float) -> list[_Lies]:
    """The front at the centre, its side pieces moved out by their gap, the back under them; [] when the dress has no such pair."""
    tops, unders = ([piece for piece in pieces if piece.part == part] for part in (front, back))
    if len(tops) != 1 or len(unders) != 1 or not tops[0].on_fold or tops[0].count != 1 or unders[0].on_fold or not _is_pair(unders[0]):
        return []
    lower = _neck_y(unders[0]) - _neck_y(tops[0])
    told = [_lies(tops[0], FRONTS).moved(lower)]
    for piece in (piece for piece in pieces if piece.part in beside and _is_pair(piece)):
        side = _lies(piece, FRONTS).moved(lower)
        while any(side.room.distance(other.room) < gap_mm + STEP_MM / 2 for other in told):
            side = side.moved(0.0, STEP_MM)
        told.append(side)
    return [*told, _lies(unders[0], BACKS)]


def _is_pair(piece: Piece) -> bool:
    return piece.count == 2 and piece.mirrored


def _neck_y(piece: Piece) -> float:
    """The neck point, where neck and shoulder meet; 0 on a piece without a neck."""
    return min((at[1] for edge in piece.edges if edge.kind == "neck" for at in (edge.points[0], edge.points[-1])), default=0.0)


def _lies(piece: Piece, pair: int) -> _Lies:
    room = first_outline(piece, True) if piece.first_cut else half_outline(piece)
    return _Lies(piece, pair, Polygon([(y, x) for x, y in room.exterior.coords]), (0.0, 0.0))


def _after(lies: Sequence[_Lies], told: Sequence[_Lies], gap_mm: float) -> list[_Lies]:
    """A stack moved down the cloth until it clears those before it on either pair of layers."""
    moved = [each.moved(-min(one.room.bounds[0] for one in told)) for each in told]
    while any(one.pair == other.pair and one.room.distance(other.room) < gap_mm + STEP_MM / 2 for one in moved for other in lies):
        short = max(gap_mm + STEP_MM - one.room.distance(other.room) for one in moved for other in lies if one.pair == other.pair)
        moved = [each.moved(max(STEP_MM, ceil(short / STEP_MM / 2) * STEP_MM)) for each in moved]
    return moved


def _fits(folded: FoldedCloth, lies: Sequence[_Lies]) -> bool:
    """Within the quarter's depth (folds along) or the cloth's width (folds across), and within the length in hand."""
    cloth = folded.cloth
    down, out = max(each.room.bounds[2] for each in lies), max(each.room.bounds[3] for each in lies)
    for each in lies:
        bay = folded.bays[each.pair]
        if folded.plan == "quarters_along" and not (bay.origin[1] - 1e-6 <= each.room.bounds[1] and each.room.bounds[3] <= bay.top):
            return False
        if folded.plan == "quarters_across" and not (bay.origin[0] - 1e-6 <= each.room.bounds[1] and down <= cloth.usable_mm):
            return False
    reach = cloth.end_mm + down if folded.plan == "quarters_along" else out
    return not cloth.lengths_mm or reach <= folded.reach_for(cloth.lengths_mm[folded.bundle])


def _on_cloth(folded: FoldedCloth, each: _Lies) -> tuple[float, float]:
    """Where the piece's own zero lies in the cloth frame."""
    u, v = each.at
    if folded.plan == "quarters_along":
        return (folded.cloth.end_mm + u, v)
    return (v, folded.cloth.width_mm - folded.cloth.selvedge_mm - u)


def _upright(task: Task, each: _Lies) -> tuple[Job, Option]:
    """The piece's job and the way it lies unturned and as drafted on its pair of layers."""
    job = next(job for job in task.jobs if job.piece.name == each.piece.name)
    return job, next(
        option
        for option in job.options
        if option.bay == each.pair
        and (option.fold is not None) == each.piece.on_fold
        and not option.shape.turn.is_turned
        and not option.shape.turn.is_flipped
    )
