"""What the user declares about the day's energy and about heat behind a panel. ``None`` is unknown, never zero."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Annotated, Any, ClassVar, Literal

from layout.frozen import FrozenMap
from layout.light_dataclass import dataclass, field
from layout.project.model.edge import OneOrMore
from layout.project.model.keys import Entry
from layout.quantity import (
    Amp,
    AmpHour,
    AreaMm2,
    Celsius,
    Hours,
    Ratio,
    RestAmp,
    RestWatt,
    Share,
    Size,
    Volt,
    Watt,
    WattHour,
)

_SPAN = re.compile(r"\s*([01]?\d|2[0-4]):([0-5]\d)\s*(?:-|–|to)\s*([01]?\d|2[0-4]):([0-5]\d)\s*$")


def span_hours(text: str) -> tuple[float, float]:
    """Read a span of the day, ``20:00-06:00``, as hours since midnight; the end may be smaller than the start.

    Raises
    ------
    ValueError
        If it is no span, or an empty one.
    """
    match = _SPAN.match(text)
    if match is None:
        raise ValueError(f"'{text}' is no span of the day; write it like 20:00-06:00")
    start, end = int(match[1]) + int(match[2]) / 60, int(match[3]) + int(match[4]) / 60
    if max(start, end) > 24:
        raise ValueError(f"'{text}' goes past 24:00")
    if start == end:
        raise ValueError(f"'{text}' is empty; write 00:00-24:00 for the whole day")
    return start, end


def _day(name: str, hours: float | None, between: tuple[str, ...]) -> None:
    if hours is not None and hours > 24:
        raise ValueError(f"{name} is {hours:g} h; a day has 24 h")
    total = sum((end - start) % 24 or 24.0 for start, end in map(span_hours, between))
    if total > 24 + 1e-9:
        raise ValueError(f"the spans in between come to {total:g} h; a day has 24 h")
    if hours is not None and between and hours > total + 1e-9:
        raise ValueError(f"{name} is {hours:g} h, but the spans in between only come to {total:g} h")


@dataclass(frozen=True, slots=True, kw_only=True)
class Use:
    """How one circuit is used in a situation.

    Attributes
    ----------
    hours
        Hours a day it draws its working current; left out, the whole of ``between``.
    between
        Spans of the day in which it runs, ``20:00-06:00``; left out, the hours are spread over the whole day.
    duty
        Share of those hours it really draws (a fridge's compressor).
    current, power
        Average draw while it runs, where that differs from the circuit's loads.
    standby
        Current in the rest of the day.
    """

    BARE: ClassVar[tuple[str, ...]] = ("hours", "between")
    id: str = ""
    name: str = ""
    hours: Hours | None = None
    between: Annotated[tuple[str, ...], OneOrMore()] = ()
    duty: Ratio = 1.0
    current: RestAmp | None = None
    power: RestWatt | None = None
    standby: RestAmp | None = None

    def __post_init__(self) -> None:
        if self.hours is None and not self.between:
            raise ValueError("neither hours nor between is given; write hours: 0 h for a load that stays off")
        if self.current is not None and self.power is not None:
            raise ValueError("both current and power are given; write one of them")
        _day("hours", self.hours, self.between)


@dataclass(frozen=True, slots=True, kw_only=True)
class Running:
    """How long a source works in a situation, and when."""

    BARE: ClassVar[tuple[str, ...]] = ("hours", "between")
    id: str = ""
    name: str = ""
    hours: Hours | None = None
    between: Annotated[tuple[str, ...], OneOrMore()] = ()

    def __post_init__(self) -> None:
        if self.hours is None and not self.between:
            raise ValueError("neither hours nor between is given; write hours: 0 h for a source that rests")
        _day("hours", self.hours, self.between)


@dataclass(frozen=True, slots=True, kw_only=True)
class Situation(Entry):
    """A named kind of day: at anchor, under way, in harbour.

    Attributes
    ----------
    uses
        By circuit id. A circuit that is not listed is a finding, never a zero.
    off
        Circuits that stay off all day, and charging sources that bring nothing.
    sources
        By id of the charging source: how long it works, or when the sun shines on it.
    autonomy
        Time the banks must last in this situation with no source working; left out, what each bank says.
    rest
        In the file only: ``off`` puts every circuit and charging source that is neither used nor listed among what is
        off.
    """

    SECTION: ClassVar[str] = "energy.situations"
    SHORT: ClassVar[Mapping[str, Any]] = {"rest": Literal["off"]}
    id: str = ""
    name: str = ""
    uses: Mapping[str, Use] = field(default_factory=FrozenMap)
    off: tuple[str, ...] = ()
    sources: Mapping[str, Running] = field(default_factory=FrozenMap)
    autonomy: Hours | None = None

    def __post_init__(self) -> None:
        for name in self.off:
            for where in ("uses", "sources"):
                if name in getattr(self, where):
                    raise ValueError(f"'{name}' is both in {where} and in off; write it in one of them")


@dataclass(frozen=True, slots=True, kw_only=True)
class ChargingSource(Entry):
    """What a source brings.

    Attributes
    ----------
    kind
        ``solar`` (energy a day, or peak power and equivalent sun hours), ``alternator`` and ``charger`` (current at
        the bank's voltage, for the hours of a situation), ``other`` (energy a day).
    supply
        Id of the project's supply; left out, the yield's own id.
    bank
        Id of the bank it charges; may stay out where there is only one.
    efficiency
        Of a regulator, dirt and cable between the source's rating and the bank.
    """

    SECTION: ClassVar[str] = "energy.charging"
    id: str = ""
    name: str = ""
    kind: Literal["solar", "alternator", "charger", "other"]
    supply: str = ""
    bank: str | None = None
    energy_per_day: WattHour | None = None
    peak: Watt | None = None
    sun_hours: Hours | None = None
    current: Amp | None = None
    efficiency: Share | None = None

    def __post_init__(self) -> None:
        if self.energy_per_day is not None and (self.peak is not None or self.current is not None):
            raise ValueError("energy_per_day stands beside peak or current; write one way of saying the yield")
        if self.kind != "solar" and (self.peak is not None or self.sun_hours is not None):
            raise ValueError(f"peak and sun_hours are for kind: solar, not {self.kind}")
        if self.kind == "solar" and self.current is not None:
            raise ValueError("a solar yield is energy_per_day, or peak and sun_hours; leave out current")
        if self.sun_hours is not None and self.sun_hours > 24:
            raise ValueError(f"sun_hours is {self.sun_hours:g} h; a day has 24 h")


@dataclass(frozen=True, slots=True, kw_only=True)
class Bank(Entry):
    """What is asked of a battery bank.

    Attributes
    ----------
    supply
        Id of the project's supply; left out, the entry's own id.
    capacity, voltage
        Where the supply does not say them.
    usable
        Allowed depth of discharge.
    health
        Share of the rated capacity that is left.
    autonomy
        Time the bank must last with no source working.
    charge_efficiency
        Energy out over energy in.
    largest_charge
        Largest charging current the bank takes.
    """

    SECTION: ClassVar[str] = "energy.banks"
    id: str = ""
    name: str = ""
    supply: str = ""
    capacity: AmpHour | None = None
    voltage: Volt | None = None
    usable: Share | None = None
    health: Share = 1.0
    autonomy: Hours | None = None
    charge_efficiency: Share | None = None
    largest_charge: Amp | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Conversion(Entry):
    """A converter, inverter or charger between two systems, as the energy sheet sees it.

    Attributes
    ----------
    supply
        Id of the project's supply that is the converter's output; left out, the entry's own id.
    source
        Id of the supply that feeds it, where the supply does not say it.
    efficiency
        Energy out over energy in at working load.
    standby
        Power it takes with no load, all day unless ``standby_hours`` is given.
    rating
        Largest continuous output.
    """

    SECTION: ClassVar[str] = "energy.conversions"
    id: str = ""
    name: str = ""
    supply: str = ""
    source: str | None = None
    efficiency: Share | None = None
    standby: RestWatt | None = None
    standby_hours: Hours = 24.0
    rating: Watt | None = None

    def __post_init__(self) -> None:
        if self.efficiency == 0:
            raise ValueError("efficiency is 0 %; write what the converter's paper says, for example 90 %")


@dataclass(frozen=True, slots=True, kw_only=True)
class Heat(Entry):
    """The closed space behind one panel.

    Attributes
    ----------
    ambient, limit
        Air around the space in the worst case, and the warmest the inside may get.
    surface
        Area of the walls that give off heat to free air.
    metal
        Whether these walls are sheet metal; left out, they are reckoned as wood or plastic.
    vent_area, vent_height
        Free area of the upper (or the lower, if smaller) opening, and the height between the two openings.
    watts
        Dissipation by device id; a device left out is a finding.
    cool
        Devices that give off next to nothing.
    """

    SECTION: ClassVar[str] = "energy.heat"
    id: str = ""
    name: str = ""
    ambient: Celsius | None = None
    limit: Celsius | None = None
    surface: AreaMm2 | None = None
    metal: bool = False
    vent_area: AreaMm2 | None = None
    vent_height: Size | None = None
    watts: Mapping[str, RestWatt] = field(default_factory=FrozenMap)
    cool: tuple[str, ...] = ()

    def __post_init__(self) -> None:
        if (self.vent_area is None) != (self.vent_height is None):
            raise ValueError("vent_area and vent_height go together: area of one opening, height between the two")
        if self.ambient is not None and self.limit is not None and self.limit <= self.ambient:
            raise ValueError(f"limit {self.limit:g} °C is not above ambient {self.ambient:g} °C")


@dataclass(frozen=True, slots=True, kw_only=True)
class Energy:
    """Everything declared for the energy sheet and the heat behind the panels."""

    situations: Mapping[str, Situation] = field(default_factory=FrozenMap)
    charging: Mapping[str, ChargingSource] = field(default_factory=FrozenMap)
    banks: Mapping[str, Bank] = field(default_factory=FrozenMap)
    conversions: Mapping[str, Conversion] = field(default_factory=FrozenMap)
    heat: Mapping[str, Heat] = field(default_factory=FrozenMap)
