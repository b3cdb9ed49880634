"""The same problem with an item kept to one part of its panel, to look for arrangements of another kind."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from layout.light_dataclass import dataclass
from layout.placing.engine.rows import bounds

if TYPE_CHECKING:
    from collections.abc import Sequence

    from layout.placing.engine.problem import HalfPlane, PackItem, Problem, TurnOption


@dataclass(frozen=True, slots=True, kw_only=True)
class Zone:
    """A part of a panel: its index, and rows that a position in it meets."""

    panel: int
    rows: tuple[HalfPlane, ...]


def confined(problem: Problem, item: int, zone: Zone) -> Problem | None:
    """Return the problem with one item in a zone of a panel, or on another panel.

    None where it is fixed, or where some turn of it has no position in the zone.
    """
    one = problem.items[item]
    if one.pin is not None:
        return None
    turns = [_within(turn, zone) for turn in one.turns]
    if not all(turn.rooms for turn in turns):
        return None
    return replace(problem, items=_with(problem.items, item, replace(one, turns=tuple(turns))))


def _within(turn: TurnOption, zone: Zone) -> TurnOption:
    rooms = [replace(room, rows=(*room.rows, *zone.rows)) if room.panel == zone.panel else room for room in turn.rooms]
    return replace(turn, rooms=tuple(room for room in rooms if bounds(room) is not None))


def _with(items: Sequence[PackItem], index: int, item: PackItem) -> tuple[PackItem, ...]:
    return (*items[:index], item, *items[index + 1 :])
