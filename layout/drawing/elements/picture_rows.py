"""Small pictures set side by side into rows, so that a page takes several."""

from __future__ import annotations

from typing import TYPE_CHECKING

from layout.drawing.elements.scene import Group, Scene

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

ROW_GAP_MM = 8.0


def rows_of(scenes: Iterable[Scene], width_mm: float) -> tuple[Scene, ...]:
    """Return scenes joined into rows no wider than ``width_mm``, in their order, standing on one line.

    A scene that is wider has a row to itself.
    """
    rows: list[list[Scene]] = []
    used = 0.0
    for scene in scenes:
        if rows and used + ROW_GAP_MM + scene.width_mm <= width_mm:
            rows[-1].append(scene)
            used += ROW_GAP_MM + scene.width_mm
        else:
            rows.append([scene])
            used = scene.width_mm
    return tuple(_joined(row) for row in rows)


def on_sheets(scenes: Iterable[Scene], width_mm: float, height_mm: float) -> tuple[Scene, ...]:
    """Return scenes gathered into pictures that a sheet's room takes, each in the first place that it finds.

    They stand in columns from the upper left. A scene that is larger than the room has a picture to itself.
    """
    sheets: list[list[list[Scene]]] = []
    for scene in scenes:
        if not any(_takes(columns, scene, width_mm, height_mm) for columns in sheets):
            sheets.append([[scene]])
    return tuple(_columns(columns) for columns in sheets)


def _takes(columns: list[list[Scene]], scene: Scene, width_mm: float, height_mm: float) -> bool:
    """Put a scene below a column, or into a column of its own; tell whether there was room."""
    used = sum(_wide(column) + ROW_GAP_MM for column in columns)
    for column in columns:
        wider = max(scene.width_mm - _wide(column), 0.0)
        if _tall([*column, scene]) <= height_mm and used - ROW_GAP_MM + wider <= width_mm:
            column.append(scene)
            return True
    if used + scene.width_mm <= width_mm and scene.height_mm <= height_mm:
        columns.append([scene])
        return True
    return False


def _wide(column: Sequence[Scene]) -> float:
    return max(scene.width_mm for scene in column)


def _tall(column: Sequence[Scene]) -> float:
    return sum(scene.height_mm + ROW_GAP_MM for scene in column) - ROW_GAP_MM


def _columns(columns: Sequence[Sequence[Scene]]) -> Scene:
    tall = max(_tall(column) for column in columns)
    groups: list[Group] = []
    x = 0.0
    for column in columns:
        y = tall
        for scene in column:
            y -= scene.height_mm
            groups.append(Group(scene.items, name=scene.title, dx_mm=x, dy_mm=y))
            y -= ROW_GAP_MM
        x += _wide(column) + ROW_GAP_MM
    titles = ", ".join(scene.title for column in columns for scene in column if scene.title)
    return Scene(width_mm=x - ROW_GAP_MM, height_mm=tall, items=tuple(groups), title=titles)


def _joined(row: Sequence[Scene]) -> Scene:
    if len(row) == 1:
        return row[0]
    groups = []
    x = 0.0
    for scene in row:
        groups.append(Group(scene.items, name=scene.title, dx_mm=x))
        x += scene.width_mm + ROW_GAP_MM
    titles = ", ".join(scene.title for scene in row if scene.title)
    return Scene(
        width_mm=x - ROW_GAP_MM,
        height_mm=max(scene.height_mm for scene in row),
        items=tuple(groups),
        title=titles,
        section=row[0].section,
    )
