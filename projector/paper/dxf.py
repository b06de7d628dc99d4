"""Pieces as DXF (mm): a block per piece, layers after ASTM D6673 as two independent reproductions give them.

No conformance is claimed: the standard itself was not at hand. Read back within 0.01 mm by the tests.
"""

import re
from io import StringIO

from ezdxf.enums import TextEntityAlignment
from ezdxf.filemanagement import new
from ezdxf.layouts.blocklayout import BlockLayout

from calibration.units import Unit
from projector.garment.pieces import Garment, Line, Piece
from projector.paper.drawing import KINDS, Stroke, labels_of, strokes_of
from projector.paper.svg import arranged

TEXT_LAYER = "15"
MILLIMETRES = 4  # DXF group $INSUNITS


def _up(points: Line) -> list[tuple[float, float]]:
    return [(x, -y) for x, y in points]  # a piece's y runs down the body, DXF's runs up


def _draw(block: BlockLayout, stroke: Stroke) -> None:
    layer = KINDS[stroke.kind].layer
    if stroke.kind == "point":
        return
    block.add_polyline2d(_up(stroke.points), close=stroke.closed, dxfattribs={"layer": layer})


def _block(block: BlockLayout, piece: Piece, unit: Unit, client: str) -> None:
    for stroke in strokes_of(piece):
        _draw(block, stroke)
    for x, y in piece.points:
        block.add_point((x, -y), dxfattribs={"layer": KINDS["point"].layer})
    for label in labels_of(piece, unit, client):
        text = block.add_text(label.text, height=label.size_mm, rotation=-label.turn_deg, dxfattribs={"layer": TEXT_LAYER})
        text.set_placement((label.at[0], -label.at[1]), align=TextEntityAlignment.CENTER)  # `at` is the middle of the words' foot


def pieces_dxf(garment: Garment, unit: Unit, client: str) -> bytes:
    """One DXF file; each piece is a block of its own name, inserted beside the others.

    In the file's own code page, letters beyond it as it writes them (\\U+010D): in UTF-8 programs read each as two signs.
    """
    drawing = new("R2000")
    drawing.header["$INSUNITS"] = MILLIMETRES
    drawing.header["$MEASUREMENT"] = 1
    for layer in sorted({kind.layer for kind in KINDS.values()} | {TEXT_LAYER}, key=int):
        drawing.layers.add(layer)
    shifts, _ = arranged(garment.pieces)
    for piece, (x, y) in zip(garment.pieces, shifts, strict=True):
        _block(drawing.blocks.new(piece.name), piece, unit, client)
        drawing.modelspace().add_blockref(piece.name, (x, -y))
    text = StringIO()
    drawing.write(text)
    return re.sub(rb"\\U\+[0-9a-f]{4}", lambda found: found[0].upper(), drawing.encode(text.getvalue()))  # capitals: others are not read
