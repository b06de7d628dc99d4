"""Cloth: as typed on the order (`ClothCard`) and in millimetres (`Cloth`). Pure; checked once when built."""

from dataclasses import dataclass
from typing import Any, ClassVar, Literal

from calibration.errors import WrongInput
from calibration.units import MM_PER_INCH, Unit, mm_from_text
from projector.lay.lay import Up

Text = str | float | int
Nature = Literal["crisp", "slippery", "sheer", "stretch"]
Per = Literal["metre", "yard"]
CREEPING: tuple[Nature, ...] = ("slippery", "sheer")
"""Cloth that creeps under the blade and layer over layer: cut in one layer, with a wider gap."""

SELVEDGE_MM = 10.0
"""Trim of each selvedge: common practice, no source."""
GAP_MM = 4.0
"""Between two cut lines: one pass of the shears without nicking the neighbour. Common practice, no source."""
LOOSE_GAP_MM = 8.0
"""Slippery and sheer cloth creeps under the blade: twice the gap. Common practice, no source."""
END_MM = 10.0
"""End safety of a lay: 1 cm each end (Industrial Cutting of Textile Materials, p. 31)."""
PLY_MM = 0.4
"""Thickness of one layer of printed cotton, about (common practice, no source); wax print 0.3, velvet 1 and more."""

_EXTRA_UNITS = {"yd": 36 * MM_PER_INCH, "yds": 36 * MM_PER_INCH, "yard": 36 * MM_PER_INCH, "yards": 36 * MM_PER_INCH, "m": 1000.0}


@dataclass(frozen=True, slots=True)
class Flaw:
    """A fault in the cloth, on its own face: x from the cut end, y from the left selvedge, width with its x. mm."""

    bundle: int
    x_mm: float
    y_mm: float
    along_mm: float
    across_mm: float


@dataclass(frozen=True, slots=True)
class Cloth:
    """One cloth of the order in mm, as it will be cut (after shrinking).

    `width_mm`: the least of the places measured. `lengths_mm`: the lengths in hand, () when still to be bought.
    `shrinks_*`: fractions still to come off what the shop sells, 0 when washed. `price`: per metre or yard.
    """

    name: str
    width_mm: float
    lengths_mm: tuple[float, ...] = ()
    up: Up = "none"
    selvedge_mm: float = SELVEDGE_MM
    gap_mm: float = GAP_MM
    end_mm: float = END_MM
    ply_mm: float = PLY_MM
    repeat_along_mm: float = 0.0
    repeat_across_mm: float = 0.0
    nature: tuple[Nature, ...] = ()
    shrinks_along: float = 0.0
    shrinks_across: float = 0.0
    flaws: tuple[Flaw, ...] = ()
    price: float = 0.0
    price_per: Per = "metre"
    currency: str = ""

    @property
    def usable_mm(self) -> float:
        """Width without its selvedges."""
        return self.width_mm - 2.0 * self.selvedge_mm

    @property
    def is_one_layer_only(self) -> bool:
        """Slippery and sheer cloth is cut in one layer."""
        return bool(self.creeps)

    @property
    def creeps(self) -> tuple[Nature, ...]:
        """What of its nature makes it creep."""
        return tuple(nature for nature in self.nature if nature in CREEPING)

    def __post_init__(self) -> None:
        if "stretch" in self.nature:
            raise WrongInput(
                f"Cloth {self.name!r} is a stretch cloth.",
                "These drafts have ease for woven cloth; a stretch cloth wants less than the body.",
                "Choose a woven cloth.",
            )
        if self.usable_mm <= 0.0:
            raise WrongInput(
                f"Cloth {self.name!r}: no width is left between the selvedges.",
                f"{self.width_mm:.0f} mm less twice {self.selvedge_mm:.0f} mm.",
                "Write a smaller selvedge.",
            )
        _refuse_negative(self)


def _refuse_negative(cloth: Cloth) -> None:
    """Gaps, ends, lengths and shares that no cloth can have."""
    for named in ("selvedge_mm", "gap_mm", "end_mm", "ply_mm", "repeat_along_mm", "repeat_across_mm", "price"):
        if getattr(cloth, named) < 0.0:
            raise WrongInput(
                f"Cloth {cloth.name!r}: {named} is below nothing.", f"{getattr(cloth, named):g} was given.", "Write 0 or more."
            )
    for number, length in enumerate(cloth.lengths_mm):
        if length <= 2.0 * cloth.end_mm:
            raise WrongInput(
                f"Cloth {cloth.name!r}: length {number + 1} is {length:.0f} mm.",
                f"Both ends alone take {2 * cloth.end_mm:.0f} mm.",
                "Leave it out, or write its unit: 6 yd or 5.5 m.",
            )
    for share in (cloth.shrinks_along, cloth.shrinks_across):
        if not 0.0 <= share < 0.3:
            raise WrongInput(f"Cloth {cloth.name!r} shrinks by {100 * share:g} %.", "Between 0 and 30 % can be.", "Wash a test strip.")
    for flaw in cloth.flaws:
        if flaw.along_mm <= 0.0 or flaw.across_mm <= 0.0:
            raise WrongInput(f"Cloth {cloth.name!r}: a flaw without size.", "Its length or width is not above nothing.", "Measure it.")


@dataclass(frozen=True, slots=True)
class FlawCard:
    """A flaw as typed: `{x, y, along, across}` from the cut end and the left selvedge; `length` counts from 1."""

    __pydantic_config__: ClassVar[dict[str, Any]] = {"extra": "forbid"}
    x: Text
    y: Text
    along: Text
    across: Text
    length: int = 1


@dataclass(frozen=True, slots=True)
class ClothCard:
    """One cloth as typed on the order; lengths are texts with or without a unit (yd, m, in, cm, mm).

    `width`: one or several places measured, the least counts. `shrinks`: percent along, or (along, across), still to
    come when `washed` is false.
    """

    __pydantic_config__: ClassVar[dict[str, Any]] = {"extra": "forbid"}
    width: Text | tuple[Text, ...]
    lengths: tuple[Text, ...] = ()
    up: Up = "none"
    selvedge: Text | None = None
    gap: Text | None = None
    end: Text | None = None
    ply_mm: float = PLY_MM
    repeat: Text | tuple[Text, Text] | None = None
    nature: tuple[Nature, ...] | Nature = ()
    washed: bool = True
    shrinks: float | tuple[float, float] = 0.0
    flaws: tuple[FlawCard, ...] = ()
    price: float = 0.0
    price_per: Per = "metre"
    currency: str = ""
    unit: Unit | None = None


def length_from_text(text: Text, unit: Unit | None) -> float:
    """One length of cloth in mm: also yards and metres (`6 yd`, `2 3/8 yd`, `5.5 m`). Raises WrongInput."""
    words = str(text).strip().rsplit(" ", 1) if " " in str(text).strip() else [str(text).rstrip("ydsarm "), ""]
    tail = str(text).strip()[len(words[0].strip()) :].strip().lower() if not words[1] else words[1].lower()
    if tail in _EXTRA_UNITS:
        return mm_from_text(words[0], "in") / MM_PER_INCH * _EXTRA_UNITS[tail]
    return mm_from_text(text, unit)


def _refuse_width(name: str, width_mm: float) -> None:
    """A width that no cloth has: a number read in the wrong unit."""
    if not 100.0 <= width_mm <= 4000.0:
        raise WrongInput(
            f"Cloth {name!r} is {width_mm:.0f} mm wide.",
            "Cloth is between 100 and 4000 mm wide.",
            "Write the width with its unit: 45 in or 114 cm.",
        )


def cloth_from_card(name: str, card: ClothCard, unit: Unit | None) -> Cloth:
    """The card in mm. `unit`: of bare numbers, unless the card says its own. Raises WrongInput."""
    own = card.unit or unit

    def mm(text: Text | None, otherwise: float) -> float:
        return otherwise if text is None else length_from_text(text, own)

    nature: tuple[Nature, ...] = (card.nature,) if isinstance(card.nature, str) else card.nature
    widths = card.width if isinstance(card.width, tuple | list) else (card.width,)
    repeat = card.repeat if isinstance(card.repeat, tuple | list) else (card.repeat, None)
    shrinks = card.shrinks if isinstance(card.shrinks, tuple | list) else (card.shrinks, card.shrinks)
    along, across = (0.0, 0.0) if card.washed else (shrinks[0] / 100.0, shrinks[1] / 100.0)
    if not widths:
        raise WrongInput(f"{name}: the width is empty.", "0 widths stand in its list.", "Write the narrowest, or all that were measured.")
    width = min(length_from_text(text, own) for text in widths)
    _refuse_width(name, width)
    is_loose = any(each in CREEPING for each in nature)
    flaws = tuple(Flaw(f.length - 1, *(length_from_text(text, own) for text in (f.x, f.y, f.along, f.across))) for f in card.flaws)
    return Cloth(
        name=name,
        width_mm=width * (1.0 - across),
        lengths_mm=tuple(length_from_text(text, own) * (1.0 - along) for text in card.lengths),
        up=card.up,
        selvedge_mm=mm(card.selvedge, SELVEDGE_MM),
        gap_mm=mm(card.gap, LOOSE_GAP_MM if is_loose else GAP_MM),
        end_mm=mm(card.end, END_MM),
        ply_mm=card.ply_mm,
        repeat_along_mm=mm(repeat[0], 0.0),
        repeat_across_mm=mm(repeat[1], 0.0),
        nature=nature,
        shrinks_along=along,
        shrinks_across=across,
        flaws=flaws,
        price=card.price,
        price_per=card.price_per,
        currency=card.currency,
    )


@dataclass(frozen=True, slots=True)
class Light:
    """What the lamp lights at one time on the table, mm: x along the cloth, y across."""

    width_mm: float = 1400.0
    height_mm: float = 800.0


USUAL_LIGHT = Light()
"""What is thought of where no lamp says it."""


@dataclass(frozen=True, slots=True)
class Budget:
    """How hard to search: trials per cloth and fold, and the seed of chance. Same input and budget: same lay."""

    trials: int = 1500
    seed: int = 1
