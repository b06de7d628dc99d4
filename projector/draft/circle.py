"""Circle skirts: half, three quarter, full. Both quarters are one ring sector, so that they are cut in one. mm.

r = waist / (2 pi turn), source in ring.py. The front's waist is longer than the back's, the sectors are equal: the bodice's side
seam then falls beside the skirt's, and a mark on the waist says where.
"""

from collections.abc import Mapping

from projector.draft.ring import Sector, sector_of_edge
from projector.draft.skirt import Quarter, Skirt, SkirtNeed, hem_level
from projector.draft.style import Style
from projector.draft.waistline import Waistline
from projector.draft.walking import VentPlan, no_vent


def circle_sector(need: SkirtNeed, style: Style, hem_y: float) -> Sector:
    """The quarter: half the front's and half the back's waist together."""
    return sector_of_edge((need.front + need.back) / 2, style.circle_turn / 4, hem_y)


def draw_circle(measures: Mapping[str, float], style: Style, need: SkirtNeed, shorter_mm: float = 0.0) -> Skirt:
    """A circle skirt on a sewn waist; a lining's is `shorter_mm` shorter."""
    said: list[str] = []
    hem_y = hem_level(measures, style, said) + need.adjust.hem - shorter_mm
    sector = circle_sector(need, style, hem_y)
    quarter = Quarter(Waistline((sector.inner,), (), (), ()), sector.side, sector.outer, 0j)
    vent: VentPlan = no_vent(measures)
    said.append("The hem of a circle skirt drops: let it hang a day before the hem is levelled and cut.")
    return Skirt(quarter, quarter, measures["waist_hip"], measures["waist_knee"], hem_y, vent, tuple(said), sector, need.front)
