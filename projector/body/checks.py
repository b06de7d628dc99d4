"""Measures held against each other: what to ask again, what stops the draft. mm.

Bands: 99 % (or 98 %) of 1,986 women of ANSUR II, the drafting specification, "Consistency checks"; round both arms: 99 % of
the 260 women of openintro `bdims`. Only measures that were taken are questioned, never our own stand-ins; ratios to stature only
when stature was taken.
"""

from collections.abc import Callable, Iterator, Mapping

from calibration.units import Unit, length_text
from projector.body.balance import ABOVE_WAIST_MM, BELOW_ARMHOLE_MM, RAISE_MM, UNSEEN_MM
from projector.body.body import Finding
from projector.body.kinds import BY_KEY, TORSO_GIRTHS, named
from projector.body.mix_ups import expected_mm
from projector.body.stand_ins import balance_of

Doubt = tuple[bool, Finding]
"""(stops the draft, the finding)"""

_BANDS: tuple[tuple[str, str, float, float], ...] = (
    ("neck", "bust", 0.33, 0.46),
    ("upper_arm", "bust", 0.257, 0.362),
    ("shoulder_width", "bust", 0.32, 0.49),
    ("across_back", "shoulder_width", 0.81, 1.19),
    ("round_shoulders", "bust", 1.018, 1.30),
    ("waist_hip", "stature", 0.082, 0.142),
    ("arm_length", "stature", 0.308, 0.366),
    ("waist_knee", "stature", 0.312, 0.371),
    ("waist_floor", "stature", 0.583, 0.652),
)
TWICE_GIRTH_MM, TWICE_LENGTH_MM = 9.0, 5.0
"""Two takings of one measure differ by at most this. Source: ISO 20685 limits of error (trade evidence 6.4)."""


def run_checks(v: Mapping[str, float], given: frozenset[str], shown: Unit) -> tuple[list[Finding], list[Finding]]:
    """All checks over complete measures `v`, of which `given` were taken. Returns (stops, doubts)."""
    checks: tuple[Callable[[Mapping[str, float], frozenset[str], Unit], Iterator[Doubt]], ...]
    checks = (_bands, _back_length, _navel, _cup, _girths, _arm, _shoulder, _front_against_cup, _bust_point)
    found = [each for check in checks for each in check(v, given, shown)]
    return [finding for stops, finding in found if stops], [finding for stops, finding in found if not stops]


def compare_twice(key: str, first: float, second: float, shown: Unit) -> Finding | None:
    """The same measure taken twice: a doubt when the two differ by more than a careful taker's error."""
    limit = TWICE_GIRTH_MM if BY_KEY[key].sort == "girth" else TWICE_LENGTH_MM
    if abs(first - second) <= limit:
        return None
    return Finding(
        key,
        f"{named(key)} was taken twice, {length_text(first, shown)} and {length_text(second, shown)}.",
        f"They differ by {length_text(abs(first - second), shown)}; a careful taker stays within {length_text(limit, shown)}.",
        _again(key),
    )


def _again(*keys: str) -> str:
    return "Measure again: " + "; ".join(f"{BY_KEY[key].trade}, {BY_KEY[key].how}" for key in keys) + "."


def _if_so(*keys: str) -> str:
    """For what is unusual and real."""
    return "If that is so, go on; else measure" + _again(*keys).removeprefix("Measure")


def _bands(v: Mapping[str, float], given: frozenset[str], shown: Unit) -> Iterator[Doubt]:
    for key, base, low, high in _BANDS:
        if key in given and base in given and not low <= v[key] / v[base] <= high:
            usual = f"{length_text(low * v[base], shown)} to {length_text(high * v[base], shown)}"
            why = f"Beside {BY_KEY[base].trade} {length_text(v[base], shown)} it is {usual} on 99 of 100 women."
            yield False, Finding(key, f"{named(key)} {length_text(v[key], shown)} is unusual.", why, _again(key))


def _back_length(v: Mapping[str, float], given: frozenset[str], shown: Unit) -> Iterator[Doubt]:
    if not {"nape_waist", "stature"} <= given:
        return
    share = v["nape_waist"] / v["stature"]
    if not 0.205 <= share <= 0.285:
        what = (
            f"{named('nape_waist')} {length_text(v['nape_waist'], shown)} does not go with a height of {length_text(v['stature'], shown)}."
        )
        low, high = (length_text(each * v["stature"], shown) for each in (0.208, 0.285))
        why = f"Beside that height it is {low} to {high} on 99 of 100 women."
        yield not 0.19 <= share <= 0.31, Finding("nape_waist", what, why, _again("nape_waist"))


def _navel(v: Mapping[str, float], given: frozenset[str], shown: Unit) -> Iterator[Doubt]:
    """Own limits: a navel waist lies 30 mm lower (0.261 of stature on the mean) and is 9 % larger."""
    if {"nape_waist", "stature", "waist"} <= given and 0.268 < v["nape_waist"] / v["stature"] <= 0.285 and v["waist"] > 0.9 * v["bust"]:
        why = f"The back length {length_text(v['nape_waist'], shown)} is long and the waist {length_text(v['waist'], shown)} large."
        yield False, Finding("waist", "Did the string sit at the navel instead of the waist?", why, _again("waist", "nape_waist"))


def _cup(v: Mapping[str, float], given: frozenset[str], shown: Unit) -> Iterator[Doubt]:
    if not {"bust", "underbust"} <= given:
        return
    cup = v["bust"] - v["underbust"]
    if not 60 <= cup <= 250:
        what = f"Bust {length_text(v['bust'], shown)} and under bust {length_text(v['underbust'], shown)} do not go together."
        why = f"They differ by {length_text(cup, shown)}; usual is {length_text(60, shown)} to {length_text(250, shown)}."
        yield not 20 <= cup <= 350, Finding("underbust", what, why, _again("bust", "underbust"))


def _girths(v: Mapping[str, float], given: frozenset[str], shown: Unit) -> Iterator[Doubt]:
    waist = length_text(v["waist"], shown)
    if v["hip"] < v["waist"] and {"hip", "waist"} <= given:
        why = f"Hip {length_text(v['hip'], shown)}, waist {waist}. Real on 1 woman in 100: the skirt then hangs from the waist."
        yield False, Finding("hip", "The waist is larger than the hip.", why, _if_so("waist", "hip"))
    if v["waist"] > v["bust"] and {"bust", "waist"} <= given:
        why = f"Bust {length_text(v['bust'], shown)}, waist {waist}. The side seams then flare and no waist dart remains."
        yield False, Finding("waist", "The waist is larger than the bust.", why, _if_so("waist", "bust"))
    for key in TORSO_GIRTHS:
        expected = expected_mm(key, {each: v[each] for each in TORSO_GIRTHS if each in given})
        if key in given and expected and v[key] < 0.6 * expected:  # under 1/ODD of it was stopped as another unit's
            why = f"Doubled, {length_text(2 * v[key], shown)}, it would fit the others."
            yield False, Finding(key, f"Is {named(key)} {length_text(v[key], shown)} only half round?", why, _again(key))


def _arm(v: Mapping[str, float], given: frozenset[str], shown: Unit) -> Iterator[Doubt]:
    if {"upper_arm", "bust"} <= given and v["upper_arm"] > 0.45 * v["bust"]:
        what = f"{named('upper_arm')} {length_text(v['upper_arm'], shown)} is too thick for a bust of {length_text(v['bust'], shown)}."
        why = f"No armhole can be made beyond {length_text(0.45 * v['bust'], shown)}."
        yield True, Finding("upper_arm", what, why, _again("upper_arm", "bust"))


def _shoulder(v: Mapping[str, float], given: frozenset[str], shown: Unit) -> Iterator[Doubt]:
    if {"shoulder_width", "stature"} <= given and v["shoulder_width"] < 0.6 * 0.233 * v["stature"]:
        what = f"Is {named('shoulder_width')} {length_text(v['shoulder_width'], shown)} only one side?"
        why = f"Bone to bone it would be about {length_text(0.233 * v['stature'], shown)}."
        yield False, Finding("shoulder_width", what, why, _again("shoulder_width"))


def _front_against_cup(v: Mapping[str, float], given: frozenset[str], shown: Unit) -> Iterator[Doubt]:
    """Bust dart from the half lengths against the one from the cup. Without a measured under bust the cup's own dart is
    uncertain by 3 degrees (sd of cup 40 mm), so that nothing stops and 10 degrees ask again."""
    if not {"front_waist", "nape_waist"} <= given:
        return
    balance = balance_of(v)
    by_lengths, by_cup = balance.theta_from_lengths_deg(v["front_waist"], v["nape_waist"]), balance.theta_from_cup_deg
    apart, has_cup = abs(by_lengths - by_cup), "underbust" in given
    if apart < (6 if has_cup else 10):
        return
    implied = balance.front_waist_from_back_mm(v["nape_waist"])
    what = f"Front half length {length_text(v['front_waist'], shown)} and back half length {length_text(v['nape_waist'], shown)} disagree."
    angles = f"bust dart {by_cup:.0f} degrees, by the lengths {by_lengths:.0f}"
    why = f"By bust and cup the front would be about {length_text(implied, shown)} ({angles})."
    yield has_cup and apart >= 10, Finding("front_waist", what, why, "Measure side of neck, over bust, to string again.")


def _bust_point(v: Mapping[str, float], given: frozenset[str], shown: Unit) -> Iterator[Doubt]:
    if "neck_bust" not in given:
        return
    balance = balance_of(v)
    depth, side_waist = balance.armhole_depth_mm(v["nape_waist"]), v["nape_waist"] + RAISE_MM
    level = balance.bust_level_mm(balance.theta_from_cup_deg, depth)
    low, high = depth + BELOW_ARMHOLE_MM, side_waist - ABOVE_WAIST_MM
    if not low - UNSEEN_MM <= level <= high + UNSEEN_MM:
        side = "above the armhole line" if level < low else "too near the waist"
        off = low - level if level < low else level - high
        what = f"{named('neck_bust')} {length_text(v['neck_bust'], shown)} puts the bust point {side}, by {length_text(off, shown)}."
        yield False, Finding("neck_bust", what, "The draft moves it as far as it must.", _again("neck_bust", "nape_waist"))
