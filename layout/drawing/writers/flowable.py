"""Set a scene into a flowing reportlab document."""

from __future__ import annotations

from reportlab.platypus import Flowable

from layout.drawing.elements.scene import Group, Scene
from layout.drawing.writers.pdf import POINTS_PER_MM, draw_scene, register_fonts


class SceneFlowable(Flowable):  # type: ignore[misc]  # reportlab is untyped
    """A scene as one block of a document, scaled down when it is wider or taller than its frame.

    A drawing at full size must never go this way: ``shrink=False`` refuses instead of scaling.
    """

    def __init__(self, scene: Scene, *, shrink: bool = True) -> None:
        super().__init__()
        register_fonts()
        self._scene = scene
        self._shrink = shrink
        self._scale = 1.0
        self.width = scene.width_mm * POINTS_PER_MM
        self.height = scene.height_mm * POINTS_PER_MM

    def wrap(self, available_width: float, available_height: float) -> tuple[float, float]:
        """Return the size in points within the frame's."""
        wide, tall = self._scene.width_mm * POINTS_PER_MM, self._scene.height_mm * POINTS_PER_MM
        self._scale = min(1.0, available_width / wide, available_height / tall) if self._shrink else 1.0
        self.width, self.height = wide * self._scale, tall * self._scale
        return self.width, self.height

    def draw(self) -> None:
        """Draw the scene at the current place."""
        scene = self._scene
        draw_scene(
            self.canv,
            Scene(
                width_mm=scene.width_mm * self._scale,
                height_mm=scene.height_mm * self._scale,
                items=(Group(scene.items, scale=self._scale),),
                title=scene.title,
            ),
        )
