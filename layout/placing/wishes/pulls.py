"""Cable pulls: how strongly each device is drawn to where its cables leave the panel, or to another device.

Sizes are nominal, from the current alone, so that placing does not wait for wiring: a rough 6 A per mm2 up the usual
series. Wiring sizes the placed result properly and says if placing again would gain.
"""

from __future__ import annotations

from itertools import pairwise
from typing import TYPE_CHECKING

from layout.light_dataclass import dataclass
from layout.project.model.keys import End

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from layout.geometry.box import Point
    from layout.project.model.circuits import Circuit, Load
    from layout.project.model.project import Project
    from layout.project.model.supplies import Protection
    from layout.quantity import WireSize

SERIES_MM2 = (1.0, 1.5, 2.5, 4.0, 6.0, 10.0, 16.0, 25.0, 35.0, 50.0, 70.0, 95.0)
"""Usual metric sizes (IEC 60228); common practice starts at 1 mm2."""

NOMINAL_A_PER_MM2 = 6.0
"""Rough loading of a conductor for a pull; common practice, no single source."""

UNKNOWN_MM2 = 2.5
"""Size that stands for a conductor whose load is not known, so that it pulls at all."""

LEAD_MM2 = 2.5
"""Pull of an antenna lead or a bus drop, as if it were a conductor of this size."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Pull:
    """Copper that runs from a device to the panel's cable entry, or to another device of a panel.

    Attributes
    ----------
    device, at
        Id, and where its terminal lies in the device's own frame, mm.
    to
        Id of the other device; None is the cable entry.
    to_at
        Terminal of the other device, mm.
    copper_mm2
        Summed area of the conductors: the weight of each millimetre.
    """

    device: str
    at: Point
    to: str | None
    to_at: Point
    copper_mm2: float


def pulls(project: Project) -> tuple[Pull, ...]:
    """Return all pulls of a project, those of one device to one end at one terminal summed."""
    summed: dict[tuple[str, Point, str | None, Point], float] = {}
    key: tuple[str, Point, str | None, Point]
    for first, second, area in _conductors(project):
        ends = [_spot(project, end) for end in (first, second)]
        on = [spot for spot in ends if spot is not None]
        if len(on) == 2 and on[0][0] != on[1][0]:
            one, other = sorted(on)
            key = (one[0], one[1], other[0], other[1])
        elif len(on) == 1:
            key = (on[0][0], on[0][1], None, (0.0, 0.0))
        else:
            continue
        summed[key] = summed.get(key, 0.0) + area
    return tuple(Pull(device=d, at=at, to=to, to_at=to_at, copper_mm2=a) for (d, at, to, to_at), a in summed.items())


def _conductors(project: Project) -> Iterator[tuple[End, End, float]]:
    """Yield both ends of each conductor with its area, mm2."""
    for circuit in project.circuits.values():
        area = _area(circuit.size, _current(project, circuit))
        if circuit.legs:
            for leg in circuit.legs.values():
                mine = _area(leg.size, leg.current) if leg.size or leg.current else area
                own = circuit.protection if leg.from_.owner == circuit.from_.owner else None
                for first, second in _past_holders(project, leg.from_, leg.to, leg.protection or own):
                    yield first, second, mine
        else:
            yield from ((circuit.from_, circuit.to, area) for _ in range(3 if _is_ac(project, circuit.from_) else 2))
    for feeder in project.feeders.values():
        area = _area(feeder.size, feeder.current)
        for _ in feeder.poles:
            for first, second in _past_holders(
                project, feeder.from_, feeder.to, feeder.protection, feeder.protection_to
            ):
                yield first, second, area
    for lead in project.antennas.values():
        yield End(lead.radio), End(lead.antenna), LEAD_MM2
    for bus in project.networks.values():
        for key, node in bus.nodes.items():
            yield End(node.device or key), End(""), LEAD_MM2


def _past_holders(
    project: Project, start: End, end: End, device: Protection | None, at_end: Protection | None = None
) -> Iterator[tuple[End, End]]:
    """Yield the parts of a conductor between its ends and the holders of its protective devices."""
    on_way = [start]
    for guard, at in ((device, start), (at_end, end)):
        held = guard.device if guard is not None else None
        stands_for = next(
            (
                entries[at.owner].device
                for entries in (project.supplies, project.bus_bars, project.breaker_panels, project.battery_switches)
                if at.owner in entries
            ),
            at.owner,
        )
        if held is not None and held not in (stands_for, at.owner):
            on_way.append(End(held))
    yield from pairwise([*on_way, end])


def _is_ac(project: Project, end: End) -> bool:
    owner = end.owner
    panel = project.breaker_panels.get(owner)
    supply = project.supplies.get(owner)
    return bool((panel and panel.ac) or (supply and supply.is_ac))


def _volts(project: Project, end: End) -> float | None:
    owner = end.owner
    found = project.breaker_panels.get(owner) or project.supplies.get(owner) or project.bus_bars.get(owner)
    return found.voltage if found else None


def _current(project: Project, circuit: Circuit) -> float | None:
    load: Load | None = circuit.load
    if load is None:
        return None
    if load.current is not None:
        return load.current
    volts = _volts(project, circuit.from_)
    return load.power / (load.lowest_voltage or 0.9 * volts) if load.power is not None and volts else None


def _area(size: WireSize | None, current_a: float | None) -> float:
    if size is not None:
        return size.area_mm2 if size.area_mm2 is not None else _gauge_mm2(size.gauge or "")
    if current_a is None:
        return UNKNOWN_MM2
    return next((area for area in SERIES_MM2 if area * NOMINAL_A_PER_MM2 >= current_a), SERIES_MM2[-1])


def _gauge_mm2(gauge: str) -> float:
    """Return the area of a gauge number (ASTM B258: each step is a factor of 92 ** (1/39) in diameter)."""
    number = -(int(gauge[0]) - 1) if "/0" in gauge else int(gauge)
    diameter_mm = 0.127 * 92.0 ** ((36 - number) / 39)
    return float(diameter_mm**2 * 0.7853981633974483)


def _spot(project: Project, end: End) -> tuple[str, Point] | None:
    """Return the device on a panel that an end belongs to, with the terminal's place; None is elsewhere."""
    owner, terminal = end.owner, end.terminal
    tables: Iterable[object] = (
        project.breaker_panels.get(owner),
        project.bus_bars.get(owner),
        project.battery_switches.get(owner),
        project.supplies.get(owner),
    )
    named = [getattr(one, "device", None) for one in tables]
    device = next((name for name in named if name), owner)
    found = project.devices.get(device)
    if found is None or not found.panel:
        return None
    known = found.terminals.get(terminal)
    return device, (known.at if known else (0.0, 0.0))
