"""Rules for what was not measured, and the shop's lengths turned into the table's. mm.

Coefficients: the drafting specification, "Measurements", set on 1,986 women of ANSUR II (2012); errors in kinds.py.
"""

from collections.abc import Mapping

from projector.body.balance import Balance
from projector.body.kinds import FROM_SHOULDER, SAME_AS

STATURE_UNKNOWN_MM = 1620.0
ROUNDS = 12
"""The two half lengths, stature and shoulder hang on each other; each round shrinks the rest to under a seventh."""


def with_table_keys(given: Mapping[str, float], lengths_from: str) -> dict[str, float]:
    """Shop keys under the table's names; the table's own key wins. Lengths over the front wait for its half length."""
    found = dict(given)
    for shop, key in SAME_AS.items():
        if shop in given:
            found.setdefault(key, given[shop])
    if lengths_from == "waist" and "full_length" in given:
        found.setdefault("waist_floor", given["full_length"])
    return found


def over_front(given: Mapping[str, float], lengths_from: str) -> dict[str, float]:
    """The lengths that run over the front half length first, by the key they become below the waist."""
    return {
        key: given[shop] for shop, key in FROM_SHOULDER.items() if shop in given and not (shop == "full_length" and lengths_from == "waist")
    }


def fill(given: Mapping[str, float], lengths_from: str) -> dict[str, float]:
    """Every measure of the table from `given` (bust, waist, hip and a length or stature at least). mm."""
    v = with_table_keys(given, lengths_from)
    below = over_front(given, lengths_from)
    _by_bust(v)
    measured = dict(v)
    v["stature"] = v.get("stature", STATURE_UNKNOWN_MM)
    for _ in range(ROUNDS):
        _half_lengths(v, measured)
        for key, from_shoulder in below.items():
            if key not in measured:
                v[key] = from_shoulder - v["front_waist"]
        if "stature" not in measured:
            v["stature"] = _stature(v, measured)
    _by_stature(v)
    return v


def round_shoulders_mm(bust_mm: float, upper_arm_mm: float) -> float:
    """Round chest and both upper arms where it was not measured.

    Line through the bust and shoulder girths of ASTM D5585-11e1's 12 sizes (none over 5 mm off it), and half of what the arm is
    more than the mean one: 0.5 is what the 260 women of openintro `bdims` give. On those women 14 mm too small, sd 36.
    """
    return 0.646 * bust_mm + 433 + 0.5 * (upper_arm_mm - 0.307 * bust_mm)


def _by_bust(v: dict[str, float]) -> None:
    bust = v["bust"]
    v.setdefault("underbust", 0.933 * bust - 84)
    v.setdefault("neck", bust / 5 + 182)
    v.setdefault("neck_bust", bust / 5 + 85)
    v.setdefault("bust_span", bust / 5 + 5)
    v.setdefault("upper_arm", 0.307 * bust)
    v.setdefault("wrist", bust / 20 + 107)
    v.setdefault("scye_depth", bust / 12 + 120)
    v.setdefault("shoulder_drop", 60.0)
    v.setdefault("round_shoulders", round_shoulders_mm(bust, v["upper_arm"]))


def _half_lengths(v: dict[str, float], measured: Mapping[str, float]) -> None:
    """One round: shoulder, back half length, front half length."""
    if "shoulder_width" not in measured:
        v["shoulder_width"] = 0.15 * v["stature"] + 0.144 * v["bust"]
    balance = balance_of(v)
    if "nape_waist" not in measured:
        front = measured.get("front_waist")
        v["nape_waist"] = 0.243 * v["stature"] if front is None else balance.nape_waist_from_front_mm(front, v.get("nape_waist"))
    if "front_waist" not in measured:
        v["front_waist"] = balance.front_waist_from_back_mm(v["nape_waist"])


def _stature(v: Mapping[str, float], measured: Mapping[str, float]) -> float:
    """From the floor where that was measured (sd 34), else from the back length (sd 95), else the mean woman's."""
    if "waist_floor" in v:
        return v["waist_floor"] / 0.62
    if "nape_waist" in measured or "front_waist" in measured:
        return v["nape_waist"] / 0.243
    return STATURE_UNKNOWN_MM


def _by_stature(v: dict[str, float]) -> None:
    stature = v["stature"]
    v.setdefault("across_back", min(v["bust"] / 4 + 137, v["shoulder_width"]))
    v.setdefault("arm_length", 0.334 * stature)
    v.setdefault("waist_hip", 0.11 * stature)
    v.setdefault("waist_knee", 0.345 * stature)
    v.setdefault("waist_floor", 0.62 * stature)


def balance_of(v: Mapping[str, float]) -> Balance:
    """The measures of the bust balance out of complete ones."""
    return Balance(
        v["bust"],
        v["underbust"],
        v["neck"],
        v["shoulder_width"],
        v["shoulder_drop"],
        v["neck_bust"],
        v["bust_span"],
        v["scye_depth"],
    )
