"""Parts list, counted from the design: devices, supplies, cable, protection, end fittings, bars, wireways, saws."""

from __future__ import annotations

from collections import Counter
from typing import TYPE_CHECKING

from layout.handover.lists.table import Column, Table
from layout.handover.lists.wires.fuse_schedule import FUSES, HOLDERS
from layout.handover.lists.wires.schedule_columns import node_name
from layout.standards.terminals import heat_shrink_mm

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from layout.handover.lists.table import Cell
    from layout.network.networks import Networks
    from layout.project.model.project import Project
    from layout.wiring.result import Wiring

_COLUMNS = (
    Column(key="group", title="Group", width_mm=30),
    Column(key="item", title="Item", width_mm=120),
    Column(key="count", title="Count", digits=2, width_mm=20, align="right"),
    Column(key="unit", title="Unit", width_mm=16),
    Column(key="for", title="For", width_mm=86),
    Column(key="have", title="Have", width_mm=14, align="centre"),
)
LEAST_BREAKING_A = 100.0
"""A fault below this any device breaks: nothing is said of it."""
SPARES = 2
"""Spare fuses of each kind and rating to carry; common practice, no single source."""
CLIP_MM = 450.0
"""Most between two supports of a conductor outside conduits (ABYC E-11, from memory)."""
WIRED_GROUPS = ("Cable", "Protection", "End fitting", "Heat-shrink", "Label")
"""Groups whose counts hang on the wires."""
_SHARE_SPARE = 0.1
"""Spare end fittings, as a share: bad crimps happen. Common practice, no single source."""


def parts_table(
    project: Project, wiring: Wiring | None, saws: Iterable[str] = (), networks: Networks | None = None
) -> Table:
    """Return everything to be bought or laid out.

    Parameters
    ----------
    wiring
        None while nothing is wired yet: devices and wireways are listed all the same.
    saws
        Tools in words that the holes ask for.
    """
    rows = [*_devices(project), *_supplies(project), *_wireways(project)]
    if wiring is not None:
        rows += [*_cable(wiring), *_guards(project, wiring), *_holders(project, wiring)]
        rows += [*_fittings(wiring), *_shrink(wiring), *_labels(wiring)]
    if wiring is not None:
        rows += _small_parts(project, wiring)
    if networks is not None:
        rows += _networks(networks)
    rows += [_row("Tool", saw, 1, "piece", "holes of the panel") for saw in saws]
    rows.sort(key=lambda row: _ORDER.index(str(row["group"])))
    notes = (
        "Counts come from the design; end fittings carry a tenth more, at least one. What is aboard already and stays "
        "is not listed.",
    )
    return Table(name="parts", title="Parts list", columns=_COLUMNS, rows=tuple(rows), notes=notes, group_by="group")


_ORDER = [
    "Device", "Supply", "Bus bar", "Cable", "Network", "Protection", "Spare", "End fitting", "Heat-shrink", "Label",
    "Wireway", "Small part", "Tool",
]  # fmt: skip


def _row(group: str, item: str, count: float, unit: str, why: str) -> dict[str, Cell]:
    return {"group": group, "item": item, "count": count, "unit": unit, "for": why, "have": "☐"}


def _place(project: Project, place: str | None) -> str:
    found = project.locations.get(place or "")
    return (found.name if found else "") or place or ""


def _devices(project: Project) -> Iterator[dict[str, Cell]]:
    bars = {bar.device for bar in project.bus_bars.values() if bar.device}
    for device in project.devices.values():
        if device.is_new and device.id not in bars:
            where = ", ".join(project.panels[panel].name or panel for panel in device.panel if panel in project.panels)
            where = where or _place(project, device.location)
            yield _row("Device", device.name or device.id, 1, "piece", where)
    for bar in project.bus_bars.values():
        if bar.is_new:
            studs = Counter(bar.studs)
            size = ", ".join(f"{count} × {stud}" for stud, count in studs.items())
            rating = f", {bar.rating:g} A" if bar.rating else ""
            yield _row(
                "Bus bar", f"{bar.name or bar.id}{rating}{', with cover' if bar.covered else ''}", 1, "piece", size
            )
    for switch in project.battery_switches.values():
        if switch.is_new:
            rating = f", {switch.rating:g} A" if switch.rating else ""
            yield _row(
                "Device",
                f"{switch.name or switch.id} ({switch.kind}{rating})",
                1,
                "piece",
                _place(project, switch.location),
            )


def _supplies(project: Project) -> Iterator[dict[str, Cell]]:
    """Yield the supplies that no device of the list stands for; a shore supply is not bought."""
    for supply in project.supplies.values():
        if supply.is_new and supply.device is None and supply.kind != "shore":
            sizes = ((supply.capacity, "Ah"), (supply.current, "A"), (supply.power, "W"))
            told = [f"{supply.voltage:g} V", *(f"{size:g} {unit}" for size, unit in sizes if size is not None)]
            item = f"{supply.name or supply.id} ({supply.kind}, {', '.join(told)})"
            yield _row("Supply", item, 1, "piece", _place(project, supply.location))


def _wireways(project: Project) -> Iterator[dict[str, Cell]]:
    for way in project.wireways.values():
        if way.is_new and way.kind in ("conduit", "trunk") and way.length is not None:
            size = f"bore {way.bore:g} mm" if way.bore else ""
            if way.inner:
                size = f"inside {way.inner[0]:g} × {way.inner[1]:g} mm"
            yield _row(
                "Wireway", f"{way.kind}, {size or 'size not stated'}", way.length / 1000, "m", way.name or way.id
            )


def _cable(wiring: Wiring) -> Iterator[dict[str, Cell]]:
    metres: Counter[tuple[str, str, str]] = Counter()
    reels: Counter[tuple[str, str, str]] = Counter()
    for reel in wiring.cut_list.reels:
        key = (reel.cable, reel.size, reel.colour)
        metres[key] += round(sum(piece.length_mm for piece in reel.pieces))
        reels[key] += 1
    for (cable, size, colour), length in metres.items():
        number = reels[(cable, size, colour)]
        words = f"{number} reel{'s' if number > 1 else ''}, see the cut list"
        yield _row("Cable", " ".join(filter(None, (cable or "single core", size, colour))), length / 1000, "m", words)


def _guards(project: Project, wiring: Wiring) -> Iterator[dict[str, Cell]]:
    found: dict[tuple[str, ...], list[str]] = {}
    for guard in wiring.protectors:
        rating = "rating not known" if guard.rating_a is None else f"{guard.rating_a:g} A"
        breaking = ""
        if guard.needed_breaking_a is not None and guard.needed_breaking_a >= LEAST_BREAKING_A:
            breaking = f"breaking capacity at least {guard.needed_breaking_a / 1000:.1f} kA"
        residual = f"{guard.residual_a * 1000:g} mA residual" if guard.residual_a else ""
        poles = f"{guard.poles}-pole" if guard.poles > 1 else ""
        key: tuple[str, ...] = (guard.kind, rating, poles, residual, breaking)
        found.setdefault(key, []).append(guard.where)
    for key in sorted(found):
        places = Counter(found[key])
        named = Counter(node_name(project, place) for place in places.elements())
        words = (f"{place} ({count})" if count > 1 else place for place, count in named.items())
        yield _row("Protection", ", ".join(filter(None, key)), len(found[key]), "piece", ", ".join(words))


def _holders(project: Project, wiring: Wiring) -> Iterator[dict[str, Cell]]:
    """Yield holders of fuses that stand on no way, and the spare fuses to carry."""
    held: Counter[str] = Counter()
    spare: Counter[str] = Counter()
    for guard in wiring.protectors:
        owner, _, terminal = guard.where.partition("/")
        on_way = owner in project.breaker_panels and terminal in project.breaker_panels[owner].ways
        if guard.kind in HOLDERS and not on_way and guard.held_in not in project.devices:
            held[HOLDERS[guard.kind]] += 1
        if guard.kind in FUSES:
            spare[f"{guard.kind} {'rating not known' if guard.rating_a is None else f'{guard.rating_a:g} A'}"] = SPARES
    for item, number in sorted(held.items()):
        yield _row("Protection", item, number, "piece", "beside the sources, see fuses and breakers")
    for item, number in sorted(spare.items()):
        yield _row("Spare", item, number, "piece", "to carry")


def _small_parts(project: Project, wiring: Wiring) -> Iterator[dict[str, Cell]]:
    """Yield blanks for free ways, glands of enclosures and conduits, clips of free runs; screws of devices."""
    free = sum(1 for panel in project.breaker_panels.values() for way in panel.ways.values() if way.free)
    if free:
        yield _row("Small part", "blanking plate for a free way", free, "piece", "breaker panels")
    used = {fill.wireway for fill in wiring.wireways if fill.cables}
    for bore, count in sorted(Counter(
        way.bore for way in project.wireways.values() if way.id in used and way.bore and way.aboard is None
    ).items()):  # fmt: skip
        item = f"bush or gland for a bore of {bore:g} mm"
        yield _row("Small part", item, 2 * count, "piece", "both ends of a conduit")
    runs = [fill.length_mm or 0.0 for fill in wiring.wireways if fill.cables and fill.kind not in ("conduit", "trunk")]
    clips = sum(int(length / CLIP_MM) + 1 for length in runs)
    if clips:
        yield _row("Small part", f"cable clip or tie, one every {CLIP_MM:g} mm at most", clips, "piece", "free runs")
    screws = Counter(
        f"{fixing.kind} {fixing.thread}".strip() + f", hole {fixing.drill:g} mm"
        for device in project.devices.values()
        if device.panel and device.aboard is None
        for fixing in device.fixings
    )
    for kind, count in sorted(screws.items()):
        yield _row("Small part", f"screw for {kind}", count, "piece", "devices, unless they come with their own")


def _networks(networks: Networks) -> Iterator[dict[str, Cell]]:
    """Yield what the instrument networks and antenna leads need."""
    for bus in networks.buses:
        for line in bus.parts:
            length = None if line.length_mm is None else line.length_mm / 1000
            name = line.what if length is None else f"{line.what}, {length:g} m"
            yield _row("Network", name, line.count, "piece", line.note or bus.name)
    for lead in networks.antennas:
        yield _row("Network", f"plugs for {lead.cable or 'its cable'}", 2, "piece", lead.name)


def _fittings(wiring: Wiring) -> Iterator[dict[str, Cell]]:
    count: Counter[str] = Counter()
    unknown: list[str] = []
    for run in wiring.runs:
        if run.aboard == "keep" or run.made:
            continue
        for wire in run.wires:
            for end in (wire.start, wire.end):
                if end.fitting:
                    count[end.fitting] += 1
                else:
                    unknown.append(wire.number)
    for item, number in sorted(count.items()):
        spare = max(1, -(-number * _SHARE_SPARE // 1))
        yield _row("End fitting", item, int(number + spare), "piece", f"{number} ends")
    if unknown:
        names = ", ".join(dict.fromkeys(unknown))
        yield _row("End fitting", "not known: terminal or size is missing", len(unknown), "ends", names)


def _shrink(wiring: Wiring) -> Iterator[dict[str, Cell]]:
    count: Counter[float] = Counter()
    for run in wiring.runs:
        if run.od_mm is None or run.aboard == "keep" or run.made:
            continue
        bore = heat_shrink_mm(run.od_mm)
        if bore is not None:
            count[bore] += 2 * len(run.wires)
    for bore, number in sorted(count.items()):
        words = f"{number} pieces of 40 mm"
        yield _row("Heat-shrink", f"adhesive-lined, 3 : 1, bore {bore:g} mm", number * 0.04, "m", words)


def _labels(wiring: Wiring) -> Iterator[dict[str, Cell]]:
    number = 2 * sum(len(run.wires) for run in wiring.runs)
    yield _row("Label", "wire label", number, "piece", "both ends of every conductor")
