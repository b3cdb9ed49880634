"""Whatever takes current: loads at the ends of circuits and feeders, and the inputs of converters and chargers."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from layout.wiring.circuits.chains import ALTERNATOR_ENDS
from layout.wiring.circuits.segments import is_ac, nominal_of
from layout.wiring.system.graph import LIVE_POLES, RETURN_POLES, Conductor, Consumer

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from layout.project.model.circuits import Circuit, Load
    from layout.wiring.circuits.ends import Ends
    from layout.wiring.system.graph import Node
    from layout.wiring.system.terminals import Terminals

MOTOR_PURPOSES = frozenset(
    {"bilge pump", "bilge blower", "pumps", "wiper", "motor", "refrigeration", "fans", "starter", "steering"}
)
TAKERS = ("converter", "charger", "inverter")


def consumers(
    ends: Ends, terminals: Terminals, conductors: Sequence[Conductor], draws: Mapping[str, float | None]
) -> tuple[tuple[Consumer, ...], list[Conductor]]:
    """Return what takes current, and the tails to joints at a place that the file leaves out.

    Parameters
    ----------
    draws
        Design current by dotted key of the circuit, or of the supply for its input.
    """
    return _Taking(ends, terminals, conductors, draws).collect()


class _Taking:
    def __init__(
        self, ends: Ends, terminals: Terminals, conductors: Sequence[Conductor], draws: Mapping[str, float | None]
    ) -> None:
        self.ends, self.project, self.terminals, self.draws = ends, ends.project, terminals, draws
        self.conductors = [c for c in conductors if not c.is_tail]
        self.node: dict[str, Node] = {node.key: node for node in terminals.nodes}
        self.tails: list[Conductor] = []
        self.at: dict[str, list[Conductor]] = {}
        self.by_circuit: dict[str, list[Conductor]] = {}
        for conductor in self.conductors:
            for circuit in conductor.circuits:
                self.by_circuit.setdefault(circuit, []).append(conductor)
        for conductor in conductors:
            for key in dict.fromkeys((conductor.start, conductor.end)):
                self.at.setdefault(self.node[key].owner, []).append(conductor)

    def collect(self) -> tuple[tuple[Consumer, ...], list[Conductor]]:
        taking = [self._input(key) for key in self.project.supplies if key in self._takers]
        for key, circuit in self.project.circuits.items():
            if circuit.aboard != "remove":
                taking += self._of_circuit(key, circuit)
        fed = {consumer.live for consumer in taking}
        for conductor in self.conductors:
            owner = self.node[conductor.end].owner
            if (
                conductor.segment.startswith("feeders.")
                and conductor.pole in LIVE_POLES
                and self.ends.kind(owner) == "devices"
                and conductor.end not in fed
                and not self._leaves(owner)
            ):
                fed.add(conductor.end)
                taking.append(self._of_feeder(conductor, owner))
        return tuple(taking), self.tails

    def _leaves(self, owner: str) -> bool:
        return any(c.pole in LIVE_POLES and self.node[c.start].owner == owner for c in self.at.get(owner, ()))

    @property
    def _takers(self) -> frozenset[str]:
        return frozenset(k for k, s in self.project.supplies.items() if s.kind in TAKERS and s.aboard != "remove")

    # --- inputs of supplies ------------------------------------------------------------------------------------------

    def _input(self, key: str) -> Consumer:
        supply = self.project.supplies[key]
        has_in = supply.transfer is None and any(f"{key}/in" in (c.start, c.end) for c in self.at.get(key, ()))
        at_in = "in" if has_in else "+"
        live, back = {"charger": ("L", "N"), "converter": ("in", "-"), "inverter": (at_in, "-")}[supply.kind]
        landed = {node for c in self.at.get(key, ()) for node in (c.start, c.end) if self.node[node].owner == key}
        at_dc = supply.kind == "charger" and f"{key}/L" not in landed and f"{key}/in" in landed
        if at_dc:
            live, back = "in", "-"
        if f"{key}/in-" in landed:
            back = "in-"
        has_live, has_back = f"{key}/{live}" in landed, f"{key}/{back}" in landed
        by = next(
            (
                circuit
                for circuit, entry in self.project.circuits.items()
                if entry.aboard != "remove" and self.terminals.owner(entry.to) == key
            ),
            "",
        )
        draw = self.draws.get(f"circuits.{by}") if by else None
        return Consumer(
            key=f"{key} input",
            entry=f"supplies.{key}",
            name=f"{supply.name or key}, input",
            live=self.terminals.post(key, live) if has_live else None,
            back=self.terminals.post(key, back) if has_back else None,
            earth=f"{key}/PE" if f"{key}/PE" in landed else None,
            draw_a=self.draws.get(f"supplies.{key}") if draw is None else draw,
            circuit=by,
            circuit_a=draw,
            ac=live == "L",
            feeds=key,
        )

    # --- loads -------------------------------------------------------------------------------------------------------

    def _of_circuit(self, key: str, circuit: Circuit) -> list[Consumer]:
        mine = self.by_circuit.get(key, [])
        whole = self.draws.get(f"circuits.{key}")
        into: dict[str, list[Conductor]] = {}
        out: dict[str, list[Conductor]] = {}
        for conductor in mine:
            if conductor.pole in LIVE_POLES:
                into.setdefault(conductor.end, []).append(conductor)
                out.setdefault(self.node[conductor.start].owner, []).append(conductor)
        self._tails_to(key, circuit, mine, into)
        if self.terminals.owner(circuit.to) in self._takers:
            return []
        fed: list[tuple[str, str | None]] = []
        for node in into:
            owner = self.node[node].owner
            if self.ends.kind(owner) != "devices" and not node.endswith(ALTERNATOR_ENDS):
                continue
            back = self._back(owner, mine)
            if owner in out and (back is None or all(c.start != node for c in out[owner])):
                continue  # a switch, a terminal block: what arrives goes on
            fed.append((node, back))
        if not fed:
            return [self._consumer(key, (None, None), self.terminals.owner(circuit.to), whole, said=True)]
        owners = list(dict.fromkeys(self.node[node].owner for node, _ in fed))
        if len(owners) == 1:
            taking = [self._consumer(key, ends, owners[0], whole, said=True) for ends in fed]
            if len(taking) == 1:
                return taking
            return [replace(c, never_with=c.never_with or f"{key} by two feeds") for c in taking]
        return [
            self._consumer(key, ends, owner, draw, said=said)
            for ends in fed
            for owner in (self.node[ends[0]].owner,)
            for draw, said in (self._share(circuit, whole, into[ends[0]], out.get(owner, [])),)
        ]

    def _share(
        self, circuit: Circuit, whole: float | None, into: Sequence[Conductor], out: Sequence[Conductor]
    ) -> tuple[float | None, bool]:
        """Return what one of several things on a circuit draws: what arrives less what goes on; and whether it is said.

        A conductor without a current of its own carries the circuit's; a thing whose share is not said takes the whole.
        """
        arriving, leaving = self._said(circuit, into), self._said(circuit, out)
        if leaving is None:
            return (arriving if arriving is not None else whole), False
        if arriving is None:
            return (whole, False) if whole is None or not out else (max(whole - leaving, 0.0), True)
        return max(arriving - leaving, 0.0), True

    def _said(self, circuit: Circuit, conductors: Sequence[Conductor]) -> float | None:
        """Return the sum of the currents that the file gives for conductors; None where one gives none."""
        total = 0.0
        for conductor in conductors:
            leg = circuit.legs.get(conductor.segment.partition(":")[2])
            if leg is None or leg.current is None:
                return None
            total += leg.current
        return total

    def _back(self, owner: str, mine: Sequence[Conductor]) -> str | None:
        """Return the return terminal of a device: where a return conductor of its circuit lands, else of any."""
        for conductors in (mine, self.at.get(owner, ())):
            for conductor in conductors:
                for end in (conductor.start, conductor.end):
                    if conductor.pole in RETURN_POLES and self.node[end].owner == owner:
                        return end
        return None

    def _tails_to(
        self, key: str, circuit: Circuit, mine: Sequence[Conductor], into: dict[str, list[Conductor]]
    ) -> None:
        """Add the tails from devices to a joint at their place, where a conductor of the circuit ends at the place."""
        joints = {
            (self.node[end].location, conductor.pole): end
            for conductor in mine
            for end in (conductor.start, conductor.end)
            if self.node[end].kind == "splice"
        }
        if not joints:
            return
        owners = [self.node[n].owner for n in into if self.ends.kind(self.node[n].owner) == "devices"]
        for owner in dict.fromkeys([*owners, self.terminals.owner(circuit.to)]):
            place = self.ends.site(owner).location
            if self.ends.kind(owner) != "devices" or place is None:
                continue
            landed = {c.pole for c in mine for end in (c.start, c.end) if self.node[end].owner == owner}
            for (where, pole), joint in joints.items():
                if where != place or pole in landed or pole not in LIVE_POLES | RETURN_POLES:
                    continue
                here = self.terminals.at(owner, pole, alone=False, incoming=True)
                self.node = {node.key: node for node in self.terminals.nodes}
                live = pole in LIVE_POLES
                tail = Conductor(
                    key=f"circuits.{key} {owner} {pole} tail to joint",
                    segment=f"circuits.{key}",
                    entry=f"circuits.{key}",
                    name=f"{circuit.name or key}, tail of {self.ends.name(owner)}, {pole}",
                    start=joint if live else here,
                    end=here if live else joint,
                    pole=pole,
                    circuits=(key,),
                    implied=True,
                )
                self.tails.append(tail)
                self.at.setdefault(owner, []).append(tail)
                if live:
                    into.setdefault(here, []).append(tail)

    def _consumer(
        self, key: str, ends: tuple[str | None, str | None], owner: str, draw: float | None, *, said: bool
    ) -> Consumer:
        circuit = self.project.circuits[key]
        load = circuit.load
        live, back = ends
        node = self.node.get(live) if live else None
        landed = [c for c in self.at.get(owner, ()) if c.pole == "PE"]
        earth = next((end for c in landed for end in (c.start, c.end) if self.node[end].owner == owner), None)
        return Consumer(
            key=live or f"circuits.{key}",
            entry=f"circuits.{key}",
            name=circuit.name or key,
            live=live,
            back=back,
            earth=earth,
            draw_a=draw,
            draw_said=said,
            circuit=key,
            circuit_a=self.draws.get(f"circuits.{key}"),
            nominal_v=self._nominal(circuit),
            ac=bool(node and node.pole == "L") or self._is_ac(circuit),
            motor=is_motor(load, circuit.purpose),
            starter=self._is_starter(owner, circuit.purpose, circuit.name),
            inrush_a=load.inrush if load else None,
            turning_a=draw,
            locked_rotor_a=load.locked_rotor if load else None,
            start_v=load.start_voltage if load else None,
            largest_device_a=load.largest_protection if load else None,
            lowest_v=load.lowest_voltage if load else None,
            highest_v=load.highest_voltage if load else None,
            never_with=circuit.never_with,
            purpose=circuit.purpose,
        )

    def _nominal(self, circuit: Circuit) -> float | None:
        return nominal_of(self.ends, self.terminals.owner(circuit.from_))

    def _is_ac(self, circuit: Circuit) -> bool:
        return is_ac(self.ends, self.terminals.owner(circuit.from_))

    def _is_starter(self, owner: str, *words: str) -> bool:
        """Tell whether a thing is an engine's starter: by its name, its classes, or what its circuit is for."""
        device = self.project.devices.get(owner)
        words = (owner, *words, *((device.name, *device.classes) if device is not None else ()))
        return any("starter" in word.lower() or word.lower() == "start motor" for word in words)

    def _of_feeder(self, conductor: Conductor, owner: str) -> Consumer:
        feeder = self.project.feeders[conductor.segment.removeprefix("feeders.")]
        device = self.project.devices[owner]
        back = self._back(owner, self.at.get(owner, ()))
        starting = device.starting
        return Consumer(
            key=conductor.end,
            entry=conductor.entry,
            name=device.name or owner,
            live=conductor.end,
            back=back,
            draw_a=feeder.current,
            ac=conductor.pole == "L",
            motor=feeder.cranking or starting is not None,
            starter=starting is not None or self._is_starter(owner),
            inrush_a=starting.current if starting else None,
            turning_a=starting.current if starting else None,
            start_v=starting.start_voltage if starting else None,
        )


def is_motor(load: Load | None, purpose: str) -> bool:
    """Tell whether a load is a motor: by word, by a motor's facts, or by what its circuit is for."""
    facts = load is not None and (load.motor or load.inrush is not None or load.locked_rotor is not None)
    return facts or purpose.strip().lower() in MOTOR_PURPOSES
