"""What an engine starting conductor carries while the engine turns."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from layout.project.model.project import Project


def starting_current_a(project: Project, feeder: str) -> float | None:
    """Return what a starting conductor carries, A: its own, its starter's, or the only starter's; None if unknown."""
    own = project.feeders[feeder]
    if own.current is not None:
        return own.current
    starters = {
        end.partition("/")[0]: project.devices[end.partition("/")[0]].starting
        for other in project.feeders.values()
        if other.cranking and other.aboard != "remove"
        for end in (other.from_, other.to)
        if end.partition("/")[0] in project.devices
    }
    named = [starters[owner] for end in (own.from_, own.to) if (owner := end.partition("/")[0]) in starters]
    one = named[:1] or (list(starters.values()) if len(starters) == 1 else [])
    return one[0].current if one and one[0] is not None else None
