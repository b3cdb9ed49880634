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


def on_sheets(scenes: Iterable[Scene], width_mm: float, height_mm: float) -> tuple[Scene, ...]:
    """Return scenes gathered in their order into pictures that a sheet's room takes, in columns from the upper left.

    A scene that is larger than the room has a picture to itself.
    """
    sheets: list[list[list[Scene]]] = []
    for scene in scenes:
        columns = sheets[-1] if sheets else []
        used = sum(_wide(column) + GAP_MM for column in columns)
        if (
            columns
            and _tall([*columns[-1], scene]) <= height_mm
            and (used - GAP_MM + max(scene.width_mm - _wide(columns[-1]), 0.0) <= width_mm)
        ):
            columns[-1].append(scene)
        elif columns and used + scene.width_mm <= width_mm and scene.height_mm <= height_mm:
            columns.append([scene])
        else:
            sheets.append([[scene]])
    return tuple(_columns(columns) for columns in sheets)


def _wide(column: Sequence[Scene]) -> float:
    return max(scene.width_mm for scene in column)


def _tall(column: Sequence[Scene]) -> float:
    return sum(scene.height_mm + GAP_MM for scene in column) - GAP_MM


def _columns(columns: Sequence[Sequence[Scene]]) -> Scene:
    tall = max(_tall(column) for column in columns)
    groups: list[Group] = []
    x = 0.0
    for column in columns:
        y = tall
        for scene in column:
            y -= scene.height_mm
            groups.append(Group(scene.items, name=scene.title, dx_mm=x, dy_mm=y))
            y -= GAP_MM
        x += _wide(column) + GAP_MM
    titles = ", ".join(scene.title for column in columns for scene in column if scene.title)
    return Scene(width_mm=x - GAP_MM, height_mm=tall, items=tuple(groups), title=titles)


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
