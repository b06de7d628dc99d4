"""apply(snapshot, work, command) -> snapshot, or a refusal in three sentences. No clock, no files, no screen."""

from collections.abc import Callable, Mapping
from dataclasses import replace
from typing import Any, TypeVar

from calibration.errors import Refused, WrongInput
from projector.session.commands import BY_NAME, Command
from projector.session.place import (
    TWO_POINTS_MAY_DIFFER_MM,
    align_points,
    at_step,
    has_cuts,
    middle_of_light,
    moved,
    side_towards,
    table_from_worker,
    through_two_points,
    turned_about,
)
from projector.session.snapshot import COLOURS, HANDS, SIDES, Message, Mode, See, Snapshot, TableSummary, Work

Args = Mapping[str, float | str | bool]
C = TypeVar("C", bound=str)
LARGEST_MOVE_MM = 2000.0
LARGEST_NUMBER = 1e6
"""Nothing at a table is larger: a kilometre in mm; a whole number of any length is refused before it is computed with."""


class NotNow(Refused):
    """Asked at a time when it would do harm or nothing."""


def number_in(args: Mapping[str, Any], name: str, default: float | None = None, told_as: str = "") -> float:
    """A number that comes with a command. `told_as`: what it is called to her, else its name. Raises WrongInput."""
    value = args.get(name, default)
    if isinstance(value, bool) or not isinstance(value, int | float) or not abs(value) < LARGEST_NUMBER:
        raise WrongInput(f"{told_as or name} is not a number.", f"{str(value)[:40]} was given.", "Give a number.")
    return float(value)


def _choice(args: Args, among: tuple[C, ...]) -> C:
    wanted = args.get("to")
    for each in among:
        if each == wanted:
            return each
    raise WrongInput(f"{wanted!r} is not one of the choices.", f"They are {', '.join(among)}.", "Choose one of them.")


def _note(snapshot: Snapshot, what: str) -> Snapshot:
    return replace(snapshot, message=Message("note", what))


# What I see ------------------------------------------------------------------------------------------------------------
def _toggle(name: str) -> Callable[[Snapshot, Work, Args], Snapshot]:
    def change(snapshot: Snapshot, work: Work, args: Args) -> Snapshot:
        wanted = args.get("on", not getattr(snapshot.see, name))
        if not isinstance(wanted, bool):
            raise WrongInput(f"{name} is on or off.", f"{wanted!r} was given.", "Give true or false.")
        changes: dict[str, bool] = {name: wanted}
        return replace(snapshot, see=replace(snapshot.see, **changes))  # type: ignore[arg-type]

    return change


def _light_off(snapshot: Snapshot, work: Work, args: Args) -> Snapshot:
    return replace(snapshot, see=replace(snapshot.see, light="lines" if snapshot.see.light == "off" else "off"))


def _plain_light(snapshot: Snapshot, work: Work, args: Args) -> Snapshot:
    return replace(snapshot, see=replace(snapshot.see, light="lines" if snapshot.see.light == "plain" else "plain"))


def _colour(snapshot: Snapshot, work: Work, args: Args) -> Snapshot:
    after = COLOURS[(COLOURS.index(snapshot.colour) + 1) % len(COLOURS)]
    return replace(snapshot, colour=_choice(args, COLOURS) if "to" in args else after)


def _help(snapshot: Snapshot, work: Work, args: Args) -> Snapshot:
    return replace(snapshot, is_help=not snapshot.is_help)


# Where it lies ---------------------------------------------------------------------------------------------------------
def _move(snapshot: Snapshot, work: Work, args: Args) -> Snapshot:
    dx, dy = number_in(args, "dx_mm", 0.0), number_in(args, "dy_mm", 0.0)
    if max(abs(dx), abs(dy)) > LARGEST_MOVE_MM:
        raise WrongInput("That move is off the table.", f"{max(abs(dx), abs(dy)):.0f} mm was asked.", "Move by less than 2 m.")
    by = table_from_worker(snapshot, dx, dy)
    if snapshot.mode == "shadow":  # the lamp is told by the arrow that points to it
        return replace(snapshot, lens_side=side_towards(by)) if by != (0.0, 0.0) else snapshot
    if snapshot.mode == "align" and snapshot.align is not None:
        table = snapshot.align.table
        second = (table[1][0] + by[0], table[1][1] + by[1])
        first = (table[0][0] + by[0], table[0][1] + by[1]) if snapshot.align.at == 0 else table[0]
        return replace(snapshot, align=replace(snapshot.align, table=(first, second)))
    if snapshot.mode == "spots" and snapshot.spot < len(snapshot.spot_moves):
        moves = list(snapshot.spot_moves)
        x, y = moves[snapshot.spot]
        moves[snapshot.spot] = (x + by[0], y + by[1])
        return replace(snapshot, spot_moves=tuple(moves))
    return replace(snapshot, cloth_at=moved(snapshot.cloth_at, by))


def _turn(snapshot: Snapshot, work: Work, args: Args) -> Snapshot:
    if snapshot.mode == "shadow":
        return replace(snapshot, cutting_hand="left" if number_in(args, "deg") > 0.0 else "right")
    return replace(snapshot, cloth_at=turned_about(snapshot.cloth_at, number_in(args, "deg"), middle_of_light(snapshot)))


def _mirror(snapshot: Snapshot, work: Work, args: Args) -> Snapshot:
    if work.mirror_refusal:
        raise NotNow("This lay cannot lie mirrored.", work.mirror_refusal, "Turn the folded cloth itself over instead.")
    if work.steps and has_cuts(snapshot, work, snapshot.step):
        raise NotNow("The lay stays as it lies.", "Something is already cut on this cloth.", "Move or turn it instead.")
    return replace(snapshot, cloth_at=replace(snapshot.cloth_at, mirrored=not snapshot.cloth_at.mirrored))


def _align(snapshot: Snapshot, work: Work, args: Args) -> Snapshot:
    align = align_points(snapshot, work)
    if align is None:
        raise NotNow("There is nothing to put the light on.", "This step has no fold and no cut edge in the light.", "Move it by keys.")
    return replace(snapshot, mode="align", align=align, is_help=False)


def _fix(snapshot: Snapshot, work: Work, args: Args) -> Snapshot:
    if snapshot.mode == "spots":
        count = max(1, len(snapshot.spot_moves))
        return replace(snapshot, spot=(snapshot.spot + 1) % count)
    if snapshot.mode != "align" or snapshot.align is None:
        raise NotNow("No cross is being moved.", "This belongs to putting the light on the cloth.", "Choose that first.")
    if snapshot.align.at == 0:
        return replace(snapshot, align=replace(snapshot.align, at=1))
    at, longer = through_two_points(snapshot.cloth_at, snapshot.align.cloth, snapshot.align.table)
    placed = replace(snapshot, cloth_at=at, align=None, mode="steps", is_cloth_true=True)
    if snapshot.align.purpose != "place" and abs(longer) > TWO_POINTS_MAY_DIFFER_MM:
        told = "farther apart" if longer > 0 else "nearer together"
        return _note(placed, f"The two points are {abs(longer):.0f} mm {told} than in the lay: look at both again.")
    return placed


def _bumped(snapshot: Snapshot, work: Work, args: Args) -> Snapshot:
    """The cloth may have moved: with cuts made only the outline already cut is thrown, thin, until two points are put on it."""
    if not work.steps or not has_cuts(snapshot, work, snapshot.step):
        return _note(snapshot, "Nothing is cut yet: put the light on the fold again.")
    return _align(replace(snapshot, is_cloth_true=False), work, args)


def _leave(snapshot: Snapshot, work: Work, args: Args) -> Snapshot:
    return replace(snapshot, mode="steps", align=None, spot_moves=(), spot=0, code="", is_help=False)


# Next ------------------------------------------------------------------------------------------------------------------
def _passed(snapshot: Snapshot, work: Work) -> Snapshot | None:
    """A foot switch goes on from what is shown once at the first set-up; no step is passed by it. None: the work itself is shown."""
    if snapshot.mode == "setup":
        return _frame(snapshot, work, {})
    return _leave(snapshot, work, {}) if snapshot.mode == "shadow" else None


def _next(snapshot: Snapshot, work: Work, args: Args) -> Snapshot:
    if (passed := _passed(snapshot, work)) is not None:
        return passed
    if snapshot.step + 1 >= len(work.steps):
        return _note(snapshot, "This is the last step.")
    left = work.steps[snapshot.step]
    shown = at_step(_code_off(snapshot), work, snapshot.step + 1)
    if left.is_fact and snapshot.step not in snapshot.done:
        return _note(shown, f"Step {snapshot.step + 1} is not marked done.")
    return shown


def _back(snapshot: Snapshot, work: Work, args: Args) -> Snapshot:
    if snapshot.step == 0:
        return _note(snapshot, "This is the first step.")
    return at_step(_code_off(snapshot), work, snapshot.step - 1)


def _code_off(snapshot: Snapshot) -> Snapshot:
    """The code gives way to the work: who presses next needs no phone."""
    return replace(snapshot, mode="steps", code="") if snapshot.mode == "code" else snapshot


def _done(snapshot: Snapshot, work: Work, args: Args) -> Snapshot:
    """Mark this step done and show the next. A cut is a fact: nothing takes it back."""
    if (passed := _passed(snapshot, work)) is not None:
        return passed
    if not work.steps:
        raise NotNow("There is no step.", "No order is on the table.", "Choose an order first.")
    step = work.steps[snapshot.step]
    if step.is_fact and snapshot.step not in snapshot.done:
        _refuse_unseen(snapshot)
    marked = replace(_code_off(snapshot), done=tuple(sorted({*snapshot.done, snapshot.step})))
    if snapshot.step + 1 >= len(work.steps):
        return _note(marked, "All steps are done.")
    return at_step(marked, work, snapshot.step + 1)


def _refuse_unseen(snapshot: Snapshot) -> None:
    """A cut cannot be done by a line that was not thrown."""
    if snapshot.state == "stop":
        raise NotNow("This cut is not marked done.", "The table says STOP, so no cut line was thrown.", "Calibrate or tape the line.")
    if not snapshot.is_cloth_true:
        raise NotNow("This cut is not marked done.", "The light is not yet on the real cut edges.", "Put the two crosses on them.")
    if snapshot.mode != "steps":
        raise NotNow("This cut is not marked done.", "Another picture is in the light, so no cut line was thrown.", "Leave it first.")
    if not snapshot.see.allowances:
        raise NotNow("This cut is not marked done.", "Allowances are off, so no cut line was thrown.", "Switch allowances on.")


def _number_chosen(snapshot: Snapshot, work: Work, args: Args) -> Snapshot:
    """The next number of this tape check, for the keys that change it."""
    count = len(work.steps[snapshot.step].tapes) if work.steps else 0
    if not count:
        raise NotNow("This step has no number to change.", "It is no tape check.", "Go to a tape check.")
    return replace(snapshot, tape=(snapshot.tape + 1) % count)


def _go(snapshot: Snapshot, work: Work, args: Args) -> Snapshot:
    index = int(number_in(args, "step"))
    if not 0 <= index < len(work.steps):
        raise WrongInput(f"There is no step {index + 1}.", f"This order has {len(work.steps)} steps.", "Choose one of them.")
    return at_step(snapshot, work, index)


# Table -----------------------------------------------------------------------------------------------------------------
def _mode(mode: Mode) -> Callable[[Snapshot, Work, Args], Snapshot]:
    def change(snapshot: Snapshot, work: Work, args: Args) -> Snapshot:
        if snapshot.mode == mode and "mm" not in args:
            return _leave(snapshot, work, args)
        return replace(snapshot, mode=mode, align=None, is_help=False)

    return change


_frame = _mode("frame")


def _proof(snapshot: Snapshot, work: Work, args: Args) -> Snapshot:
    if snapshot.table is None:
        raise NotNow("There is no line to tape yet.", "No photograph has been worked out.", "Photograph the frame on the sheets first.")
    return replace(_mode("proof")(snapshot, work, args), proof_mm=number_in(args, "mm", 0.0))


def _spots(snapshot: Snapshot, work: Work, args: Args) -> Snapshot:
    if snapshot.table is None or not snapshot.table.spots:
        raise NotNow("No table spots are known.", "None were surveyed for this table.", "Stick them on, photograph them, survey.")
    shown = _mode("spots")(snapshot, work, args)
    return replace(shown, spot=0, spot_moves=((0.0, 0.0),) * len(snapshot.table.spots))


def _side(name: str) -> Callable[[Snapshot, Work, Args], Snapshot]:
    def change(snapshot: Snapshot, work: Work, args: Args) -> Snapshot:
        wanted: dict[str, Any] = {name: _choice(args, SIDES)}
        return replace(snapshot, **wanted)

    return change


def _hand(snapshot: Snapshot, work: Work, args: Args) -> Snapshot:
    return replace(snapshot, cutting_hand=_choice(args, HANDS))


Change = Callable[[Snapshot, Work, Args], Snapshot]
CHANGES: Mapping[str, Change] = {
    **{name: _toggle(name) for name in See.__dataclass_fields__ if name != "light"},
    "light_off": _light_off, "plain_light": _plain_light, "colour": _colour, "help": _help,
    "move": _move, "turn": _turn, "mirror": _mirror, "align": _align, "fix": _fix, "bumped": _bumped, "leave": _leave,
    "next": _next, "back": _back, "done": _done, "go": _go, "number": _number_chosen,
    "set_up": _mode("setup"), "frame": _frame, "proof": _proof, "spots": _spots, "shadow": _mode("shadow"), "error": _mode("error"),
    "worker_side": _side("worker_side"), "lens_side": _side("lens_side"), "cutting_hand": _hand,
}  # fmt: skip
"""Commands that change the snapshot alone; `taped` needs the table itself and is the desk's."""

STEPPING = ("next", "back", "done")


def told(snapshot: Snapshot, work: Work) -> Snapshot:
    """The snapshot with the words of its step filled in."""
    if not work.steps:
        return replace(snapshot, order=work.order, unit=work.unit, of=0, step=0)
    step = work.steps[snapshot.step]
    return replace(
        snapshot, order=work.order, unit=work.unit, of=len(work.steps), title=step.title, say=step.say, op=step.op
    )  # fmt: skip


def apply(snapshot: Snapshot, work: Work, command: Command) -> Snapshot:
    """The snapshot after one command; the same one when nothing changed (a pedal that bounced).

    Raises WrongInput for an unknown command or value, NotNow when it would do harm or nothing.
    """
    if command.name not in CHANGES:
        near = ", ".join(sorted(name for name in BY_NAME if name[:1] == command.name[:1]))
        raise WrongInput(f"{command.name!r} is not known.", f"Near it are: {near or 'none'}.", "Choose from the list of commands.")
    if command.name in STEPPING and command.from_step is not None and command.from_step != snapshot.step:
        return snapshot
    changed = CHANGES[command.name](replace(snapshot, message=None), work, command.args)
    changed = told(changed, work)
    return replace(changed, number=snapshot.number + 1) if changed != snapshot else snapshot


def with_table(snapshot: Snapshot, table: TableSummary | None) -> Snapshot:
    """Another table, or the same one proved or moved. STOP reasons stay until they are taken away."""
    state = table.state if table and not snapshot.stop_reason else "stop"
    return replace(snapshot, table=table, state=state, number=snapshot.number + 1)


def with_stop(snapshot: Snapshot, reason: str) -> Snapshot:
    """STOP for a reason of the display or the lamp; an empty reason takes it away. The step is kept."""
    state = snapshot.table.state if snapshot.table and not reason else "stop"
    return replace(snapshot, stop_reason=reason, state=state, number=snapshot.number + 1)


def with_message(snapshot: Snapshot, message: Message | None, job: str | None = None) -> Snapshot:
    """A message, and the words of a running job where given."""
    return replace(snapshot, message=message, job=snapshot.job if job is None else job, number=snapshot.number + 1)
