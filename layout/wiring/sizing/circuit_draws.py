"""What each circuit and each converter draws, and where on the supply side it draws it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from layout.wiring.circuits.chains import capped_a
from layout.wiring.circuits.supply_graph import CHARGING
from layout.wiring.sizing.design_current import LOWEST_SHARE, UNKNOWN_CURRENT, DesignCurrent, design_current, from_power
from layout.wiring.sizing.feeder_flows import NodeLoad

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from layout.project.model.project import Project
    from layout.project.model.supplies import Supply
    from layout.wiring.circuits.chains import Chain
    from layout.wiring.circuits.ends import Ends
    from layout.wiring.circuits.segments import Lead, WireSegment
    from layout.wiring.circuits.supply_graph import SourceInState
    from layout.wiring.protection.protective_device import ProtectiveDevice


def lowest_by_node(project: Project, supplying: Iterable[SourceInState]) -> dict[str, float]:
    """Return the lowest working voltage at each node: the lowest of all sources that reach it in any state."""
    found: dict[str, float] = {}
    for one in supplying:
        supply = project.supplies[one.source]
        lowest = supply.lowest_voltage or LOWEST_SHARE * supply.voltage
        for node in one.live.order:
            found[node] = min(found.get(node, lowest), lowest)
    return found


def supply_at(ends: Ends, owner: str) -> str | None:
    """Return the converter, charger or inverter that an owner is, by its own id or its device's."""
    project = ends.project
    takers = ("converter", "charger", "inverter")
    if owner in project.supplies and project.supplies[owner].kind in takers:
        return owner
    device = ends.site(owner).device
    return next((k for k, s in project.supplies.items() if s.kind in takers and device and s.device == device), None)


def output_w(supply: Supply) -> float | None:
    """Return the largest output of a supply, W; None where it is not said."""
    if supply.power is not None:
        return supply.power
    return None if supply.current is None else supply.current * supply.voltage


def input_current(supply: Supply, volts: float | None) -> DesignCurrent:
    """Return what a converter, charger or inverter takes in at full output.

    Parameters
    ----------
    volts
        Lowest working voltage at its input; None is unknown.
    """
    watts = output_w(supply)
    if watts is None or volts is None or not supply.efficiency:
        return UNKNOWN_CURRENT
    return from_power(watts, volts=volts, efficiency=supply.efficiency)


def circuit_current(ends: Ends, key: str, *, nominal_v: float | None, lowest_v: float | None) -> DesignCurrent:
    """Return the design current of a circuit; one that feeds a converter or charger takes that one's input."""
    circuit = ends.project.circuits[key]
    found = design_current(circuit.load, nominal_v=nominal_v, supply_v=lowest_v)
    if found.current_a is not None or circuit.load is not None:
        return found
    supply = supply_at(ends, ends.owner(circuit.to))
    if supply is None:
        return found
    volts = lowest_v if lowest_v is not None else (LOWEST_SHARE * nominal_v if nominal_v else None)
    return input_current(ends.project.supplies[supply], volts)


def circuit_loads(
    project: Project,
    chains: Mapping[str, tuple[Chain, ...]],
    currents: Mapping[str, float | None],
    stands: Mapping[tuple[str, str], ProtectiveDevice],
) -> list[NodeLoad]:
    """Return what circuits draw at the supply side.

    A circuit with two feeds counts once where both come from one node further up. An unknown current is taken as the
    rating of its protective device where that is known.
    """
    found: list[NodeLoad] = []
    for circuit, ways in chains.items():
        group = project.circuits[circuit].never_with or circuit
        at: dict[tuple[str, str], list[Chain]] = {}
        for chain in ways:
            at.setdefault((chain.source_node, chain.return_node), []).append(chain)
        for (source, back), mine in at.items():
            amps = capped_a([chain.current_a for chain in mine], currents.get(circuit))
            stand_in = None
            if amps is None:
                ratings = [stands.get((circuit, chain.feed[0].segment)) for chain in mine]
                stand_in = max((s.rating_a for s in ratings if s is not None and s.rating_a is not None), default=None)
            found.append(
                NodeLoad(
                    circuit=circuit,
                    source_node=source,
                    return_node=back,
                    current_a=stand_in if amps is None else amps,
                    group=group,
                    stand_in=amps is None,
                )
            )
    return found


def feeder_loads(ends: Ends, segments: Iterable[WireSegment], lowest: Mapping[str, float]) -> list[NodeLoad]:
    """Return what feeders feed directly: inputs of converters and inverters, and devices with a declared current."""
    project = ends.project
    found: list[NodeLoad] = []
    segments = list(segments)
    landed = {node for segment in segments for lead in segment.leads for node in (lead.start_node, lead.end_node)}
    for segment in segments:
        if segment.owner_kind != "feeder" or segment.cranking:
            continue
        for lead in segment.leads:
            if not lead.live:
                continue
            owner = ends.owner(lead.end)
            taker = supply_at(ends, owner)
            if taker is not None and _is_input(project.supplies[taker], lead):
                amps = input_current(project.supplies[taker], lowest.get(lead.start_node)).current_a
                amps = lead.current_a if amps is None else amps
            elif ends.kind(owner) == "devices" and project.supplies.get(owner) is None:
                amps = lead.current_a
            else:
                continue
            back = "N" if lead.pole == "L" else "in-" if f"{owner}/in-" in landed else "-"
            found.append(
                NodeLoad(
                    circuit=segment.key,
                    source_node=lead.end_node,
                    return_node=f"{owner}/{back}",
                    current_a=amps,
                    group=segment.key,
                )
            )
    return found


def _is_input(supply: Supply, lead: Lead) -> bool:
    """Tell whether a live conductor ends at the input of a converter or inverter; all DC of an inverter is input."""
    if supply.kind == "inverter":
        return lead.pole != "L"
    return supply.kind == "converter" and lead.end_node.partition("/")[2] == "in"


def without_current(project: Project) -> tuple[str, ...]:
    """Return the charging sources whose output is not said."""
    return tuple(
        key
        for key, supply in project.supplies.items()
        if supply.kind in CHARGING and supply.aboard != "remove" and output_w(supply) is None
    )
