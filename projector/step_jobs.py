"""Steps as a job: pictures and records of an order's steps, made whole in memory and written to one folder."""

import json
import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from functools import partial
from pathlib import Path
from typing import Any, TypeVar

import cv2
import numpy as np

from calibration.errors import WrongInput
from calibration.keep import keep
from calibration.table import Table
from calibration.units import Unit
from projector.book.orders import Order
from projector.garment.pieces import Garment
from projector.lay.lay import Lay
from projector.lay_file import LAY_AGAIN, lay_read
from projector.making import printed_on
from projector.picture.step import StepPictures
from projector.retape import carry
from projector.scene.compose import Scenes
from projector.scene.view import view_of
from projector.session.work import work_of
from projector.steps.before import Printed
from projector.steps.given import NOT_TOLD, garment_from_json, step_told
from projector.steps.make import make_steps
from projector.steps.place import NO_TABLE_LIGHT, Lies, Rect, places
from projector.steps.step import Step

T = TypeVar("T")
DEMONSTRATION_PX = (1920, 1080)
"""Size of a computed table's pictures."""
OURS = re.compile(r"\d{2,}\.(png|json)")


@dataclass(frozen=True, slots=True)
class Cut:
    """What is cut: an order's name, its pieces, where they lie, what her tape reads, the cloth that is cut and fitted first,
    where its print is placed."""

    order: str
    garment: Garment
    lay: Lay
    unit: Unit
    first: str | None = None
    printed: Printed | None = None


def with_first_cloth(order: Order, cloth: str | None) -> Order:
    """The order with this cloth cut first, where one was typed."""
    return replace(order, card=replace(order.card, first=cloth)) if cloth else order


def cut_of(order: Order, garment: Garment, lay: Lay) -> Cut:
    """What is cut of an order. Raises WrongInput where its motif sits on no piece of this dress."""
    return Cut(order.name, garment, lay, order.client.shown, order.card.first or None, printed_on(order, garment))


def read_lay(file: Path) -> Lay:
    """A lay.json. Raises WrongInput when it cannot be read or is none."""
    return _read(file, partial(lay_read, name=str(file)), f"{file} is not a lay.", LAY_AGAIN)


def _read(file: Path, built: Callable[[Any], T], what: str, next_step: str) -> T:
    try:
        return built(json.loads(file.read_text(encoding="utf-8")))
    except (OSError, *NOT_TOLD) as cause:
        raise WrongInput(what, f"{type(cause).__name__}: {str(cause)[:80]}.", next_step) from cause


def read_at(text: str) -> Lies:
    """`X,Y,TURN`: mm, mm, degrees."""
    try:
        x, y, turn = (float(part) for part in text.split(","))
    except ValueError as cause:
        raise WrongInput(f"{text!r} says no place.", "Three numbers are wanted.", "Give X,Y,TURN: mm, mm, degrees; 60,40,0.") from cause
    return Lies(x, y, turn)


def carried(before: Path, done: int, order: Order, garment: Garment) -> tuple[Garment, Lay]:
    """The changed dress of an order and the lay in this folder of steps that it goes on in, after `done` of its steps were done.

    Raises Refused with the amount missing where the cloth already cut does not allow the change, WrongInput for another folder.
    """
    lay = read_lay(before / "lay.json")
    old = _read(before / "pieces.json", garment_from_json, f"{before} holds no pieces.", "Give a folder written by steps.")
    steps = steps_of(Cut(order.name, old, lay, order.client.shown, order.card.first or None))
    if not 0 <= done <= len(steps):
        raise WrongInput(f"{done} steps cannot be done.", f"{before} has {len(steps)}.", "Give the number of the last step done.")
    return carry(old, lay, steps, range(done), garment, order.client.shown)


def steps_of(cut: Cut) -> tuple[Step, ...]:
    """The order of cuts. Raises WrongInput for a lay of another dress and a first cloth that is not in it."""
    names = {piece.name for piece in cut.garment.pieces}
    laid = {placed.piece for one in cut.lay.lays for placed in one.placed}
    if laid != names:
        odd = sorted(laid ^ names)
        raise WrongInput(
            "The lay is not of this order.",
            f"{', '.join(odd[:6])} stand in only one of them.",
            "Lay the order again, then cut by that lay.",
        )
    try:
        return make_steps(cut.garment, cut.lay, cut.unit, first=cut.first, printed=cut.printed)
    except ValueError as cause:
        raise WrongInput("The lay is not of this order.", f"{cause}.", "Lay the order again, then cut by that lay.") from cause


def step_files(cut: Cut, table: Table | None, at: Lies | None) -> Iterator[tuple[str, bytes]]:
    """(file name, bytes) of every NN.json and, with a table, NN.png. Raises WrongInput."""
    steps = steps_of(cut)
    light: Rect = view_of(table, 0.0, "bottom").inner if table else NO_TABLE_LIGHT
    lies = places(steps, cut.lay, light, at)
    pictures = StepPictures(Scenes.of(work_of(cut.order, steps, cut.lay, cut.unit, light)), table)
    digits = max(2, len(str(len(steps))))
    for number, (step, here) in enumerate(zip(steps, lies, strict=True), 1):
        picture = pictures.step(number - 1, (here.x_mm, here.y_mm, here.turn_deg))
        told = {**step_told(step, here), **picture.told}
        if table is None:
            told["labels"] = [{"text": label.text, "px": None} for label in step.labels]
        name = f"{number:0{digits}d}"
        yield f"{name}.json", json.dumps(told, ensure_ascii=False).encode()
        if picture.rgb is not None:
            done, png = cv2.imencode(".png", np.ascontiguousarray(picture.rgb[:, :, ::-1]))
            assert done
            yield f"{name}.png", png.tobytes()


def write_steps(cut: Cut, table: Table | None, at: Lies | None, out: Path) -> int:
    """Write NN.json, NN.png, lay.json and pieces.json; files of an earlier run are taken away. Returns how many steps.

    Everything is made before anything is written: a refusal leaves the folder as it was.
    """
    files = dict(step_files(cut, table, at))
    files["lay.json"] = json.dumps(cut.lay.as_json(), ensure_ascii=False).encode()
    files["pieces.json"] = json.dumps(cut.garment.as_json(), ensure_ascii=False).encode()
    if out.exists() and not out.is_dir():
        raise WrongInput(f"{out} is a file.", "Steps are written to a folder.", "Name a folder.")
    for name, data in files.items():
        keep(out / name, data, versions_kept=0)
    for old in out.iterdir():
        if OURS.fullmatch(old.name) and old.name not in files:
            old.unlink()
    return sum(name.endswith(".json") for name in files) - 2
