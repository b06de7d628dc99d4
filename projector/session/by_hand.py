"""The lay in her hand: apply_by_hand(in_hand, work, command) -> the lay in hand after it, or a refusal in three sentences.

Pure, as `change.apply`: what was done is a list of commands, so that a journal of them gives the same lay again.
"""

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace

from calibration.errors import WrongInput
from calibration.units import Unit, length_text
from projector.garment.pieces import Piece
from projector.lay.again import eased
from projector.lay.by_hand import flipped, into_region, moved, place_of, renewed, turned
from projector.lay.cloth import Cloth, Light
from projector.lay.lay import Lay
from projector.lay.realise import faults_of
from projector.lay.stage import cloth_named
from projector.session.commands import Command

Args = Mapping[str, float | str | bool]
MOST_UNDONE = 50
LARGEST_MOVE_MM = 5000.0
SHORT_MM = 1.0
"""Cloth in hand is measured no closer."""
SIDES = {"x0": "the cut end", "x1": "the far end", "y0": "the near edge", "y1": "the far edge"}
_BESIDE = re.compile(r"from (x0|x1|y0|y1) of \S+?,")


@dataclass(frozen=True, slots=True)
class HandWork:
    """What the commands act on beside the lay: pieces by name, the order's cloths, the light, her unit."""

    pieces: Mapping[str, Piece]
    cloths: Mapping[str, Cloth]
    light: Light
    unit: Unit = "cm"


@dataclass(frozen=True, slots=True)
class Stood:
    """One state of the lay: `locked` names pieces that stay; `wrong`: what forbids cutting it, in words."""

    lay: Lay
    locked: frozenset[str] = frozenset()
    wrong: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class InHand:
    """The lay now, and what it was before each command, newest last."""

    now: Stood
    past: tuple[Stood, ...] = ()


def live_check(lay: Lay, work: HandWork) -> tuple[str, ...]:
    """What forbids cutting this lay: pieces too near, off the cloth, cloth in hand that does not reach; () when nothing does."""
    wrong = [_BESIDE.sub(lambda found: f"from {SIDES[found[1]]},", fault) for one in lay.lays for fault in faults_of(one)]
    return (*dict.fromkeys(wrong), *(fault for one in lay.lays for fault in _short(one, work)))


def _short(one: Lay, work: HandWork) -> list[str]:
    """Cloth in hand that does not reach: each length by itself."""
    named = work.cloths.get(one.cloth.name)
    if named is None or not named.lengths_mm:
        return []
    reach = {region.bundle: max(ply.x[1] for ply in region.ply) for region in one.regions}
    return [
        f"{one.cloth.name}: {length_text(far - named.lengths_mm[bundle], work.unit)} too short."
        for bundle, far in reach.items()
        if far > named.lengths_mm[bundle] + SHORT_MM
    ]


def taken_in_hand(lay: Lay, work: HandWork) -> InHand:
    """A lay before anything was done to it."""
    return InHand(Stood(lay, wrong=live_check(lay, work)))


def apply_by_hand(in_hand: InHand, work: HandWork | None, command: Command) -> InHand:
    """The lay in hand after one command; the same one when nothing changed. `work`: only LOCAL commands go without.

    Raises WrongInput for an unknown command, cloth, piece or value and for a locked piece, NotByHand for what would spoil the
    print or a hand.
    """
    if command.name == "lay_undo":
        return InHand(in_hand.past[-1], in_hand.past[:-1]) if in_hand.past else in_hand
    if command.name == "lay_lock":
        return _after(in_hand, _lock(in_hand.now, command.args))
    if command.name not in CHANGES:
        known = ", ".join([*CHANGES, *LOCAL])
        raise WrongInput(f"{command.name[:40]!r} cannot be done by hand.", f"There are {known}.", "Choose one of them.")
    if work is None:
        raise AssertionError(f"{command.name} needs the pieces")
    lays = {in_hand.now.lay.cloth.name: in_hand.now.lay, **in_hand.now.lay.others}
    name = str(command.args.get("cloth", in_hand.now.lay.cloth.name))
    if name not in lays:
        raise WrongInput(f"There is no cloth {name[:40]!r} in this lay.", f"There are {', '.join(lays)}.", "Lay it again.")
    moved_so = CHANGES[command.name](lays[name], in_hand.now.locked, work, command.args)
    changed = renewed(moved_so, cloth_named(work.cloths, name), work.light, work.pieces)
    whole = _with_cloth(in_hand.now.lay, name, changed)
    return _after(in_hand, Stood(whole, in_hand.now.locked, live_check(whole, work)))


def _after(in_hand: InHand, now: Stood) -> InHand:
    return in_hand if now == in_hand.now else InHand(now, (*in_hand.past[1 - MOST_UNDONE :], in_hand.now))


def _with_cloth(whole: Lay, name: str, changed: Lay) -> Lay:
    """The lay of all cloths with one of them changed."""
    if name == whole.cloth.name:
        return replace(changed, others=whole.others)
    return replace(whole, others={key: changed if key == name else one for key, one in whole.others.items()})


def _lock(stood: Stood, args: Args) -> Stood:
    """A piece locked where it lies, or let go."""
    piece = str(args.get("piece", ""))
    placed = {each.piece for one in stood.lay.lays for each in one.placed}
    if piece not in placed:
        raise WrongInput(f"There is no piece {piece[:40]!r}.", f"There are {', '.join(sorted(placed))}.", "Choose one of them.")
    return replace(stood, locked=stood.locked ^ {piece})


def _mm(args: Args, name: str) -> float:
    value = args.get(name, 0.0)
    if isinstance(value, bool) or not isinstance(value, int | float) or not abs(value) <= LARGEST_MOVE_MM:
        raise WrongInput("That is no way to move.", f"{str(value)[:40]} was asked.", f"Give mm, at most {LARGEST_MOVE_MM:.0f}.")
    return float(value)


def _number(one: Lay, locked: frozenset[str], args: Args) -> int:
    """The placed piece that is meant. Raises WrongInput for one that is not there or is locked."""
    number = args.get("number", 0)
    if isinstance(number, bool) or not isinstance(number, int):
        raise WrongInput("That is no piece's number.", f"{str(number)[:40]} was given.", "Give a whole number, from 0.")
    piece = place_of(one, number).piece
    if piece in locked:
        raise WrongInput(f"{piece} is locked.", "It stays where it lies.", "Unlock it first.")
    return number


def _other_stack(one: Lay, number: int) -> Lay:
    """The piece in the next stack of as many layers, at its near corner. Raises WrongInput where there is one stack only."""
    placed = place_of(one, number)
    here = next(n for n, region in enumerate(one.regions) if region.id == placed.region)
    others = [region for region in (*one.regions[here + 1 :], *one.regions[:here]) if len(region.ply) == len(one.regions[here].ply)]
    if not others:
        raise WrongInput("There is one stack only.", "No other has as many layers.", "Lay it with another fold.")
    there = others[0]
    return into_region(one, number, there, (there.x[0] + one.cloth.end_mm, there.y[0]))


def _flip(one: Lay, number: int, work: HandWork) -> Lay:
    name = one.placed[number].piece
    if name not in work.pieces:
        raise WrongInput(f"{name} is not a piece of this dress any more.", "The dress was changed since.", "Lay it again.")
    return flipped(one, number, work.pieces[name])


Change = Callable[[Lay, frozenset[str], HandWork, Args], Lay]
CHANGES: Mapping[str, Change] = {
    "lay_move": lambda one, locked, work, args: moved(one, _number(one, locked, args), _mm(args, "dx_mm"), _mm(args, "dy_mm")),
    "lay_turn": lambda one, locked, work, args: turned(one, _number(one, locked, args)),
    "lay_flip": lambda one, locked, work, args: _flip(one, _number(one, locked, args), work),
    "lay_stack": lambda one, locked, work, args: _other_stack(one, _number(one, locked, args)),
    "lay_tidy": lambda one, locked, work, args: eased(one, locked),
}
LOCAL = ("lay_lock", "lay_undo")
"""Commands that compute nothing: the desk's own loop may do them."""
