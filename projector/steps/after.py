"""After the shears: blocks are fused, laid under the light again and cut true; full skirts hang before the hem."""

from collections.abc import Sequence

from shapely.geometry import LineString

from projector.garment.pieces import Piece, line_length
from projector.steps.before import INTERFACING, Bench
from projector.steps.shown import as_line, body_of, cut_now, name_label, snip_values
from projector.steps.stack import ON_LINE_MM, Kept
from projector.steps.step import Handle, Op, Step, StepLabel, StepLine
from projector.steps.unit import MARKS

Held = Sequence[tuple[Bench, list[Kept]]]
FULL_MM = 160.0
"""A skirt piece whose hem is this much wider than its waist hangs before its hem is levelled (common practice, no source)."""


def fuse_and_trim(held: Held, number: dict[str, int]) -> list[Step]:
    """Fuse every block, lay the fused blocks under the light, cut them along their cut lines, mark them.

    One step names layers of one cloth only, so interfacing and cloth are told apart: the interfacing is laid on, the block
    pressed and cut true, then turned over to see the interfacing's own edge.
    """
    blocks = [(bench, [kept for kept in every if kept.piece.block_mm]) for bench, every in held]
    blocks = [(bench, every) for bench, every in blocks if every]
    blocks.sort(key=lambda one: one[0].lay.cloth.name != INTERFACING)
    told = []
    for bench, every in blocks:
        is_glue = bench.lay.cloth.name == INTERFACING
        text, labels = text_of(bench, "lay_on" if is_glue else "fuse", every), names_of(bench, every, number)
        needs = (_need(bench, "need_off", every),) if is_glue or len(blocks) == 1 else (bench.words.said("need_laid_on"),)
        told.append(in_hand(bench, "fuse", text, every, [], with_handles=True, labels=labels, needs=needs))
    for bench, every in reversed(blocks):
        is_back = bench.lay.cloth.name == INTERFACING and len(blocks) > 1
        for group in side_by_side(every):
            told += _trim(bench, group, number, is_back)
    return told


def side_by_side(every: list[Kept]) -> list[list[Kept]]:
    """Blocks that one light shows without lying on one another; copies of one piece stay together."""
    groups: list[list[Kept]] = []
    for one in every:
        for group in groups:
            same = any(other.piece.name == one.piece.name for other in group)
            apart = all(not other.keep.intersects(one.keep) for other in group)
            if group[0].placed.part == one.placed.part and group[0].placed.region == one.placed.region and (same or apart):
                group.append(one)
                break
        else:
            groups.append([one])
    return groups


def _trim(bench: Bench, kepts: list[Kept], number: dict[str, int], is_back: bool) -> list[Step]:
    block = [StepLine("cloth", one.piece.name, "mark", as_line(LineString(one.keep.exterior.coords))[0], True) for one in kepts]
    lines = [line for one in kepts for line in _true_lines(one)]
    body = [line for one in kepts for line in body_of(one)]
    labels = names_of(bench, kepts, number)
    need = (_need(bench, "need_fused", kepts),)
    laid = (bench.words.said("need_lies"),)
    told = [
        in_hand(bench, "place", text_of(bench, "turn_over" if is_back else "lay_fused", kepts), kepts, block, labels=labels, needs=need),
        in_hand(bench, "cut", text_of(bench, "trim_back" if is_back else "trim", kepts), kepts, [*lines, *block, *body], with_handles=True,
            with_plies=True, labels=labels, needs=(*need, *laid), is_fact=True),
    ]  # fmt: skip
    for key, make in MARKS.items():
        marks = [line for one in kepts for line in make(one, "mark")]
        if marks:
            told_by = "snip_back" if key == "snip" and is_back else key
            told.append(
                in_hand(
                    bench,
                    "mark",
                    text_of(bench, told_by, kepts),
                    kepts,
                    [*marks, *body],
                    with_plies=True,
                    is_marked=True,
                    labels=labels,
                    needs=(_need(bench, "need_true", kepts), *laid),
                )
            )
    return told


def _true_lines(kept: Kept) -> list[StepLine]:
    """Its cut line but for the fold, bold."""
    ring = kept.true.exterior
    shape = ring.difference(kept.folds.buffer(ON_LINE_MM)) if not kept.folds.is_empty else ring
    return [line for one in getattr(shape, "geoms", [shape]) for line in cut_now([LineString(one.coords)], kept.piece.name)]


def _need(bench: Bench, key: str, kepts: Sequence[Kept]) -> str:
    """What must be true of these pieces, in words."""
    return bench.words.said(key, pieces=bench.words.listed([one.piece.name for one in kepts]))


def names_of(bench: Bench, kepts: Sequence[Kept], number: dict[str, int]) -> tuple[StepLabel, ...]:
    """Numbers and names of these pieces where they lay."""
    return tuple(name_label(one, number[one.piece.name], bench.words.piece(one.piece.name)) for one in kepts)


def _handles(kepts: Sequence[Kept]) -> tuple[Handle, ...]:
    return tuple(dict.fromkeys(Handle(kept.piece.name, ply) for kept in kepts for ply in kept.placed.on))


def text_of(bench: Bench, key: str, kepts: Sequence[Kept], **values: str) -> tuple[str, str]:
    """Title and sentence of a step on these pieces; `key_more` for several where there is one."""
    names = list(dict.fromkeys(kept.piece.name for kept in kepts))
    more = "_more" if len(names) > 1 and key + "_more" in bench.words.texts else ""
    layers = bench.words.layers(max(len(kept.placed.on) for kept in kepts))
    return bench.words.text(
        key + more, piece=bench.words.piece(names[0]), pieces=bench.words.listed(names), count=len(names), layers=layers,
        **snip_values(bench.unit), **values,
    )  # fmt: skip


def in_hand(
    bench: Bench, op: Op, text: tuple[str, str], kepts: Sequence[Kept], lines: Sequence[StepLine], *, with_handles: bool = False,
    with_plies: bool = False, is_marked: bool = False, **more: object,
) -> Step:  # fmt: skip
    """A step on pieces already off the cloth: what lies there are the layers the pieces came from."""
    handles = _handles(kepts)
    plies = bench.remains.in_order(handle.ply for handle in handles) if with_plies else ()
    return Step(
        title=text[0], say=text[1], op=op, cloth=bench.lay.cloth.name, bundle=bench.bundle, part=kepts[0].placed.part, plies=plies,
        through=plies if is_marked else (), handles=handles if with_handles else (), lines=tuple(lines),
        height_mm=len(plies) * bench.lay.cloth.ply_mm,
        **more,  # type: ignore[arg-type]
    )  # fmt: skip


def fit(held: Held, number: dict[str, int]) -> list[Step]:
    """What was cut first is tacked and tried on before anything else is cut."""
    bench, every = held[-1]
    pieces = bench.words.listed([kept.piece.name for kept in every])
    text = bench.words.text("fit", cloth=bench.words.piece(bench.lay.cloth.name), pieces=pieces)
    needs = (bench.words.said("need_tag", pieces=pieces),)
    return [in_hand(bench, "check", text, every, [], labels=names_of(bench, every, number), needs=needs)]


def hang(held: Held, number: dict[str, int]) -> list[Step]:
    """Full skirts hang a day before the hem is levelled."""
    told = []
    for bench, every in held:
        full = [kept for kept in every if is_full(kept.piece)]
        if full:
            labels, needs = names_of(bench, full, number), (_need(bench, "need_off", full),)
            told.append(in_hand(bench, "hang", text_of(bench, "hang", full), full, [], with_handles=True, labels=labels, needs=needs))
    return told


def is_full(piece: Piece) -> bool:
    """A skirt piece whose hem is much wider than its waist."""
    if "skirt" not in piece.part:
        return False
    hem = sum(line_length(edge.points) for edge in piece.edges if edge.kind == "hem")
    waist = sum(line_length(edge.points) for edge in piece.edges if edge.kind in ("waist", "gather"))
    return bool(hem and waist and hem - waist > FULL_MM)
