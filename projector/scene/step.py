"""The scene of one step as the window first shows it, for files."""

from calibration.table import Table
from projector.scene.compose import Scenes, laid_out
from projector.scene.primitives import Scene
from projector.session.snapshot import ClothAt, Snapshot, TableSummary
from projector.session.summary import summary_of


def step_snapshot(scenes: Scenes, index: int, table: TableSummary | None, cloth_at: tuple[float, float, float]) -> Snapshot:
    """The snapshot that the desk would hold at this step with that table."""
    work = scenes.work
    state = table.state if table else "stop"
    return Snapshot(order=work.order, step=index, of=len(work.steps), state=state, cloth_at=ClothAt(*cloth_at), table=table, unit=work.unit)


def step_scene(scenes: Scenes, index: int, table: Table | None, cloth_at: tuple[float, float, float]) -> Scene:
    """One step's scene. Without a table: the step's own strokes in table mm, nothing around them, state stop."""
    summary = summary_of(table) if table else None
    snapshot = step_snapshot(scenes, index, summary, cloth_at)
    return scenes.scene(snapshot, table) if table else laid_out(scenes, snapshot)
