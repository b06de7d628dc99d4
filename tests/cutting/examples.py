"""Small hand-made orders: a lay, its pieces and a right list of steps, all written by hand as the contract's JSON. mm."""

from collections.abc import Iterable, Sequence
from copy import deepcopy
from typing import Any

Told = dict[str, Any]
Points = Sequence[Sequence[float]]


def piece(name: str, cut_line: Points, *, on_fold: bool = False, count: int = 1, mirrored: bool = False, **more: Any) -> Told:
    """One entry of pieces.json whose sewing line is not looked at unless given."""
    told: Told = {
        "name": name,
        "part": name,
        "of": "main",
        "cloth": "main",
        "cut": {"on_fold": on_fold, "count": count, "mirrored": mirrored},
        "grain_deg": 90.0,
        "edges": [],
        "seam_line": [list(point) for point in cut_line],
        "cut_line": [list(point) for point in cut_line],
        "levels": {},
        "darts": [],
        "notches": [],
        "first_cut": [],
        "block_mm": 0.0,
        "points": [],
    }
    return {**told, **more}


def along(cut_line: Points, shift: tuple[float, float]) -> list[list[float]]:
    """Garment's length along the cloth, unturned: cloth (x, y) = piece (y, x) + shift."""
    return [[y + shift[0], x + shift[1]] for x, y in cut_line]


def placed(of: Told, outline: Points, region: str, on: Sequence[str], plies: int, part: int = 0, flipped: bool = False) -> Told:
    """One entry of `placed`."""
    return {
        "piece": of["name"],
        "of": of["of"],
        "cloth": of["cloth"],
        "region": region,
        "plies": plies,
        "on": list(on),
        "part": part,
        "outline": [list(point) for point in outline],
        "grain_deg": 0.0,
        "turned": 0,
        "flipped": flipped,
        "on_fold": of["cut"]["on_fold"],
    }


def lay_of(regions: list[Told], places: list[Told], rects: Sequence[Sequence[float]], name: str = "main", plan: str = "open") -> Told:
    """A whole lay.json of one cloth on one length."""
    parts = [
        {"bundle": 0, "rect": list(rect), "slide_from": number - 1 if number else None, "spots": [[rect[0], 50], [rect[0], 350]]}
        for number, rect in enumerate(rects)
    ]
    cloth = {
        "name": name,
        "width_mm": 1150,
        "lengths_mm": [3000],
        "up": "none",
        "gap_mm": 4,
        "end_mm": 10,
        "selvedge_mm": 10,
        "ply_mm": 0.5,
    }
    return {"format": 1, "cloth": cloth, "fold": {"plan": plan, "regions": regions}, "placed": places, "parts": parts, "others": {}}


def ply(name: str, x: Points | Sequence[float], y: Sequence[float], face: str) -> Told:
    """One ply, unturned."""
    return {"id": name, "x": list(x), "y": list(y), "turned": 0, "face": face}


def step(op: str, plies: Iterable[str] = (), **more: Any) -> Told:
    """One NN.json without a table; `cut`, `mark`, `mark_lines` give lines as (piece, points)."""
    told: Told = {
        "format": 1, "title": op, "say": op, "op": op, "state": "stop", "size": None,
        "cloth_at": {"x_mm": 20.0, "y_mm": 30.0, "turn_deg": 0.0},
        "plies": list(plies), "through": [], "frees": [], "handles": [], "part": 0, "lines": [], "labels": [], "areas": [],
    }  # fmt: skip
    told["height_mm"] = 0.5 * len(told["plies"])
    told["lines"] = [line("cut", "now", *one) for one in more.pop("cut", [])] + [line(*one) for one in more.pop("drawn", [])]
    for key in ("frees", "handles"):
        told[key] = [{"piece": name, "ply": one} for name, one in more.pop(key, [])]
    return {**told, **more}


def line(kind: str, when: str, name: str | None, points: Points) -> Told:
    """One stroke; table mm from cloth mm by the examples' cloth_at (20, 30, no turn)."""
    return {
        "kind": kind,
        "piece": name,
        "when": when,
        "mm": [[x + 20.0, y + 30.0] for x, y in points],
        "px": None,
        "width_px": None,
        "dash_mm": None,
    }


def closed(points: Points) -> list[list[float]]:
    """A ring with its first point again."""
    return [list(point) for point in [*points, points[0]]]


# ------------------------------------------------------------------ a front and a back in quarters
# Four layers: fronts (1, 2) joined at y = 0, backs (3, 4) from y = -40; piece frame (x, y) = cloth (y, x).

FRONT = piece(
    "front", [(0, 100), (80, 60), (240, 90), (250, 400), (0, 410)], on_fold=True, count=1,
    notches=[{"at": [244.84, 240], "edge": "side", "count": 1, "depth_mm": 4}],
    first_cut=[{"edge": "neck", "points": [[0, 70], [62, 69]]}],
)  # fmt: skip
"""A neck from (0, 100) to (80, 60); on a first dress it is cut from (0, 70) to the shoulder at (62, 69)."""
BACK = piece("back", [(-30, 45), (80, 40), (235, 80), (245, 400), (-30, 390)], count=2, mirrored=True)
FRONTS, BACKS = ["q.1", "q.2"], ["q.3", "q.4"]


def quarters() -> tuple[Told, Told]:
    """lay.json and pieces.json of the two, both at shift (20, 0)."""
    region = {
        "id": "q", "bundle": 0, "x": [0, 600], "y": [-50, 280],
        "ply": [ply("q.1", (0, 600), (0, 280), "wrong"), ply("q.2", (0, 600), (0, 280), "right"),
                ply("q.3", (0, 600), (-50, 280), "wrong"), ply("q.4", (0, 600), (-50, 280), "right")],
        "folds": [{"side": "y0", "joins": ["q.1", "q.2"]}, {"side": "y1", "joins": ["q.2", "q.3"]},
                  {"side": "y1", "joins": ["q.1", "q.4"]}],
    }  # fmt: skip
    places = [
        placed(FRONT, along(FRONT["cut_line"], (20, 0)), "q", FRONTS, 4),
        placed(BACK, along(BACK["cut_line"], (20, 0)), "q", BACKS, 4),
    ]
    return lay_of([region], places, [(0, -50, 600, 280)], plan="quarters_along"), {"format": 1, "pieces": [FRONT, BACK]}


def quarters_steps() -> list[Told]:
    """A right list: the outer line through four; a card; the fronts; then the backs."""
    shallow = [(70 + 20, 0), (69 + 20, 62), (60 + 20, 80)]
    # Where the front's shoulder crosses the back's, the outer line is the back's; the front's own side lies outside the back's.
    back_outer = [
        (410 + 20, 0),
        (400 + 20, 250),
        (90 + 20, 240),
        (80 + 20, 235),
        (40 + 20, 80),
        (45 + 20, -30),
        (390 + 20, -30),
        (390.9 + 20, 0),
    ]
    front = [*shallow, (90 + 20, 240)]
    back = [(80 + 20, 235), (400 + 20, 245), (390 + 20, -30)]
    outline = ("cut", "later", "back", closed(along(BACK["cut_line"], (20, 0))))
    four = [*FRONTS, *BACKS]
    return [
        step("place", four, drawn=[("fold", "mark", None, [(20, 0.8), (430, 0.8)])]),
        step("cut", four, through=four, cut=[(None, back_outer)], frees=[]),
        step("part", four, through=FRONTS, drawn=[outline]),
        step("cut", four, through=FRONTS, cut=[("front", front)], frees=[("front", one) for one in FRONTS], drawn=[outline]),
        step("mark", four, through=FRONTS, drawn=[("notch", "mark", "front", [(260, 244.84), (260, 240.84)])]),
        step("tag", four, handles=[("front", one) for one in FRONTS], drawn=[outline]),
        step("lift", four, handles=[("front", one) for one in FRONTS], drawn=[outline]),
        step("cut", BACKS, through=BACKS, cut=[("back", back)], frees=[("back", one) for one in BACKS]),
        step("tag", BACKS, handles=[("back", one) for one in BACKS], drawn=[("level", "mark", "back", [(200, 0), (200, 200)])]),
        step("lift", BACKS, handles=[("back", one) for one in BACKS], drawn=[("level", "mark", "back", [(200, 0), (200, 200)])]),
    ]


# ------------------------------------------------------------------ an open layer in two parts, a fused block

SLEEVE = piece("sleeve", [(0, 0), (200, 0), (200, 300), (0, 300)], count=2, mirrored=True)
FACING = piece("facing", [(0, 0), (100, 0), (100, 200), (0, 200)], block_mm=20.0, of="facing")


def open_lay() -> tuple[Told, Told]:
    """Two sleeves and a block on one layer, the second sleeve in a second part."""
    region = {"id": "o", "bundle": 0, "x": [0, 1200], "y": [10, 400], "ply": [ply("o.1", (0, 1200), (10, 400), "right")], "folds": []}
    block = [[30, 20], [270, 20], [270, 160], [30, 160]]
    places = [
        placed(SLEEVE, along(SLEEVE["cut_line"], (280, 100)), "o", ["o.1"], 1),
        placed(FACING, block, "o", ["o.1"], 1),
        placed(SLEEVE, [[700 + y, 300 - x] for x, y in SLEEVE["cut_line"]], "o", ["o.1"], 1, part=1, flipped=True),
    ]
    return lay_of([region], places, [(0, 0, 640, 400), (640, 0, 1200, 400)]), {"format": 1, "pieces": [SLEEVE, FACING]}


def open_steps() -> list[Told]:
    """A right list: block and first sleeve, pull the cloth, second sleeve, fuse, trim."""
    block = [(30, 20), (270, 20), (270, 160), (30, 160)]
    first = closed([(280, 100), (580, 100), (580, 300), (280, 300)])
    second = closed([(700, 100), (1000, 100), (1000, 300), (700, 300)])
    trim = closed([(50, 40), (250, 40), (250, 140), (50, 140)])
    pulled = {"x_mm": -600.0, "y_mm": 30.0, "turn_deg": 0.0}
    one = ["o.1"]
    steps = [
        step("cut", one, through=one, cut=[("facing", closed(block))], frees=[("facing", "o.1")]),
        step("cut", one, through=one, cut=[("sleeve", first)], frees=[("sleeve", "o.1")]),
        step("tag", one, handles=[("facing", "o.1"), ("sleeve", "o.1")]),
        step("lift", one, handles=[("facing", "o.1"), ("sleeve", "o.1")]),
        step("slide", one, part=1, cloth_at=pulled),
        step("cut", one, through=one, part=1, cloth_at=pulled, frees=[("sleeve", "o.1")]),
        step("tag", one, part=1, cloth_at=pulled, handles=[("sleeve", "o.1")]),
        step("lift", one, part=1, cloth_at=pulled, handles=[("sleeve", "o.1")]),
        step("place", one),
        step("fuse", one, handles=[("facing", "o.1")]),
        step("cut", one, handles=[("facing", "o.1")], cut=[("facing", trim)]),
    ]
    steps[5]["lines"] = [{**line("cut", "now", "sleeve", second), "mm": [[x - 600.0, y + 30.0] for x, y in second]}]
    return steps


# ------------------------------------------------------------------ bias strips in what an open layer leaves, and beyond it

STRIPS = [
    [[1060 + n * 56.5685, 20], [1116.5685 + n * 56.5685, 20], [1486.5685 + n * 56.5685, 390], [1430 + n * 56.5685, 390]] for n in (0, 1)
]
"""Two strips side by side, 40 mm wide and 523 mm long."""
BOUND = {"bundle": 0, "width_mm": 40.0, "wanted_mm": 970.0, "length_mm": 972.5, "extra_mm": 0.0}
"""Joined: twice 523.26, less 2 x 12 x 1.414 at the join, less 40 to square the ends."""


def bound_lay(is_apart: bool = False) -> tuple[Told, Told]:
    """The open lay, longer, with two bias strips after its second sleeve; or on cloth of its own beyond it (x 1000 mm less)."""
    lay, pieces = open_lay()
    (region,) = lay["fold"]["regions"]
    region["x"], region["ply"][0]["x"], lay["parts"][1]["rect"] = [0, 1700], [0, 1700], [640, 0, 1700, 400]
    lay["binding"] = {**BOUND, "region": "o", "ply": "o.1", "strips": STRIPS, "part_of": [1, 1], "parts": []}
    if is_apart:
        strips = [[[x - 1000.0, y] for x, y in strip] for strip in STRIPS]
        apart = {"bundle": 0, "rect": [0, 0, 600, 400], "slide_from": None, "spots": []}
        lay["binding"].update(region="", ply="o-binding.1", strips=strips, part_of=[0, 0], parts=[apart], extra_mm=600.0)
    return lay, pieces


def bound_steps(is_apart: bool = False, strips: list[list[list[float]]] | None = None) -> list[Told]:
    """The right list of the open lay with the strips cut after the second sleeve is lifted; those beyond it opened first."""
    told, at = open_steps(), {"x_mm": -600.0, "y_mm": 30.0, "turn_deg": 0.0}
    shift = -620.0
    if is_apart:
        at, shift = {"x_mm": 20.0, "y_mm": 30.0, "turn_deg": 0.0}, -1000.0
    ply, part = (["o-binding.1"], 0) if is_apart else (["o.1"], 1)
    drawn = [(None, closed([[x + shift, y] for x, y in strip])) for strip in strips or STRIPS]
    own = [step("fold", ply, part=part, cloth_at=at)] if is_apart else []
    return [*told[:8], *own, step("cut", ply, through=ply, part=part, cloth_at=at, cut=drawn), *told[8:]]


# ------------------------------------------------------------------ a dress changed after its sleeves were cut

NARROW = piece(
    "sleeve", [(0, 0), (190, 0), (190, 300), (0, 300)], count=2, mirrored=True,
    notches=[{"at": [185, 200], "edge": "under", "count": 1, "depth_mm": 4}], edges=[{"allowance_mm": 5.0}], was=SLEEVE,
)  # fmt: skip
"""10 mm narrower than the sleeve that was cut; with a snip that the other had not."""


def again_lay() -> tuple[Told, Told]:
    """The open lay, its outlines as first cut, and the pieces of the changed dress."""
    lay, _ = open_lay()
    shifts = iter([(280.0, 100.0), (30.0, 40.0), (700.0, 300.0)])
    for one in lay["placed"]:
        one.update(across=False, shift=list(next(shifts)))
    return lay, {"format": 1, "pieces": [NARROW, FACING]}


def again_steps() -> list[Told]:
    """The right list of the open lay, then both sleeves laid back, cut again, snipped, tagged."""
    told = open_steps()
    handles, one = [("sleeve", "o.1")], ["o.1"]
    edges = [(280, 100), (280, 300)], [(700, 300), (700, 100)]
    for part, (dx, (first, second)) in enumerate(zip((0.0, -620.0), edges, strict=True)):
        at = {"x_mm": 20.0 + dx, "y_mm": 30.0, "turn_deg": 0.0}
        crosses = [
            ("cross", "now", None, way)
            for x, y in (first, second)
            for way in ([(x + dx - 25, y), (x + dx + 25, y)], [(x + dx, y - 25), (x + dx, y + 25)])
        ]
        line_y, snip_y, in_y = (290, 290, 286) if part == 0 else (110, 110, 114)
        x = first[0] + dx
        told += [
            step("place", [], part=part, cloth_at=at, drawn=crosses),
            step("cut", one, part=part, cloth_at=at, handles=handles, cut=[("sleeve", [(x - 3, line_y), (x + 303, line_y)])]),
            step("mark", one, part=part, cloth_at=at, through=one,
                 drawn=[("notch", "mark", "sleeve", [(x + 200, snip_y), (x + 200, in_y)])]),
            step("tag", one, part=part, cloth_at=at, handles=handles),
        ]  # fmt: skip
    return told


def changed(steps: list[Told], number: int, **more: Any) -> list[Told]:
    """The list with step `number` (from 0) changed; a deep copy."""
    told = deepcopy(steps)
    told[number] = {**told[number], **deepcopy(more)}
    return told


def without(steps: list[Told], *numbers: int) -> list[Told]:
    """The list without these steps."""
    return [deepcopy(one) for number, one in enumerate(steps) if number not in numbers]


def swapped(steps: list[Told], a: int, b: int) -> list[Told]:
    """The list with two steps changed about."""
    told = deepcopy(steps)
    told[a], told[b] = told[b], told[a]
    return told
