"""Small systems for faults, by hand and by chance, and the same systems as netlists of a circuit simulator."""

from __future__ import annotations

import itertools
import random
import subprocess
from typing import TYPE_CHECKING, Any

from layout.frozen import FrozenMap
from layout.wiring.system.graph import (
    Conductor,
    Consumer,
    Guard,
    Node,
    PowerSource,
    SwitchContact,
    SwitchState,
    System,
)
from layout.wiring.system.infeeds import full_v

if TYPE_CHECKING:
    from pathlib import Path


def node(key: str, pole: str, kind: str = "bar", **more: Any) -> Node:
    """Return a node whose owner is the part before the slash."""
    return Node(key=key, owner=key.partition("/")[0], section="", name=key, kind=kind, pole=pole, **more)


def wire(start: str, end: str, pole: str, ohm: float | None = 0.001, **more: Any) -> Conductor:
    """Return a conductor of some resistance, named after its ends."""
    key = f"{start}>{end}"
    return Conductor(
        key=key, segment=key, entry=f"feeders.{start}", name=key, start=start, end=end, pole=pole, ohm=ohm, **more
    )


def guard(a: str, b: str, pole: str, **more: Any) -> Guard:
    """Return one pole of a device, named after its nodes."""
    fields = {"kind": "breaker", "rating_a": 10.0, "device": f"{a}|{b}", "entry": f"breaker_panels.{b}", **more}
    return Guard(key=f"{a}|{b} {pole}", name=f"device {b}", a=a, b=b, pole=pole, **fields)


def battery(key: str, **more: Any) -> PowerSource:
    """Return a battery of 12 V with posts ``key/+`` and ``key/-``."""
    fields = {"kind": "battery", "nominal_v": 12.0, "chemistry": "lead", **more}
    return PowerSource(key=key, entry=f"supplies.{key}", name=key, live=f"{key}/+", back=f"{key}/-", **fields)


def posts(*sources: PowerSource) -> tuple[Node, ...]:
    """Return the posts of sources as nodes."""
    poles = {False: ("+", "-"), True: ("L", "N")}
    return tuple(
        node(key, pole, "source")
        for source in sources
        for key, pole in zip((source.live, source.back), poles[source.ac], strict=True)
    )


def one_panel(way: dict[str, Any] | None = None, **facts: Any) -> System:
    """Return a bank, its fuse, a panel with one way, and a lamp on it: 2 mΩ out, 2 mΩ back, 40 mΩ each to the lamp."""
    bank = battery("bank", **facts)
    return System(
        nodes=(
            *posts(bank),
            node("lead/1", "+", "inner"),
            node("lead/1b", "+", "inner"),
            node("panel/bar", "+", "panel"),
            node("panel/1", "+", "way"),
            node("panel/-", "-", "panel"),
            node("lamp/+", "+", "device"),
            node("lamp/-", "-", "device"),
        ),
        conductors=(
            wire("bank/+", "lead/1", "+", 0.0005, is_tail=True),
            wire("lead/1b", "panel/bar", "+", 0.002),
            wire("panel/-", "bank/-", "-", 0.002),
            wire("panel/1", "lamp/+", "+", 0.04),
            wire("lamp/-", "panel/-", "-", 0.04),
        ),
        guards=(
            guard("lead/1", "lead/1b", "+", kind="link fuse", rating_a=100.0, breaking_a=5000.0, trips_at=8.0),
            guard("panel/bar", "panel/1", "+", **{"breaking_a": 3000.0, "trips_at": 8.0, **(way or {})}),
        ),
        consumers=(Consumer(key="lamp", entry="circuits.lamp", name="Lamp", live="lamp/+", back="lamp/-", draw_a=2.0),),
        sources=(bank,),
    )


def chance_system(seed: int) -> System:
    """Return a system of batteries, an alternator perhaps, bars in a ring perhaps, switches, and panels."""
    rng = random.Random(seed)
    sources = [battery(f"bank{i}", ohm=rng.uniform(0.002, 0.02)) for i in range(rng.randint(1, 3))]
    if rng.random() < 0.6:
        sources.append(battery("alternator", kind="alternator", limit_a=rng.uniform(20, 120)))
    bars = [f"bar{i}" for i in range(rng.randint(1, 3))]
    nodes = [*posts(*sources), *(node(f"{bar}/{pole}", pole) for bar in bars for pole in "+-")]
    conductors: list[Conductor] = []
    guards: list[Guard] = []
    contacts: list[SwitchContact] = []

    def ohm() -> float:
        return rng.uniform(0.0005, 0.01)

    def feed(start: str, end: str, *, at_end: bool = False) -> None:
        tail, rest = f"{start}~{end}/t", f"{start}~{end}/r"
        nodes.extend((node(tail, "+", "inner"), node(rest, "+", "inner")))
        if rng.random() < 0.3:
            switch = f"sw{len(contacts)}/x"
            nodes.append(node(switch, "+", "switch"))
            contacts.append(SwitchContact(key=switch, switch=switch, a=start, b=switch, pole="+", positions=("on",)))
            start = switch
        first, last = (end, start) if at_end else (start, end)
        conductors.append(wire(first, tail, "+", ohm(), is_tail=True))
        guards.append(guard(tail, rest, "+", rating_a=100.0))
        conductors.append(wire(rest, last, "+", ohm()))

    for source in sources:
        bar = rng.choice(bars)
        feed(source.live, f"{bar}/+", at_end=rng.random() < 0.3)
        conductors.append(wire(source.back, f"{bar}/-", "-", ohm()))
    for first, second in itertools.pairwise(bars):
        feed(f"{first}/+", f"{second}/+")
        conductors.append(wire(f"{first}/-", f"{second}/-", "-", ohm()))
    if len(bars) > 2 and rng.random() < 0.6:
        feed(f"{bars[0]}/+", f"{bars[-1]}/+")
        conductors.append(wire(f"{bars[0]}/-", f"{bars[-1]}/-", "-", ohm()))
    for number in range(rng.randint(1, 3)):
        panel, bar = f"panel{number}", rng.choice(bars)
        nodes.extend((node(f"{panel}/bar", "+", "panel"), node(f"{panel}/-", "-", "panel")))
        feed(f"{bar}/+", f"{panel}/bar")
        conductors.append(wire(f"{panel}/-", f"{bar}/-", "-", ohm()))
        for way in range(rng.randint(1, 3)):
            nodes.append(node(f"{panel}/{way}", "+", "way"))
            guards.append(guard(f"{panel}/bar", f"{panel}/{way}", "+"))
    states = [SwitchState(name="all on", positions=FrozenMap({c.switch: "on" for c in contacts}))]
    if contacts:
        chosen = FrozenMap({c.switch: rng.choice(("on", "off")) for c in contacts})
        states.append(SwitchState(name="some off", positions=chosen))
    return System(
        nodes=tuple(nodes),
        conductors=tuple(conductors),
        guards=tuple(guards),
        contacts=tuple(contacts),
        sources=tuple(sources),
        states=tuple(states),
    )


def simulated(cases: list[tuple[System, SwitchState, str, str, str]], folder: Path) -> list[float]:
    """Return what a circuit simulator finds through a device in a short, A, by (system, state, guard, live, back).

    Each case is a copy of the system with its own nodes in one netlist, with ``back`` as the ground.
    """
    lines = ["* shorts at protective devices", ".options rshunt=1e9"]
    for at, case in enumerate(cases):
        lines += _netlist(at, case)
    lines += [".control", "set numdgt=9", "op", *(f"print i(vm{at})" for at in range(len(cases))), ".endc", ".end"]
    file = folder / "shorts.cir"
    file.write_text("\n".join(lines) + "\n", encoding="utf-8")
    out = subprocess.run(["ngspice", "-b", str(file)], capture_output=True, text=True, check=False, timeout=120)
    found = {
        line.partition("=")[0].strip(): abs(float(line.partition("=")[2]))
        for line in out.stdout.splitlines()
        if line.startswith("i(vm") and "=" in line
    }
    return [found[f"i(vm{at})"] for at in range(len(cases))]


def _netlist(at: int, case: tuple[System, SwitchState, str, str, str]) -> list[str]:
    system, state, device, live, back = case
    names: dict[str, str] = {back: "0"}

    def name(key: str) -> str:
        return names.setdefault(key, f"n{at}_{len(names)}")

    lines = []
    for index, conductor in enumerate(system.conductors):
        ohm = 1e-7 if conductor.is_tail or conductor.ohm is None else conductor.ohm
        lines.append(f"rw{at}_{index} {name(conductor.start)} {name(conductor.end)} {ohm:.12g}")
    for index, contact in enumerate(system.closed(state)):
        lines.append(f"rc{at}_{index} {name(contact.a)} {name(contact.b)} 1e-7")
    for index, pole in enumerate(system.guards):
        if pole.key == device:
            lines.append(f"rg{at}_{index} {name(pole.a)} m{at} 1e-7")
            lines.append(f"vm{at} m{at} {name(pole.b)} 0")
        else:
            lines.append(f"rg{at}_{index} {name(pole.a)} {name(pole.b)} 1e-7")
    for index, source in enumerate(system.sources):
        if source.limit_a is not None:
            lines.append(f"is{at}_{index} {name(source.back)} {name(source.live)} {source.limit_a:.12g}")
            # with its switch open its current goes round in itself
            lines.append(f"ri{at}_{index} {name(source.back)} {name(source.live)} 10000")
        else:
            lines.append(f"vs{at}_{index} e{at}_{index} {name(source.back)} {full_v(source):.12g}")
            lines.append(f"rs{at}_{index} e{at}_{index} {name(source.live)} {source.ohm:.12g}")
    lines.append(f"rx{at} {name(live)} 0 1e-7")
    return lines
