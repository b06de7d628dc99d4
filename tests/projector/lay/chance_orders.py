"""Orders made by chance: a published body, a style mixed by chance, a cloth of any width, fold, print, flaws and lengths; laid and judged.

As a program (`python -m tests.projector.lay.chance_orders FIRST LAST`): one line an order, faults at the end.
"""

import sys
import traceback
from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass
from random import Random
from time import process_time
from typing import Any

from calibration.errors import TableError
from projector.book.orders import order_from
from projector.garment.pieces import Garment
from projector.lay.cloth import Budget, Light
from projector.lay.lay import PLANS
from projector.lay_jobs import search_tools
from projector.making import garment_of, lay_of
from tests.lay_checker.check import faults
from tests.lay_checker.prints import print_faults
from tests.lay_checker.unfolded import flaws_on_plies, unfolded_faults
from tests.projector.lay.made_up import told
from tests.published.bodies import EXTREMES, scattered
from tests.published.test_style_mixes import mixed

LIGHTS = (Light(1400.0, 800.0), Light(1100.0, 620.0), Light(1700.0, 950.0))
LEVELS = ("bust", "waist", "hip", "knee")
CROSSING = {
    "along": ("crosswise", "quarters_across", "crossed_four"),
    "across": ("lengthwise", "off_centre", "quarters_along", "crossed_four"),
}


@dataclass(frozen=True, slots=True)
class Verdict:
    """What became of one order: `laid`, `refused` or `faulty`, with the fold and the words."""

    kind: str
    plan: str
    words: tuple[str, ...] = ()


def made_order(seed: int) -> tuple[dict[str, Any], str | None]:
    """The order's card and the fold asked for (None: the recommended one)."""
    chance = Random(seed)
    card = chance.choice([*EXTREMES.values(), *scattered(), *scattered()[:40]]) if chance.random() < 0.3 else chance.choice(scattered())
    measures = {key: f"{value:.1f} mm" for key, value in card.items()}
    order = {
        "client": {"name": f"Woman {seed}", "unit": "cm", "lengths_from": "waist", "measures": measures},
        "style": mixed(chance),
        "cloth": {"main": _cloth(chance), "lining": {"width": f"{chance.choice([900, 1400, 1500])} mm"}},
    }
    crossing = CROSSING.get(order["cloth"]["main"]["up"], ()) if chance.random() < 0.85 else ()
    one_layer = order["cloth"]["main"].get("nature") in ("slippery", "sheer") and chance.random() < 0.8
    plans = ["open"] if one_layer else [plan for plan in PLANS if plan not in crossing]
    return order, chance.choice([*plans, *plans, None])


def _with_motif(order: dict[str, Any], garment: Garment, chance: Random) -> None:
    """A motif on a piece that the draft has."""
    piece = chance.choice([piece for piece in garment.pieces if piece.cloth == "main" and set(piece.levels) & set(LEVELS)])
    level = chance.choice([name for name in LEVELS if name in piece.levels])
    order["motif"] = {"piece": piece.name, "level": level, "lower": f"{chance.choice([0, 20, 55])} mm"}


def _cloth(chance: Random) -> dict[str, Any]:
    cloth: dict[str, Any] = {"width": f"{chance.choice([900, 1000, 1150, 1200, 1400, 1500, 1600])} mm"}
    cloth["up"] = chance.choice(["along", "across", "either", "none", "none"])
    cloth["selvedge"] = f"{chance.choice([0, 10, 10, 15, 25])} mm"
    cloth["ply_mm"] = chance.choice([0.3, 0.4, 1.1])
    if chance.random() < 0.35:
        along, across = (f"{chance.choice([64, 90, 160, 333.3, 640])} mm" for _ in range(2))
        cloth["repeat"] = along if chance.random() < 0.5 else [along, across]
    if chance.random() < 0.3:
        cloth["nature"] = chance.choice(["slippery", "sheer", "crisp"])
    lengths = chance.choice([0, 0, 1, 1, 2, 3])
    if lengths:
        cloth["lengths"] = [f"{chance.choice([1.5, 2.75, 3.6, 5.5])} m" for _ in range(lengths)]
    if chance.random() < 0.35:
        cloth["flaws"] = [_flaw(chance, max(1, lengths)) for _ in range(chance.randrange(1, 4))]
    return cloth


def _flaw(chance: Random, lengths: int) -> dict[str, Any]:
    told = {
        "x": chance.randrange(0, 1800),
        "y": chance.randrange(0, 880),
        "along": chance.choice([5, 30, 200]),
        "across": chance.choice([5, 60]),
    }
    return {**{key: f"{mm} mm" for key, mm in told.items()}, "length": 1 + chance.randrange(lengths)}


def judged(seed: int, trials: int = 40) -> Verdict:
    """The order drafted and laid; every fault that the checkers find, a crash among them."""
    card, fold = made_order(seed)
    plan = fold or "recommended"
    try:
        order = order_from(card, f"order {seed}")
        garment = garment_of(order)
        if seed % 3 == 0:
            _with_motif(card, garment, Random(seed))
            order = order_from(card, f"order {seed}")
        lay = lay_of(order, garment, fold, Budget(trials, seed), search_tools(), LIGHTS[seed % len(LIGHTS)])
    except TableError as refusal:
        if not all((refusal.what, refusal.why, refusal.next_step)):
            return Verdict("faulty", plan, (f"refused without words: {refusal!r}",))
        return Verdict("refused", plan, (f"{refusal.what} {refusal.why} {refusal.next_step}",))
    except Exception as crash:  # any other exception is a fault of ours, told with the order that met it
        where = traceback.extract_tb(crash.__traceback__)[-1]
        return Verdict("faulty", plan, (f"{type(crash).__name__}: {crash} ({where.name}, line {where.lineno})",))
    return Verdict(*_found(told(lay), told(garment), card["cloth"]["main"], "motif" in card))


def _found(lay: dict[str, Any], pieces: dict[str, Any], cloth: Mapping[str, Any], has_motif: bool) -> tuple[str, str, tuple[str, ...]]:
    """With a motif the rows start elsewhere than the checker's, at which curved sides part: then the print is not judged here."""
    spots = [
        {key: float(str(value).split()[0]) for key, value in flaw.items()} | {"bundle": flaw["length"] - 1}
        for flaw in cloth.get("flaws", ())
    ]
    found = faults(lay, pieces, flaws_on_plies(lay, spots))
    for one in (lay, *lay["others"].values()):
        found += unfolded_faults(one)
    if "repeat" in cloth and not has_motif:
        repeats = cloth["repeat"] if isinstance(cloth["repeat"], list) else [cloth["repeat"], "0 mm"]
        along, across = (float(text.split()[0]) for text in repeats)
        found += print_faults(lay, pieces, (along, across))
    return ("faulty" if found else "laid", lay["fold"]["plan"], tuple(found))


def main() -> None:
    """Orders FIRST to LAST, one line each."""
    first, last = int(sys.argv[1]), int(sys.argv[2])
    kinds: Counter[str] = Counter()
    for seed in range(first, last):
        begun = process_time()
        verdict = judged(seed)
        kinds[verdict.kind] += 1
        sys.stdout.write(f"{seed} {verdict.kind} {verdict.plan} {process_time() - begun:.1f} s {'; '.join(verdict.words)[:400]}\n")
        sys.stdout.flush()
    sys.stdout.write(f"{dict(kinds)}\n")


if __name__ == "__main__":
    main()


__all__ = ["Verdict", "judged", "made_order"]
