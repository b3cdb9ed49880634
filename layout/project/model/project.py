"""The project: everything the user declared, typed and frozen."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import replace
from typing import Literal

from layout.findings.finding import Finding, Place, Severity, in_order
from layout.frozen import FrozenMap
from layout.light_dataclass import dataclass, field
from layout.project.model.circuits import CableKind, Circuit
from layout.project.model.device import Device
from layout.project.model.energy import Energy
from layout.project.model.found import FoundWire
from layout.project.model.keys import owner_of
from layout.project.model.network import AntennaLead, InstrumentNetwork, SerialLink
from layout.project.model.panel import Panel
from layout.project.model.rules import Rules
from layout.project.model.signals import Signal
from layout.project.model.supplies import BatterySwitch, BreakerPanel, BusBar, Feeder, Supply
from layout.project.model.wireways import Location, Wireway
from layout.project.model.wishes import Wishes
from layout.project.model.workshop import WiringRules, Workshop


@dataclass(frozen=True, slots=True, kw_only=True)
class TitleBlock:
    """What the title block says (ISO 7200). Dates come from here, never from the clock.

    Attributes
    ----------
    language
        In which findings and documents are written (ISO 639-1, as in the block of ISO 7200): en or de. Names, keys
        and codes stay as they are.
    """

    name: str
    number: str = ""
    owner: str = ""
    drawn_by: str = ""
    approved_by: str = ""
    revision: str = "A"
    date: str = ""
    language: str = "en"
    example: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Boat:
    """What the rules ask about the boat.

    Attributes
    ----------
    hull, fuel
        Material of the hull, and what the engine burns.
    dc_negative
        Whether the DC negative is joined to earth at one place, or insulated from it; left out, a metal hull takes it
        as insulated.
    bonded_parts
        ``none`` where no metal part is to be joined to the main earth.
    """

    hull: Literal["grp", "wood", "metal"] | None = None
    fuel: Literal["diesel", "petrol", "electric", "none"] | None = None
    dc_negative: Literal["earthed", "insulated"] | None = None
    bonded_parts: Literal["none"] | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Project:
    """Everything the user declared.

    Mappings are keyed by the stable id and keep the file's order. ``positions`` tells where each entry stands in the
    files, by dotted path (``devices.radio.body.0.depth``); it takes no part in comparisons.
    """

    spile: Literal[2]
    project: TitleBlock
    boat: Boat = field(default_factory=Boat)
    workshop: Workshop = field(default_factory=Workshop)
    wiring: WiringRules = field(default_factory=WiringRules)
    panels: Mapping[str, Panel] = field(default_factory=FrozenMap)
    devices: Mapping[str, Device] = field(default_factory=FrozenMap)
    rules: Rules = field(default_factory=Rules)
    wishes: Wishes = field(default_factory=Wishes)
    locations: Mapping[str, Location] = field(default_factory=FrozenMap)
    wireways: Mapping[str, Wireway] = field(default_factory=FrozenMap)
    cables: Mapping[str, CableKind] = field(default_factory=FrozenMap)
    supplies: Mapping[str, Supply] = field(default_factory=FrozenMap)
    battery_switches: Mapping[str, BatterySwitch] = field(default_factory=FrozenMap)
    bus_bars: Mapping[str, BusBar] = field(default_factory=FrozenMap)
    breaker_panels: Mapping[str, BreakerPanel] = field(default_factory=FrozenMap)
    feeders: Mapping[str, Feeder] = field(default_factory=FrozenMap)
    circuits: Mapping[str, Circuit] = field(default_factory=FrozenMap)
    switch_states: Mapping[str, Mapping[str, str]] = field(default_factory=FrozenMap)
    """Named switch states: state -> switch id -> position. Empty means every isolator on."""
    short_time_states: tuple[str, ...] = ()
    """Switch states for minutes only; one with a parallel switch or a charging relay closed is one anyway."""
    networks: Mapping[str, InstrumentNetwork] = field(default_factory=FrozenMap)
    serial: Mapping[str, SerialLink] = field(default_factory=FrozenMap)
    signals: Mapping[str, Signal] = field(default_factory=FrozenMap)
    antennas: Mapping[str, AntennaLead] = field(default_factory=FrozenMap)
    energy: Energy | None = None
    as_found: tuple[FoundWire, ...] = ()
    """Wires that are aboard already, mostly from a CSV file that is included."""
    positions: Mapping[str, Place] = field(default_factory=FrozenMap, compare=False, repr=False)

    def place_of(self, key: str) -> Place:
        """Return where an entry stands in the files; of an entry that is not written, its nearest owner that is.

        Parameters
        ----------
        key
            Dotted path such as ``devices.radio.tail.depth``.
        """
        while key and key not in self.positions:
            key = key.rpartition(".")[0]
        return self.positions.get(key, Place())

    def vapour_at(self, location: str | None) -> str:
        """Return what may stand in the air of a named place: petrol, gas, battery gas; empty where nothing does.

        A hot space (an engine space) of a boat with a petrol engine is a petrol space (33 CFR 183.410, ISO 8846); a
        zone that asks for ignition protection without a gas gives the zone's name.
        """
        place = self.locations.get(location or "")
        if place is None:
            return ""
        if place.gas != "none":
            return place.gas
        if place.zone == "hot space" and self.boat.fuel == "petrol":
            return "petrol"
        return place.zone if place.zone == "ignition-protected" else ""

    @property
    def petrol_spaces(self) -> tuple[str, ...]:
        """Names of the hot spaces of a boat with a petrol engine."""
        hot = {key: place for key, place in self.locations.items() if place.zone == "hot space"}
        return tuple(place.name or key for key, place in hot.items() if self.boat.fuel == "petrol")

    def finding(
        self,
        rule: str,
        key: str,
        message: str,
        *,
        remedy: str | None = None,
        measured: float | None = None,
        limit: float | None = None,
        unit: str = "",
        related: Iterable[str] = (),
        subjects: Iterable[str] = (),
        severity: Severity | None = None,
    ) -> Finding:
        """Return a finding about the entry at a dotted key, located in the files.

        Parameters
        ----------
        related
            Dotted keys of other entries that take part.
        subjects
            Other things it concerns; the entry that owns the key is the first one.
        """
        return Finding(
            rule=rule,
            message=message,
            at=self.place_of(key),
            related=tuple(self.place_of(other) for other in related),
            remedy=remedy,
            measured=measured,
            limit=limit,
            unit=unit,
            subjects=tuple(dict.fromkeys((owner_of(key), *subjects))),
            severity=severity,
        )

    def located(self, findings: Iterable[Finding]) -> tuple[Finding, ...]:
        """Return findings of steps that know only keys, in their order, each with its places in the files."""
        return in_order(
            replace(
                finding,
                at=self.place_of(finding.at.key),
                related=tuple(self.place_of(place.key) for place in finding.related),
            )
            for finding in findings
        )

    def on_panel(self, panel: str) -> tuple[Device, ...]:
        """Return the devices that may stand on one panel, in the file's order."""
        return tuple(device for device in self.devices.values() if panel in device.panel)
