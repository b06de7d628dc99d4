"""The stage: a garment and its cloths become lays. Pure; chance, patience and listeners come from outside."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from calibration.errors import Refused, WrongInput
from projector.garment.pieces import Garment, Piece
from projector.lay.blocks import By, blocks_of
from projector.lay.choose import Candidate, recommend, try_plan, try_plans, why_lines
from projector.lay.cloth import USUAL_LIGHT, Budget, Cloth, Light
from projector.lay.lay import PLANS, Lay, Plan
from projector.lay.print_place import Matched, Motif, matched, with_the_rest
from projector.lay.refusals import most_telling, with_other_fold
from projector.lay.run import lay_from
from projector.lay.task import Bench, Tools

SHARE = 12
"""Each plan first gets this part of the trials, the chosen one the rest."""
OTHER_TRIALS = 250
"""At most so many trials for a lining or interfacing: a handful of pieces."""
MOST_LOOK = 200
"""More trials than this tell nothing new about a fold."""
PLAIN: tuple[Plan, ...] = ("open", "lengthwise", "crosswise")
"""Folds looked at for lining, interfacing and the like."""
LOOK_TRIALS = 60
"""At least this many trials before a plan is judged; a fold asked for with fewer is laid without looking at others."""


ASSUMED_MM = {"lining": 1400.0, "interfacing": 900.0}
"""Width of a cloth that the order does not name: what shops mostly keep (common practice, no source)."""


def cloth_named(cloths: Mapping[str, Cloth], name: str) -> Cloth:
    """The order's cloth of that name, or one of the usual width."""
    return cloths.get(name) or Cloth(name, ASSUMED_MM.get(name, ASSUMED_MM["lining"]))


USUAL_BUDGET = Budget()


@dataclass(frozen=True, slots=True)
class Ask:
    """How to lay: the main cloth's fold (None: recommended), how hard to search, the light, a motif to be placed, and whether several
    dresses lie person after person, part after part, or mixed (None: least cloth)."""

    plan: Plan | None = None
    budget: Budget = USUAL_BUDGET
    light: Light = USUAL_LIGHT
    motif: Motif | None = None
    by: By | None = None


def lay_out(garment: Garment, cloths: Mapping[str, Cloth], ask: Ask, tools: Tools) -> Lay:
    """Lay every cloth of a garment. Main stands at the top, the rest in `others`.

    A lining, interfacing or other cloth that the order does not name is laid on a usual width, to be bought.
    Raises WrongInput without a main cloth, ClothTooSmall or FoldRefused as they say.
    """
    wanted: dict[str, list[Piece]] = {}
    for piece in garment.pieces:
        wanted.setdefault(piece.cloth, []).append(piece)
    if "main" in wanted and "main" not in cloths:
        raise WrongInput(
            "The order names no main cloth.",
            f"{', '.join(piece.name for piece in wanted['main'][:4])} are cut from it.",
            "Add `main: {width: 45 in}` under `cloth:`.",
        )
    names = sorted(wanted, key=lambda name: (name != "main", list(wanted).index(name)))
    lays = {}
    for name in (*names[1:], names[0]):  # the main cloth last: what patience is left is its
        is_top = name == names[0]
        own = ask if is_top else replace(ask, plan=None, budget=replace(ask.budget, trials=min(ask.budget.trials, OTHER_TRIALS)))
        cloth = cloth_named(cloths, name)
        printed = _print_on(garment, cloth, ask.motif)
        patient = tools if is_top else replace(tools, keep_going=tools.keep_going_beside or tools.keep_going)
        lay = lay_cloth(cloth, wanted[name], own, patient, is_top, printed)
        note = () if name in cloths else (f"The order does not name {name}: taken as {cloth.width_mm / 10:.0f} cm wide, to be bought.",)
        lays[name] = replace(lay, why=(*lay.why, *note))
    top, *rest = names
    return replace(lays[top], others={name: lays[name] for name in rest})


def _print_on(garment: Garment, cloth: Cloth, motif: Motif | None) -> Matched | None:
    """The print to keep in step on this cloth: a motif that was placed on it, a repeat that was typed, or both."""
    placed = matched(garment, motif) if motif else None
    if placed is not None and motif is not None and garment.piece(motif.piece).cloth != cloth.name:
        placed = None
    has_repeat = cloth.repeat_along_mm or cloth.repeat_across_mm
    return with_the_rest(garment, cloth.name, placed) if has_repeat else placed


def _recommended(candidates: Sequence[Candidate], printed: Matched | None) -> tuple[Candidate, str]:
    try:
        return recommend(candidates, printed)
    except Refused as refusal:
        raise with_other_fold(refusal, None, refusal) from None


def _helped(refusal: Refused, others: Sequence[Candidate], printed: Matched | None) -> Refused:
    """The refusal of one fold with the fold that goes instead, or what helps where none does. others: the rest, each with a first lay."""
    going = [each for each in others if each.done is not None]
    if not going:
        least = most_telling([refusal, *(each.refusal for each in others if each.refusal is not None)])
        return with_other_fold(refusal, None, least)
    other, _ = recommend(going, printed)
    return with_other_fold(refusal, (other.plan, other.done.used_mm if other.done else 0.0), refusal)


def lay_cloth(cloth: Cloth, pieces: Sequence[Piece], ask: Ask, tools: Tools, is_top: bool = True, printed: Matched | None = None) -> Lay:
    """One cloth: every plan is looked at, one is recommended (or the plan asked for taken) and improved. Raises as `lay_out`."""
    bench = Bench(cloth, printed=printed, light=ask.light, blocks=blocks_of(pieces, ask.by))
    trials, plan = ask.budget.trials, ask.plan
    look = min(trials, max(LOOK_TRIALS, min(trials // SHARE, MOST_LOOK))) if plan is None else 1
    among = PLANS if is_top else PLAIN
    plans = among if plan is None or trials >= LOOK_TRIALS else (plan,)
    candidates = try_plans(bench, cloth, pieces, look, ask.budget.seed, tools, plans if plan is None else (plan,))
    if plan is None:
        chosen, reason = _recommended(candidates, printed)
    else:
        chosen, reason = candidates[0], "asked for"
    deeper = try_plan(bench, cloth, chosen.plan, pieces, trials, ask.budget.seed + 1, tools, is_last=is_top)
    if chosen.done is None and deeper.refusal is not None:
        rest = [] if plan is None else try_plans(bench, cloth, pieces, 1, ask.budget.seed, tools, [each for each in among if each != plan])
        raise _helped(deeper.refusal, rest, printed)
    for other in plans if plan is not None else ():  # the other ways are only told: with what patience is left
        if other != plan and tools.keep_going():
            candidates += try_plans(bench, cloth, pieces, look, ask.budget.seed, tools, (other,))
    candidates = [deeper if each is chosen and each.done is None else each for each in candidates]
    candidates.sort(key=lambda each: PLANS.index(each.plan))
    best = min((each for each in (chosen, deeper) if each.done is not None), key=lambda each: each.done.used_mm if each.done else 0.0)
    if best.task is None or best.done is None:
        raise AssertionError(f"no lay for {cloth.name}")
    spent = sum(each.done.trials for each in (*candidates, deeper) if each.done is not None)
    over = [f"{pair}: opened out, one on either layer; the fold is too short for every half." for pair in best.done.pairs]
    why = [*why_lines(candidates, chosen.plan, reason), *over]
    return lay_from(best.task, replace(best.done, trials=spent), ask.light, ask.budget.seed, why)
