"""The stage: a garment and its cloths become lays. Pure; chance, patience and listeners come from outside."""

from collections.abc import Mapping, Sequence
from dataclasses import replace

from calibration.errors import WrongInput
from projector.garment.pieces import Garment, Piece
from projector.lay.choose import recommend, try_plan, try_plans, why_lines
from projector.lay.cloth import Budget, Cloth, Light
from projector.lay.lay import PLANS, Lay, Plan
from projector.lay.task import Bench, Tools, lay_from

SHARE = 12
"""Each plan first gets this part of the trials, the chosen one the rest."""
PLAIN: tuple[Plan, ...] = ("open", "lengthwise", "crosswise")
"""Folds looked at for lining, interfacing and the like."""
LOOK_TRIALS = 60
"""At least this many trials before a plan is judged; a fold asked for with fewer is laid without looking at others."""


def lay_out(garment: Garment, cloths: Mapping[str, Cloth], plan: Plan | None, budget: Budget, light: Light, tools: Tools) -> Lay:
    """Lay every cloth of a garment. Main stands at the top, the rest in `others`.

    plan: the fold of the main cloth, or None for our recommendation; other cloths always get theirs.
    Raises WrongInput when a piece's cloth is not on the order, ClothTooSmall or FoldRefused as they say.
    """
    wanted: dict[str, list[Piece]] = {}
    for piece in garment.pieces:
        wanted.setdefault(piece.cloth, []).append(piece)
    missing = [name for name in wanted if name not in cloths]
    if missing:
        raise WrongInput(
            f"The order names no cloth {missing[0]!r}.",
            f"{', '.join(piece.name for piece in wanted[missing[0]][:4])} are cut from it.",
            f"Add `{missing[0]}: {{width: …}}` under `cloth:`.",
        )
    names = sorted(wanted, key=lambda name: (name != "main", list(wanted).index(name)))
    lays = {}
    for name in names:
        is_top = name == names[0]
        lays[name] = lay_cloth(cloths[name], wanted[name], plan if is_top else None, budget, light, tools, PLANS if is_top else PLAIN)
    top, *rest = names
    return replace(lays[top], others={name: lays[name] for name in rest})


def lay_cloth(
    cloth: Cloth, pieces: Sequence[Piece], plan: Plan | None, budget: Budget, light: Light, tools: Tools, among: Sequence[Plan] = PLANS
) -> Lay:
    """One cloth: every plan is looked at, one is recommended (or the plan asked for taken) and improved. Raises as `lay_out`."""
    bench = Bench(cloth)
    look = min(budget.trials, max(LOOK_TRIALS, budget.trials // SHARE)) if plan is None else 1
    plans = among if plan is None or budget.trials >= LOOK_TRIALS else (plan,)
    candidates = try_plans(bench, cloth, pieces, look, budget.seed, tools, plans)
    if plan is None:
        chosen, reason = recommend(candidates, light)
    else:
        chosen, reason = next(each for each in candidates if each.plan == plan), "asked for"
        if chosen.refusal is not None:
            raise chosen.refusal
    deeper = try_plan(bench, cloth, chosen.plan, pieces, budget.trials, budget.seed + 1, tools)
    best = min((each for each in (chosen, deeper) if each.done is not None), key=lambda each: each.done.used_mm if each.done else 0.0)
    if best.task is None or best.done is None:
        raise AssertionError(f"no lay for {cloth.name}")
    trials = sum(each.done.trials for each in (*candidates, deeper) if each.done is not None)
    return lay_from(best.task, replace(best.done, trials=trials), light, budget.seed, why_lines(candidates, chosen.plan, reason))
