"""lay.json and pieces.json read back, and steps written as NN.json without a table. Plain mappings in and out; no files."""

from collections.abc import Mapping, Sequence
from typing import Any

from projector.garment.pieces import Dart, Edge, FirstCut, Garment, Join, Line, Notch, Piece, Seam
from projector.lay.lay import Binding, Fold, LaidCloth, Lay, Part, Placed, Ply, Region
from projector.steps.place import Lies
from projector.steps.step import Step

Told = Mapping[str, Any]
NOT_TOLD = (ValueError, KeyError, TypeError, IndexError, AttributeError, OverflowError, RecursionError)
"""What reading a damaged lay.json or pieces.json can raise: no UTF-8 and no JSON are ValueErrors."""


def _line(points: Sequence[Sequence[float]]) -> Line:
    return tuple((float(x), float(y)) for x, y in points)


def _only(cls: Any, told: Told, **more: Any) -> Any:
    """A record from the keys it knows; what the contract allows beside them is left alone."""
    return cls(**{**{key: value for key, value in told.items() if key in cls.__dataclass_fields__}, **more})


def lay_from_json(told: Told) -> Lay:
    """lay.json as a Lay. One of NOT_TOLD when it is not a lay."""
    cloth = _only(LaidCloth, told["cloth"], lengths_mm=tuple(told["cloth"]["lengths_mm"]))
    regions = tuple(
        Region(
            one["id"], one["bundle"], tuple(one["x"]), tuple(one["y"]),
            tuple(Ply(ply["id"], tuple(ply["x"]), tuple(ply["y"]), ply["turned"], ply["face"]) for ply in one["ply"]),
            tuple(Fold(fold["side"], tuple(fold["joins"])) for fold in one["folds"]),
        )
        for one in told["fold"]["regions"]
    )  # fmt: skip
    placed = tuple(
        _only(Placed, one, on=tuple(one["on"]), outline=_line(one["outline"]), shift=tuple(one.get("shift", (0.0, 0.0))))
        for one in told["placed"]
    )
    return Lay(
        cloth, told["fold"]["plan"], regions, placed, _parts(told["parts"]),
        float(told.get("cloth_needed_mm", 0.0)), float(told.get("utilisation", 0.0)), int(told.get("trials", 0)),
        int(told.get("seed", 0)), tuple(told.get("why", ())),
        {name: lay_from_json(one) for name, one in told.get("others", {}).items()},
        _binding(told.get("binding") or {}),
    )  # fmt: skip


def _parts(told: Sequence[Told]) -> tuple[Part, ...]:
    return tuple(Part(one["bundle"], tuple(one["rect"]), one["slide_from"], _line(one.get("spots", ()))) for one in told)  # type: ignore[arg-type]


def _binding(told: Told) -> Binding | None:
    """None where there is none, and in a lay of the days when strips stood on paper only."""
    if "part_of" not in told:
        return None
    strips = tuple(_line(strip) for strip in told["strips"])
    return _only(Binding, told, strips=strips, part_of=tuple(told["part_of"]), parts=_parts(told["parts"]))  # type: ignore[no-any-return]


def garment_from_json(told: Told) -> Garment:
    """pieces.json as a Garment. One of NOT_TOLD when it is none."""
    pieces = tuple(_piece(one) for one in told["pieces"])
    seams = tuple(_only(Seam, one, a=_pairs(one["a"]), b=_pairs(one["b"]), ease_mm=tuple(one["ease_mm"])) for one in told.get("seams", ()))
    joins = tuple(_only(Join, one, at=_pairs(one["at"])) for one in told.get("joins", ()))
    finished, measures = dict(told.get("finished", {})), dict(told.get("measures", {}))
    return Garment(pieces, seams, joins, measures, finished, tuple(told.get("warnings", ())), told.get("order"))


def _pairs(told: Sequence[Sequence[str]]) -> Any:
    return tuple(tuple(one) for one in told)


def _piece(told: Told) -> Piece:
    cut = told["cut"]
    return _only(  # type: ignore[no-any-return]
        Piece, told, on_fold=cut["on_fold"], count=cut["count"], mirrored=cut["mirrored"],
        edges=tuple(_only(Edge, edge, points=_line(edge["points"])) for edge in told["edges"]),
        seam_line=_line(told["seam_line"]), cut_line=_line(told["cut_line"]),
        levels={name: float(level) if isinstance(level, int | float) else _line(level) for name, level in told["levels"].items()},
        darts=tuple(Dart(_line(dart["legs"])) for dart in told["darts"]),
        notches=tuple(_only(Notch, notch, at=tuple(notch["at"])) for notch in told["notches"]),
        first_cut=tuple(FirstCut(one["edge"], _line(one["points"])) for one in told.get("first_cut", ())),
        block_mm=float(told.get("block_mm", 0.0)), points=_line(told.get("points", ())),
        was=_piece(told["was"]) if told.get("was") else None,
    )  # fmt: skip


def step_told(step: Step, lies: Lies) -> dict[str, Any]:
    """What NN.json says of a step before anything is drawn."""
    return {
        "format": 1, "title": step.title, "say": step.say, "op": step.op, "cloth": step.cloth, "bundle": step.bundle,
        "cloth_at": {"x_mm": lies.x_mm, "y_mm": lies.y_mm, "turn_deg": lies.turn_deg},
        "plies": list(step.plies), "through": list(step.through),
        "frees": [{"piece": one.piece, "ply": one.ply} for one in step.frees],
        "handles": [{"piece": one.piece, "ply": one.ply} for one in step.handles],
        "part": step.part, "needs": list(step.needs), "is_fact": step.is_fact,
    }  # fmt: skip
