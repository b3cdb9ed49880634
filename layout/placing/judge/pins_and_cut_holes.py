"""Every device stands where it may: on an allowed panel at an allowed turn, pins and cut holes kept."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from layout.placing.judge.reporting import as_mm, geometry_finding

if TYPE_CHECKING:
    from collections.abc import Iterator

    from layout.findings.finding import Finding
    from layout.project.model.arrangement import Arrangement, Placed
    from layout.project.model.device import Device
    from layout.project.model.project import Project

HELD_MM = 1e-3
"""A held position is kept within this, mm."""


def held(project: Project, arrangement: Arrangement, chosen: Arrangement | None) -> Iterator[Finding]:
    """Find devices that are missing, stand where they may not, or have left a pin or a cut hole.

    Parameters
    ----------
    chosen
        The arrangement in the register, which says where a cut hole without a pin is.
    """
    for key, device in project.devices.items():
        if not device.panel:
            continue
        placed = arrangement.placed.get(key)
        name = device.name or key
        if placed is None:
            if not device.is_removed:
                panels = " or ".join(project.panels[p].name or p for p in device.panel if p in project.panels)
                yield geometry_finding(project, "panel 37", f"{name} has no place on {panels}", (f"devices.{key}",))
            continue
        yield from _allowed(project, key, device, placed)
        yield from _pinned(project, key, device, placed)
        panel = project.panels.get(placed.panel)
        if device.work_state != "planned" or (panel is not None and panel.work_state == "cut"):
            yield from _cut(project, key, device, (placed, chosen.placed.get(key) if chosen else None))


def _allowed(project: Project, key: str, device: Device, placed: Placed) -> Iterator[Finding]:
    name = device.name or key
    if placed.panel not in device.panel:
        allowed = ", ".join(device.panel)
        message = f"{name} stands on {placed.panel}, and may stand on {allowed} only"
        yield geometry_finding(project, "panel 38", message, (f"devices.{key}",), remedy=f"place it on {allowed}")
    if placed.turn not in device.turns:
        allowed = ", ".join(str(turn) for turn in device.turns)
        message = f"{name} is turned by {placed.turn} degrees, and only {allowed} is allowed"
        yield geometry_finding(
            project, "panel 39", message, (f"devices.{key}",), remedy="turn it back, or allow the turn"
        )


def _pinned(project: Project, key: str, device: Device, placed: Placed) -> Iterator[Finding]:
    pin = device.pin
    if pin is None:
        return
    off = [
        f"{side} = {as_mm(has)} instead of {as_mm(pinned)} mm"
        for side, pinned, has in (("x", pin.x, placed.x), ("y", pin.y, placed.y))
        if pinned is not None and abs(has - pinned) > HELD_MM
    ]
    if pin.turn is not None and placed.turn != pin.turn:
        off.append(f"turn = {placed.turn} instead of {pin.turn} degrees")
    if pin.panel is not None and placed.panel != pin.panel:
        off.append(f"panel = {placed.panel} instead of {pin.panel}")
    if off:
        yield geometry_finding(
            project,
            "panel 34",
            f"{device.name or key} has left its pin: {', '.join(off)}",
            (f"devices.{key}.pin",),
            measured=math.hypot(_off(pin.x, placed.x), _off(pin.y, placed.y)),
            limit=0.0,
            remedy="place again with the pin, or change the pin",
        )


def _off(pinned: float | None, has: float) -> float:
    return 0.0 if pinned is None else has - pinned


def _cut(project: Project, key: str, device: Device, places: tuple[Placed, Placed | None]) -> Iterator[Finding]:
    placed, was = places
    pin, name = device.pin, device.name or key
    if was is not None:
        apart = math.hypot(placed.x - was.x, placed.y - was.y)
        if apart > HELD_MM or placed.turn != was.turn or placed.panel != was.panel:
            yield geometry_finding(
                project,
                "panel 35",
                f"the hole of {name} is cut at ({as_mm(was.x)}, {as_mm(was.y)}) on {was.panel}, turned {was.turn}"
                " degrees,"
                f" and it stands at ({as_mm(placed.x)}, {as_mm(placed.y)}) on {placed.panel}, turned {placed.turn}",
                (f"devices.{key}",),
                measured=apart,
                limit=0.0,
                remedy="keep the cut position",
            )
    elif pin is None or pin.x is None or pin.y is None:
        yield geometry_finding(
            project,
            "panel 36",
            f"the hole of {name} is cut, and neither a pin nor the register says where",
            (f"devices.{key}",),
            remedy="measure the hole's place and pin the device there",
        )
