"""Functional tests: what each circuit must be seen to do, by what it is for."""

from __future__ import annotations

from typing import TYPE_CHECKING

from layout.handover.lists.table import Column, Table
from layout.standards import network

if TYPE_CHECKING:
    from collections.abc import Iterator

    from layout.handover.lists.table import Cell
    from layout.project.model.circuits import Circuit
    from layout.project.model.project import Project

_COLUMNS = (
    Column(key="what", title="What", width_mm=64),
    Column(key="do", title="Do", width_mm=96),
    Column(key="must", title="Must", width_mm=64),
    Column(key="found", title="Found", width_mm=26, blank=True),
    Column(key="sign", title="By, date", width_mm=28, blank=True),
)
BY_PURPOSE = {
    "bilge pump": (
        ("lift the float by hand, battery switches off", "pump runs and discharges overboard"),
        ("hand switch on, float down", "pump runs; alarm or lamp shows it"),
    ),
    "bilge blower": (("switch on, hold a hand at the outlet", "blows outwards"),),
    "gas alarm": (("test button, then test gas as its maker says", "alarm sounds; valve or fan follows"),),
    "fire alarm": (("test button", "alarm sounds"),),
    "navigation lights": (("on at dusk, walk round the boat", "each pattern as the rules ask, none by day switch"),),
    "nav lights": (("on at dusk, walk round the boat", "each pattern as the rules ask, none by day switch"),),
    "horn": (("sound it", "heard outside with the engine running"),),
    "steering": (("hard over, both ways", "runs, stops at its ends"),),
    "radio": (("radio check with engine and pumps on", "voltage at its plug stays within its limits"),),
    "charger": (("shore on, battery down by an hour's use", "charges; voltage and amperes as set"),),
}
"""What to do and what must be seen, by purpose; common practice, no single source."""


def function_table(project: Project) -> Table:
    """Return the functional tests of what is wired: circuits by purpose, sources, residual-current devices, buses."""
    rows: list[dict[str, Cell]] = [
        {"what": what, "do": do, "must": must, "found": "", "sign": ""} for what, do, must in _tests(project)
    ]
    return Table(name="functions", title="Functional tests", columns=_COLUMNS, rows=tuple(rows))


def _tests(project: Project) -> Iterator[tuple[str, str, str]]:
    for switch in project.battery_switches.values():
        if switch.kind == "isolator" and not switch.is_removed:
            name = switch.name or switch.id
            yield name, "off; measure what it feeds, sun and shore on", "0 V: nothing feeds back"
    for panel in project.breaker_panels.values():
        if panel.ac:
            yield panel.name or panel.id, "button of the residual-current device", "trips at once; every way is dead"
    for supply in project.supplies.values():
        if supply.kind in ("alternator", "charger", "solar", "generator") and not supply.is_removed:
            yield supply.name or supply.id, "run it; measure volts at the bank and amperes", "charges; voltage as set"
    for key, bus in project.networks.items():
        yield from _bus(bus.name or key)
    for circuit in project.circuits.values():
        if not circuit.is_removed:
            yield from _circuit(circuit)


def _bus(name: str) -> Iterator[tuple[str, str, str]]:
    low_ohm, high_ohm = network.measured_range_ohm()
    low_v, high_v = network.supply_range_v()
    yield name, "power off, everything plugged in; measure between the data wires", f"{low_ohm:g} to {high_ohm:g} ohm"
    yield name, "power on, all devices on; measure volts at the farthest one", f"{low_v:g} to {high_v:g} V"


def _circuit(circuit: Circuit) -> Iterator[tuple[str, str, str]]:
    name = circuit.name or circuit.id
    for do, must in BY_PURPOSE.get(circuit.purpose.strip().lower(), ()):
        yield name, do, must
