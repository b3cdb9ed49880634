"""What the one-line diagram shows, read from the model: owners, the feeds between them, and rows of ways.

A one-line diagram draws one line for a circuit whatever its count of conductors; returns and bonding are a picture of
their own. A feed that would run backwards, or that starts at a way, is a reference in words instead of a line.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Literal

from layout.light_dataclass import dataclass, field
from layout.project.model.keys import End
from layout.wiring.circuits.ends import Ends
from layout.wiring.circuits.leg_words import leg_words

if TYPE_CHECKING:
    from collections.abc import Mapping

    from layout.project.model.circuits import Circuit
    from layout.project.model.project import Project
    from layout.project.model.supplies import Protection, Way

_LIVE = ("+", "L")


@dataclass(frozen=True, slots=True, kw_only=True)
class Feed:
    """One line of the diagram: from an owner's terminal to another's, with what stands on it."""

    id: str
    source: str
    out: str
    target: str
    into: str
    poles: int = 1
    protection: Protection | None = None
    protection_to: Protection | None = None
    name: str = ""
    size: str = ""
    cranking: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class OneLineRow:
    """One way, or one circuit fed straight from a supply or bar."""

    mark: str
    text: str
    load: str = ""
    kind: str = "breaker"
    rating: float | None = None
    residual: float | None = None
    poles: int = 1
    state: Literal["used", "spare", "open"] = "used"
    key: str = ""
    symbol: str = "load"


@dataclass(frozen=True, slots=True, kw_only=True)
class Graph:
    """Everything on the diagram: feeds, rows by owner, and references in words by owner."""

    feeds: tuple[Feed, ...]
    rows: Mapping[str, tuple[OneLineRow, ...]]
    direct: Mapping[str, tuple[OneLineRow, ...]]
    fed_from: Mapping[str, tuple[str, ...]] = field(default_factory=dict)


def owner_name(project: Project, owner: str) -> str:
    """Return what people call an owner: its name, else its id."""
    for kind in (
        project.supplies, project.battery_switches, project.bus_bars, project.breaker_panels, project.devices,
        project.locations,
    ):  # fmt: skip
        if owner in kind:
            return str(kind[owner].name or owner)
    return owner


def live_graph(project: Project, *, assigned: Mapping[str, str]) -> Graph:
    """Return what the main picture shows.

    Parameters
    ----------
    assigned
        ``distribution/way`` -> circuit, for ways that spile has assigned.
    """
    feeds: list[Feed] = []
    words: dict[str, tuple[str, ...]] = {}

    def add(feed: Feed) -> None:
        if feed.source in project.breaker_panels and feed.out not in ("", "in", "out", "+", "L"):
            text = f"from {owner_name(project, feed.source)}, way {feed.out}"
            words[feed.target] = (*words.get(feed.target, ()), text)
        else:
            feeds.append(feed)

    for name, feeder in project.feeders.items():
        if any(pole in _LIVE for pole in feeder.poles):
            source, out = feeder.from_.owner, feeder.from_.terminal
            target, into = feeder.to.owner, feeder.to.terminal
            size = str(feeder.size) if feeder.size else ""
            add(
                Feed(
                    id=f"feeders.{name}", source=source, out=out, target=target, into=into, poles=len(feeder.poles),
                    protection=feeder.protection, protection_to=feeder.protection_to, name=feeder.name, size=size,
                    cranking=feeder.cranking,
                )
            )  # fmt: skip
    for name, supply in project.supplies.items():
        if supply.fed_from:
            source, out = supply.fed_from.owner, supply.fed_from.terminal
            if source in project.circuits:
                circuit = project.circuits[source]
                source, out = circuit.from_.owner, circuit.from_.terminal
            fed = any(feed.target == name and feed.source == source for feed in feeds)
            if not fed:
                add(Feed(id=f"supplies.{name}", source=source, out=out, target=name, into="in"))
    return Graph(
        feeds=tuple(feeds), rows=_way_rows(project, assigned), direct=_direct_rows(project), fed_from=words
    )  # fmt: skip


def return_feeds(project: Project) -> tuple[Feed, ...]:
    """Return feeders that carry only returns, earth or bonding."""
    found = []
    for name, feeder in project.feeders.items():
        if not any(pole in _LIVE for pole in feeder.poles):
            source, out = feeder.from_.owner, feeder.from_.terminal
            target, into = feeder.to.owner, feeder.to.terminal
            size = str(feeder.size) if feeder.size else ""
            label = "/".join(feeder.poles)
            found.append(
                Feed(
                    id=f"feeders.{name}", source=source, out=out, target=target, into=into, poles=len(feeder.poles),
                    protection=feeder.protection, protection_to=feeder.protection_to, name=label, size=size,
                )
            )  # fmt: skip
    return tuple(found)


def _way_rows(project: Project, assigned: Mapping[str, str]) -> dict[str, tuple[OneLineRow, ...]]:
    found: dict[str, tuple[OneLineRow, ...]] = {}
    for name, panel in project.breaker_panels.items():
        circuits: dict[str, list[str]] = {}
        for key, circuit in project.circuits.items():
            owner, terminal = circuit.from_.owner, circuit.from_.terminal
            if owner == name:
                circuits.setdefault(terminal, []).append(key)
        onward = {
            feeder.from_.terminal: owner_name(project, feeder.to.owner)
            for feeder in project.feeders.values()
            if feeder.from_.owner == name
        }
        rows: list[OneLineRow] = []
        settled: set[str] = set()
        for way_id, way in panel.ways.items():
            here = dict.fromkeys([*([way.circuit] if way.circuit else []), *circuits.get(way_id, [])])
            if not here and f"{name}/{way_id}" in assigned:
                here = dict.fromkeys([assigned[f"{name}/{way_id}"]])
            settled.update(here)
            rows.append(_way_row(project, f"{name}/{way_id}", way, circuits=tuple(here), onward=onward.get(way_id, "")))
        rows += [
            _circuit_row(project.circuits[key], mark="?", key=f"circuits.{key}", text_after=" (no way yet)")
            for key in circuits.get("", [])
            if key not in settled
        ]
        found[name] = tuple(rows)
    return found


def _way_row(project: Project, key: str, way: Way, *, circuits: tuple[str, ...], onward: str) -> OneLineRow:
    known = [project.circuits[name] for name in circuits if name in project.circuits]
    names = [circuit.name or circuit.id for circuit in known]
    text = " + ".join(names) or onward or way.label
    state: Literal["used", "spare", "open"] = "used" if text and not way.free else "spare"
    chosen = [circuit.protection.rating for circuit in known if circuit.protection and circuit.protection.rating]
    return OneLineRow(
        mark=End.read(key).terminal,
        text=text if state == "used" else "spare",
        load=" + ".join(filter(None, (load_text(circuit) for circuit in known))),
        kind=way.kind,
        rating=way.rating or (chosen[0] if chosen else None),
        residual=way.residual,
        poles=way.poles,
        state=state,
        key=f"ways.{key}",
        symbol=load_symbol(known[0]) if known else "",
    )


def _direct_rows(project: Project) -> dict[str, tuple[OneLineRow, ...]]:
    """Return circuits, and legs of circuits, that leave a supply, switch or bar with no distribution panel between."""
    found: dict[str, list[OneLineRow]] = {}
    ends = Ends(project, None)
    for key, circuit in project.circuits.items():
        owner = circuit.from_.owner
        plain = all(leg.protection is None for leg in circuit.legs.values())
        if owner not in project.breaker_panels and plain:
            found.setdefault(owner, []).append(_circuit_row(circuit, mark="", key=f"circuits.{key}"))
        for leg_id, leg in circuit.legs.items():
            start = leg.from_.owner
            joins = start in project.supplies or start in project.bus_bars or start in project.battery_switches
            if joins and leg.pole in ("+", "L", "sense", "switched") and not (plain and start == owner):
                row = _circuit_row(
                    circuit, mark="", key=f"legs.{key}.{leg_id}", text_after=f", {leg_words(ends, [leg])}",
                    protection=leg.protection,
                )  # fmt: skip
                found.setdefault(start, []).append(row)
    return {owner: tuple(rows) for owner, rows in found.items()}


def _circuit_row(
    circuit: Circuit, *, mark: str, key: str, text_after: str = "", protection: Protection | None = None
) -> OneLineRow:
    device = protection or circuit.protection
    return OneLineRow(
        mark=mark,
        text=(circuit.name or circuit.id) + text_after,
        load=load_text(circuit),
        kind=device.kind if device else "none",
        rating=device.rating if device else None,
        residual=device.residual if device else None,
        poles=device.poles if device else 1,
        key=key,
        symbol=load_symbol(circuit),
    )


def load_text(circuit: Circuit) -> str:
    """Return the rated load in words; ``load ?`` where it is not known."""
    load = circuit.load
    if load is not None and load.current is not None:
        return f"{load.current:g} A"
    if load is not None and load.power is not None:
        return f"{load.power:g} W"
    return "load ?"


def load_symbol(circuit: Circuit) -> str:
    """Return the symbol of what a circuit feeds, by its load and the words of its purpose."""
    if circuit.load is not None and circuit.load.motor:
        return "motor"
    words = circuit.purpose.lower()
    if "light" in words:
        return "lamp"
    return "socket outlet" if "socket" in words else "load"
