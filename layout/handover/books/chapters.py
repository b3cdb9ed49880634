"""Chapters of the pack beyond the wiring: instrument buses and leads, the day's energy and heat."""

from __future__ import annotations

from typing import TYPE_CHECKING

from layout.drawing.diagrams.energy_chart import day_chart
from layout.drawing.diagrams.network_drawing import bus_drawing
from layout.drawing.diagrams.network_map import bus_map
from layout.findings import has_stops
from layout.handover.handed import Chapter
from layout.handover.lists.energy_tables import (
    banks_table,
    converters_table,
    heat_table,
    loads_table,
    sources_table,
)
from layout.handover.lists.network_tables import (
    antenna_table,
    parts_table,
    pieces_table,
    serial_table,
    sides_table,
    voltage_table,
)
from layout.handover.paper.diagram_sheets import picture_sheet

if TYPE_CHECKING:
    from layout.drawing.elements.scene import Scene
    from layout.energy import EnergySheet
    from layout.handover.lists.table import Table
    from layout.network.networks import Networks
    from layout.project.model.project import Project


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
        faulty = has_stops(bus.findings)
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
        faulty=has_stops(networks.findings),
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
        faulty=has_stops(energy.findings),
    )
