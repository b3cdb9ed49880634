"""The system of supplies as a graph with named switch states: what is joined, and what each source reaches."""

from __future__ import annotations

from typing import TYPE_CHECKING, Literal

from layout.light_dataclass import dataclass
from layout.wiring.circuits.ends import LIVE
from layout.wiring.circuits.passed_on import passed_on
from layout.wiring.circuits.segments import EARTH

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from layout.project.model.project import Project
    from layout.project.model.supplies import BatterySwitch
    from layout.wiring.circuits.passed_on import AtPole
    from layout.wiring.circuits.segments import Lead, WireSegment

SUPPLYING = frozenset({"battery", "converter", "shore", "generator", "inverter"})
CHARGING = frozenset({"alternator", "charger", "solar"})
PARALLELING = frozenset({"parallel", "charging relay"})
"""Kinds of switch that join two banks; they stand open in a state that says nothing of them."""
THROUGH, INVERTING = "through", "inverting"
"""Positions of the changeover inside an inverter with an AC input: that passed on, or its own output."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Link:
    """A conductor of a feeder, or a closed contact that joins two nodes without resistance."""

    a: str
    b: str
    kind: Literal["wire", "contact"]
    key: str
    lead: Lead | None = None

    def other(self, node: str) -> str:
        """Return the node at the other end."""
        return self.b if node == self.a else self.a


@dataclass(frozen=True, slots=True, kw_only=True)
class SourceReach:
    """What one source reaches on one pole: the link by which each node is reached, nearest first.

    ``closing`` are the links that close a ring.
    """

    root: str
    by: Mapping[str, Link]
    order: tuple[str, ...]
    closing: tuple[Link, ...] = ()

    def __contains__(self, node: object) -> bool:
        return node == self.root or node in self.by

    def path(self, node: str) -> tuple[Link, ...] | None:
        """Return the links from the root to a node, from the node backwards; None if it is not reached."""
        if node not in self:
            return None
        found: list[Link] = []
        while node != self.root:
            link = self.by[node]
            found.append(link)
            node = link.other(node)
        return tuple(found)


def positions_of(switch: BatterySwitch) -> Mapping[str, tuple[tuple[str, str], ...]]:
    """Return a switch's positions, the usual ones where the file names none."""
    if switch.positions:
        return switch.positions
    if switch.kind == "changeover":
        return {"1": (("in1", "out"),), "2": (("in2", "out"),), "off": ()}
    return {"on": (("in", "out"),), "off": ()}


def states_of(project: Project) -> dict[str, dict[str, str]]:
    """Return the named switch states; without any, isolators on, and each parallel and changeover position in turn.

    A charging relay closes by itself, so a state with it closed is there even where the file names none.
    """
    if project.switch_states:
        named = {name: dict(positions) for name, positions in project.switch_states.items()}
        first, given = next(iter(named.items()))
        for key, switch in project.battery_switches.items():
            closed = [name for name, pairs in positions_of(switch).items() if pairs]
            if switch.kind == "charging relay" and not any(state.get(key) in closed for state in named.values()):
                named |= {f"{first}, {switch.name or key} {name}": {**given, key: name} for name in closed}
        return named
    base: dict[str, str] = {}
    for key, switch in project.battery_switches.items():
        names = list(positions_of(switch))
        closed = [name for name in names if positions_of(switch)[name]]
        open_ = [name for name in names if not positions_of(switch)[name]]
        base[key] = (open_ or names)[0] if switch.kind in PARALLELING else (closed or names)[0]
    found = {"all on": base}
    for key, switch in project.battery_switches.items():
        if switch.kind == "isolator":
            continue
        for name, pairs in positions_of(switch).items():
            if pairs and name != base[key]:
                found[f"{key} {name}"] = {**base, key: name}
    return found


def changeovers(project: Project) -> tuple[str, ...]:
    """Return the inverters that pass an AC input on by a changeover of their own."""
    return tuple(
        key for key, supply in project.supplies.items() if supply.transfer is not None and supply.aboard != "remove"
    )


def states_in(project: Project, feeders: Iterable[Link]) -> dict[str, dict[str, str]]:
    """Return the switch states with the place that each inverter's own changeover takes in them.

    It passes its AC input on where an AC source reaches that; what it does once that source fails is a state as well.
    """
    own = changeovers(project)
    if not own:
        return states_of(project)
    lines = list(feeders)
    ac = [f"{key}/L" for key, supply in project.supplies.items() if supply.is_ac and key not in own]
    found: dict[str, dict[str, str]] = {}
    for name, state in states_of(project).items():
        arriving = [reached_from(root, lines + contacts(project, state)) for root in ac]
        fed_at = [key for key in own if any(f"{key}/in" in reach for reach in arriving)]
        found[name] = {**state, **{key: THROUGH if key in fed_at else INVERTING for key in own}}
        for key in fed_at:
            found[once_taken_over(project, name, key)] = {**found[name], key: INVERTING}
    return found


def once_taken_over(project: Project, state: str, inverter: str) -> str:
    """Return the name of what a state becomes when an inverter's AC input fails and it takes over."""
    return f"{state}, {project.supplies[inverter].name or inverter} takes over"


def root_of(project: Project, source: str, post: str) -> str:
    """Return the node that a source's current comes from: its post, or what lies before its own changeover."""
    if project.supplies[source].transfer is None:
        return f"{source}/{post}"
    return f"{source}/own" if post == "L" else f"{source}/own:{post}"


def is_short_time(project: Project, name: str, state: Mapping[str, str]) -> bool:
    """Tell whether a state is for a time only: it says so, or its switches join two banks to start or to charge."""
    said = any(name == short or name.startswith(f"{short}, ") for short in project.short_time_states)
    return said or any(
        switch.kind in PARALLELING and positions_of(switch).get(state.get(key, ""), ())
        for key, switch in project.battery_switches.items()
    )


def for_use(sources: Iterable[SourceInState]) -> tuple[SourceInState, ...]:
    """Return the sources in the states that loads are used in: a drop while an engine starts is no matter of theirs."""
    return tuple(one for one in sources if not one.short_time)


def contacts(project: Project, state: Mapping[str, str]) -> list[Link]:
    """Return the closed contacts of a state; a switch that the state does not name stands in its first position.

    A switch of several poles joins the other poles' terminals as well. What a device joins inside (a shunt, a fuse
    holder) is closed in every state.
    """
    found: list[Link] = []
    for key, switch in project.battery_switches.items():
        positions = positions_of(switch)
        default = next(iter(positions)) if switch.kind not in PARALLELING else _open_position(positions)
        for low, high in positions.get(state.get(key, default), ()):
            found.append(Link(a=f"{key}/{low}", b=f"{key}/{high}", kind="contact", key=f"battery_switches.{key}"))
            for pole in ("-", "N") if switch.poles > 1 else ():
                a, b = f"{key}/{low}:{pole}", f"{key}/{high}:{pole}"
                found.append(Link(a=a, b=b, kind="contact", key=f"battery_switches.{key}"))
    for key in changeovers(project):
        if key in state:
            side = "in" if state[key] == THROUGH else "own"
            for low, high in ((f"{key}/{side}", f"{key}/L"), (f"{key}/{side}:N", f"{key}/N")):
                found.append(Link(a=low, b=high, kind="contact", key=f"supplies.{key}"))
    for key, device in project.devices.items():
        for low, high in device.joins if device.aboard != "remove" else ():
            found.append(Link(a=f"{key}/{low}", b=f"{key}/{high}", kind="contact", key=f"devices.{key}"))
    return found


def joined(project: Project, state: Mapping[str, str]) -> dict[str, str]:
    """Return, for each node that a closed contact joins with others in a state, the one node that stands for all."""
    near: dict[str, str] = {}

    def head(node: str) -> str:
        while near.get(node, node) != node:
            node = near[node]
        return node

    for link in contacts(project, state):
        low, high = sorted((head(link.a), head(link.b)))
        near.setdefault(low, low)
        near[high] = low
        near.setdefault(link.a, head(link.a))
        near.setdefault(link.b, head(link.b))
    return {node: head(node) for node in near}


def _open_position(positions: Mapping[str, tuple[tuple[str, str], ...]]) -> str:
    return next((name for name, pairs in positions.items() if not pairs), next(iter(positions)))


def wires(segments: Iterable[WireSegment]) -> list[Link]:
    """Return the conductors of the feeders as links."""
    return [
        Link(a=lead.start_node, b=lead.end_node, kind="wire", key=segment.key, lead=lead)
        for segment in segments
        if segment.owner_kind == "feeder" and segment.run_class in ("dc", "ac")
        for lead in segment.leads
    ]


def passed_through(project: Project, feeders: Iterable[Link]) -> list[Link]:
    """Return what devices that name no joins pass on of feeders."""
    elsewhere = (project.supplies, project.battery_switches, project.bus_bars, project.breaker_panels)

    def at(node: str, lead: Lead) -> AtPole | None:
        owner = node.partition("/")[0]
        device = None if any(owner in entries for entries in elsewhere) else project.devices.get(owner)
        return None if device is None or device.joins else (owner, lead.pole, node)

    leads = [(link, link.lead) for link in feeders if link.lead is not None and link.lead.pole not in EARTH]
    arriving = [end for link, lead in leads if (end := at(link.b, lead)) is not None]
    leaving = [end for link, lead in leads if (end := at(link.a, lead)) is not None]
    return [Link(a=a, b=b, kind="contact", key=f"devices.{owner}") for owner, a, b in passed_on(arriving, leaving)]


def reached_from(root: str, links: Iterable[Link]) -> SourceReach:
    """Walk from a node over links, fewest links first, in the order given."""
    near: dict[str, list[Link]] = {}
    for link in links:
        near.setdefault(link.a, []).append(link)
        near.setdefault(link.b, []).append(link)
    by: dict[str, Link] = {}
    order = [root]
    for node in order:
        for link in near.get(node, ()):
            other = link.other(node)
            if other != root and other not in by:
                by[other] = link
                order.append(other)
    used = {id(link) for link in by.values()}
    closing = {id(link): link for node in order for link in near.get(node, ()) if id(link) not in used}
    return SourceReach(root=root, by=by, order=tuple(order), closing=tuple(closing.values()))


@dataclass(frozen=True, slots=True, kw_only=True)
class SourceInState:
    """One source in one state: what it reaches on its live and on its return side."""

    state: str
    source: str
    live: SourceReach
    back: SourceReach
    short_time: bool = False

    def path(self, source_node: str, return_node: str) -> tuple[Link, ...] | None:
        """Return all links from the source to a pair of nodes and back; None if one is not reached."""
        out, home = self.live.path(source_node), self.back.path(return_node)
        return None if out is None or home is None else out + home


def fed(
    project: Project, segments: Iterable[WireSegment], *, kinds: frozenset[str] = SUPPLYING
) -> tuple[SourceInState, ...]:
    """Return what each output of each source of some kinds reaches in each state, in the file's order."""
    feeders = wires(segments)
    inside = passed_through(project, feeders)
    found: list[SourceInState] = []
    for name, state in states_in(project, feeders).items():
        links = feeders + contacts(project, state) + inside
        short = is_short_time(project, name, state)
        for key, supply in project.supplies.items():
            if supply.kind not in kinds or supply.aboard == "remove":
                continue
            back = reached_from(root_of(project, key, "N" if supply.is_ac else "-"), links)
            found += [
                SourceInState(state=name, source=key, live=reached_from(root, links), back=back, short_time=short)
                for root in (root_of(project, key, post) for post in supply.live_posts)
            ]
    return tuple(found)


def in_use(
    project: Project, segments: Iterable[WireSegment]
) -> tuple[tuple[SourceInState, ...], tuple[SourceInState, ...]]:
    """Return what feeds loads and what charges banks, by state."""
    segments = list(segments)
    supplying = fed(project, segments)
    banks = [one for one in supplying if project.supplies[one.source].kind == "battery"]

    def charging(one: SourceInState) -> bool:
        supply = project.supplies[one.source]
        reaches = any(b.state == one.state and b.live.root in one.live and b.back.root in one.back for b in banks)
        return charges(supply.kind, limited=bool(supply.current or supply.power), reaches_bank=reaches)

    through, feeding = (tuple(one for one in supplying if charging(one) is wanted) for wanted in (True, False))
    return feeding, (*fed(project, segments, kinds=CHARGING), *through)


def charges(kind: str, *, limited: bool, reaches_bank: bool) -> bool:
    """Tell whether a source charges in a state of the switches.

    A converter of known output that reaches a battery does: what loads there draw above that, the battery gives.

    Parameters
    ----------
    limited
        Whether the file says what it gives at most.
    """
    return kind in CHARGING or (kind == "converter" and limited and reaches_bank)


def live_wires(path: Iterable[Link]) -> list[Link]:
    """Return the conductors on the side where protective devices stand."""
    return [link for link in path if link.kind == "wire" and link.lead is not None and link.lead.pole in LIVE]
