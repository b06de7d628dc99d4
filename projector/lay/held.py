"""What lies already and is not moved: pieces locked by hand or by their motif, flaws of the cloth."""

from collections.abc import Sequence
from dataclasses import replace

from projector.garment.pieces import Line, Piece
from projector.lay.bays import Bay, FoldedCloth
from projector.lay.board import Board, Spot
from projector.lay.cloth import Flaw
from projector.lay.sequence import Cell, Start
from projector.lay.shapes import Turn
from projector.lay.wanted import Job, Option, ShapeBook

PLAIN = Turn()


def start_with(board: Board, fat_book: ShapeBook, spots: Sequence[Spot]) -> Start:
    """These spots fixed, and the flaws of the cloth with them."""
    fixed = (*spots, *flaw_spots(board, fat_book))
    return Start(fixed, tuple((spot.option.bay, cell_of(board, fat_book, spot)) for spot in fixed))


def cell_of(board: Board, fat_book: ShapeBook, spot: Spot) -> Cell:
    """The nearest lattice cell, under an outline so much fatter that nothing comes too near the true place."""
    option, piece = spot.option, spot.job.piece
    is_on_fold = option.fold is not None
    fat = fat_book.shape(piece, is_on_fold or not piece.on_fold, option.shape.turn, is_on_fold)
    origin = board.bays[option.bay].origin
    column, row = (round((value - start) / step) for value, start, step in zip((spot.x, spot.y), origin, board.steps_mm, strict=True))
    return replace(option, shape=fat), column, row


def flaw_spots(board: Board, fat_book: ShapeBook) -> tuple[Spot, ...]:
    """Every flaw as a fixed outline in the bays where it shows on a layer."""
    made = []
    for folded in board.folded:
        for number, flaw in enumerate(folded.cloth.flaws):
            for bay in folded.bays if flaw.bundle == folded.bundle else ():
                for ply, box in enumerate(flaw_on_plies(folded, bay, flaw)):
                    if box is not None:
                        # folds share one book of shapes and call their layers alike: what a fold leaves of the flaw is in its name
                        name = f"flaw {number + 1} on {bay.plies[ply]}, {box[2] - box[0]:.3f} by {box[3] - box[1]:.3f} mm"
                        made.append(_flaw_spot(board, fat_book, bay, ply, box, name))
    return tuple(made)


def _flaw_spot(board: Board, fat_book: ShapeBook, bay: Bay, ply: int, box: tuple[float, float, float, float], name: str) -> Spot:
    x0, y0, x1, y1 = box
    ring: Line = ((0.0, 0.0), (y1 - y0, 0.0), (y1 - y0, x1 - x0), (0.0, x1 - x0))  # the piece frame: x across, y along
    piece = Piece(name, "flaw", "main", "main", False, 1, False, 90.0, (), ring, ring)
    option = Option(board.bays.index(bay), fat_book.shape(piece, True, PLAIN), (bay.plies[ply],))
    return Spot(Job(name, piece, (option,), is_flaw=True), option, x0, y0)


def flaw_on_plies(folded: FoldedCloth, bay: Bay, flaw: Flaw) -> list[tuple[float, float, float, float] | None]:
    """Where a flaw of the cloth's own face shows on each ply of a bay: (x0, y0, x1, y1) in the cloth frame, or None.

    The cloth's own y runs from its left selvedge, its own x from the cut end at x = 0. Plans with folds across fold at a
    place that moves with the lay's length: a flaw has no place there before the lay is known, so they are refused. What of it lies
    beyond the bay is in nobody's way: left out, or a flaw from selvedge to selvedge is deeper than the lattice.
    """
    low, high = bay.origin[1], bay.top
    told: list[tuple[float, float, float, float] | None] = []
    own_y = _own_y(folded, bay)
    if len(bay.plies) > 1 and bay.faces[0] == "right":  # right side out: the upper layer lies as the lower one does right side in
        own_y = own_y[::-1]
    for start, sign in own_y:
        y0, y1 = sorted((start + sign * flaw.y_mm, start + sign * (flaw.y_mm + flaw.across_mm)))
        shows = y1 > low and y0 < high
        told.append((flaw.x_mm, max(y0, low), flaw.x_mm + flaw.along_mm, min(y1, high)) if shows else None)
    return told


def _own_y(folded: FoldedCloth, bay: Bay) -> list[tuple[float, float]]:
    """Per ply: where the left selvedge (own y = 0) would lie, and which way own y runs. Bottom layers run with y."""
    width, trim = folded.cloth.width_mm, folded.cloth.selvedge_mm
    if folded.plan == "open":
        return [(0.0, 1.0)]
    if folded.plan == "lengthwise":
        return [(width / 2, -1.0), (-width / 2, 1.0)]
    if folded.plan == "off_centre":
        fold = folded.depth + trim  # the upper layer reaches from its selvedge (own y = 0) to the fold
        return [(fold, -1.0), (-fold, 1.0)] if len(bay.plies) == 2 else [(-fold, 1.0)]
    if folded.plan == "quarters_along":
        quarter, z = (width - 2 * folded.overhang) / 4, folded.overhang
        # from the left selvedge: ply 4 from -z out to Q, ply 1 back to the fold, ply 2 out to Q, ply 3 back to -z
        if bay is folded.bays[0]:
            return [(2 * quarter + z, -1.0), (-2 * quarter - z, 1.0)]
        return [(4 * quarter + z, -1.0), (-z, 1.0)]
    return []
