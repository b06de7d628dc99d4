"""Several dresses in one cloth laid in blocks: person after person, or part after part, each in what those before it leave free. Pure."""

from collections.abc import Callable, Sequence
from dataclasses import replace
from typing import Literal

from projector.garment.pieces import Piece
from projector.lay.board import Spot
from projector.lay.held import start_with
from projector.lay.run import Done, run_task, run_with_closer
from projector.lay.task import Task, Tools
from projector.lay.together import person_of

By = Literal["person", "part"]
WAYS: tuple[By, ...] = ("person", "part")
Blocks = tuple[frozenset[str], ...]


def blocks_of(pieces: Sequence[Piece], by: By | None) -> Blocks:
    """Names of the pieces of each block, as the blocks are first met; () where all are laid at once."""
    if by is None:
        return ()
    key: Callable[[Piece], str] = (lambda piece: person_of(piece.name)) if by == "person" else (lambda piece: piece.part)
    met = dict.fromkeys(key(piece) for piece in pieces)
    return tuple(frozenset(piece.name for piece in pieces if key(piece) == each) for each in met)


def run_search(task: Task, trials: int, seed: int, tools: Tools, is_last: bool) -> Done:
    """The task laid at once, or block by block with the trials shared out. Raises ClothTooSmall."""
    if not task.blocks:
        return run_with_closer(task, trials, seed, tools) if is_last else run_task(task, trials, seed, tools)
    kept, spent = _laid(task.start.spots), 0
    blocks = [jobs for names in task.blocks if (jobs := tuple(job for job in task.jobs if job.piece.name in names))]
    quiet = replace(tools, tell=lambda name, used, trials: None)  # a lay of some of the pieces is not shown
    done = None
    for jobs in blocks:
        start = start_with(task.board, task.fat_book, kept)
        done = run_task(replace(task, jobs=jobs, start=start), max(1, trials // len(blocks)), seed, quiet)
        kept, spent = _laid(done.spots), spent + done.trials
    if done is None:
        return run_task(task, trials, seed, tools)
    tools.tell(task.cloth.name, done.used_mm, spent)
    return replace(done, trials=spent)


def _laid(spots: Sequence[Spot]) -> tuple[Spot, ...]:
    """Without the flaws, which every start has anew."""
    return tuple(spot for spot in spots if not spot.job.is_flaw)
