"""Shares of the allowed drop: feeders first, circuits what is left, from the battery's post and back.

The limit is a percentage of nominal for the whole way, feeders at their simultaneous load. Feeders together get half
of the strictest limit behind them, shared out so that the copper is least; a circuit gets what its feeders really
leave.
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from layout.standards.purposes import purpose
from layout.standards.voltage_drop import Criticality, ac_limit_percent, drop_limit_percent
from layout.wiring.sizing.drop import ohm
from layout.wiring.sizing.feeder_flows import link_key

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from layout.project.model.circuits import Circuit
    from layout.standards.tables import Practice
    from layout.wiring.circuits.chains import Chain
    from layout.wiring.circuits.supply_graph import Link, SourceInState
    from layout.wiring.sizing.feeder_flows import Flows, LinkKey
    from layout.wiring.sizing.segment_state import SegmentState
    from layout.wiring.sizing.sized_segment import SizedSegment

FEEDER_SHARE = 0.5
"""Share of the strictest limit that feeders together may use (rule of the house)."""


def is_critical(circuit: Circuit, practice: Practice, *, own: bool = True) -> bool:
    """Tell whether a circuit's drop is critical: as declared, else by the practice's list; unlisted words are.

    Without ``own`` what the circuit itself declares does not count.
    """
    declared = circuit.critical if own else None
    return purpose(circuit.purpose, practice).critical if declared is None else declared


def circuit_limit_percent(circuit: Circuit, practice: Practice, *, ac: bool, own: bool = True) -> float:
    """Return the limit of a circuit, percent of nominal: its own, else the practice's."""
    if own and circuit.drop_limit is not None:
        return 100 * circuit.drop_limit
    if ac:
        return ac_limit_percent(lighting="light" in circuit.purpose)
    return drop_limit_percent(
        Criticality.CRITICAL if is_critical(circuit, practice, own=own) else Criticality.NON_CRITICAL
    )


def feeder_limit_percent(*, ac: bool) -> float:
    """Return the limit at the end of a feeder: panel feeders are critical in both practices."""
    return ac_limit_percent(lighting=True) if ac else drop_limit_percent(Criticality.CRITICAL)


def run_ohm(plan: SegmentState | SizedSegment, practice: Practice) -> float | None:
    """Return the resistance of one conductor of a segment; None while size or length is unknown."""
    if plan.size is None or plan.length.total_mm is None:
        return None
    return ohm(plan.size, practice=practice, copper=plan.copper, length_m=plan.length.total_mm / 1000)


def link_drop_v(
    link: Link, plans: Mapping[str, SegmentState | SizedSegment], currents: Mapping[LinkKey, float], practice: Practice
) -> float | None:
    """Return the drop on a feeder's conductor at its simultaneous load; 0 on a closed contact, None if unknown."""
    if link.kind == "contact":
        return 0.0
    resistance = run_ohm(plans[link.key], practice)
    amps = currents.get(link_key(link))
    return None if resistance is None or amps is None else resistance * amps


def drop_currents(flows: Flows, links: Iterable[Link]) -> dict[LinkKey, float]:
    """Return the current that counts for drop on each feeder conductor: its load, or what the owner gives if more."""
    found: dict[LinkKey, float] = {}
    for link in links:
        key = link_key(link)
        load = flows.load_a.get(key, 0.0)
        given = link.lead.current_a if link.lead else None
        if load is not None:
            found[key] = max(load, given or 0.0)
        elif given is not None:
            found[key] = given
    return found


class Upstream:
    """Worst drop from any source's post to a pair of nodes and back, for the sizes that feeders have now."""

    def __init__(
        self,
        fed: Iterable[SourceInState],
        plans: Mapping[str, SegmentState | SizedSegment],
        currents: Mapping[LinkKey, float],
        practice: Practice,
    ) -> None:
        self._fed = tuple(fed)
        self._plans, self._currents, self._practice = plans, currents, practice
        self._known: dict[tuple[str, str], tuple[float | None, str, str] | None] = {}

    def worst(self, source_node: str, return_node: str) -> tuple[float | None, str, str] | None:
        """Return drop, state and source; None where no source reaches both nodes in any state.

        The drop is None where a conductor on the way has no size, length or current.
        """
        key = (source_node, return_node)
        if key not in self._known:
            self._known[key] = self._worst(*key)
        return self._known[key]

    def _worst(self, source_node: str, return_node: str) -> tuple[float | None, str, str] | None:
        worst: tuple[float | None, str, str] | None = None
        for one in self._fed:
            path = one.path(source_node, return_node)
            if path is None:
                continue
            drops = [link_drop_v(link, self._plans, self._currents, self._practice) for link in path]
            if None in drops:
                return None, one.state, one.source
            total = sum(value for value in drops if value is not None)
            if worst is None or total > (worst[0] or 0.0) + 1e-12:
                worst = (total, one.state, one.source)
        return worst


def weight(plan: SegmentState) -> float:
    """Return what a segment weighs when a drop is shared out: length times the root of its current.

    For conductors in a row, the sum of length times area is least when each may drop in proportion to that
    (from ``drop = rho L I / A`` with a fixed total, by Lagrange). An unknown current weighs as 1 A.
    """
    amps = plan.current.current_a
    return (plan.length.total_mm or 0.0) * math.sqrt(max(amps if amps is not None else 1.0, 0.01))


def feeder_shares(
    fed: Iterable[SourceInState],
    plans: Mapping[str, SegmentState],
    ends_of: Mapping[str, tuple[tuple[str, str, float], ...]],
) -> dict[str, float]:
    """Return the drop allowed on each feeder, V.

    Parameters
    ----------
    ends_of
        By circuit: (source node, return node, limit in volts) of each of its feeds.
    """
    found: dict[str, float] = {}
    for keys, volts in feeder_paths(fed, ends_of):
        total = sum(weight(plans[key]) for key in keys)
        for key, share in _shared_out(keys, plans, volts, total).items():
            found[key] = min(found.get(key, share), share)
    return found


def feeder_paths(
    fed: Iterable[SourceInState], ends_of: Mapping[str, tuple[tuple[str, str, float], ...]]
) -> list[tuple[list[str], float]]:
    """Return every way over feeders to a load and back (a feeder once for each conductor) with its budget, V."""
    pairs = list(dict.fromkeys(pair for ways in ends_of.values() for pair in ways))
    found = []
    for one in fed:
        for source_node, return_node, limit_v in pairs:
            path = one.path(source_node, return_node)
            keys = [link.key for link in path or () if link.kind == "wire"]
            if keys:
                found.append((keys, FEEDER_SHARE * limit_v))
    return found


def spare_share_v(
    key: str, paths: Iterable[tuple[list[str], float]], plans: Mapping[str, SegmentState]
) -> float | None:
    """Return what a feeder may drop if all others keep to the sizes they have; None where that can't be said."""
    shares: list[float] = []
    for keys, volts in paths:
        times = keys.count(key)
        if not times:
            continue
        drops = [_own_drop_v(plans[other]) for other in keys if other != key]
        if None in drops:
            return None
        left = volts - sum(value or 0.0 for value in drops)
        shares.append(left * plans[key].conductors / times)
    return min(shares, default=None)


def _own_drop_v(plan: SegmentState) -> float | None:
    """Return the drop of one of a feeder's conductors at its design current."""
    return None if plan.sizing is None else plan.sizing.verdict.drop.worse_v / plan.conductors


def _shared_out(keys: list[str], plans: Mapping[str, SegmentState], volts: float, total: float) -> dict[str, float]:
    """Share volts out over conductors by weight; a segment gets the sum of its conductors' shares."""
    found: dict[str, float] = {}
    for key in keys:
        if plans[key].length.total_mm is not None and total > 0:
            found[key] = found.get(key, 0.0) + volts * weight(plans[key]) / total
    return found


def chain_shares(
    chains: Iterable[Chain], plans: Mapping[str, SegmentState], upstream: Upstream, limit_v: float
) -> dict[str, float]:
    """Return the drop allowed on each segment of one circuit, V: what its feeders leave, shared out by weight.

    Segments of a chain whose feeders leave nothing get a share of 0 or less.
    """
    found: dict[str, float] = {}
    for chain in chains:
        before = upstream.worst(chain.source_node, chain.return_node)
        if before is None or before[0] is None:
            continue
        keys = [step.segment for step in chain.steps]
        total = sum(weight(plans[key]) for key in keys)
        for key, share in _shared_out(keys, plans, limit_v - before[0], total).items():
            found[key] = min(found.get(key, share), share)
    return found
