"""SVG and DXF read back by other readers than the code that wrote them."""

import xml.etree.ElementTree as ElementTree
from io import StringIO

import numpy as np
from ezdxf.entities.polyline import Polyline
from ezdxf.filemanagement import read

from projector.paper.dxf import pieces_dxf
from projector.paper.svg import pieces_svg
from tests.projector.paper.sample import front, garment

SVG = "{http://www.w3.org/2000/svg}"


def test_svg_is_in_millimetres_with_a_group_a_piece_and_kinds_as_classes() -> None:
    root = ElementTree.fromstring(pieces_svg(garment(), "in", "Ada & Co"))
    assert root.attrib["width"].endswith("mm")
    assert root.attrib["viewBox"].split()[2] == root.attrib["width"].removesuffix("mm")
    group = next(item for item in root.iter(f"{SVG}g") if item.attrib.get("id") == "front")
    kinds = {item.attrib["class"].split()[1] for item in group.iter(f"{SVG}path")}
    assert {"cut", "sew", "fold", "notch", "grain", "dart", "level", "point"} <= kinds


def test_dxf_gives_every_cut_and_sewing_point_back() -> None:
    drawing = read(StringIO(pieces_dxf(garment(), "in", "Ada")))
    block = drawing.blocks.get("front")
    for layer, wanted in (("1", front().cut_line), ("14", front().seam_line)):
        lines = [line for line in block.query(f'POLYLINE[layer=="{layer}"]') if isinstance(line, Polyline)]
        points = np.array([tuple(vertex.dxf.location)[:2] for line in lines for vertex in line.vertices])
        worst = max(float(np.hypot(points[:, 0] - x, points[:, 1] + y).min()) for x, y in wanted)
        assert worst < 0.01, layer  # DXF keeps more digits than a tape; 0.01 mm is far below any cutter's line
    assert drawing.header["$INSUNITS"] == 4
    assert len(block.query('POINT[layer=="13"]')) == 1
