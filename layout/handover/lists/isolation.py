"""Before work begins: what to switch off, in which order, what stays live all the same, what to prove dead.

What stays live is walked along the wires from each battery and solar supply with every battery switch open and every
breaker closed: a breaker that happens to be off proves nothing.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from layout.handover.lists.run_words import LIVE
from layout.handover.lists.schedule_columns import name_of
from layout.handover.lists.table import Column, Table

if TYPE_CHECKING:
    from layout.handover.lists.table import Cell
    from layout.project.model.project import Project
    from layout.project.model.supplies import Supply
    from layout.wiring.result import Wire, Wiring

ACTS = {
    "shore": "unplug the lead at the pontoon, then at the inlet",
    "generator": "stop it, lock it against starting by itself",
    "inverter": "switch it off at its own switch and at its feed",
    "solar": "open its isolator, or cover the modules: they are live in daylight",
    "charger": "dead once its input is; it may still hold its output up",
    "converter": "dead once its input is",
    "alternator": "do not run the engine",
    "battery": "negative lead off last, tied back; on again last",
}
"""What switching a supply off means, in the order in which it is done; the battery's lead comes after the switches."""

_STEPS = (
    Column(key="step", title="Step", width_mm=12, align="right"),
    Column(key="what", title="Switch off", width_mm=70),
    Column(key="where", title="Where", width_mm=60),
    Column(key="how", title="How", width_mm=100),
    Column(key="done", title="Off, locked", width_mm=20, align="centre"),
)
_LIVE = (
    Column(key="what", title="Stays live with every battery switch open", width_mm=80),
    Column(key="where", title="Where", width_mm=60),
    Column(key="from", title="From", width_mm=60),
    Column(key="wires", title="By wires", width_mm=62),
)
_DEAD = (
    Column(key="what", title="Prove dead", width_mm=80),
    Column(key="where", title="Where", width_mm=60),
    Column(key="system", title="Nominal", width_mm=30),
    Column(key="between", title="Between", width_mm=50),
    Column(key="found", title="Found, V", width_mm=22, blank=True),
    Column(key="sign", title="By", width_mm=20, blank=True),
)
BETWEEN = {"dc": "each pole, and each pole to earth", "ac": "L–N, L–PE, N–PE"}


def isolation_tables(project: Project, wiring: Wiring) -> tuple[Table, ...]:
    """Return the steps, what stays live, and what to prove dead; nothing without a supply."""
    if not project.supplies:
        return ()
    return (_steps(project), _live(project, wiring), _dead(project))


def _steps(project: Project) -> Table:
    here = [supply for supply in project.supplies.values() if not supply.is_removed]
    rows: list[tuple[str, str, str]] = []
    for kind, act in ACTS.items():
        if kind == "battery":
            rows += [
                (name_of(project, switch.id), _at(project, switch.location, switch.device), "off, key out or locked")
                for switch in project.battery_switches.values()
                if not switch.is_removed
            ]
        rows += [(_supply(one), _at(project, one.location, one.device), act) for one in here if one.kind == kind]
    cells: list[dict[str, Cell]] = [
        {"step": number, "what": what, "where": where, "how": how, "done": "☐"}
        for number, (what, where, how) in enumerate(rows, start=1)
    ]
    return Table(name="switch off", title="Switch off in this order", columns=_STEPS, rows=tuple(cells))


def _live(project: Project, wiring: Wiring) -> Table:
    rows: list[dict[str, Cell]] = []
    for owner, (sources, wires) in still_live(project, wiring).items():
        rows.append(
            {
                "what": name_of(project, owner) + (", with all its ways" if owner in project.breaker_panels else ""),
                "where": _whereabouts(project, owner),
                "from": ", ".join(name_of(project, source) for source in sources), "wires": ", ".join(wires),
            }
        )  # fmt: skip
    notes = (
        "Walked along the wires from batteries and solar supplies, every breaker and fuse taken as closed. Only a lead "
        "that is off makes these dead.",
    )
    return Table(name="stays live", title="What stays live", columns=_LIVE, rows=tuple(rows), notes=notes)


def still_live(project: Project, wiring: Wiring) -> dict[str, tuple[tuple[str, ...], tuple[str, ...]]]:
    """Return what stays live by owner: from which supplies, by which wires; battery switches are open."""
    wires = [
        wire
        for run in wiring.runs
        for wire in run.wires
        if wire.pole in LIVE and run.run_class in ("dc", "ac") and run.aboard != "remove"
    ]
    reached: dict[str, tuple[dict[str, None], dict[str, None]]] = {}
    for source in project.supplies.values():
        if source.kind not in ("battery", "solar") or source.is_removed:
            continue
        edge, seen = [source.id], {source.id}
        while edge:
            here = edge.pop(0)
            for wire in wires:
                for owner in _across(wire, here):
                    if owner == source.id:
                        continue
                    sources, by = reached.setdefault(owner, ({}, {}))
                    sources.setdefault(source.id)
                    by.setdefault(wire.number)
                    if owner not in seen and _passes(project, owner):
                        seen.add(owner)
                        edge.append(owner)
    return {owner: (tuple(sources), tuple(by)) for owner, (sources, by) in reached.items()}


def _across(wire: Wire, here: str) -> tuple[str, ...]:
    ends = (wire.start.owner, wire.end.owner)
    return (ends[1],) if ends[0] == here else (ends[0],) if ends[1] == here else ()


def _passes(project: Project, owner: str) -> bool:
    """Tell whether what arrives at an owner goes on from there: bars do; a panel stands for all its ways."""
    return owner in project.bus_bars or owner in project.locations


def _dead(project: Project) -> Table:
    rows: list[dict[str, Cell]] = []
    for bar in project.bus_bars.values():
        if bar.pole in ("+", "L"):
            system = "" if bar.voltage is None else f"{bar.voltage:g} V"
            kind = "ac" if bar.pole == "L" else "dc"
            rows.append(_proof(bar.name or bar.id, _at(project, bar.location, bar.device), system, kind))
    for panel in project.breaker_panels.values():
        kind = "ac" if panel.ac else "dc"
        where = _at(project, panel.location, panel.device)
        rows.append(_proof(f"{panel.name or panel.id}, in", where, f"{panel.voltage:g} V {kind.upper()}", kind))
    for switch in project.battery_switches.values():
        where = _at(project, switch.location, switch.device)
        rows.append(_proof(f"{switch.name or switch.id}, out", where, f"{switch.voltage:g} V", "dc"))
    notes = ("Prove the tester on a live source before and after. Wait for capacitors of chargers and inverters.",)
    return Table(name="prove dead", title="What to prove dead", columns=_DEAD, rows=tuple(rows), notes=notes)


def _proof(what: str, where: str, system: str, kind: str) -> dict[str, Cell]:
    return {"what": what, "where": where, "system": system, "between": BETWEEN[kind], "found": "", "sign": ""}


def _supply(supply: Supply) -> str:
    return f"{supply.name or supply.id} ({supply.kind}, {supply.voltage:g} V)"


def _at(project: Project, place: str | None, device: str | None) -> str:
    if device in project.devices and device is not None:
        owner = project.devices[device]
        panels = [project.panels[panel].name or panel for panel in owner.panel if panel in project.panels]
        return ", ".join(panels) if panels else _at(project, owner.location, None)
    return name_of(project, place) if place else "place not known"


def _whereabouts(project: Project, owner: str) -> str:
    for kind in (project.supplies, project.battery_switches, project.bus_bars, project.breaker_panels):
        if owner in kind:
            entry = kind[owner]
            return _at(project, entry.location, entry.device)
    if owner in project.devices:
        return _at(project, None, owner)
    return ""
