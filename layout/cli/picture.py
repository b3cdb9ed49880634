"""A compact picture of a panel in characters, for the terminal."""

from __future__ import annotations

from typing import TYPE_CHECKING

from layout.project.model.reserved_room import room_places, stand_ins

if TYPE_CHECKING:
    from layout.project.model.arrangement import Arrangement
    from layout.project.model.project import Project

WIDTH = 76
"""Characters across."""
TALL = 2.1
"""Height of a character over its width."""

DASHED_FINE, DASHED_PLAIN = "╌╎┌┐└┘", "~:~~~~"
"""Likewise of reserved room."""

_FINE, _PLAIN = ("━┃┏┓┗┛", "─│┌┐└┘"), ("-|++++", ".:....")
"""Signs of the panel's frame and of a face's: level side, upright side, four corners from the upper left."""


def terminal_picture(project: Project, arrangement: Arrangement, panel_id: str, *, fine: bool = False) -> list[str]:
    """Draw one panel with its faces as boxes, each with as much of its id as fits, reserved room dashed.

    Faces are drawn by their bounding boxes; the picture is for the eye, not for measuring.

    Parameters
    ----------
    fine
        Whether the terminal has signs for lines; else those of ASCII do.
    """
    box = project.panels[panel_id].outline.to_path().bounds()
    step = max(box.width / (WIDTH - 1), 1e-9)
    rows = max(round(box.height / step / TALL), 3)
    grid = [[" "] * WIDTH for _ in range(rows)]
    of_panel, of_face = _FINE if fine else _PLAIN
    _frame(grid, (0, 0), (WIDTH - 1, rows - 1), of_panel)
    things = {**project.devices, **stand_ins(project)}
    for placed in (*room_places(project, arrangement).values(), *arrangement.placed.values()):
        device = things[placed.device]
        if placed.panel != panel_id or device.face is None:
            continue
        is_room = placed.device not in project.devices
        face = device.face.to_path().turned(placed.turn).moved(placed.x, placed.y).bounds()
        left, right = (round((x - box.x0) / step) for x in (face.x0, face.x1))
        low, high = (round((y - box.y0) / box.height * (rows - 1)) for y in (face.y0, face.y1))
        top, bottom = rows - 1 - high, rows - 1 - low
        signs = (DASHED_FINE if fine else DASHED_PLAIN) if is_room else of_face
        _frame(grid, (left, top), (max(right, left + 1), max(bottom, top + 1)), signs)
        called = placed.device.rpartition(".")[2] if is_room else placed.device
        _write(grid, left + 1, (top + max(bottom, top + 1)) // 2, called[: max(right - left - 1, 1)])
    return ["".join(row).rstrip() for row in grid]


def _frame(grid: list[list[str]], first: tuple[int, int], last: tuple[int, int], signs: str) -> None:
    """Draw a box from its upper left to its lower right cell."""
    (x0, y0), (x1, y1) = first, last
    for x in range(x0 + 1, x1):
        for y in (y0, y1):
            _put(grid, x, y, signs[0])
    for y in range(y0 + 1, y1):
        for x in (x0, x1):
            _put(grid, x, y, signs[1])
    for (x, y), sign in zip(((x0, y0), (x1, y0), (x0, y1), (x1, y1)), signs[2:], strict=True):
        _put(grid, x, y, sign)


def _write(grid: list[list[str]], x: int, y: int, text: str) -> None:
    for offset, letter in enumerate(text):
        _put(grid, x + offset, y, letter)


def _put(grid: list[list[str]], x: int, y: int, letter: str) -> None:
    if 0 <= y < len(grid) and 0 <= x < len(grid[y]):
        grid[y][x] = letter
