"""Chains: from a source's node through a circuit's conductors to one load and back.

A plain pair has one chain. A circuit with legs has one for each way in which current can reach a load: a bilge pump
has one through its switch and one through its always-live float feed, a daisy chain one to each of its devices.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from layout.light_dataclass import dataclass
from layout.wiring.circuits.ends import SOURCE_SIDE

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping

    from layout.wiring.circuits.ends import Ends
    from layout.wiring.circuits.segments import Lead, WireSegment

_RETURN_POLES = frozenset({"-", "N"})
ALTERNATOR_ENDS = ("/excitation", "/sense")
"""Terminals of an alternator that a circuit may end on: it takes current there, and gives it at its posts."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ChainStep:
    """One conductor of a chain."""

    segment: str
    lead: Lead


@dataclass(frozen=True, slots=True, kw_only=True)
class Chain:
    """One way to a load and back; ``back`` is empty where no return is declared.

    Attributes
    ----------
    current_a
        What the load at its end draws; None is unknown.
    source_node, return_node
        Nodes where it leaves the supply side and comes back to it.
    """

    circuit: str
    load: str
    feed: tuple[ChainStep, ...]
    back: tuple[ChainStep, ...]
    current_a: float | None
    source_node: str
    return_node: str

    @property
    def steps(self) -> tuple[ChainStep, ...]:
        """All conductors, out and back."""
        return self.feed + self.back


def chains(
    ends: Ends,
    segments: Iterable[WireSegment],
    currents: Mapping[str, float | None],
    shares: Mapping[tuple[str, str], float | None],
) -> dict[str, tuple[Chain, ...]]:
    """Return the chains by circuit id, in the order of the segments.

    Parameters
    ----------
    currents
        Design current by circuit id; None is unknown.
    shares
        What each thing on a circuit draws, by circuit and thing; what is not in it is passed through, or draws the
        current of the last conductor to it, else the circuit's.
    """
    by_circuit: dict[str, list[ChainStep]] = {}
    for segment in segments:
        if segment.run_class not in ("dc", "ac"):
            continue
        for circuit in segment.circuits:
            by_circuit.setdefault(circuit, []).extend(
                ChainStep(segment=segment.key, lead=lead) for lead in segment.leads
            )
    mine: dict[str, dict[str, float | None]] = {}
    for (circuit, owner), amps in shares.items():
        mine.setdefault(circuit, {})[owner] = amps
    return {
        key: tuple(_of(ends, key, steps, currents.get(key), mine.get(key, {}))) for key, steps in by_circuit.items()
    }


def _of(
    ends: Ends,
    circuit: str,
    steps: list[ChainStep],
    current_a: float | None,
    shares: Mapping[str, float | None],
) -> Iterator[Chain]:
    feeds = [step for step in steps if step.lead.live] or [step for step in steps if step.lead.pole == "sense"]
    returns = [step for step in steps if step.lead.pole in _RETURN_POLES]
    for step in feeds:
        if ends.kind(ends.owner(step.lead.start)) in SOURCE_SIDE:
            for path in _onward(ends, (step,), feeds, shares):
                own = next((step.lead.current_a for step in reversed(path) if step.lead.current_a is not None), None)
                draw = shares.get(ends.owner(path[-1].lead.end), current_a if own is None else own)
                yield _chain(ends, circuit, path, returns, draw)


def _onward(
    ends: Ends, path: tuple[ChainStep, ...], feeds: list[ChainStep], shares: Mapping[str, float | None]
) -> Iterator[tuple[ChainStep, ...]]:
    """Follow the legs that leave where the last one arrived; a leg is used once."""
    here = ends.owner(path[-1].lead.end)
    onward = [step for step in feeds if ends.owner(step.lead.start) == here and step not in path]
    if not onward or here in shares or ends.kind(here) in SOURCE_SIDE:
        yield path
    for step in onward:
        yield from _onward(ends, (*path, step), feeds, shares)


def _chain(
    ends: Ends, circuit: str, feed: tuple[ChainStep, ...], returns: list[ChainStep], current_a: float | None
) -> Chain:
    load = ends.owner(feed[-1].lead.end)
    if feed[-1].lead.end.endswith(ALTERNATOR_ENDS):  # it comes home over the machine's own negative
        return_node = f"{load}/-"
        back: tuple[ChainStep, ...] = ()
    else:
        back, return_node = _back(ends, load, returns)
    return Chain(
        circuit=circuit,
        load=load,
        feed=feed,
        back=back,
        current_a=current_a,
        source_node=feed[0].lead.start_node,
        return_node=return_node,
    )


def _back(ends: Ends, load: str, returns: list[ChainStep]) -> tuple[tuple[ChainStep, ...], str]:
    """Find the shortest way back: from the load itself, else from its place, end to end to the supply side."""
    place = ends.site(load).location
    for begin in (load, place):
        came: dict[str, tuple[ChainStep, ...]] = {} if begin is None else {begin: ()}
        waiting = list(came)
        for here in waiting:  # grows while it is walked
            for step in returns:
                low, high = _owners(ends, step)
                other = high if low == here else low
                if here not in (low, high) or other in came:
                    continue
                came[other] = (*came[here], step)
                if ends.kind(other) in SOURCE_SIDE:
                    return came[other], _node_at(ends, step, other)
                waiting.append(other)
    return (), ""


def _owners(ends: Ends, step: ChainStep) -> tuple[str, str]:
    return ends.owner(step.lead.start), ends.owner(step.lead.end)


def _node_at(ends: Ends, step: ChainStep, owner: str) -> str:
    return step.lead.start_node if ends.owner(step.lead.start) == owner else step.lead.end_node


def lead_currents(
    found: Mapping[str, tuple[Chain, ...]], currents: Mapping[str, float | None], never_with: Mapping[str, str]
) -> dict[tuple[str, str], float | None]:
    """Return the current of every conductor by (segment, start node + end node).

    A conductor carries the sum of the loads behind it, at most its circuit's current; a shared one carries the sum of
    its circuits, of those that never run together only the largest. One unknown load makes it unknown.
    """
    parts: dict[tuple[str, str], dict[str, list[float | None]]] = {}
    for circuit, ways in found.items():
        for chain in ways:
            for step in chain.steps:
                parts.setdefault(lead_key(step.segment, step.lead), {}).setdefault(circuit, []).append(chain.current_a)
    result: dict[tuple[str, str], float | None] = {}
    for key, by_circuit in parts.items():
        items = [
            (never_with.get(circuit) or circuit, capped_a(amps, currents.get(circuit)))
            for circuit, amps in by_circuit.items()
        ]
        result[key] = together_a(items)
    return result


def lead_key(segment: str, lead: Lead) -> tuple[str, str]:
    """Return the name of a conductor inside its segment."""
    return segment, f"{lead.pole} {lead.start_node} {lead.end_node}"


def capped_a(amps: list[float | None], circuit_a: float | None) -> float | None:
    """Return the sum of what loads on one circuit draw, at most its current; that where one of them is unknown."""
    known = [value for value in amps if value is not None]
    if len(known) < len(amps):
        return circuit_a
    return sum(known) if circuit_a is None else min(sum(known), max(circuit_a, *known))


def together_a(items: Iterable[tuple[str, float | None]]) -> float | None:
    """Return the sum of currents that can flow together: of each group only the largest; None if one is unknown."""
    largest: dict[str, float] = {}
    for group, amps in items:
        if amps is None:
            return None
        largest[group] = max(largest.get(group, 0.0), amps)
    return sum(largest.values())
