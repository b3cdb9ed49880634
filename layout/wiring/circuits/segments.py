"""Segments: the conductors that a project declares, in plain pairs or leg by leg, before they have a size."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Literal

from layout.light_dataclass import dataclass
from layout.wiring.circuits.ends import LIVE, SOURCE_SIDE, Ends, Site
from layout.wiring.circuits.leg_words import leg_words

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from layout.project.model.aboard import Existing
    from layout.project.model.circuits import Circuit, Leg
    from layout.project.model.project import Project
    from layout.project.model.supplies import Feeder, Protection
    from layout.quantity import WireSize
    from layout.wiring.circuits.network_segments import NetworkCable

SegmentClass = Literal["dc", "ac", "data", "antenna"]
EARTH = frozenset({"PE", "bond"})
DeclaredBy = Literal["circuit", "feeder", "serial", "signal", "network", "antenna"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Lead:
    """One conductor: its pole, its two ends as written and as electrical nodes, and the current declared for it."""

    pole: str
    start: str
    end: str
    start_node: str
    end_node: str
    current_a: float | None = None

    @property
    def live(self) -> bool:
        """Whether it is on the side that protective devices stand in."""
        return self.pole in LIVE


@dataclass(frozen=True, slots=True, kw_only=True)
class WireSegment:
    """Conductors that start and end together and are pulled together.

    Attributes
    ----------
    key
        ``circuits.radio``, ``circuits.bilge:float``, ``feeders.main``, ``shared.mast return``.
    owner
        Dotted key of the circuit or feeder that declares it, for places and subjects.
    circuits
        Circuits whose current it carries; more than one for a shared return.
    protection
        Its own protective device at its start, and (feeders) at its end.
    fed_at, fed_at_end
        End before the device at its start or end, where that has a holder of its own and so a conductor up to it.
    tail_of
        Key of the segment that this one leads to the holder of.
    leg_device
        Dotted key of its protective device, where that is a leg's own and not its owner's.
    laid
        Cable of the networks, whose kind, way and length are settled already.
    """

    key: str
    owner: str
    owner_kind: DeclaredBy
    name: str
    purpose: str
    run_class: SegmentClass
    ac: bool
    nominal_v: float | None
    leads: tuple[Lead, ...]
    circuits: tuple[str, ...] = ()
    cable: str | None = None
    size: WireSize | None = None
    wireways: tuple[str, ...] = ()
    length_mm: float | None = None
    colour: str | None = None
    protection: Protection | None = None
    protection_end: Protection | None = None
    always_live: bool = False
    cranking: bool = False
    made_harness: bool = False
    aboard: Existing | None = None
    old_label: str = ""
    laid: NetworkCable | None = None
    fed_at: str = ""
    fed_at_end: str = ""
    tail_of: str = ""
    leg_device: str = ""

    @property
    def start(self) -> str:
        """End that the first conductor starts from."""
        return self.leads[0].start

    @property
    def is_earth(self) -> bool:
        """Whether it only earths or bonds, and so carries no load."""
        return all(lead.pole in EARTH for lead in self.leads)

    @property
    def carries(self) -> bool:
        """Whether a load's current may flow in it."""
        return self.run_class in ("dc", "ac") and not self.is_earth

    @property
    def end(self) -> str:
        """End that the first conductor goes to."""
        return self.leads[0].end

    def device_key(self, *, at_end: bool) -> str:
        """Return the dotted key of the protective device at an end; legs from one source share their circuit's."""
        return f"{self.owner}.protection_to" if at_end else self.leg_device or f"{self.owner}.protection"

    @property
    def guarded_poles(self) -> frozenset[str]:
        """Poles that its protective devices open: the live ones, with two poles the return too, else the return."""
        poles = {
            lead.pole if lead.pole not in ("switched", "sense") else ("L" if self.ac else "+") for lead in self.leads
        }
        live = poles & LIVE
        two = any(d is not None and d.poles >= 2 for d in (self.protection, self.protection_end))
        returns = poles & {"-", "N"}
        return frozenset(live | (returns if two else set())) if live else frozenset(returns)


def nominal_of(ends: Ends, owner: str) -> float | None:
    """Return the nominal voltage of what a circuit or feeder starts from; None where it is not said."""
    kind = ends.kind(owner)
    if kind not in SOURCE_SIDE or kind is None:
        return None
    found: float | None = getattr(ends.project, kind)[owner].voltage
    return found


def is_ac(ends: Ends, owner: str) -> bool:
    """Tell whether an owner belongs to an AC system."""
    project = ends.project
    if owner in project.supplies:
        return project.supplies[owner].is_ac
    if owner in project.breaker_panels:
        return project.breaker_panels[owner].ac
    return owner in project.bus_bars and project.bus_bars[owner].pole in ("L", "N")


def feeder_segments(ends: Ends) -> Iterator[WireSegment]:
    """Yield one segment for each feeder, in the file's order."""
    for key, feeder in ends.project.feeders.items():
        if feeder.aboard == "remove":
            continue
        yield _feeder(ends, key, feeder)


def _feeder(ends: Ends, key: str, feeder: Feeder) -> WireSegment:
    ac = bool({"L", "N"} & set(feeder.poles))  # an inverter has an AC and a DC side: the poles say which
    nominal = [found for found in (_side_v(ends, owner, ac=ac) for owner in _voltage_order(ends, feeder)) if found]
    return WireSegment(
        key=f"feeders.{key}",
        owner=f"feeders.{key}",
        owner_kind="feeder",
        name=feeder.name or key,
        purpose="panel feeder",
        run_class="ac" if ac else "dc",
        ac=ac,
        nominal_v=nominal[0] if nominal else _beyond_v(ends, key, feeder),
        leads=tuple(make_lead(ends, pole, feeder.from_, feeder.to, feeder.current) for pole in feeder.poles),
        cable=feeder.cable,
        size=feeder.size,
        wireways=feeder.wireways,
        length_mm=feeder.length,
        protection=feeder.protection,
        protection_end=feeder.protection_to,
        always_live=feeder.always_live,
        cranking=feeder.cranking,
        made_harness=feeder.harness is not None,
        aboard=feeder.aboard,
        old_label=feeder.old_label,
    )


def _beyond_v(ends: Ends, key: str, feeder: Feeder) -> float | None:
    """Return the nominal voltage behind a device that a feeder ends on and that joins its terminals (a shunt)."""
    through = {owner for owner in map(ends.owner, (feeder.from_, feeder.to)) if _joins(ends, owner)}
    for other_key, other in ends.project.feeders.items():
        far = [ends.owner(end) for end in (other.from_, other.to)]
        if other_key != key and through & set(far):
            found = next((volts for owner in far if (volts := nominal_of(ends, owner)) is not None), None)
            if found is not None:
                return found
    return None


def _joins(ends: Ends, owner: str) -> bool:
    device = ends.project.devices.get(owner)
    return device is not None and bool(device.joins)


def _side_v(ends: Ends, owner: str, *, ac: bool) -> float | None:
    """Return the nominal voltage of an owner on the AC or DC side; an inverter's DC side has that of what feeds it."""
    supply = ends.project.supplies.get(owner)
    if supply is not None and supply.is_ac and not ac:
        return None if supply.fed_from is None else nominal_of(ends, ends.owner(supply.fed_from))
    return nominal_of(ends, owner)


def _voltage_order(ends: Ends, feeder: Feeder) -> tuple[str, str]:
    """Put the end first whose voltage the conductor has: a converter's input is not at its output's voltage."""
    start, end = ends.owner(feeder.from_), ends.owner(feeder.to)
    return (end, start) if start in ends.project.bus_bars and end in ends.project.breaker_panels else (start, end)


def make_lead(ends: Ends, pole: str, start: str, end: str, current_a: float | None) -> Lead:
    """Return a conductor between two ends as written."""
    return Lead(
        pole=pole,
        start=start,
        end=end,
        start_node=ends.node(start, pole, incoming=False),
        end_node=ends.node(end, pole, incoming=True),
        current_a=current_a,
    )


def circuit_segments(ends: Ends, ways: Mapping[str, str]) -> Iterator[WireSegment]:
    """Yield the segments of all circuits in the file's order.

    Parameters
    ----------
    ways
        Way by circuit id (``dist24/7``) where the circuit starts at a distribution panel.
    """
    shared: set[str] = set()
    for key, circuit in ends.project.circuits.items():
        if circuit.aboard == "remove":
            continue
        start = ways.get(key, circuit.from_)
        if circuit.legs:
            yield from _by_legs(ends, key, circuit, start, shared)
        else:
            yield _plain(ends, key, circuit, start)


def _base(ends: Ends, key: str, circuit: Circuit, start: str) -> WireSegment:
    owner = ends.owner(start)
    ac = is_ac(ends, owner)
    panels = ends.project.breaker_panels
    return WireSegment(
        key=f"circuits.{key}",
        owner=f"circuits.{key}",
        owner_kind="circuit",
        name=circuit.name or key,
        purpose=circuit.purpose,
        run_class="ac" if ac else "dc",
        ac=ac,
        nominal_v=nominal_of(ends, owner),
        leads=(),
        circuits=(key,),
        cable=circuit.cable,
        size=circuit.size,
        wireways=circuit.wireways,
        length_mm=circuit.length,
        colour=circuit.colour,
        protection=circuit.protection,
        always_live=circuit.always_live or (owner in panels and panels[owner].always_live),
        aboard=circuit.aboard,
        old_label=circuit.old_label,
    )


def _plain(ends: Ends, key: str, circuit: Circuit, start: str) -> WireSegment:
    base = _base(ends, key, circuit, start)
    poles = ("L", "N", "PE") if base.ac else ("+", "-")
    leads = [make_lead(ends, poles[0], start, circuit.to, None)]
    returns = ((pole, return_end(ends, start, pole, base.nominal_v)) for pole in poles[1:])
    leads += [make_lead(ends, pole, end, circuit.to, None) for pole, end in returns]
    return replace(base, leads=tuple(leads))


def return_end(ends: Ends, start: str, pole: str, nominal_v: float | None) -> str:
    """Return the end that a circuit's return goes to.

    A distribution panel and a supply have their own; a bus bar or switch takes the nearest bar of that pole: same
    device, else same place, else the first of its voltage, else the first of any; without a bar, the first supply.
    """
    owner = ends.owner(start)
    if ends.kind(owner) in ("breaker_panels", "supplies"):
        return owner
    site = ends.site(owner)
    bars = [key for key, bar in ends.project.bus_bars.items() if bar.pole == pole]
    if bars:
        return min(bars, key=lambda key: _farness(ends, key, site, nominal_v))
    supplies = [key for key, supply in ends.project.supplies.items() if supply.voltage == nominal_v]
    return supplies[0] if supplies else owner


def _farness(ends: Ends, bar: str, site: Site, nominal_v: float | None) -> tuple[bool, bool, bool]:
    there = ends.site(bar)
    return (
        site.panel is None or there.panel != site.panel,
        site.location is None or there.location != site.location,
        ends.project.bus_bars[bar].voltage != nominal_v,
    )


def _by_legs(ends: Ends, key: str, circuit: Circuit, start: str, shared: set[str]) -> Iterator[WireSegment]:
    base = _base(ends, key, circuit, start)
    groups: dict[tuple[str, ...], list[tuple[str, Leg]]] = {}
    for leg_id, leg in circuit.legs.items():
        if leg.aboard == "remove" or (leg.shared and leg.shared in shared):
            continue
        if leg.shared:
            shared.add(leg.shared)
        groups.setdefault(_together(ends.project, circuit, leg_id, leg), []).append((leg_id, leg))
    for legs in groups.values():
        leg_id, leg = legs[0]
        users = _users(ends.project, leg) if leg.shared else (key,)
        yield replace(
            base,
            key=f"shared.{leg.shared}" if leg.shared else f"circuits.{key}:{leg_id}",
            name=leg.shared or f"{base.name}, {leg_words(ends, [one for _, one in legs])}",
            run_class=leg.pole if leg.pole in ("data", "antenna") else base.run_class,
            leads=tuple(_leg_lead(ends, start, one) for _, one in legs),
            circuits=users,
            cable=leg.cable or circuit.cable,
            size=leg.size or circuit.size,
            wireways=leg.wireways or circuit.wireways,
            length_mm=leg.length if leg.length is not None else circuit.length,
            colour=circuit.colour if leg.pole in LIVE else None,
            protection=leg.protection or (circuit.protection if _from_source(ends, leg, start) else None),
            always_live=leg.always_live or base.always_live,
            aboard=leg.aboard or circuit.aboard,
            old_label=leg.old_label or circuit.old_label,
            leg_device=f"{base.owner}.legs.{leg_id}.protection" if leg.protection else "",
        )


def _leg_lead(ends: Ends, start: str, leg: Leg) -> Lead:
    """Make a leg's conductor; a leg from a panel whose way spile assigned starts at that way."""
    owner = ends.owner(start)
    from_ = start if leg.from_ == owner and leg.pole in LIVE else leg.from_
    return make_lead(ends, leg.pole, from_, leg.to, leg.current)


def _from_source(ends: Ends, leg: Leg, start: str) -> bool:
    return leg.pole in LIVE and ends.owner(leg.from_) == ends.owner(start)


def _together(project: Project, circuit: Circuit, leg_id: str, leg: Leg) -> tuple[str, ...]:
    """Group legs that lie in one multi-core cable: same ends, same cable, same route."""
    cable = leg.cable or circuit.cable
    kind = project.cables.get(cable) if cable else None
    if kind is None or kind.cores == 1 or leg.shared:
        return (leg_id,)
    ends = sorted((leg.from_.partition("/")[0], leg.to.partition("/")[0]))
    return ("", *ends, cable or "", *leg.wireways)


def _users(project: Project, leg: Leg) -> tuple[str, ...]:
    return tuple(
        key
        for key, circuit in project.circuits.items()
        if circuit.aboard != "remove" and any(other.shared == leg.shared for other in circuit.legs.values())
    )
