"""What lies outside the sewing line and under it: allowances, hems, facings, linings, snips, first cuts, measured on the cut line itself.

Sources: hem 50.8 and 6.4 to 10 at neck and armhole, dressmaking manuals (sewing guild, seam allowance pages); facing 38 at least (Complete
Course in Dressmaking); 50.8 at side and zip of a first dress, 25 at shoulder and waist: the trade's practice, no source; all else ours.
NEAR 0.1 mm: points are rounded to 1e-4, curves flattened to 0.05.
"""

from functools import lru_cache
from typing import Any

import pytest
import shapely

from projector.api import pieces_for
from projector.garment.make_piece import snip_mm
from tests.published.pieces import line_mm, named
from tests.published.test_shared_frame import MIDDLE

NEAR = 0.1


@lru_cache
def made(**style: Any) -> dict[tuple[str, str], dict[str, Any]]:
    """(of, part) → piece."""
    return {(piece["of"], piece["part"]): piece for piece in pieces_for(MIDDLE, style)["pieces"]}


def beyond_mm(piece: dict[str, Any], name: str) -> float:
    """From the middle of an edge out to the cut line."""
    line = shapely.LineString(named(piece, name))
    middle = line.interpolate(0.5, normalized=True)
    return float(shapely.LinearRing(piece["cut_line"]).distance(middle))


FIRST = {
    ("main", "front", "neck"): 10, ("main", "front", "shoulder"): 25, ("main", "front", "armhole"): 12, ("main", "front", "princess"): 15,
    ("main", "front", "waist"): 25, ("main", "front_side", "side"): 50.8, ("main", "back", "zip"): 50.8,
    ("main", "skirt_back", "centre"): 50.8,
    ("main", "skirt_front", "hem"): 50.8, ("main", "sleeve", "cap front"): 12, ("main", "sleeve", "under front"): 15,
    ("main", "sleeve", "hem"): 38, ("lining", "skirt_front", "hem"): 20, ("lining", "sleeve", "hem"): 20,
    ("facing", "front_neck_facing", "facing"): 10,
}  # fmt: skip


@pytest.mark.parametrize("edge_of", FIRST)
def test_first_dress(edge_of: tuple[str, str, str]) -> None:
    """A client's first dress, long sleeves, lined, zip behind."""
    of, part, name = edge_of
    assert beyond_mm(made(sleeve="long")[of, part], name) == pytest.approx(FIRST[edge_of], abs=NEAR)


FITTED = {("front", "shoulder"): 15, ("front", "waist"): 15, ("front_side", "side"): 25, ("back", "zip"): 25, ("front", "armhole"): 10}


@pytest.mark.parametrize("edge_of", FITTED)
def test_fitted_dress(edge_of: tuple[str, str]) -> None:
    """Once a fitting is recorded; sleeveless."""
    assert beyond_mm(made(fitted=True)["main", edge_of[0]], edge_of[1]) == pytest.approx(FITTED[edge_of], abs=NEAR)


def test_narrow_hems_and_free_edges() -> None:
    """10 at a circle's hem (trade) and a peplum's; a lining's hem no wider; 6 at a facing's free edge; a strip's edge turned in by 8."""
    circle = made(skirt="circle")
    assert beyond_mm(circle["main", "skirt_front"], "hem") == pytest.approx(10.0, abs=NEAR)
    assert beyond_mm(circle["lining", "skirt_front"], "hem") == pytest.approx(10.0, abs=NEAR)
    assert beyond_mm(made(peplum_mm=150)["main", "peplum_front"], "hem") == pytest.approx(10.0, abs=NEAR)
    assert beyond_mm(made(lining=False)["facing", "front_facing"], "facing") == pytest.approx(6.0, abs=NEAR)
    assert beyond_mm(made(lining=False, facings=False)["main", "binding"], "inside") == pytest.approx(8.0, abs=NEAR)
    assert beyond_mm(made(zip="side")["main", "skirt_back"], "waist 1") == pytest.approx(25.0, abs=NEAR)


def test_snips() -> None:
    """4 deep, never nearer than 3 to the sewing line: 3 in an allowance of 6 is the least there is."""
    depths = {round(notch["depth_mm"], 2) for piece in made(sleeve="long").values() for notch in piece["notches"]}
    assert depths == {4.0}
    for piece in made().values():
        for notch in piece["notches"]:
            allowance = next(each["allowance_mm"] for each in piece["edges"] if each["name"] == notch["edge"])
            assert allowance - notch["depth_mm"] >= 3.0


def test_neck_facing() -> None:
    """60 at the centre and on the shoulder, parallel to the neck; a shoulder of less is shared with the lining, which keeps 10."""
    facing = made(sleeve="long")["facing", "front_neck_facing"]
    assert line_mm(named(facing, "centre")) == pytest.approx(60.0, abs=NEAR)
    assert line_mm(named(facing, "shoulder")) == pytest.approx(60.0, abs=1.0)  # front and back are made alike there
    narrow = pieces_for(MIDDLE, {"sleeve": "long", "neck_widen_mm": 80})["pieces"]
    strap = next(line_mm(named(piece, "shoulder")) for piece in narrow if (piece["of"], piece["part"]) == ("main", "front"))
    facing = next(piece for piece in narrow if piece["part"] == "front_neck_facing" and piece["of"] == "facing")
    assert line_mm(named(facing, "shoulder")) == pytest.approx(strap - 10, abs=NEAR)


def test_facing_in_one() -> None:
    """50 down the side under the armhole; 60 below the back neck; 41 (38 and a little) from neck and armhole everywhere."""
    for part in ("front_facing", "back_facing"):
        facing = made()["facing", part]
        assert line_mm(named(facing, "side")) == pytest.approx(50.0, abs=NEAR)
        inner = shapely.LineString(named(facing, "facing"))
        least = min(inner.distance(shapely.LineString(named(facing, name))) for name in ("neck", "armhole"))
        assert 41 - NEAR <= least < 45  # as little bent as keeps it, in small steps
    back = made()["facing", "back_facing"]
    centre = next(edge_["points"] for edge_ in back["edges"] if edge_["kind"] == "opening")
    assert line_mm([tuple(point) for point in centre]) == pytest.approx(60.0, abs=NEAR)


def test_lining_to_the_edge() -> None:
    """Without facings 2 mm inside neck and armhole, so that its seam rolls out of sight; its hems 25 shorter (from memory)."""
    for part, name in (("front", "neck"), ("back", "neck"), ("back", "armhole")):
        own, lining = (made(facings=False)[of, part] for of in ("main", "lining"))
        middle = shapely.LineString(named(own, name)).interpolate(0.5, normalized=True)
        assert shapely.LineString(named(lining, name)).distance(middle) == pytest.approx(2.0, abs=NEAR)
    sleeves = [made(sleeve="long")[of, "sleeve"] for of in ("main", "lining")]
    assert named(sleeves[0], "hem")[0][1] - named(sleeves[1], "hem")[0][1] == pytest.approx(25.0, abs=NEAR)


def test_lining_darts_lie_lower() -> None:
    """Darts only: 40 further down the side than the dress's, clear of a facing in one (ours)."""
    found = made(princess="none")
    dress = line_mm(named(found["main", "front"], "side 1"))
    under = line_mm(named(found["facing", "front_facing"], "side"))
    lining = line_mm(named(found["lining", "front"], "side 1"))
    assert lining + under - dress == pytest.approx(40.0, abs=NEAR)


def test_shallow_neck_of_a_first_dress() -> None:
    """25 higher at the centre than its cut line, running out to it at the shoulder (common practice, no source)."""
    front = made()["main", "front"]
    (first,) = front["first_cut"]
    cut = shapely.LinearRing(front["cut_line"])
    start = tuple(first["points"][0])
    assert named(front, "neck")[0][1] - 10 - start[1] == pytest.approx(25.0, abs=NEAR)
    assert cut.distance(shapely.Point(first["points"][-1])) < NEAR
    square = made(neck="square", neck_drop_mm=20)["main", "front"]
    (first,) = square["first_cut"]
    assert named(square, "neck")[0][1] - 10 - first["points"][0][1] == pytest.approx(25.0, abs=NEAR)
    thin = {**MIDDLE, "neck": 281.0, "bust": 850.0, "underbust": 735.0, "neck_depth": 40.0}  # 47 deep: 30 of the upright stay
    found = pieces_for(thin, {"neck": "square"})["pieces"]
    shallow = next(piece for piece in found if piece["part"] == "front" and piece["of"] == "main")
    y = shallow["first_cut"][0]["points"][0][1] + 10
    assert y - named(shallow, "neck upright")[-1][1] == pytest.approx(30.0, abs=NEAR)


@pytest.mark.parametrize("style", [{}, {"neck_drop_mm": 100}, {"neck": "boat"}, {"neck_widen_mm": 60, "princess": "shoulder"}], ids=str)
def test_first_neck_line_is_level_at_the_centre(style: dict[str, Any]) -> None:
    """No place of it hangs lower than its centre, where the two halves meet: no more than flattening takes (0.05)."""
    (first,) = made(**style)["main", "front"]["first_cut"]
    assert first["points"][0][0] == pytest.approx(0.0, abs=1e-6)
    assert max(y for _, y in first["points"]) - first["points"][0][1] < 0.05


def test_first_line_of_a_boat_neck_is_raised_by_half_its_depth() -> None:
    """25 would raise its centre over its shoulder (ours)."""
    front = made(neck="boat")["main", "front"]
    (first,) = front["first_cut"]
    lowest, centre, corner = named(front, "neck")[0][1] - 10, first["points"][0][1], first["points"][-1][1]
    assert lowest - centre == pytest.approx((lowest - corner) / 2, abs=NEAR)
    assert lowest - centre < 20


def test_circle_waist_is_cut_10_short() -> None:
    """And let out once the skirt has hung (trade)."""
    front = made(skirt="circle")["main", "skirt_front"]
    (first,) = front["first_cut"]
    middle = shapely.LineString(first["points"]).interpolate(0.5, normalized=True)
    assert shapely.LinearRing(front["cut_line"]).distance(middle) == pytest.approx(10.0, abs=NEAR)


def test_fused_block() -> None:
    """Cut with 15 to 30 to spare (Industrial Cutting of Textile Materials): 20."""
    assert {piece["block_mm"] for piece in made(sleeve="long").values() if piece["of"] == "facing"} == {20.0}


def test_partners_meet_raw() -> None:
    """Armhole and cap have one amount with a sleeve, so that raw edges meet when sewn (12; drafting pages 6.4 to 10 and 12)."""
    found = made(sleeve="long")
    assert beyond_mm(found["main", "back"], "armhole") == pytest.approx(beyond_mm(found["main", "sleeve"], "cap back"), abs=NEAR)


@pytest.mark.parametrize(("allowance", "deep"), [(50.8, 4.0), (10.0, 4.0), (7.0, 4.0), (6.5, 3.5), (6.0, 3.0)])
def test_snips_in_narrow_allowances(allowance: float, deep: float) -> None:
    """Cutting rule: 4 (3 to 6), the last 3 mm before the sewing line stay whole."""
    assert snip_mm(allowance) == pytest.approx(deep)


@pytest.mark.parametrize("deep", [110, 130, 150])
def test_lining_darts_keep_18_off_their_facing(deep: int) -> None:
    """Under a deep back neck's facing their tips slide down their own axis, in steps of 3, until so much lies between (ours)."""
    found = made(back_neck_mm=deep)
    lining, dress = found["lining", "back"], found["main", "back"]
    facing = next(shapely.LineString(each["points"]) for each in lining["edges"] if each["kind"] == "facing")
    tip = lining["darts"][0]["legs"][1]
    assert tip[1] > dress["darts"][0]["legs"][1][1] + 1
    assert 18.0 - NEAR <= facing.distance(shapely.Point(tip)) < 18.0 + 3.0


SEAMS: dict[str, tuple[dict[str, Any], float, float]] = {
    "princess": ({}, 0.0, 0.5), "side": ({}, 0.0, 0.5), "shoulder": ({}, 6.0, 1.0),
    "sleeve to front armhole": ({"sleeve": "long"}, 11.25, 1.0), "sleeve to back armhole": ({"sleeve": "long"}, 13.75, 1.0),
    "front facing to lining": ({}, 0.0, 11.0), "facing side": ({}, 0.0, 1.0),
    "neck binding": ({"lining": False, "facings": False}, 0.0, 1.0),
    "front neck to lining": ({"facings": False}, 0.0, 10.0),
}  # fmt: skip


@pytest.mark.parametrize("name", SEAMS)
def test_what_a_seam_may_differ_by(name: str) -> None:
    """Plain seams 0.5, well under the 1/16 in that Threads 200 allows along a seam; shoulder 6 and cap 25 (45 % in front) eased in;
    what is turned in against a shaped edge by more (ours)."""
    style, ease, slack = SEAMS[name]
    seam = next(seam for seam in pieces_for(MIDDLE, style)["seams"] if seam["name"] == name)
    assert seam["ease_mm"] == pytest.approx((ease - slack, ease + slack), abs=0.05)


def test_gathers_and_corners() -> None:
    """Gathers are told give or take 25; corners that run on over a seam miss 180 degrees by 3 at most, an eased cap by 12 (P07)."""
    found = pieces_for(MIDDLE, {"sleeve": "puff", "lining": False})
    puff = next(seam for seam in found["seams"] if seam["name"] == "puff to front armhole")
    more = puff["a_mm"] - puff["b_mm"]
    assert puff["ease_mm"] == pytest.approx((more - 25, more + 25), abs=NEAR)
    joins = {join["name"]: join["tol_deg"] for join in pieces_for(MIDDLE, {"sleeve": "long"})["joins"]}
    assert joins["armhole over princess"] == 3.0
    assert joins["cap over sleeve under"] == 12.0
