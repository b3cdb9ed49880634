"""Pack boxes on as few equal sheets as are found: row by row first, then by the search that places devices."""

from __future__ import annotations

from math import ceil, floor
from typing import TYPE_CHECKING

from layout.light_dataclass import dataclass, field

if TYPE_CHECKING:
    from collections.abc import Sequence

    from layout.placing.engine.problem import ForbiddenRegion, PackItem, Problem, StepBox

STEPS_A_MM = 10
"""Steps of the search in a millimetre."""

_MOVES = 300_000
"""Moves of the search for one sheet less."""

_HAIR_MM = 1e-6


@dataclass(frozen=True, slots=True)
class PackedBox:
    """Where a box lies: its sheet from 0, its lower left corner, and whether it is turned by 90 degrees."""

    sheet: int
    x_mm: float
    y_mm: float
    turned: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class _Apart:
    """The pair rule: no two boxes overlap; ``faces[box][way]``."""

    faces: tuple[tuple[StepBox, ...], ...]
    kept: dict[tuple[int, int], tuple[ForbiddenRegion, ...]] = field(default_factory=dict, compare=False, repr=False)
    """By two faces, which are the same on each sheet: to know them by their sizes takes as long as to work it out."""

    def between(self, i: int, turn_i: int, j: int, turn_j: int) -> tuple[ForbiddenRegion, ...]:
        first, second = self.faces[i][turn_i], self.faces[j][turn_j]
        asked = (id(first), id(second))
        known = self.kept.get(asked)
        if known is None:
            from layout.placing.engine.boxes import box_region

            known = self.kept[asked] = (box_region(first, second),)
        return known


def packed(
    sizes_mm: Sequence[tuple[float, float]], room_mm: tuple[float, float], *, gap_mm: float
) -> tuple[PackedBox, ...]:
    """Return a place for each box, in their order; the same boxes always come to lie the same.

    Parameters
    ----------
    sizes_mm
        Width and height of each.
    room_mm
        Width and height of what may be taken of each sheet.
    gap_mm
        Free room between two.

    Raises
    ------
    ValueError
        If a box is larger than the room as it lies.
    """
    large = [size for size in sizes_mm if size[0] > room_mm[0] + _HAIR_MM or size[1] > room_mm[1] + _HAIR_MM]
    if large:
        raise ValueError(f"a box of {large[0]} mm is larger than the room of {room_mm} mm")
    best = _in_rows(sizes_mm, room_mm, gap_mm)
    area = sum((w + gap_mm) * (h + gap_mm) for w, h in sizes_mm)
    fewest = max(1, ceil(area / ((room_mm[0] + gap_mm) * (room_mm[1] + gap_mm)) - _HAIR_MM))
    while (sheets := 1 + max((box.sheet for box in best), default=0)) > fewest:
        less = _searched(sizes_mm, room_mm, gap_mm, sheets - 1)
        if less is None:
            break
        best = less
    return best


def _in_rows(sizes: Sequence[tuple[float, float]], room: tuple[float, float], gap: float) -> tuple[PackedBox, ...]:
    """Fill sheets row by row from the top, the highest first; the highest of a row sets its height."""
    found: dict[int, PackedBox] = {}
    sheet, x, top, tall = 0, 0.0, room[1], 0.0
    for k in sorted(range(len(sizes)), key=lambda k: (-sizes[k][1], -sizes[k][0], k)):
        width, height = sizes[k]
        if x + width > room[0] + _HAIR_MM:
            x, top, tall = 0.0, top - tall - gap, 0.0
        if top - height < -_HAIR_MM:
            sheet, x, top, tall = sheet + 1, 0.0, room[1], 0.0
        found[k] = PackedBox(sheet, x, top - height)
        x, tall = x + width + gap, max(tall, height)
    return tuple(found[k] for k in range(len(sizes)))


def _searched(
    sizes: Sequence[tuple[float, float]], room: tuple[float, float], gap: float, sheets: int
) -> tuple[PackedBox, ...] | None:
    """Look for places on so many sheets; None where none are found or the search can't run."""
    from layout.placing.engine.anneal import Halt, first_valid  # wasmtime
    from layout.placing.engine.kernel.problem_block import kernel_tables
    from layout.placing.engine.kernel.runtime import MissingKernelError, available

    pitch = 2 * (ceil(room[0] * STEPS_A_MM) + ceil(gap * STEPS_A_MM))
    try:
        available()
        best = first_valid(kernel_tables(_stated(sizes, room, gap, sheets, pitch)), 1, _MOVES, Halt())
    except (MissingKernelError, OverflowError):
        return None
    if not best.valid:
        return None
    found = []
    for (x, y), turn in zip(best.arrangement.positions, best.arrangement.turns, strict=True):
        found.append(PackedBox(x // pitch, (x % pitch) / STEPS_A_MM, y / STEPS_A_MM, turned=turn >= sheets))
    return tuple(found)


def _stated(
    sizes: Sequence[tuple[float, float]], room: tuple[float, float], gap: float, sheets: int, pitch: int
) -> Problem:
    """State the boxes, each larger by the gap, with sheets beside each other; each sheet and each turn is a way."""
    from layout.placing.engine.problem import AllowedRoom, PackItem, Problem, StepBox, TurnOption

    def room_on(sheet: int, box: StepBox) -> AllowedRoom:
        x = pitch * sheet
        return AllowedRoom(((1, 0, x + wide - box.x1), (-1, 0, -x), (0, 1, tall - box.y1), (0, -1, 0)), 0)

    wide, tall = (floor((side + gap) * STEPS_A_MM) for side in room)
    items: list[PackItem] = []
    faces = []
    for k, size in enumerate(sizes):
        w, h = (ceil((side + gap) * STEPS_A_MM - _HAIR_MM) for side in size)
        ways = [StepBox(0, 0, w, h)] * sheets
        if abs(w - h) > 1 and h <= wide and w <= tall:
            ways += [StepBox(0, 0, h, w)] * sheets
        turns = [TurnOption(rooms=(room_on(n % sheets, box),), core=box) for n, box in enumerate(ways)]
        items.append(PackItem(name=f"box {k}", turns=tuple(turns)))
        faces.append(tuple(ways))
    return Problem(items=tuple(items), pairs=_Apart(faces=tuple(faces)))
