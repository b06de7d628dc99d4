"""Sentences in the client's own unit: the draft speaks of mm, she is told inches with eighths or centimetres.

Rule for every sentence of draft and garment: each length is written `123 mm`, number and unit together.
"""

import re
from collections.abc import Iterable
from typing import TypeVar

from calibration.errors import TableError
from calibration.units import Unit, length_text

Told = TypeVar("Told", bound=TableError)
_LENGTH = re.compile(r"(?<![\w.])(-?\d+(?:\.\d+)?) mm\b")
_SAME = re.compile(r"(?<![\d/.] )\b(\d[\d /.]* (?:in|cm|mm))(?: \w+)?, not \1(?!.*, not )")
_LEAST: dict[Unit, tuple[float, str]] = {"in": (1.6, "under 1/8 in"), "cm": (0.5, "under 0.1 cm"), "mm": (0.0, "")}
"""Under the first, mm, a length would be shown as nothing."""


def said_in(text: str, unit: Unit) -> str:
    """The sentence with every length in `unit`: `dropped by 25 mm` becomes `dropped by 1 in`."""

    def shown(found: re.Match[str]) -> str:
        mm = float(found[1])
        least, words = _LEAST[unit]
        return words if 0 < abs(mm) < least else length_text(mm, unit)

    return _LENGTH.sub(shown, text)


def warnings_in(texts: Iterable[str], unit: Unit) -> tuple[str, ...]:
    """Warnings in `unit`, without those whose two lengths read the same on her tape: `2 5/8 in, not 2 5/8 in`."""
    told = (said_in(text, unit) for text in texts)
    return tuple(text for text in told if not _SAME.search(text))


def told_in(error: Told, unit: Unit) -> Told:
    """The same error with its sentences in `unit`."""
    return type(error)(said_in(error.what, unit), said_in(error.why, unit), said_in(error.next_step, unit))
