"""Rules for what was not measured, and the shop's lengths turned into the table's. mm.

Coefficients: the drafting specification, "Measurements", set on 1,986 women of ANSUR II (2012); errors in kinds.py.
"""

from collections.abc import Mapping

from projector.body.balance import Balance
from projector.body.kinds import FROM_SHOULDER, SAME_AS

STATURE_UNKNOWN_MM = 1620.0
PER_STATURE = {"nape_waist": 0.243, "arm_length": 0.334, "waist_hip": 0.11, "waist_knee": 0.345, "waist_floor": 0.62}
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


def scye_depth_by_bust_mm(bust_mm: float) -> float:
    """Armhole depth where it was not measured."""
    return bust_mm / 12 + 120


def across_back_by_bust_mm(bust_mm: float) -> float:
    """Across the back where it was not measured, before it is held to the shoulder."""
    return bust_mm / 4 + 137


def shoulder_width_mm(bust_mm: float, stature_mm: float) -> float:
    """Bone to bone where it was not measured."""
    return 0.15 * stature_mm + 0.144 * bust_mm


def by_bust(bust_mm: float) -> dict[str, float]:
    """What the bust alone tells, of a mean arm."""
    return {
        "neck": bust_mm / 5 + 182,
        "neck_bust": bust_mm / 5 + 85,
        "bust_span": bust_mm / 5 + 5,
        "upper_arm": 0.307 * bust_mm,
        "wrist": bust_mm / 20 + 107,
        "scye_depth": scye_depth_by_bust_mm(bust_mm),
    }


def _by_bust(v: dict[str, float]) -> None:
    bust = v["bust"]
    v.setdefault("underbust", 0.933 * bust - 84)
    for key, mm in by_bust(bust).items():
        v.setdefault(key, mm)
    v.setdefault("shoulder_drop", 60.0)
    v.setdefault("round_shoulders", round_shoulders_mm(bust, v["upper_arm"]))


def _half_lengths(v: dict[str, float], measured: Mapping[str, float]) -> None:
    """One round: shoulder, back half length, front half length."""
    if "shoulder_width" not in measured:
        v["shoulder_width"] = shoulder_width_mm(v["bust"], v["stature"])
    balance = balance_of(v)
    if "nape_waist" not in measured:
        front = measured.get("front_waist")
        by_front = None if front is None else balance.nape_waist_from_front_mm(front, v.get("nape_waist"))
        v["nape_waist"] = PER_STATURE["nape_waist"] * v["stature"] if by_front is None else by_front
    if "front_waist" not in measured:
        v["front_waist"] = balance.front_waist_from_back_mm(v["nape_waist"])


def _stature(v: Mapping[str, float], measured: Mapping[str, float]) -> float:
    """From the floor where that was measured (sd 34), else from the back length (sd 95), else the mean woman's."""
    if "waist_floor" in v:
        return v["waist_floor"] / PER_STATURE["waist_floor"]
    if "nape_waist" in measured or "front_waist" in measured:
        return v["nape_waist"] / PER_STATURE["nape_waist"]
    return STATURE_UNKNOWN_MM


def _by_stature(v: dict[str, float]) -> None:
    v.setdefault("across_back", min(across_back_by_bust_mm(v["bust"]), v["shoulder_width"]))
    for key, share in PER_STATURE.items():
        v.setdefault(key, share * v["stature"])


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
