"""Chapters of the pack beyond the wiring: instrument buses and leads, the day's energy and heat."""

from __future__ import annotations

from typing import TYPE_CHECKING

from layout.drawing.energy_chart import day_chart
from layout.drawing.network_drawing import bus_drawing
from layout.drawing.network_map import bus_map
from layout.findings import has_errors
from layout.handover.diagram_sheets import picture_sheet
from layout.handover.energy_tables import (
    banks_table,
    converters_table,
    heat_table,
    loads_table,
    sources_table,
)
from layout.handover.network_tables import (
    antenna_table,
    parts_table,
    pieces_table,
    serial_table,
    sides_table,
    voltage_table,
)
from layout.handover.work import Chapter

if TYPE_CHECKING:
    from layout.drawing.scene import Scene
    from layout.handover.tables import Table
    from layout.project.model.project import Project
    from layout.wiring.energy import EnergySheet
    from layout.wiring.net.networks import Networks


def chapters(project: Project, networks: Networks, energy: EnergySheet) -> tuple[Chapter, ...]:
    """Return the chapters that the project has something for."""
    found = []
    if networks.buses or networks.serial or networks.antennas:
        found.append(network_chapter(project, networks))
    if energy.situations or energy.heat:
        found.append(energy_chapter(project, energy))
    return tuple(found)


def network_chapter(project: Project, networks: Networks) -> Chapter:
    """Return the drawings and tables of the instrument buses, the serial links and the antenna leads."""
    names = {id_: place.name or id_ for id_, place in project.places.items()}
    sheets: list[Scene] = []
    tables: list[Table] = []
    for bus in networks.buses:
        faulty = has_errors(bus.findings)
        pictures = (bus_drawing(bus, place_names=names), bus_map(project, bus))
        sheets += [picture_sheet(project, p, p.title, section="Instrument network", faulty=faulty) for p in pictures]
        tables += [voltage_table(bus), sides_table(bus), pieces_table(bus), parts_table(bus)]
    if networks.serial:
        tables.append(serial_table(networks.serial))
    if networks.antennas:
        tables.append(antenna_table(networks.antennas))
    return Chapter(
        name="network",
        title="Instrument network and antennas",
        sheets=tuple(sheets),
        tables=tuple(tables),
        faulty=has_errors(networks.findings),
    )


def energy_chapter(project: Project, energy: EnergySheet) -> Chapter:
    """Return the charts of the day and the tables of each situation, and the heat behind the panels."""
    names = {id_: supply.name or id_ for id_, supply in project.supplies.items()}
    pictures: list[Scene] = []
    tables: list[Table] = []
    for sheet in energy.situations:
        pictures += [day_chart(sheet, day, names) for day in sheet.banks if day.known_wh > 0]
        tables += [banks_table(sheet), sources_table(sheet), loads_table(sheet)]
        if sheet.use.conversions:
            tables.append(converters_table(sheet))
    if energy.heat:
        tables.append(heat_table(energy))
    return Chapter(
        name="energy",
        title="Energy of the day and heat",
        pictures=tuple(pictures),
        tables=tuple(tables),
        faulty=has_errors(energy.findings),
    )
