"""Tables of the day's energy and of the heat behind the panels."""

from __future__ import annotations

from typing import TYPE_CHECKING

from layout.handover.lists.table import Cell, Column, Table

if TYPE_CHECKING:
    from collections.abc import Mapping

    from layout.energy import EnergySheet, SituationSheet


def _number(key: str, title: str, unit: str = "", *, digits: int = 1, width_mm: float = 18.0) -> Column:
    return Column(key=key, title=title, unit=unit, digits=digits, width_mm=width_mm, align="right")


def loads_table(sheet: SituationSheet) -> Table:
    """Return what each circuit uses in a situation, grouped by system."""
    order = list(dict.fromkeys(row.system for row in sheet.use.uses))
    uses = sorted(sheet.use.uses, key=lambda row: order.index(row.system))
    rows: list[Mapping[str, Cell]] = [
        {
            "system": row.system_name,
            "circuit": row.name,
            "hours": row.hours,
            "duty": 100 * row.duty,
            "power_w": row.power_w,
            "standby_w": row.standby_w,
            "load_wh": row.load_wh,
            "bank_wh": row.bank_wh if row.bank is not None else "",
            "through": " ".join(row.through),
        }
        for row in uses
    ]
    return Table(
        name=f"energy_{_slug(sheet.id)}_loads",
        title=f"Energy {sheet.name}: loads",
        columns=(
            Column(key="system", title="System", width_mm=24),
            Column(key="circuit", title="Circuit", width_mm=52),
            _number("hours", "Hours", "h"),
            _number("duty", "Duty", "%", digits=0),
            _number("power_w", "Power", "W"),
            _number("standby_w", "Standby", "W"),
            _number("load_wh", "At the load", "Wh", digits=0, width_mm=20),
            _number("bank_wh", "From the bank", "Wh", digits=0, width_mm=24),
            Column(key="through", title="Through", width_mm=24),
        ),
        rows=tuple(rows),
        group_by="system",
        notes=(
            "At the load: power x hours x duty, and standby in the rest of the day. From the bank: divided by the"
            " efficiency of each converter passed; a converter's own standby stands in the table of converters.",
        ),
    )


def converters_table(sheet: SituationSheet) -> Table:
    """Return what each converter gives, takes and may have to give at once."""
    rows = sheet.use.conversions
    return Table(
        name=f"energy_{_slug(sheet.id)}_converters",
        title=f"Energy {sheet.name}: converters",
        columns=(
            Column(key="converter", title="Converter", width_mm=48),
            _number("efficiency", "Efficiency", "%", digits=0, width_mm=22),
            _number("out_wh", "Gives", "Wh", digits=0),
            _number("standby_wh", "Standby", "Wh", digits=0),
            _number("in_wh", "Takes", "Wh", digits=0),
            _number("peak_w", "Peak", "W", digits=0),
            _number("rating_w", "Rating", "W", digits=0),
        ),
        rows=tuple(
            {
                "converter": row.name,
                "efficiency": None if row.efficiency is None else 100 * row.efficiency,
                "out_wh": row.out_wh,
                "standby_wh": row.standby_wh,
                "in_wh": row.in_wh,
                "peak_w": row.peak_w,
                "rating_w": row.rating_w,
            }
            for row in rows
        ),
        faulty=frozenset(
            n for n, r in enumerate(rows) if r.peak_w is not None and r.rating_w is not None and r.peak_w > r.rating_w
        ),
        notes=("Peak: all loads that may run in the same hour, at full power.",),
    )


def banks_table(sheet: SituationSheet) -> Table:
    """Return what each bank gives and gets in a day, and how long it lasts."""
    return Table(
        name=f"energy_{_slug(sheet.id)}_banks",
        title=f"Energy {sheet.name}: banks",
        columns=(
            Column(key="bank", title="Bank", width_mm=44),
            _number("usable_wh", "Usable", "Wh", digits=0),
            _number("drawn_wh", "Drawn a day", "Wh", digits=0, width_mm=22),
            _number("brought_wh", "Brought a day", "Wh", digits=0, width_mm=24),
            _number("net_wh", "Left over", "Wh", digits=0),
            _number("autonomy_h", "Lasts", "h"),
            _number("wanted_h", "Wanted", "h"),
            _number("days_left", "Days with sources", digits=1, width_mm=28),
        ),
        rows=tuple(
            {
                "bank": day.name,
                "usable_wh": day.usable_wh,
                "drawn_wh": day.drawn_wh,
                "brought_wh": day.brought_wh,
                "net_wh": day.net_wh,
                "autonomy_h": "" if day.drawn_wh == 0 else day.autonomy_h,
                "wanted_h": "" if day.wanted_h is None else day.wanted_h,
                "days_left": "" if day.net_wh is not None and day.net_wh >= 0 else day.days_left,
            }
            for day in sheet.banks
        ),
        faulty=frozenset(
            n
            for n, day in enumerate(sheet.banks)
            if day.autonomy_h is not None and day.wanted_h is not None and day.autonomy_h < day.wanted_h
        ),
        notes=(
            "Usable: capacity x voltage x health x allowed depth. Lasts: usable / drawn a day, with no source working."
            " Left over: brought x charge efficiency - drawn.",
        ),
    )


def sources_table(sheet: SituationSheet) -> Table:
    """Return what each source brings, and how long it needs to fill its bank from the allowed depth."""
    hours = {(day.id, c.source): c.hours for day in sheet.banks for c in day.charging}
    rows: list[Mapping[str, Cell]] = []
    for row in sheet.charging:
        key = (row.bank or "", row.id)
        rows.append(
            {
                "source": row.name,
                "kind": row.kind,
                "bank": row.bank,
                "hours": row.hours,
                "wh": row.wh,
                "current_a": row.current_a,
                "charge_h": ("never" if hours[key] is None else hours[key]) if key in hours else "",
            }
        )
    for day in sheet.banks:
        together = next((c for c in day.charging if not c.source), None)
        if together is not None:
            filled: Cell = "never" if together.hours is None else together.hours
            cells: dict[str, Cell] = {"kind": "", "bank": day.id, "hours": "", "wh": day.brought_wh}
            rows.append({"source": "all together", **cells, "current_a": together.current_a, "charge_h": filled})
    return Table(
        name=f"energy_{_slug(sheet.id)}_sources",
        title=f"Energy {sheet.name}: sources",
        columns=(
            Column(key="source", title="Source", width_mm=48),
            Column(key="kind", title="Kind", width_mm=24),
            Column(key="bank", title="Charges", width_mm=24),
            _number("hours", "Hours", "h"),
            _number("wh", "Brings a day", "Wh", digits=0, width_mm=22),
            _number("current_a", "Current", "A"),
            _number("charge_h", "Fills the bank in", "h", width_mm=28),
        ),
        rows=tuple(rows),
        notes=(
            "Fills: usable charge / (charge efficiency x (current - what the loads draw on average)). The last part of"
            " charging a lead bank goes slower.",
        ),
    )


def heat_table(sheet: EnergySheet) -> Table:
    """Return how warm it gets behind each panel, device by device."""
    rows: list[Mapping[str, Cell]] = []
    faulty = set()
    for panel in sheet.heat:
        rows += [
            {"panel": panel.name, "what": device.name, "watts": device.watts, "celsius": "", "limit": ""}
            for device in panel.devices
        ]
        if panel.inside_c is not None and panel.inside_c > panel.limit_c:
            faulty.add(len(rows))
        rows.append(
            {
                "panel": panel.name,
                "what": "all together, and the air behind the panel",
                "watts": panel.total_w,
                "celsius": panel.inside_c,
                "limit": panel.limit_c,
            }
        )
    return Table(
        name="heat",
        title="Heat behind the panels",
        columns=(
            Column(key="panel", title="Panel", width_mm=40),
            Column(key="what", title="Device", width_mm=64),
            _number("watts", "Gives off", "W"),
            _number("celsius", "Air", "°C"),
            _number("limit", "Limit", "°C"),
        ),
        rows=tuple(rows),
        faulty=frozenset(faulty),
        group_by="panel",
        notes=(
            "P = k S dT + rho c Cd (A / sqrt 2) sqrt(2 g h / T) dT^1.5, h half the height between the openings;"
            " k 5.5 W/m2K for sheet metal, 3.5 for wood and plastic, Cd 0.6 (from memory); limit 55 °C unless stated"
            " (IEC 60945, from memory).",
        ),
    )


def _slug(text: str) -> str:
    return "_".join(text.lower().split())
