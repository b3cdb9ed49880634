"""What became of a chosen arrangement: whether the project changed under it, and whether it still holds."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import TYPE_CHECKING

from layout.findings.finding import Finding
from layout.frozen import FrozenMap
from layout.project.model.canonical import digest, is_of_this_form
from layout.project.model.reserved_room import stand_ins

if TYPE_CHECKING:
    from collections.abc import Sequence

    from layout.project.model.arrangement import Arrangement
    from layout.project.model.project import Project

SAME_PLACE_MM = 0.05
"""Less than this is no move."""

_MOST_TOLD = 4
"""Differences that a sentence names."""


def made_of(project: Project) -> dict[str, str]:
    """Return short digests of all that rules look at, by thing; a name that people read does not count."""
    mounted = [device for device in project.devices.values() if device.panel]
    marks: dict[str, str] = {thing.key: digest(thing) for thing in (*project.panels.values(), *mounted)}
    return {**marks, "rules": digest(project.rules)}


def still_standing(project: Project, chosen: Arrangement) -> Arrangement:
    """Return an arrangement with only what still is: devices and panels that the project has."""
    placed = {
        key: spot for key, spot in chosen.placed.items() if key in project.devices and spot.panel in project.panels
    }
    rooms = {key: spot for key, spot in chosen.rooms.items() if spot.panel in project.panels}
    return replace(chosen, placed=FrozenMap(placed), rooms=FrozenMap(rooms))


def changed_since(project: Project, chosen: Arrangement) -> tuple[str, ...]:
    """Say in words what changed since an arrangement was made; nothing where nothing did, or where it is not known."""
    before, now = chosen.made_of, made_of(project)
    if not before or not all(map(is_of_this_form, before.values())):
        return ()
    return tuple(
        [f"{_called(project, key)} is new" for key in now if key not in before]
        + [f"{_called(project, key)} is gone" for key in before if key not in now]
        + [f"{_called(project, key)} changed" for key in now if before.get(key, now[key]) != now[key]]
    )


def no_longer_fits(project: Project, chosen: Arrangement, broken: Sequence[Finding]) -> tuple[Finding, ...]:
    """Return the one error that a chosen arrangement does not hold any more; nothing where it does.

    Parameters
    ----------
    broken
        What the judge refuses about it.
    """
    if not broken:
        return ()
    many = f"{len(broken)} rules are broken" if len(broken) > 1 else "a rule is broken"
    changed = changed_since(project, chosen)
    since = f"; since it was made: {', '.join(changed)}" if changed else ""
    return (
        Finding(
            rule="fit 8",
            message=f"the chosen arrangement no longer fits: {many}{since}",
            at=broken[0].at,
            remedy="undo the change; or place again (spile arrange) and take one of the proposals (spile choose)",
            measured=float(len(broken)),
            limit=0.0,
            subjects=tuple(dict.fromkeys(subject for one in broken for subject in one.subjects)),
        ),
    )


def differs_in(project: Project, chosen: Arrangement, other: Arrangement) -> str:
    """Return in words what another arrangement has otherwise than the chosen one.

    Those that move farthest come first; a place that is new or gone is said so. Empty where nothing differs.
    """
    before, now = ({**one.placed, **one.rooms} for one in (chosen, other))
    things = {**project.devices, **stand_ins(project)}
    told: list[tuple[float, str]] = []
    for name, at in now.items():
        called = (things[name].name if name in things else "") or name
        was = before.get(name)
        if was is None:
            told.append((math.inf, f"{called} has a place"))
        elif was.panel != at.panel:
            told.append((math.inf, f"{called} stands on {project.panels[at.panel].name or at.panel}"))
        elif (far := math.hypot(at.x - was.x, at.y - was.y)) > SAME_PLACE_MM or at.turn != was.turn:
            turned = f" and turns by {(at.turn - was.turn) % 360} degrees" if at.turn != was.turn else ""
            told.append((far, f"{called} moves {far:.0f} mm{turned}"))
    gone = [name for name in before if name not in now and name in things]
    told += [(0.0, f"{things[name].name or name} has none") for name in gone]
    told.sort(key=lambda one: (-one[0], one[1]))
    words = [text for _, text in told[:_MOST_TOLD]]
    if len(told) > _MOST_TOLD:
        words.append(f"{len(told) - _MOST_TOLD} more differ")
    return ", ".join(words)


def _called(project: Project, key: str) -> str:
    section, _, name = key.partition(".")
    if section == "panels":
        entry = project.panels.get(name)
        return f"panel {(entry.name if entry else '') or name}"
    if section == "devices":
        device = project.devices.get(name)
        return f"device {(device.name if device else '') or name}"
    return "the set of rules"
