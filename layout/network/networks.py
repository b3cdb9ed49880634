"""All buses, serial links and antenna leads of a project; the one call that plans and checks them."""

from __future__ import annotations

from typing import TYPE_CHECKING

from layout.light_dataclass import dataclass
from layout.network.antenna import plan_antenna
from layout.network.bus import plan_bus
from layout.network.bus_checks.bus_feed import laid_feed, lost_before, with_head_volts
from layout.network.serial import check_inputs, plan_serial, serial_as_laid
from layout.wiring.circuits.ends import Ends

if TYPE_CHECKING:
    from layout.findings import Finding
    from layout.network.antenna import AntennaPlan
    from layout.network.bus import BusPlan
    from layout.network.serial import SerialPlan
    from layout.project.model.arrangement import Arrangement
    from layout.project.model.network import InstrumentNetwork
    from layout.project.model.project import Project
    from layout.wiring.result import Wiring


@dataclass(frozen=True, slots=True, kw_only=True)
class Networks:
    """Every bus, serial link and antenna lead, in the project's order, and all findings about them."""

    buses: tuple[BusPlan, ...]
    serial: tuple[SerialPlan, ...]
    antennas: tuple[AntennaPlan, ...]
    findings: tuple[Finding, ...]


def plan_networks(project: Project, arrangement: Arrangement | None, *, work: float = 8.0) -> Networks:
    """Plan and check the instrument buses, serial links and antenna leads.

    Parameters
    ----------
    arrangement
        Chosen or proposed; None leaves lengths on panels unknown, which is found.
    work
        Limit on the planner's work for each search, in the solver's deterministic units (about seconds).
    """
    ends = Ends(project, arrangement)
    buses = tuple(plan_bus(ends, bus, work=work) for bus in project.networks.values())
    serial = tuple(plan_serial(ends, link) for link in project.serial.values())
    antennas = tuple(plan_antenna(ends, lead) for lead in project.antennas.values())
    return _gathered(project, buses, serial, antennas)


def fed_by(project: Project, networks: Networks, wiring: Wiring) -> Networks:
    """Return the networks as they are wired.

    Each bus is fed by what its source gives less what is lost on the way to its feed; each serial pair has the length
    and the way that it has in the schedule.
    """
    buses = tuple(_fed(project.networks[plan.id], plan, wiring) for plan in networks.buses)
    serial = tuple(serial_as_laid(link, wiring) for link in networks.serial)
    return _gathered(project, buses, serial, networks.antennas)


def _fed(bus: InstrumentNetwork, plan: BusPlan, wiring: Wiring) -> BusPlan:
    return with_head_volts(bus, laid_feed(wiring, bus, plan), lost_before(wiring, bus.circuit))


def _gathered(
    project: Project,
    buses: tuple[BusPlan, ...],
    serial: tuple[SerialPlan, ...],
    antennas: tuple[AntennaPlan, ...],
) -> Networks:
    found = [
        *(finding for bus in buses for finding in bus.findings),
        *(finding for link in serial for finding in link.findings),
        *(finding for lead in antennas for finding in lead.findings),
        *check_inputs(project),
    ]
    return Networks(buses=buses, serial=serial, antennas=antennas, findings=project.located(found))
