"""Which fold: what each plan forbids, how the variants of a plan are tried, one recommendation with one reason."""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace

from calibration.errors import Refused
from calibration.units import yards_saved_text, yards_text
from projector.garment.pieces import Piece
from projector.lay.blocks import run_search
from projector.lay.cloth import Cloth
from projector.lay.errors import ClothTooShort, ClothTooSmall, FoldRefused
from projector.lay.lay import PLANS, QUARTERS, Plan
from projector.lay.print_place import Matched
from projector.lay.quarters import stacked
from projector.lay.refusals import PLAN_WORDS, most_telling
from projector.lay.run import Done
from projector.lay.task import Bench, Task, Tools, make_task

LAYERS: dict[Plan, str] = {
    "open": "1 layer", "lengthwise": "2 layers", "off_centre": "2 layers and 1", "crosswise": "2 layers",
    "quarters_along": "4 layers", "quarters_across": "4 layers", "crossed_four": "4 layers",
}  # fmt: skip
MOST_OVER = 1.15
"""In quarters, fronts over backs may take so many times the cloth of pairs laid freely: one line then serves four layers. Our judgement."""
OVER = ", fronts over backs, matched at the neck point"
EIGHTH_YARD_MM = 914.4 / 8
VARIANT_TRIALS = 150
"""Each depth of a fold is looked at with at most so many trials."""
CONVENIENT: tuple[Plan, ...] = ("lengthwise", "off_centre", "crosswise", "open")
"""Plans that may be recommended, the most convenient first: pairs are cut at once, fold pieces lie on the fold."""
WORTH_MM: dict[Plan, float] = {"off_centre": 2 * EIGHTH_YARD_MM, "crosswise": 2 * EIGHTH_YARD_MM, "open": 4 * EIGHTH_YARD_MM}
"""How much cloth a less convenient plan must save to be recommended: our judgement."""


@dataclass(frozen=True, slots=True, eq=False)
class Candidate:
    """A plan tried: its task and lay so far, or why it cannot be. `is_over`: fronts lie over backs, matched at the neck point."""

    plan: Plan
    task: Task | None = None
    done: Done | None = None
    refusal: Refused | None = None
    is_over: bool = False


def forbidden(cloth: Cloth, plan: Plan, pieces: Sequence[Piece]) -> FoldRefused | None:
    """What the cloth itself forbids: folds that cross the print's up, layers of cloth that creeps."""
    if cloth.is_one_layer_only and plan != "open":
        kind = " and ".join(cloth.creeps)
        return FoldRefused(f"Not {PLAN_WORDS[plan]}.", f"Cloth {cloth.name!r} is {kind}: layers creep.", "Lay it open, one layer.")
    across, along = plan in ("crosswise", "quarters_across", "crossed_four"), plan not in ("open", "crosswise", "quarters_across")
    if (cloth.up == "along" and across) or (cloth.up == "across" and along):
        return FoldRefused(
            f"Not {PLAN_WORDS[plan]}.",
            f"The print stands {cloth.up} the cloth: a fold that crosses it turns half of the layers upside down.",
            "Fold the other way, or lay the cloth open.",
        )
    if cloth.flaws and across:
        return FoldRefused(
            f"Not {PLAN_WORDS[plan]}.",
            "The fold moves with the lay, and the flaws with it.",
            "Fold along, lay it open, or cut the flaws off.",
        )
    if plan in QUARTERS and any(piece.on_fold and "back" in piece.part for piece in pieces):
        return FoldRefused(
            f"Not {PLAN_WORDS[plan]}.",
            "The back is on a fold; in quarters the backs' middle is open.",
            "Choose another fold, or a zip in the back.",
        )
    return None


def variants(bench: Bench, cloth: Cloth, plan: Plan, pieces: Sequence[Piece]) -> Iterator[Task]:
    """The tasks of one plan: depths of the off-centre fold, the ways of an undirected print. Raises ClothTooSmall when none fits."""
    refusals: dict[float, ClothTooSmall] = {}
    made = 0
    for depth, overhang, across in _settings(cloth, plan, pieces):
        try:
            task = make_task(bench, cloth, pieces, plan, depth, overhang, prefer_across=across)
        except ClothTooSmall as refusal:
            refusals.setdefault(depth, refusal)
            continue
        made += 1
        yield task
    if made:
        return
    if plan == "off_centre" and most_double_mm(cloth) > max(refusals):  # no depth of theirs does: the deepest there is
        yield make_task(bench, cloth, pieces, plan, most_double_mm(cloth))
    else:
        raise refusals[max(refusals)]


def _settings(cloth: Cloth, plan: Plan, pieces: Sequence[Piece]) -> list[tuple[float, float, bool]]:
    """(depth, overhang, across) to try."""
    if plan == "off_centre":
        return [(depth, 0.0, False) for depth in off_centre_depths(cloth, pieces)]
    if plan in QUARTERS:
        return [(0.0, overhang_of(pieces, cloth), False)]
    if plan == "open" and cloth.up == "either":
        return [(0.0, 0.0, False), (0.0, 0.0, True)]
    return [(0.0, 0.0, False)]


def _width(piece: Piece) -> float:
    xs = [x for x, _ in piece.cut_line]
    return max(xs) - min(xs)


def most_double_mm(cloth: Cloth) -> float:
    """The deepest fold off the middle."""
    return round(cloth.usable_mm / 2 - 15.0, 1)


def off_centre_depths(cloth: Cloth, pieces: Sequence[Piece]) -> list[float]:
    """Depths worth trying (LAY section 5): the widest fold piece, that and a little more, the widest pair, all cloth can double."""
    half_gap, most = cloth.gap_mm / 2, most_double_mm(cloth)
    folds = sorted(_width(piece) + 2.0 for piece in pieces if piece.on_fold)
    pairs = sorted(_width(piece) + half_gap + 4.0 for piece in pieces if not piece.on_fold and piece.count > 1)
    wanted = [*(folds[-1:]), *(depth + 80.0 for depth in folds[-1:]), *(pairs[-1:]), *(folds[:1])]
    if folds and pairs:
        wanted.append(folds[-1] + pairs[0])
    kept: list[float] = []
    for depth in wanted:
        if 60.0 < depth <= most and all(abs(depth - other) > 12.0 for other in kept):
            kept.append(round(depth, 1))
    return kept or [most]


def overhang_of(pieces: Sequence[Piece], cloth: Cloth) -> float:
    """z of R1: the backs' allowance beyond their middle, and 10 mm (the selvedge trim or the cut end)."""
    beyond = [-min(x for x, _ in piece.cut_line) for piece in pieces if "back" in piece.part and not piece.on_fold and _has_centre(piece)]
    return max([0.0, *beyond]) + max(10.0, cloth.selvedge_mm, cloth.end_mm)


def _has_centre(piece: Piece) -> bool:
    return any(edge.kind in ("centre", "opening") for edge in piece.edges)


def try_plan(
    bench: Bench, cloth: Cloth, plan: Plan, pieces: Sequence[Piece], trials: int, seed: int, tools: Tools, is_last: bool = False
) -> Candidate:
    """The best variant of a plan, or its refusal: each has a short look, the best one the rest. is_last: the lay that will be shown."""
    refusal: Refused | None = forbidden(cloth, plan, pieces)
    if refusal:
        return Candidate(plan, refusal=refusal)
    try:
        tasks = list(variants(bench, cloth, plan, pieces))
    except ClothTooSmall as small:
        return Candidate(plan, refusal=small)
    held = [told for task in tasks if (told := stacked(task, pieces)) is not None]
    if held and _is_worth(*(_best_of(plan, some, 1, seed, tools, False) for some in (held, tasks))):
        over = _best_of(plan, held, trials, seed, tools, is_last)
        if over.done is not None:
            return replace(over, is_over=True)
    return _best_of(plan, tasks, trials, seed, tools, is_last)


def _is_worth(over: Candidate, free: Candidate) -> bool:
    """Fronts over backs, by the first lays: taken where the cloth does and it takes little more of it."""
    if over.done is None or free.done is None:
        return over.done is not None
    return over.done.used_mm <= MOST_OVER * free.done.used_mm


def _best_of(plan: Plan, tasks: Sequence[Task], trials: int, seed: int, tools: Tools, is_last: bool) -> Candidate:
    each = 0 if len(tasks) == 1 else min(max(1, trials // len(tasks)), VARIANT_TRIALS)
    best = Candidate(plan)
    for task in tasks if each else ():
        best = _better(best, task, lambda task=task: run_search(task, each, seed, tools, False))  # type: ignore[misc]
    if trials > each * len(tasks):
        task = best.task or tasks[0]
        best = _better(best, task, lambda: run_search(task, trials - each * len(tasks), seed, tools, is_last))
    return best


def _better(best: Candidate, task: Task, run: Callable[[], Done]) -> Candidate:
    """The shorter of two lays of one plan; a refusal only while there is no lay."""
    try:
        done = run()
    except ClothTooSmall as short:
        return best if best.done is not None else Candidate(best.plan, refusal=short)
    return best if best.done is not None and best.done.used_mm <= done.used_mm else Candidate(best.plan, task, done)


def try_plans(
    bench: Bench, cloth: Cloth, pieces: Sequence[Piece], trials: int, seed: int, tools: Tools, plans: Sequence[Plan] = PLANS
) -> list[Candidate]:
    """Every plan with a small share of trials; one that is never recommended while another goes only gets its first lay."""
    return [try_plan(bench, cloth, plan, pieces, trials if plan in CONVENIENT else 1, seed, tools) for plan in plans]


def recommend(candidates: Sequence[Candidate], printed: Matched | None = None) -> tuple[Candidate, str]:
    """One plan and one reason; a print that is placed is seen only on open cloth, right side up.

    Where the cloth in hand was too short for every look, the fold that lacks least. Raises the most telling refusal when no plan can be.
    """
    by_plan = {each.plan: each for each in candidates if each.done is not None}
    if not by_plan:
        near = [(each.refusal.lacks_mm, each) for each in candidates if isinstance(each.refusal, ClothTooShort)]
        if near:
            return min(near, key=lambda told: told[0])[1], "it comes nearest to the cloth in hand"
        raise most_telling([each.refusal for each in candidates if each.refusal is not None])
    if printed is not None and "open" in by_plan:
        how = "placed by eye" if printed.motif is not None else "matched at the seams"
        return by_plan["open"], f"the print is {how}: one layer, right side up"
    best: tuple[Candidate, str] | None = None
    for plan in (*CONVENIENT, *(plan for plan in PLANS if plan not in CONVENIENT)):
        new = by_plan.get(plan)
        if new is None or new.done is None:
            continue
        if best is None:
            best = (new, _first_reason(plan, by_plan))
            continue
        old = best[0].done
        saves = (old.used_mm if old else 0.0) - new.done.used_mm
        if plan in WORTH_MM and saves >= WORTH_MM[plan]:
            best = (new, f"it takes {yards_saved_text(saves)} less than {PLAN_WORDS[best[0].plan]}")
    if best is None:
        raise AssertionError("no plan left to recommend")
    return best


def _first_reason(plan: Plan, by_plan: dict[Plan, Candidate]) -> str:
    if plan == "open":
        return "nothing else goes with this cloth and these pieces"
    if len(by_plan) == 1:
        return "it is the only fold in which everything fits"
    return "pairs are cut at once and fold pieces lie on the fold"


def why_lines(candidates: Sequence[Candidate], chosen: Plan, reason: str) -> list[str]:
    """The recommendation first, then every other plan with its length and layers, or what forbids it."""
    over = OVER if any(each.is_over for each in candidates if each.plan == chosen) else ""
    lines = [f"{PLAN_WORDS[chosen]}{over}: {reason}."]
    for each in candidates:
        words = PLAN_WORDS[each.plan]
        if each.done is not None:
            told = (
                f"{words}: {each.done.used_mm:.0f} mm ({yards_text(each.done.used_mm)}), {LAYERS[each.plan]}{OVER if each.is_over else ''}."
            )
            if each.plan != chosen:
                lines.append(told)
        elif each.refusal is not None:
            what = "" if isinstance(each.refusal, FoldRefused) else f" {each.refusal.what}"
            lines.append(f"{words}: no.{what} {each.refusal.why}")
    return lines
