"""Measures in the wrong unit, and impossible ones. Each is named with what it may have been meant as.

A tape has inches on one side and centimetres on the other: `39` written beside centimetres was 39 inches when 39 inches
fits the rest. Thresholds: own judgement; a real woman's measures lie within 1.9 times what the others lead to expect.
"""

from collections.abc import Mapping
from statistics import median

from calibration.units import MM_PER, MM_PER_CM, MM_PER_INCH, Unit, length_text
from projector.body.body import Finding
from projector.body.kinds import BY_KEY, TORSO_GIRTHS, named
from projector.body.stand_ins import PER_STATURE, STATURE_UNKNOWN_MM, across_back_by_bust_mm, by_bust, round_shoulders_mm, shoulder_width_mm

_PAIRS: tuple[tuple[Unit, Unit], ...] = (("cm", "in"), ("in", "cm"), ("mm", "cm"), ("mm", "in"), ("cm", "mm"), ("in", "mm"))
"""(written as, meant as), the likeliest first."""
_FINEST_MM: dict[Unit, float] = {"in": MM_PER_INCH / 8, "cm": MM_PER_CM / 10, "mm": 0.5}
"""What a tape of that unit is read to: nobody wrote 19.05 cm, so it was 7 1/2 in."""

_TORSO_TO_BUST = {"bust": 1.0, "underbust": 0.84, "waist": 0.80, "hip": 1.08}
_PER_STATURE = {**PER_STATURE, "front_waist": 0.285}
ODD, NEAR = 1.9, 1.35
HALVED = {"girth": "half round", "width": "from the middle to one side"}
"""Sorts of measures that are taken half by mistake, and how that is said."""


def find_mix_ups(values: Mapping[str, float], shown: Unit) -> list[Finding]:
    """One finding for each value that cannot be, or for the whole card when one wrong unit explains it all."""
    meant = {key: pair for key in values if (pair := _meant(key, values)) is not None}
    whole = _whole_card(values, meant)
    if whole is not None:
        return [whole]
    found = [_mix_up(key, values[key], pair, shown) for key, pair in meant.items()]
    return found + [_impossible(key, values[key], shown) for key in values if key not in meant and not _fits(key, values[key])]


def expected_mm(key: str, values: Mapping[str, float]) -> float | None:
    """What the other measures lead to expect, roughly; None where they tell nothing."""
    if key in _TORSO_TO_BUST:
        others = [
            values[each] / share for each, share in _TORSO_TO_BUST.items() if each in values and each != key and _fits(each, values[each])
        ]
        return median(others) * _TORSO_TO_BUST[key] if len(others) >= 2 else None
    if key in _PER_STATURE:
        stature = values.get("stature", STATURE_UNKNOWN_MM)
        return _PER_STATURE[key] * (stature if _fits("stature", stature) else STATURE_UNKNOWN_MM)
    bust = values.get("bust")
    if bust is None or not _fits("bust", bust):
        return None
    rules = by_bust(bust)
    rules |= {"shoulder_width": shoulder_width_mm(bust, STATURE_UNKNOWN_MM), "across_back": across_back_by_bust_mm(bust)}
    return {**rules, "round_shoulders": round_shoulders_mm(bust, rules["upper_arm"])}.get(key)


def _fits(key: str, mm: float) -> bool:
    return BY_KEY[key].low_mm <= mm <= BY_KEY[key].high_mm


def _apart(a: float, b: float) -> float:
    return max(a / b, b / a)


def _readable(mm: float, unit: Unit) -> bool:
    """Whether a tape of that unit gives this length."""
    marks = mm / _FINEST_MM[unit]
    return abs(marks - round(marks)) < 0.02


def _converted(mm: float, pair: tuple[Unit, Unit]) -> float:
    written, meant = pair
    return mm / MM_PER[written] * MM_PER[meant]


def _meant(key: str, values: Mapping[str, float]) -> tuple[Unit, Unit] | None:
    """The pair of units that makes sense of a value which makes none as it stands."""
    mm, kind = values[key], BY_KEY[key]
    expected = expected_mm(key, values)
    if _fits(key, mm) and (expected is None or _apart(mm, expected) <= ODD):
        return None
    middle = expected or (kind.low_mm * kind.high_mm) ** 0.5
    written = [pair for pair in _PAIRS if _readable(mm, pair[0])] or _PAIRS
    good = [pair for pair in written if _fits(key, _converted(mm, pair))]
    if _fits(key, mm):
        good = [pair for pair in good if _apart(_converted(mm, pair), middle) <= NEAR]
    elif _fits(key, 2 * mm) and kind.sort in HALVED and expected is not None:
        good = [pair for pair in good if _apart(_converted(mm, pair), expected) < _apart(2 * mm, expected)]
    return min(good, key=lambda pair: _apart(_converted(mm, pair), middle), default=None)


def _whole_card(values: Mapping[str, float], meant: Mapping[str, tuple[Unit, Unit]]) -> Finding | None:
    """When the same wrong unit makes most values wrong and every value right."""
    if len(meant) < 3:
        return None
    pairs = list(meant.values())
    pair = max(set(pairs), key=pairs.count)
    if 2 * pairs.count(pair) <= len(values) or not all(_fits(key, _converted(mm, pair)) for key, mm in values.items()):
        return None
    key = next(key for key in (*TORSO_GIRTHS, *values) if meant.get(key) == pair)
    written, right = pair
    number = _number(values[key], written)
    return Finding(
        "unit",
        f"The measures look like {_NAMES[right]}, written as {_NAMES[written]}.",
        f"{BY_KEY[key].trade.capitalize()} {number} {written} is no woman's; {number} {right} is, and all the others fit as {_NAMES[right]} too.",  # noqa: E501
        f"Write `unit: {right}` on the card.",
    )


_NAMES: dict[Unit, str] = {"in": "inches", "cm": "centimetres", "mm": "millimetres"}


def _number(mm: float, unit: Unit) -> str:
    return f"{mm / MM_PER[unit]:.4g}"


def _mix_up(key: str, mm: float, pair: tuple[Unit, Unit], shown: Unit) -> Finding:
    written, meant = pair
    number, right_mm = _number(mm, written), _converted(mm, pair)
    other = length_text(right_mm, shown if shown != meant else ("cm" if meant == "in" else "in"))
    return Finding(
        key,
        f"{named(key)} {number} {written}: did you mean {number} {meant}?",
        f"{number} {written} cannot be beside the other measures; {number} {meant} = {other} can.",
        "Correct it, or write the unit behind the number.",
    )


def _impossible(key: str, mm: float, shown: Unit) -> Finding:
    kind = BY_KEY[key]
    why = f"It lies outside {length_text(kind.low_mm, shown)} to {length_text(kind.high_mm, shown)}."
    if kind.sort in HALVED and _fits(key, 2 * mm):
        why += f" Doubled, {length_text(2 * mm, shown)}, it would fit: was it taken {HALVED[kind.sort]}?"
    return Finding(key, f"{named(key)} cannot be {length_text(mm, shown)}.", why, f"Measure again: {kind.how}.")
