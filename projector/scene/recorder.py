"""A canvas that only remembers, in the order things were put on it."""

from projector.scene.primitives import Area, Label, Scene, Stroke


class Recorder:
    """Everything put on it, as it came."""

    def __init__(self) -> None:
        self.scene: Scene | None = None
        self.put: list[Area | Stroke | Label] = []

    def begin(self, scene: Scene) -> None:
        """Forget what was there."""
        self.scene, self.put = scene, []

    def area(self, area: Area) -> None:
        """Remember a filled ring."""
        self.put.append(area)

    def stroke(self, stroke: Stroke) -> None:
        """Remember a line."""
        self.put.append(stroke)

    def label(self, label: Label) -> None:
        """Remember words."""
        self.put.append(label)
