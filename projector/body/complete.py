"""The body stage's one function: what was measured in, a complete body out, with what to ask again and what stops."""

from collections.abc import Mapping
from dataclasses import replace
from math import isfinite

from calibration.errors import WrongInput
from calibration.names import unknown_name
from calibration.units import Unit, length_text
from projector.body.body import Body, Finding, Measure
from projector.body.checks import compare_twice, run_checks
from projector.body.kinds import BODY_LENGTHS, BY_KEY, FROM_SHOULDER, SAME_AS, TORSO_GIRTHS, named
from projector.body.mix_ups import find_mix_ups
from projector.body.stand_ins import fill, over_front, with_table_keys

LENGTHS_FROM = ("shoulder", "waist")
_ONE_OF = ("half_length", "back_half_length", "stature")


def complete_measures(
    given_mm: Mapping[str, float],
    lengths_from: str = "shoulder",
    *,
    needs_sleeve: bool = False,
    needs_bodice: bool = True,
    again_mm: Mapping[str, float] | None = None,
    shown: Unit = "cm",
) -> Body:
    """Complete and check one woman's measures.

    given_mm: any subset of kinds.KINDS by key. lengths_from: where full_length was taken from. again_mm: second takings;
    the mean counts. needs_sleeve adds upper arm and wrist to what is required; without a bodice bust and back length are
    not. shown: the unit of the messages.
    Never refuses by itself (`Body.refuse_stops` does). Raises WrongInput for an unknown key or a value that is no length.
    """
    given, twice = _read(given_mm, again_mm or {}, lengths_from, shown)
    stops = find_mix_ups({key: mm for key, mm in given.items() if not _is_waist_length(key, lengths_from)}, shown)
    stops += _waist_length_stops(given, lengths_from, shown)
    stops = [_other_start(stop, given, lengths_from, shown) for stop in stops]
    is_bad = {stop.key for stop in stops}
    good = {} if "unit" in is_bad else {key: mm for key, mm in given.items() if key not in is_bad}
    stops += _missing(given, needs_sleeve, needs_bodice)
    if not needs_bodice and "bust" not in good and "hip" in good and "waist" in good:
        good["bust"] = max(600.0, good["hip"] - 76)  # only the skirt's small front-back shift hangs on it
    if not _can_fill(good, needs_bodice):
        return _body({key: given[key] for key in given}, frozenset(given), stops, twice, given)
    values = fill(good, lengths_from)
    taken = _taken(good, lengths_from) - ({"bust"} if "bust" not in given else set())
    more_stops, doubts = run_checks(values, taken, shown)
    stops += _derived_stops(values, good, lengths_from, shown) + more_stops
    doubts = [*twice, *_two_ways(values, good, lengths_from, shown), *_stature_doubt(values, taken, good, shown), *doubts]
    return _body({**given, **values, **{key: given[key] for key in is_bad & given.keys()}}, taken | is_bad, stops, doubts, given)


def _read(given: Mapping[str, float], again: Mapping[str, float], lengths_from: str, shown: Unit) -> tuple[dict[str, float], list[Finding]]:
    if lengths_from not in LENGTHS_FROM:
        raise unknown_name(lengths_from, LENGTHS_FROM, "lengths_from", "the start of lengths")
    read: dict[str, float] = {}
    doubts: list[Finding] = []
    for key, mm in [*given.items(), *again.items()]:
        if key not in BY_KEY:
            raise unknown_name(key, BY_KEY, "measures", "the measure")
        is_number = isinstance(mm, int | float) and not isinstance(mm, bool) and isfinite(mm)
        if not is_number or mm <= 0:
            least = f"A measure is a length in {shown}, more than 0."
            raise WrongInput(
                f"{named(key)} cannot be {length_text(mm, shown) if is_number else repr(mm)}.", least, f"Take it again: {BY_KEY[key].how}."
            )
    for key, mm in given.items():
        read[key] = float(mm)
        if key in again:
            read[key] = (mm + again[key]) / 2
            doubt = compare_twice(key, mm, again[key], shown)
            doubts += [doubt] if doubt else []
    return read, doubts


def _is_waist_length(key: str, lengths_from: str) -> bool:
    return key == "full_length" and lengths_from == "waist"


def _waist_length_stops(given: Mapping[str, float], lengths_from: str, shown: Unit) -> list[Finding]:
    """full_length from the waist is judged as the waist height that it is."""
    if "full_length" not in given or not _is_waist_length("full_length", lengths_from):
        return []
    return [replace(stop, key="full_length") for stop in find_mix_ups({"waist_floor": given["full_length"]}, shown)]


def _other_start(stop: Finding, given: Mapping[str, float], lengths_from: str, shown: Unit) -> Finding:
    """A length that fits when it began at the other end of the tape is told so."""
    front = with_table_keys(given, lengths_from).get("front_waist")
    pairs = {**FROM_SHOULDER, **{waist: shoulder for shoulder, waist in FROM_SHOULDER.items()}}
    if front is None or stop.key not in pairs or stop.key == "full_length":
        return stop
    is_from_waist = stop.key.startswith("waist")
    mm = given[stop.key]
    other, other_mm = pairs[stop.key], mm - front if is_from_waist else mm
    target = BY_KEY[stop.key if is_from_waist else other]
    if not target.low_mm <= other_mm <= target.high_mm:
        return stop
    start, right = ("waist", "shoulder") if is_from_waist else ("shoulder", "waist")
    return replace(
        stop,
        what=f"{named(stop.key)} {length_text(mm, shown)} was not taken from the {start}.",
        why=f"It fits when taken from the {right}.",
        next_step=f"Call it {other}.",
    )


def _missing(given: Mapping[str, float], needs_sleeve: bool, needs_bodice: bool) -> list[Finding]:
    wanted = [key for key in ("bust", "waist", "hip") if needs_bodice or key != "bust"]
    wanted += ["upper_arm", "wrist"] if needs_sleeve else []
    found = [
        Finding(key, f"{named(key)} is missing.", "It cannot be worked out.", f"Measure it: {BY_KEY[key].how}.")
        for key in wanted
        if key not in given
    ]
    if needs_bodice and not BODY_LENGTHS & given.keys():
        one_of = " or ".join(f"{key} ({BY_KEY[key].how})" for key in _ONE_OF)
        found.append(Finding("half_length", "A half length or the height is missing.", "One of the three is enough.", f"Measure {one_of}."))
    return found


def _can_fill(good: Mapping[str, float], needs_bodice: bool) -> bool:
    return all(key in good for key in TORSO_GIRTHS if key != "underbust") and (bool(BODY_LENGTHS & good.keys()) or not needs_bodice)


def _taken(good: Mapping[str, float], lengths_from: str) -> frozenset[str]:
    """What counts as measured: taken itself, or a difference of two that were."""
    table = with_table_keys(good, lengths_from)
    below = over_front(good, lengths_from) if "front_waist" in table else {}
    return frozenset({*table, *below})


def _derived_stops(v: Mapping[str, float], good: Mapping[str, float], lengths_from: str, shown: Unit) -> list[Finding]:
    """A length over the front that leaves an impossible rest below the waist."""
    found = []
    for key, whole in over_front(good, lengths_from).items():
        kind = BY_KEY[key]
        if key not in good and not kind.low_mm <= v[key] <= kind.high_mm:
            shop = next(shop for shop, below in FROM_SHOULDER.items() if below == key)
            what = f"{named(shop)} {length_text(whole, shown)} does not go with the half length."
            rest = f"Less the front half length {length_text(v['front_waist'], shown)} it leaves {length_text(v[key], shown)}"
            why = f"{rest}; {length_text(kind.low_mm, shown)} to {length_text(kind.high_mm, shown)} is possible."
            found.append(Finding(shop, what, why, f"Measure again: {BY_KEY[shop].how}."))
    return found


def _two_ways(v: Mapping[str, float], good: Mapping[str, float], lengths_from: str, shown: Unit) -> list[Finding]:
    """The same length given under two names."""
    pairs = [(key, good[key], good[shop]) for shop, key in SAME_AS.items() if shop in good and key in good]
    if "half_length" in good and "front_half_length" in good:
        pairs.append(("front_half_length", good["half_length"], good["front_half_length"]))
    pairs += [(key, good[key], mm - v["front_waist"]) for key, mm in over_front(good, lengths_from).items() if key in good]
    return [doubt for key, first, second in pairs if (doubt := compare_twice(key, first, second, shown)) is not None]


def _stature_doubt(v: Mapping[str, float], taken: frozenset[str], good: Mapping[str, float], shown: Unit) -> list[Finding]:
    if taken & {"stature", "nape_waist", "front_waist", "waist_floor"} or "full_length" in good:
        return []
    why = f"Nothing tells it; {length_text(v['stature'], shown)}, the mean woman's, is used."
    return [Finding("stature", "The height is not known.", why, f"Measure it: {BY_KEY['stature'].how}.")]


def _body(
    values: Mapping[str, float], taken: frozenset[str] | set[str], stops: list[Finding], doubts: list[Finding], given: Mapping[str, float]
) -> Body:
    words: dict[str, str] = {}
    for finding in [*stops, *doubts]:
        words[finding.key] = f"{words[finding.key]} {finding}" if finding.key in words else str(finding)
    order = [*(key for key in BY_KEY if key in values)]
    measures = {key: Measure(values[key], "given" if key in taken or key in given else "stand_in", words.get(key)) for key in order}
    return Body(measures, tuple(stops), tuple(doubts))
