"""Small pictures set side by side into rows, so that a page takes several."""

from __future__ import annotations

from typing import TYPE_CHECKING

from layout.drawing.elements.scene import Group, Scene

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

GAP_MM = 8.0


def rows_of(scenes: Iterable[Scene], width_mm: float) -> tuple[Scene, ...]:
    """Return scenes joined into rows no wider than ``width_mm``, in their order, standing on one line.

    A scene that is wider has a row to itself.
    """
    rows: list[list[Scene]] = []
    used = 0.0
    for scene in scenes:
        if rows and used + GAP_MM + scene.width_mm <= width_mm:
            rows[-1].append(scene)
            used += GAP_MM + scene.width_mm
        else:
            rows.append([scene])
            used = scene.width_mm
    return tuple(_joined(row) for row in rows)


def _joined(row: Sequence[Scene]) -> Scene:
    if len(row) == 1:
        return row[0]
    groups = []
    x = 0.0
    for scene in row:
        groups.append(Group(scene.items, name=scene.title, dx_mm=x))
        x += scene.width_mm + GAP_MM
    titles = ", ".join(scene.title for scene in row if scene.title)
    return Scene(
        width_mm=x - GAP_MM,
        height_mm=max(scene.height_mm for scene in row),
        items=tuple(groups),
        title=titles,
        section=row[0].section,
    )
