"""The product's own pieces, lays and steps, as the JSON that leaves it, for the simulator. One lay each, few trials."""

import json
import random
from collections.abc import Mapping
from dataclasses import replace
from functools import lru_cache
from typing import Any

from projector.api import pieces_for
from projector.garment.pieces import Garment, Piece
from projector.lay.choose import try_plan
from projector.lay.cloth import Cloth, Light
from projector.lay.lay import Lay, Plan
from projector.lay.run import lay_from
from projector.lay.task import Bench, Tools
from projector.steps.given import garment_from_json, step_told
from projector.steps.make import make_steps
from projector.steps.place import Lies, places, table_from_cloth
from projector.steps.step import Step

Told = dict[str, Any]
BODIES: Mapping[str, Mapping[str, float]] = {
    "middle": {"bust": 920, "waist": 740, "hip": 980, "nape_waist": 400, "stature": 1650, "upper_arm": 290, "wrist": 165},
    "slim": {"bust": 810, "waist": 620, "hip": 880, "nape_waist": 385, "stature": 1600, "upper_arm": 250, "wrist": 150},
    "full": {"bust": 1180, "waist": 1010, "hip": 1230, "nape_waist": 425, "stature": 1680, "upper_arm": 370, "wrist": 185},
    "tall": {"bust": 960, "waist": 770, "hip": 1040, "nape_waist": 440, "stature": 1820, "upper_arm": 300, "wrist": 172},
    "short": {"bust": 900, "waist": 760, "hip": 960, "nape_waist": 365, "stature": 1490, "upper_arm": 285, "wrist": 160},
    "big cup": {
        "bust": 1040,
        "underbust": 830,
        "waist": 800,
        "hip": 1060,
        "nape_waist": 405,
        "stature": 1660,
        "upper_arm": 310,
        "wrist": 168,
    },
    "pear": {"bust": 900, "waist": 730, "hip": 1120, "nape_waist": 395, "stature": 1640, "upper_arm": 285, "wrist": 160},
    "apple": {"bust": 1100, "waist": 1080, "hip": 1090, "nape_waist": 415, "stature": 1650, "upper_arm": 350, "wrist": 180},
}
"""Invented bodies."""


@lru_cache(maxsize=64)
def _garment(body: str, style: str) -> Garment:
    return garment_from_json(json.loads(json.dumps(pieces_for(BODIES[body], json.loads(style)))))


def garment(body: str, style: Mapping[str, Any]) -> Garment:
    """The garment as it is read back from pieces.json."""
    return _garment(body, json.dumps(style, sort_keys=True))


def _lay_cloth(cloth: Cloth, pieces: list[Piece], plan: Plan, light: Light) -> Lay:
    found = try_plan(Bench(cloth, light=light), cloth, plan, pieces, 1, 1, Tools(random.Random))
    if found.task is None or found.done is None:
        assert found.refusal is not None
        raise found.refusal
    return lay_from(found.task, found.done, light, 1, ["first lay"])


def lay(made: Garment, plan: Plan, width_mm: float = 1900.0, light: Light | None = None, **cloth: Any) -> Lay:
    """A first lay of every cloth; the main one folded by this plan. Raises the product's own refusal when it does not fit."""
    by_cloth: dict[str, list[Piece]] = {}
    for piece in made.pieces:
        by_cloth.setdefault(piece.cloth, []).append(piece)
    lays = {}
    for name, pieces in by_cloth.items():
        is_main = name == next(iter(by_cloth))
        lays[name] = _lay_cloth(
            Cloth(name, width_mm, **(cloth if is_main else {})), pieces, plan if is_main else "lengthwise", light or Light()
        )
    top, *rest = lays
    return replace(lays[top], others={name: lays[name] for name in rest})


def step_as_json(step: Step, lies: Lies) -> dict[str, Any]:
    """One NN.json where there is no table: mm in the table frame, px null."""
    return {
        **step_told(step, lies), "state": "stop", "size": None, "height_mm": step.height_mm,
        "lines": [
            {"kind": line.kind, "piece": line.piece, "when": line.when, "width_px": None, "dash_mm": None,
             "mm": table_from_cloth([*line.mm, line.mm[0]] if line.closed else line.mm, lies), "px": None}
            for line in step.lines
        ],
        "labels": [{"text": label.text, "px": None} for label in step.labels], "areas": [],
    }  # fmt: skip


def as_files(made: Garment, laid: Lay, steps: tuple[Step, ...] | None = None) -> tuple[Told, Told, list[Told]]:
    """lay.json, pieces.json and the NN.json objects, through JSON and back."""
    done = steps if steps is not None else make_steps(made, laid)
    told = [step_as_json(step, lies) for step, lies in zip(done, places(done, laid), strict=True)]
    return json.loads(json.dumps(laid.as_json())), json.loads(json.dumps(made.as_json())), json.loads(json.dumps(told))
