"""Published size rows as cards for `pieces_for`, mm. What a table does not print is worked out here and said so."""

from collections.abc import Mapping

from calibration.units import MM_PER_INCH

Card = dict[str, float]

# ASTM D5585-11e1, inches, as printed on astm.org's page for the standard (run-together fractions split; 12 values a row).
ASTM_SIZES = ("00", "0", "2", "4", "6", "8", "10", "12", "14", "16", "18", "20")
ASTM: Mapping[str, tuple[float, ...]] = {
    "neck": (13.25, 13.5, 13.75, 14, 14.25, 14.625, 14.875, 15.125, 15.5, 15.75, 16, 16.375),
    "bust": (31.125, 31.75, 33, 34.125, 35.25, 36.25, 37.25, 38.75, 40.375, 42.125, 44, 46),
    "underbust": (25.75, 26.5, 27.25, 28, 29, 30, 31, 32.5, 34, 35.75, 37.625, 39.625),
    "upper_chest": (31.75, 32.25, 33.25, 34.125, 35, 35.875, 36.75, 38, 39.25, 40.625, 42.25, 43.875),
    "waist_curvy": (23.875, 24.625, 25.375, 26.125, 27, 28, 29, 30.75, 32.5, 34.5, 36.75, 39),
    "waist_straight": (25.375, 26.125, 26.875, 27.625, 28.5, 29.5, 30.5, 32.25, 34, 36, 38.25, 40.5),
    "shoulder": (37.125, 37.75, 38.375, 39, 39.75, 40.5, 41.25, 42, 43, 44.25, 45.5, 46.875),  # round both arms
}

# "Misses" and "Women", inches: sewingscholar.blogspot.com 2011/02; Misses again at dianassewinglessons.blogspot.com.
MISSES: Mapping[str, tuple[float, ...]] = {
    "bust": (30.5, 31.5, 32.5, 34, 36, 38, 40, 42),
    "waist": (23, 24, 25, 26.5, 28, 30, 32, 34),
    "hip": (32.5, 33.5, 34.5, 36, 38, 40, 42, 44),
    "nape_waist": (15.5, 15.75, 16, 16.25, 16.5, 16.75, 17, 17.25),
}
WOMEN: Mapping[str, tuple[float, ...]] = {
    "bust": (42, 44, 46, 48, 50, 52, 54),
    "waist": (35, 37, 39, 41.5, 44, 46.5, 49),
    "hip": (44, 46, 48, 50, 52, 54, 56),
    "nape_waist": (17.25, 17.36, 17.5, 17.63, 17.75, 17.88, 18),
}
STATURE_MM = 65.5 * MM_PER_INCH  # both tables: "5 ft 5 in to 5 ft 6 in tall without shoes"


def _arm(card: Card) -> Card:
    """Upper arm and wrist by the rules of DRAFT section 2: no table prints them, a sleeve needs them."""
    return {**card, "upper_arm": 0.307 * card["bust"], "wrist": card["bust"] / 20 + 107}


def _rows(table: Mapping[str, tuple[float, ...]]) -> list[Card]:
    return [
        _arm({key: values[i] * MM_PER_INCH for key, values in table.items()} | {"stature": STATURE_MM}) for i in range(len(table["bust"]))
    ]


def astm_rows() -> dict[str, Card]:
    """24 bodies: 12 sizes, curvy and straight. Hip (bust + 76) and stature are worked out: the page ends before them."""
    cards = {}
    for cut in ("curvy", "straight"):
        for i, size in enumerate(ASTM_SIZES):
            inches = {key: ASTM[key][i] for key in ("neck", "bust", "underbust")} | {"waist": ASTM[f"waist_{cut}"][i]}
            card = {key: value * MM_PER_INCH for key, value in inches.items()}
            cards[f"astm {size} {cut}"] = _arm(card | {"hip": card["bust"] + 76, "stature": STATURE_MM})
    return cards


def size_rows() -> dict[str, Card]:
    """All 39 published rows."""
    misses = {f"misses {6 + 2 * i}": card for i, card in enumerate(_rows(MISSES))}
    women = {f"women {size}": card for size, card in zip((38, 40, 42, 44, 46, 48, 50), _rows(WOMEN), strict=True)}
    return astm_rows() | misses | women
