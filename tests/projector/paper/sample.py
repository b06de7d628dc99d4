"""A hand-made front on the fold with one curved edge: numbers anyone can check with a ruler."""

from dataclasses import replace
from math import cos, pi, sin
from typing import Any

from projector.book.orders import load_order, read_client
from projector.book.places import configs_folder
from projector.draft.style import style_from_mapping
from projector.garment.pieces import Dart, Edge, Garment, Notch, Piece
from projector.making import garment_of


def front() -> Piece:
    """240 × 420 mm, armhole a quarter circle of 90 mm radius at the upper side, 10 mm allowance save on the fold."""
    arc = tuple((240 - 90 + 90 * (1 - cos(t)), 90 * sin(t)) for t in [pi / 2 * k / 40 for k in range(41)])
    edges = (
        Edge("shoulder", "shoulder", ((0.0, 0.0), (150.0, 0.0)), 10.0),
        Edge("armhole", "armhole", arc, 10.0),
        Edge("side", "side", ((240.0, 90.0), (240.0, 420.0)), 10.0),
        Edge("waist", "waist", ((240.0, 420.0), (0.0, 420.0)), 10.0),
        Edge("centre front", "centre", ((0.0, 420.0), (0.0, 0.0)), 0.0, fold=True),
    )
    ring = tuple(point for edge in edges for point in edge.points[:-1])
    inner = tuple((150 + 80 * (1 - cos(t)) + 10 * 1.0, 80 * sin(t) - 0.0) for t in [pi / 2 * k / 40 for k in range(41)])
    cut = ((0.0, -10.0), (160.0, -10.0), *((x, y) for x, y in inner), (250.0, 80.0), (250.0, 430.0), (0.0, 430.0))
    return Piece(
        name="front", part="front", of="main", cloth="main", on_fold=True, count=1, mirrored=False, grain_deg=90.0,
        edges=edges, seam_line=ring, cut_line=cut, levels={"bust": 200.0},
        darts=(Dart(((90.0, 420.0), (100.0, 300.0), (110.0, 420.0))),),
        notches=(Notch((240.0, 300.0), "side", 1, 4.0),), points=((95.0, 210.0),),
    )  # fmt: skip


def garment() -> Garment:
    """The one piece as a whole order."""
    return Garment((front(),), (), (), {"bust": 920.0}, {}, (), "sample")


DRAFTS: dict[str, tuple[str, dict[str, Any]]] = {
    "waist over hip, princess, long sleeves": ("rosalind", {"sleeve": "long", "skirt": "a_line"}),
    "small, V neck, circle": ("wren", {"neck": "v", "princess": "shoulder", "sleeve": "puff", "skirt": "circle"}),
    "tall, straight, fitted": ("noor", {"neck": "square", "princess": "none", "length": "full", "fitted": True}),
    "hourglass, boat, peplum": ("marisol", {"neck": "boat", "sleeve": "flutter", "peplum_mm": 160, "facings": False}),
    "off the shoulder": ("wren", {"sleeve": "off_shoulder", "princess": "none", "lining": False}),
    "no bodice": ("ilse", {"bodice": False, "skirt": "tapered"}),
}
"""Sample bodies and styles that between them hold every kind of edge."""


def drafted(name: str) -> Garment:
    """One of DRAFTS, as the program drafts it."""
    client, style = DRAFTS[name]
    order = load_order(str(configs_folder() / "orders" / "sample.yaml"))
    return garment_of(replace(order, client=read_client(configs_folder() / "clients" / f"{client}.yaml"), style=style_from_mapping(style)))
