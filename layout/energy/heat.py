"""Heat behind a panel: how warm the closed space gets.

Heat leaves through the walls and, where there are two openings at different heights, with the air that rises:

    P = k x S x dT  +  rho x c x Cd x (A / sqrt 2) x sqrt(2 g h / T) x dT^1.5

k is 5.5 W/m2K for sheet metal walls and 3.5 for wood and plastic (practice of enclosure makers, from memory); the
second term is the stack effect of textbooks on natural ventilation with Cd = 0.6, two equal openings in a row, and the
inside evenly warm (the true mean is lower, so the flow is counted at half its height).
"""

from __future__ import annotations

import math
from dataclasses import replace
from typing import TYPE_CHECKING

from layout.energy.bank_of_circuit import conversion_of
from layout.findings import Finding
from layout.findings.finding import Place
from layout.light_dataclass import dataclass

if TYPE_CHECKING:
    from collections.abc import Iterator

    from layout.project.model.energy import Heat
    from layout.project.model.project import Project

WALL_METAL, WALL_OTHER = 5.5, 3.5
"""Heat through walls, W/m2K (practice of enclosure makers, from memory)."""
DISCHARGE = 0.6
"""Share of the ideal flow through a sharp-edged opening (textbooks, from memory)."""
AIR_KG_M3, AIR_J_KGK, GRAVITY = 1.2, 1005.0, 9.81
LIMIT_C = 55.0
"""Warmest air for protected equipment (IEC 60945, from memory)."""
KELVIN = 273.15
CONVERTING = ("converter", "inverter", "charger")


@dataclass(frozen=True, slots=True, kw_only=True)
class Dissipation:
    """What one device gives off behind a panel, W; None where not known."""

    device: str
    name: str
    watts: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class HeatRow:
    """One panel.

    Attributes
    ----------
    devices
        What each device gives off.
    total_w
        Sum; None where a part is not known.
    inside_c
        How warm it gets; None where not known.
    """

    panel: str
    name: str
    devices: tuple[Dissipation, ...]
    total_w: float | None
    ambient_c: float | None
    limit_c: float
    inside_c: float | None
    findings: tuple[Finding, ...] = ()


def carried_w(
    rise_k: float, *, surface_mm2: float, metal: bool, vent_mm2: float, height_mm: float, ambient_c: float
) -> float:
    """Return the heat that leaves at a rise of temperature, W."""
    wall = (WALL_METAL if metal else WALL_OTHER) * surface_mm2 * 1e-6
    absolute = ambient_c + KELVIN
    flow = (
        DISCHARGE
        * (vent_mm2 * 1e-6 / math.sqrt(2))
        * math.sqrt(2 * GRAVITY * (height_mm / 2000.0) * max(rise_k, 0.0) / absolute)
    )
    return wall * rise_k + AIR_KG_M3 * AIR_J_KGK * flow * rise_k


def rise_k(
    watts: float, *, surface_mm2: float, metal: bool, vent_mm2: float, height_mm: float, ambient_c: float
) -> float | None:
    """Return how much warmer a space gets, K, by bisection; None if no heat can leave."""
    if watts <= 0:
        return 0.0
    if surface_mm2 <= 0 and (vent_mm2 <= 0 or height_mm <= 0):
        return None

    def carried(rise: float) -> float:
        return carried_w(
            rise, surface_mm2=surface_mm2, metal=metal, vent_mm2=vent_mm2, height_mm=height_mm, ambient_c=ambient_c
        )

    high = 1.0
    while carried(high) < watts:
        high *= 2
    low = 0.0
    for _ in range(60):
        middle = (low + high) / 2
        low, high = (middle, high) if carried(middle) < watts else (low, middle)
    return high


def heat_behind(project: Project, panel_id: str, heat: Heat) -> HeatRow:
    """Return how warm it gets behind a panel, with findings (day 30-032)."""
    panel = project.panels.get(panel_id)
    devices = tuple(_dissipation(project, panel_id, heat))
    watts = [device.watts for device in devices]
    total = None if None in watts else sum(value or 0.0 for value in watts)
    ambient, vent = heat.ambient, heat.vent_area or 0.0
    can_leave = bool(heat.surface or vent)
    rise = None
    if total is not None and ambient is not None and can_leave:
        rise = rise_k(
            total,
            surface_mm2=heat.surface or 0.0,
            metal=heat.metal,
            vent_mm2=vent,
            height_mm=heat.vent_height or 0.0,
            ambient_c=ambient,
        )
    row = HeatRow(
        panel=panel_id,
        name=(panel.name if panel is not None else "") or panel_id,
        devices=devices,
        total_w=total,
        ambient_c=ambient,
        limit_c=heat.limit if heat.limit is not None else LIMIT_C,
        inside_c=None if rise is None or ambient is None else ambient + rise,
    )
    return replace(row, findings=tuple(_check(row, can_leave=can_leave)))


def _dissipation(project: Project, panel_id: str, heat: Heat) -> Iterator[Dissipation]:
    """Yield each device behind a panel with its watts: as said here or on the device, or a converter's losses."""
    named = [id_ for id_ in heat.watts if id_ not in project.devices or panel_id not in project.devices[id_].panel]
    here = [id_ for id_, device in project.devices.items() if panel_id in device.panel and not device.is_removed]
    for id_ in [*here, *named]:
        device = project.devices.get(id_)
        watts = heat.watts.get(id_)
        if watts is None and id_ in heat.cool:
            watts = 0.0
        if watts is None and device is not None:
            watts = device.heat if device.heat is not None else _converter_loss_w(project, id_)
        yield Dissipation(device=id_, name=(device.name if device is not None else "") or id_, watts=watts)


def _converter_loss_w(project: Project, device: str) -> float | None:
    """Return what a converter or charger loses at its rating, W; None for other devices, or where not known."""
    for id_, supply in project.supplies.items():
        if supply.device == device and supply.kind in CONVERTING:
            known = conversion_of(project, id_)
            if known.rating is not None and known.efficiency:
                return known.rating * (1 / known.efficiency - 1) + (known.standby or 0.0)
    return None


def _check(row: HeatRow, *, can_leave: bool) -> Iterator[Finding]:
    at, subjects = Place(key=f"energy.heat.{row.panel}"), (f"panels.{row.panel}", "energy")
    for device in row.devices:
        if device.watts is None:
            yield Finding(
                rule="day 31",
                message=f"what {device.name} gives off behind {row.name} is not known",
                at=at,
                remedy=f"write heat: of {device.device}, or name it in watts or cool",
                subjects=(f"devices.{device.device}", *subjects),
            )
    if row.ambient_c is None or not can_leave:
        missing = ["ambient"] if row.ambient_c is None else []
        missing += [] if can_leave else ["surface, or vent_area and vent_height"]
        yield Finding(
            rule="day 32",
            message=f"how warm it gets behind {row.name} can't be said without {' and '.join(missing)}",
            at=at,
            remedy=f"write {' and '.join(missing)}",
            subjects=subjects,
        )
    if row.inside_c is not None and row.inside_c > row.limit_c + 1e-9:
        yield Finding(
            rule="day 30",
            message=f"it gets {row.inside_c:.0f} °C behind {row.name} with {row.total_w:.0f} W;"
            f" the limit is {row.limit_c:g} °C",
            at=at,
            remedy="open more, let the warm devices stand elsewhere, or move the air with a fan",
            measured=row.inside_c,
            limit=row.limit_c,
            unit="°C",
            subjects=subjects,
        )
