"""Motors: start drop at inrush, stall against the device, and what their makers must say."""

from __future__ import annotations

from typing import TYPE_CHECKING

from layout.wiring.checks.common import about
from layout.wiring.schedule.runs import chain_drop_v
from layout.wiring.sizing.design_current import lowest_v

if TYPE_CHECKING:
    from collections.abc import Iterator

    from layout.findings import Finding
    from layout.project.model.circuits import Load
    from layout.wiring.sizing.circuitry import Case


def motor_findings(case: Case) -> Iterator[Finding]:
    """Yield what is missing or wrong on every circuit that feeds a motor."""
    for key in case.chains:
        circuit = case.project.circuits[key]
        load = circuit.load
        if load is None or not load.motor:
            continue
        path, name = f"circuits.{key}", circuit.name or key
        facts = {"inrush": load.inrush, "locked_rotor": load.locked_rotor, "start_voltage": load.start_voltage}
        missing = [fact for fact, value in facts.items() if value is None]
        if missing:
            text = f"{name}: {', '.join(missing)} of its motor not known"
            yield about(case, "wire 28", f"{path}.load", text, remedy="ask the motor's paper")
        if load.largest_protection is None:
            text = f"{name}: which protective device its maker allows is not known"
            yield about(case, "fuse 18", f"{path}.load", text, remedy="give largest_protection:")
        yield from _start(case, key, load)
        yield from _stall(case, key, load)


def _start(case: Case, key: str, load: Load) -> Iterator[Finding]:
    if load.inrush is None or load.start_voltage is None:
        return
    name = case.project.circuits[key].name or key
    for chain in case.chains[key]:
        drop = chain_drop_v(case, chain)
        before = case.upstream.worst(chain.source_node, chain.return_node)
        segment = case.segments[chain.feed[0].segment]
        amps = chain.current_a
        if drop is None or before is None or before[0] is None or not amps or segment.nominal_v is None:
            continue
        supply = case.project.supplies[before[2]]
        volts = lowest_v(nominal_v=segment.nominal_v, supply_v=supply.lowest_voltage)
        own_ohm = (drop - before[0]) / amps
        at_motor = volts - before[0] - own_ohm * load.inrush
        if at_motor < load.start_voltage:
            text = f"{name}: at {load.inrush:g} A inrush {at_motor:.1f} V reach the motor"
            text += f", it starts from {load.start_voltage:g} V"
            yield about(
                case,
                "wire 27",
                f"circuits.{key}",
                text,
                measured=at_motor,
                limit=load.start_voltage,
                unit="V",
                remedy="thicken its conductors or its feeders",
            )
            return


def _stall(case: Case, key: str, load: Load) -> Iterator[Finding]:
    if load.locked_rotor is None:
        return
    name = case.project.circuits[key].name or key
    for (circuit, _), stand in case.stands.items():
        if circuit == key and stand.rating_a is not None and load.locked_rotor <= stand.rating_a:
            text = f"{name}: stalled it draws {load.locked_rotor:g} A, its device of {stand.rating_a:g} A never opens"
            yield about(
                case,
                "fuse 22",
                stand.key,
                text,
                measured=load.locked_rotor,
                limit=stand.rating_a,
                unit="A",
                subjects=(f"circuits.{key}",),
                remedy="take the device its maker names",
            )
