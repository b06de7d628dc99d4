"""Everything that can be asked of the session, grouped by what she does. Adding one: a row here and its change in change.py."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Literal

Group = Literal["what I see", "where it lies", "next", "table", "the lay"]


@dataclass(frozen=True, slots=True)
class Command:
    """One thing asked. `from_step`: the step (from 0) it was asked at; next, back and done are ignored from any other."""

    name: str
    args: Mapping[str, float | str | bool] = field(default_factory=dict)
    from_step: int | None = None


@dataclass(frozen=True, slots=True)
class Offer:
    """One row of the table: `words` on the button, `key` on the keyboard, `args` with what each one holds."""

    name: str
    group: Group
    words: str
    key: str = ""
    args: Mapping[str, str] = field(default_factory=dict)


OFFERS: tuple[Offer, ...] = (
    Offer("allowances", "what I see", "allowances", "a"),
    Offer("sewing_lines", "what I see", "sewing lines", "s"),
    Offer("marks", "what I see", "marks", "m"),
    Offer("labels", "what I see", "labels", "l"),
    Offer("cloth", "what I see", "cloth", "k"),
    Offer("body_lines", "what I see", "body lines", "y"),
    Offer("grid", "what I see", "50 mm grid", "g"),
    Offer("long_line", "what I see", "long line", "t"),
    Offer("bold", "what I see", "dark cloth: bolder lines", "i"),
    Offer("light_off", "what I see", "light off", "b"),
    Offer("plain_light", "what I see", "plain light", "p"),
    Offer("colour", "what I see", "colour", "c", {"to": "yellow, white, green, cyan; left out: the next one"}),
    Offer("help", "what I see", "help", "h"),
    Offer("move", "where it lies", "move a little", "arrows", {"dx_mm": "towards her right", "dy_mm": "away from her"}),
    Offer("turn", "where it lies", "turn", "q w", {"deg": "counter-clockwise"}),
    Offer("mirror", "where it lies", "mirror", "x"),
    Offer("align", "where it lies", "put the light on the cloth", "o"),
    Offer("fix", "where it lies", "the cross is true", "enter"),
    Offer("bumped", "where it lies", "the cloth moved", "u"),
    Offer("leave", "where it lies", "leave this", "backspace"),
    Offer("next", "next", "next", "n"),
    Offer("back", "next", "back", "page up"),
    Offer("done", "next", "done", "page down"),
    Offer("number", "next", "next tape number", "tab"),
    Offer("longer", "next", "this number larger", "4"),
    Offer("shorter", "next", "this number smaller", "3"),
    Offer("go", "next", "show step", "", {"step": "from 0"}),
    Offer("code", "table", "code for the phone", "1"),
    Offer("new_code", "table", "new code: other phones out", "2"),
    Offer("numbers", "table", "number the displays"),
    Offer("projector", "table", "throw on display", "", {"display": "1 for the first; the demonstration leaves the screen"}),
    Offer("set_up", "table", "before the first photograph", "5"),
    Offer("frame", "table", "frame to photograph", "f"),
    Offer("read_photographs", "table", "read the photographs", "d"),
    Offer("proof", "table", "check with tape", "r", {"mm": "length wanted; left out: the longest that fits"}),
    Offer("taped", "table", "my tape reads", "", {"as_read": "51 1/4 in her unit, or with a unit", "mm": "or in mm"}),
    Offer("spots", "table", "crosses on the table spots", "v"),
    Offer("spots_true", "table", "all crosses are true", "z"),
    Offer("shadow", "table", "shadow test", "j"),
    Offer("error", "table", "how true is it?", "e"),
    Offer("worker_side", "table", "where I stand", "", {"to": "bottom, right, top, left"}),
    Offer("lens_side", "table", "where the lamp is", "", {"to": "bottom, right, top, left"}),
    Offer("cutting_hand", "table", "my cutting hand", "", {"to": "right, left"}),
)
DESKS = ("code", "new_code", "longer", "shorter", "taped", "spots_true", "numbers", "projector", "read_photographs")
"""Commands that need more than the snapshot: table, photographs, displays. The desk does them."""

BY_NAME: Mapping[str, Offer] = {offer.name: offer for offer in OFFERS}
