"""A canvas that only remembers, in the order things are put on it."""

from projector.scene.primitives import Area, Label, Scene, Stroke, in_order


class Recorder:
    """Everything put on it, as it came."""

    def __init__(self) -> None:
        self.scene: Scene | None = None
        self.put: list[Area | Stroke | Label] = []

    def show(self, scene: Scene) -> None:
        """Forget what was there, remember this."""
        areas, strokes, labels = in_order(scene)
        self.scene, self.put = scene, [*areas, *strokes, *labels]
