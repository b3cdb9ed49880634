"""Which positions are given before anything is solved: cut before pinned before kept."""

from __future__ import annotations

from typing import TYPE_CHECKING

from layout.findings.finding import Finding
from layout.placing.translation.layout_index import GivenPosition

if TYPE_CHECKING:
    from collections.abc import Iterable

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
        Ids of devices that stay where the chosen arrangement has them.
    chosen
        The arrangement in the register, if there is one; it also says where cut holes without a pin are.
    """
    kept = list(dict.fromkeys(keep))
    places = dict(chosen.placed) if chosen else {}
    held, findings = {}, []
    for name in kept:
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
    for key, device in project.devices.items():
        found = _held(project, device, places.get(key), kept=key in kept)
        if device.panel and found is not None:
            held[key] = found
    return held, tuple(findings)


def is_cut(project: Project, device: Device) -> bool:
    """Say whether the hole of a device is there already."""
    panels = [project.panels[key] for key in device.panel if key in project.panels]
    return device.state != "planned" or bool(panels and all(panel.state == "cut" for panel in panels))


def _held(project: Project, device: Device, place: Placed | None, *, kept: bool) -> GivenPosition | None:
    pin = device.pin
    pinned = GivenPosition(x=pin.x, y=pin.y, turn=pin.turn, panel=pin.panel) if pin else None
    if place is None or not (kept or is_cut(project, device)):
        return pinned
    if pinned is None or is_cut(project, device):
        return GivenPosition(x=place.x, y=place.y, turn=place.turn, panel=place.panel)
    return GivenPosition(
        x=place.x if pinned.x is None else pinned.x,
        y=place.y if pinned.y is None else pinned.y,
        turn=place.turn if pinned.turn is None else pinned.turn,
        panel=place.panel if pinned.panel is None else pinned.panel,
    )
