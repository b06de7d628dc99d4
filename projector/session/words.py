"""Every word that stands around a step on the table, in English; the step's own come from steps/words.py in her language."""

from collections.abc import Mapping

WORDS: Mapping[str, str] = {
    "stop": "STOP",
    "no_table": "no table set up yet",
    "nothing_taped": "lay your tape on this line",
    "wrong_display": "this picture is not shown at true size",
    "check": "CHECK WITH TAPE",
    "ready": "READY",
    "demonstration": "demonstration",
    "demonstration_not_full": "a demonstration is never thrown on a table",
    "display_changed": "a display was pulled or changed",
    "shown": "{length} shown",
    "of": "of {of}",
    "layers": "{n} layers",
    "layer": "1 layer",
    "allowances_off": "allowances off: do not cut",
    "cloth_unsure": "put the light on the cut edges first",
    "cross_here": "move this cross onto the cloth",
    "cross_spot": "move each cross onto its spot",
    "press_help": "H help",
    "loading": "one moment",
    "code": "photograph this with your phone",
    "code_network": "in the same network as this table",
    "fold_corner": "fold corner",
    "fold_edge": "along the fold",
    "cut_edge": "cut edge",
    "pin_here": "pin here",
    "pinned": "pinned mark",
    "shadow": "can you see the line ahead of your shears?",
    "lamp_here": "the lamp: arrow keys",
    "falls_here": "your shadow",
    "hand": "cutting hand: {hand} (q w); next goes on",
    "hand_left": "left",
    "hand_right": "right",
    "set_up": "before the first photograph",
    "set_up_warm": "lamp on for 15 minutes",
    "set_up_keystone": "auto-keystone off",
    "set_up_zoom": "zoom and picture correction off",
    "set_up_size": "its own size: {w} x {h}",
    "set_up_firm": "lamp firm, nothing swings",
    "set_up_on": "F throws the frame",
    "now_tape": "lines true to {mm} mm; now your tape",
    "error_thin": "everywhere thinner than a chalk line (0.3 mm)",
    "error_thick": "wider than a chalk line (0.3 mm) in places",
    "error_title": "how true: circles {times} times larger",
    "help_title": "keys",
    "next_piece": "next piece: {piece}",
}


def word(key: str, **values: object) -> str:
    """The words for `key` with its values filled in; an unknown key is a defect of ours."""
    return WORDS[key].format(**values)
