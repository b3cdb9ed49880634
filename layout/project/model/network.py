"""What the user declares about the instrument bus, older serial instruments and antenna leads.

Words as in IEC 61162-3 and its installation practice: a backbone of cable pieces and tees with a terminator at each
end, drops from tees to devices, one power tap, load equivalency numbers (1 LEN = 50 mA). ``None`` is unknown.
"""

from __future__ import annotations

from collections.abc import Mapping
from enum import StrEnum
from typing import Annotated, ClassVar, Literal

from layout.frozen import FrozenMap
from layout.light_dataclass import dataclass, field
from layout.project.model.aboard import Aboard, Existing
from layout.project.model.keys import Entry
from layout.quantity import (
    Amp,
    Attenuation,
    BusDrop,
    Decibel,
    Diameter,
    Distance,
    MegaHertz,
    Number,
    Ohm,
    RunLength,
    Share,
    Size,
    Volt,
    Watt,
)


class BusCable(StrEnum):
    """Kind of bus cable, by its conductors."""

    LIGHT = "light"
    MID = "mid"
    HEAVY = "heavy"


class BusConnector(StrEnum):
    """Size of bus connector: 5-pin M12 (micro) or 7/8 inch (mini)."""

    MICRO = "micro"
    MINI = "mini"


@dataclass(frozen=True, slots=True, kw_only=True)
class BusNode(Aboard):
    """One device on the bus.

    Attributes
    ----------
    device
        Id of the project's device; left out, it is the node's own id. Its place is where the drop ends.
    load_units
        Load equivalency number from the device's paper.
    current
        Largest current from the bus, where the paper gives amperes; LEN is current / 50 mA, rounded up.
    drop
        Length of the drop cable where it is given (a moulded cable, an existing one).
    power
        ``bus``, or ``own`` for a device with a supply of its own.
    circuit
        Circuit that feeds a device with its own power.
    isolated
        Whether the bus interface of a device with its own power is isolated from its supply.
    family
        Family of plugs on the device's side, where it differs from the bus.
    """

    id: str = ""
    name: str = ""
    device: str = ""
    load_units: Annotated[int, Number(least=1, most=250)] | None = None
    current: Amp | None = None
    drop: Distance | None = None
    power: Literal["bus", "own"] = "bus"
    circuit: str | None = None
    isolated: bool | None = None
    family: str | None = None
    aboard: Existing | None = None

    def __post_init__(self) -> None:
        if self.load_units is not None and self.load_units < 0:
            raise ValueError(
                f"load_units is {self.load_units}; write the whole number from the device's paper, 0 or more"
            )
        if self.load_units is not None and self.current is not None:
            raise ValueError("both load_units and current are given; write one of them")
        if self.power == "bus" and self.circuit is not None:
            raise ValueError("circuit is for a device with its own supply; write power: own beside it")

    @property
    def device_id(self) -> str:
        """Id of the project's device."""
        return self.device or self.id


@dataclass(frozen=True, slots=True, kw_only=True)
class BusPart(Aboard):
    """One part of a backbone that is already built or fixed by hand.

    Parts stand in order and each plugs into the one before it. ``after`` starts a branch at another part, ``joins``
    plugs the far side into one more part (a loop); both are faults, but they must be sayable to be found.

    Attributes
    ----------
    part
        ``terminator``, ``tee``, ``tap`` (the power tap) or ``cable``.
    label
        A word by which ``after``, ``joins`` and ``shield_earths`` may name the part.
    length, cable
        Of a cable piece; the kind left out is the bus's.
    nodes
        Network nodes whose drops plug into this tee.
    ports
        Free and used drop ports of a tee.
    at
        Place (a node of the wireways) where a tee, tap or terminator sits.
    connector, family
        Size and family of the plugs, where they differ from the bus.
    resistance
        Of a terminator; left out, 120 ohm.
    """

    part: Literal["terminator", "tee", "tap", "cable"]
    label: str = ""
    length: RunLength | None = None
    cable: BusCable | None = None
    nodes: tuple[str, ...] = ()
    ports: Annotated[int, Number(least=1, most=100)] | None = None
    at: str | None = None
    connector: BusConnector | None = None
    family: str | None = None
    resistance: Ohm | None = None
    after: str | None = None
    joins: str | None = None
    aboard: Existing | None = None

    def __post_init__(self) -> None:
        if self.part == "cable" and self.length is None:
            raise ValueError("a cable piece has no length; write length: with its unit, for example 2 m")
        if self.part != "cable" and (self.length is not None or self.cable is not None):
            raise ValueError(f"a {self.part} has no length and no cable kind; write a part: cable of its own")
        if self.part != "tee" and (self.nodes or self.ports is not None):
            raise ValueError(f"only a tee has nodes and ports; this part is a {self.part}")
        least = max(len(self.nodes), 1)
        if self.ports is not None and self.ports < least:
            raise ValueError(f"ports is {self.ports} for {len(self.nodes)} nodes; write ports: {least} or more")
        if self.part != "terminator" and self.resistance is not None:
            raise ValueError("resistance is for a terminator only")


@dataclass(frozen=True, slots=True, kw_only=True)
class InstrumentNetwork(Entry):
    """An instrument bus (IEC 61162-3): one backbone, its devices and its feed.

    Attributes
    ----------
    circuit, supply
        What feeds the power tap: a circuit of the project, or a supply directly. One of them.
    voltage
        Nominal voltage of the feed, where neither circuit nor supply says it.
    lowest_voltage, highest_voltage
        At the head of the feed over all charge states.
    feed_at
        Place where the feed cable starts; left out, that of the circuit's distribution panel or the supply.
    feed_length, feed_cable
        Length of the feed cable, where it is given, and its kind.
    cable, connector, family
        Kind of backbone cable, size of plugs, family of plugs.
    drop_cable
        Kind of the drop cables.
    fuse, fuse_each_side
        Rating of the protective device of the feed, and whether each side of the power tap has one of its own.
    allowed_drop
        Largest fall of voltage from feed to device, both conductors.
    spare_tees, spare_load_units
        Free tees to leave, and the LEN each is reckoned with.
    tap_at
        Place of the power tap, where it is fixed.
    nodes
        Devices on the bus.
    built
        The backbone as it exists or is fixed, from one end to the other.
    shield_earths
        Places or part labels where the shield is connected to supply negative.
    stock
        Lengths in which made-up cables are bought.
    plug
        Diameter of the plugs that stay on its cables while they are pulled (moulded ones); left out, it is asked for
        where cables are bought made up, and else plugs are fitted afterwards.
    joint_worth
        Metres of cable that one joint in the backbone is worth, when courses are compared.
    """

    SECTION: ClassVar[str] = "networks"
    id: str = ""
    name: str = ""
    circuit: str | None = None
    supply: str | None = None
    voltage: Volt | None = None
    lowest_voltage: Volt | None = None
    highest_voltage: Volt | None = None
    feed_at: str | None = None
    feed_length: Distance | None = None
    feed_cable: BusCable = BusCable.LIGHT
    cable: BusCable = BusCable.LIGHT
    drop_cable: BusCable = BusCable.LIGHT
    connector: BusConnector = BusConnector.MICRO
    family: str | None = None
    fuse: Amp | None = None
    fuse_each_side: bool = False
    allowed_drop: BusDrop = 1.5
    spare_tees: Annotated[int, Number(least=0, most=100)] = 1
    spare_load_units: Annotated[int, Number(least=0, most=250)] = 1
    tap_at: str | None = None
    nodes: Mapping[str, BusNode] = field(default_factory=FrozenMap)
    built: tuple[BusPart, ...] = ()
    shield_earths: tuple[str, ...] | None = None
    stock: tuple[RunLength, ...] = ()
    plug: Diameter | None = None
    joint_worth: Distance = 1000.0

    def __post_init__(self) -> None:
        if self.circuit is not None and self.supply is not None:
            raise ValueError("both circuit and supply feed the bus; write one of them")
        if self.spare_tees < 0 or self.spare_load_units < 0:
            raise ValueError("spare_tees and spare_load_units must be 0 or more")
        low, high = self.lowest_voltage, self.highest_voltage
        if low is not None and high is not None and low > high:
            raise ValueError(f"lowest_voltage {low:g} V is above highest_voltage {high:g} V; swap them")
        labels = [part.label for part in self.built if part.label]
        if len(set(labels)) != len(labels):
            twice = next(label for label in labels if labels.count(label) > 1)
            raise ValueError(f"label '{twice}' stands on two parts of built; give each part its own")


@dataclass(frozen=True, slots=True, kw_only=True)
class Listener:
    """A device that listens on a serial link; ``current`` is what its input draws."""

    id: str = ""
    name: str = ""
    device: str = ""
    current: Amp | None = None
    terminal_a: str | None = None
    terminal_b: str | None = None

    @property
    def device_id(self) -> str:
        """Id of the project's device."""
        return self.device or self.id


@dataclass(frozen=True, slots=True, kw_only=True)
class SerialLink(Entry, Aboard):
    """One talker and its listeners on a two-wire serial link (IEC 61162-1 or -2).

    Attributes
    ----------
    talker, talker_current
        Device that sends, and the current its output can give.
    standard, baud
        ``IEC 61162-1`` runs at 4800 baud, ``IEC 61162-2`` at 38400; left out, the standard's.
    shield_at
        Device at whose end the shield is connected.
    colour_a, colour_b
        Wires A and B of the pair.
    """

    SECTION: ClassVar[str] = "serial"
    id: str = ""
    name: str = ""
    talker: str
    talker_current: Amp | None = None
    terminal_a: str | None = None
    terminal_b: str | None = None
    listeners: Mapping[str, Listener] = field(default_factory=FrozenMap)
    standard: Literal["IEC 61162-1", "IEC 61162-2"] = "IEC 61162-1"
    baud: Annotated[int, Number(least=300, most=1_000_000)] | None = None
    cable: str | None = None
    twisted: bool | None = None
    shielded: bool | None = None
    shield_at: tuple[str, ...] | None = None
    colour_a: str | None = None
    colour_b: str | None = None
    aboard: Existing | None = None

    def __post_init__(self) -> None:
        if self.baud is not None and self.baud <= 0:
            raise ValueError(f"baud is {self.baud}; write 4800 or 38400, or leave it out")
        if self.colour_a is not None and self.colour_a == self.colour_b:
            raise ValueError(f"wires A and B are both {self.colour_a}; give each its own colour")


@dataclass(frozen=True, slots=True, kw_only=True)
class AntennaLead(Entry, Aboard):
    """The cable from a radio to its antenna.

    Attributes
    ----------
    radio, antenna
        Devices at the two ends.
    cable
        Kind of coaxial cable as the table of kinds names it (``RG-213``).
    attenuation
        Maker's figure in dB per 100 m at ``frequency``, where it is to be used instead of the table.
    connectors, connector_loss
        Number of connections along the lead, both ends counted, and loss of each.
    limit, least_share
        Largest loss, or least share of power radiated; left out, 3 dB.
    length
        Where it is not to be taken from the wireways.
    outer_diameter, bend_radius
        Of the cable, where the table lacks them; ``tightest_bend`` is the smallest bend along the route.
    plug
        Diameter of the largest plug that stays on the lead while it is pulled; left out, plugs are fitted afterwards.
    """

    SECTION: ClassVar[str] = "antennas"
    id: str = ""
    name: str = ""
    radio: str
    antenna: str
    cable: str
    frequency: MegaHertz
    attenuation: Attenuation | None = None
    connectors: Annotated[int, Number(least=0, most=100)] | None = None
    connector_loss: Decibel | None = None
    power: Watt | None = None
    limit: Decibel | None = None
    least_share: Share | None = None
    length: RunLength | None = None
    outer_diameter: Diameter | None = None
    bend_radius: Size | None = None
    tightest_bend: Size | None = None
    plug: Diameter | None = None
    impedance: Ohm = 50.0
    aboard: Existing | None = None

    def __post_init__(self) -> None:
        if self.connectors is not None and self.connectors < 0:
            raise ValueError(f"connectors is {self.connectors}; write how many connections the lead has, 0 or more")
        if self.limit is not None and self.least_share is not None:
            raise ValueError("both limit and least_share are given; write one of them")
        if self.radio == self.antenna:
            raise ValueError(f"radio and antenna are both '{self.radio}'; name the device at each end")
