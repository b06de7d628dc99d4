"""Plain outlines to be laid open on one layer: no garment, no mirror, turns as given."""

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from math import isclose
from typing import Any, ClassVar

from shapely.geometry import Polygon
from shapely.validation import explain_validity

from calibration.errors import WrongInput
from projector.garment.pieces import Piece
from projector.lay.cloth import END_MM, GAP_MM, SELVEDGE_MM, Budget, Cloth, Light
from projector.lay.lay import Lay
from projector.lay.run import lay_from, run_with_closer
from projector.lay.task import STEPS, Bench, Tools, make_task


@dataclass(frozen=True, slots=True)
class OutlineCard:
    """One outline, x along the cloth; `turns`: 0 and 180 are possible."""

    __pydantic_config__: ClassVar[dict[str, Any]] = {"extra": "forbid"}
    name: str
    outline: tuple[tuple[float, float], ...]
    count: int = 1
    turns: tuple[int, ...] = (0, 180)


@dataclass(frozen=True, slots=True)
class OutlinesCard:
    """What `lay --outlines` reads."""

    __pydantic_config__: ClassVar[dict[str, Any]] = {"extra": "forbid"}
    pieces: tuple[OutlineCard, ...]
    gap_mm: float = GAP_MM
    end_mm: float = END_MM
    selvedge_mm: float = SELVEDGE_MM
    format: int = field(default=1)


def piece_of(card: OutlineCard) -> Piece:
    """The outline as a piece whose length lies along x. Raises WrongInput for an outline that is no outline."""
    if card.count < 0 or not card.turns or set(card.turns) - {0, 180}:
        raise WrongInput(
            f"Outline {card.name!r}: count {card.count}, turns {list(card.turns)}.",
            "Counts are 0 or more; pieces are turned by 0 or 180 degrees, so that their grain stays along the cloth.",
            "Correct the file.",
        )
    ring = [(y, x) for x, y in card.outline]
    if len(ring) > 1 and ring[0] == ring[-1]:
        ring = ring[:-1]
    shape = Polygon(ring) if len(ring) > 2 else Polygon()
    if shape.is_empty or not shape.is_valid or shape.area <= 0.0:
        raise WrongInput(f"Outline {card.name!r} is not an outline.", _not_one(card), "Draw it once round, without holes.")
    line = tuple(ring)
    if card.turns == (180,):
        line = tuple((-x, -y) for x, y in line)
    return Piece(card.name, "outline", "main", "main", False, card.count, False, 90.0, (), line, line)


def _not_one(card: OutlineCard) -> str:
    """Why these corners hold no outline: too few, no area, or where it meets itself."""
    if len(set(card.outline)) < 3:
        return f"It has {len(set(card.outline))} corners; three or more hold an area."
    reason = explain_validity(Polygon(card.outline))
    at = reason[reason.find("[") + 1 : -1].split() if reason.endswith("]") else []
    xs, ys = zip(*card.outline, strict=True)
    if len(at) != 2 or max(xs) == min(xs) or max(ys) == min(ys):
        return f"It is {max(xs) - min(xs):g} by {max(ys) - min(ys):g} mm and holds no area."
    return f"It meets or crosses itself at {float(at[0]):.1f}, {float(at[1]):.1f} mm."


def lay_outlines(card: OutlinesCard, width_mm: float, budget: Budget, light: Light, tools: Tools) -> Lay:
    """Lay the outlines open on cloth of that width. Raises WrongInput, ClothTooSmall."""
    wanted = [each for each in card.pieces if each.count]
    names = [each.name for each in wanted]
    if not names:
        raise WrongInput("There is nothing to lay.", f"{len(card.pieces)} outlines are given, each with count 0 or none.", "Give a count.")
    if len(set(names)) != len(names):
        twice = next(name for name in names if names.count(name) > 1)
        raise WrongInput("The outlines cannot be told apart.", f"{names.count(twice)} carry the name {twice!r}.", "Name each once.")
    cloth = Cloth("main", width_mm, gap_mm=card.gap_mm, end_mm=card.end_mm, selvedge_mm=card.selvedge_mm)
    pieces = [piece_of(each) for each in wanted]
    one_way = frozenset(each.name for each in wanted if len(set(each.turns)) == 1)
    bench = Bench(cloth, one_way, natural_step(pieces, cloth))
    task = make_task(bench, cloth, pieces, "open")
    done = run_with_closer(task, budget.trials, budget.seed, tools)
    lay = lay_from(task, done, light, budget.seed, ["open, one layer: asked for."])
    turned = {each.name for each in wanted if each.turns == (180,)}
    return replace(lay, placed=tuple(replace(each, turned=180) if each.piece in turned else each for each in lay.placed))


def natural_step(pieces: Sequence[Piece], cloth: Cloth) -> float | None:
    """A lattice step that all corners share, so that what can touch exactly does; None when they share none worth using."""
    if cloth.gap_mm > 0.0:
        return None
    numbers = {
        round(abs(a[axis] - b[axis]), 6)
        for piece in pieces
        for a, b in zip(piece.cut_line, piece.cut_line[1:], strict=False)
        for axis in (0, 1)
    }
    unit = 0.0
    for number in numbers:
        unit = _common(unit, number)
    if unit <= 0.0 or cloth.usable_mm / unit > 2 * STEPS:
        return None
    return unit / max(1, round(STEPS / 2 / (cloth.usable_mm / unit)))


def _common(a: float, b: float) -> float:
    """Greatest common measure of two lengths, 1e-4 counting as nothing."""
    while b > 1e-4:
        a, b = b, a % b
        if isclose(b, a, abs_tol=1e-4):
            b = 0.0
    return a
