"""A damaged lay.json is told in words before anything is reckoned from it; what the lay command writes is taken as it stands."""

import json
from collections.abc import Callable
from typing import Any

import pytest

from calibration.errors import WrongInput
from projector.lay_file import lay_read
from tests.projector.steps.by_hand import lay, placed, rectangle

Told = dict[str, Any]


def _set(*path: str | int) -> Callable[[Any], Callable[[Told], None]]:
    def to(value: Any) -> Callable[[Told], None]:
        def damage(told: Told) -> None:
            here: Any = told
            for step in path[:-1]:
                here = here[step]
            here[path[-1]] = value

        return damage

    return to


WHOLE = lay([placed(rectangle("skirt", 200.0, 300.0), (20.0, 20.0), ["main-1.1"])]).as_json()
DAMAGES = {
    "a layer that is not there": _set("placed", 0, "on")(["main-9.9"]),
    "no layer": _set("placed", 0, "on")([]),
    "a region that is not there": _set("placed", 0, "region")("x"),
    "two regions of a name": lambda told: told["fold"]["regions"].append(told["fold"]["regions"][0]),
    "no region": _set("fold", "regions")([]),
    "a part that is not there": _set("placed", 0, "part")(7),
    "a part before the first": _set("placed", 0, "part")(-1),
    "a part after none": _set("parts", 0, "slide_from")(5),
    "a part without extent": _set("parts", 0, "rect")([0.0, 0.0, 0.0, 10.0]),
    "a part on another length": _set("parts", 0, "bundle")(3),
    "three numbers for four": _set("parts", 0, "rect")([0.0, 0.0, 10.0]),
    "a word for a number": _set("fold", "regions", 0, "x")(["x", 3.0]),
    "a layer the wrong way round": _set("fold", "regions", 0, "ply", 0, "x")([900.0, 0.0]),
    "a fold to nowhere": _set("fold", "regions", 0, "folds")([{"side": "y0", "joins": ["a", "b"]}]),
    "no number": _set("placed", 0, "shift")([float("nan"), 0.0]),
    "two points": lambda told: told["placed"][0].update(outline=told["placed"][0]["outline"][:2]),
    "an outline across itself": lambda told: told["placed"][0].update(outline=[[0, 0], [100, 100], [100, 0], [0, 100]]),
    "a place beyond the world": _set("placed", 0, "outline", 0)([1e300, 0.0]),
    "strips in no part": _set("binding")(
        {
            "region": "",
            "bundle": 0,
            "strips": [[[0, 0], [9, 0], [9, 9]]],
            "width_mm": 35.0,
            "length_mm": 9.0,
            "extra_mm": 0.0,
            "part_of": [4],
        }
    ),
    "nothing": lambda told: told.clear(),
}


@pytest.mark.parametrize("damage", DAMAGES.values(), ids=DAMAGES.keys())
def test_a_damaged_lay_is_told(damage: Callable[[Told], None]) -> None:
    told = json.loads(json.dumps(WHOLE))
    lay_read(told, "lay.json")  # whole before
    damage(told)
    with pytest.raises(WrongInput) as raised:
        lay_read(told, "lay.json")
    assert all((raised.value.what, raised.value.why, raised.value.next_step))
