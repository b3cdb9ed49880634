"""Before work begins: what to switch off, in which order, what stays live all the same, what to prove dead.

What stays live comes from the electrical graph, with every battery switch open and every breaker closed: a breaker
that happens to be off proves nothing.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from layout.handover.lists.table import Column, Table
from layout.handover.lists.wires.schedule_columns import name_of
from layout.wiring.circuits.ends import LIVE

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from layout.handover.lists.table import Cell
    from layout.project.model.project import Project
    from layout.project.model.supplies import Supply
    from layout.wiring.result import Wiring

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
_OPENED = (
    Column(key="what", title="Opened", width_mm=80),
    Column(key="dead", title="Leaves dead", width_mm=120),
    Column(key="behind", title="Stays live behind it, from", width_mm=62),
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
    return (_steps(project), _live(project, wiring), _openings(project, wiring), _dead(project))


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
    numbers = {run.key: [wire.number for wire in run.wires if wire.pole in LIVE] for run in wiring.runs}
    rows: list[dict[str, Cell]] = []
    for live in wiring.isolation.live:
        wires = dict.fromkeys(number for segment, _ in live.conductors for number in numbers.get(segment, ()))
        rows.append(
            {
                "what": name_of(project, live.owner)
                + (", with all its ways" if live.owner in project.breaker_panels else ""),
                "where": _whereabouts(project, live.owner),
                "from": source_names(project, live.sources), "wires": ", ".join(wires),
            }
        )  # fmt: skip
    notes = (
        "From batteries, solar supplies and what they feed on, every breaker and fuse taken as closed. Only a lead "
        "that is off makes these dead.",
    )
    return Table(name="stays live", title="What stays live", columns=_LIVE, rows=tuple(rows), notes=notes)


def _openings(project: Project, wiring: Wiring) -> Table:
    """Return what each battery switch and each device of a feeder or a panel leaves dead; ways have no row."""
    rows: list[dict[str, Cell]] = []
    for opening in wiring.isolation.openings:
        if opening.entry.startswith("circuits.") or ".ways." in opening.entry or not (opening.dead or opening.behind):
            continue
        rows.append(
            {
                "what": opening.name[:1].upper() + opening.name[1:],
                "dead": ", ".join(_folded(project, wiring, opening.dead)) or "nothing",
                "behind": source_names(project, opening.behind) or "nothing",
            }
        )
    notes = ("Each opened by itself, in use, all sources running. A way's own breaker leaves dead what it feeds.",)
    return Table(
        name="leaves dead", title="What each opening leaves dead", columns=_OPENED, rows=tuple(rows), notes=notes
    )


def source_names(project: Project, sources: Iterable[str]) -> str:
    """Return the names of sources, with the number of an output where a charger has several."""
    parts = (source.partition("/") for source in sources)
    return ", ".join(name_of(project, key) + (f", output {post[1:]}" if post else "") for key, _, post in parts)


def _folded(project: Project, wiring: Wiring, dead: Mapping[str, str]) -> tuple[str, ...]:
    """Return the names of dead things; a panel stands for its ways where most are dead, and names the others."""
    by_way = {opening.entry: opening.dead for opening in wiring.isolation.openings}
    names = dict(dead)
    for panel in project.breaker_panels:
        ways = [way for way in wiring.ways if way.panel == panel and way.circuit is not None]
        behind = [by_way.get(f"breaker_panels.{panel}.ways.{way.way}", {}) for way in ways]
        live = [way.name for way, own in zip(ways, behind, strict=True) if not own or not own.keys() <= dead.keys()]
        if len(ways) > 1 and 3 * len(live) < len(ways):
            text = f"{name_of(project, panel)} with all its ways" + (f" but {', '.join(live)}" if live else "")
            names.update(dict.fromkeys((entry for own in behind for entry in own if entry in dead), text))
    return tuple(dict.fromkeys(names.values()))


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
    title = "What to prove dead; prove the tester on a live source before and after, wait for capacitors"
    return Table(name="prove dead", title=title, columns=_DEAD, rows=tuple(rows))


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
