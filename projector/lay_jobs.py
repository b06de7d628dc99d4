"""Laying as a job: chance, clock and files for the pure stage `projector.lay`."""

import json
import random
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from time import monotonic

from calibration.errors import WrongInput
from calibration.names import unknown_name
from calibration.records import record_from
from projector.book.orders import Order
from projector.garment.build import build
from projector.garment.figure import draft_measures
from projector.garment.pieces import Garment
from projector.lay.cloth import Budget, Light
from projector.lay.lay import PLANS, Lay, Plan
from projector.lay.outlines import OutlinesCard, lay_outlines
from projector.lay.stage import lay_out
from projector.lay.task import Tools


def search_tools(seconds: float | None = None, say: Callable[[str], None] | None = None) -> Tools:
    """Seeded chance, patience of so many seconds from now, and progress as sentences."""
    end = None if seconds is None else monotonic() + seconds

    def keep_going() -> bool:
        return end is None or monotonic() < end

    def tell(name: str, used_mm: float, trials: int) -> None:
        if say is not None:
            say(f"{name}: {used_mm:.0f} mm after {trials} trials")

    return Tools(random.Random, keep_going, tell)


def lay_outline_file(file: Path, width_mm: float, budget: Budget, tools: Tools, light: Light | None = None) -> Lay:
    """Read a file of plain outlines and lay them open. Raises WrongInput, ClothTooSmall."""
    try:
        told = json.loads(file.read_text(encoding="utf-8"))
    except (OSError, UnicodeDecodeError, json.JSONDecodeError) as cause:
        raise WrongInput(f"{file} cannot be read.", str(cause), "Give a JSON file of outlines.") from cause
    return lay_outlines(record_from(OutlinesCard, told, "file of outlines"), width_mm, budget, light or Light(), tools)


def garment_of(order: Order) -> Garment:
    """The order's pieces. Raises the project's own errors for a body or style that cannot be drafted."""
    body = order.body()
    body.refuse_stops()
    return replace(build(draft_measures(body), order.style), order=order.name)


def plan_from(text: str | None) -> Plan | None:
    """A fold plan by its name. Raises WrongInput with the nearest one."""
    if text is None:
        return None
    for plan in PLANS:
        if plan == text.replace("-", "_"):
            return plan
    raise unknown_name(text, PLANS, "--fold", "the fold")


def lay_order(order: Order, plan: Plan | None, budget: Budget, tools: Tools, light: Light | None = None) -> tuple[Garment, Lay]:
    """Draft an order and lay it on its cloths. Raises the project's own errors."""
    if not order.cloths:
        raise WrongInput(f"Order {order.name!r} names no cloth.", "Cloth is wanted to lay on.", "Add `cloth: {main: {width: 45 in}}`.")
    garment = garment_of(order)
    return garment, lay_out(garment, order.cloths, plan, budget, light or Light(), tools)
