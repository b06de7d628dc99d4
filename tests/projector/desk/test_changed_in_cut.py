"""A dress changed after its first cut: it goes on in the lay that was cut, what is done stays done, or is refused by the amount."""

import json
from dataclasses import replace
from pathlib import Path

import pytest

from calibration.errors import Refused
from calibration.keep import keep
from projector.book.orders import load_order
from projector.desk.journal import Journal, fingerprint
from projector.desk.on_table import work_from
from projector.desk.tasks import keep_lay, prepare
from projector.making import garment_of, steps_for
from projector.session.change import told
from projector.session.snapshot import Snapshot
from projector.steps.given import garment_from_json
from tests.cutting.product import BODIES, as_files, lay
from tests.cutting.simulator import prove


def _order(file: Path, body: str, **style: object) -> str:
    client = {"name": "changed", "unit": "mm", "measures": dict(BODIES[body])}
    told = {"client": client, "style": {"lining": False, **style}, "cloth": {"main": {"width": "1900 mm"}}, "name": "changed"}
    keep(file, json.dumps(told))
    return str(file)


def test_a_dress_changed_in_mid_cut(tmp_path: Path) -> None:
    file, kept, path = tmp_path / "order.yaml", tmp_path / "cut.lay.json", tmp_path / "cut.jsonl"
    name = _order(file, "middle")
    order = load_order(name, tmp_path)
    garment = garment_of(order)
    laid = lay(garment, "lengthwise")
    steps = steps_for(order, garment, laid)
    keep_lay(kept, laid, garment, order.cloths)
    before = prepare(name, tmp_path, kept, None, journal=path)
    assert before.steps == steps
    last = next(number for number, step in enumerate(steps) if any(one.piece == "skirt front" for one in step.frees))
    work = work_from(before, None)
    Journal(path, work).write(told(replace(Snapshot(number=1), step=last, done=tuple(range(last + 1))), work), "done")

    _order(file, "full")
    with pytest.raises(Refused, match=r"too little at"):
        prepare(name, tmp_path, kept, None, journal=path)
    _order(file, "middle", sleeve="short")
    with pytest.raises(Refused, match=r"nothing was laid for it"):
        prepare(name, tmp_path, kept, None, journal=path)

    _order(file, "middle", ease={"hip_mm": 30})
    after = prepare(name, tmp_path, kept, None, journal=path)
    assert after.steps != steps
    assert after.mark == fingerprint(steps)
    resumed = Journal(path, work_from(after, None)).resumed
    assert resumed.is_same
    assert resumed.stood is not None
    assert resumed.stood.done == tuple(range(last + 1))
    dress = garment_from_json(json.loads(kept.read_text())["pieces"])
    assert dress.is_cut_again
    assert any(step.is_again for step in after.steps)
    done = last + 1
    assert prove(*as_files(dress, after.lay, (*steps[:done], *after.steps[done:]))) == []
    again = prepare(name, tmp_path, kept, None, journal=path)  # the next day
    assert (again.steps, again.mark) == (after.steps, after.mark)


def test_nothing_cut_yet_is_laid_anew(tmp_path: Path) -> None:
    file, kept = tmp_path / "order.yaml", tmp_path / "cut.lay.json"
    name = _order(file, "middle", bodice=False, length=500)
    order = load_order(name, tmp_path)
    garment = garment_of(order)
    keep_lay(kept, lay(garment, "lengthwise"), garment, order.cloths)
    _order(file, "pear", bodice=False, length=500)
    after = prepare(name, tmp_path, kept, None, journal=tmp_path / "cut.jsonl")
    assert after.mark == fingerprint(after.steps)
