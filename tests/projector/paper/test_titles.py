"""Every word on a piece stands inside its sewing line and on nothing else, what is cut first outside it: by the letters' own widths."""

from functools import lru_cache
from itertools import combinations
from pathlib import Path

import pytest
from fontTools.ttLib import TTFont
from shapely import LineString, Polygon, affinity, box

import projector.scene as scene
from projector.body.complete import complete_measures
from projector.draft.style import style_from_mapping
from projector.garment.build import build
from projector.garment.figure import draft_measures
from projector.paper.drawing import labels_of, strokes_of
from projector.paper.titles import Label
from tests.published.bodies import EXTREMES
from tests.published.styles import MIXES

CLIENT = "Rosalind Achterberg"
READABLE_MM = 1.5  # as small as the figures on a tape


@lru_cache
def _font() -> TTFont:
    return TTFont(Path(scene.__file__).parent / "fonts" / "NotoSans-Regular.ttf")


def _covered(label: Label) -> Polygon:
    """Advance widths of the font's own table, kerning left out: it only draws letters together."""
    advance, signs = _font()["hmtx"], _font().getBestCmap()
    wide = sum(advance[signs[ord(sign)]][0] for sign in label.text) / _font()["OS/2"].sCapHeight * label.size_mm
    x, y = label.at
    return affinity.rotate(box(x - wide / 2, y - label.size_mm, x + wide / 2, y), label.turn_deg, origin=label.at)


@pytest.mark.parametrize("style", sorted(MIXES))
@pytest.mark.parametrize("body", ["tall", "big cup"])
def test_words_lie_inside_the_sewing_line_and_apart(body: str, style: str) -> None:
    chosen = style_from_mapping(MIXES[style])
    card = complete_measures(dict(EXTREMES[body]), "waist", needs_sleeve=chosen.is_sleeved, needs_bodice=chosen.bodice)
    for piece in build(draft_measures(card), chosen).pieces:
        shape = Polygon(piece.seam_line).buffer(0.1)
        labels = labels_of(piece, "in", CLIENT)
        covered = [_covered(label) for label in labels]
        for label, each in zip(labels, covered, strict=True):
            assert label.size_mm >= READABLE_MM
            if label.text == "cut here first":
                first = [LineString(line.points) for line in piece.first_cut]
                assert not each.intersects(Polygon(piece.cut_line)), piece.name
                assert not any(each.intersects(line) for line in first), piece.name
                assert min(each.distance(line) for line in first) < 15.0, piece.name
                continue
            assert shape.contains(each), (piece.name, label)
        for one, two in combinations(range(len(labels)), 2):
            assert covered[one].intersection(covered[two]).area < 0.5, (piece.name, labels[one].text, labels[two].text)
        drawn = [LineString(stroke.points) for stroke in strokes_of(piece) if stroke.kind in ("dart", "grain")]
        beside = ("cut here first", *(label.text for label in labels if label.text.endswith(" in")))  # allowances
        words = [each for label, each in zip(labels, covered, strict=True) if label.text not in beside]
        crossed = [(piece.name, line.wkt[:60]) for line in drawn for each in words if each.intersects(line)]
        assert not crossed
