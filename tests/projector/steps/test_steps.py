"""What steps say: titles, order of work, words switched off, first dress, where the cloth lies, what remaining cloth allows."""

import json
import re
from collections.abc import Callable
from dataclasses import replace
from functools import lru_cache
from pathlib import Path
from typing import Any

import pytest
from shapely.geometry import LineString, Point, Polygon

from calibration.errors import Refused, WrongInput
from calibration.keep import keep as keep_file
from projector.book.orders import order_from
from projector.garment.pieces import Garment
from projector.lay.lay import Lay, Plan
from projector.making import steps_for
from projector.step_jobs import carried
from projector.steps.facts import missing_cloth, refuse_what_is_missing
from projector.steps.make import make_steps, part_order
from projector.steps.place import MOVES, NO_TABLE_LIGHT, Lies, places, table_from_cloth
from projector.steps.stack import kept_in, outer_line, stacks
from projector.steps.step import Step
from projector.steps.words import ENGLISH, LANGUAGES
from tests.cutting.product import BODIES, as_files, garment, lay
from tests.cutting.simulator import prove

DRESS: dict[str, Any] = {}
QUARTERS: dict[str, Any] = {"lining": False}
ORDER = order_from({"client": {"name": "Ann", "unit": "in", "measures": {}}}, "dress")


@lru_cache
def made(plan: Plan, is_whole: bool) -> tuple[Garment, Lay, tuple[Step, ...]]:
    """One body's dress laid by this plan, and its steps."""
    dress = garment("middle", DRESS if is_whole else QUARTERS)
    laid = lay(dress, plan)
    return dress, laid, make_steps(dress, laid)


def whole() -> tuple[Garment, Lay, tuple[Step, ...]]:
    return made("lengthwise", True)


def quarters() -> tuple[Garment, Lay, tuple[Step, ...]]:
    return made("quarters_along", False)


@pytest.mark.parametrize("which", [whole, quarters])
def test_titles_are_short_and_every_step_speaks(which: Any) -> None:
    for step in which()[2]:
        assert 0 < len(step.title.split()) <= 8, step.title
        assert len(step.say.split()) > len(step.title.split()), step.say
        assert "{" not in step.title + step.say


def test_a_language_is_the_same_keys_and_values() -> None:
    wanted = {key: [set(re.findall(r"{(\w+)}", part)) for part in text] for key, text in ENGLISH.items()}
    for words in LANGUAGES.values():
        told = {key: [set(re.findall(r"{(\w+)}", part)) for part in text] for key, text in words.texts.items()}
        assert told.keys() == wanted.keys()
        for key, (title, say) in told.items():
            assert title | say <= wanted[key][0] | wanted[key][1] | {"pieces", "layers", "count", "piece"}, key
        assert words.said_by.keys() == LANGUAGES["en"].said_by.keys()


@pytest.mark.parametrize("which", [whole, quarters])
def test_each_piece_is_taped_before_its_first_cut(which: Any) -> None:
    taped: set[str | None] = set()
    cuts = 0
    for step in which()[2]:
        if step.op == "check":
            taped |= {line.piece for line in step.lines if line.kind == "ruler"}
        if step.op == "cut":
            cut = {line.piece for line in step.lines if line.kind == "cut" and line.when == "now"} - {None}
            assert cut <= taped, step.title
            cuts += len(cut)
    assert cuts >= 6, "a dress has more pieces than that"


@pytest.mark.parametrize("which", [whole, quarters])
def test_the_tape_lies_from_edge_to_edge_through_darts(which: Any) -> None:
    """Both ends of every taped width lie on the piece's own edge within 0.1 mm (a tape reads 1.6 mm), and the numbers are its lengths."""
    dress, laid, steps = which()
    outlines = {
        (each.piece, each.cloth): Polygon(each.outline).buffer(-dress.piece(each.piece).block_mm).exterior
        for one in laid.lays
        for each in one.placed
    }
    seen = 0
    for step in steps:
        for read, line in zip(step.tapes, [line for line in step.lines if line.kind == "ruler"] if step.tapes else [], strict=True):
            edges = [outline for (piece, _), outline in outlines.items() if piece == read.piece]
            assert max(min(edge.distance(Point(end)) for edge in edges) for end in (line.mm[0], line.mm[-1])) < 0.1, (step.title, read)
            assert LineString(line.mm).length == pytest.approx(read.mm, abs=0.01)
            assert 0.0 < read.sewn_mm <= read.mm
            seen += bool(read.where)
    assert seen > 10


@pytest.mark.parametrize("which", [whole, quarters])
def test_followed_by_pictures_and_numerals_alone(which: Any) -> None:
    """No word is read: every step has the lines and numerals that settle what is done, and cut so, nothing is lost."""
    dress, laid, steps = which()
    number = {piece.name: str(place) for place, piece in enumerate(dress.pieces, 1)}
    for step in steps:
        numerals = [numeral for label in step.labels for numeral in re.findall(r"\d+(?: \d/\d)?", label.text)]
        kinds = {line.kind for line in step.lines if line.when in ("now", "mark")}
        if step.op == "cut":
            assert any(line.kind == "cut" and line.when == "now" for line in step.lines)
            assert bool(step.through) != bool(step.handles)
        elif step.op == "mark":
            assert kinds & {"notch", "point", "dart"}
            assert numerals
        elif step.op == "part":
            assert [int(numeral) for numeral in numerals] == [len(step.through), len(step.plies) - len(step.through)]
        elif step.op in ("tag", "lift", "fuse", "hang"):
            assert {number[handle.piece] for handle in step.handles} <= set(numerals), step.title
        elif step.op == "slide":
            assert sum(line.kind == "slide" for line in step.lines) == 4
        elif step.op == "place":
            assert kinds & {"cross", "cloth"}
        else:
            assert numerals or kinds & {"cloth"}, step.title
    silent = tuple(replace(step, title="", say="", needs=()) for step in steps)
    assert prove(*as_files(dress, laid, silent)) == []


def test_amount_of_allowance_stands_beside_the_edges_cut() -> None:
    _, _, steps = whole()
    cut = next(step for step in steps if step.op == "cut" and step.title.startswith("Cut skirt front"))
    assert {"2", "1"} <= {label.text for label in cut.labels}  # side and hem 50.8, waist 25 mm


def test_first_dress_cuts_the_shallow_neck_further_out() -> None:
    dress, laid, steps = whole()
    kept = next(one for one in kept_in(dress, laid) if one.piece.name == "front centre")
    (line,) = kept.piece.first_cut
    middle = LineString(kept.at(line.points)).interpolate(0.5, normalized=True)
    cut = next(step for step in steps if step.op == "cut" and any(one.piece == "front centre" for one in step.frees))
    bold = [LineString(one.mm) for one in cut.lines if one.kind == "cut" and one.when == "now"]
    assert min(one.distance(middle) for one in bold) < 0.05
    assert not kept.keep.contains(middle)
    assert kept.first.buffer(0.01).covers(kept.keep)
    assert "shallow" in cut.say
    assert not garment("middle", {"fitted": True}).piece("front centre").first_cut


def test_a_cut_through_several_layers_is_the_outer_line_of_what_they_keep() -> None:
    dress, laid, steps = quarters()
    stack = next(one for one in stacks(kept_in(dress, laid), laid) if len({kept.placed.on for kept in one.kept}) > 1)
    shapes, wanted = outer_line(stack.kept)
    for kept in stack.kept:
        assert all(shape.buffer(0.01).contains(kept.keep) or shape.disjoint(kept.keep) for shape in shapes)
        assert wanted.intersection(kept.keep.buffer(-0.1)).length == 0.0
    place, outer = next((n, step) for n, step in enumerate(steps) if step.title.startswith("Cut the outer line"))
    assert len(outer.through) == 4
    assert not outer.frees
    assert steps[place + 1].op == "part", "the card goes in before the fronts are cut by themselves"


def test_parts_come_in_one_direction_and_the_cloth_moves_only_where_it_may() -> None:
    for _, laid, steps in (whole(), quarters()):
        lies = places(steps, laid)
        for before, step, old, new in zip(steps, steps[1:], lies, lies[1:], strict=False):
            assert old == new or step.op in MOVES, step.title
            assert step.part == before.part or step.op in ("slide", "prepare", "place", "fuse", "hang")
        assert len(part_order(laid, 0)) > 1
        assert part_order(laid, 0) == sorted(part_order(laid, 0))
    given = places(whole()[2], whole()[1], at=Lies(60.0, 40.0, 90.0))
    assert given[0] == Lies(60.0, 40.0, 90.0)
    assert table_from_cloth([(10.0, 0.0)], given[0]) == [[60.0, 50.0]]


def test_what_is_cut_lies_in_the_light_where_it_fits() -> None:
    _, laid, steps = whole()
    x0, y0, x1, y1 = NO_TABLE_LIGHT
    seen = 0
    for step, lies in zip(steps, places(steps, laid), strict=True):
        for line in step.lines:
            if line.kind == "cut":
                for x, y in table_from_cloth(line.mm, lies):
                    assert x0 - 1 <= x <= x1 + 1, step.title
                    assert y0 - 1 <= y <= y1 + 1, step.title
                    seen += 1
    assert seen > 1000, "points of cut lines"


def _until(steps: tuple[Step, ...], piece: str) -> list[int]:
    """Numbers of the steps up to the one that frees this piece."""
    last = next(number for number, step in enumerate(steps) if any(one.piece == piece for one in step.frees))
    return list(range(last + 1))


def test_a_change_is_free_before_the_first_cut_and_refused_by_the_amount_after() -> None:
    dress, laid, steps = whole()
    wider = garment("full", DRESS)
    assert missing_cloth(dress, laid, steps, [0, 1, 2], wider) == ()
    assert missing_cloth(dress, laid, steps, range(len(steps)), dress) == ()
    missing = missing_cloth(dress, laid, steps, _until(steps, "skirt front"), wider)
    found = next(one for one in missing if one.piece == "skirt front")
    a, b = Polygon(dress.piece("skirt front").cut_line), Polygon(wider.piece("skirt front").seam_line)
    least = max(Point(place).distance(a) for place in b.exterior.coords)  # sewn out there, and 6.4 mm of allowance beyond
    assert 5.0 < found.amount_mm <= least + 6.4 + 0.5
    with pytest.raises(Refused, match="too little at"):
        refuse_what_is_missing(missing, "in")
    with pytest.raises(Refused, match="skirt front"):
        refuse_what_is_missing([one for one in missing if one.piece == "skirt front"], "in")


def test_a_wider_dress_comes_out_of_the_side_allowances() -> None:
    """A first dress leaves 50.8 mm at the sides: 20 mm more at the hip (5 a quarter) is let out of them."""
    dress, laid, steps = whole()
    looser = garment("middle", {"ease": {"hip_mm": 70}})
    assert [one for one in missing_cloth(dress, laid, steps, range(len(steps)), looser) if one.piece.startswith("skirt")] == []


def test_a_smaller_dress_still_comes_out_of_what_was_cut() -> None:
    dress, laid, steps = whole()
    done = _until(steps, "skirt front")
    narrower = garment("middle", {"ease": {"hip_mm": 30}})
    assert [one for one in missing_cloth(dress, laid, steps, done, narrower) if one.piece == "skirt front"] == []


def test_a_piece_that_nothing_was_laid_for_is_named() -> None:
    dress, laid, steps = whole()
    sleeved = garment("middle", {"sleeve": "short"})
    missing = missing_cloth(dress, laid, steps, _until(steps, "skirt front"), sleeved)
    assert any(one.place is None and "sleeve" in one.piece for one in missing)


def test_the_lining_may_be_cut_and_fitted_first() -> None:
    dress, laid, _ = whole()
    steps = make_steps(dress, laid, first="lining")
    cloths = list(dict.fromkeys(step.cloth for step in steps))
    assert cloths[:2] == ["lining", "main"]
    fit = next(number for number, step in enumerate(steps) if step.title == "Tack lining, fit, then go on")
    assert {step.cloth for step in steps[:fit]} == {"lining"}
    assert not any(step.op == "cut" and step.cloth == "lining" for step in steps[fit:])
    assert prove(*as_files(dress, laid, steps)) == []


def test_a_changed_order_goes_on_from_the_cloth_already_cut_or_is_refused(tmp_path: Path) -> None:
    dress, laid, steps = whole()
    keep_file(tmp_path / "lay.json", json.dumps(laid.as_json()))
    keep_file(tmp_path / "pieces.json", json.dumps(dress.as_json()))
    done = _until(steps, "skirt front")[-1] + 1
    narrower = garment("middle", {"ease": {"hip_mm": 30}})
    goes_on, changed = carried(tmp_path, done, ORDER, narrower)
    assert {one.piece for one in changed.placed} == {one.piece for one in laid.placed}
    assert prove(*as_files(goes_on, changed, (*steps[:done], *make_steps(goes_on, changed)[done:]))) == []
    with pytest.raises(Refused, match=r"does not allow"):
        carried(tmp_path, done, ORDER, garment("full", DRESS))
    with pytest.raises(WrongInput, match="cannot be done"):
        carried(tmp_path, 10_000, ORDER, narrower)


@pytest.mark.parametrize("plan", ["lengthwise", "quarters_along", "quarters_across", "crosswise", "crossed_four", "off_centre"])
def test_the_fold_as_told_gives_the_layers_as_drawn(plan: Plan) -> None:
    """Folded by her tape as the sentence says, selvedges and all, the folds lie where the lay has them (told to the millimetre)."""
    _, laid, _ = made(plan, False)
    told = next(step.say for step in make_steps(garment("middle", QUARTERS), laid, "mm") if step.op == "fold")
    said = [float(number) for number in re.findall(r"(\d+(?:\.\d+)?) mm", told)]
    top, width, selvedge = laid.regions[0], laid.cloth.width_mm, laid.cloth.selvedge_mm
    if plan == "quarters_along":
        assert (width / 2 - said[0]) / 2 == pytest.approx(top.ply[0].y[1], abs=1.0)
    elif plan == "quarters_across":
        assert (said[0] / 2 - said[1]) / 2 == pytest.approx(top.ply[0].x[1], abs=1.0)
    elif plan == "crosswise":
        assert said == [pytest.approx(top.x[1], abs=1.0)]
    else:
        depth = top.y[1] + selvedge
        assert said[-1] == pytest.approx(depth if plan == "off_centre" else width / 2, abs=1.0)
        assert depth == pytest.approx(said[-1], abs=1.0)


@pytest.mark.parametrize("which", [whole, quarters])
def test_every_step_but_the_first_says_what_must_be_true_before(which: Any) -> None:
    assert [step.title for step in which()[2] if not step.needs and step.cloth != "interfacing"] == []
    assert sum(not step.needs for step in which()[2]) <= 1  # interfacing begins with nothing done


def test_the_order_says_which_cloth_is_cut_and_fitted_first() -> None:
    card = {
        "client": {"name": "first", "unit": "mm", "measures": dict(BODIES["middle"])}, "style": {},
        "cloth": {"main": {"width": "1900 mm"}, "lining": {"width": "1500 mm"}},
    }  # fmt: skip
    dress, laid, _ = whole()
    steps = steps_for(order_from({**card, "first": "lining"}, "dress"), dress, laid)
    assert steps[0].cloth == "lining"
    assert steps_for(order_from(card, "dress"), dress, laid)[0].cloth == "main"
    with pytest.raises(WrongInput, match="Nothing of this order is cut from muslin"):
        steps_for(order_from({**card, "first": "muslin"}, "dress"), dress, laid)


SPOILED: dict[str, Callable[[Step], Step | None]] = {
    "tags without numbers": lambda step: replace(step, labels=()) if step.op == "tag" else step,
    "a card without numerals": lambda step: replace(step, labels=()) if step.op == "part" else step,
    "marks without counts": lambda step: replace(step, labels=()) if step.op == "mark" else step,
    "checks without a number": lambda step: replace(step, lines=(), labels=()) if step.op == "check" else step,
    "one cross to pull to": lambda step: replace(step, lines=step.lines[:2]) if step.op == "slide" else step,
    "no bold line": lambda step: replace(step, lines=tuple(replace(one, when="later") for one in step.lines)),
    "no card": lambda step: None if step.op == "part" else step,
    "no pulling along": lambda step: None if step.op == "slide" else step,
}


@pytest.mark.parametrize("how", SPOILED)
def test_what_pictures_and_numerals_do_not_settle_is_seen(how: str) -> None:
    dress, laid, steps = quarters()
    spoiled = tuple(told for step in steps if (told := SPOILED[how](step)) is not None)
    with pytest.raises(AssertionError):
        test_followed_by_pictures_and_numerals_alone(lambda: (dress, laid, spoiled))


@pytest.mark.parametrize("which", [whole, quarters])
def test_marks_to_pull_by_are_pinned_into_cloth_that_is_still_there(which: Any) -> None:
    """Under each cross of a pull lies a layer, where any cloth lies in both lights."""
    pulls = [step for step in which()[2] if step.op == "slide"]
    assert pulls
    assert [step.title for step in pulls if not step.plies] == []
