"""A waist shared out over five gores.

Source: Ingalls, Text-Book on Domestic Art, "Five-gored underskirt" (chestofbooks): half front W/8, side W/6, back the rest of the half.
"""


def five_gores_mm(waist_mm: float) -> tuple[float, float, float]:
    """Waist edges over half of her: half the front gore, the side gore, the back gore. They add up to half the waist."""
    front, side = waist_mm / 8, waist_mm / 6
    return front, side, waist_mm / 2 - front - side
