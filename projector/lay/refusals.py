"""What laying refuses, in words: by how much, what helps, and which other fold goes."""

from collections.abc import Sequence
from copy import copy
from math import ceil, floor

from calibration.errors import Refused
from calibration.units import MM_PER_INCH, eighths_text, yards_text
from projector.garment.pieces import Piece
from projector.lay.bays import Bay
from projector.lay.board import HAIR_MM
from projector.lay.cloth import Cloth
from projector.lay.errors import ClothTooShort, ClothTooSmall
from projector.lay.lay import Plan
from projector.lay.wanted import Job

PLAN_WORDS: dict[Plan, str] = {
    "open": "open, one layer",
    "lengthwise": "folded along, selvedge to selvedge",
    "off_centre": "folded along, off the middle",
    "crosswise": "folded across",
    "quarters_along": "in quarters, folds along",
    "quarters_across": "in quarters, folds across",
    "crossed_four": "folded across, then along",
}
SHARES: dict[Plan, int] = {"lengthwise": 2, "off_centre": 2, "quarters_along": 4, "crossed_four": 2}
"""How many layers share the cloth's width: so many times what a piece lacks across is what the cloth lacks; 1 where it is not named."""
EIGHTH_INCH_MM = MM_PER_INCH / 8.0


def too_deep(job: Job, bays: Sequence[Bay], plan: Plan, cloth: Cloth) -> ClothTooSmall:
    """The refusal of a piece that is wider than what the fold gives."""
    every = [option for one in (job, *job.apart) for option in one.options]
    name = job.piece.name
    if not every:
        return ClothTooSmall(f"{name} cannot lie {PLAN_WORDS[plan]}.", "So folded no layers make it.", "Choose another fold.")
    rooms = [
        (option.shape.size[1] + (0.0 if option.fold else bays[option.bay].inset[1]), bays[option.bay].top - bays[option.bay].origin[1])
        for option in every
    ]
    need, have = min(rooms, key=lambda room: room[0] - room[1])
    if need <= have + 1e-6:  # wide enough, but at no place of the print
        return ClothTooSmall(
            f"{name} finds no place where its print keeps step.",
            f"It is {need:.0f} mm wide, the cloth so folded gives {have:.0f} mm: no whole repeat of the print lies between.",
            "Another fold, wider cloth, or leave the repeat out and match the print by eye.",
        )
    opened = " opened out" if job.piece.on_fold and all(option.fold is None for option in every) else ""
    wide, given = ceil(need - HAIR_MM), floor(have + HAIR_MM)
    wanted = ceil(cloth.width_mm + SHARES.get(plan, 1) * (need - have) - HAIR_MM)
    helps = f"take {_more_cloth(cloth, wanted)}, or put {_seam_in(job.piece)}"
    return ClothTooSmall(
        f"{name}{opened} is {wide} mm ({eighths_text(wide)} in) wide, cloth {cloth.name!r} ({PLAN_WORDS[plan]}) "
        f"gives {given} mm ({eighths_text(given)} in).",
        f"It is {wide - given} mm too narrow ({eighths_text(ceil((need - have) / EIGHTH_INCH_MM) * EIGHTH_INCH_MM)} in).",
        f"{'T' + helps[1:] if plan == 'open' else f'Choose another fold, {helps}'}.",
        helps,
        wanted - cloth.width_mm,
    )


def _more_cloth(cloth: Cloth, wanted_mm: float) -> str:
    """Wider cloth, never rounded down."""
    eighths = ceil(wanted_mm / EIGHTH_INCH_MM) * EIGHTH_INCH_MM
    return f"{'cloth' if cloth.name == 'main' else cloth.name} {wanted_mm:.0f} mm ({eighths_text(eighths)} in) wide or more"


def _or_another(cloth: Cloth) -> str:
    return "" if cloth.name == "main" else f" of {cloth.name}, another {cloth.name}"


def _seam_in(piece: Piece) -> str:
    return f"a centre-back seam in {piece.name}" if piece.on_fold and "back" in piece.part else f"a seam in {piece.name}"


def worst(refusals: Sequence[ClothTooSmall]) -> ClothTooSmall:
    """Of the pieces that do not fit, the one that lacks most: what helps it helps the others."""
    return max(refusals, key=lambda each: each.lacks_mm)


def too_long(cloth: Cloth, plan: Plan, pieces: Sequence[Piece], bound_mm: float, used_mm: float | None, have_mm: float) -> ClothTooSmall:
    """The refusal of a lay longer than the cloth in hand; used_mm None: no length is known. bound_mm: no lay is shorter."""
    need = f"about {used_mm:.0f} mm ({yards_text(used_mm)}) in one length" if used_mm else "more"
    if used_mm and used_mm > have_mm:
        missing = f"{ceil(used_mm - have_mm)} mm ({yards_text(used_mm - have_mm)}) more"
    else:
        missing = f"one length of {ceil(used_mm)} mm ({yards_text(used_mm)})" if used_mm else f"one length over {have_mm:.0f} mm"
    helps = f"take {missing}{_or_another(cloth)}"
    longest = max(pieces, key=lambda piece: max(y for _, y in piece.cut_line) - min(y for _, y in piece.cut_line), default=None)
    if longest is not None and bound_mm < have_mm:  # else even the pieces' area is more than the cloth in hand
        helps += f", or put {_seam_in(longest)}, the longest piece"
    return ClothTooSmall(
        f"Cloth {cloth.name!r} ({PLAN_WORDS[plan]}) is too little.",
        f"It needs {need}; in hand {', '.join(f'{length:.0f}' for length in cloth.lengths_mm) or 'nothing'} mm.",
        f"Choose another fold, {helps}.",
        helps,
        max(0.0, (used_mm or have_mm) - have_mm),
    )


def most_telling(refusals: Sequence[Refused]) -> Refused:
    """Where no fold goes: the one that lacks least, of length before width; what the cloth forbids altogether last."""

    def rank(refusal: Refused) -> tuple[int, float]:
        if not isinstance(refusal, ClothTooSmall):
            return 3, 0.0
        return (0 if isinstance(refusal, ClothTooShort) else 1 if refusal.helps else 2), refusal.lacks_mm

    return min(refusals, key=rank)


def with_other_fold(refusal: Refused, other: tuple[Plan, float] | None, least: Refused) -> Refused:
    """The same refusal once the other folds were tried. other: the fold that goes and the cloth it takes, mm; None: none goes, and
    `least` lacks least."""
    helps = least.helps if isinstance(least, ClothTooSmall) else ""
    told = copy(refusal)
    if other is not None:
        plan, used_mm = other
        told.next_step = f"It goes {PLAN_WORDS[plan]}: {used_mm:.0f} mm ({yards_text(used_mm)}).{f' Or {helps}.' if helps else ''}"
    elif helps:
        nearest = "" if least is refusal else f" Nearest: {least.what}"
        told.next_step = f"No other fold goes with less.{nearest} T{helps[1:]}."
    told.args = (told.what, told.why, told.next_step)
    return told
