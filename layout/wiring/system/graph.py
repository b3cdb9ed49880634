"""The values of the graph: terminals as nodes, and between them conductors, protective devices, contacts and loads.

Existing, bought and planned things alike are in it. Nothing here knows how a thing is called in the file; a law asks
only what is joined to what, by which pole, and what each part bears. ``None`` is not known, never zero.
"""

from __future__ import annotations

from functools import cached_property
from typing import TYPE_CHECKING, Literal, TypeVar

from layout.frozen import FrozenMap
from layout.light_dataclass import dataclass, field
from layout.wiring.circuits.segments import EARTH
from layout.wiring.circuits.supply_graph import CHARGING

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from layout.wiring.system.bridges import Walked
    from layout.wiring.system.device_faults import DeviceFault
    from layout.wiring.system.flow import Stress
    from layout.wiring.system.nets import Nets

T = TypeVar("T")
Pole = Literal["+", "-", "L", "N", "PE", "bond", "data", "antenna"]
"""Pole of a conductor or terminal. A conductor behind a switch and a sense wire have the pole of what they start at."""

LIVE_POLES: frozenset[str] = frozenset({"+", "L"})
RETURN_POLES: frozenset[str] = frozenset({"-", "N"})
EARTH_POLES: frozenset[str] = EARTH
NodeKind = Literal["source", "bar", "panel", "way", "switch", "device", "splice", "inner"]
"""What a terminal belongs to; ``splice`` is where conductors are joined, ``inner`` between a tail and its device."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Node:
    """One terminal, or several that are one piece of metal.

    Attributes
    ----------
    key, name
        ``owner/terminal``, unique: ``main/in``, ``dist24/bar``, ``bar_neg``; what people read: ``House bank 24 V, +``.
    owner, section
        Id of what it belongs to and the section of the file that the owner stands in, for places and names.
    pole
        The pole its owner declares; None takes any (then it gets the pole of the conductor that arrives first).
    nominal_v, ac
        Voltage its owner declares; None is not said.
    location, panel
        Named place aboard that it stands at or behind, and the panel it stands on; None is not known.
    stud, studs, takes, lugs_most, largest_mm2
        Thread of its stud, or the threads of a bar's studs; the end fitting it takes, as in the file; how many lugs a
        stud takes, and the largest conductor.
    positions, rating_a, diversity
        How many conductors a return bar of a panel takes; continuous rating of a bar, a switch or a panel's bar; the
        share of a panel's loads that runs at once. None is not said.
    vapour, ignition_protected
        What may stand in the air where it is (petrol, gas, battery gas; empty for nothing), and whether its owner may
        stand in it.
    declared, missing
        Whether the file declares this terminal; whether its owner declares terminals, and none of this pole.
    """

    key: str
    owner: str
    section: str
    name: str
    kind: NodeKind
    pole: Pole | None
    nominal_v: float | None = None
    ac: bool = False
    location: str | None = None
    panel: str | None = None
    stud: str | None = None
    studs: tuple[str, ...] = ()
    takes: str | None = None
    positions: int | None = None
    lugs_most: int | None = None
    largest_mm2: float | None = None
    rating_a: float | None = None
    diversity: float | None = None
    vapour: str = ""
    ignition_protected: bool | None = None
    declared: bool = True
    missing: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Conductor:
    """One conductor, or the tail of one before its protective device.

    Attributes
    ----------
    key
        Segment and pole: ``feeders.house_lead +``; a tail's ends in `` tail``. Unique.
    segment, entry
        Key of the segment whose conductor it is, and the dotted key of its entry in the file.
    start, end
        Keys of its nodes, as the file writes them.
    is_tail, tail_mm, enclosed
        Whether it is the part before a protective device, how long that is, and whether it lies in an enclosure or
        sheath all the way.
    length_mm
        Whole length; None is not known.
    size_mm2, size_given
        Cross-section, None while not yet found; given means the file or the boat fixes it.
    bears_a, said_a
        Continuous current it bears where it lies, None while not known; the current that the file gives for it.
    ohm, working_ohm, hot_ohm
        Resistance from end to end: the least at 20 °C, the one that drops go by at working temperature, and the most at
        the temperature its insulation bears; None while not known.
    always_live, cranking, made_harness
        Declared live with all switches open; part of engine starting; part of an engine maker's own harness.
    implied
        The file does not declare it: a tail between a device and the joint at its place, to be found out.
    """

    key: str
    segment: str
    entry: str
    name: str
    start: str
    end: str
    pole: Pole
    is_tail: bool = False
    tail_mm: float | None = None
    enclosed: bool | None = None
    length_mm: float | None = None
    size_mm2: float | None = None
    size_given: bool = False
    bears_a: float | None = None
    said_a: float | None = None
    ohm: float | None = None
    working_ohm: float | None = None
    hot_ohm: float | None = None
    always_live: bool = False
    cranking: bool = False
    made_harness: bool = False
    aboard: str | None = None
    circuits: tuple[str, ...] = ()
    implied: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Guard:
    """One pole of a protective device at its place along a conductor.

    Attributes
    ----------
    key, entry
        ``feeders.house_lead start +``, ``breaker_panels.dist_ac.ways.2 L``, unique; key of the device in the file.
    device
        The device it is one pole of; the poles of one device share it, and open together.
    a, b
        Its nodes: ``a`` towards what it is fed from as the file writes it, ``b`` towards what it protects.
    kind, rating_a
        As in the file: blade fuse, link fuse, ..., or the rating that was chosen; None is not known.
    location, vapour
        Key of the named place it stands at, and what may stand in the air there; empty for nothing.
    """

    key: str
    device: str
    entry: str
    name: str
    a: str
    b: str
    pole: Pole
    kind: str
    rating_a: float | None
    poles: int = 1
    residual_a: float | None = None
    trips_at: float | None = None
    breaking_a: float | None = None
    voltage: float | None = None
    location: str | None = None
    vapour: str = ""
    ignition_protected: bool | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class SwitchContact:
    """One pole of a switch: ``automatic`` closes by itself, ``built_in`` is part of a supply and nobody turns it."""

    key: str
    switch: str
    a: str
    b: str
    pole: Pole
    positions: tuple[str, ...]
    rating_a: float | None = None
    starting_a: float | None = None
    automatic: bool = False
    built_in: bool = False

    @property
    def entry(self) -> str:
        """Dotted key in the file of what it is a part of."""
        return f"{'supplies' if self.built_in else 'battery_switches'}.{self.switch}"


@dataclass(frozen=True, slots=True, kw_only=True)
class Join:
    """Two terminals that a device joins inside without a contact: a shunt, a terminal block, a fuse holder's bar."""

    a: str
    b: str
    owner: str
    rating_a: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Consumer:
    """Whatever takes current from a live terminal and gives it back at a return: a load, or a converter's input.

    Attributes
    ----------
    live, back, earth
        Keys of its nodes, the last of PE; None where the file gives it no such conductor.
    draw_a, draw_said
        Design current, None is not known; whether the file gives it for this thing and not only for its circuit.
    circuit, circuit_a
        Circuit it belongs to, and what that draws as a whole: the draws of its things count to no more than that.
    inrush_a, turning_a, locked_rotor_a, start_v, largest_device_a, lowest_v, highest_v
        Motor facts, with what a starter draws while it turns the engine and the largest device that its maker allows;
        its maker's range of voltage; None is not said.
    feeds, never_with
        Key of the source that this is the input of (converter, charger, inverter), empty for a plain load; name of a
        set of loads of which only one runs at a time.
    """

    key: str
    entry: str
    name: str
    live: str | None
    back: str | None
    earth: str | None = None
    draw_a: float | None = None
    draw_said: bool = True
    circuit: str = ""
    circuit_a: float | None = None
    nominal_v: float | None = None
    ac: bool = False
    motor: bool = False
    starter: bool = False
    inrush_a: float | None = None
    turning_a: float | None = None
    locked_rotor_a: float | None = None
    start_v: float | None = None
    largest_device_a: float | None = None
    lowest_v: float | None = None
    highest_v: float | None = None
    feeds: str = ""
    never_with: str = ""
    purpose: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class PowerSource:
    """One source with its two posts.

    Attributes
    ----------
    kind, live, back, earth
        As in the file; keys of its posts, and of its PE node; None where it has none.
    limit_a, output_a
        Most it can drive for long: a maker's limit of a converter, charger, alternator, solar regulator, inverter or
        generator. None for a battery or shore, which drive whatever is asked. And what it gives in use at most, whether
        it limits itself or not.
    lowest_v, nominal_v, highest_v, frequency_hz, ohm, fault_a, cranking_a
        Range of its voltage, and of AC its frequency; inner resistance, largest fault current by maker or pontoon, and
        the cold cranking amperes of a battery; None is not known.
    array_w, open_circuit_v, highest_input_v
        Of a solar controller: peak power and open-circuit voltage of its panels, and what its input bears.
    fed_by, neutral_bond, polarized, isolated
        Owner, or ``owner/way``, that the file says feeds its input, empty for not said; AC facts; whether its output
        shares no conductor with its input.
    """

    key: str
    entry: str
    name: str
    kind: str
    live: str
    back: str
    earth: str | None = None
    limit_a: float | None = None
    output_a: float | None = None
    nominal_v: float = 0.0
    lowest_v: float | None = None
    highest_v: float | None = None
    ohm: float | None = None
    fault_a: float | None = None
    cranking_a: float | None = None
    chemistry: str | None = None
    capacity_ah: float | None = None
    neutral_bond: bool | None = None
    polarized: bool | None = None
    isolated: bool | None = None
    frequency_hz: float | None = None
    array_w: float | None = None
    open_circuit_v: float | None = None
    highest_input_v: float | None = None
    fed_by: str = ""

    @property
    def ac(self) -> bool:
        """Whether its output is alternating current."""
        return self.kind in ("shore", "generator", "inverter")

    @property
    def charges(self) -> bool:
        """Whether it only charges: it has no use without a battery."""
        return self.kind in CHARGING


@dataclass(frozen=True, slots=True, kw_only=True)
class SwitchState:
    """One combination of switch positions: switch id to position. ``short_time`` is for minutes, not for use.

    ``follows`` names the state that becomes this one once what an inverter passes on fails.
    """

    name: str
    positions: Mapping[str, str] = field(default_factory=FrozenMap)
    short_time: bool = False
    all_open: bool = False
    follows: str = ""


@dataclass(frozen=True, kw_only=True)
class System:
    """The whole electrical system. All tuples are in the file's order; keys are unique within each.

    ``signals`` are cores of signal and serial cables, of which only the terminals matter.
    ``petrol_spaces`` are the names of the places in which a petrol engine's vapour may stand.
    """

    nodes: tuple[Node, ...] = ()
    conductors: tuple[Conductor, ...] = ()
    guards: tuple[Guard, ...] = ()
    contacts: tuple[SwitchContact, ...] = ()
    joins: tuple[Join, ...] = ()
    consumers: tuple[Consumer, ...] = ()
    sources: tuple[PowerSource, ...] = ()
    states: tuple[SwitchState, ...] = (SwitchState(name="all on"),)
    stress: Mapping[str, Stress] | None = field(default=None, compare=False, repr=False)
    place_names: Mapping[str, str] = field(default_factory=FrozenMap)
    petrol_spaces: tuple[str, ...] = ()
    signals: tuple[Conductor, ...] = ()

    @cached_property
    def node(self) -> Mapping[str, Node]:
        """Nodes by key."""
        return FrozenMap({node.key: node for node in self.nodes})

    @cached_property
    def kept_nets(self) -> dict[tuple[str, str], Nets]:
        """Nets by state and what counts; only ``nets`` and ``bare_nets`` write into it."""
        return {}

    @cached_property
    def kept_walks(self) -> dict[str, list[Walked]]:
        """Walks over the edges by state; only ``cuts_in`` writes into it."""
        return {}

    @cached_property
    def conductors_at(self) -> Mapping[str, tuple[Conductor, ...]]:
        """Conductors by the key of a node they start or end at."""
        return _grouped((end, c) for c in self.conductors for end in dict.fromkeys((c.start, c.end)))

    @cached_property
    def poles_of(self) -> Mapping[str, tuple[Guard, ...]]:
        """Poles of each protective device by its key."""
        return _grouped((guard.device, guard) for guard in self.guards)

    @cached_property
    def device_faults(self) -> Mapping[str, DeviceFault]:
        """Fault currents of each protective device, which several questions share."""
        from layout.wiring.system.device_faults import device_faults  # it looks at the values of this module

        return device_faults(self)

    def closed(self, state: SwitchState) -> tuple[SwitchContact, ...]:
        """Return the contacts that are closed in a state; with all switches open, those that close by themselves."""
        if state.all_open:
            return tuple(contact for contact in self.contacts if contact.automatic)
        return tuple(contact for contact in self.contacts if state.positions.get(contact.switch) in contact.positions)


def _grouped(pairs: Iterable[tuple[str, T]]) -> Mapping[str, tuple[T, ...]]:
    by: dict[str, list[T]] = {}
    for key, value in pairs:
        by.setdefault(key, []).append(value)
    return FrozenMap({key: tuple(values) for key, values in by.items()})
