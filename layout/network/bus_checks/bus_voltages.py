"""Voltages on a bus by a nodal solve of its whole network of resistances.

Each device draws the current of its LEN at any voltage. Both conductors have the same resistance, so one loop
resistance per piece serves: 2 x (ohm/m x m + 0.005 ohm for the tap passed). That form, with the worst-case figures,
is the full-calculation method of IEC 62026-3; nominal figures are only shown beside it.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from layout.light_dataclass import dataclass
from layout.network.piece_graph import PieceGraph
from layout.standards import network

if TYPE_CHECKING:
    from collections.abc import Mapping

    from layout.network.bus_parts import Assembly


@dataclass(frozen=True, slots=True, kw_only=True)
class Resistor:
    """One loop resistance (both conductors) between two electrical nodes, ohm."""

    first: str
    second: str
    ohm: float


@dataclass(frozen=True, slots=True, kw_only=True)
class DeviceVoltage:
    """Voltage at one device at the lowest feed.

    Attributes
    ----------
    fall_v
        From the head of the feed to the device, both conductors, worst case.
    voltage_v
        What is left; None where the lowest feed voltage is not known.
    voltage_nominal_v
        What is left with nominal resistances and no contact resistance: only shown.
    """

    node: str
    load_units: int
    current_a: float
    fall_v: float
    voltage_v: float | None
    voltage_nominal_v: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Solution:
    """Falls of voltage by electrical node, and the current through each resistor from ``first`` to ``second``."""

    fall_v: Mapping[str, float]
    current_a: Mapping[tuple[str, str], float]


SOURCE = "source"
"""Electrical node at the head of the feed."""


def device_node(node: str) -> str:
    """Return the electrical node at the far end of a device's drop."""
    return f"device {node}"


def resistors(assembly: Assembly, *, worst_case: bool = True) -> tuple[Resistor, ...]:
    """Return the network of a bus: feed, pieces, drops. Unknown lengths make no resistor (and their own finding)."""
    contact = 2 * network.tap_ohm() if worst_case else 0.0

    def loop(length_mm: float, cable: str | None) -> float:
        metre = network.ohm_per_m(cable, worst_case=worst_case) if cable else 0.0
        return 2 * metre * length_mm / 1000.0

    found = [
        Resistor(first=SOURCE, second=tap.key, ohm=loop(assembly.feed.length_mm or 0.0, assembly.feed.cable))
        for tap in assembly.taps
    ]
    found += [
        Resistor(first=piece.first, second=piece.second, ohm=loop(piece.length_mm, piece.cable) + contact)
        for piece in assembly.pieces
    ]
    found += [
        Resistor(first=drop.part, second=device_node(drop.node), ohm=loop(drop.length_mm, drop.cable))
        for drop in assembly.drops
        if drop.length_mm is not None
    ]
    return tuple(found)


def solve_voltages(parts: tuple[Resistor, ...], loads_a: Mapping[str, float]) -> Solution:
    """Solve G v = i for the fall of voltage from ``source``.

    Parameters
    ----------
    parts
        Loop resistances; those of 0 ohm join their ends.
    loads_a
        Current drawn by electrical node, A. Nodes that the source doesn't reach are left out of the answer.
    """
    import numpy as np  # kept out of start-up

    joined = _joined(parts)
    live = [r for r in parts if joined[r.first] != joined[r.second]]
    source = joined.get(SOURCE, SOURCE)
    graph = PieceGraph((source,), ((joined[r.first], joined[r.second], 0.0) for r in live))
    reached = sorted(graph.group_of(source).keys() - {source})
    index = {node: row for row, node in enumerate(reached)}
    matrix = np.zeros((len(reached), len(reached)))
    drawn = np.zeros(len(reached))
    for resistor in live:
        ends = [index.get(joined[resistor.first]), index.get(joined[resistor.second])]
        for row, other in (ends, ends[::-1]):
            if row is not None:
                matrix[row, row] += 1 / resistor.ohm
                if other is not None:
                    matrix[row, other] -= 1 / resistor.ohm
    for node, amps in loads_a.items():
        row = index.get(joined.get(node, node))
        if row is not None:
            drawn[row] += amps
    fall = np.linalg.solve(matrix, drawn) if reached else drawn
    by_group = {source: 0.0} | {node: float(fall[row]) for node, row in index.items()}
    falls = {node: by_group[group] for node, group in sorted(joined.items()) if group in by_group}
    currents = {
        (r.first, r.second): (falls[r.second] - falls[r.first]) / r.ohm
        for r in live
        if r.first in falls and r.second in falls
    }
    return Solution(fall_v=falls, current_a=currents)


def _joined(parts: tuple[Resistor, ...]) -> dict[str, str]:
    """Name the group of each node, where resistances of 0 ohm join nodes."""
    ends = (end for r in parts for end in (r.first, r.second))
    graph = PieceGraph(ends, ((r.first, r.second, 0.0) for r in parts if r.ohm == 0))
    return {node: first for group in graph.groups() for first in (min(group),) for node in group}


def bus_loads_a(assembly: Assembly) -> dict[str, float]:
    """Return the current drawn at each device's electrical node, A; unknown ones are left out (and a finding)."""
    return {
        device_node(drop.node): load
        for drop in assembly.drops
        if (device := assembly.devices.get(drop.node)) is not None and (load := device.load_a) is not None
    }


def device_voltages(assembly: Assembly) -> tuple[DeviceVoltage, ...]:
    """Return the voltage at each device whose LEN and drop are known, in the order of the drops.

    Devices that no power tap reaches are left out.
    """
    loads = bus_loads_a(assembly)
    worst = solve_voltages(resistors(assembly), loads)
    shown = solve_voltages(resistors(assembly, worst_case=False), loads)
    lowest = assembly.feed.lowest_v
    found = []
    for drop in assembly.drops:
        key = device_node(drop.node)
        if key not in worst.fall_v or key not in loads:
            continue
        fall, nominal = worst.fall_v[key], shown.fall_v[key]
        found.append(
            DeviceVoltage(
                node=drop.node,
                load_units=assembly.devices[drop.node].load_units or 0,
                current_a=loads[key],
                fall_v=fall,
                voltage_v=None if lowest is None else lowest - fall,
                voltage_nominal_v=None if lowest is None else lowest - nominal,
            )
        )
    return tuple(found)


@dataclass(frozen=True, slots=True, kw_only=True)
class BusSide:
    """One side of the power tap: the first piece, everything beyond it, its current and its weakest cable."""

    tap: str
    piece: str
    current_a: float
    limit_a: float | None
    weakest: str


def sides(assembly: Assembly) -> tuple[BusSide, ...]:
    """Return the sides of each power tap with current and limit; any light section limits its whole side.

    A cable with a connector that the table lacks has no limit (``limit_a`` None), which is its own finding.
    """
    currents = solve_voltages(resistors(assembly), bus_loads_a(assembly)).current_a
    found = []
    for tap in assembly.taps:
        rest = assembly.graph.without(tap.key)
        for piece in assembly.pieces:
            if tap.key not in (piece.first, piece.second):
                continue
            far = piece.second if piece.first == tap.key else piece.first
            beyond = rest.group_of(far) if far in rest.nodes else {}
            on_side = [piece, *(p for p in assembly.pieces if p.first in beyond and p.second in beyond)]
            cables = [p for p in on_side if p.cable is not None]
            flow = currents.get((piece.first, piece.second), 0.0)
            amps = flow if piece.first == tap.key else -flow
            if not cables and abs(amps) < 1e-12 and assembly.part_by_key[far].kind == "terminator":
                continue
            limits = [(_limit_a(assembly, p.cable, p.connector), f"{p.cable} cable {p.key}") for p in cables]
            limits = limits or [(_limit_a(assembly, assembly.cable, None), f"{assembly.cable} cable of the bus")]
            known = [] if any(limit is None for limit, _ in limits) else limits
            weakest = min(known, key=lambda limit: limit[0] or 0.0) if known else (None, "")
            found.append(BusSide(tap=tap.key, piece=piece.key, current_a=amps, limit_a=weakest[0], weakest=weakest[1]))
    return tuple(found)


def _limit_a(assembly: Assembly, cable: str | None, connector: str | None) -> float | None:
    try:
        return network.most_side_current_a(cable or assembly.cable, connector or assembly.connector)
    except KeyError:
        return None
