"""Small invented projects for the judge, each rule's in a breaking and a just-legal form."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from layout.project.model.arrangement import Arrangement, Placed
from layout.project.model.device import Behind, Device, Fixing, PlugRoom
from layout.project.model.panel import Panel
from layout.project.model.project import Project, TitleBlock
from layout.project.model.rules import Rules
from layout.project.model.shape import Shape

Spot = tuple[float, float] | tuple[float, float, int] | tuple[float, float, int, str]
"""x, y, turn and panel of a placed device."""


@dataclass(frozen=True)
class Case:
    """A project with an arrangement, and the register's where it matters."""

    project: Project
    arrangement: Arrangement
    chosen: Arrangement | None = None


def rect(width: float, height: float, at: tuple[float, float] = (0.0, 0.0), radius: float = 0.0) -> Shape:
    """Return a rectangle."""
    return Shape(rect=(width, height), at=at, radius=radius)


def disc(diameter: float, at: tuple[float, float] = (0.0, 0.0)) -> Shape:
    """Return a circle."""
    return Shape(circle=diameter, at=at)


def panel(**more: Any) -> Panel:
    """Return a plywood panel of 400 x 300 mm with 150 mm behind it."""
    fields: dict[str, Any] = {
        "id": "main",
        "name": "Main",
        "outline": rect(400, 300, (200, 150)),
        "thickness": 9.0,
        "material": "plywood",
        "depth": 150.0,
    }
    return Panel(**(fields | more))


def device(key: str, **more: Any) -> Device:
    """Return a device: face 60 x 40, cut-out and body 40 x 20, 50 deep with 30 of tail room, 5 high."""
    fields: dict[str, Any] = {
        "id": key,
        "panel": ("main",),
        "face": rect(60, 40),
        "cutout": (rect(40, 20),),
        "behind": (Behind(shape=rect(40, 20), depth=50.0),),
        "plug_room": PlugRoom(depth=30.0),
        "front_height": 5.0,
    }
    return Device(**(fields | more))


def gauge(key: str, **more: Any) -> Device:
    """Return a round device: face 60, cut-out and body 40."""
    round_body = Behind(shape=disc(40), depth=50.0)
    return device(key, **({"face": disc(60), "cutout": (disc(40),), "behind": (round_body,)} | more))


def arrangement(spots: dict[str, Spot]) -> Arrangement:
    """Return an arrangement on panel main (or the named one)."""
    placed = {}
    for key, spot in spots.items():
        turn = spot[2] if len(spot) > 2 else 0
        placed[key] = Placed(device=key, panel=spot[3] if len(spot) > 3 else "main", x=spot[0], y=spot[1], turn=turn)
    return Arrangement(placed=placed)


def case(
    devices: list[Device],
    spots: dict[str, Spot],
    *,
    on: Panel | list[Panel] | None = None,
    chosen: dict[str, Spot] | None = None,
    **rules: Any,
) -> Case:
    """Return a project of these devices and panels, arranged."""
    panels = on if isinstance(on, list) else [on or panel()]
    project = Project(
        spile=1,
        project=TitleBlock(name="example", example=True),
        panels={one.id: one for one in panels},
        devices={one.id: one for one in devices},
        rules=Rules(**rules),
    )
    return Case(project, arrangement(spots), None if chosen is None else arrangement(chosen))


Twin = tuple[str, str, str, Case, Case]
"""What is tried, rule of the table, codes found (the rule's own first), the instance that breaks it, its legal twin."""

A, B = device("a"), device("b")
AT_A: Spot = (100.0, 150.0)


def one(device_: Device, bad: Spot, good: Spot, on: Panel | None = None, **rules: Any) -> tuple[Case, Case]:
    """Return one device at two spots of the same panel."""
    return tuple(case([device_], {device_.id: spot}, on=on, **rules) for spot in (bad, good))  # type: ignore[return-value]


def two(
    first: Device, second: Device, bad: Spot, good: Spot, *, at: Spot = AT_A, on: Panel | None = None, **rules: Any
) -> tuple[Case, Case]:
    """Return two devices, the second at two spots."""
    return tuple(  # type: ignore[return-value]
        case([first, second], {first.id: at, second.id: spot}, on=on, **rules) for spot in (bad, good)
    )


def panels(bad: Panel, good: Panel, device_: Device = A, at: Spot = AT_A, **rules: Any) -> tuple[Case, Case]:
    """Return one device at one spot of two panels."""
    return tuple(case([device_], {device_.id: at}, on=on, **rules) for on in (bad, good))  # type: ignore[return-value]


def devices(bad: Device, good: Device, at: Spot = AT_A, on: Panel | None = None) -> tuple[Case, Case]:
    """Return two devices, each alone at one spot."""
    return tuple(case([each], {each.id: at}, on=on) for each in (bad, good))  # type: ignore[return-value]


def drilled(key: str, *spots: tuple[float, float], drill: float = 4.0) -> Device:
    """Return a surface device that is only screwed on."""
    fixings = tuple(Fixing(at=spot, drill=drill) for spot in spots)
    return device(key, mount="surface", cutout=(), behind=(), fixings=fixings)
