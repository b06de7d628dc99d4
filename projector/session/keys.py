"""Which key asks for what. No pygame: names of keys as a person types them, checked before any window is there.

The keyboard's own keys stand in the table of commands (`Offer.key`); presenters and foot switches differ, so theirs are read from a
file and laid over them.
"""

from collections.abc import Mapping
from difflib import get_close_matches

from calibration.errors import WrongInput
from projector.session.commands import OFFERS

LETTERS = tuple("abcdefghijklmnopqrstuvwxyz0123456789")
NAMED = (
    "space", "enter", "escape", "backspace", "tab", "delete", "insert", "home", "end", "page up", "page down", "period", "comma", "minus",
    "plus", "slash", "keypad enter", "volume up", "volume down", *(f"f{number}" for number in range(1, 16)),
)  # fmt: skip
HELD = ("arrows", "q w")
"""Moving and turning: held keys with sizes of their own, not remapped."""
KEY_NAMES = (*LETTERS, *NAMED)
TAKEN = ("q", "w")
NEED_A_VALUE = ("move", "turn", "go", "projector", "taped", "worker_side", "lens_side", "cutting_hand")
COMMANDS = tuple(offer.name for offer in OFFERS if offer.name not in NEED_A_VALUE)
"""What a bare key can ask: everything that needs no value."""


def own_keys() -> dict[str, str]:
    """The program's own: key name to command."""
    return {offer.key: offer.name for offer in OFFERS if offer.key and offer.key not in HELD}


def checked_keys(read: Mapping[object, object], where: str) -> dict[str, str]:
    """What a file says of keys. An empty command (null, \"\") silences a key. Raises WrongInput with the nearest name."""
    return {
        _one(key, KEY_NAMES, "key", where): "" if command in (None, "") else _one(command, COMMANDS, "command", where)
        for key, command in read.items()
    }


def _one(value: object, among: tuple[str, ...], kind: str, where: str) -> str:
    name = str(value).strip().lower()
    if kind == "key" and name in TAKEN:
        raise WrongInput(f"{where}: {name} turns the light.", "Arrows, q and w are held keys.", "Choose another key.")
    if name not in among:
        near = get_close_matches(name, among, 3) or list(among[:3])
        told = str(value)[:40]
        raise WrongInput(f"{where}: there is no {kind} {told!r}.", f"Near it: {', '.join(near)}.", f"Choose a {kind} of the list.")
    return name


def keys_shown(keys: Mapping[str, str]) -> dict[str, str]:
    """Command to the one key that help tells for it: the program's own while it still asks for that, else the first of the file."""
    told = {command: key for key, command in reversed(list(keys.items())) if command}
    still = {command: key for key, command in own_keys().items() if keys.get(key, command) == command}
    held = {offer.name: offer.key for offer in OFFERS if offer.key in HELD}
    return {**told, **still, **held}
