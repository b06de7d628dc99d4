"""What jobs can do. Each runs in a child process; arguments and answers are picklable."""

import hashlib
import json
from collections.abc import Mapping
from dataclasses import asdict, dataclass, field
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

from calibration.errors import Refused, WrongInput
from calibration.keep import keep, load_kept
from calibration.made import made_by
from calibration.table import Table
from calibration.units import Unit
from projector.garment.pieces import Garment
from projector.lay.cloth import Budget, Cloth
from projector.lay.lay import Lay
from projector.lay_file import lay_read
from projector.steps.given import NOT_TOLD, garment_from_json
from projector.steps.step import Step

PICTURE_PX = 1200
"""Longer side of a style picture as kept: three phone screens wide."""

if TYPE_CHECKING:
    from projector.book.orders import Order


@dataclass(frozen=True, slots=True)
class Prepared:
    """An order laid and put into steps: what the desk needs of it."""

    order: str
    unit: Unit
    lay: Lay
    steps: tuple[Step, ...]
    moves: Mapping[tuple[str, str], str] = field(default_factory=dict)
    """By (piece, where) of a tape check: the line of the draft that moves when its number is changed."""
    mark: str = ""
    """The journal's mark of the steps, worked out here: the desk's loop does not compute."""


def prepare(
    order: str, book: Path | None, kept: Path | None, table: Table | None, by_hand: Lay | None = None,
    journal: Path | None = None,
) -> Prepared:  # fmt: skip
    """Draft, lay for what this table's light reaches, and order the cuts.

    The lay is kept in `kept` with the pieces it was made for: the same pieces are never laid another way in mid-cut.
    `by_hand`: the lay as it was made on the page, taken instead. `journal`: what was cut so far; an order changed since goes
    on in the lay that was cut. Raises WrongInput and Refused of the stages, also where the
    cloth already cut does not allow the change.
    """
    from projector.book.orders import load_order
    from projector.lay_jobs import search_tools
    from projector.making import DEFAULT_TRIALS, garment_of, lay_of, steps_for
    from projector.scene.view import lay_light

    read = load_order(order, book)
    garment = garment_of(read)
    wanted = made_for(garment, read.cloths)
    had = kept_lay(kept) if by_hand is None else None
    same, other = (had, None) if had is not None and had.made_for == wanted else (None, had)
    dress = garment
    if other is not None and (on := _gone_on(read, garment, other, journal)) is not None:
        dress, lay, steps, mark = on
    elif same is not None and same.pieces is not None and same.pieces.is_cut_again:
        dress, lay, mark = same.pieces, same.lay, same.mark
        steps = steps_for(read, dress, lay)
    else:
        mark = same.mark if same is not None else ""
        found = _still_fits(by_hand, garment) if by_hand is not None else same.lay if same is not None else None
        light = lay_light(table) if table else None
        lay = found or lay_of(read, garment, None, Budget(DEFAULT_TRIALS, 1), search_tools(), light)
        steps = steps_for(read, garment, lay)
    if kept is not None:
        keep_lay(kept, lay, garment, read.cloths, mark, dress)
    return prepared(read, dress, lay, steps, mark)


def _gone_on(order: "Order", garment: Garment, had: "KeptLay", journal: Path | None) -> tuple[Garment, Lay, tuple[Step, ...], str] | None:
    """The changed order on the lay that was cut: dress, lay, steps, the journal's mark of them; None: nothing is cut."""
    from projector.desk.journal import fingerprint
    from projector.desk.parked import stands_at
    from projector.making import steps_for
    from projector.retape import carried_on

    mark, done = stands_at(journal)
    if had.pieces is None or not done:
        return None
    steps = steps_for(order, had.pieces, had.lay)
    if mark not in (had.mark, fingerprint(steps)) or not any(steps[number].is_fact for number in done if number < len(steps)):
        return None
    return *carried_on(order, had.pieces, had.lay, steps, done, garment), mark


def _still_fits(by_hand: Lay, garment: Garment) -> Lay:
    """The lay made on the page with the pieces as they are now. Raises Refused when they have changed since and do not fit."""
    from projector.lay.again import all_with_pieces

    names = {placed.piece for one in by_hand.lays for placed in one.placed}
    if names != {piece.name for piece in garment.pieces}:
        raise Refused("The lay is not of this dress any more.", "Its pieces have changed since.", "Lay it again.")
    lay, faults = all_with_pieces(by_hand, garment)
    if faults:
        raise Refused("The lay is not of this dress any more.", f"{faults[0]}.", "Lay it again.")
    return lay


def prepared(order: "Order", garment: Garment, lay: Lay, steps: tuple[Step, ...], mark: str = "") -> Prepared:
    """What the desk needs of an order worked out. `mark`: under which the journal knows the steps, empty: their own."""
    from projector.desk.journal import fingerprint
    from projector.retape import line_of_tape

    reads = {(read.piece, read.where) for step in steps for read in step.tapes}
    lines = {key: line_of_tape(garment.piece(key[0]), key[1]) for key in reads}
    moves = {key: line for key, line in lines.items() if line is not None}
    return Prepared(order.name, order.client.shown, lay, steps, moves, mark or fingerprint(steps))


def made_for(garment: Garment, cloths: Mapping[str, Cloth]) -> str:
    """Of pieces and cloths: a lay kept for others is not theirs."""
    told = json.dumps([garment.as_json(), {name: asdict(cloth) for name, cloth in cloths.items()}], sort_keys=True, default=str)
    return hashlib.sha256(told.encode()).hexdigest()


@dataclass(frozen=True, slots=True)
class KeptLay:
    """A lay beside its journal. `made_for`: of these pieces on these cloths; `pieces`: None in files of the first days; `mark`: under
    which the journal knows its steps, where that is not their own (the dress was changed in mid-cut)."""

    made_for: str
    lay: Lay
    pieces: Garment | None
    mark: str = ""


def keep_lay(kept: Path, lay: Lay, garment: Garment, cloths: Mapping[str, Cloth], mark: str = "", dress: Garment | None = None) -> None:
    """Write the lay beside the journal with what it was made for, unless it stands there already; `dress`: the same pieces, some of
    them cut again in hand. Raises NotKept."""
    wanted, had = made_for(garment, cloths), kept_lay(kept)
    if had is None or (had.made_for, had.lay, had.mark) != (wanted, lay, mark):
        told = {"format": 1, "made_for": wanted, "lay": lay.as_json(), "pieces": (dress or garment).as_json(), "mark": mark}
        keep(kept, json.dumps(told, ensure_ascii=False))


def kept_lay(kept: Path | None) -> KeptLay | None:
    """The lay kept from an earlier day; None when there is none.

    Raises WrongInput when damaged; where an older version is whole, Damaged names it.
    """
    return load_kept(kept, partial(_lay_read, name=kept.name)) if kept is not None and kept.exists() else None


def _lay_read(data: bytes, name: str) -> KeptLay:
    """What stands in the file. Raises WrongInput."""
    try:
        told = json.loads(data)
        pieces = garment_from_json(told["pieces"]) if "pieces" in told else None
        kept = KeptLay(str(told["made_for"]), lay_read(told["lay"], name), pieces, str(told.get("mark", "")))
        laid = {placed.piece for one in kept.lay.lays for placed in one.placed}
        odd = laid ^ {piece.name for piece in pieces.pieces} if pieces is not None else None
    except NOT_TOLD as cause:
        raise WrongInput(f"{name} is not a kept lay.", f"{type(cause).__name__}: {str(cause)[:80]}.", "Move it away.") from cause
    if odd:
        raise WrongInput(f"{name} is damaged.", f"These are only laid or only drafted: {', '.join(sorted(odd))}.", "Move it away.")
    return kept


@dataclass(frozen=True, slots=True)
class Solved:
    """A table from photographs and what to tell her."""

    table: Table
    what: str
    why: str
    next_step: str


class NotSolved(Refused):
    """Photographs that give no table good enough."""


def solve(photos: list[Path], sheets: Path, size: tuple[int, int], bar_x_mm: float | None = None, bar_y_mm: float | None = None) -> Solved:
    """Photographs of the frame on the sheets to a table. Raises NotSolved with the reason."""
    from calibration.calibrate import calibrate

    result = calibrate(photos, sheets, size, bar_x_mm, bar_y_mm)
    message = result.verdict.message
    if not result.verdict.solved or result.table is None:
        raise NotSolved(message.what, message.why, message.next)
    return Solved(result.table, message.what, message.why, message.next)


def prove(table: Table, shown_mm: float, taped_mm: float) -> Table:
    """The table after the long line was taped."""
    from calibration.size import proved

    return proved(table, shown_mm, taped_mm, made_by("proof")).table


def by_eye(table: Table, crosses_px: dict[int, tuple[float, float]]) -> Table:
    """The table after every cross was moved onto its spot."""
    from calibration.by_eye import by_eye as made_true

    return made_true(table, crosses_px, made_by("by eye"))


def survey(photos: list[Path], table: Table) -> Table:
    """The table with the spots stuck to it. Raises WrongInput and Refused of the survey."""
    from calibration.stuck import looks_of, surveyed

    return surveyed(table, looks_of(photos, table.size), made_by("survey"))


def small_picture(photo: Path) -> bytes:
    """A picture decoded, turned upright, at most 1200 px long, as a JPEG without anything else the file held. Raises WrongInput."""
    from io import BytesIO

    from PIL import Image, ImageOps

    try:
        with Image.open(photo, formats=("JPEG", "PNG")) as opened:
            upright = ImageOps.exif_transpose(opened).convert("RGB")
    except (OSError, ValueError, SyntaxError, MemoryError) as cause:
        raise WrongInput("This picture cannot be read.", f"{type(cause).__name__}.", "Send another, as JPEG.") from cause
    upright.thumbnail((PICTURE_PX, PICTURE_PX))
    out = BytesIO()
    upright.save(out, "JPEG", quality=82)
    return out.getvalue()
