"""A rendered cutting table: printed sheets, a projector, a phone; JPEG photographs and the exact truth.

Written from the physics, apart from the program: it imports nothing of it. Use:

    pages = pages_of(folder)                    # sheet-1.png ... and sheets.json
    scene = good(seed, pages)                   # or poor(seed, pages), or hostile(name, pages)
    files = photographs(scene, [picture], out)  # RGB picture that the lamp throws -> JPEG files
    score = scored(table.mm_from_px, truth_of(scene), table.shape_error_mm)

By hand: python -m tests.virtual_table --scene good --seed 3 --sheets DIR --frame PNG --out DIR
"""

from tests.virtual_table.files import photographs
from tests.virtual_table.hostile import HOSTILE, hostile
from tests.virtual_table.paper import labels_of, pages_of, picture_of
from tests.virtual_table.scenes import LANDSCAPE_3MP, LANDSCAPE_12MP, good, poor, stuck_labels
from tests.virtual_table.truth import Score, Truth, scored, truth_of

__all__ = [
    "HOSTILE", "LANDSCAPE_3MP", "LANDSCAPE_12MP", "Score", "Truth", "good", "hostile", "labels_of", "pages_of", "photographs",
    "picture_of", "poor", "scored", "stuck_labels", "truth_of",
]  # fmt: skip
