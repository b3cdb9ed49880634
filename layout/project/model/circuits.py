"""Circuits: what is fed, from which way, with which conductors."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Annotated, Any, ClassVar, Literal

from layout.frozen import FrozenMap
from layout.light_dataclass import dataclass, field
from layout.project.model.aboard import Aboard, Existing
from layout.project.model.device import Device
from layout.project.model.edge import OneOrMore
from layout.project.model.keys import End, Entry
from layout.project.model.supplies import Protection
from layout.quantity import Amp, Diameter, DropLimit, InsulationCelsius, Number, RunLength, Times, Volt, Watt, WireSize


@dataclass(frozen=True, slots=True, kw_only=True)
class Load:
    """What a circuit feeds. Give ``current`` or ``power``; neither means the load is not known, which is a finding.

    Attributes
    ----------
    current, power
        Rated; power is turned into amperes at the lowest working voltage.
    lowest_voltage, highest_voltage
        Maker's range of working voltage; the lowest None takes 0.9 x nominal.
    motor, inrush, locked_rotor, start_voltage
        Motor facts; ``start_voltage`` is the least voltage at which it starts.
    continuous
        On for hours on end.
    largest_protection
        Largest protective device the maker allows.
    """

    BARE: ClassVar[tuple[str, ...]] = ("current", "power")
    current: Amp | None = None
    power: Watt | None = None
    lowest_voltage: Volt | None = None
    highest_voltage: Volt | None = None
    motor: bool = False
    inrush: Amp | None = None
    locked_rotor: Amp | None = None
    start_voltage: Volt | None = None
    continuous: bool = False
    largest_protection: Amp | None = None

    def __post_init__(self) -> None:
        low, high = self.lowest_voltage, self.highest_voltage
        if low is not None and high is not None and low > high:
            raise ValueError(f"lowest_voltage {low:g} V is above highest_voltage {high:g} V; swap them")
        if self.current is not None:
            for name, amps in (("inrush", self.inrush), ("locked_rotor", self.locked_rotor)):
                if amps is not None and amps < self.current:
                    raise ValueError(f"{name} {amps:g} A is below current {self.current:g} A; check both")


@dataclass(frozen=True, slots=True, kw_only=True)
class Leg(Aboard):
    """One conductor of a circuit that is not a plain pair.

    Attributes
    ----------
    from_, to
        Ends, written ``from`` and ``to``.
    pole
        +, -, L, N, PE, bond, switched (a positive behind a switch), sense, data, antenna.
    shared
        Name of a shared return: legs of several circuits with the same name and ends are one conductor, sized for
        all that can flow together.
    current
        What flows in it; None takes the circuit's load. In a chain it is said on each leg after the first, so that
        the share of each thing is known.
    protection
        Its own protective device where it leaves its source (an always-live feed).
    always_live
        Fed before the main switch.
    """

    id: str = ""
    name: str = ""
    from_: End
    to: End
    pole: Literal["+", "-", "L", "N", "PE", "bond", "switched", "sense", "data", "antenna"] = "+"
    shared: str = ""
    current: Amp | None = None
    protection: Protection | None = None
    always_live: bool = False
    cable: str | None = None
    size: WireSize | None = None
    wireways: tuple[str, ...] = ()
    length: RunLength | None = None
    aboard: Existing | None = None
    old_label: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Circuit(Entry, Aboard):
    """One circuit.

    Attributes
    ----------
    from_
        Written ``from``: ``dc24/7`` (a way), ``dc24`` (spile assigns the way), or a bus bar or supply for an
        always-live one.
    to
        The device (or ``device/terminal``) it feeds.
    purpose
        What it does, for colours and the allowed drop: ``navigation lights``, ``bilge pump``, ``radio``; all are
        listed by ``spile words purposes``. Other words are taken as critical, and a finding says so.
    critical
        Whether the 3 % limit holds; None asks the practice's list by purpose.
    drop_limit
        Own limit as a share of nominal, as in ``5 %``; None takes the practice's.
    legs
        Its conductors; empty means the plain set: + and - on DC, L, N and PE on AC.
    together
        Named set of loads that never run together with others of the same name (a windlass and a thruster).
    via
        In the file only, for direct current: the device with terminals ``in`` and ``out`` that switches its +.
    return
        In the file only, for direct current: the end that its - leads back to; left out, the breaker panel it comes
        from.
    """

    SECTION: ClassVar[str] = "circuits"
    SHORT: ClassVar[Mapping[str, Any]] = {"to": End | Device, "via": str, "return": End}
    id: str = ""
    name: str = ""
    from_: End
    to: End
    purpose: str
    load: Load | None = None
    protection: Protection | None = None
    critical: bool | None = None
    always_live: bool = False
    drop_limit: DropLimit | None = None
    never_with: str = ""
    legs: Mapping[str, Leg] = field(default_factory=FrozenMap)
    cable: str | None = None
    size: WireSize | None = None
    wireways: tuple[str, ...] = ()
    length: RunLength | None = None
    colour: str | None = None
    aboard: Existing | None = None
    old_label: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class CableKind(Entry, Aboard):
    """A kind of cable that can be bought.

    Attributes
    ----------
    cores
        Conductors in one sheath; 1 is a single conductor.
    sizes
        Outer diameter by size: ``{2.5 mm2: 3.8 mm}``. Without it fill can't be worked out, and that is an error there.
    insulation
        Temperature class of the insulation.
    carries
        Class for keeping apart: dc, ac, data, antenna.
    bend_radius
        In outer diameters.
    colours
        In which it is bought (codes or words); empty means any.
    twisted
        Whether its cores are twisted (asked for near a compass).
    plug, plug_removable
        Diameter of the plugs at its ends; whether they come off for pulling. Left out, they stay on and must pass.
    """

    SECTION: ClassVar[str] = "cables"
    id: str = ""
    name: str = ""
    cores: Annotated[int, Number(least=1, most=100)] = 1
    sizes: Mapping[str, Diameter] = field(default_factory=FrozenMap)
    insulation: InsulationCelsius
    sheathed: bool = False
    tinned: bool = True
    twisted: bool = False
    screened: bool = False
    carries: Annotated[tuple[Literal["dc", "ac", "data", "antenna"], ...], OneOrMore()] = ("dc",)
    colours: tuple[str, ...] = ()
    bend_radius: Times | None = None
    plug: Diameter | None = None
    plug_removable: bool | None = None
    reel: RunLength | None = None
    aboard: Existing | None = None
