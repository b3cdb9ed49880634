"""What feeders carry at once: loads behind them with diversity, or what the charging sources push through them.

In every declared state each supplying source is taken to feed alone all that it reaches, which is the worst for what
lies between; the largest over states and sources counts. A feeder on a ring counts as carrying all of the ring.
"""

from __future__ import annotations

from collections import defaultdict
from typing import TYPE_CHECKING

from layout.light_dataclass import dataclass, field
from layout.wiring.circuits.chains import together_a
from layout.wiring.result import FeederLoad

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from layout.project.model.project import Project
    from layout.wiring.circuits.supply_graph import Link, SourceInState, SourceReach


@dataclass(frozen=True, slots=True, kw_only=True)
class NodeLoad:
    """What one circuit draws at a node of the supply side; of one group only the largest counts at once.

    ``stand_in`` says that the current is not known and its protective device's rating is taken.
    """

    circuit: str
    source_node: str
    return_node: str
    current_a: float | None
    group: str
    stand_in: bool = False


LinkKey = tuple[str, str]
"""Feeder key and pole with both nodes, as ``link_key`` makes it."""


def link_key(link: Link) -> LinkKey:
    """Return the name of a feeder's conductor."""
    pole = link.lead.pole if link.lead else ""
    return link.key, f"{pole} {link.a} {link.b}"


@dataclass(slots=True)
class Flows:
    """Largest currents by conductor.

    Attributes
    ----------
    load_a
        With diversity; None where a load behind it is unknown and has no stand-in.
    sum_a
        Without diversity.
    charge_a
        From charging sources.
    where
        State and source in which the load is largest.
    unknown
        Circuits behind it whose current is not known.
    """

    load_a: dict[LinkKey, float | None] = field(default_factory=dict)
    sum_a: dict[LinkKey, float | None] = field(default_factory=dict)
    charge_a: dict[LinkKey, float] = field(default_factory=dict)
    where: dict[LinkKey, tuple[str, str]] = field(default_factory=dict)
    unknown: dict[LinkKey, tuple[str, ...]] = field(default_factory=dict)


def flows(
    project: Project, supplying: Iterable[SourceInState], charging: Iterable[SourceInState], loads: Iterable[NodeLoad]
) -> Flows:
    """Work out the largest current of each feeder conductor."""
    found = Flows()
    sources = list(supplying)
    everything = list(loads)
    for one in sources:
        at_source: dict[str, list[NodeLoad]] = defaultdict(list)
        at_return: dict[str, list[NodeLoad]] = defaultdict(list)
        for load in everything:
            if load.source_node in one.live and load.return_node in one.back:
                at_source[load.source_node].append(load)
                at_return[load.return_node].append(load)
        for side, at in ((one.live, at_source), (one.back, at_return)):
            _add_loads(found, project, one, side, at)
    _add_charging(found, project, sources, list(charging))
    return found


def _add_loads(
    found: Flows, project: Project, one: SourceInState, side: SourceReach, at: Mapping[str, list[NodeLoad]]
) -> None:
    below: dict[str, list[NodeLoad]] = defaultdict(list)
    plain: dict[str, list[NodeLoad]] = defaultdict(list)
    for node in reversed(side.order):
        mine = below.pop(node, []) + at.get(node, [])
        whole = plain.pop(node, []) + at.get(node, [])
        owner = node.partition("/")[0]
        if owner in project.breaker_panels:
            mine = _diversified(project.breaker_panels[owner].diversity, owner, node, mine)
        link = side.by.get(node)
        if link is None:
            continue
        up = link.other(node)
        below[up] += mine
        plain[up] += whole
        if link.kind == "wire" and mine:
            _record(found, link_key(link), one, mine, whole)
    for link in side.closing:
        _share_ring(found, one, side, link)


def _share_ring(found: Flows, one: SourceInState, side: SourceReach, closing: Link) -> None:
    """Give every conductor of a ring the most that any of them carries."""
    paths = [side.path(node) or () for node in (closing.a, closing.b)]
    links = {id(link): link for path in paths for link in path}
    common = {id(link) for link in paths[0]} & {id(link) for link in paths[1]}
    ring = [closing, *(link for key, link in links.items() if key not in common)]
    keys = [link_key(link) for link in ring if link.kind == "wire"]
    known = [key for key in keys if key in found.load_a]
    if not known:
        return
    values, sums = [found.load_a[key] for key in known], [found.sum_a[key] for key in known]
    names = tuple(dict.fromkeys(name for key in known for name in found.unknown[key]))
    for key in keys:
        found.load_a[key] = None if None in values else max(value or 0.0 for value in values)
        found.sum_a[key] = None if None in sums else max(value or 0.0 for value in sums)
        found.unknown[key] = names
        found.where.setdefault(key, (one.state, one.source))


def _diversified(diversity: float | None, owner: str, node: str, loads: list[NodeLoad]) -> list[NodeLoad]:
    """Replace the loads of a distribution panel by one: their sum times diversity, never below the largest of them."""
    if diversity is None or len(loads) < 2:
        return loads
    total = together_a((load.group, load.current_a) for load in loads)
    if total is None:
        return loads
    most = max(load.current_a or 0.0 for load in loads)
    stand_in = any(load.stand_in for load in loads)
    return [
        NodeLoad(
            circuit=owner,
            source_node=node,
            return_node=node,
            current_a=max(diversity * total, most),
            group=f"panel {owner}",
            stand_in=stand_in,
        )
    ]


def _record(found: Flows, key: LinkKey, one: SourceInState, mine: list[NodeLoad], whole: list[NodeLoad]) -> None:
    load = together_a((item.group, item.current_a) for item in mine)
    total = together_a((item.group, item.current_a) for item in whole)
    unknown = {item.circuit: None for item in whole if item.current_a is None or item.stand_in}
    found.unknown[key] = tuple(dict.fromkeys((*found.unknown.get(key, ()), *unknown)))
    before = found.load_a.get(key, 0.0)
    if key not in found.load_a or load is None or (before is not None and load > before):
        found.load_a[key] = load if before is not None else None
        found.where[key] = (one.state, one.source)
    old = found.sum_a.get(key, 0.0)
    found.sum_a[key] = None if total is None or old is None else max(total, old)


def source_current_a(project: Project, key: str) -> float | None:
    """Return the largest output of a charging source or converter, A; None where it is not said."""
    supply = project.supplies[key]
    if supply.current is not None:
        return supply.current
    return None if supply.power is None else supply.power / supply.voltage


def _add_charging(
    found: Flows, project: Project, supplying: list[SourceInState], charging: list[SourceInState]
) -> None:
    """Send each charging source's output to the batteries that both its posts reach; all of a state flow together.

    A charger of several outputs gives its whole current at each of them, and no more than that in all at its return.
    """
    batteries = [one for one in supplying if project.supplies[one.source].kind == "battery"]
    sums: dict[str, dict[LinkKey, float]] = defaultdict(lambda: defaultdict(float))
    reached: dict[tuple[str, str], dict[LinkKey, None]] = defaultdict(dict)
    for one in charging:
        links = reached[one.state, one.source]
        for bank in batteries:
            if bank.state == one.state:
                way = one.path(bank.live.root, bank.back.root)
                for link in way or (*(one.live.path(bank.live.root) or ()), *(one.back.path(bank.back.root) or ())):
                    if link.kind == "wire" and way:
                        links[link_key(link)] = None
                    elif link.kind == "wire":  # joined by one post only: it carries nothing, and that is known
                        found.charge_a.setdefault(link_key(link), 0.0)
    for (state, source), links in reached.items():
        amps = source_current_a(project, source)
        for key in links:
            sums[state][key] += amps or 0.0
    for by_key in sums.values():
        for key, amps in by_key.items():
            found.charge_a[key] = max(found.charge_a.get(key, 0.0), amps)


def feeder_load(key: str, found: Flows, keys: Iterable[LinkKey]) -> FeederLoad:
    """Return the load of one feeder, the largest of its conductors."""
    mine = [one for one in keys if one[0] == key and one in found.load_a]
    unknown = tuple(dict.fromkeys(name for one in mine for name in found.unknown.get(one, ())))
    if not mine:
        return FeederLoad(feeder=key, sum_a=0.0, simultaneous_a=0.0, state="", source="", unknown=())
    values = [found.load_a[one] for one in mine]
    sums = [found.sum_a[one] for one in mine]
    known = None not in values and None not in sums
    top = max(mine, key=lambda one: found.load_a[one] or 0.0)
    state, source = found.where[top]
    return FeederLoad(
        feeder=key,
        sum_a=max(value or 0.0 for value in sums) if known else None,
        simultaneous_a=max(value or 0.0 for value in values) if known else None,
        state=state,
        source=source,
        unknown=unknown,
    )
