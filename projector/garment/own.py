"""Her own paper blocks: an outline used for years, traced on the table, cut like any drafted piece.

A block is kept as traced: the line she cuts along. When she says what allowance it holds, the sewing line lies that much inside.
Nothing is known of its partners, so seams are not checked and the order says so.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any, ClassVar, Literal

import numpy as np
from shapely import Polygon, box, union
from shapely.affinity import scale
from shapely.validation import explain_validity

from calibration.errors import Refused, WrongInput
from projector.garment.pieces import Edge, Garment, Line, Piece, Point

FoldSide = Literal["none", "left", "right"]
CORNER_DEG = 20.0  # a sharper turn between two short runs begins another edge
STRAIGHT_MM = 1.0  # a fold edge further off its straight line than the tracing can be is no fold edge
LEAST_FOLD_MM = 60.0
LARGEST_TURN_DEG = 10.0
LARGEST_MM = 3000.0
UNCHECKED = "These are her own blocks: what they were traced from is not known, so their seams are not checked."


@dataclass(frozen=True, slots=True)
class Block:
    """One block: `outline` the line to cut along, mm in the piece frame (x out from the fold or the left, y down the body), clockwise
    as drawn, first point not repeated. `fold`: its edge on x = 0 lies on a fold. `allowance_mm`: what the outline holds beyond the
    sewing line. `made`: from which photograph and table, how true (words)."""

    __pydantic_config__: ClassVar[dict[str, Any]] = {"extra": "forbid"}
    name: str
    outline: tuple[Point, ...]
    fold: bool = False
    count: int = 1
    mirrored: bool = False
    cloth: str = "main"
    grain_deg: float = 90.0
    allowance_mm: float = 0.0
    made: Mapping[str, str] = field(default_factory=dict)

    def __post_init__(self) -> None:
        ring = np.array(self.outline, dtype=np.float64)
        if len(ring) < 3 or not np.isfinite(ring).all() or np.abs(ring).max() > LARGEST_MM:
            raise self._wrong("three points or more are wanted, each within 3 m")
        if not Polygon(ring).is_valid:
            raise self._wrong(f"it crosses itself ({explain_validity(Polygon(ring))})")
        if self.fold and not _on_fold(self.outline):
            raise self._wrong(f"no edge of {LEAST_FOLD_MM:.0f} mm lies on x = 0, where its fold has to be")
        if not 1 <= self.count <= 40 or (self.mirrored and (self.fold or self.count % 2)):
            raise self._wrong(f"{self.count} cannot be cut; mirrored ones come in pairs and are not on a fold")
        if not 0.0 <= self.allowance_mm <= 100.0:
            raise self._wrong(f"an allowance of {self.allowance_mm:g} mm is none")

    def _wrong(self, why: str) -> WrongInput:
        return WrongInput(f"The block {self.name!r} cannot be used.", f"Of its outline: {why}.", "Trace it again, or mend its file.")


def _on_fold(ring: Sequence[Point]) -> bool:
    """Whether one straight run of the ring lies on x = 0."""
    return any(
        abs(a[0]) < 1e-6 and abs(b[0]) < 1e-6 and abs(a[1] - b[1]) >= LEAST_FOLD_MM for a, b in zip(ring, (*ring[1:], ring[0]), strict=True)
    )


def outline_of(ring_mm: np.ndarray, down_deg: float, fold: FoldSide = "none") -> tuple[Point, ...]:
    """A traced ring (table mm, seen from above) as a block's outline.

    `down_deg`: which way "down the body" points on the table, counter-clockwise from its x. `fold`: the side, seen with the body's
    length downward, that lies on a fold; it is turned exactly onto the grain. Raises Refused when that side is not straight.
    """
    down = np.radians(down_deg)
    x_out, y_down = np.array([-np.sin(down), np.cos(down)]), np.array([np.cos(down), np.sin(down)])
    placed = np.column_stack([ring_mm @ x_out, ring_mm @ y_down])
    if fold == "right":
        placed = placed * (-1.0, 1.0)
    if fold != "none":
        placed = _hung_on_fold(placed)
    placed = placed - (0.0 if fold != "none" else placed[:, 0].min(), placed[:, 1].min())
    if not Polygon(placed).exterior.is_ccw:  # y runs down: counter-clockwise by number is clockwise as drawn
        placed = placed[::-1]
    return tuple((round(float(x), 2), round(float(y), 2)) for x, y in placed)


def _hung_on_fold(ring: np.ndarray) -> np.ndarray:
    """The ring turned and shifted so that its left side lies on x = 0; what lies within STRAIGHT_MM of that line is put on it."""
    sides = np.roll(ring, -1, axis=0) - ring
    long = np.hypot(*sides.T)
    steep = np.degrees(np.arctan2(np.abs(sides[:, 0]), np.abs(sides[:, 1])))
    left = (ring[:, 0] + np.roll(ring, -1, axis=0)[:, 0]) / 2 < ring[:, 0].min() + 0.25 * np.ptp(ring[:, 0])
    fits = np.flatnonzero((long > 10.0) & (steep < LARGEST_TURN_DEG) & left)
    if not len(fits):
        raise _no_fold("no straight run goes down that side")
    longest = fits[np.argmax(long[fits])]
    run = sides[longest] * np.sign(sides[longest][1])
    turn = np.arctan2(run[0], run[1])
    about = np.array([[np.cos(turn), -np.sin(turn)], [np.sin(turn), np.cos(turn)]])
    hung = ring @ about.T
    hung[:, 0] -= hung[longest, 0]
    near = np.abs(hung[:, 0]) < STRAIGHT_MM
    if hung[:, 0].min() < -STRAIGHT_MM:
        raise _no_fold(f"it bows out by {-hung[:, 0].min():.1f} mm")
    if np.ptp(hung[near, 1]) < LEAST_FOLD_MM:
        raise _no_fold(f"it is straight over {np.ptp(hung[near, 1]):.0f} mm only")
    hung[near, 0] = 0.0
    on_line = hung[near]
    ends = {int(on_line[:, 1].argmin()), int(on_line[:, 1].argmax())}
    drop = np.flatnonzero(near)[[number for number in range(len(on_line)) if number not in ends]]
    return np.asarray(np.delete(hung, drop, axis=0))


def _no_fold(why: str) -> Refused:
    return Refused(
        "That side of the block is no fold edge.", f"Seen with its length downward, {why}.", "Straighten the paper, or give --fold none."
    )


def piece_of(block: Block) -> Piece:
    """The block as a piece of a garment. Raises WrongInput when its allowance leaves nothing."""
    ring = Polygon(block.outline)
    sewn = ring
    if block.allowance_mm > 0.0:
        whole = union(ring, scale(ring, xfact=-1.0, origin=(0.0, 0.0))) if block.fold else ring
        inside = whole.buffer(-block.allowance_mm, join_style="mitre")
        sewn = inside.intersection(box(0.0, -1e4, 1e4, 1e4)) if block.fold else inside
    if sewn.geom_type != "Polygon" or sewn.is_empty:
        raise WrongInput(
            f"The block {block.name!r} is too narrow for its allowance.", f"{block.allowance_mm:g} mm inside nothing whole is left.",
            "Write a smaller allowance.",
        )  # fmt: skip
    seam = _clockwise(sewn)
    edges = _edges(seam, block)
    return Piece(
        name=block.name, part=block.name.replace(" ", "_"), of="main" if block.cloth == "main" else block.cloth, cloth=block.cloth,
        on_fold=block.fold, count=block.count, mirrored=block.mirrored, grain_deg=block.grain_deg, edges=edges,
        seam_line=tuple(point for edge in edges for point in edge.points[:-1]), cut_line=_clockwise(ring),
    )  # fmt: skip


def _clockwise(ring: Polygon) -> Line:
    points = np.array(ring.exterior.coords)[:-1]
    points = points if ring.exterior.is_ccw else points[::-1]
    return tuple((float(x), float(y)) for x, y in points)


def _edges(ring: Line, block: Block) -> tuple[Edge, ...]:
    """The ring split at its corners and at the fold's ends."""
    points = np.array(ring)
    before, after = points - np.roll(points, 1, axis=0), np.roll(points, -1, axis=0) - points
    turn = np.degrees(np.arctan2(before[:, 0] * after[:, 1] - before[:, 1] * after[:, 0], (before * after).sum(axis=1)))
    starts = [int(place) for place in np.flatnonzero(np.abs(turn) > CORNER_DEG)] or [0]
    told = []
    for number, (start, end) in enumerate(zip(starts, [*starts[1:], starts[0] + len(ring)], strict=True), start=1):
        line = tuple(ring[place % len(ring)] for place in range(start, end + 1))
        is_fold = block.fold and all(abs(x) < 1e-6 for x, _ in line)
        name = "fold" if is_fold else f"edge {number}"
        told.append(Edge(name, "centre" if is_fold else "side", line, 0.0 if is_fold else block.allowance_mm, is_fold))
    return tuple(told)


def garment_of_blocks(blocks: Sequence[Block], order: str | None = None) -> Garment:
    """Her own blocks as a whole order. Raises WrongInput for two of one name."""
    names = [block.name for block in blocks]
    for name in names:
        if names.count(name) > 1:
            raise WrongInput(f"The block {name!r} is named twice.", "One name is one piece.", "Write its count in the block instead.")
    return Garment(tuple(piece_of(block) for block in blocks), (), (), {}, {}, (UNCHECKED,), order)
