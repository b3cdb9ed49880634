"""When what is to be kept leaves no room for the rest: the fewest and smallest moves that would."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from layout.findings.finding import Finding
from layout.frozen import FrozenMap
from layout.placing.fewest_moves import fewest_moves, moved_arrangement, moves_words
from layout.placing.given_positions import given
from layout.placing.outcome import Placing
from layout.placing.words import proof_words

if TYPE_CHECKING:
    from collections.abc import Sequence

    from layout.project.model.arrangement import Arrangement
    from layout.project.model.project import Project

MOST_NEW = 4
"""With more devices to be placed beside those that are kept, what they are in the way of is not looked for first."""


def kept_too_much(project: Project, chosen: Arrangement, keep: Sequence[str], *, seed: int = 1) -> Placing | None:
    """Return the arrangement with the fewest moves of what is to be kept, where keeping all of it leaves no room.

    Returns
    -------
    Placing or None
        None where it is not shown that keeping is the cause: all may fit with nothing moved, or not even with moves.
    """
    held, faults = given(project, keep=(), chosen=chosen)
    kept = set(keep)
    staying = replace(
        chosen,
        placed=FrozenMap(
            {name: one for name, one in chosen.placed.items() if name in kept and name in project.devices}
        ),
        rooms=FrozenMap({name: one for name, one in chosen.rooms.items() if name in kept}),
    )
    new = [name for name, device in project.devices.items() if device.panel and name not in staying.placed]
    if faults or not kept or len(new) > MOST_NEW:
        return None
    moves = fewest_moves(project, staying, held=held, seed=seed)
    if moves is None or not moves.movers:
        return None
    moved = moved_arrangement(replace(chosen, seed=seed), project, moves)
    from layout.placing.judge import judge, refusals  # shapely

    judged = judge(project, moved, chosen=chosen)
    if refusals(judged):
        return None
    called = " and ".join(project.devices[name].name or name for name in new) or "all"
    sure = "no fewer moves will do" if moves.fewest else "whether fewer would do is not proven"
    cause = Finding(
        rule="fit 14",
        message=f"kept as they are, the others leave no room for {called}; it fits if {moves_words(project, moves)}"
        f" ({sure})",
        at=project.place_of(f"devices.{new[0]}") if new else project.place_of("devices"),
        remedy="take this arrangement (spile choose), or name with --free what may move",
        subjects=tuple(f"devices.{name}" for name in moves.movers if name in project.devices),
    )
    return Placing(arrangement=moved, findings=(cause, *judged), proven=proof_words(moved))


def blame_keeping() -> tuple[Finding, ...]:
    """Return what is to be said where all fits once nothing has to be kept, and many would have to move."""
    message = "kept as they are, the others leave no room; here is an arrangement in which they may move"
    return (
        Finding(rule="fit 14", message=message, remedy="take it (spile choose), or name with --free what may move"),
    )
