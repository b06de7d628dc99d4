"""What she chooses: the style of one dress, its ranges and defaults, and the ease.

`style_from_mapping` is the one door: unknown keys and values are refused with the nearest known one, combinations that
cannot be sewn with the nearest that can.
"""

from collections.abc import Mapping, Sequence
from dataclasses import asdict, dataclass, fields, replace
from difflib import get_close_matches
from math import isfinite
from typing import Any, ClassVar, Literal, get_args

from calibration.errors import WrongInput

Neck = Literal["round", "v", "square", "boat"]
Princess = Literal["armhole", "shoulder", "none"]
Sleeve = Literal["none", "short", "elbow", "long", "puff", "flared", "flutter", "off_shoulder"]
Skirt = Literal["straight", "tapered", "a_line", "circle", "none"]
Zip = Literal["back", "side"]
EaseName = Literal["standard", "close", "roomy"]

SET_IN_SLEEVES: tuple[Sleeve, ...] = ("short", "elbow", "long", "puff", "flared")


@dataclass(frozen=True, slots=True)
class Ease:
    """Garment minus body, whole girths, mm; the cap is how much longer the sleeve head is than the armhole."""

    __pydantic_config__: ClassVar[dict[str, str]] = {"extra": "forbid"}

    bust_mm: float = 45.0
    waist_mm: float = 22.0
    hip_mm: float = 50.0
    sleeve_mm: float = 55.0
    cap_mm: float = 25.0


EASES: dict[str, Ease] = {
    # Bust 38-51, waist 19-25, hip 51-70 mm: Central Washington University costume text, chapter 16.
    "standard": Ease(),
    "close": Ease(bust_mm=22.0, waist_mm=12.0, hip_mm=32.0, sleeve_mm=50.0),  # common practice, no source
    "roomy": Ease(bust_mm=70.0, waist_mm=35.0, hip_mm=75.0, sleeve_mm=70.0),  # common practice, no source
}
EASE_RANGES_MM: dict[str, tuple[float, float]] = {
    "bust_mm": (12.0, 90.0),
    "waist_mm": (10.0, 50.0),
    "hip_mm": (25.0, 100.0),
    "sleeve_mm": (45.0, 110.0),
    "cap_mm": (0.0, 38.0),
}


@dataclass(frozen=True, slots=True)
class Style:
    """Every choice of one dress; `Style()` is the default style. Lengths in mm."""

    __pydantic_config__: ClassVar[dict[str, str]] = {"extra": "forbid"}

    neck: Neck = "round"
    neck_widen_mm: float = 0.0
    neck_drop_mm: float = 0.0
    back_neck_mm: float = 0.0
    inset: float | None = None
    """Depth of a second, shallower front neckline below the neck point, of another cloth behind a deep V."""
    princess: Princess = "armhole"
    sleeve: Sleeve = "none"
    skirt: Skirt = "straight"
    taper_mm: float = 25.4
    flare_mm: float = 80.0
    circle_turn: float = 1.0
    length: Literal["knee", "full"] | float = "knee"
    bodice: bool = True
    peplum_mm: float = 0.0
    lining: bool = True
    facings: bool = True
    zip: Zip = "back"
    ease: EaseName | Ease = "standard"
    fitted: bool = False
    """True once a fitting of this client is recorded: narrower allowances, the neck cut at its own line."""

    @property
    def eases(self) -> Ease:
        """The ease in mm, whichever way it was chosen."""
        return self.ease if isinstance(self.ease, Ease) else EASES[self.ease]

    @property
    def is_sleeved(self) -> bool:
        """A sleeve is set into the armhole."""
        return self.sleeve in SET_IN_SLEEVES

    @property
    def is_off_shoulder(self) -> bool:
        """The bodice ends above the bust in a band round both arms: no shoulder, no neckline."""
        return self.sleeve == "off_shoulder"

    def as_mapping(self) -> dict[str, Any]:
        """Back to the keys of an order; `style_from_mapping` of it gives the same style."""
        told = asdict(self)
        told["inset"] = "none" if self.inset is None else self.inset
        return told


RANGES_MM: dict[str, tuple[float, float]] = {
    "neck_widen_mm": (0.0, 90.0),
    "neck_drop_mm": (0.0, 160.0),
    "back_neck_mm": (0.0, 200.0),
    "taper_mm": (0.0, 40.0),
    "flare_mm": (30.0, 200.0),
}
"""Plain number keys with their range; 0 peplum means none."""

PEPLUM_RANGE_MM = (120.0, 220.0)
INSET_RANGE_MM = (40.0, 260.0)
LENGTH_RANGE_MM = (300.0, 1500.0)
CIRCLE_TURNS = (0.5, 0.75, 1.0)
OPTIONAL_MM: dict[str, tuple[float, float, float | str]] = {
    "peplum_mm": (*PEPLUM_RANGE_MM, 0.0),
    "inset": (*INSET_RANGE_MM, "none"),
    "length": (*LENGTH_RANGE_MM, "knee"),
}
"""Number keys that may also be left out: range, and what stands for none of it."""
BOAT_WIDEN_MM = 65.0

_WORDS: dict[str, tuple[str, ...]] = {
    "neck": get_args(Neck),
    "princess": get_args(Princess),
    "sleeve": get_args(Sleeve),
    "skirt": get_args(Skirt),
    "zip": get_args(Zip),
}
_SWITCHES = ("bodice", "lining", "facings", "fitted")
KEYS: tuple[str, ...] = tuple(field.name for field in fields(Style))

HELP: dict[str, str] = {
    "neck": "shape of the neckline",
    "neck_widen_mm": "how far both neck points move out along the shoulder",
    "neck_drop_mm": "how much lower than the neck's own root the front neck lies",
    "back_neck_mm": "how far below the neck bone the back neck lies",
    "inset": "depth of a second, shallower neckline of another cloth behind a deep V",
    "princess": "where the long front seams start; none: darts only",
    "sleeve": "the sleeve",
    "skirt": "shape of the skirt; none: blouse",
    "taper_mm": "how much narrower a quarter is at the knee than at the hip (tapered)",
    "flare_mm": "how much wider a quarter is at the hem than at the hip (a_line)",
    "circle_turn": "how much of a full circle the skirt is",
    "length": "to the knee, to the floor, or mm below the waist",
    "bodice": "with a bodice; false: skirt alone with a waistband",
    "peplum_mm": "length of a flared flounce at the waist",
    "lining": "with a lining",
    "facings": "necks and armholes faced; false: lined or bound to the edge",
    "zip": "where it opens",
    "ease": "how closely it fits",
    "fitted": "a fitting of this client is recorded",
}
"""One line each, in the trade's words, for the phone and the paper."""


def _nearest(word: str, known: Sequence[str]) -> str:
    close = get_close_matches(word.lower(), known, n=1, cutoff=0.0)
    return close[0] if close else known[0]


def _unknown_key(key: str, known: Sequence[str], place: str) -> WrongInput:
    return WrongInput(f"The {place} key {key!r} is not known.", f"Nearest is {_nearest(key, known)!r}.", f"Known keys: {', '.join(known)}.")


def _bad_value(key: str, value: object, known: str, nearest: object) -> WrongInput:
    return WrongInput(f"The style value {key}: {value!r} is not known.", f"It takes {known}.", f"Nearest: {key}: {nearest}.")


def _number(key: str, value: object) -> float:
    if isinstance(value, bool) or not isinstance(value, int | float | str):
        raise _bad_value(key, value, "a number of mm", "a plain number such as 40")
    try:
        number = float(value)
    except ValueError:
        raise _bad_value(key, value, "a number of mm", "a plain number such as 40") from None
    if not isfinite(number):
        raise _bad_value(key, value, "a number of mm", "a plain number such as 40")
    return number


def _in_range(key: str, value: object, low: float, high: float) -> float:
    number = _number(key, value)
    if not low <= number <= high:
        raise _bad_value(key, value, f"{low:g} to {high:g} mm", f"{min(max(number, low), high):g}")
    return number


def _word(key: str, value: object, known: Sequence[str]) -> str:
    if isinstance(value, str) and value in known:
        return value
    raise _bad_value(key, value, " | ".join(known), _nearest(str(value), known))


def _ease(value: object) -> EaseName | Ease:
    if isinstance(value, Ease):
        value = asdict(value)
    if not isinstance(value, Mapping):
        return _word("ease", value, tuple(EASES))  # type: ignore[return-value]
    for key in value:
        if key not in EASE_RANGES_MM:
            raise _unknown_key(str(key), tuple(EASE_RANGES_MM), "ease")
    return Ease(**{key: _in_range(f"ease {key}", given, *EASE_RANGES_MM[key]) for key, given in value.items()})


def _length(value: object) -> Literal["knee", "full"] | float:
    if value == "knee" or value == "full":
        return value
    if isinstance(value, str) and not value.replace(".", "", 1).isdigit():
        raise _bad_value("length", value, "knee | full | mm below the waist", _nearest(value, ("knee", "full")))
    return _in_range("length", value, *LENGTH_RANGE_MM)


def _turn(value: object) -> float:
    number = _number("circle_turn", value)
    if number not in CIRCLE_TURNS:
        raise _bad_value("circle_turn", value, "0.5 | 0.75 | 1", f"{min(CIRCLE_TURNS, key=lambda turn: abs(turn - number)):g}")
    return number


def _value(key: str, value: object) -> object:
    """One checked value of one known key."""
    if key in _WORDS:
        return _word(key, value, _WORDS[key])
    if key in RANGES_MM:
        return _in_range(key, value, *RANGES_MM[key])
    if key in _SWITCHES:
        if isinstance(value, bool):
            return value
        raise _bad_value(key, value, "true | false", "true" if str(value).lower() in {"yes", "on", "1", "true"} else "false")
    if key == "inset":
        return None if value in (None, "none") else _in_range(key, value, *INSET_RANGE_MM)
    if key == "peplum_mm":
        return 0.0 if value in (0, "0") and not isinstance(value, bool) else _in_range(key, value, *PEPLUM_RANGE_MM)
    return {"ease": _ease, "length": _length, "circle_turn": _turn}[key](value)


def _refuse(why: str, nearest: str) -> WrongInput:
    return WrongInput("This style cannot be sewn.", why, f"Nearest that can: {nearest}.")


def _check_together(style: Style) -> None:
    """Combinations no dressmaker can sew, each with the nearest that can be sewn."""
    if not style.bodice and style.skirt == "none":
        raise _refuse("Without bodice and without skirt nothing is left to cut.", "bodice: true, skirt: none (a blouse)")
    if not style.bodice and style.sleeve != "none":
        what = "An off-shoulder band has no top line" if style.is_off_shoulder else f"A {style.sleeve} sleeve has no armhole"
        raise _refuse(f"{what} without a bodice.", "bodice: false, sleeve: none")
    if not style.bodice and style.inset is not None:
        raise _refuse("An inset lies behind the neckline of a bodice.", "bodice: false, inset: none")
    if not style.bodice and style.peplum_mm:
        raise _refuse("A peplum is sewn to the waist of a bodice.", "bodice: false, peplum_mm: 0")
    if style.is_off_shoulder:
        _check_off_shoulder(style)
    if style.inset is not None and style.neck != "v":
        raise _refuse(f"An inset lies behind a deep V; this neck is {style.neck}.", f"neck: v, inset: {style.inset:g}")


NO_NECK: tuple[str, ...] = ("neck", "neck_widen_mm", "neck_drop_mm", "back_neck_mm", "inset")
"""Keys that say nothing where an off-shoulder band is."""


def _check_off_shoulder(style: Style) -> None:
    """There is no shoulder to reach and no neckline to shape."""
    if style.princess == "shoulder":
        raise _refuse(
            "An off-shoulder band leaves no shoulder for a princess seam to start from.", "sleeve: off_shoulder, princess: armhole"
        )
    plain = Style().as_mapping()
    for key in NO_NECK:
        if style.as_mapping()[key] != plain[key]:
            raise _refuse(
                f"An off-shoulder band leaves no neckline: {key} says nothing there.", f"sleeve: off_shoulder, {key}: {plain[key]}"
            )


def style_from_mapping(given: Mapping[str, Any]) -> Style:
    """The style of an order. `{}` is the default style.

    Raises WrongInput for an unknown key or value (names the nearest) and for what cannot be sewn together. A boat neck
    whose width is not given is widened by 65 mm, the middle of its range.
    """
    if not isinstance(given, Mapping):
        raise WrongInput(f"The style {given!r} cannot be read.", "Keys with values are wanted.", "For example neck: v, sleeve: long.")
    for key in given:
        if key not in KEYS:
            raise _unknown_key(str(key), KEYS, "style")
    checked: dict[str, Any] = {key: _value(key, value) for key, value in given.items()}
    style = replace(Style(), **checked)
    if style.neck == "boat" and "neck_widen_mm" not in given:
        style = replace(style, neck_widen_mm=BOAT_WIDEN_MM)
    _check_together(style)
    return style
