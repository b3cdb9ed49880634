"""Reserved room as what it is kept for: a device of its size, so that every rule of distance holds for it too."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from layout.frozen import FrozenMap
from layout.project.model.arrangement import Placed
from layout.project.model.device import Behind, Device, Pin, PlugRoom
from layout.project.model.shape import Shape

if TYPE_CHECKING:
    from layout.project.model.arrangement import Arrangement
    from layout.project.model.panel import Reserved
    from layout.project.model.project import Project


def room_key(panel_id: str, room_id: str) -> str:
    """Return the dotted path of reserved room, by which it is known beside the ids of devices."""
    return f"panels.{panel_id}.reserved.{room_id}"


def stand_in(panel_id: str, room_id: str, room: Reserved) -> Device:
    """Return the device that reserved room is kept for: face, cut-out and body as large as the room, upright.

    A room that says no depth takes all there is: its body has none. A stated place is a pin.
    """
    shape = Shape(rect=room.size)
    return Device(
        id=room_key(panel_id, room_id),
        name=f"{room.name or room_id} (reserved)",
        panel=(panel_id,),
        face=shape,
        cutout=(shape,),
        behind=(Behind(shape=shape, depth=room.depth),),
        plug_room=PlugRoom(depth=0.0),
        front_height=0.0,
        pin=None if room.at is None else Pin(x=room.at[0], y=room.at[1], turn=0, panel=panel_id),
    )


def stand_ins(project: Project) -> dict[str, Device]:
    """Return the stand-in of all reserved room of a project, by ``room_key``."""
    return {
        room_key(panel_id, room_id): stand_in(panel_id, room_id, room)
        for panel_id, panel in project.panels.items()
        for room_id, room in panel.reserved.items()
    }


def room_places(project: Project, arrangement: Arrangement) -> dict[str, Placed]:
    """Return where reserved room is, by ``room_key``: where it is declared to be, else where an arrangement has it."""
    places = {}
    for name, room in stand_ins(project).items():
        pin, given = room.pin, arrangement.rooms.get(name)
        if pin is not None and pin.x is not None and pin.y is not None:
            places[name] = Placed(device=name, panel=room.panel[0], x=pin.x, y=pin.y)
        elif given is not None:
            places[name] = given
    return places


def without_room(project: Project, name: str) -> Project:
    """Return the project without the reserved room of a ``room_key``."""
    panels = {
        panel_id: replace(
            panel,
            reserved=FrozenMap({key: room for key, room in panel.reserved.items() if room_key(panel_id, key) != name}),
        )
        for panel_id, panel in project.panels.items()
    }
    return replace(project, panels=FrozenMap(panels))
