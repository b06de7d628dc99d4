"""Spoilt off-shoulder bands: each has to turn the checker's `band` red."""

from typing import Any

from tests.projector.garment.spoil import Told, scaled
from tests.projector.garment.spoils import spoils

OFF: dict[str, Any] = {"sleeve": "off_shoulder"}


def _band(told: Told, side: str) -> Told:
    return next(piece for piece in told["pieces"] if piece["part"] == f"shoulder_band_{side}")


def _bodice(told: Told, part: str) -> Told:
    return next(piece for piece in told["pieces"] if piece["part"] == part and piece["of"] == "main")


@spoils("band", ", wanted one front and one back, both halves", OFF)
def a_band_that_is_not_there(told: Told) -> None:
    _band(told, "front")["part"] = "scarf"


@spoils("band", " mm; published rows lead to ", OFF)
def a_band_larger_than_she_is(told: Told) -> None:
    for side in ("front", "back"):
        scaled(_band(told, side), 1.12, 1.0)


@spoils("band", " of armhole round an arm of ", OFF)
def a_band_too_short_for_her_arms(told: Told) -> None:
    told["measures"]["upper_arm"] += 60.0


@spoils("band", " of top line: drawn in by ", OFF)
def a_band_that_stretches_the_top_line(told: Told) -> None:
    band = _band(told, "front")
    front = next(edge for edge in band["edges"] if edge["name"] == "bodice")
    arm = next(edge for edge in band["edges"] if edge["name"] == "arm")
    (x, y), joint = front["points"][0], 12.0
    front["points"] = [(x + joint, y), *front["points"][1:]]
    arm["points"] = [*arm["points"][:-1], (x + joint, y)]


@spoils("band", " of a top line of ", OFF)
def a_band_not_sewn_to_the_back(told: Told) -> None:
    told["seams"] = [seam for seam in told["seams"] if seam["name"] != "band to back top"]


@spoils("band", " degrees to ", OFF)
def a_band_that_slants(told: Told) -> None:
    for edge in _band(told, "back")["edges"]:
        edge["points"] = [(x, y + 0.05 * x) for x, y in edge["points"]]


@spoils("band", "finished ", OFF)
def a_band_lower_in_front_than_behind(told: Told) -> None:
    scaled(_band(told, "front"), 1.0, 0.9)


@spoils("band", " edge where no shoulder is", OFF)
def a_shoulder_that_was_left_on(told: Told) -> None:
    next(edge for edge in _bodice(told, "back")["edges"] if edge["kind"] == "armhole")["kind"] = "shoulder"


@spoils("band", " mm over the bust line", OFF)
def a_top_line_down_on_the_bust(told: Told) -> None:
    piece = _bodice(told, "front")
    piece["levels"]["bust"] -= 45.0


@spoils("band", "no snip where the bodice ends", OFF)
def a_band_without_its_end_snip(told: Told) -> None:
    band = _band(told, "back")
    band["notches"] = [notch for notch in band["notches"] if notch["edge"] != "arm"]


@spoils("band", "nothing says what keeps the band up", OFF)
def a_band_that_nothing_keeps_up(told: Told) -> None:
    told["warnings"] = [text for text in told["warnings"] if "elastic" not in text.lower()]


@spoils("band", "round shoulders was not measured and nothing says so", OFF)
def a_stand_in_not_told(told: Told) -> None:
    told["warnings"] = [text.replace("not measured", "fine") for text in told["warnings"]]
