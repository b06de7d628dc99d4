"""SVG and DXF of real drafts read back by other readers than the code that wrote them."""

import re
import xml.etree.ElementTree as ElementTree
from functools import lru_cache
from io import StringIO

import numpy as np
import pytest
from ezdxf.document import Drawing
from ezdxf.entities.polyline import Polyline
from ezdxf.entities.text import Text
from ezdxf.enums import TextEntityAlignment
from ezdxf.filemanagement import read
from scipy.spatial import cKDTree

from projector.garment.pieces import Garment, Piece
from projector.paper.drawing import labels_of
from projector.paper.dxf import pieces_dxf
from projector.paper.svg import pieces_svg
from tests.projector.paper.sample import DRAFTS, drafted

SVG = "{http://www.w3.org/2000/svg}"
TOLERANCE_MM = 0.01  # both keep more digits than a tape; 0.01 mm is far below any cutter's line
NAMES = list(DRAFTS)[:2]


@lru_cache
def draft(name: str) -> Garment:
    return drafted(name)


def sewn(piece: Piece) -> np.ndarray:
    return np.vstack([np.array(edge.points) for edge in piece.edges if not edge.fold])


def worst_mm(points: np.ndarray, wanted: np.ndarray) -> float:
    return float(cKDTree(points).query(wanted)[0].max())


@pytest.mark.parametrize("name", NAMES)
def test_svg_is_in_millimetres_with_a_group_a_piece_and_kinds_as_classes(name: str) -> None:
    root = ElementTree.fromstring(pieces_svg(draft(name), "in", "Ada & Co"))
    assert root.attrib["width"].endswith("mm")
    assert root.attrib["height"].endswith("mm")
    assert root.attrib["viewBox"].split()[2:] == [root.attrib[side].removesuffix("mm") for side in ("width", "height")]
    groups = {group.attrib["id"]: group for group in root.iter(f"{SVG}g") if "id" in group.attrib}
    assert list(groups) == [piece.name for piece in draft(name).pieces]
    for piece in draft(name).pieces:
        drawn: dict[str, list[np.ndarray]] = {}
        for path in groups[piece.name].iter(f"{SVG}path"):
            numbers = np.array([float(number) for number in re.findall(r"-?\d+\.?\d*", path.attrib["d"])]).reshape(-1, 2)
            drawn.setdefault(path.attrib["class"].split()[1], []).append(numbers)
        assert worst_mm(np.vstack(drawn["cut"]), np.array(piece.cut_line)) < TOLERANCE_MM
        assert worst_mm(np.vstack(drawn["sew"]), sewn(piece)) < TOLERANCE_MM
        if piece.first_cut:
            assert worst_mm(np.vstack(drawn["first"]), np.vstack([first.points for first in piece.first_cut])) < TOLERANCE_MM
        there = {"first": piece.first_cut, "notch": piece.notches, "dart": piece.darts, "level": piece.levels, "fold": piece.on_fold}
        assert set(there) & set(drawn) == {kind for kind, any_of in there.items() if any_of}


def read_back(data: bytes) -> Drawing:
    r"""As programs read it: by the code page that the file names, Windows' western one; other signs as `\U+` and four large figures."""
    text = data.decode("cp1252")
    assert "$DWGCODEPAGE" in text
    assert "ANSI_1252" in text
    return read(StringIO(re.sub(r"\\U\+([0-9A-F]{4})", lambda found: chr(int(found[1], 16)), text)))


def test_words_in_a_dxf_stand_where_they_stand_on_paper_and_keep_their_letters() -> None:
    """Before, each began at its middle and ran out of its piece, and a č was read as two signs."""
    client = "Ilse Kovač"
    drawing = read_back(pieces_dxf(draft(NAMES[1]), "in", client))
    for piece in draft(NAMES[1]).pieces:
        told = [text.get_placement() for text in drawing.blocks.get(piece.name).query("TEXT") if isinstance(text, Text)]
        words = [text.dxf.text for text in drawing.blocks.get(piece.name).query("TEXT")]
        labels = labels_of(piece, "in", client)
        assert words == [label.text for label in labels]
        assert {align for align, _, _ in told} == {TextEntityAlignment.CENTER}
        feet = np.array([(at.x, -at.y) for _, at, _ in told])
        assert np.abs(feet - np.array([label.at for label in labels])).max() < TOLERANCE_MM


@pytest.mark.parametrize("name", NAMES[1:])
def test_dxf_gives_every_cut_and_sewing_point_back(name: str) -> None:
    drawing = read_back(pieces_dxf(draft(name), "in", "Ada"))
    assert drawing.header["$INSUNITS"] == 4  # millimetres
    assert len(drawing.audit().errors) == 0
    for piece in draft(name).pieces:
        block = drawing.blocks.get(piece.name)
        for layer, wanted in (("1", np.array(piece.cut_line)), ("14", sewn(piece))):
            lines = [line for line in block.query(f'POLYLINE[layer=="{layer}"]') if isinstance(line, Polyline)]
            points = np.array([tuple(vertex.dxf.location)[:2] for line in lines for vertex in line.vertices])
            assert worst_mm(points * (1.0, -1.0), wanted) < TOLERANCE_MM, (piece.name, layer)
        (fold,) = block.query('POLYLINE[layer=="6"]') or (None,)
        if isinstance(fold, Polyline):  # as far as the cut line goes on the fold
            ends = np.array([tuple(vertex.dxf.location)[:2] for vertex in fold.vertices]) * (1.0, -1.0)
            assert worst_mm(np.array([*piece.cut_line, *(p for first in piece.first_cut for p in first.points)]), ends) < TOLERANCE_MM
        assert len(block.query('POINT[layer=="13"]')) == len(piece.points)
        assert len(block.query('POLYLINE[layer=="4"]')) == sum(notch.count for notch in piece.notches)
        assert len(block.query('POLYLINE[layer=="6"]')) == sum(edge.fold for edge in piece.edges)
        assert len(block.query('POLYLINE[layer=="7"]')) == 5, piece.name  # the grain arrow: shaft and four barbs
    assert {block.name for block in drawing.blocks if not block.name.startswith("*")} == {piece.name for piece in draft(name).pieces}
    assert [entity.dxf.name for entity in drawing.modelspace().query("INSERT")] == [piece.name for piece in draft(name).pieces]
