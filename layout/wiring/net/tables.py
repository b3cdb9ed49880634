"""Tables of a bus, of serial links and of antenna leads, as text in columns, for sheets and files alike."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from layout.wiring.net.antenna import AntennaPlan
    from layout.wiring.net.bus import BusPlan
    from layout.wiring.net.serial import SerialPlan

UNKNOWN = "unknown"
"""What stands in a cell that is not known."""


@dataclass(frozen=True, slots=True, kw_only=True)
class TextTable:
    """Heading, column titles and rows of text; ``numbers`` are the columns that align right."""

    heading: str
    columns: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    numbers: frozenset[int] = frozenset()
    notes: tuple[str, ...] = ()


def metres(length_mm: float | None) -> str:
    """Return a length in m with two decimals, or that it is unknown."""
    return UNKNOWN if length_mm is None else f"{length_mm / 1000:.2f}"


def _volts(value: float | None) -> str:
    return UNKNOWN if value is None else f"{value:.3f}"


def voltage_table(plan: BusPlan) -> TextTable:
    """Return the voltage at each device, worst case, and beside it what nominal cable would give (only shown)."""
    drops = {drop.node: drop for drop in plan.assembly.drops}
    rows = []
    for row in plan.voltages:
        drop = drops[row.node]
        rows.append(
            (
                plan.assembly.devices[row.node].name,
                drop.part,
                metres(drop.length_mm),
                str(row.lens),
                f"{row.current_a:.2f}",
                _volts(row.fall_v),
                _volts(row.voltage_v),
                _volts(row.voltage_nominal_v),
            )
        )
    known = {row.node for row in plan.voltages}
    for id_, device in plan.assembly.devices.items():
        if id_ not in known:
            lens = UNKNOWN if device.lens is None else str(device.lens)
            part = drops[id_].part if id_ in drops else "none"
            length = metres(drops[id_].length_mm) if id_ in drops else UNKNOWN
            rows.append((device.name, part, length, lens, UNKNOWN, UNKNOWN, UNKNOWN, UNKNOWN))
    low = plan.assembly.feed.lowest_v
    return TextTable(
        heading=f"{plan.name}: voltage at each device",
        columns=("device", "tee", "drop m", "LEN", "A", "fall V", "worst case V", "nominal V"),
        rows=tuple(rows),
        numbers=frozenset({2, 3, 4, 5, 6, 7}),
        notes=(
            f"Lowest feed {low:g} V." if low is not None else "Lowest feed not known.",
            "Worst case (decides): 0.069 ohm/m light, 0.015 ohm/m mid and heavy, 0.005 ohm a tap, each conductor"
            " (IEC 62026-3). Nominal (only shown): 0.057, 0.0138, 0.0118 ohm/m.",
        ),
    )


def pieces_table(plan: BusPlan) -> TextTable:
    """Return the course of the bus from one end to the other: each part, and the cable to the next."""
    assembly = plan.assembly
    rows = []
    for piece in assembly.pieces:
        ends = [assembly.part_by_key[key] for key in (piece.first, piece.second)]
        rows.append(
            (
                piece.key,
                *(f"{end.key} {end.kind}" for end in ends),
                *((end.at or "") for end in ends),
                piece.cable or "plugged",
                metres(piece.length_mm) if piece.cable else "",
                " > ".join(piece.wireways),
            )
        )
    return TextTable(
        heading=f"{plan.name}: backbone in order",
        columns=("piece", "from", "to", "at", "at", "cable", "m", "wireways"),
        rows=tuple(rows),
        numbers=frozenset({6}),
    )


def parts_table(plan: BusPlan) -> TextTable:
    """Return what to buy for a bus."""
    return TextTable(
        heading=f"{plan.name}: parts",
        columns=("count", "part", "m", "note"),
        rows=tuple(
            (str(line.count), line.what, metres(line.length_mm) if line.length_mm is not None else "", line.note)
            for line in plan.parts
        ),
        numbers=frozenset({0, 2}),
    )


def sides_table(plan: BusPlan) -> TextTable:
    """Return the current of each side of the power tap against its limit."""
    return TextTable(
        heading=f"{plan.name}: current a side of the power tap",
        columns=("side", "A", "limit A", "by"),
        rows=tuple(
            (side.piece, f"{side.current_a:.2f}", f"{side.limit_a:g}" if side.limit_a else UNKNOWN, side.weakest)
            for side in plan.sides
        ),
        numbers=frozenset({1, 2}),
    )


def serial_table(links: tuple[SerialPlan, ...]) -> TextTable:
    """Return each pair of the serial links: who talks to whom on which wires."""
    rows = []
    for link in links:
        for index, listener in enumerate(link.listeners):
            drives = UNKNOWN if link.drives_a is None else f"{1000 * link.drives_a:g}"
            draws = UNKNOWN if listener.current_a is None else f"{1000 * listener.current_a:g}"
            rows.append(
                (
                    link.name if index == 0 else "",
                    f"{link.standard}, {link.baud} baud" if index == 0 else "",
                    f"{link.talker.name} {link.talker.terminal_a}/{link.talker.terminal_b}",
                    f"{listener.name} {listener.terminal_a}/{listener.terminal_b}",
                    f"A {link.colour_a or UNKNOWN}, B {link.colour_b or UNKNOWN}",
                    ", ".join(link.shield_at) or UNKNOWN,
                    draws,
                    drives,
                )
            )
    return TextTable(
        heading="Serial links",
        columns=("link", "standard", "talker A/B", "listener A/B", "wires", "shield at", "draws mA", "drives mA"),
        rows=tuple(rows),
        numbers=frozenset({6, 7}),
    )


def antenna_table(leads: tuple[AntennaPlan, ...]) -> TextTable:
    """Return each antenna lead with its loss, the power radiated and the next better cable."""
    rows = []
    for lead in leads:
        best = lead.better[0] if lead.better else None
        rows.append(
            (
                lead.name,
                lead.cable,
                f"{lead.frequency_mhz:g}",
                metres(lead.length_mm),
                UNKNOWN if lead.cable_db is None else f"{lead.cable_db:.2f}",
                f"{lead.connectors_db:.2f}",
                UNKNOWN if lead.loss_db is None else f"{lead.loss_db:.2f}",
                f"{lead.limit_db:.2f}",
                UNKNOWN if lead.share is None else f"{100 * lead.share:.0f}",
                UNKNOWN if lead.radiated_w is None else f"{lead.radiated_w:.1f}",
                UNKNOWN if lead.bend_radius_mm is None else f"{lead.bend_radius_mm:.0f}",
                "none in the table" if best is None else f"{best.cable}: {best.loss_db:.2f} dB",
            )
        )
    return TextTable(
        heading="Antenna leads",
        columns=(
            "lead", "cable", "MHz", "m", "cable dB", "plugs dB", "loss dB", "limit dB", "radiated %", "radiated W",
            "bend mm", "next better",
        ),
        rows=tuple(rows),
        numbers=frozenset(range(2, 11)),
    )  # fmt: skip
