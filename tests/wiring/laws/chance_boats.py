"""Small systems by chance, right and wrong alike: sources, bars, switches, panels, chains, earth, and stray ends."""

from __future__ import annotations

import random
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING, Any

from layout.frozen import FrozenMap
from layout.wiring.system.graph import (
    Conductor,
    Consumer,
    Guard,
    Node,
    Pole,
    PowerSource,
    SwitchContact,
    SwitchState,
    System,
)
from tests.wiring.laws.fault_systems import node

if TYPE_CHECKING:
    from collections.abc import Sequence


@dataclass
class Sketch:
    """A system while it grows; keys are made from a running number."""

    rng: random.Random
    nodes: dict[str, Node] = field(default_factory=dict)
    conductors: list[Conductor] = field(default_factory=list)
    guards: list[Guard] = field(default_factory=list)
    contacts: list[SwitchContact] = field(default_factory=list)
    consumers: list[Consumer] = field(default_factory=list)
    sources: list[PowerSource] = field(default_factory=list)

    def one_in(self, share: float) -> bool:
        """Throw a coin that falls so in a share of cases."""
        return self.rng.random() < share

    def put(self, key: str, pole: str | None, kind: str, **more: Any) -> str:
        """Add a node and return its key."""
        self.nodes[key] = node(key, pole, kind, **more)  # type: ignore[arg-type]
        return key

    def wire(self, start: str, end: str, pole: Pole, **more: Any) -> None:
        """Add a conductor."""
        key = f"feeders.w{len(self.conductors)}"
        fields = {"entry": key, **more}
        self.conductors.append(
            Conductor(key=f"{key} {pole}", segment=key, name=key, start=start, end=end, pole=pole, **fields)
        )

    def device(self, device: str, between: tuple[str, str], pole: Pole, **more: Any) -> None:
        """Add one pole of a protective device."""
        a, b = between
        self.guards.append(
            Guard(
                key=f"{device} {pole}", device=device, entry=device, name=device, a=a, b=b, pole=pole,
                kind="breaker", rating_a=10.0, **more,
            )
        )  # fmt: skip

    def switch(self, start: str, pole: Pole) -> str:
        """Put a switch behind a node, and return its far terminal."""
        name = f"s{len(self.contacts)}"
        near, far = self.put(f"{name}/in", pole, "switch"), self.put(f"{name}/out", pole, "switch")
        self.wire(start, near, pole)
        own = self.one_in(0.08)
        contact = SwitchContact(
            key=f"{name} in out {pole}", switch=name, a=near, b=far, pole=pole, positions=("on",), automatic=own
        )
        self.contacts.append(contact)
        return far

    def add_source(self, kind: str, volts: float = 12.0, **more: Any) -> PowerSource:
        """Add a source with its posts."""
        key = f"{kind}{len(self.sources)}"
        ac = kind in ("shore", "generator", "inverter")
        live, back = ("L", "N") if ac else ("+", "-")
        nominal = 230.0 if ac else volts
        source = PowerSource(
            key=key, entry=f"supplies.{key}", name=key, kind=kind, nominal_v=nominal,
            live=self.put(f"{key}/{live}", live, "source", nominal_v=nominal, ac=ac),
            back=self.put(f"{key}/{back}", back, "source", nominal_v=nominal, ac=ac),
            earth=self.put(f"{key}/PE", "PE", "source") if ac else None, **more,
        )  # fmt: skip
        self.sources.append(source)
        return source

    def load(self, live: str | None, back: str | None, earth: str | None = None, **more: Any) -> None:
        """Add a load between its own terminals."""
        key = f"circuits.c{len(self.consumers)}"
        fields = {"entry": key, "circuit": key.partition(".")[2], **more}
        self.consumers.append(Consumer(key=key, name=key, live=live, back=back, earth=earth, **fields))


def chance_boat(seed: int) -> System:
    """Return a system by chance: always the same of one seed; nine in ten break some law."""
    sketch = Sketch(random.Random(seed))
    plus, minus = _direct(sketch)
    if sketch.one_in(0.6):
        _alternating(sketch, plus, minus)
    if sketch.one_in(0.3):
        _stray(sketch)
    return System(
        nodes=tuple(sketch.nodes.values()),
        conductors=tuple(sketch.conductors),
        guards=tuple(sketch.guards),
        contacts=tuple(sketch.contacts),
        consumers=tuple(sketch.consumers),
        sources=tuple(sketch.sources),
        states=_states(sketch),
    )


def _direct(sketch: Sketch) -> tuple[str, str]:
    """Add batteries, what charges them, a bar of each pole, and loads in chains."""
    rng = sketch.rng
    plus, minus = sketch.put("plus/bar", "+", "bar"), sketch.put("minus/bar", "-", "bar")
    for _ in range(rng.choice((1, 1, 2))):
        facts = {
            "chemistry": rng.choice(("lead", "lead", "lead", "lead", "lithium", None)),
            "capacity_ah": rng.choice((100.0, 140.0, 140.0, 200.0, None)),
            "lowest_v": rng.choice((None, 11.0)),
            "highest_v": rng.choice((None, 14.4)),
        }
        battery = sketch.add_source("battery", rng.choice((12.0, 12.0, 12.0, 12.0, 12.0, 24.0)), **facts)
        start = battery.live
        if sketch.one_in(0.9):
            start = sketch.switch(start, "+")
        _guarded(sketch, start, plus, "+")
        if sketch.one_in(0.9):
            back = sketch.switch(battery.back, "-") if sketch.one_in(0.2) else battery.back
            sketch.wire(minus, back, "-")
    if sketch.one_in(0.5):
        kind = rng.choice(("alternator", "solar", "converter"))
        charging = sketch.add_source(kind)
        sketch.wire(charging.live, plus if sketch.one_in(0.3) else sketch.sources[0].live, "+")
        if sketch.one_in(0.8):
            sketch.wire(minus, charging.back, "-")
        if kind == "converter":
            live, back = sketch.put("input/+", "+", "device"), sketch.put("input/-", "-", "device")
            sketch.load(live, back, entry=charging.entry, circuit="", feeds=charging.key)
            sketch.wire(rng.choice((plus, sketch.sources[0].live)), live, "+")
            sketch.wire(back, minus, "-")
    for _ in range(rng.randint(1, 3)):
        _taking(sketch, [plus], [minus], ("+", "-"))
    return plus, minus


def _guarded(sketch: Sketch, start: str, end: str, pole: Pole) -> None:
    """Lead a conductor, mostly by a device at its start."""
    if sketch.one_in(0.3):
        sketch.wire(start, end, pole)
        return
    device = f"feeders.w{len(sketch.conductors)}.protection"
    before, after = sketch.put(f"{device}/fed", pole, "inner"), sketch.put(f"{device}/on", pole, "inner")
    sketch.wire(start, before, pole, is_tail=True)
    sketch.device(device, (before, after), pole)
    sketch.wire(after, end, pole)


def _taking(sketch: Sketch, live: list[str], back: list[str], poles: tuple[Pole, Pole]) -> None:
    """Add a load from a bar or from the load before it; the lists gain its terminals."""
    rng, name = sketch.rng, f"load{len(sketch.consumers)}"
    facts = {
        "lowest_v": rng.choice((None, None, None, None, 10.0, 10.8, 11.2, 20.0)),
        "highest_v": rng.choice((None, None, None, None, 14.0, 15.0)),
        "purpose": rng.choice(("", "", "", "", "lights", "bilge pump")),
        "nominal_v": 12.0,
    }
    if sketch.one_in(0.02):
        sketch.load(None, None, **facts)
        return
    out = sketch.put(f"{name}/{poles[0]}", poles[0], "device")
    home = sketch.put(f"{name}/{poles[1]}", poles[1], "device") if sketch.one_in(0.95) else None
    for _ in range(2 if sketch.one_in(0.1) else 1):
        device = f"circuits.c{len(sketch.consumers)}.protection{len(sketch.guards)}"
        start = rng.choice(live) if sketch.one_in(0.9) else rng.choice([s.live for s in sketch.sources if not s.ac])
        before, way = sketch.put(f"{device}/fed", poles[0], "inner"), sketch.put(f"{device}/on", poles[0], "inner")
        sketch.wire(start, before, poles[0], is_tail=True)
        sketch.device(device, (before, way), poles[0])
        sketch.wire(way, out, poles[0], always_live=sketch.one_in(0.1))
    if home is not None and sketch.one_in(0.95):
        sketch.wire(home, rng.choice(back), poles[1])
        back.append(home)
    live.append(out)
    sketch.load(out, home, **facts)


def _alternating(sketch: Sketch, plus: str, minus: str) -> None:
    """Add a shore or an inverter, or both by a switch, a panel with ways, and sockets."""
    rng = sketch.rng
    bar, neutral = sketch.put("ac/bar", "L", "panel"), sketch.put("ac/N", "N", "panel")
    earth = sketch.put("ac/PE", "PE", "panel")
    for kind in rng.choice((("shore",), ("inverter",), ("shore", "inverter"))):
        source = sketch.add_source(kind, polarized=rng.choice((True, False, None)))
        double, device = sketch.one_in(0.7), f"feeders.{kind}.protection"
        facts = {"poles": 2 if double else 1, "residual_a": rng.choice((0.03, 0.03, 0.03, 0.1, None))}
        start = sketch.switch(source.live, "L") if sketch.one_in(0.6) else source.live
        before = sketch.put(f"{device}/L", "L", "inner")
        sketch.wire(start, before, "L", is_tail=True)
        sketch.device(device, (before, bar), "L", **facts)
        after = sketch.put(f"{device}/N", "N", "inner")
        sketch.wire(after, source.back, "N")
        if double:
            sketch.device(device, (after, neutral), "N", **facts)
        else:
            sketch.wire(neutral, after, "N")
        if sketch.one_in(0.85):
            sketch.wire(source.earth or earth, earth, "PE")
        if kind == "inverter":
            live, back = sketch.put("invert/+", "+", "device"), sketch.put("invert/-", "-", "device")
            sketch.load(live, back, entry=source.entry, circuit="", feeds=source.key)
            sketch.wire(plus, live, "+")
            sketch.wire(back, minus, "-")
    if sketch.one_in(0.3):
        sketch.wire(earth, minus, "bond")
    for number in range(rng.randint(1, 2)):
        _socket(sketch, f"breaker_panels.ac.ways.{number}", (bar, neutral, earth))


def _socket(sketch: Sketch, device: str, panel: tuple[str, str, str]) -> None:
    bar, neutral, earth = panel
    name = f"socket{len(sketch.consumers)}"
    line, home = sketch.put(f"{name}/L", "L", "device"), sketch.put(f"{name}/N", "N", "device")
    ground = sketch.put(f"{name}/PE", "PE", "device") if sketch.one_in(0.9) else None
    double = sketch.one_in(0.6)
    facts = {"poles": 2 if double else 1, "residual_a": sketch.rng.choice((None, None, 0.03))}
    sketch.device(device, (bar, sketch.put(f"{device}/L", "L", "way")), "L", **facts)
    sketch.wire(f"{device}/L", line, "L")
    if double:
        sketch.device(device, (neutral, sketch.put(f"{device}/N", "N", "way")), "N", **facts)
    sketch.wire(home, f"{device}/N" if double else neutral, "N")
    if ground is not None and sketch.one_in(0.9):
        sketch.wire(ground, earth, "PE")
    sketch.load(line, home, ground, ac=True)


def _stray(sketch: Sketch) -> None:
    """Add a jumper between any two terminals, or move one end of one conductor to any terminal."""
    rng, keys = sketch.rng, [key for key, at in sketch.nodes.items() if at.kind != "inner"]
    if sketch.one_in(0.5):
        start = rng.choice(keys)
        same = [key for key in keys if key != start and sketch.nodes[key].pole == sketch.nodes[start].pole]
        pole = sketch.nodes[start].pole
        if same and pole is not None:
            sketch.wire(start, rng.choice(same), pole)
        return
    at = rng.randrange(len(sketch.conductors))
    moved = sketch.conductors[at]
    end = rng.choice([key for key in keys if key != moved.start])
    sketch.conductors[at] = replace(moved, end=end, is_tail=False)


def _states(sketch: Sketch) -> Sequence[SwitchState]:
    names = [contact.switch for contact in sketch.contacts]
    chosen = FrozenMap({name: sketch.rng.choice(("on", "off")) for name in names})
    return (
        SwitchState(name="all on", positions=FrozenMap(dict.fromkeys(names, "on"))),
        SwitchState(name="some off", positions=chosen, short_time=sketch.one_in(0.3)),
        SwitchState(name="all switches open", all_open=True),
    )
