"""After the shears: blocks are fused, laid under the light again and cut true; full skirts hang before the hem."""

from collections.abc import Sequence

from shapely.geometry import LineString, Polygon

from projector.garment.pieces import Garment, Piece
from projector.steps.before import Bench
from projector.steps.shown import body_of, cut_now, pins_of, snips_of
from projector.steps.stack import Kept
from projector.steps.step import Handle, Step, StepLine
from projector.steps.words import Words

Held = Sequence[tuple[Bench, list[Kept]]]
FULL_SKIRT_MM = 80.0
"""A skirt piece whose hem is this much wider than its waist hangs before its hem is levelled (common practice, no source)."""


def fuse_and_trim(held: Held) -> list[Step]:
    """Fuse every block, lay it under the light, cut it along its cut line, mark it."""
    told: list[Step] = []
    for bench, every in held:
        blocks: dict[str, list[Kept]] = {}
        for kept in every:
            if kept.piece.block_mm:
                blocks.setdefault(kept.piece.name, []).append(kept)
        for kepts in blocks.values():
            told += _fuse(bench, kepts)
    return told


def _handles(kepts: Sequence[Kept]) -> tuple[Handle, ...]:
    return tuple(dict.fromkeys(Handle(kept.piece.name, ply) for kept in kepts for ply in kept.placed.on))


def _fuse(bench: Bench, kepts: list[Kept]) -> list[Step]:
    words, kept = bench.words, kepts[0]
    handles = _handles(kepts)
    shown = words.piece(kept.piece.name)
    named = {"piece": shown, "pieces": shown}
    part = kept.placed.part
    block = [StepLine("cloth", one.piece.name, "mark", one.placed.outline, True) for one in kepts]
    plies = tuple(dict.fromkeys(handle.ply for handle in handles))
    height = len(plies) * bench.lay.cloth.ply_mm
    true = [one.true.exterior.difference(one.folds.buffer(0.05)) if not one.folds.is_empty else one.true.exterior for one in kepts]
    lines = [
        line for shape in true for one in getattr(shape, "geoms", [shape]) for line in cut_now([LineString(one.coords)], kept.piece.name)
    ]
    told = [
        _at(bench, "fuse", words.text("fuse", **named), part, [], handles, (), 0.0),
        _at(bench, "place", words.text("lay_fused", **named), part, block, (), (), 0.0),
        _at(bench, "cut", words.text("trim", **named), part, [*lines, *block, *(line for one in kepts for line in body_of(one))],
            handles, plies, height, needs=(words.said("need_fused", **named),), is_fact=True),
    ]  # fmt: skip
    marks = [line for one in kepts for line in (*snips_of(one, "mark"), *pins_of(one, "mark"))]
    if marks:
        text = words.text("snip", layers=words.layers(len(plies)), pieces=shown)
        told.append(_at(bench, "mark", text, part, marks, handles, plies, height))
    return told


def _at(
    bench: Bench, op: str, text: tuple[str, str], part: int, lines: Sequence[StepLine], handles: tuple[Handle, ...], plies: tuple[str, ...],
    height_mm: float, needs: tuple[str, ...] = (), is_fact: bool = False,
) -> Step:  # fmt: skip
    """A step on pieces already off the cloth: what lies there are the layers the piece came from."""
    return Step(
        title=text[0], say=text[1], op=op, cloth=bench.lay.cloth.name, bundle=bench.bundle, part=part,  # type: ignore[arg-type]
        plies=plies, handles=handles, lines=tuple(lines), height_mm=height_mm, needs=needs, is_fact=is_fact,
    )  # fmt: skip


def hang(held: Held, garment: Garment) -> list[Step]:
    """Full skirts hang a day before the hem is levelled."""
    told = []
    for bench, every in held:
        full = [kept for kept in every if is_full(kept.piece)]
        if full:
            names = list(dict.fromkeys(kept.piece.name for kept in full))
            more = "_more" if len(names) > 1 else ""
            words: Words = bench.words
            text = words.text("hang" + more, piece=words.piece(names[0]), pieces=words.listed(names), count=len(names))
            told.append(_at(bench, "hang", text, full[0].placed.part, [], _handles(full), (), 0.0))
    return told


def is_full(piece: Piece) -> bool:
    """A skirt piece whose hem is much wider than its waist, or whose hem runs off the grain."""
    if "skirt" not in piece.part:
        return False
    hem = sum(LineString(edge.points).length for edge in piece.edges if edge.kind == "hem")
    waist = sum(LineString(edge.points).length for edge in piece.edges if edge.kind in ("waist", "gather"))
    return bool(hem and waist and Polygon(piece.cut_line).is_valid and hem - waist > 2 * FULL_SKIRT_MM)
