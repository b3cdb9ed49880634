"""The graph of one project: all that it declares, existing and planned, as terminals and what joins them."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace
from typing import TYPE_CHECKING, cast

from layout.frozen import FrozenMap
from layout.project.model.supplies import Way
from layout.wiring.circuits.supply_graph import root_of
from layout.wiring.system.consumers import consumers
from layout.wiring.system.device_joins import joins_inside
from layout.wiring.system.graph import (
    Conductor,
    Guard,
    Join,
    Pole,
    PowerSource,
    System,
)
from layout.wiring.system.switching import changeover_contacts, switch_contacts, switch_states
from layout.wiring.system.terminals import Terminals

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping

    from layout.project.model.supplies import Protection, Supply
    from layout.wiring.circuits.ends import Ends
    from layout.wiring.circuits.segments import Lead, WireSegment

LIMITED_KINDS = ("converter", "charger", "alternator", "solar", "inverter", "generator")
"""Kinds of source whose maker's limit counts; a battery or the shore drives whatever is asked."""


def build_system(
    ends: Ends,
    segments: Iterable[WireSegment],
    *,
    ways: Mapping[str, str],
    draws: Mapping[str, float | None],
) -> System:
    """Return the electrical system of a project, before anything has a size; ``laid_out`` puts sizes in.

    Parameters
    ----------
    segments
        All conductors that are declared, feeders and circuits.
    ways
        Way by circuit id, ``dist24/7``, where the circuit hangs on a breaker panel.
    draws
        Design current by dotted key: ``circuits.radio``, and ``supplies.charger`` for its input; None is unknown.
    """
    return _Builder(ends, tuple(segments), ways, draws).system()


class _Builder:
    """One graph while it is put together."""

    def __init__(
        self,
        ends: Ends,
        segments: tuple[WireSegment, ...],
        ways: Mapping[str, str],
        draws: Mapping[str, float | None],
    ) -> None:
        self.ends, self.project = ends, ends.project
        self.segments, self.ways, self.draws = segments, ways, draws
        self.terminals = Terminals(ends)
        self.conductors: list[Conductor] = []
        self.guards: list[Guard] = []
        self.joins: list[Join] = []
        self.written: Counter[str] = Counter()  # how many conductors of a segment and pole there are
        self.behind: dict[str, str] = {}  # device key and pole -> point behind it, for legs that share a device

    def system(self) -> System:
        sources = tuple(source for key, supply in self._aboard("supplies") for source in self._outputs(key, supply))
        for key, _ in self._aboard("breaker_panels"):
            self._panel(key)
        for segment in self.segments:
            if segment.run_class in ("dc", "ac") or any(lead.pole in ("data", "antenna") for lead in segment.leads):
                self._segment(segment)
        self.joins += self._common_negatives()
        self.joins += joins_inside(self.terminals, self.conductors, self.ends)
        taking, tails = consumers(self.ends, self.terminals, self.conductors, self.draws)
        self.conductors += tails
        contacts = (
            *switch_contacts(self.terminals, self.conductors, self.project),
            *changeover_contacts(self.terminals, self.project),
        )
        signals = tuple(self._signals())
        return System(
            nodes=self.terminals.nodes,
            conductors=tuple(self.conductors),
            guards=tuple(self.guards),
            contacts=contacts,
            joins=tuple(self.joins),
            consumers=taking,
            sources=sources,
            states=switch_states(self.project, self.segments),
            place_names=FrozenMap({key: place.name or key for key, place in self.project.locations.items()}),
            petrol_spaces=self.project.petrol_spaces,
            signals=signals,
        )

    def _aboard(self, section: str) -> list[tuple[str, object]]:
        return [(key, entry) for key, entry in getattr(self.project, section).items() if entry.aboard != "remove"]

    # --- supplies, panels, switches ---------------------------------------------------------------------------------

    def _outputs(self, key: str, entry: object) -> list[PowerSource]:
        """Return a source, or one for each of a charger's outputs."""
        supply = cast("Supply", entry)
        first = self._source(key, supply)
        further = [
            replace(
                first,
                key=f"{key}/{post}",
                name=f"{first.name}, output {post[1:]}",
                live=self.terminals.post(key, post),
            )
            for post in supply.live_posts[1:]
        ]
        return [first, *further]

    def _source(self, key: str, supply: Supply) -> PowerSource:
        output = supply.current
        if output is None and supply.power is not None:
            output = supply.power / supply.voltage
        limits = supply.kind in LIMITED_KINDS and supply.self_limiting
        live, back = ("L", "N") if supply.is_ac else ("+", "-")
        fed = self.terminals.owner(supply.fed_from) if supply.fed_from else ""
        if supply.fed_from and fed in self.project.breaker_panels and "/" in supply.fed_from:
            fed = f"{fed}/{supply.fed_from.partition('/')[2]}"
        return PowerSource(
            key=key,
            entry=f"supplies.{key}",
            name=supply.name or key,
            kind=supply.kind,
            live=self._own_post(key, live),
            back=self._own_post(key, back),
            earth=self.terminals.post(key, "PE") if supply.is_ac else None,
            limit_a=output if limits else None,
            output_a=output,
            nominal_v=supply.voltage,
            lowest_v=supply.lowest_voltage,
            highest_v=supply.highest_voltage,
            frequency_hz=supply.frequency,
            ohm=supply.resistance,
            fault_a=supply.fault_current,
            cranking_a=supply.cold_cranking,
            chemistry=supply.chemistry,
            capacity_ah=supply.capacity,
            neutral_bond=supply.neutral_bond,
            polarized=supply.polarized,
            isolated=supply.isolated,
            array_w=self._array_w(key, supply),
            open_circuit_v=supply.open_circuit_voltage,
            highest_input_v=supply.highest_input,
            fed_by=fed,
        )

    def _own_post(self, key: str, post: str) -> str:
        """Return where a source's current comes from: its post, or what lies before its own changeover."""
        return self.terminals.post(key, root_of(self.project, key, post).removeprefix(f"{key}/"))

    def _array_w(self, key: str, supply: Supply) -> float | None:
        """Return the peak power of a controller's panels: what it says, or what the day's energy rests on if more."""
        charging = self.project.energy.charging if self.project.energy is not None else {}
        peaks = [entry.peak for name, entry in charging.items() if (entry.supply or name) == key]
        return max((watts for watts in (supply.array_power, *peaks) if watts is not None), default=None)

    def _panel(self, key: str) -> None:
        panel = self.project.breaker_panels[key]
        live: Pole = "L" if panel.ac else "+"
        back: Pole = "N" if panel.ac else "-"
        feed = self.terminals.at(key, live, alone=False, incoming=True)
        bar = self.terminals.panel_bar(key)
        entry = f"breaker_panels.{key}"
        if panel.main is None:
            self.joins.append(Join(a=feed, b=bar, owner=key, rating_a=panel.rating))
        else:
            name = f"main device of {panel.name or key}"
            self._guard(f"{entry}.main", panel.main, name, (feed, bar), live)
            if panel.main.poles >= 2:
                at_feed = self.terminals.panel_return(key, back, behind_main=False)
                at_bar = self.terminals.panel_return(key, back, behind_main=True)
                self._guard(f"{entry}.main", panel.main, name, (at_feed, at_bar), back)
        returns = self.terminals.panel_return(key, back, behind_main=True)
        for way_id, way in panel.ways.items():
            name = f"way {way_id} of {panel.name or key}"
            self._guard(f"{entry}.ways.{way_id}", way, name, (bar, self.terminals.way(key, way_id)), live)
            if way.poles >= 2:
                second = self.terminals.way(key, way_id, second=True)
                self._guard(f"{entry}.ways.{way_id}", way, name, (returns, second), back)

    def _guard(self, key: str, device: Protection | Way, name: str, between: tuple[str, str], pole: Pole) -> None:
        """Add one pole of a device; a way stands where its panel does, another may be said to stand elsewhere."""
        stands = self.terminals.node(between[0])
        place = None if isinstance(device, Way) else device.location
        shields = stands.ignition_protected if isinstance(device, Way) else device.ignition_protected
        self.guards.append(
            Guard(
                key=f"{key} {pole}",
                device=key,
                entry=key,
                name=name,
                a=between[0],
                b=between[1],
                pole=pole,
                kind=device.kind,
                rating_a=device.rating,
                poles=device.poles,
                residual_a=device.residual,
                trips_at=device.trips_at,
                breaking_a=device.breaking_capacity,
                voltage=device.voltage,
                location=place or stands.location,
                vapour=self.project.vapour_at(place) if place else stands.vapour,
                ignition_protected=shields,
            )
        )

    def _common_negatives(self) -> list[Join]:
        """Return the joins of input and output return in each converter that its maker does not call isolated."""
        met = {node.key for node in self.terminals.nodes}
        return [
            Join(a=f"{key}/in-", b=self.terminals.post(key, "-"), owner=key)
            for key, supply in self.project.supplies.items()
            if f"{key}/in-" in met and not supply.isolated
        ]

    # --- conductors --------------------------------------------------------------------------------------------------

    def _segment(self, segment: WireSegment) -> None:
        whole = len(segment.leads) == 1 or segment.key.startswith("shared.")
        by_leg = segment.owner_kind == "circuit" and bool(self._circuit_legs(segment))
        group = segment.key if segment.key.startswith("shared.") else segment.owner
        way = self.ways.get(segment.circuits[0], "").partition("/")[2] if segment.circuits else ""
        for lead in segment.leads:
            pole = self._pole(segment, lead)
            alone = whole or by_leg
            start = self.terminals.at(lead.start, pole, alone=alone, incoming=False, group=group, way=way)
            end = self.terminals.at(lead.end, pole, alone=alone, incoming=True, group=group, way=way)
            key = f"{segment.key} {lead.pole}"
            self.written[key] += 1
            conductor = Conductor(
                key=key if self.written[key] == 1 else f"{key} #{self.written[key]}",
                segment=segment.key,
                entry=segment.owner,
                name=segment.name if whole else f"{segment.name}, {lead.pole}",
                start=start,
                end=end,
                pole=pole,
                length_mm=segment.length_mm,
                size_given=segment.size is not None,
                said_a=lead.current_a,
                always_live=segment.always_live,
                cranking=segment.cranking,
                made_harness=segment.made_harness,
                aboard=segment.aboard,
                circuits=segment.circuits,
            )
            self._lay(segment, conductor)

    def _signals(self) -> Iterator[Conductor]:
        """Yield the cores of signal cables and serial pairs, each from terminal to terminal as written."""
        for segment in self.segments:
            if segment.owner_kind in ("signal", "serial"):
                for lead in segment.leads:
                    start, end = (
                        self.terminals.at(written, "data", alone=True, incoming=False)
                        for written in (lead.start, lead.end)
                    )
                    yield Conductor(
                        key=f"{segment.key} {lead.pole}",
                        segment=segment.key,
                        entry=segment.owner,
                        name=f"{segment.name}, {lead.pole}",
                        start=start,
                        end=end,
                        pole="data",
                        aboard=segment.aboard,
                    )

    def _circuit_legs(self, segment: WireSegment) -> object:
        circuit = self.project.circuits.get(segment.circuits[0]) if segment.circuits else None
        return circuit.legs if circuit is not None else None

    def _pole(self, segment: WireSegment, lead: Lead) -> Pole:
        """Return a conductor's pole; one behind a switch is live, a sense wire has that of what it starts at."""
        if lead.pole == "switched":
            return "L" if segment.ac else "+"
        if lead.pole == "sense":
            for end in (lead.start, lead.end):
                owner, _, written = end.partition("/")
                bar = self.project.bus_bars.get(owner)
                if bar is not None:
                    return bar.pole
                if written in ("-", "N"):
                    return cast("Pole", written)
            return "L" if segment.ac else "+"
        return cast("Pole", lead.pole)

    def _lay(self, segment: WireSegment, conductor: Conductor) -> None:
        """Add a conductor, split by the devices at its ends into tail, device and rest."""
        if segment.tail_of:
            device = segment.protection or segment.protection_end
            tail = replace(conductor, is_tail=True, enclosed=device.enclosed if device else None)
            self.conductors.append(tail)
            return
        guarded = segment.guarded_poles
        if segment.protection is not None and conductor.pole in guarded:
            conductor = self._split(segment, conductor, segment.protection, at_end=False)
        if segment.protection_end is not None and conductor.pole in guarded:
            conductor = self._split(segment, conductor, segment.protection_end, at_end=True)
        self.conductors.append(conductor)

    def _split(self, segment: WireSegment, conductor: Conductor, device: Protection, *, at_end: bool) -> Conductor:
        key = segment.device_key(at_end=at_end)
        post = conductor.end if at_end else conductor.start
        if segment.fed_at_end if at_end else segment.fed_at:
            self._in_holder(key, device, conductor, post)
            return conductor
        owner = self.terminals.owner(segment.end if at_end else segment.start)
        once = f"{key} {conductor.pole} {post}"
        if once not in self.behind:
            before = self.terminals.inner(f"{key} {conductor.pole} fed", owner, conductor.pole)
            after = self.terminals.inner(f"{key} {conductor.pole}", owner, conductor.pole)
            side = " end" if at_end else ""
            tail = replace(
                conductor,
                key=f"{conductor.key} tail{side}",
                name=f"{conductor.name}, up to its device",
                start=before if at_end else post,
                end=post if at_end else before,
                is_tail=True,
                tail_mm=device.from_source,
                enclosed=device.enclosed,
                length_mm=device.from_source,
            )
            self.conductors.append(tail)
            self._guard(key, device, f"device of {conductor.name}", (before, after), conductor.pole)
            self.behind[once] = after
        after = self.behind[once]
        return replace(conductor, end=after) if at_end else replace(conductor, start=after)

    def _in_holder(self, key: str, device: Protection, conductor: Conductor, post: str) -> None:
        """Add a device between the terminals of its holder, once for the conductors that leave it together."""
        once = f"{key} {conductor.pole} {post}"
        if once not in self.behind:
            self.behind[once] = post
            end = post.replace("/out", "/in", 1)
            fed = self.terminals.at(end, conductor.pole, alone=True, incoming=True)
            self._guard(key, device, f"device of {conductor.name}", (fed, post), conductor.pole)
