"""Supplies and what stands between them and the ways: switches, bus bars, feeders, distribution panels.

Together they are a graph with named switch states, not a tree. An end is written ``owner/terminal``:
``house/+``, ``main/out``, ``dc24/in``, ``dc24/7`` (way 7), ``dc24/-`` (its return bar), ``negbar`` (any stud of a bar).
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Annotated, Any, ClassVar, Literal

from layout.frozen import FrozenMap
from layout.light_dataclass import dataclass, field
from layout.project.model.aboard import Aboard, Existing
from layout.project.model.edge import OneOrMore
from layout.project.model.keys import End, Entry
from layout.quantity import (
    Amp,
    AmpHour,
    Distance,
    FaultAmp,
    Number,
    Ohm,
    ResidualAmp,
    RestWatt,
    RunLength,
    Share,
    Times,
    Volt,
    Watt,
    WireSize,
)

_LEAST_SHARE, MOST_SHARE = 0.5, 1.6
"""What a working voltage can be of nominal: past these one of the two is mistyped (rule of the house)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Protection(Aboard):
    """A protective device.

    Attributes
    ----------
    kind
        blade fuse, link fuse, cartridge fuse, breaker (panel breaker), miniature breaker (IEC 60898), built-in.
    rating
        Amperes; None lets spile choose a standard rating.
    from_source
        Distance from the source along the conductor; None is not known.
    enclosed
        Whether the conductor lies in sheath, conduit or enclosure all the way from the source to the device.
    breaking_capacity, trips_at, voltage
        Largest fault it can break; trip multiple of the rating at which it opens at once (None: curve not known).
    poles, residual
        Poles opened together; residual current that trips it (0.03 A for 30 mA).
    device, location
        The device on a panel that holds it, with terminals ``in`` and ``out`` for the conductors up to it and from it;
        the device on which its conductor begins, where it stands in that (a fuse block). Or the named place it stands
        at. Without either it is taken where its conductor begins, and asked for.
    ignition_protected
        Whether it may stand among petrol, gas or battery gas (ISO 8846).
    """

    kind: Literal["blade fuse", "link fuse", "cartridge fuse", "breaker", "miniature breaker", "built-in"]
    rating: Amp | None = None
    from_source: Distance | None = None
    enclosed: bool | None = None
    breaking_capacity: FaultAmp | None = None
    trips_at: Times | None = None
    voltage: Volt | None = None
    poles: Literal[1, 2, 3, 4] = 1
    residual: ResidualAmp | None = None
    device: str | None = None
    location: str | None = None
    ignition_protected: bool | None = None
    aboard: Existing | None = None

    def __post_init__(self) -> None:
        if self.device is not None and self.location is not None:
            raise ValueError("a protective device takes device (its holder) or location, not both")


@dataclass(frozen=True, slots=True, kw_only=True)
class ProtectionDefaults:
    """What its maker's paper says of every protective device of a kind, for those that say nothing else."""

    breaking_capacity: FaultAmp | None = None
    trips_at: Times | None = None
    voltage: Volt | None = None
    poles: Literal[1, 2, 3, 4] | None = None
    residual: ResidualAmp | None = None
    ignition_protected: bool | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Supply(Entry, Aboard):
    """A source at a nominal voltage.

    Attributes
    ----------
    kind
        battery, alternator, charger, solar, converter (DC to DC), inverter (DC to AC), shore, generator.
    voltage, lowest_voltage, highest_voltage
        Nominal, lowest working (None: 0.9 x nominal) and highest at any charge state.
    location, device
        Named place it stands at, or the device it is (a charger on a board).
    stud
        Thread of its posts, where they are studs.
    chemistry, capacity, cold_cranking, resistance, fault_current
        Battery facts. Lithium needs the maker's ``fault_current``.
    current, power, self_limiting, efficiency, idle
        Of a converter, charger, alternator, solar controller or inverter: largest output.
    outputs
        How many a charger has, each for a bank of its own and parted from the others: ``+``, ``+2``, ``+3``; they share
        its current and its ``-``.
    fed_from
        Where a converter, charger or inverter takes its input (an end; a way or a circuit's source).
    transfer, assist
        Of an inverter: the current that its built-in changeover passes on from its AC input (terminal ``in``, and its
        neutral behind it) while that is live; left out, it has no AC input. ``neutral_bond`` then holds only while it
        inverts. And whether it adds its own current to what it passes on; left out, it is taken to add.
    isolated
        Whether a converter's output shares no conductor with its input, whose return then ends on its own terminal
        ``in-``. Only what its maker says: left out, both have one negative.
    bus_fed
        What it charges or feeds is in ``feeders``; this only names its normal states.
    array_power, open_circuit_voltage, highest_input
        Of a solar controller: its panels' peak power together, the highest of their open-circuit voltages as they are
        joined (at 25 °C, from their paper), and the highest voltage that its maker allows at its input.
    without
        Wires that it does not have: ``excitation`` and ``sense`` of an alternator that does both inside.
    frequency, neutral_bond, polarized, isolation
        AC facts: whether neutral is bonded to earth at this source; galvanic isolator or isolating transformer.
    """

    SECTION: ClassVar[str] = "supplies"
    id: str = ""
    name: str = ""
    kind: Literal["battery", "alternator", "charger", "solar", "converter", "inverter", "shore", "generator"]
    voltage: Volt
    lowest_voltage: Volt | None = None
    highest_voltage: Volt | None = None
    location: str | None = None
    device: str | None = None
    stud: str | None = None
    chemistry: Literal["lead", "lithium"] | None = None
    capacity: AmpHour | None = None
    cold_cranking: Amp | None = None
    resistance: Ohm | None = None
    fault_current: FaultAmp | None = None
    current: Amp | None = None
    power: Watt | None = None
    self_limiting: bool | None = None
    efficiency: Share | None = None
    outputs: Annotated[int, Number(least=1, most=6)] = 1
    idle: RestWatt | None = None
    array_power: Watt | None = None
    open_circuit_voltage: Volt | None = None
    highest_input: Volt | None = None
    fed_from: End | None = None
    transfer: Amp | None = None
    assist: bool | None = None
    isolated: bool | None = None
    without: tuple[Literal["excitation", "sense"], ...] = ()
    frequency: Literal[50, 60] | None = None
    neutral_bond: bool | None = None
    polarized: bool | None = None
    isolation: Literal["galvanic isolator", "isolating transformer", "none"] | None = None
    aboard: Existing | None = None

    def __post_init__(self) -> None:
        if self.outputs > 1 and self.kind != "charger":
            raise ValueError(f"outputs is for kind: charger, not {self.kind}; leave it out")
        if self.kind != "inverter" and (self.transfer, self.assist) != (None, None):
            raise ValueError(f"transfer and assist are for kind: inverter, not {self.kind}; leave them out")
        if self.assist is not None and self.transfer is None:
            raise ValueError("assist is for an inverter with an AC input; say transfer: and its current")
        low, high = self.lowest_voltage, self.highest_voltage
        if low is not None and high is not None and low > high:
            raise ValueError(f"lowest_voltage {low:g} V is above highest_voltage {high:g} V; swap them")
        for name, volts in (("lowest_voltage", low), ("highest_voltage", high)):
            if volts is not None and not _LEAST_SHARE <= volts / self.voltage <= MOST_SHARE:
                raise ValueError(f"{name} {volts:g} V is no voltage of a {self.voltage:g} V supply; check both")
        if high is not None and high < self.voltage:
            raise ValueError(f"highest_voltage {high:g} V is below voltage {self.voltage:g} V; check both")
        said = (self.array_power, self.open_circuit_voltage, self.highest_input)
        if self.kind != "solar" and said != (None, None, None):
            raise ValueError(
                f"array_power, open_circuit_voltage and highest_input are for kind: solar, not {self.kind}"
            )

    @property
    def live_posts(self) -> tuple[str, ...]:
        """Terminals that it gives current at: L of an AC source, else + and those of further outputs."""
        return ("L",) if self.is_ac else ("+", *(f"+{number}" for number in range(2, self.outputs + 1)))

    @property
    def is_ac(self) -> bool:
        """Whether its output is alternating current."""
        return self.kind in ("shore", "generator", "inverter")


@dataclass(frozen=True, slots=True, kw_only=True)
class BatterySwitch(Entry, Aboard):
    """A main, parallel or changeover switch, or a charging relay.

    Terminals are ``in`` and ``out``, or ``in1``, ``in2``, ``out``.

    ``positions`` names each position and the pairs of terminals it joins, e.g. ``{on: [[in, out]], off: []}``; left
    out, an isolator has these two and a changeover ``{1: [[in1, out]], 2: [[in2, out]], off: []}``. A two-pole switch
    joins the other conductors that end on ``in`` and ``out`` as well. ``ignition_protected`` is asked for in a space
    with petrol, gas or battery gas. A parallel switch joins two banks for minutes, to start an engine; a charging relay
    joins them by itself while one is charged, so with all switches open by hand it counts as closed. ``rating`` holds
    for hours, ``starting_rating`` for the seconds of an engine's start.
    """

    SECTION: ClassVar[str] = "battery_switches"
    id: str = ""
    name: str = ""
    kind: Literal["isolator", "parallel", "changeover", "charging relay"]
    voltage: Volt
    rating: Amp | None = None
    starting_rating: Amp | None = None
    poles: Literal[1, 2, 3, 4] = 1
    break_before_make: bool | None = None
    positions: Mapping[str, tuple[tuple[str, str], ...]] = field(default_factory=FrozenMap)
    location: str | None = None
    device: str | None = None
    stud: str | None = None
    ignition_protected: bool | None = None
    aboard: Existing | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class BusBar(Entry, Aboard):
    """A bar with studs that joins conductors of one pole."""

    SECTION: ClassVar[str] = "bus_bars"
    id: str = ""
    name: str = ""
    pole: Literal["+", "-", "L", "N", "PE", "bond"]
    voltage: Volt | None = None
    rating: Amp | None = None
    studs: tuple[str, ...] = ()
    covered: bool | None = None
    marked: bool | None = None
    location: str | None = None
    device: str | None = None
    aboard: Existing | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Feeder(Entry, Aboard):
    """A conductor (or a pair, or a multicore) between supplies, switches, bus bars and distribution panels.

    Attributes
    ----------
    from_, to
        Ends (written ``from`` and ``to``); protection stands at ``from``, and at ``to`` as well when that is a source.
    poles
        Which conductors it has; ``[+]`` alone is one conductor, ``[+, -]`` a pair, ``[L, N, PE]`` a three-core.
    current
        Design current; None takes the sum of what it feeds with the diversity of the distribution panel.
    protection, protection_to
        At each end; None where there is none.
    wireways, length
        Route fixed by the owner, or a length measured along the conductor; None lets spile route it.
    cranking
        Engine starting conductor: exempt from overcurrent protection, and that is stated.
    harness
        ``maker's`` for a conductor of an engine maker's own harness, as from alternator to starter stud.
    always_live
        Meant to stay live, with what it feeds, while all switches are open.
    return
        In the file only: the two ends of its return, a feeder of its own under this id and ``_return``, of the same
        current, cable, size and way.
    """

    SECTION: ClassVar[str] = "feeders"
    SHORT: ClassVar[Mapping[str, Any]] = {"return": tuple[End, End]}
    id: str = ""
    name: str = ""
    from_: End
    to: End
    poles: Annotated[tuple[Literal["+", "-", "L", "N", "PE", "bond"], ...], OneOrMore()] = ("+",)
    current: Amp | None = None
    protection: Protection | None = None
    protection_to: Protection | None = None
    cable: str | None = None
    size: WireSize | None = None
    wireways: tuple[str, ...] = ()
    length: RunLength | None = None
    cranking: bool = False
    harness: Literal["maker's"] | None = None
    always_live: bool = False
    aboard: Existing | None = None
    old_label: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Way:
    """One breaker or fuse position. ``circuit`` is given, or None: spile assigns one. ``free`` keeps it empty.

    ``voltage`` is the highest that its device breaks.
    """

    BARE: ClassVar[tuple[str, ...]] = ("rating",)
    id: str = ""
    kind: Literal["blade fuse", "cartridge fuse", "breaker", "miniature breaker"] = "breaker"
    rating: Amp | None = None
    ratings: tuple[Amp, ...] = ()
    most: Amp | None = None
    poles: Literal[1, 2] = 1
    breaking_capacity: FaultAmp | None = None
    trips_at: Times | None = None
    voltage: Volt | None = None
    residual: ResidualAmp | None = None
    circuit: str | None = None
    free: bool = False
    label: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class BreakerPanel(Entry, Aboard):
    """A distribution panel: one supply in, several ways out, one return bar (terminal ``-``, or ``N`` and ``PE``).

    Attributes
    ----------
    device
        The device it is on a panel or board.
    voltage, ac
        Nominal, and whether it is alternating current.
    rating
        Largest current of the panel itself.
    main
        Its own main protective device, if it has one (``residual`` there covers all ways).
    diversity
        Share of the summed loads that can flow together; None counts all of it.
    ways
        By way id, in order; what ``all`` says holds for each of them that says nothing else.
    free_ways
        How many ways must stay free.
    always_live
        All that hangs on it is meant to stay live while all switches are open.
    """

    SECTION: ClassVar[str] = "breaker_panels"
    id: str = ""
    name: str = ""
    device: str | None = None
    location: str | None = None
    voltage: Volt
    ac: bool = False
    rating: Amp | None = None
    main: Protection | None = None
    diversity: Share | None = None
    ways: Mapping[str, Way] = field(default_factory=FrozenMap)
    free_ways: Annotated[int, Number(least=0, most=200)] = 0
    always_live: bool = False
    aboard: Existing | None = None
