"""Lengths as a tape reads them: inches with eighths, centimetres, millimetres. Inside the program: mm, float64.

Imports nothing but the error family and the standard library.
"""

import re
from fractions import Fraction
from math import ceil, floor, isfinite
from typing import Literal

from calibration.errors import WrongInput

MM_PER_INCH = 25.4  # exact since 1959; NIST SP 811 (2008), Appendix B
MM_PER_YARD = 914.4  # exact: 36 inches
MM_PER_CM = 10.0

Unit = Literal["in", "cm", "mm"]
UNITS: tuple[Unit, ...] = ("in", "cm", "mm")
MM_PER: dict[Unit, float] = {"in": MM_PER_INCH, "cm": MM_PER_CM, "mm": 1.0}
_UNIT_WORDS: dict[str, Unit] = {
    "in": "in", "inch": "in", "inches": "in", '"': "in", "″": "in", "''": "in",
    "cm": "cm", "centimetre": "cm", "centimetres": "cm", "centimeter": "cm", "centimeters": "cm",
    "mm": "mm", "millimetre": "mm", "millimetres": "mm", "millimeter": "mm", "millimeters": "mm",
}  # fmt: skip
_VULGAR = {"⅛": "1/8", "¼": "1/4", "⅜": "3/8", "½": "1/2", "⅝": "5/8", "¾": "3/4", "⅞": "7/8"}
_LENGTH = re.compile(
    r"""^\s*(?:(?P<whole>\d+(?:[.,]\d+)?))?\s*(?:(?P<num>\d+)\s*/\s*(?P<den>\d+))?\s*(?P<unit>[a-z"″']*)\s*$""",
    re.IGNORECASE,
)
LONGEST_SIGNS = 60
"""A reading has a dozen; numbers of thousands of figures overflow."""


def _spelt(text: str) -> str:
    for sign, fraction in _VULGAR.items():
        text = text.replace(sign, f" {fraction}")
    return text.replace("-", " ").replace("+", " ")


def _quantity(match: re.Match[str], text: str) -> float:
    whole, num, den = match["whole"], match["num"], match["den"]
    if whole is None and num is None:
        raise WrongInput(f"{text!r} holds no number.", "A length is wanted.", "Type it as the tape reads: 34 1/2 or 87.6 cm.")
    if den is not None and int(den) == 0:
        raise WrongInput(f"{text!r} cannot be read.", "There is a 0 under the stroke.", "Type it as the tape reads: 34 1/2 or 87.6 cm.")
    if num is not None and whole is not None and ("." in whole or "," in whole):
        raise WrongInput(f"{text!r} cannot be read.", "A decimal point and a fraction do not go together.", "Type 34 1/2 or 34.5.")
    value = Fraction((whole or "0").replace(",", "."))
    if num is not None:
        value += Fraction(int(num), int(den))
    return float(value)


def mm_from_text(text: str | float | int, unit: Unit | None) -> float:
    """Read one length. `34 1/2`, `34.5in`, `87.6 cm`, `876mm`, `34½`; a bare number takes `unit`.

    Returns mm. Raises WrongInput for anything else (less than nothing too), and for a bare number when `unit` is None.
    A fraction is read only in inches: centimetre tapes carry no eighths.
    """
    shown = str(text)
    if len(shown) > LONGEST_SIGNS:
        raise WrongInput(f"{shown[:12]}… is no length.", f"It has {len(shown)} signs.", "Type it as the tape reads: 34 1/2 or 87.6 cm.")
    if shown.lstrip().startswith("-"):
        raise WrongInput(f"{shown!r} is no length.", "It is less than 0.", "Type it as the tape reads: 34 1/2 or 87.6 cm.")
    match = _LENGTH.match(_spelt(shown))
    if match is None:
        raise WrongInput(
            f"{shown!r} cannot be read as a length.", "It is not a number with a unit.", "Type it as the tape reads: 34 1/2 or 87.6 cm."
        )
    value = _quantity(match, shown)
    word = match["unit"].lower()
    if word and word not in _UNIT_WORDS:
        raise WrongInput(f"{shown!r}: the unit {word!r} is not known.", "Known are in, cm and mm.", "Type 34 1/2 in or 87.6 cm.")
    found = _UNIT_WORDS[word] if word else unit
    if found is None:
        raise WrongInput(
            f"{shown!r} has no unit.",
            "Neither the number nor the card says inches or centimetres.",
            "Write `unit: in` or `unit: cm` on the card.",
        )
    if match["num"] is not None and found != "in":
        raise WrongInput(f"{shown!r} is a fraction in {found}.", "Eighths are read in inches only.", "Write a decimal number, or in.")
    mm = value * MM_PER[found]
    if not isfinite(mm):
        raise WrongInput(f"{shown!r} is too large.", "No length is that long.", "Type it as the tape reads.")
    return mm


def signed_mm(text: str, unit: Unit | None) -> float:
    """A length with its sign: `+1/2`, `-10 mm`, `3/8 in`. Returns mm; raises as `mm_from_text`."""
    told = str(text).strip()
    sign = -1.0 if told[:1] in {"-", "−", "–"} else 1.0
    return sign * mm_from_text(told.lstrip("+-−–"), unit)


def eighths_text(mm: float) -> str:
    """Inches to the nearest eighth: 298.45 -> `11 3/4`."""
    eighths = round(mm / MM_PER_INCH * 8)
    sign, eighths = ("-", -eighths) if eighths < 0 else ("", eighths)
    whole, rest = divmod(eighths, 8)
    part = Fraction(rest, 8)
    if not rest:
        return f"{sign}{whole}"
    return f"{sign}{whole} {part}" if whole else f"{sign}{part}"


def length_text(mm: float, unit: Unit) -> str:
    """As shown to the user: `11 3/4 in`, `29.8 cm`, `298 mm`."""
    if unit == "in":
        return f"{eighths_text(mm)} in"
    if unit == "cm":
        return f"{mm / MM_PER_CM:.1f} cm"
    return f"{mm:.0f} mm"


def yards_up(mm: float) -> Fraction:
    """Cloth to buy: yards rounded up to the eighth (a hair of 0.01 mm does not buy another eighth)."""
    return Fraction(ceil((mm - 0.01) / MM_PER_YARD * 8), 8)


def yards_text(mm: float) -> str:
    """`2 3/8 yd`, rounded up to the eighth."""
    return _yards(yards_up(mm))


def cloth_text(mm: float) -> str:
    """A length of cloth as shops sell it: `1.85 m (2 1/8 yd)`, both rounded up."""
    return f"{ceil((mm - 0.01) / 10.0) / 100.0:.2f} m ({yards_text(mm)})"


def yards_saved_text(mm: float) -> str:
    """`3/8 yd`, rounded down to the eighth: no more is promised than is saved."""
    return _yards(Fraction(max(0, floor((mm + 0.01) / MM_PER_YARD * 8)), 8))


def _yards(yards: Fraction) -> str:
    whole, rest = divmod(yards, 1)
    part = f" {rest}" if rest and whole else (f"{rest}" if rest else "")
    return f"{whole if whole or not rest else ''}{part} yd"
