"""What has to be laid on one cloth under one fold: jobs, and the ways (options) in which each can lie."""

from collections.abc import Container, Iterator, Sequence
from dataclasses import dataclass
from typing import Literal

import shapely
from shapely.geometry import Polygon

from projector.garment.pieces import Piece
from projector.lay.bays import FOLDS_ACROSS, Bay
from projector.lay.errors import PieceCrossed
from projector.lay.first_cut import first_outline
from projector.lay.lay import Plan, Up
from projector.lay.shapes import Cut, Shape, Turn, fold_axis, half_outline, has_no_hand, make_cut, make_shape, whole_outline

CROWDED = 1.15
"""Fold pieces longer together than so many times the lay's least length: some are better opened out. Measured, see DEVELOPERS.md."""


@dataclass(frozen=True, slots=True, eq=False)
class Option:
    """One way in which a job can lie: in which bay, as which shape, kept by which plies. `fold`: the side it hangs on."""

    bay: int
    shape: Shape
    on: tuple[str, ...]
    fold: Literal["x0", "y0"] | None = None
    print_at: tuple[float | None, float | None] = (None, None)
    """Where the print's cross lies on it, from its box's start along x and y; None where its place is free."""
    is_inset: bool = False
    """Its box holds what a bay wants between a fold and a piece that is not on it: it fits exactly, not by whole lattice steps."""


@dataclass(frozen=True, slots=True, eq=False)
class Job:
    """Copies of one piece that are cut at once. `apart`: the same copies one by one, for single layers."""

    name: str
    piece: Piece
    options: tuple[Option, ...]
    apart: tuple["Job", ...] = ()
    area: float = 0.0
    is_flaw: bool = False
    layers: tuple["Layer", ...] = ()
    """Of two pieces that lie over each other, one on either layer: which is where. Empty for any other job."""


@dataclass(frozen=True, slots=True, eq=False)
class Layer:
    """A piece of a pair laid over each other: its own job, how far down the pair's outline its zero lies, and the ply that keeps it."""

    job: Job
    down_mm: float
    ply: str


@dataclass(frozen=True, slots=True)
class Hands:
    """How many copies: as drafted, mirrored, and without hand (symmetrical)."""

    drafted: int = 0
    mirrored: int = 0
    either: int = 0

    @property
    def total(self) -> int:
        """All copies."""
        return self.drafted + self.mirrored + self.either


def lies_across(plan: Plan, up: Up, prefer_across: bool = False) -> bool:
    """Whether the garment's length lies across the cloth (DESIGN 5a, `up`). A fold decides where the print leaves it free."""
    if up in ("along", "across"):
        return up == "across"
    if plan in FOLDS_ACROSS:
        return True
    return up == "either" and plan == "open" and prefer_across


class ShapeBook:
    """Every shape once: made when first asked for, numbered for the tables of no-fit areas."""

    def __init__(self, gap_mm: float, simplify_mm: float, keys: Iterator[int]) -> None:
        """keys: numbers that no other book of the same board gives."""
        self._gap_mm, self._simplify_mm, self._keys = gap_mm, simplify_mm, keys
        self._made: dict[tuple[str, bool, bool, Turn], Shape] = {}
        self._cuts: dict[tuple[str, bool, bool], Cut] = {}
        self._outlines: dict[tuple[str, bool], Polygon] = {}

    def outline(self, piece: Piece, is_half: bool) -> Polygon:
        """Piece frame; the half as drafted or the piece opened out."""
        key = (piece.name, is_half)
        if key not in self._outlines:
            if not Polygon(piece.cut_line).is_valid:
                raise PieceCrossed(
                    f"{piece.name}: its cut line crosses itself.",
                    str(shapely.is_valid_reason(Polygon(piece.cut_line))),
                    "Take a wider strap or other allowances.",
                )
            self._outlines[key] = half_outline(piece) if is_half else whole_outline(piece)
        return self._outlines[key]

    def shape(self, piece: Piece, is_half: bool, turn: Turn, is_on_fold: bool = False) -> Shape:
        """The outline lying that way; on a fold it is not grown beyond the fold."""
        key = (piece.name, is_half, is_on_fold)
        if key not in self._cuts:
            axis = fold_axis(piece) if is_on_fold else None
            room = first_outline(piece, is_half) if piece.first_cut else None
            self._cuts[key] = make_cut(self.outline(piece, is_half), self._gap_mm, axis, self._simplify_mm, room)
        if (*key, turn) not in self._made:
            self._made[(*key, turn)] = make_shape(next(self._keys), self._cuts[key], turn)
        return self._made[(*key, turn)]


def hands_of(piece: Piece) -> Hands:
    """Copies wanted by hand. Raises nothing: a mirrored piece of odd count keeps its odd one as drafted."""
    if piece.mirrored and not piece.on_fold:  # also when the outline is its own mirror image: its snips are not
        return Hands(drafted=piece.count - piece.count // 2, mirrored=piece.count // 2)
    if piece.on_fold or has_no_hand(piece):
        return Hands(either=piece.count)
    return Hands(drafted=piece.count)


def _portions(hands: Hands, plies: int, is_on_fold: bool) -> list[Hands]:
    """Split the copies into jobs that one outline can give on that many plies."""
    if is_on_fold:
        most = max(1, plies // 2)
        return [Hands(either=min(most, hands.either - done)) for done in range(0, hands.either, most)]
    if hands.either:
        return [Hands(either=min(plies, hands.either - done)) for done in range(0, hands.either, plies)]
    half = max(1, plies // 2)
    made = []
    drafted, mirrored = hands.drafted, hands.mirrored
    while drafted or mirrored:
        if plies == 1:
            take = Hands(drafted=1) if drafted >= mirrored else Hands(mirrored=1)
        else:
            take = Hands(drafted=min(half, drafted), mirrored=min(half, mirrored))
        made.append(take)
        drafted, mirrored = drafted - take.drafted, mirrored - take.mirrored
    return made


def jobs_for(pieces: Sequence[Piece], bays: Sequence[Bay], book: ShapeBook, is_across: bool, one_way: Container[str]) -> list[Job]:
    """All jobs of one cloth under one fold."""
    plies = max(len(bay.plies) for bay in bays)
    is_full = not is_across and is_fold_full(pieces, bays, book)
    jobs = []
    for piece in pieces:
        has_fold = piece.on_fold and any(bay.side("x0" if is_across else "y0") for bay in bays)
        for number, portion in enumerate(_portions(hands_of(piece), plies, piece.on_fold and has_fold)):
            name = f"{piece.name}#{number + 1}"
            jobs.append(_job(name, piece, portion, bays, book, is_across, one_way, is_full))
    return jobs


def is_fold_full(pieces: Sequence[Piece], bays: Sequence[Bay], book: ShapeBook) -> bool:
    """Whether the one fold along of two layers is the narrow place: what hangs on it is longer than all pieces lying side by side."""
    if len(bays) != 1 or not bays[0].side("y0") or len(bays[0].plies) != 2:
        return False
    area = sum(book.outline(piece, False).area * piece.count for piece in pieces)
    on_fold = sum(book.shape(piece, True, Turn(), True).size[0] * piece.count for piece in pieces if piece.on_fold)
    return bool(on_fold > CROWDED * area / (2.0 * (bays[0].top - bays[0].origin[1])))


def _job(
    name: str, piece: Piece, hands: Hands, bays: Sequence[Bay], book: ShapeBook, is_across: bool, one_way: Container[str], is_full: bool
) -> Job:
    options = _options(piece, hands, bays, book, is_across, one_way, is_full)
    area = book.outline(piece, False).area * hands.total
    apart: tuple[Job, ...] = ()
    if hands.total > 1 and any(len(bay.plies) < hands.total for bay in bays):
        ones = [Hands(drafted=1)] * hands.drafted + [Hands(mirrored=1)] * hands.mirrored + [Hands(either=1)] * hands.either
        apart = tuple(_job(f"{name}.{n + 1}", piece, one, bays, book, is_across, one_way, is_full) for n, one in enumerate(ones))
    return Job(name, piece, options, apart, area)


def _options(
    piece: Piece, hands: Hands, bays: Sequence[Bay], book: ShapeBook, is_across: bool, one_way: Container[str], is_full: bool
) -> tuple[Option, ...]:
    found: list[Option] = []
    side: Literal["x0", "y0"] = "x0" if is_across else "y0"
    for number, bay in enumerate(bays):
        pairs = bay.side(side)
        if piece.on_fold and pairs:
            on = tuple(ply for pair in pairs[: hands.either] for ply in pair)
            turns = [Turn(is_across)] if piece.name in one_way else [Turn(is_across), Turn(is_across, True, True)]
            found += [Option(number, book.shape(piece, True, turn, True), on, side) for turn in turns]
            if hands.total == 1 and (side == "x0" or is_full):  # the one line of the fold is soon full: the rest lies opened out
                found += _flat_options(number, bay, piece, hands, book, is_across, one_way)
        else:
            found += _flat_options(number, bay, piece, hands, book, is_across, one_way)
    return tuple(found)


def _flat_options(
    number: int, bay: Bay, piece: Piece, hands: Hands, book: ShapeBook, is_across: bool, one_way: Container[str]
) -> list[Option]:
    """Off the fold: any way round that gives the hands wanted."""
    found = []
    for is_turned in (False,) if piece.name in one_way else (False, True):
        for is_flipped in (False, True):
            on = _kept_by(bay, hands, is_flipped)
            if on is None or (hands.either and is_flipped):
                continue
            found.append(flat_option(number, piece, book, Turn(is_across, is_turned, is_flipped), on))
    return found


def flat_option(number: int, piece: Piece, book: ShapeBook, turn: Turn, on: tuple[str, ...]) -> Option:
    """One way to lie off the fold; a fold piece is opened out."""
    return Option(number, book.shape(piece, not piece.on_fold, turn), on)


def _kept_by(bay: Bay, hands: Hands, is_flipped: bool) -> tuple[str, ...] | None:
    """Which plies keep the copies, from the top; None when this bay cannot give them in one outline."""
    if hands.either:
        return bay.plies[: hands.either] if hands.either <= len(bay.plies) else None
    as_drafted = [ply for ply, face in zip(bay.plies, bay.faces, strict=True) if (face == "right") != is_flipped]
    other = [ply for ply in bay.plies if ply not in as_drafted]
    if hands.drafted > len(as_drafted) or hands.mirrored > len(other):
        return None
    kept = {*as_drafted[: hands.drafted], *other[: hands.mirrored]}
    return tuple(ply for ply in bay.plies if ply in kept)
