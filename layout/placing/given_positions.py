"""Which positions are given before anything is solved: cut before pinned before kept."""

from __future__ import annotations

from typing import TYPE_CHECKING

from layout.findings.finding import Finding
from layout.placing.translation.layout_index import GivenPosition, pinned
from layout.project.model.reserved_room import stand_ins

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from layout.project.model.arrangement import Arrangement, Placed
    from layout.project.model.device import Device
    from layout.project.model.project import Project


def given(
    project: Project, *, keep: Iterable[str], chosen: Arrangement | None
) -> tuple[dict[str, GivenPosition], tuple[Finding, ...]]:
    """Return given positions by device id, and what is wrong with the devices to be kept.

    Parameters
    ----------
    keep
        Ids of devices, and paths of reserved room, that stay where the chosen arrangement has them.
    chosen
        The arrangement in the register, if there is one; it also says where cut holes without a pin are.
    """
    kept = list(dict.fromkeys(keep))
    places = {**chosen.placed, **chosen.rooms} if chosen else {}
    rooms = stand_ins(project)
    held, findings = {}, []
    for name in kept:
        if name in rooms:
            continue
        if name not in project.devices or not project.devices[name].panel:
            findings.append(
                Finding(
                    rule="fit 7",
                    message=f"'{name}' is to be kept, and no device of a panel is called so",
                    remedy=f"known: {', '.join(d.id for d in project.devices.values() if d.panel)}",
                )
            )
        elif name not in places:
            findings.append(
                Finding(
                    rule="fit 7",
                    message=f"{project.devices[name].name or name} is to be kept, and no chosen arrangement has it",
                    at=project.place_of(f"devices.{name}"),
                    remedy="choose an arrangement first, or pin it",
                    subjects=(f"devices.{name}",),
                )
            )
    for key, device in {**project.devices, **rooms}.items():
        given_position = _held(project, device, places.get(key), kept=key in kept)
        if device.panel and given_position is not None:
            held[key] = given_position
    return held, tuple(findings)


def still_at(places: Mapping[str, Placed]) -> dict[str, GivenPosition]:
    """Return given positions for all that stands."""
    return {name: GivenPosition(x=one.x, y=one.y, turn=one.turn, panel=one.panel) for name, one in places.items()}


def is_cut(project: Project, device: Device) -> bool:
    """Say whether the hole of a device is there already."""
    panels = [project.panels[key] for key in device.panel if key in project.panels]
    return device.work_state != "planned" or bool(panels and all(panel.work_state == "cut" for panel in panels))


def _held(project: Project, device: Device, place: Placed | None, *, kept: bool) -> GivenPosition | None:
    pin = pinned(device)
    if place is None or not (kept or is_cut(project, device)):
        return pin
    if pin is None or is_cut(project, device):
        return GivenPosition(x=place.x, y=place.y, turn=place.turn, panel=place.panel)
    return GivenPosition(
        x=place.x if pin.x is None else pin.x,
        y=place.y if pin.y is None else pin.y,
        turn=place.turn if pin.turn is None else pin.turn,
        panel=place.panel if pin.panel is None else pin.panel,
    )
