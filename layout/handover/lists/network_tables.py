"""Tables of an instrument bus, of serial links and of antenna leads."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from layout.findings import Severity
from layout.handover.lists.table import Cell, Column, Table
from layout.network.laid_cables import antenna_key, drop_key, piece_keys

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from layout.findings import Finding
    from layout.network.antenna import AntennaPlan
    from layout.network.bus import BusPlan
    from layout.network.serial import SerialPlan
    from layout.project.model.project import Project
    from layout.wiring.result import Wiring

WORST_CASE = (
    "Worst case decides: 0.069 ohm/m for light, 0.015 ohm/m for mid and heavy cable and 0.005 ohm a tap, each"
    " conductor (IEC 62026-3, full calculation). Nominal is only shown: 0.057, 0.0138 and 0.0118 ohm/m."
)


def _metres(length_mm: float | None) -> float | None:
    return None if length_mm is None else length_mm / 1000


def _column(key: str, title: str, unit: str = "", *, digits: int = 2, width_mm: float = 16.0) -> Column:
    return Column(key=key, title=title, unit=unit, digits=digits, width_mm=width_mm, align="right")


def _wrong(findings: Iterable[Finding], subject: str) -> bool:
    return any(f.weight is Severity.STOP and f.subjects and f.subjects[0] == subject for f in findings)


def voltage_table(plan: BusPlan, wiring: Wiring) -> Table:
    """Return the voltage at each device at the lowest feed; what is not known stays open."""
    assembly = plan.assembly
    found = {row.node: row for row in plan.voltages}
    drops = {drop.node: drop for drop in assembly.drops}
    numbers = {run.key: run.number for run in wiring.runs}
    rows: list[Mapping[str, Cell]] = []
    faulty = set()
    for number, (id_, device) in enumerate(assembly.devices.items()):
        volts, drop = found.get(id_), drops.get(id_)
        rows.append(
            {
                "device": device.name,
                "tee": drop.part if drop is not None else None,
                "number": numbers.get(drop_key(plan.id, id_)) if drop is not None else None,
                "drop_m": _metres(drop.length_mm) if drop is not None else None,
                "lens": device.load_units,
                "current_a": device.load_a,
                "own": "own" if device.own else "bus",
                "fall_v": volts.fall_v if volts is not None else None,
                "voltage_v": volts.voltage_v if volts is not None else None,
                "nominal_v": volts.voltage_nominal_v if volts is not None else None,
            }
        )
        if _wrong(plan.findings, f"devices.{device.device}"):
            faulty.add(number)
    low = assembly.feed.lowest_v
    head = f"At the head of the feed: {low:g} V at the lowest charge." if low is not None else "Lowest feed not known."
    return Table(
        name=f"bus_{plan.id}_voltage",
        title=f"{plan.name}: voltage at each device",
        columns=(
            Column(key="device", title="Device", width_mm=44),
            Column(key="tee", title="Tee", width_mm=12),
            Column(key="number", title="Drop cable", width_mm=18),
            _column("drop_m", "Drop", "m"),
            _column("lens", "LEN", digits=0, width_mm=12),
            _column("current_a", "Current", "A"),
            Column(key="own", title="Power", width_mm=14),
            _column("fall_v", "Fall", "V", digits=3),
            _column("voltage_v", "Worst case", "V", digits=3, width_mm=20),
            _column("nominal_v", "Nominal", "V", digits=3, width_mm=18),
        ),
        rows=tuple(rows),
        faulty=frozenset(faulty),
        notes=(head, WORST_CASE),
    )


def pieces_table(plan: BusPlan, wiring: Wiring) -> Table:
    """Return the backbone piece by piece, from one end to the other, the feed first."""
    assembly, keys = plan.assembly, piece_keys(plan)
    numbers = {run.key: run.number for run in wiring.runs}
    rows: list[Mapping[str, Cell]] = [
        {
            "piece": "feed",
            "number": assembly.feed.number,
            "from": assembly.feed.owner,
            "to": tap.key,
            "from_place": assembly.feed.start,
            "to_place": tap.at,
            "cable": assembly.feed.cable,
            "length_m": _metres(assembly.feed.length_mm),
            "wireways": "",
        }
        for tap in assembly.taps
    ]
    for piece in assembly.pieces:
        start, end = assembly.part_by_key[piece.first], assembly.part_by_key[piece.second]
        rows.append(
            {
                "piece": piece.key,
                "number": numbers.get(keys.get(piece.key, ""), ""),
                "from": start.key,
                "to": end.key,
                "from_place": start.at or "",
                "to_place": end.at or "",
                "cable": piece.cable or "plugged",
                "length_m": _metres(piece.length_mm) if piece.cable else "",
                "wireways": " ".join(piece.wireways),
            }
        )
    return Table(
        name=f"bus_{plan.id}_pieces",
        title=f"{plan.name}: backbone in order",
        columns=(
            Column(key="piece", title="Piece", width_mm=14),
            Column(key="number", title="Wire", width_mm=18),
            Column(key="from", title="From", width_mm=26),
            Column(key="to", title="To", width_mm=12),
            Column(key="from_place", title="At", width_mm=28),
            Column(key="to_place", title="At", width_mm=28),
            Column(key="cable", title="Cable", width_mm=18),
            _column("length_m", "Length", "m"),
            Column(key="wireways", title="Through", width_mm=44),
        ),
        rows=tuple(rows),
        notes=(
            f"Backbone {plan.backbone_mm / 1000:.2f} m; counted against its limit {plan.reach_mm / 1000:.2f} m;"
            f" all drops {plan.drops_mm / 1000:.2f} m.",
            *((f"Course: {plan.proof}.",) if plan.proof else ()),
        ),
    )


def _parts_table(plan: BusPlan) -> Table:
    """Return what to buy for a bus."""
    return Table(
        name=f"bus_{plan.id}_parts",
        title=f"{plan.name}: parts",
        columns=(
            _column("count", "Count", digits=0),
            Column(key="part", title="Part", width_mm=48),
            _column("length_m", "Length", "m"),
            Column(key="note", title="Note", width_mm=70),
        ),
        rows=tuple(
            {
                "count": line.count,
                "part": line.what,
                "length_m": "" if line.length_mm is None else line.length_mm / 1000,
                "note": line.note,
            }
            for line in plan.parts
        ),
    )


def sides_table(plan: BusPlan) -> Table:
    """Return the current of each side of the power tap against its limit."""
    return Table(
        name=f"bus_{plan.id}_sides",
        title=f"{plan.name}: current each side of the power tap",
        columns=(
            Column(key="side", title="Side beginning with", width_mm=40),
            _column("current_a", "Current", "A"),
            _column("limit_a", "Limit", "A", digits=1),
            Column(key="by", title="Weakest section", width_mm=44),
        ),
        rows=tuple(
            {"side": side.piece, "current_a": side.current_a, "limit_a": side.limit_a, "by": side.weakest}
            for side in plan.sides
        ),
        faulty=frozenset(
            number
            for number, side in enumerate(plan.sides)
            if side.limit_a is not None and side.current_a > side.limit_a + 1e-9
        ),
        notes=("Any light section limits its whole side to 3 A.",),
    )


def with_names(project: Project, table: Table) -> Table:
    """Return a table with the names of places and wireways for the ids of the file."""
    places = {key: place.name or key for key, place in project.locations.items()}
    ways = {key: way.name or key for key, way in project.wireways.items()}

    def said(key: str, cell: Cell) -> Cell:
        if not isinstance(cell, str):
            return cell
        if key == "wireways":
            return ", ".join(ways.get(way, way) for way in cell.split())
        return places.get(cell, cell) if key in ("from_place", "to_place") else cell

    return replace(table, rows=tuple({key: said(key, cell) for key, cell in row.items()} for row in table.rows))


def serial_table(links: tuple[SerialPlan, ...]) -> Table:
    """Return each pair: who talks to whom, on which wires, with which currents."""
    rows: list[Mapping[str, Cell]] = [
        {
            "link": link.name,
            "number": listener.number,
            "standard": link.standard,
            "baud": link.baud,
            "talker": f"{link.talker.name} {link.talker.terminal_a}/{link.talker.terminal_b}",
            "listener": f"{listener.name} {listener.terminal_a}/{listener.terminal_b}",
            "wire_a": link.colour_a or None,
            "wire_b": link.colour_b or None,
            "shield": ", ".join(link.shield_at) or None,
            "draws_ma": None if listener.current_a is None else 1000 * listener.current_a,
            "drives_ma": None if link.drives_a is None else 1000 * link.drives_a,
            "room": link.room,
            "length_m": _metres(listener.length_mm),
            "wireways": " ".join(listener.wireways),
        }
        for link in links
        for listener in link.listeners
    ]
    return Table(
        name="serial_links",
        title="Serial links",
        columns=(
            Column(key="link", title="Link", width_mm=40),
            Column(key="number", title="Wire", width_mm=18),
            Column(key="standard", title="Standard", width_mm=24),
            _column("baud", "Baud", digits=0),
            Column(key="talker", title="Talker A/B", width_mm=36),
            Column(key="listener", title="Listener A/B", width_mm=36),
            Column(key="wire_a", title="Wire A", width_mm=18),
            Column(key="wire_b", title="Wire B", width_mm=18),
            Column(key="shield", title="Shield at", width_mm=24),
            _column("draws_ma", "Draws", "mA", digits=1),
            _column("drives_ma", "Drives", "mA", digits=1),
            _column("room", "More listeners", digits=0, width_mm=20),
            _column("length_m", "Length", "m"),
            Column(key="wireways", title="Through", width_mm=34),
        ),
        rows=tuple(rows),
        notes=("One talker drives several listeners; wires A to A, B to B; the shield is connected at one end only.",),
    )


def antenna_table(leads: tuple[AntennaPlan, ...], wiring: Wiring) -> Table:
    """Return each lead with its loss, the power that is radiated, its bends and the next better cable."""
    rows: list[Mapping[str, Cell]] = []
    numbers = {run.key: run.number for run in wiring.runs}
    for lead in leads:
        best = lead.better[0] if lead.better else None
        rows.append(
            {
                "lead": lead.name,
                "number": numbers.get(antenna_key(lead.id), ""),
                "cable": lead.cable,
                "frequency_mhz": lead.frequency_mhz,
                "length_m": _metres(lead.length_mm),
                "cable_db": lead.cable_db,
                "plugs_db": lead.connectors_db,
                "loss_db": lead.loss_db,
                "limit_db": lead.limit_db,
                "share_percent": None if lead.share is None else 100 * lead.share,
                "radiated_w": lead.radiated_w,
                "bend_mm": lead.bend_radius_mm,
                "better": "none in the table" if best is None else f"{best.cable}: {best.loss_db:.2f} dB",
                "wireways": " ".join(lead.wireways),
            }
        )
    return Table(
        name="antenna_leads",
        title="Antenna leads",
        columns=(
            Column(key="lead", title="Lead", width_mm=40),
            Column(key="number", title="Wire", width_mm=18),
            Column(key="cable", title="Cable", width_mm=20),
            _column("frequency_mhz", "Radio", "MHz", digits=1),
            _column("length_m", "Length", "m"),
            _column("cable_db", "Cable", "dB"),
            _column("plugs_db", "Plugs", "dB"),
            _column("loss_db", "Loss", "dB"),
            _column("limit_db", "Limit", "dB"),
            _column("share_percent", "Radiated", "%", digits=0, width_mm=18),
            _column("radiated_w", "Radiated", "W", digits=1, width_mm=18),
            _column("bend_mm", "Bend at least", "mm", digits=0, width_mm=22),
            Column(key="better", title="Next better cable", width_mm=34),
            Column(key="wireways", title="Through", width_mm=44),
        ),
        rows=tuple(rows),
        faulty=frozenset(n for n, lead in enumerate(leads) if any(f.weight is Severity.STOP for f in lead.findings)),
        notes=(
            "Attenuation: highest published figure at 150 MHz, scaled with the square root of frequency; connections"
            " 0.25 dB each unless stated. Share radiated = 10^(-dB/10).",
        ),
    )
